"""Day length and the dark spell, from the astral library (sunrise and sunset with refraction, upper limb)."""

from __future__ import annotations

from datetime import UTC, date, timedelta
from functools import lru_cache

import numpy as np
from astral import Observer
from astral.sun import elevation, noon, sunrise, sunset

from bot.season.curves import DAYS, Array

TEN_HOURS = 10.0
_PLAIN_YEAR = 2025


@lru_cache(maxsize=4096)
def day_length(lat: float, lon: float, day: date) -> float:
    """Return the hours between sunrise and sunset; 24 in the midnight sun and 0 in the polar night."""
    seen_from = Observer(latitude=lat, longitude=lon, elevation=0.0)
    try:
        rises = sunrise(seen_from, day, tzinfo=UTC)
        sets = sunset(seen_from, day, tzinfo=UTC)
    except ValueError:  # the sun stays above or below the horizon all day
        return 24.0 if elevation(seen_from, noon(seen_from, day, tzinfo=UTC)) > 0 else 0.0
    return ((sets - rises).total_seconds() % 86400) / 3600


@lru_cache(maxsize=64)
def year_of_daylight(lat: float, lon: float) -> Array:
    """Return the day length of every day of a plain year, hours."""
    first = date(_PLAIN_YEAR, 1, 1)
    hours = np.array([day_length(lat, lon, first + timedelta(days=n)) for n in range(DAYS)])
    hours.setflags(write=False)
    return hours


def dark_spell(lat: float, lon: float, day: date, limit: float = TEN_HOURS) -> tuple[date, date] | None:
    """Return the first and last day under `limit` hours of the spell that holds `day` or comes next.

    None where no day is that short.
    """
    def dark(when: date) -> bool:
        return day_length(lat, lon, when) < limit

    start = day
    if dark(day):
        while dark(start - timedelta(days=1)):
            start -= timedelta(days=1)
            if (day - start).days > DAYS:
                return None
    else:
        while not dark(start):
            start += timedelta(days=1)
            if (start - day).days > DAYS:
                return None
    end = start
    while dark(end + timedelta(days=1)):
        end += timedelta(days=1)
        if (end - start).days > DAYS:
            return None
    return start, end
