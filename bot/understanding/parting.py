"""Decide how many things a message says, and which words say each: the likeliest of all ways to cut it.

A way is weighed by what its clauses are and by what stands beside what (`ways`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from bot.understanding.cutting import chances, gaps, opening
from bot.understanding.found import Sheet
from bot.understanding.ways import Laid, Stretch, gap_row

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander

#: At most so many gaps are weighed of a message of fewer than so many words and marks, its likeliest ones, and none of less log odds than LEAST.
MOST_GAPS, LEAST = ((60, 6), (200, 3), (10_000, 2)), -9.0
#: From these log odds on a glance tells of a gap that no word does, below those it rules one out, and above the last they count for no more.
SEEN, NEVER, MOST_ODDS = -2.0, -7.5, 6.0


@dataclass(frozen=True, slots=True, order=True)
class Gap:
    """A place where one thing said may end: tokens [.., end) before it and [start, ..) after, and the log odds that something new begins there,
    by the words around it and at a glance."""

    end: int
    start: int
    odds: float
    begins: float

    @property
    def sum(self) -> float:
        """Return both odds together."""
        return self.odds + self.begins


class Ways:
    """Every way to cut a sheet at its likely gaps, its stretches read once."""

    def __init__(self, reader: Understander, sheet: Sheet) -> None:
        self.reader, self.sheet, size = reader, sheet, len(sheet.tokens)
        odds = [g for g in self._odds() if g.sum > LEAST]
        most = next((many for below, many in MOST_GAPS if size < below), 1)
        self.gaps = sorted(sorted(odds, key=lambda g: -g.sum)[:most])
        self._bounds = [(0, 0), *((g.end, g.start) for g in self.gaps), (size, size)]
        self._read: dict[tuple[int, int], tuple[Clause, Stretch] | None] = {}

    def _odds(self) -> Iterator[Gap]:
        """Return every gap something new may begin after: by what stands around it, and where a glance sees a beginning."""
        reader, sheet = self.reader, self.sheet
        seen = reader.look(sheet)
        begun = {at for at, odds in zip(seen.tokens, seen.begins, strict=True) if odds > SEEN} if seen else set()
        places = [gap for gap in gaps(sheet, reader.school.openers, begun) if seen is None or seen.begin(gap[1]) > NEVER]
        places = [gap for gap in places if not _one_amount(sheet, gap)]
        for end, start, odds in chances(sheet, places, reader.school.cuts, reader.lexicon):
            yield Gap(end, start, odds, min(seen.begin(start), MOST_ODDS) if seen else 0.0)

    def all(self) -> Iterator[tuple[int, ...]]:
        """Return each way as the numbers of the gaps it cuts, the whole message first."""
        for many in range(len(self.gaps) + 1):
            yield from combinations(range(len(self.gaps)), many)

    def clauses(self, way: tuple[int, ...]) -> list[Clause] | None:
        """Return the clauses of a way; None when one of them is without a word."""
        found = [self._stretch(a, b) for a, b in self._parts(way)]
        return None if any(f is None for f in found) else [f[0] for f in found if f is not None]

    def laid(self) -> tuple[list[tuple[int, ...]], Laid]:
        """Return the ways that leave no clause without a word, and all there is to weigh them by."""
        known = [way for way in self.all() if self.clauses(way) is not None]
        numbers: dict[tuple[int, int], int] = {}
        pairs: dict[tuple[int, int, int, int], int] = {}
        ways: list[tuple[list[int], list[int], list[int]]] = []
        for way in known:
            parts = self._parts(way)
            at = [numbers.setdefault(part, len(numbers)) for part in parts]
            beside = [(gap, at[n], at[n + 1], numbers.setdefault((parts[n][0], parts[n + 1][1]), len(numbers))) for n, gap in enumerate(way)]
            ways.append((at, [pairs.setdefault(pair, len(pairs)) for pair in beside], [n for n in range(len(self.gaps)) if n not in way]))
        stretches = [found[1] for a, b in numbers if (found := self._stretch(a, b)) is not None]
        columns = {name: n for n, name in enumerate(self.reader.model.intents)}
        return known, Laid(
            np.array([stretch.row() for stretch in stretches], np.float32), np.array([columns[stretch.intent] for stretch in stretches]),
            np.array([gap_row(gap.odds, gap.begins, [t.word for t in self.sheet.tokens[gap.end:gap.start]]) for gap in self.gaps], np.float32),
            np.array(list(pairs), int).reshape(-1, 4), ways)

    def _parts(self, way: tuple[int, ...]) -> list[tuple[int, int]]:
        points = (0, *(n + 1 for n in way), len(self.gaps) + 1)
        return list(zip(points, points[1:], strict=False))

    def _stretch(self, first: int, last: int) -> tuple[Clause, Stretch] | None:
        if (first, last) not in self._read:
            reader, sheet = self.reader, self.sheet
            start, end = self._bounds[first][1], self._bounds[last][0]
            if not any(t.kind != "mark" for t in sheet.tokens[start:end]):
                self._read[(first, last)] = None
                return None
            clause = reader.clause(sheet, opening(sheet, start, end), end, near=False)
            (intent, chance), (_, second) = clause.ranked[:2]
            kind = "small" if intent in reader.rules["small_talk"] and intent != "none" else "none" if intent == "none" else reader.intents[intent].kind
            many = reader.school.many
            self._read[(first, last)] = clause, Stretch(
                intent, kind, chance, second, clause.glanced or (chance, 0.0), many.get("", 0.0) + sum(v * many.get(k, 0.0) for k, v in clause.found.items()),
                frozenset(f.kind for f in sheet.found if clause.start <= f.start < clause.end), len(clause.words), self._signs(clause))
        return self._read[(first, last)]

    def _signs(self, clause: Clause) -> tuple[bool, ...]:
        sets, said = self.reader.lexicon.sets, set(clause.words)
        asking, first = sets["question_words"] | sets["asking_verbs"], clause.words[0] if clause.words else ""
        points = set(self.reader.lexicon.language["pointers"]["crop"])
        return clause.asks, first in asking, first in points, first.startswith("<"), bool(said & points), bool(said & asking)


def parted(reader: Understander, sheet: Sheet) -> list[Clause]:
    """Return the clauses of a message, each one thing asked or told. Small talk beside something else is dropped."""
    ways = Ways(reader, sheet)
    if not ways.gaps:
        return [reader.clause(sheet, 0, len(sheet.tokens))]
    known, laid = ways.laid()
    if reader.ways is not None:
        worth = reader.ways.worth(laid)
    else:
        worth = [sum(gap.sum if n in way else -gap.sum for n, gap in enumerate(ways.gaps)) for way in known]
    best = known[max(range(len(known)), key=worth.__getitem__)]
    return _tidy(reader, sheet, in_turn(reader, sheet, ways.clauses(best) or []))


def _one_amount(sheet: Sheet, gap: tuple[int, int]) -> bool:
    """Tell whether a gap stands between an amount and what it is of: "9 pints | salsa"."""
    end, start = gap[:2]
    amount = sheet.at(end - 1, "qty") if end == start else None
    return amount is not None and amount.end == start and sheet.at(start, "product", "crop", "variety") is not None


def in_turn(reader: Understander, sheet: Sheet, alone: list[Clause]) -> list[Clause]:
    """Read the clauses of a message again, each by those before and after it."""
    read: list[Clause] = []
    for n, clause in enumerate(alone):
        # What stands before it is told by how it was read in its place, and by its own words.
        read.append(reader.clause(sheet, clause.start, clause.end, before=read[-1] if read else None, after=alone[n + 1] if n + 1 < len(alone) else None))
    return read


def _tidy(reader: Understander, sheet: Sheet, parts: list[Clause]) -> list[Clause]:
    """Join twins, drop small talk beside something else, and widen the rest over what was dropped, so that no slot is lost."""
    small = set(reader.rules["passed_over"])
    parts = _deeds(reader, sheet, _merged_twins(reader, sheet, _listed(reader, sheet, parts)))
    said = [p for p in parts if p.ranked[0][0] not in small] or parts[:1]
    wide: list[Clause] = []
    for n, part in enumerate(said):
        start = parts[0].start if n == 0 else part.start
        end = said[n + 1].start if n + 1 < len(said) else parts[-1].end
        wide.append(replace(part, start=start, end=end))
    return wide


def _listed(reader: Understander, sheet: Sheet, parts: list[Clause]) -> list[Clause]:
    """Join "4 cukes" and "6 peppers in the tunnel" to the record they go on listing: parts that only name and count."""
    done: list[Clause] = []
    for part in parts:
        bare = all(w.startswith("<") or w in _LISTING for w in part.words) and any(w in ("<crop>", "<qty>", "<product>") for w in part.words)
        if done and bare and reader.intents[done[-1].ranked[0][0]].kind == "record":
            done[-1] = replace(done[-1], end=part.end)
        else:
            done.append(part)
    return done


#: The plain words that a part which only goes on with a list may hold.
_LISTING = frozenset(("and", "in", "the", "of", "a", "an", "on", "at", "from", "some", "into", "out", "too", "also", "with", "my",
                      "all", "each", "both", "about", "or", "so", "more", "another", "nice", "big", "small", "good", "lovely", "wee", "plus"))


def _own_crops(sheet: Sheet, part: Clause) -> bool:
    return any(part.start <= f.start < part.end and f.kind in ("crop", "variety", "group", "stranger") for f in sheet.found)


def _merged_twins(reader: Understander, sheet: Sheet, parts: list[Clause]) -> list[Clause]:
    """Join neighbours of one intent of which one names no crop, and which are not two questions of their own: they tell of one thing."""
    done: list[Clause] = []
    for part in parts:
        if done and done[-1].ranked[0][0] == part.ranked[0][0] and not (_own_crops(sheet, done[-1]) and _own_crops(sheet, part)) and not (
                _distinct(sheet, done[-1], part) or _another_deed(reader, done[-1], part) or _another_question(reader, done[-1], part)):
            done[-1] = replace(done[-1], end=part.end)
        else:
            done.append(part)
    return done


def _deeds(reader: Understander, sheet: Sheet, parts: list[Clause]) -> list[Clause]:
    """Part two deeds of feeding told in one breath: "gave the tomatoes a feed, watered bed 1"."""
    verbs = reader.lexicon.sets["log_fed_mulched"]
    done: list[Clause] = []
    for part in parts:
        at = next((i for i in range(part.start + 1, part.end) if sheet.word(i) in verbs and _a_deed_of_its_own(sheet, part, i, verbs)), None)
        both = [reader.clause(sheet, part.start, at), reader.clause(sheet, at, part.end)] if at is not None and part.ranked[0][0] == "log_fed_mulched" else []
        done += both if both and all(p.ranked[0][0] == "log_fed_mulched" for p in both) else [part]
    return done


def _a_deed_of_its_own(sheet: Sheet, part: Clause, at: int, verbs: set[str]) -> bool:
    """Tell whether a verb opens a new deed: after a mark or "and", with what the one before was done to on its left and its own on its right."""
    def names(start: int, end: int) -> bool:
        return any(start <= f.start < end and f.kind in ("crop", "variety", "group", "bed", "material") for f in sheet.found)

    opens = sheet.tokens[at - 1].kind == "mark" or sheet.word(at - 1) in ("and", "then", "also")
    return opens and names(part.start, at) and names(at, part.end) and not any(sheet.word(i) == sheet.word(at) for i in range(part.start, at))


def _distinct(sheet: Sheet, a: Clause, b: Clause) -> bool:
    """Tell whether two clauses each name a bed, material or product of their own."""
    def has(part: Clause, kind: str) -> bool:
        return any(part.start <= f.start < part.end and f.kind == kind for f in sheet.found)

    return any(has(a, k) and has(b, k) for k in ("bed", "product", "qty", "temp"))


def _another_question(reader: Understander, a: Clause, b: Clause) -> bool:
    """Tell whether two clauses are questions whose answers hang on their own words: "what's chitting and what's a tilth"."""
    return a.asks and b.asks and a.ranked[0][0] in reader.rules["answered_by_words"]


def _another_deed(reader: Understander, a: Clause, b: Clause) -> bool:
    """Tell whether two clauses of feeding tell of two deeds: "fed the strawberries, watered the lot"."""
    if a.ranked[0][0] != "log_fed_mulched":
        return False
    done = [[w for w in part.words if w in reader.lexicon.sets["log_fed_mulched"]] for part in (a, b)]
    return bool(done[0]) and bool(done[1]) and done[1][0] == b.words[0] and len(b.words) > 1 and not set(done[0]) & set(done[1])
