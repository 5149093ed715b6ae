"""Mark what the words of a message name: beds, crops, days, amounts and the rest, each on tokens of its own."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bot.understanding.beds import BedFinder
from bot.understanding.crops import CropFinder
from bot.understanding.dates import DateFinder, lying
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Trie, load_lexicon
from bot.understanding.measures import count_after, count_before, count_in_bed, find_measures, find_sizes
from bot.understanding.no_crops import no_crops
from bot.understanding.shapes import PlotNames
from bot.understanding.slots import mark_spots, mark_terms
from bot.understanding.spelling import Speller
from bot.understanding.taken_back import take_back
from bot.understanding.text import Token, tokenise

if TYPE_CHECKING:
    from bot.facts import Facts

_SOUTH = ("AU", "NZ", "ZA", "CL", "AR", "UY")
_SLOT_OF = {"pests": "pest", "materials": "material", "covers": "cover", "products": "product", "methods": "method", "wishes": "wish"}


class Marker:
    """Mark messages. Built once from the facts; it spells once it is told which words the phrases use."""

    def __init__(self, facts: Facts) -> None:
        self.lexicon = load_lexicon(facts.root)
        self.crops = CropFinder(facts, self.lexicon)
        self.dates = DateFinder(facts.root, self.lexicon)
        self.terms = Trie()
        for term in facts.glossary.terms:
            for form in (term.term, *term.words):
                self.terms.add(form, term.id)
        self._beds: dict[int, BedFinder] = {}
        self.know({}, (), ())

    def know(self, words: dict[str, int], domain: Collection[str], foreign: Collection[str]) -> None:
        """Take in what the phrases teach of words: in how many each stands, the stems of garden talk, and those only other talk uses."""
        self.lexicon.domain = set(domain)
        self.lexicon.everyday -= set(foreign)
        self.speller = Speller(self.lexicon, self._vocabulary(words))
        self.speller.known |= set(self.lexicon.rules["heard_numbers"])  # "bed III"
        self.crops.known = self.speller.known

    def _vocabulary(self, words: dict[str, int]) -> dict[str, float]:
        """Return every word that spelling may mend to, with how usual it is."""
        vocabulary = dict(self.crops.names.words)
        for trie in (*self.lexicon.tries.values(), self.lexicon.unit_trie, self.lexicon.varieties, self.terms, *self.lexicon.follow.values()):
            for word in trie.words:
                vocabulary.setdefault(word, 1.0)
        for word in self.dates.words:
            vocabulary.setdefault(word, 1.0)
        for word, count in words.items():
            vocabulary[word] = min(6.0, vocabulary.get(word, 0.0) + 0.1 * count)
        for word in (*self.lexicon.numbers, *self.lexicon.stems, *self.lexicon.fillers):
            vocabulary.setdefault(word, 1.0)
        return vocabulary

    def template_words(self, text: str) -> tuple[list[str], list[str]]:
        """Slot the words of a template as a message's are, without looking for crops, dates or numbers."""
        parts: list[str] = []
        for word in text.split():
            if word.startswith("<"):
                parts.append(word)
            else:
                parts += self.lexicon.short_forms.get(word, [word])
        words: list[str] = []
        extra: list[str] = []
        i = 0
        while i < len(parts):
            hit = None
            for kind in ("pests", "materials", "covers", "products"):
                found = _longest(self.lexicon.tries[kind], parts, i)
                if found and (hit is None or found > hit[0]):
                    hit = (found, _SLOT_OF[kind])
            if hit:
                words.append(f"<{hit[1]}>")
                extra += parts[i:hit[0]]
                i = hit[0]
            else:
                if parts[i] != "<variety>":
                    words.append(parts[i])
                i += 1
        return words, extra

    def sheet(self, text: str, names: PlotNames, region: str) -> tuple[Sheet, list[str]]:
        """Return the marked sheet of a clean text and what the spelling changed."""
        tokens = []
        for token in tokenise(text):
            forms = self.lexicon.short_forms.get(token.raw) or (
                self.lexicon.short_forms.get(token.raw.replace("'", "")) if "'" in token.raw else None)
            if not forms:
                tokens.append(token)
                continue
            for form in forms:
                tokens.append(replace(token, word=form, raw=token.raw if len(forms) == 1 else form))
        _unnumbered(tokens)
        beds = self._bed_finder(names)
        changed = self.speller.mend(tokens, beds.words)
        sheet = Sheet.of(text, tokens)
        for i in range(len(tokens)):
            hit = self.lexicon.traps.longest(tokens, i)
            if hit and not _numbered(tokens, hit[0]):
                sheet.mark(Found("trap", i, hit[0], hit[1]))
        find_sizes(sheet, self.lexicon, region)
        mark_terms(self, sheet)
        mark_spots(self, sheet, beds.trie)
        beds.find(sheet)
        self._pests(sheet)
        self._mark(sheet, "materials", 2)
        self._mark(sheet, "products", 2)
        for i in range(len(tokens)):
            hit = self.lexicon.things.longest(tokens, i)
            if hit:
                sheet.mark(Found("thing", i, hit[0], hit[1]))
        self.crops.find(sheet)
        for found in sheet.found:
            if found.kind == "crop":
                found.value = found.value.within(region)
        no_crops(sheet, self.lexicon)
        self._no_pests(sheet)
        self.dates.find(sheet, region, region in _SOUTH)
        find_measures(sheet, self.lexicon, region)
        beds.find_unknown(sheet)
        for found in list(sheet.found):
            if found.kind in ("crop", "variety", "group"):
                hit_count = count_before(sheet, found.start, self.lexicon)
                if hit_count:
                    sheet.mark(Found("qty", hit_count[0], hit_count[0] + 1, hit_count[1]))
        self._counts_after(sheet)
        self._counts_in_beds(sheet)
        for kind in ("covers", "materials", "products", "methods"):
            self._mark(sheet, kind)
        take_back(sheet, self.lexicon)
        return sheet, changed

    def _counts_after(self, sheet: Sheet) -> None:
        """Mark the bare numbers that follow names: of a list where each has its amount after it, or where no amount is told at all."""
        names = sorted((f for f in sheet.found if f.kind in ("crop", "variety", "group")), key=lambda f: f.start)
        amounts = [f for f in sheet.found if f.kind == "qty"]
        if amounts and (len(names) < 2 or min(f.start for f in amounts) < names[0].start):
            return
        for found in names:
            hit = count_after(sheet, found.end, self.lexicon)
            if hit:
                sheet.mark(Found("qty", hit[0], hit[1], hit[2]))

    def _counts_in_beds(self, sheet: Sheet) -> None:
        """Mark the bare numbers before beds where one name is told of in several: "beetroot: 7 from bed 1, 4 from bed 3"."""
        beds = [f for f in sheet.found if f.kind == "bed"]
        if len(beds) < 2 or not any(f.kind in ("crop", "variety") for f in sheet.found):
            return
        for bed in beds:
            hit = count_in_bed(sheet, bed.start, self.lexicon)
            if hit:
                sheet.mark(Found("qty", hit[0], hit[1], hit[2]))

    def _bed_finder(self, names: PlotNames) -> BedFinder:
        key = hash(tuple(names.beds.items()))
        if key not in self._beds:
            if len(self._beds) > 50:
                self._beds.clear()
            self._beds[key] = BedFinder(names.beds, self.lexicon)
        return self._beds[key]

    def _pests(self, sheet: Sheet) -> None:
        trie = self.lexicon.tries["pests"]
        for i in range(len(sheet.tokens)):
            hit = None if sheet.taken[i] else trie.longest(sheet.tokens, i)
            named = self.crops.trie.longest(sheet.tokens, i) if hit else None
            if hit and sheet.free(i, hit[0]) and not (named and named[0] > hit[0]):  # a mouse melon is no mouse
                sheet.mark(Found("pest", i, hit[0], hit[1]))

    def _no_pests(self, sheet: Sheet) -> None:
        """Take the mould of "leaf mould" for a part of the material where no crop is named that could have it."""
        if any(f.kind == "crop" for f in sheet.found):
            return
        for found in [f for f in sheet.found if f.kind == "pest" and f.start and not sheet.taken[f.start - 1]]:
            wider = self.lexicon.tries["materials"].longest(sheet.tokens, found.start - 1)
            if wider and wider[0] >= found.end:
                sheet.unmark(found)
                sheet.mark(Found("material", found.start - 1, wider[0], wider[1]))

    def _mark(self, sheet: Sheet, kind: str, least: int = 1) -> None:
        trie = self.lexicon.tries[kind]
        for i in range(len(sheet.tokens)):
            hit = None if sheet.taken[i] else trie.longest(sheet.tokens, i)
            if hit and hit[0] - i >= least and sheet.free(i, hit[0]):
                sheet.mark(Found(_SLOT_OF[kind], i, hit[0], hit[1]))

    def slotted(self, sheet: Sheet, start: int, end: int) -> tuple[list[str], list[str], bool]:
        """Return the words of a clause with slots in place, the words beside slots, and whether it has a question mark."""
        words: list[str] = []
        extra: list[str] = []
        mark = False
        i = start
        while i < end:
            found = sheet.at(i)
            token = sheet.tokens[i]
            if found is not None:
                inner = [t.word for t in sheet.tokens[found.start:found.end] if t.kind == "word"]
                shown, beside = shown_by(found, inner)
                if found.kind in ("method", "thing"):
                    words += inner
                elif shown:
                    words.append(shown)
                    extra += beside
                i = max(found.end, i + 1)
                continue
            if token.kind == "mark":
                mark = mark or token.word == "?"
            elif token.kind == "number":
                words.append("<num>")
            else:
                words.append(token.word)
            i += 1
        return words, extra, mark


