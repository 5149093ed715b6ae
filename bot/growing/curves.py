"""One place's year under one cover as arrays: warmth, nights, soil, daylight, and warmth summed for any crop.

Index 0 is midwinter. Normals repeat every year, so three years of sums answer every span a crop can take.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from bot.growing.calendar import MIDSUMMER, YEAR, GardenYear

if TYPE_CHECKING:
    from datetime import date

    from bot.season import Season

Floats = NDArray[np.float64]
#: Mean nightly minimum (°C) that stands in for the frost dates of a place without frost: what the frost
#: dates of frosty places coincide with in their own normals.
FROST_FREE_NIGHT_C = 6.0
_SPAN = 3 * YEAR


@dataclass
class Curves:
    """Daily normals of one place under one cover, index = days from midwinter (0 to 364)."""

    season: Season
    cover: str | None
    year: GardenYear
    mean: Floats
    low: Floats
    soil: Floats
    hours: Floats
    _sums: dict[tuple[float, float], Floats] = field(default_factory=dict)
    _frosts: dict[float, tuple[float | None, float | None]] = field(default_factory=dict)

    @cached_property
    def peak(self) -> int:
        """Return the day count of the warmest part of the year."""
        return int(np.argmax(_smooth(self.mean)))

    @cached_property
    def trough(self) -> int:
        """Return the day count of the coldest part of the year, negative when it lies before midwinter."""
        coldest = int(np.argmin(_smooth(self.mean)))
        return coldest - YEAR if coldest > MIDSUMMER else coldest

    def sums(self, base_c: float, ceiling_c: float | None) -> Floats:
        """Return effective °C days summed from midwinter over three years; entry i is the sum before day i."""
        key = (round(base_c, 1), round(ceiling_c if ceiling_c is not None else 99.0, 1))
        if key not in self._sums:
            daily = self.season.daily_effect(self.mean, self.low, self.hours, key[0],
                                             None if key[1] == 99.0 else key[1])
            self._sums[key] = np.concatenate([[0.0], np.cumsum(np.tile(daily, 3))])
        return self._sums[key]

    def reach(self, need: float, start: int, base_c: float, ceiling_c: float | None) -> float:
        """Return the day count on which `need` °C days after `start` are reached; infinity when over two years."""
        shift = (start // YEAR) * YEAR
        sums = self.sums(base_c, ceiling_c)
        at = int(np.searchsorted(sums, sums[start - shift] + need))
        return float(at + shift) if at < len(sums) else float("inf")

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
        """Return the day count of the first night under `threshold_c` in an even chance; infinity when none is likely."""
        key = float(np.floor(threshold_c))
        if key not in self._frosts:
            dates = self.season.frost_dates(key - self.gain_c)
            self._frosts[key] = (None, self._count(dates.first.p50, autumn=True))
        found = self._frosts[key][1]
        return float("inf") if found is None else found

    @cached_property
    def gain_c(self) -> float:
        """Return what the cover adds to a cold night, °C."""
        if self.cover is None:
            return 0.0
        middle = self.year.day(30)
        return float(self.season.low(middle, self.cover) - self.season.low(middle))

    @cached_property
    def dark(self) -> float:
        """Return the day count on which the day length falls under ten hours; early winter where it never does."""
        found = self.falls(self.hours, 10.0)
        return found if found != float("inf") else float(YEAR - 14)

    def _frost(self, threshold_c: float) -> tuple[float, float]:
        dates = self.season.frost_dates(threshold_c - self.gain_c)
        last, first = self._count(dates.last.p50, autumn=False), self._count(dates.first.p50, autumn=True)
        if last is None:
            last = max(self.rises(self.low, FROST_FREE_NIGHT_C), float(self.trough))
        if first is None:
            first = min(self.falls(self.low, FROST_FREE_NIGHT_C), float(YEAR + self.trough))
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


_CACHE: WeakKeyDictionary[Season, dict[str | None, Curves]] = WeakKeyDictionary()


def curves(season: Season, cover: str | None, day: date) -> Curves:
    """Return the year of `season` under `cover`, computed once per season and cover."""
    cover = None if cover in (None, "none") else cover
    held = _CACHE.setdefault(season, {})
    if cover not in held:
        year = GardenYear.around(day, season.southern)
        days = [year.day(i) for i in range(YEAR)]
        held[cover] = Curves(
            season, cover, year,
            mean=np.array([season.mean(d, cover) for d in days]),
            low=np.array([season.low(d, cover) for d in days]),
            soil=np.array([season.soil(d, cover) for d in days]),
            hours=np.array([season.day_length(d) for d in days]),
        )
    return held[cover]


def _smooth(values: Floats, width: int = 15) -> Floats:
    """Return a running mean round the year, so that one odd day does not move the peak."""
    kernel = np.ones(width) / width
    return np.convolve(np.concatenate([values[-width:], values, values[:width]]), kernel, "same")[width:-width]
