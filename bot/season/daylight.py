"""Day length and the dark spell, from the astral library.

Sunrise and sunset are the almanac's: the upper edge of the sun on the horizon, with standard refraction.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import lru_cache

import numpy as np
from astral import Observer, SunDirection
from astral.sun import elevation, noon, time_at_elevation

from bot.season.curves import DAYS, Array

TEN_HOURS = 10.0
#: Height of the sun's middle at almanac sunrise: half its disc (16') and the refraction at the horizon (34') below it.
RISING_DEGREES = -50 / 60
_PLAIN_YEAR = 2025


def sun_times(lat: float, lon: float, day: date) -> tuple[datetime, datetime] | None:
    """Return sunrise and sunset of a day, in UTC; None where the sun stays above or below the horizon."""
    seen_from = Observer(latitude=lat, longitude=lon, elevation=0.0)
    try:
        rises = time_at_elevation(seen_from, RISING_DEGREES, day, SunDirection.RISING, UTC, with_refraction=False)
        sets = time_at_elevation(seen_from, RISING_DEGREES, day, SunDirection.SETTING, UTC, with_refraction=False)
    except ValueError:
        return None
    return rises, sets


@lru_cache(maxsize=4096)
def day_length(lat: float, lon: float, day: date) -> float:
    """Return the hours between sunrise and sunset; 24 in the midnight sun and 0 in the polar night."""
    times = sun_times(lat, lon, day)
    if times is None:
        seen_from = Observer(latitude=lat, longitude=lon, elevation=0.0)
        return 24.0 if elevation(seen_from, noon(seen_from, day, tzinfo=UTC)) > 0 else 0.0
    return ((times[1] - times[0]).total_seconds() % 86400) / 3600


def turning_day(lat: float, lon: float, day: date, *, longest: bool) -> date:
    """Return the longest (or shortest) day that comes on or after `day`."""
    ahead = [day + timedelta(days=n) for n in range(DAYS)]
    turns = [d for d in ahead if d.month in (6, 12) and 19 <= d.day <= 24]  # the solstices fall on 20 to 22
    best = (max if longest else min)(turns, key=lambda d: day_length(lat, lon, d))
    return best


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
