"""Days from sowing to coming up, from a crop's table of soil temperatures.

The table is Harrington and Minges (1954, Vegetable Seed Germination, University of California). Between its
nodes the speed of emergence (one over the days) is taken as a straight line, since that is how seed runs on
warmth; at the nodes the answer is the printed one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from bot.facts.crop import Germination

#: A sowing this many times past its expected days is taken to have failed.
PATIENCE = 1.6
LONGEST_DAYS = 150
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Emergence:
    """Days until it comes up at one soil temperature. `low` to `high` is the likely spread; None = will not come up.

    `from_table` tells that the figures come from the crop's own temperature table, not its usual range.
    """

    low: float | None
    high: float | None
    from_table: bool

    @property
    def comes_up(self) -> bool:
        """Tell whether anything comes up at all."""
        return self.low is not None


def days_at(table: list[tuple[float, float | None]], soil_c: float) -> float | None:
    """Return the days to emergence at a soil temperature, None where nothing comes up or the table does not reach.

    `table` rows are (soil °C, days or None for no emergence), in order of temperature.

    >>> days_at([(10.0, 17.0), (15.0, 10.0)], 10), days_at([(5.0, None), (10.0, 17.0)], 7)
    (17.0, None)
    """
    rows = sorted(table)
    if not rows or soil_c < rows[0][0] or soil_c > rows[-1][0]:
        return None
    for (cold, slow), (warm, fast) in zip(rows, rows[1:], strict=False):
        if cold <= soil_c <= warm:
            if soil_c == cold:
                return slow
            if soil_c == warm:
                return fast
            if slow is None or fast is None:
                return None
            share = (soil_c - cold) / (warm - cold)
            return 1 / ((1 - share) / slow + share / fast)
    return rows[0][1] if soil_c == rows[0][0] else None


def emergence(facts: Germination, soil_c: float, spread: float = 0.2) -> Emergence:
    """Return the likely days to emergence at a steady soil temperature.

    Uses the crop's table where it reaches (give or take `spread` of the days), else its usual range, lengthened
    below the best temperatures in proportion to the warmth above the lowest one.
    """
    if facts.days_at:
        days = days_at(facts.days_at, soil_c)
        if days is not None:
            return Emergence(max(1.0, days * (1 - spread)), days * (1 + spread), True)
        nodes = [t for t, d in facts.days_at if d is not None]
        if nodes and min(nodes) <= soil_c <= max(nodes) and facts.days_usual is None:
            return Emergence(None, None, True)
    if facts.soil_min_c is not None and soil_c < facts.soil_min_c:
        return Emergence(None, None, bool(facts.days_at))
    if facts.soil_max_c is not None and soil_c > facts.soil_max_c:
        return Emergence(None, None, bool(facts.days_at))
    if facts.days_usual is None:
        return Emergence(None, None, False)
    quick, slow = facts.days_usual
    if facts.soil_best_c is not None and soil_c < facts.soil_best_c[0]:
        lowest = facts.soil_min_c if facts.soil_min_c is not None else facts.soil_best_c[0] - 10
        room = max(facts.soil_best_c[0] - lowest, 1.0)
        pace = max(0.25, min(1.0, (soil_c - lowest + 1.0) / (room + 1.0)))
        return Emergence(slow, slow / pace, False)
    return Emergence(quick, slow, False)


@dataclass(frozen=True, slots=True)
class Sprouting:
    """When a sowing comes up in soil that warms or cools: expected day, latest likely day, and progress today."""

    expected: date | None
    latest: date | None
    mean_soil_c: float


def sprouting(facts: Germination, sown: date, soil_on: Callable[[date], float]) -> Sprouting:
    """Return when a sowing should come up, adding each day's share of the way at that day's soil temperature."""
    done, warmth = 0.0, 0.0
    expected: date | None = None
    mean_soil = 0.0
    for count in range(1, LONGEST_DAYS + 1):
        soil = soil_on(sown + timedelta(days=count - 1))
        warmth += soil
        at = emergence(facts, soil)
        if at.low is not None and at.high is not None:
            done += 2 / (at.low + at.high)
        if expected is None and done >= 1 - _ROUNDING:
            expected, mean_soil = sown + timedelta(days=count), warmth / count
        if done >= PATIENCE - _ROUNDING:
            return Sprouting(expected, sown + timedelta(days=count), mean_soil)
    return Sprouting(expected, None, mean_soil if expected else warmth / LONGEST_DAYS)
