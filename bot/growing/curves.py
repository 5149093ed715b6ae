"""One place's year under one cover as arrays: warmth, nights, soil, daylight, and warmth summed for any crop.

Index 0 is midwinter. Normals repeat every year, so three years of sums answer every span a crop can take.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from bot.growing.calendar import MIDSUMMER, YEAR, GardenYear
from bot.season.curves import place_of
from bot.season.season import ONE_IN_TEN

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.season import Season

Floats = NDArray[np.float64]
_SPAN = 3 * YEAR
#: Normals repeat, so any plain years do for the arrays; callers keep their own year for dates.
REFERENCE_NORTH, REFERENCE_SOUTH = date(2024, 12, 21), date(2025, 6, 21)


@dataclass
class Curves:
    """Daily normals of one place under one cover, index = days from midwinter (0 to 364)."""

    season: Season
    facts: Facts
    cover: str | None
    year: GardenYear
    mean: Floats
    low: Floats
    soil: Floats
    hours: Floats
    _sums: dict[tuple[float, float | None, float], Floats] = field(default_factory=dict)
    _frosts: dict[float, tuple[float | None, float | None]] = field(default_factory=dict)
    _winters: dict[float, float] = field(default_factory=dict)
    memo: dict[tuple[object, ...], object] = field(default_factory=dict)  # what others work out once a place

    def number(self, name: str) -> float:
        """Return a coefficient of the growing room."""
        return self.facts.growing.number(name)

    @cached_property
    def peak(self) -> int:
        """Return the day count of the warmest part of the year."""
        return int(np.argmax(_smooth(self.mean)))

    @cached_property
    def trough(self) -> int:
        """Return the day count of the coldest part of the year, negative when it lies before midwinter."""
        coldest = int(np.argmin(_smooth(self.mean)))
        return coldest - YEAR if coldest > MIDSUMMER else coldest

    def sums(self, base_c: float, ceiling_c: float | None, warmer_c: float = 0.0) -> Floats:
        """Return effective °C days summed from midwinter over three years; entry i is the sum before day i."""
        key = (base_c, ceiling_c, warmer_c)
        if key not in self._sums:
            daily = self.season.warmth(base_c, ceiling_c, self.cover, warmer_c)
            turned = np.roll(daily, -place_of(self.year.start))
            self._sums[key] = np.concatenate([[0.0], np.cumsum(np.tile(turned, 3))])
        return self._sums[key]

    def reach(self, need: float, start: float, base_c: float, ceiling_c: float | None, warmer_c: float = 0.0) -> float:
        """Return the day count on which `need` °C days after `start` are reached; infinity when over two years."""
        begin = int(start)
        shift = (begin // YEAR) * YEAR
        sums = self.sums(base_c, ceiling_c, warmer_c)
        at = int(np.searchsorted(sums, sums[begin - shift] + need))
        return float(at + shift) if at < len(sums) else float("inf")

    @cached_property
    def _idle(self) -> Floats:
        idle = (self.hours < 10.0) | (self.mean < self.number("idle.mean_c"))
        return np.concatenate([[0.0], np.cumsum(np.tile(idle.astype(float), 3))])

    def idle_days(self, start: float, end: float) -> float:
        """Return how many days between two day counts are too dark or cold for anything to grow."""
        shift = (int(start) // YEAR) * YEAR
        first, last = int(start) - shift, min(int(end) - shift, _SPAN)
        return float(self._idle[last] - self._idle[first]) if last > first else 0.0

    @cached_property
    def swing_c(self) -> float:
        """Return how far a year in ten is off the normal, °C."""
        return ONE_IN_TEN * self.season.climate.number("thermal.year_sd")

    def latest_start(self, need: float, end: float, base_c: float, ceiling_c: float | None) -> float:
        """Return the last day count from which `need` °C days are reached by `end`."""
        shift = YEAR  # so that a start in the year before is still inside the sums
        sums = self.sums(base_c, ceiling_c)
        target = sums[min(int(end) + shift, _SPAN)] - need
        return float(np.searchsorted(sums, target, side="right") - 1 - shift) if target > 0 else float("-inf")

    def rises(self, values: Floats, level: float) -> float:
        """Return the day count in the rising half of the year on which `values` reach `level`.

        Minus infinity when they never fall under it, infinity when they never reach it.
        """
        span = np.arange(self.trough, self.peak + 1)
        over = values[span % YEAR] >= level
        if over.all():
            return float("-inf")
        if not over.any():
            return float("inf")
        return float(span[int(np.argmax(over))])

    def falls(self, values: Floats, level: float) -> float:
        """Return the day count in the falling half on which `values` drop under `level`; infinity when they never do.

        When they never reach it at all the answer is the peak itself.
        """
        span = np.arange(self.peak, self.trough + YEAR + 1)
        under = values[span % YEAR] < level
        if not under.any():
            return float("inf")
        return float(span[int(np.argmax(under))])

    def last_frost(self, threshold_c: float = 0.0) -> float:
        """Return the day count of the 50 % last spring frost, or what stands in for it where it does not freeze."""
        return self._frost(threshold_c)[0]

    def first_frost(self, threshold_c: float = 0.0) -> float:
        """Return the day count of the 50 % first autumn frost, or what stands in for it."""
        return self._frost(threshold_c)[1]

    def first_below(self, threshold_c: float) -> float:
        """Return the day count by which a night under `threshold_c` is as likely as not; infinity when none is."""
        key = round(threshold_c, 1)
        if key not in self._frosts:
            dates = self.season.frost_dates(key - self.gain_c)
            self._frosts[key] = (self._count(dates.last.p50, autumn=False), self._count(dates.first.p50, autumn=True))
        found = self._frosts[key][1]
        return float("inf") if found is None else found

    def last_below(self, threshold_c: float) -> float:
        """Return the day count after which no night under `threshold_c` is likely; minus infinity for none."""
        self.first_below(threshold_c)
        found = self._frosts[round(threshold_c, 1)][0]
        return float("-inf") if found is None else found

    def survives(self, kill_c: float, start: float, end: float) -> float:
        """Return the chance that no night between two day counts falls under `kill_c`."""
        if end <= start:
            return 1.0
        return self.season.survival(kill_c, self.year.day(start), self.year.day(min(end, start + YEAR)), self.cover)

    def winter_chance(self, kill_c: float) -> float:
        """Return the chance that no night of the coming winter falls under `kill_c`."""
        key = round(kill_c, 1)
        if key not in self._winters:
            self._winters[key] = self.survives(key, YEAR - 80, YEAR + 120)
        return self._winters[key]

    @cached_property
    def gain_c(self) -> float:
        """Return what the cover adds to a cold night, °C."""
        return float(np.median(self.low - np.roll(self.season.arrays(None).low, -place_of(self.year.start))))

    @cached_property
    def frost_free(self) -> bool:
        """Tell whether a frost is less likely than not in a whole winter here."""
        return self.season.frost_dates(-self.gain_c).first.p50 is None

    @cached_property
    def sown_all_winter(self) -> bool:
        """Tell whether winter is frost-free and warm enough for hardy seed to go on being sown."""
        return self.frost_free and float(_smooth(self.mean, 31).min()) >= self.number("mild.sow_mean_c")

    @cached_property
    def two_seasons(self) -> bool:
        """Tell whether it is a place in the open of mild winters without frost and hot summers: a cool and a hot season."""
        return self.cover is None and self.sown_all_winter and float(_smooth(self.mean, 31).max()) >= self.number("hot.summer_mean_c")

    @cached_property
    def mild(self) -> bool:
        """Tell whether winter days are warm enough for hardy crops to keep growing."""
        return float(_smooth(self.mean, 31).min()) >= self.number("mild.winter_mean_c")

    @cached_property
    def dark(self) -> float:
        """Return the day count on which the day length falls under ten hours; early winter where it never does."""
        found = self.falls(self.hours, 10.0)
        return found if found != float("inf") else float(YEAR - 14)

    def _frost(self, threshold_c: float) -> tuple[float, float]:
        dates = self.season.frost_dates(threshold_c - self.gain_c)
        last, first = self._count(dates.last.p50, autumn=False), self._count(dates.first.p50, autumn=True)
        if last is None:
            last = max(
                self.rises(self.low, self.number("frost_free.night_c")), self.trough + self.number("frost_free.days")
            )
        if first is None:
            first = min(
                self.falls(self.low, self.number("frost_free.night_c")),
                YEAR + self.trough - self.number("frost_free.days"),
            )
        return last, first

    def _count(self, month_day: str | None, *, autumn: bool) -> float | None:
        """Return a "MM-DD" as days from midwinter: -90 to 240 for a spring date, 150 to 480 for an autumn one."""
        if month_day is None:
            return None
        month, day = (int(part) for part in month_day.split("-"))
        found = self.year.count(self.year.start.replace(month=month, day=min(day, 28))) + day - min(day, 28)
        found %= YEAR
        if autumn:
            return float(found if found > 150 else found + YEAR)
        return float(found if found < 240 else found - YEAR)


_CACHE: WeakKeyDictionary[Season, dict[tuple[int, str | None], Curves]] = WeakKeyDictionary()


def curves(season: Season, cover: str | None, facts: Facts) -> Curves:
    """Return the year of `season` under `cover`, computed once per season and cover.

    Indoors is where plants are raised and not where they crop: they grow on in the open, so its year is the open year.
    """
    cover = None if cover in (None, "none") else season.climate.cover_id(cover)
    cover = None if cover == "indoors" else cover
    held = _CACHE.setdefault(season, {})
    key = (id(facts), cover)
    if key not in held:
        year = GardenYear(REFERENCE_SOUTH if season.southern else REFERENCE_NORTH, season.southern)
        turn = -place_of(year.start)
        arrays = season.arrays(cover)
        mean, low, soil, hours = (np.roll(a, turn) for a in (arrays.mean, arrays.low, arrays.soil, arrays.day_length))
        held[key] = Curves(season, facts, cover, year, mean, low, soil, hours)
    return held[key]


def _smooth(values: Floats, width: int = 15) -> Floats:
    """Return a running mean round the year, so that one odd day does not move the peak."""
    kernel = np.ones(width) / width
    return np.convolve(np.concatenate([values[-width:], values, values[:width]]), kernel, "same")[width:-width]
