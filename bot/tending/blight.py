"""Late blight weather: the Hutton criteria and the older Smith period on hours of temperature and humidity.

Hutton criteria: AHDB / James Hutton Institute (2017), "Development and implementation of a new national warning
system for potato late blight in Great Britain". Smith period: L. P. Smith (1956), Plant Pathology 5, 83-87.
Both ask for days in a row that each keep a lowest temperature and hold so many hours at or above a humidity.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Protocol

from bot.facts.climate import ClimateFacts
from bot.facts.tending import BlightRule
from bot.plot.state import Plot

WHOLE_DAY = 22  # hours needed before a day may fail or pass on its lowest temperature


class Hour(Protocol):
    """One hour of weather, local time: °C and relative humidity %."""

    @property
    def time(self) -> datetime:
        """Return when the hour begins, in local time."""

    @property
    def temp_c(self) -> float:
        """Return the air temperature in °C."""

    @property
    def humidity_pct(self) -> float | None:
        """Return the relative humidity in %, None when it is not known."""


@dataclass(frozen=True, slots=True)
class HourOfAir:
    """A plain hour, for files and tests."""

    time: datetime
    temp_c: float
    humidity_pct: float | None


@dataclass(frozen=True, slots=True)
class AirDay:
    """One day: lowest °C, hours at or above a humidity, and how many hours were known."""

    day: date
    low_c: float
    humid_hours: int
    known: int

    @property
    def whole(self) -> bool:
        """Tell whether enough hours are known to judge the day."""
        return self.known >= WHOLE_DAY


@dataclass(frozen=True, slots=True)
class Exposed:
    """A planting that blight can reach. `covered`: it stands under a roof."""

    crop: str
    bed: str | None
    risk: int
    covered: bool


def air_days(hours: Iterable[Hour], humidity_pct: float) -> list[AirDay]:
    """Sum hours into days, midnight to midnight. Hours without humidity are not counted."""
    days: dict[date, list[Hour]] = {}
    for hour in hours:
        if hour.humidity_pct is not None:
            days.setdefault(hour.time.date(), []).append(hour)
    return [AirDay(day, min(h.temp_c for h in rows),
                   sum(1 for h in rows if (h.humidity_pct or 0) >= humidity_pct), len(rows))
            for day, rows in sorted(days.items())]


def qualifies(day: AirDay, rule: BlightRule) -> bool:
    """Tell whether one day meets a rule. A day not wholly known does not."""
    return day.whole and day.low_c >= rule.min_c and day.humid_hours >= rule.hours


def periods(hours: Iterable[Hour], rule: BlightRule) -> list[tuple[date, date]]:
    """Return every run of days that meets a rule for long enough, as first and last day.

    The alert comes on the last day of the first `rule.days` of a run; longer runs are one period.
    """
    found: list[tuple[date, date]] = []
    run: list[date] = []
    for day in air_days(hours, rule.humidity_pct):
        if run and day.day - run[-1] != timedelta(days=1):
            run = _close(run, rule, found)
        if qualifies(day, rule):
            run.append(day.day)
        else:
            run = _close(run, rule, found)
    _close(run, rule, found)
    return found


def _close(run: list[date], rule: BlightRule, found: list[tuple[date, date]]) -> list[date]:
    if len(run) >= rule.days:
        found.append((run[0], run[-1]))
    return []


def exposed(plot: Plot, risks: dict[str, int], climate: ClimateFacts) -> list[Exposed]:
    """Return the plantings blight can reach, the open and the riskiest first. `risks` maps crop id to 1..3."""
    rows = []
    for planting in plot.standing():
        if planting.crop in risks:
            bed = plot.beds.get(planting.bed) if planting.bed else None
            covered = bed is not None and climate.rainproof(bed.cover)
            rows.append(Exposed(planting.crop, planting.bed, risks[planting.crop], covered))
    return sorted(rows, key=lambda r: (r.covered, -r.risk, r.crop))
