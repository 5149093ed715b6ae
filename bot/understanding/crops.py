"""Find crop and group names in a message."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.understanding.crop_names import CropNames, Sense
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.text import plain

if TYPE_CHECKING:
    from bot.facts import Facts


class CropFinder:
    """Mark crop names on a sheet."""

    def __init__(self, facts: Facts, lexicon: Lexicon) -> None:
        self.lexicon, self.names = lexicon, CropNames(facts, lexicon)
        self.trie, self.slips = self.names.trie, self.names.slips
        self.known: set[str] = set()  # every word of garden talk, once the speller knows it: such a word is no slip

    def find(self, sheet: Sheet) -> None:
        """Mark crop names, varieties that stand for their crop, and groups."""
        i, beside = 0, self.lexicon.beside
        while i < len(sheet.tokens):
            if sheet.taken[i] or sheet.tokens[i].kind != "word":
                i += 1
                continue
            hit = self._longest(sheet, i)
            if hit and hit[1].group and self._told_apart(sheet, i, hit[0]):
                hit = self.trie.longest(sheet.tokens[:i + 1], i)  # "picked peas and beans": of the one and of the other
            kind_of = self._variety_at(sheet, i) if hit else None
            if hit and kind_of and kind_of[0] > hit[0] and kind_of[1] != hit[1].crop:
                i = kind_of[0]  # "crown prince", "cherry belle": no crown and no cherry
                continue
            if hit and sheet.free(i, hit[0]):
                end, sense = hit
                done = sense.shy and end == i + 1 and sheet.word(i) in beside["crops_and_deeds"] and sheet.word(i - 1) in beside["before_deeds"]
                if not done and (sense.shy < 2 or self._expected(sheet, i, end)):
                    if sense.group in self.lexicon.sets["wish_groups"]:
                        i = end
                        continue
                    kind = "stranger" if sense.stranger else "group" if sense.group else "crop"
                    sheet.mark(Found(kind, i, end, sense))
                    i = end
                    continue
            i += 1
        self._near_names(sheet)
        self._parts(sheet)
        self._varieties(sheet)
        self._slips(sheet)

    def _told_apart(self, sheet: Sheet, start: int, end: int) -> bool:
        """Tell whether a group is said as a list of its crops ("peas and beans") in a message that tells of something done."""
        names = [sheet.word(k) for k in range(start, end) if sheet.word(k) != "and"]
        return (len(names) < end - start and any(sheet.word(k) in self.lexicon.told for k in range(start))
                and all((sense := self.trie.get((name,))) is not None and sense.crop for name in names))

    def _parts(self, sheet: Sheet) -> None:
        """Take back "sets" after shallots, "12 runners" after strawberries and "3 crowns" of rhubarb: parts of the crop that is named."""
        named = [f for f in sheet.found if f.kind == "crop"]
        for found in named:
            others = {f.value.crop for f in named if f is not found} - {found.value.crop}
            if found.end > found.start + 1 or not others:
                continue
            word = sheet.word(found.start)
            begun = self.names.begun.get(word if word.endswith("s") else word + "s", set())
            before = found.start - 1
            while before >= 0 and sheet.tokens[before].kind in ("mark", "number"):
                before -= 1
            only_begun = found.value.crop in begun or sheet.at(before, "crop") is not None  # 2 kg of runners may be beans
            if (others & begun and only_begun) or (found.value.part and found.value.shy):
                sheet.unmark(found)

    def _longest(self, sheet: Sheet, i: int) -> tuple[int, Sense] | None:
        raw = self.trie.longest(sheet.tokens, i, raw=True)
        mended = self.trie.longest(sheet.tokens, i)
        best = max((h for h in (raw, mended) if h), key=lambda h: h[0], default=None)
        if best is None and i + 1 < len(sheet.tokens) and sheet.tokens[i + 1].kind == "word":
            joined = sheet.word(i) + sheet.word(i + 1)
            sense = self.trie.get((joined,)) if len(joined) >= 6 else None
            if sense and not (sheet.word(i) in self.lexicon.common and sheet.word(i + 1) in self.lexicon.common
                              and len(joined) < 8):
                return i + 2, sense
        return best

    def _near_names(self, sheet: Sheet) -> None:
        """Take words a slip away from a whole name ("red bet", "corn sald") for it, where a crop is expected.

        Words are mended one by one before this; a slip that makes another ordinary word shows only in the whole name.
        """
        for i, token in enumerate(sheet.tokens):
            if (token.kind != "word" or token.raw in self.lexicon.sets["not_crops"]
                    or not self._expected(sheet, i, i + 1)):
                continue
            for size in (4, 3, 2, 1):
                run = sheet.tokens[i:i + size]
                if len(run) < size or any(t.kind != "word" for t in run):
                    continue
                if size == 1 and (token.raw in self.known or token.raw in self.lexicon.common):
                    continue
                over = [f for f in sheet.found if f.start < i + size and f.end > i]
                if any(f.kind not in ("crop", "group") or f.start < i or f.end > i + size for f in over):
                    continue
                if self.trie.get(tuple(t.raw for t in run)) is not None or any((f.start, f.end) == (i, i + size) for f in over):
                    break  # found as it was typed, or as it was mended: "toato" is a tomato and no tato
                sense = self.names.a_slip_from(tuple(plain(t.raw) for t in run))
                if sense is not None:
                    for found in over:
                        sheet.found.remove(found)
                        sheet.taken[found.start:found.end] = [False] * (found.end - found.start)
                    sheet.mark(Found("crop", i, i + size, sense, sure=0.8))
                    break
            return

    def _expected(self, sheet: Sheet, start: int, end: int) -> bool:
        """Tell whether a crop is expected at a place: after a crop verb, "of", or a quantity."""
        back = start - 1
        steps = 0
        while back >= 0 and steps < 4:
            word = sheet.word(back)
            found = sheet.at(back, "qty", "crop")
            if (word in self.lexicon.sets["crop_verbs"] or (found and found.kind == "qty")
                    or sheet.tokens[back].kind == "number"
                    or (steps == 0 and word in self.lexicon.numbers and word not in ("a", "an"))):
                return True
            measured = word in self.lexicon.units and sheet.tokens[back - 1].kind == "number"
            if not measured and word not in self.lexicon.beside["before_crops"]:
                return False
            back -= 1
            steps += 1
        return False

    def _variety_at(self, sheet: Sheet, i: int) -> tuple[int, str] | None:
        """Return the end and the crop of the variety whose name begins at a token."""
        return self.lexicon.varieties.longest(sheet.tokens, i) or self.lexicon.varieties.longest(sheet.tokens, i, raw=True)

    def _varieties(self, sheet: Sheet) -> None:
        """Mark variety names: beside a crop they are its variety, alone they stand for their crop."""
        for i in range(len(sheet.tokens)):
            if sheet.taken[i]:
                continue
            hit = self._variety_at(sheet, i)
            if not hit or not sheet.free(i, hit[0]):
                continue
            end, crop = hit
            beside = sheet.at(end, "crop") or sheet.at(i - 1, "crop")
            strange = end - i > 1 or sheet.word(i) not in self.lexicon.common
            if (beside or (strange and end - i > 1) or (strange and len(sheet.word(i)) > 4)
                    or self._expected(sheet, i, end)):
                if beside is None and not strange and not self._expected(sheet, i, end):
                    continue
                sheet.mark(Found("variety", i, end, crop if beside is None else "", tag=sheet.said(i, end)))

    def _slips(self, sheet: Sheet) -> None:
        """Take real words for the crop they are often mistaken for, but only where a crop is expected; beside a crop, only several words."""
        listed = any(f.kind in ("crop", "group") for f in sheet.found)
        for i in range(len(sheet.tokens)):
            hit = None if sheet.taken[i] else self.slips.longest(sheet.tokens, i) or self.slips.longest(sheet.tokens, i, raw=True)
            shorter = [f for f in sheet.found if hit and hit[1].heard and f.kind == "crop" and i < f.start and f.end <= hit[0]]  # the beans of "run a beans"
            within = sum(f.end - f.start for f in shorter)
            if (hit and sum(sheet.taken[i:hit[0]]) == within and (hit[0] > i + 1 or sheet.word(i) not in self.lexicon.sets["not_crops"])
                    and (hit[0] > i + 1 or not listed)
                    and (self._is_heard(sheet, i, hit[0]) if hit[1].heard else not listed and self._expected(sheet, i, hit[0]))):
                for found in shorter:
                    sheet.unmark(found)
                sheet.mark(Found("crop", i, hit[0], hit[1], sure=0.7))
                listed = True

    def _is_heard(self, sheet: Sheet, start: int, end: int) -> bool:
        """Tell whether words dictation puts for a crop stand right after a crop verb, an amount at most between, and tell of nothing after them.

        "Picked 3 core jets" are courgettes; "2 friends came" and "dug a narrow trench" are none.
        """
        back, before = start - 1, {*self.lexicon.beside["before_crops"], *self.lexicon.numbers, *self.lexicon.units}
        while back >= 0 and (sheet.tokens[back].kind == "number" or sheet.at(back, "crop", "qty")
                             or sheet.word(back) in before):
            back -= 1
        after = sheet.word(end)
        ends = after in self.lexicon.beside["after_heard"] or sheet.taken[end] or sheet.tokens[end].kind != "word"
        if after in ("out", "off", "up"):  # "picked core jets off bed 2", not "lifted the letters off the mat"
            ends = any(f.kind == "bed" for f in sheet.found)
        return sheet.word(back) in self.lexicon.sets["crop_verbs"] and ends

    def unknown(self, sheet: Sheet, start: int, end: int) -> tuple[str, int, int] | None:
        """Return the words standing where a crop is expected but known as nothing, or None."""
        sets = self.lexicon.sets
        for i in range(start, end):
            if sheet.word(i) not in sets["crop_verbs"]:
                continue
            j = i + 1
            while j < end and (sheet.word(j) in self.lexicon.beside["before_strangers"]
                               or (sheet.at(j, "qty") is not None) or sheet.tokens[j].kind == "number" or sheet.word(j) in self.lexicon.numbers):
                j += 1
            k = j
            while (k < end and k - j < 3 and sheet.tokens[k].kind == "word" and not sheet.taken[k]
                    and sheet.word(k) not in sets["not_crops"] and sheet.word(k) not in sets["crop_verbs"]
                    and len(sheet.word(k)) > 2):
                k += 1
            if k > j:
                return sheet.said(j, k), j, k
        return None
