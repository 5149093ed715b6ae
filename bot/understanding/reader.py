"""Read a message: the whole way from text to requests."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from bot.facts.loading import read_yaml
from bot.handlers.context import Memory
from bot.request import Quantity, Request, When
from bot.understanding.beds import BedFinder
from bot.understanding.crops import CropFinder, Sense
from bot.understanding.dates import DateFinder, resolve
from bot.understanding.features import asks, features
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import KINDS, Lexicon, Trie, load_lexicon
from bot.understanding.measures import count_after, count_before, find_measures, find_sizes
from bot.understanding.phrases import load_intents, templates
from bot.understanding.school import Manner, school_of
from bot.understanding.shapes import PlotNames, Reading
from bot.understanding.slots import add_special, mark_spots, mark_terms
from bot.understanding.spelling import Speller
from bot.understanding.text import clean, tokenise, words_of

if TYPE_CHECKING:
    from bot.facts import Facts

_SOUTH = ("AU", "NZ", "ZA", "CL", "AR", "UY")
_SLOT_OF = {"pests": "pest", "materials": "material", "covers": "cover", "products": "product", "methods": "method", "wishes": "wish"}


@dataclass(slots=True)
class Clause:
    """One clause with its slotted words and the scores of its intents."""

    start: int
    end: int
    words: list[str]
    extra: list[str]
    asks: bool
    found: dict[str, float]
    ranked: list[tuple[str, float]]
    likeness: float = 1.0


class Understander:
    """Read messages. Built once from the facts; `read` has no state of its own."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.lexicon: Lexicon = load_lexicon(facts.root)
        self.crops = CropFinder(facts, self.lexicon)
        self.dates = DateFinder(facts.root, self.lexicon)
        self.rules: dict[str, Any] = read_yaml(facts.root / "phrases" / "scoring.yaml", facts.root)
        self.heads = Trie()
        for name, forms in self.rules["heads"].items():
            for form in forms:
                self.heads.add(form, name)
        self.terms = Trie()
        for term in facts.glossary.terms:
            for form in (term.term, *term.words):
                self.terms.add(form, term.id)
        self._beds: dict[int, BedFinder] = {}
        self.school = school_of(facts, self.lexicon, self._template_words)
        self.lexicon.domain = self.school.domain
        self.lexicon.everyday -= self.school.foreign
        self.model = self.school.model
        self.intents: dict[str, Manner] = self.school.intents
        self.crop_share = {name: manner.crop_share for name, manner in self.intents.items()}
        self.speller = Speller(self.lexicon, self._vocabulary())
        self.crops.known = self.speller.known

    def _vocabulary(self) -> dict[str, float]:
        """Return every word that spelling may mend to, with how usual it is."""
        vocabulary = dict(self.crops.words)
        for trie in (*self.lexicon.tries.values(), self.lexicon.unit_trie, self.lexicon.varieties, self.terms, *self.lexicon.follow.values()):
            for word in trie.words:
                vocabulary.setdefault(word, 1.0)
        for word in self.dates.words:
            vocabulary.setdefault(word, 1.0)
        for word, count in self.school.words.items():
            vocabulary[word] = min(6.0, vocabulary.get(word, 0.0) + 0.1 * count)
        for word in (*self.lexicon.numbers, *self.lexicon.stems, *self.lexicon.fillers):
            vocabulary.setdefault(word, 1.0)
        return vocabulary

    def phrases(self) -> list[str]:
        """Return the phrase templates, slots as words, for measuring against."""
        return [t.text for t in templates(load_intents(self.facts.root))]

    def _template_words(self, text: str) -> tuple[list[str], list[str]]:
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
                    words.append("<bed>" if parts[i] == "<name>" and False else parts[i])
                i += 1
        return words, extra

    # ------------------------------------------------------------------ reading

    def read(self, text: str, names: PlotNames, memory: Memory, today: date, place_region: str = "GB") -> Reading:
        """Understand one message of a person's conversation."""
        from bot.understanding.talk import converse

        return converse(self, text, names, memory, today, place_region)

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
        beds = self._bed_finder(names)
        changed = self.speller.mend(tokens, beds.words)
        sheet = Sheet.of(text, tokens)
        for i in range(len(tokens)):
            hit = self.lexicon.traps.longest(tokens, i)
            if hit:
                sheet.mark(Found("trap", i, hit[0], hit[1]))
        find_sizes(sheet, self.lexicon, region)
        mark_terms(self, sheet)
        mark_spots(self, sheet)
        beds.find(sheet)
        self._pests(sheet)
        self._mark(sheet, "materials", 2)
        self._mark(sheet, "products", 2)
        self.crops.find(sheet)
        self.dates.find(sheet, region, region in _SOUTH)
        find_measures(sheet, self.lexicon, region)
        beds.find_unknown(sheet)
        for found in list(sheet.found):
            if found.kind in ("crop", "variety", "group"):
                hit_count = count_before(sheet, found.start, self.lexicon)
                if hit_count:
                    sheet.mark(Found("qty", hit_count[0], hit_count[0] + 1, hit_count[1]))
        for found in list(sheet.found):
            if found.kind in ("crop", "variety", "group") and not any(f.kind == "qty" for f in sheet.found):
                self._counts_after(sheet)
                break
        for kind in ("covers", "materials", "products", "methods"):
            self._mark(sheet, kind)
        return sheet, changed

    def _counts_after(self, sheet: Sheet) -> None:
        for found in list(sheet.found):
            if found.kind in ("crop", "variety", "group"):
                hit = count_after(sheet, found.end, self.lexicon)
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
            if hit and sheet.free(i, hit[0]):
                sheet.mark(Found("pest", i, hit[0], hit[1]))

    def _mark(self, sheet: Sheet, kind: str, least: int = 1) -> None:
        trie = self.lexicon.tries[kind]
        for i in range(len(sheet.tokens)):
            hit = None if sheet.taken[i] else trie.longest(sheet.tokens, i)
            if hit and hit[0] - i >= least and sheet.free(i, hit[0]):
                sheet.mark(Found(_SLOT_OF[kind], i, hit[0], hit[1]))

    def clause(self, sheet: Sheet, start: int, end: int) -> Clause:
        """Score one clause."""
        words, extra, mark = self.slotted(sheet, start, end)
        question = asks(words, self.lexicon, mark)
        found = features(words, extra, self.lexicon, question)
        linear, share, likeness = self.model.scores(found)
        mix = self.rules["mix"]
        scores = linear * float(mix["linear"]) + float(mix["nearest"]) * np.log(share + float(mix["floor"]))
        self._gate(scores, words, question)
        scores = scores - scores.max()
        chance = np.exp(scores)
        chance /= chance.sum()
        best = np.argsort(-chance)[:6]
        ranked = [(self.model.intents[i], float(chance[i])) for i in best]
        return Clause(start, end, words, extra, question, found, ranked, likeness)

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
                shown = {"unknown_bed": "bed", "stranger": "crop", "variety": "crop" if found.value else ""}.get(found.kind, found.kind)
                inner = [t.word for t in sheet.tokens[found.start:found.end] if t.kind == "word"]
                if found.kind == "method":
                    words += inner
                elif shown:
                    words.append(f"<{shown}>")
                    if found.kind in ("pest", "material", "cover", "product", "term"):
                        extra += inner
                    elif found.kind == "bed" and any(w in ("tunnel", "polytunnel", "greenhouse", "frame") for w in inner):
                        extra.append("<cover>")
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

    def _gate(self, scores: Any, words: list[str], question: bool) -> None:
        """Make records unlikely for questions, and looking ahead unlikely for questions of the past."""
        penalty = float(self.rules["question_penalty"])
        if self._of_the_past(words):
            for i, name in enumerate(self.model.intents):
                if name in self.rules["looks_ahead"]:
                    scores[i] -= penalty
        if question:
            for i, name in enumerate(self.model.intents):
                if self.intents[name].kind == "record":
                    scores[i] -= penalty

    def _of_the_past(self, words: list[str]) -> bool:
        """Tell whether a question asks what was: "when did I sow", "when were they lifted"."""
        kept = [w for w in words if w not in self.lexicon.fillers]
        return any(a in ("when", "how", "what") and b in self.rules["past_verbs"] for a, b in zip(kept, kept[1:], strict=False))

    # ------------------------------------------------------------------ requests

    def request(self, clause: Clause, intent: str, confidence: float, sheet: Sheet, names: PlotNames, today: date, region: str) -> Request:
        """Fill a request's slots from its clause."""
        inside = [f for f in sheet.found if clause.start <= f.start < clause.end]
        past = self.intents[intent].kind == "record" or intent in self.rules["looks_back"]
        if self.intents[intent].kind == "set" or intent in ("none",):
            past = False
        when: When | None = None
        for found in inside:
            if found.kind == "date":
                when = resolve(found, sheet, today, past)
                break
        beds = tuple(dict.fromkeys(f.value for f in inside if f.kind == "bed"))
        crops: list[str] = []
        choices: tuple[str, ...] = ()
        group = None
        for found in inside:
            if found.kind == "crop":
                sense: Sense = found.value
                settled = self._settle(sense, beds, names, intent)
                if settled:
                    crops.append(settled)
                else:
                    choices = tuple(dict.fromkeys((*choices, sense.crop, *sense.others)))
            elif found.kind == "variety" and found.value:
                crops.append(found.value)
            elif found.kind == "group":
                group = found.value.group
        if group and not crops and not choices:
            members = next((f.value.members for f in inside if f.kind == "group"), ())
            crops = list(members)
        if intent in ("pest", "log_pest_seen", "companion", "blight_risk"):
            for found in inside:
                named = self.crops.trie.longest(sheet.tokens, found.start) if found.kind == "pest" else None
                if named and named[0] < found.end and named[1].crop and named[1].crop not in crops:
                    crops.append(named[1].crop)
        product = next((f.value for f in inside if f.kind == "product"), None)
        if not crops and not choices and product in self.lexicon.made_of and intent in self.rules["made_of"]:
            crops = self.lexicon.made_of[product][:1]
        if intent in ("set_bed", "add_bed", "set_location", "set_frost_dates", "share_plot"):
            crops = [c for c in crops if not any(f.kind == "crop" and sheet.word(f.end) in ("bed", "patch") for f in inside)]
            choices = ()
        variety = next((f.tag for f in inside if f.kind == "variety"), None)
        unknown = None
        if not crops and not choices and intent not in ("none", "help", "greeting", "thanks"):
            stranger = next((f for f in inside if f.kind == "stranger"), None)
            hit = self.crops.unknown(sheet, clause.start, clause.end)
            unknown = sheet.said(stranger.start, stranger.end) if stranger else hit[0] if hit else None
        quantities = tuple(f.value for f in inside if f.kind == "qty")
        request = Request(
            intent=intent, confidence=round(confidence, 4), text=sheet.said(clause.start, clause.end),
            crops=tuple(dict.fromkeys(crops)), crop_choices=choices if not crops else (), group=group, unknown_crop=unknown, variety=variety,
            beds=beds, unknown_bed=next((f.value for f in inside if f.kind == "unknown_bed"), None),
            quantities=quantities, size_m=next((f.value for f in inside if f.kind == "size"), None), when=when,
            method=next((f.value for f in inside if f.kind == "method"), None),
            product=product,
            pest=next((f.value for f in inside if f.kind == "pest"), None),
            materials=tuple(dict.fromkeys(f.value for f in inside if f.kind == "material")),
            cover=next((f.value for f in inside if f.kind == "cover"), None),
            temperature_c=next((f.value for f in inside if f.kind == "temp"), None),
            alternatives=tuple(r for r in clause.ranked if r[0] != intent)[:3],
        )
        return add_special(self, request, sheet, clause.start, clause.end)

    def _settle(self, sense: Sense, beds: tuple[str, ...], names: PlotNames, intent: str) -> str | None:
        """Return the crop a name means here, or None when it must be asked."""
        candidates = (sense.crop, *sense.others)
        if len(candidates) == 1 or (not sense.asks and intent in self.rules["plain_meaning"]):
            return sense.crop
        if intent in self.rules["settled_by_stores"]:
            kept = [c for c in candidates if c in names.stored]
            if len(kept) == 1:
                return kept[0]
        if intent not in self.rules["not_settled_by_plot"]:
            for bed in beds:
                there = [c for c in candidates if c in names.growing.get(bed, ())]
                if len(there) == 1:
                    return there[0]
            standing = [c for c in candidates if c in names.standing]
            if len(standing) == 1:
                return standing[0]
        return None if sense.asks else sense.crop


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


__all__ = ["PlotNames", "Reading", "Understander", "clean", "words_of", "KINDS", "Quantity"]
