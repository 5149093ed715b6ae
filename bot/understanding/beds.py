"""Find the plot's growing places in a message."""

from __future__ import annotations

from rapidfuzz import fuzz

from bot.understanding.dates import ordinal
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon, Trie
from bot.understanding.numbers import figure, read_number
from bot.understanding.text import words_of

_BED = ("bed", "beds")


class BedFinder:
    """Mark beds by name, nickname or number. Built once per set of beds (cheap: a plot has few, or some hundreds)."""

    def __init__(self, beds: dict[str, tuple[str, ...]], lexicon: Lexicon) -> None:
        self.lexicon = lexicon
        self.beside = lexicon.beside
        self.trie = Trie()
        self.short = Trie()
        self.numbered: dict[int, str] = {}
        self.names: list[tuple[str, str]] = []
        for bed, names in beds.items():
            for name in names:
                parts = [p for p in words_of(name) if p not in ("the",)]
                if not parts:
                    continue
                self.trie.add(" ".join(parts), bed)
                self.names.append((" ".join(parts), bed))
                if len(parts) == 2 and parts[0] in _BED and parts[1].isdigit():
                    self.numbered.setdefault(int(parts[1]), bed)
                elif len(parts) >= 2 and parts[-1] in ("bed", "border", "patch") and len(parts[0]) > 2 \
                        and parts[0] not in lexicon.sets["plain_beds"]:
                    self.short.add(" ".join(parts[:-1]), bed)
        for bed, names in beds.items():
            for name in names:
                for known, sayings in lexicon.language["called_also"].items():
                    if known in words_of(name):
                        for saying in sayings:
                            if self.trie.get(words_of(saying)) is None:
                                self.trie.add(saying, bed)
        self.roofs = self._roofs()
        self.words = {w for w in self.trie.words if len(w) > 3 and w.isalpha()}

    def _roofs(self) -> dict[str, str]:
        """Return the one bed of each kind of roof by the cover's id: the only greenhouse is "the glasshouse" too."""
        under: dict[str, set[str]] = {}
        for name, bed in self.names:
            words = name.split()
            while len(words) > 1 and words[-1].isdigit():
                words.pop()
            for start in range(len(words)):
                cover = self.lexicon.tries["covers"].get(tuple(words[start:]))
                if cover is not None:
                    under.setdefault(cover, set()).add(bed)
                    break
        return {cover: next(iter(beds)) for cover, beds in under.items() if len(beds) == 1}

    def find(self, sheet: Sheet) -> None:
        """Mark known beds, then beds that are clearly meant but unknown."""
        for i in range(len(sheet.tokens)):
            if sheet.taken[i] or (sheet.tokens[i].kind == "mark" and sheet.word(i) != "#"):
                continue
            hit = self.trie.longest(sheet.tokens, i) or self.trie.longest(sheet.tokens, i, raw=True)
            if hit and hit[0] == i + 1 and len(sheet.word(i)) == 1 and not self._is_letter(sheet, i):
                hit = None
            if hit and sheet.free(i, hit[0]) and not self._is_other(sheet, i, hit[0]):
                sheet.mark(Found("bed", i, hit[0], hit[1]))
                if sheet.word(hit[0]) != "," or _small(sheet, hit[0] - 1, self.lexicon) is not None:
                    self._more_numbers(sheet, hit[0])  # "from the tunnel, 3" counts what was picked
                continue
            self._numbered(sheet, i)
        for i in range(len(sheet.tokens)):
            if not sheet.taken[i]:
                self._short(sheet, i)
                self._moved(sheet, i)
                self._roof(sheet, i)
                self._bare_number(sheet, i)
                self._letter(sheet, i)

    def find_unknown(self, sheet: Sheet) -> None:
        """Mark "<word> bed" where no known bed has that name; near misses in spelling are taken."""
        for i, token in enumerate(sheet.tokens):
            if (token.word == "one" and sheet.free(i - 2, i + 1) and sheet.word(i - 2) == "the" and sheet.word(i - 3) in self.beside["before_beds"]
                    and sheet.word(i - 1) in self.lexicon.sets["mere_places"] and any(f.kind == "bed" and f.end < i for f in sheet.found)):
                sheet.mark(Found("unknown_bed", i - 2, i + 1, sheet.said(i - 2, i + 1)))  # "… in the top bed and 3 in the bottom one"
            if token.word not in _BED or sheet.taken[i] or i == 0:
                continue
            before = sheet.word(i - 1)
            if (sheet.at(i - 1) is not None or before in self.lexicon.sets["plain_beds"]
                    or sheet.tokens[i - 1].kind != "word"):
                continue
            start = i - 1
            said = f"{before} {token.word.rstrip('s')}"
            best = max(((fuzz.ratio(said, name), bed) for name, bed in self.names), default=(0.0, ""))
            if best[0] >= 84:
                sheet.mark(Found("bed", start, i + 1, best[1], sure=best[0] / 100))
            elif sheet.word(start - 1) in (*self.beside["before_beds"], "the", "my", "our") and token.word == "bed" and len(before) > 2:
                sheet.mark(Found("unknown_bed", start, i + 1, sheet.said(start, i + 1)))

    def _is_other(self, sheet: Sheet, start: int, end: int) -> bool:
        """Tell a bed named "Tunnel" from "low tunnel" or "tunnel vision"."""
        return (sheet.word(start - 1) in self.beside["before_no_tunnel"]
                or sheet.word(end) in self.beside["after_no_tunnel"])

    def _numbered(self, sheet: Sheet, i: int) -> None:
        word = sheet.word(i)
        if word in _BED or word in ("b", "bd", "bef", "bde"):
            j = i + 1
            while sheet.word(j) in ("no", "number", "nr", "num", "#", ".", "nos"):
                j += 1
            number = _small(sheet, j, self.lexicon)
            if number is None or (word not in _BED
                                  and not (word == "b" and (sheet.tokens[j].glued or sheet.word(i - 1) in self.beside["before_beds"]))):
                return
            alone = (i == 0 or sheet.tokens[i - 1].kind == "mark" or j + 1 == len(sheet.tokens)
                     or sheet.tokens[j + 1].kind == "mark")
            if word == "b" and sheet.word(i - 1) not in self.beside["before_beds"] and not (alone and number in self.numbered):
                return
            if sheet.word(j + 1) in ("x", "by", ".", "/") and figure(sheet.word(j + 2)) is not None or (
                    sheet.word(j + 1) != "in" and self.lexicon.unit_trie.longest(sheet.tokens, j + 1)):
                return  # "a bed 4 ft x 8 ft" is a size
            self._mark_number(sheet, i, j + 1, number)
            self._more_numbers(sheet, j + 1)
        elif ordinal(sheet, i) is not None and sheet.word(i + 1) == "bed" and (
                sheet.word(i - 1) in ("the", "my", "our", "in")
                or (ordinal(sheet, i) in self.numbered and sheet.word(i - 1) not in ("a", "every", "per", "each"))):
            self._mark_number(sheet, i, i + 2, ordinal(sheet, i) or 0)
        elif word in ("no", "number", "#", "numbers", "nos"):
            j = i + 2 if sheet.word(i + 1) == "." else i + 1
            number = _small(sheet, j, self.lexicon)
            listed = word in ("numbers", "nos") and sheet.word(j + 1) in (",", "and", "&") and _small(sheet, j + 2, self.lexicon) in self.numbered
            if number is not None and (sheet.word(j + 1) == "bed" or sheet.word(i - 1) in self.beside["before_beds"] or listed):
                end = j + 2 if sheet.word(j + 1) == "bed" else j + 1
                self._mark_number(sheet, i, end, number)
                self._more_numbers(sheet, end)

    def _mark_number(self, sheet: Sheet, start: int, end: int, number: int) -> None:
        bed = self.numbered.get(number)
        if bed:
            sheet.mark(Found("bed", start, end, bed))
        else:
            sheet.mark(Found("unknown_bed", start, end, f"bed {number}"))

    def _more_numbers(self, sheet: Sheet, at: int) -> None:
        """Read on through "beds 1, 2 and 3" and "beds 1 to 3"."""
        last = (_small(sheet, at + 1, self.lexicon)
                if sheet.word(at) in ("to", "-", "till", "until", "through", "thru") and sheet.word(at - 2) == "beds"
                else None)
        first = _small(sheet, at - 1, self.lexicon)
        if first is not None and last is not None and first < last <= first + 20:
            for number in range(first + 1, last + 1):
                if number in self.numbered:
                    sheet.found.append(Found("bed", at, at + 2, self.numbered[number]))
            sheet.taken[at:at + 2] = [True, True]
            return
        while sheet.word(at) in (",", "and", "&", "+", "or"):
            j = at + 1
            while sheet.word(j) in ("and", "&", "bed", "#", "no", "number") or (sheet.word(j) == "in" and sheet.word(at) in ("and", "or")):
                j += 1
            another = _small(sheet, j, self.lexicon)
            follows = sheet.tokens[j + 1] if j + 1 < len(sheet.tokens) else None
            if (another is None or another not in self.numbered
                    or (follows is not None and follows.kind != "mark" and follows.word not in self.beside["after_bed_numbers"])):
                return
            if follows is not None and follows.word != "in" and self.lexicon.unit_trie.longest(sheet.tokens, j + 1):
                return
            if follows is not None and follows.word in ("from", "in", "off") and self._names_bed(sheet, j + 2):
                return  # "7 from bed 1, 4 from bed 3": four of them
            sheet.mark(Found("bed", j, j + 1, self.numbered[another]))
            at = j + 1

    def _names_bed(self, sheet: Sheet, at: int) -> bool:
        """Tell whether a bed is named at a token, "the" passed over."""
        while sheet.word(at) in ("the", "my", "our"):
            at += 1
        return sheet.word(at) in _BED or self.trie.longest(sheet.tokens, at) is not None

    def _short(self, sheet: Sheet, i: int) -> None:
        """Take "the arch" for the arch bed after a word of place, and "the shady one" anywhere."""
        hit = self.short.longest(sheet.tokens, i)
        if hit is None or not sheet.free(i, hit[0]):
            return
        if sheet.word(i - 1) == "the" and sheet.word(hit[0]) == "one":
            sheet.mark(Found("bed", i, hit[0] + 1, hit[1]))
        elif sheet.word(hit[0]) in ("end", "side") and sheet.word(hit[0] + 1) in _BED:
            sheet.mark(Found("bed", i, hit[0] + 2, hit[1]))
        elif i == 0 and sheet.word(hit[0]) == ":":
            sheet.mark(Found("bed", i, hit[0], hit[1]))  # "arch: 10 runners planted"
        elif sheet.word(hit[0]) == "end" and sheet.word(i - 1) == "the" and sheet.word(i) not in self.lexicon.sets["mere_places"]:
            sheet.mark(Found("bed", i, hit[0] + 1, hit[1]))  # "in the shady end"
        elif sheet.word(hit[0]) in self.beside["after_short_beds"] and (sheet.word(i - 1) in ("in", "from") or (
                i > 0 and sheet.tokens[i - 1].kind == "mark" and hit[0] == len(sheet.tokens)
                and sheet.word(i) not in self.lexicon.sets["mere_places"])
                or (sheet.word(i - 1) == "the" and self._points(sheet, i))):
            sheet.mark(Found("bed", i, hit[0], hit[1]))

    def _is_letter(self, sheet: Sheet, i: int) -> bool:
        """Tell a bed named "A" or "B" from an article and from a letter of something else."""
        before, follows = sheet.word(i - 1), sheet.word(i + 1)
        ends = i + 1 >= len(sheet.tokens) or sheet.tokens[i + 1].kind == "mark" or follows in self.beside["after_bare_beds"]
        if sheet.tokens[i].upper and i > 0:
            return True
        return (before in (*_BED, "in", "from", "into") and ends) or (i == 0 and follows in ("", "is", "gets", "has"))

    def _letter(self, sheet: Sheet, i: int) -> None:
        """Mark "in B" as a bed that is not there, on a plot whose beds have letters."""
        follows = sheet.tokens[i + 2] if i + 2 < len(sheet.tokens) else None
        if (sheet.word(i) in ("in", "into", "from") and len(sheet.word(i + 1)) == 1 and sheet.tokens[i + 1].upper
                and not sheet.taken[i + 1] and any(len(name) == 1 for name, _ in self.names)
                and (follows is None or follows.kind == "mark" or follows.word in self.beside["after_bare_beds"])):
            sheet.mark(Found("unknown_bed", i + 1, i + 2, sheet.said(i + 1, i + 2)))

    def _roof(self, sheet: Sheet, i: int) -> None:
        """Take "in the glasshouse" and "the hoop house" for the only greenhouse and tunnel, whatever they are named."""
        hit = self.lexicon.tries["covers"].longest(sheet.tokens, i)
        if (hit and hit[1] in self.roofs and sheet.free(i, hit[0]) and not self._is_other(sheet, i, hit[0])
                and sheet.word(i - 1) in ("", "the", "my", "our", "in", "from", "inside", "into", "and")
                and sheet.word(i) not in ("under", "glass")):
            sheet.mark(Found("bed", i, hit[0], self.roofs[hit[1]]))

    def _bare_number(self, sheet: Sheet, i: int) -> None:
        """Take "garlic in 1", "sowed broad beans in 3, 2 rows" and "watered 1, 2 and the tunnel" for beds; "ready in 3", "1 in 3" and "fed 2 rows" are none."""
        number = figure(sheet.word(i + 1))
        follows = sheet.tokens[i + 2] if i + 2 < len(sheet.tokens) else None
        if (sheet.word(i) not in ("in", "into", "from") and sheet.word(i) not in self.beside["bed_deeds"] or sheet.taken[i + 1] or number not in self.numbered
                or sheet.word(i - 1) in self.beside["before_no_bed"] or figure(sheet.word(i - 1)) is not None
                or (follows is not None and follows.kind != "mark" and follows.word not in self.beside["after_bare_beds"] and follows.word not in self.lexicon.told
                    and not (follows.word == "or" and sheet.word(i + 3) == sheet.word(i)))
                or (sheet.word(i + 2) in (".", "/", "-", ":") and figure(sheet.word(i + 3)) is not None)):
            return
        sheet.mark(Found("bed", i + 1, i + 2, self.numbered[int(number)]))
        self._more_numbers(sheet, i + 2)

    def _moved(self, sheet: Sheet, i: int) -> None:
        """Take "moved the leeks from 1 to 3" for beds."""
        if (sheet.word(i) == "from" and sheet.word(i + 2) in ("to", "into")
                and any(t.word in ("moved", "shifted", "transplanted", "move", "relocated") for t in sheet.tokens[:i])):
            ends = [(k, _small(sheet, k, self.lexicon)) for k in (i + 1, i + 3)]
            for k, number in ends:
                if all(n in self.numbered for _, n in ends):
                    sheet.mark(Found("bed", k, k + 1, self.numbered[number or 0]))

    def _points(self, sheet: Sheet, i: int) -> bool:
        """Tell whether "the" before the first word of a bed's name means the bed.

        "up the top" does, "by the wall" does not, "the arch" always does.
        """
        before = sheet.word(i - 2)
        return (before in self.beside["before_the_middle"] or sheet.word(i) not in self.lexicon.sets["mere_places"]
                or (before == "up" and sheet.word(i) == "top"))


def _small(sheet: Sheet, at: int, lexicon: Lexicon) -> int | None:
    """Return a whole number from 1 to 999 at a position."""
    value = figure(sheet.word(at))
    if value is None and (heard := lexicon.rules["heard_numbers"].get(sheet.word(at))) and sheet.word(at - 1) in _BED \
            and sheet.word(at - 2) not in lexicon.beside["before_no_number"] and (
            sheet.word(at) in lexicon.beside["heard_numbers_alone"] or at + 1 >= len(sheet.tokens) or sheet.tokens[at + 1].kind == "mark"
            or sheet.word(at + 1) in lexicon.beside["after_heard_numbers"]):
        value = float(heard)
    if value is None:
        number = read_number(sheet, at, lexicon)
        if (number is None or number.article or number.value != int(number.value) or number.vague
                or sheet.word(at) in ("couple", "pair", "brace", "half")):
            return None
        value = number.value
    return int(value) if value == int(value) and 1 <= value <= 999 and len(sheet.word(at)) <= 9 else None
