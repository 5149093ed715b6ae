"""What was seen on this plot before: earlier sightings of a trouble, and those due again at this time of year."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bot.plot.events import Event
from bot.plot.state import Plot

#: Days either side of last year's date within which a sighting is worth a word of warning.
DUE_DAYS = 21
#: A sighting nearer than this is the same attack, not last year's.
SAME_ATTACK_DAYS = 60


@dataclass(frozen=True, slots=True)
class Sighting:
    """One trouble seen: the pest id, the day, and where."""

    pest: str
    day: date
    crop: str | None = None
    bed: str | None = None


def sightings(plot: Plot) -> list[Sighting]:
    """Return every sighting with a known trouble, oldest first."""
    return [Sighting(str(e.data["pest"]), e.day, e.crop, e.bed)
            for e in sorted(plot.events("pest_seen"), key=_day) if e.data.get("pest")]


def last_sighting(plot: Plot, pest: str, today: date) -> Sighting | None:
    """Return the last sighting of a trouble in another attack than today's, or None."""
    found = [s for s in sightings(plot) if s.pest == pest and (today - s.day).days > SAME_ATTACK_DAYS]
    return found[-1] if found else None


def due_again(plot: Plot, today: date, days: int = DUE_DAYS) -> list[Sighting]:
    """Return last sightings from other years whose date comes round within `days` from now, or just went by.

    For warnings in the jobs and the summary: 'leek moth was seen here last 20 June'. One a trouble, soonest first.
    """
    last: dict[str, Sighting] = {}
    for seen in sightings(plot):
        if (today - seen.day).days > SAME_ATTACK_DAYS:
            last[seen.pest] = seen
    this_year = {s.pest for s in sightings(plot) if (today - s.day).days <= SAME_ATTACK_DAYS}
    near = [(abs(_gap(s.day, today)), s) for s in last.values() if s.pest not in this_year]
    return [s for gap, s in sorted(near, key=lambda row: row[0]) if gap <= days]


def _gap(day: date, today: date) -> int:
    """Return the days from today to the nearest return of a date, either way round the year."""
    ahead = (day.timetuple().tm_yday - today.timetuple().tm_yday) % 365
    return ahead if ahead <= 182 else ahead - 365


def _day(event: Event) -> date:
    return event.day