def shown_by(found: Found, inner: list[str]) -> tuple[str, list[str]]:
    """Return what stands for a slot ("" where nothing does) and what is said beside it, of its words or its value."""
    kind = {"unknown_bed": "bed", "stranger": "crop", "variety": "crop" if found.value else ""}.get(found.kind, found.kind)
    beside: list[str] = []
    if found.kind in ("pest", "material", "cover", "product", "term") or (found.kind == "crop" and found.value.shy):
        beside = inner  # a crop's name that is also a plain word: what is beside it tells which
    elif found.kind == "qty":
        beside = [f"<{found.value.unit}>"]
    elif found.kind == "date":
        beside = lying(found.value)
    elif found.kind == "bed" and any(w in ("tunnel", "polytunnel", "greenhouse", "frame") for w in inner):
        beside = ["<cover>"]
    return f"<{kind}>" if kind else "", beside


def _numbered(tokens: list[Token], at: int) -> bool:
    """Tell whether a saying ends in a bed that goes by a number: "water bed 2" is no water bed."""
    return tokens[at - 1].word == "bed" and at < len(tokens) and tokens[at].kind == "number"


def _unnumbered(tokens: list[Token]) -> None:
    """Turn what numbers the points of a list, "1) … 2) …" or "a) … b) …", into ends of sentences; brackets that were opened are left."""
    heads = [i for i, t in enumerate(tokens[:-1]) if tokens[i + 1].word == ")" and tokens[i + 1].glued and "(" not in (tokens[i - 1].word if i else "", t.word)
             and (t.word in "abcdef" or t.word in ("1", "2", "3", "4", "5", "6"))]
    if len(heads) < 2 or tokens[heads[0]].word not in ("1", "a"):
        return
    for i in heads:
        for k in (i, i + 1):
            tokens[k] = replace(tokens[k], word=".", raw=".", kind="mark")



def _longest(trie: Trie, words: list[str], at: int) -> int | None:
    node: dict[str, Any] = trie.root
    best = None
    for i in range(at, len(words)):
        node = node.get(words[i])  # type: ignore[assignment]
        if node is None:
            break
        if "" in node:
            best = i + 1
    return best
