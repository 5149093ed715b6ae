"""The gardener's year, counted in days from midwinter, so that one rule serves both hemispheres."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

YEAR = 365
MIDSUMMER = 182


@dataclass(frozen=True, slots=True)
class GardenYear:
    """A year that begins on a winter solstice: `start` is that day. Day counts may run below 0 and past 364."""

    start: date
    southern: bool

    @classmethod
    def around(cls, day: date, southern: bool) -> GardenYear:
        """Return the garden year that contains `day`.

        >>> GardenYear.around(date(2026, 3, 1), False).start
        datetime.date(2025, 12, 21)
        """
        month = 6 if southern else 12
        start = date(day.year, month, 21)
        if start > day:
            start = date(day.year - 1, month, 21)
        return cls(start, southern)

    def count(self, day: date) -> int:
        """Return the days from midwinter to `day`."""
        return (day - self.start).days

    def day(self, count: float) -> date:
        """Return the date `count` days after midwinter."""
        return self.start + timedelta(days=int(round(count)))

    def coming(self, low: float, high: float, today: date) -> tuple[date, date]:
        """Return the days of a season, told in days from midwinter, that is not over yet: the one at hand, or the next.

        >>> GardenYear.around(date(2026, 8, 20), False).coming(260, 330, date(2026, 8, 20))
        (datetime.date(2026, 9, 7), datetime.date(2026, 11, 16))
        """
        shift = next(years for years in (-YEAR, 0, YEAR) if self.day(high + years) > today)
        return self.day(low + shift), self.day(high + shift)
