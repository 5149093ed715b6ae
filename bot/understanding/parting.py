"""Decide how many things a message says, and which words say each: the likeliest of all ways to cut it.

A way is weighed by what its clauses are and by what stands beside what (a log-linear model over whole ways, as in
Lafferty, McCallum and Pereira, Conditional random fields, ICML 2001). Its weights are learned from messages cut by hand:
`python -m bot.understanding.learn --scales`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

from bot.understanding.cutting import chances, gaps, opening
from bot.understanding.found import Sheet

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander

#: At most this many gaps of a message are weighed, its likeliest ones (of a long message fewer), and none of less log odds than LEAST.
MOST_GAPS, MOST_OF_LONG, LONG, LEAST = 5, 3, 60, -5.0
#: From these log odds on a glance tells of a gap that no word does, below those it rules one out, and above the last they count for no more.
SEEN, NEVER, MOST_ODDS = -1.0, -6.0, 6.0


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


@dataclass(frozen=True, slots=True)
class Stretch:
    """What is known of a stretch of words that may be one thing said: the kind of its likeliest intent and how likely it is,
    the log odds that it says several things, whether it asks, the kinds of its slots, and its length in words."""

    intent: str
    kind: str
    chance: float
    many: float
    asks: bool
    slots: frozenset[str]
    size: int


def one(stretch: Stretch) -> dict[str, float]:
    """Return the features of a stretch taken as one thing said."""
    kind, sure = stretch.kind, math.log(max(stretch.chance, 1e-4))
    found = {"one": 1.0, "sure": sure, f"is {kind}": 1.0, f"sure {kind}": sure, "single": -_soft(stretch.many), "several": max(stretch.many, 0.0),
             f"size {min(stretch.size, 6)}": 1.0, f"size {min(stretch.size, 4)} {kind}": 1.0, f"asks {stretch.asks}": 1.0, f"asks {stretch.asks} {kind}": 1.0,
             f"{kind} crop {'crop' in stretch.slots}": 1.0}
    if kind == "record":
        found[f"record qty {'qty' in stretch.slots}"] = 1.0
    return found


def beside(left: Stretch, right: Stretch, gap: Gap) -> dict[str, float]:
    """Return the features of two stretches said one after the other over a gap."""
    a, b = left.kind, right.kind
    crops = f"{'crop' in left.slots} {'crop' in right.slots}"
    found = {"cut": 1.0, "odds": gap.odds, "begins": gap.begins, f"{a} then {b}": 1.0, f"{a} then {b} crop {crops}": 1.0, f"asks {left.asks} {right.asks} {a} then {b}": 1.0,
             f"alike {left.intent == right.intent}": 1.0, "less sure": math.log(max(min(left.chance, right.chance), 1e-3))}
    if left.intent == right.intent:
        found[f"alike {a} crop {crops}"] = 1.0
        found[f"alike qty {'qty' in left.slots} {'qty' in right.slots}"] = 1.0
    return found


def whole(gap: Gap) -> dict[str, float]:
    """Return the features of a gap that is left whole."""
    return {"uncut": _soft(gap.odds), "goes on": _soft(gap.begins)}


def _soft(value: float) -> float:
    return math.log1p(math.exp(min(value, 30.0)))


class Ways:
    """Every way to cut a sheet at its likely gaps, its stretches read once."""

    def __init__(self, reader: Understander, sheet: Sheet) -> None:
        self.reader, self.sheet, size = reader, sheet, len(sheet.tokens)
        odds = [g for g in self._odds() if g.sum > LEAST]
        self.gaps = sorted(sorted(odds, key=lambda g: -g.sum)[:MOST_GAPS if size < LONG else MOST_OF_LONG])
        self._bounds = [(0, 0), *((g.end, g.start) for g in self.gaps), (size, size)]
        self._read: dict[tuple[int, int], tuple[Clause, Stretch] | None] = {}

    def _odds(self) -> Iterator[Gap]:
        """Return every gap something new may begin after: by what stands around it, and where a glance sees a beginning."""
        reader, sheet = self.reader, self.sheet
        seen = reader.look(sheet)
        begun = {at for at, odds in zip(seen.tokens, seen.begins, strict=True) if odds > SEEN} if seen else set()
        places = [gap for gap in gaps(sheet, reader.school.openers, begun) if seen is None or seen.begin(gap[1]) > NEVER]
        for end, start, odds in chances(sheet, places, reader.school.cuts, reader.lexicon):
            yield Gap(end, start, odds, min(seen.begin(start), MOST_ODDS) if seen else 0.0)

    def all(self) -> Iterator[tuple[int, ...]]:
        """Return each way as the numbers of the gaps it cuts, the whole message first."""
        for many in range(len(self.gaps) + 1):
            yield from combinations(range(len(self.gaps)), many)

    def clauses(self, way: tuple[int, ...]) -> list[tuple[Clause, Stretch]] | None:
        """Return the clauses of a way; None when one of them is without a word."""
        points = (0, *(n + 1 for n in way), len(self.gaps) + 1)
        found = [self._stretch(a, b) for a, b in zip(points, points[1:], strict=False)]
        return None if any(f is None for f in found) else [f for f in found if f is not None]

    def _stretch(self, first: int, last: int) -> tuple[Clause, Stretch] | None:
        if (first, last) not in self._read:
            reader, sheet = self.reader, self.sheet
            start, end = self._bounds[first][1], self._bounds[last][0]
            if not any(t.kind != "mark" for t in sheet.tokens[start:end]):
                self._read[(first, last)] = None
                return None
            clause = reader.clause(sheet, opening(sheet, start, end), end, near=False)
            intent, chance = clause.ranked[0]
            kind = "small" if intent in reader.rules["small_talk"] and intent != "none" else "none" if intent == "none" else reader.intents[intent].kind
            many = reader.school.many
            slots = frozenset(f.kind for f in sheet.found if clause.start <= f.start < end)
            self._read[(first, last)] = clause, Stretch(intent, kind, chance, many.get("", 0.0) + sum(v * many.get(k, 0.0) for k, v in clause.found.items()),
                                                        clause.asks, slots, len(clause.words))
        return self._read[(first, last)]

    def features(self, way: tuple[int, ...], stretches: list[Stretch]) -> dict[str, float]:
        """Return the features of a way, summed over its stretches and gaps."""
        rows = [one(s) for s in stretches]
        rows += [beside(a, b, self.gaps[n]) for n, a, b in zip(way, stretches, stretches[1:], strict=False)]
        rows += [whole(gap) for n, gap in enumerate(self.gaps) if n not in way]
        found: dict[str, float] = {}
        for row in rows:
            for key, value in row.items():
                found[key] = found.get(key, 0.0) + value
        return found


def parted(reader: Understander, sheet: Sheet) -> list[Clause]:
    """Return the clauses of a message, each one thing asked or told. Small talk beside something else is dropped."""
    ways, weights = Ways(reader, sheet), reader.ways
    if not ways.gaps:
        return [reader.clause(sheet, 0, len(sheet.tokens))]
    lone: dict[int, float] = {}
    pairs: dict[tuple[int, int], float] = {}

    def worth(found: dict[str, float]) -> float:
        return sum(weights.get(k, 0.0) * v for k, v in found.items())

    left_whole = [worth(whole(gap)) for gap in ways.gaps]
    best: tuple[float, list[Clause]] = (-math.inf, [])
    for way in ways.all():
        read = ways.clauses(way)
        if read is None:
            continue
        total = sum(left_whole[n] for n in range(len(ways.gaps)) if n not in way)
        for _, stretch in read:
            if id(stretch) not in lone:
                lone[id(stretch)] = worth(one(stretch))
            total += lone[id(stretch)]
        for n, (_, a), (_, b) in zip(way, read, read[1:], strict=False):
            if (id(a), id(b)) not in pairs:
                pairs[(id(a), id(b))] = worth(beside(a, b, ways.gaps[n]))
            total += pairs[(id(a), id(b))]
        best = max(best, (total, [clause for clause, _ in read]), key=lambda b: b[0])
    return _tidy(reader, sheet, in_turn(reader, sheet, best[1]))


def in_turn(reader: Understander, sheet: Sheet, alone: list[Clause]) -> list[Clause]:
    """Read the clauses of a message again, each by those before and after it."""
    read: list[Clause] = []
    for n, clause in enumerate(alone):
        # What stands before it is told by how it was read in its place, and by its own words.
        read.append(reader.clause(sheet, clause.start, clause.end, before=read[-1] if read else None, after=alone[n + 1] if n + 1 < len(alone) else None))
    return read


def _tidy(reader: Understander, sheet: Sheet, parts: list[Clause]) -> list[Clause]:
    """Join twins, drop small talk beside something else, and widen the rest over what was dropped, so that no slot is lost."""
    small = set(reader.rules["small_talk"])
    parts = _merged_twins(reader, sheet, _listed(reader, sheet, parts))
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
    """Join neighbours of one intent of which one names no crop: they tell of one thing."""
    done: list[Clause] = []
    for part in parts:
        if done and done[-1].ranked[0][0] == part.ranked[0][0] and not (_own_crops(sheet, done[-1]) and _own_crops(sheet, part)) and not (
                _distinct(sheet, done[-1], part) or _another_deed(reader, done[-1], part)):
            done[-1] = replace(done[-1], end=part.end)
        else:
            done.append(part)
    return done


def _distinct(sheet: Sheet, a: Clause, b: Clause) -> bool:
    """Tell whether two clauses each name a bed, material or product of their own."""
    def has(part: Clause, kind: str) -> bool:
        return any(part.start <= f.start < part.end and f.kind == kind for f in sheet.found)

    return any(has(a, k) and has(b, k) for k in ("bed", "product", "qty", "temp"))


def _another_deed(reader: Understander, a: Clause, b: Clause) -> bool:
    """Tell whether two clauses of feeding tell of two deeds: "fed the strawberries, watered the lot"."""
    if a.ranked[0][0] != "log_fed_mulched":
        return False
    done = [[w for w in part.words if w in reader.lexicon.sets["log_fed_mulched"]] for part in (a, b)]
    return bool(done[0]) and bool(done[1]) and done[1][0] == b.words[0] and len(b.words) > 1 and not set(done[0]) & set(done[1])
