"""Daily curves through monthly figures, and the year of 365 days they run over.

Every yearly array of the season has 365 places, 1 January first; 29 February uses the place of the 28th.
"""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Places = NDArray[np.intp]
DAYS = 365
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_PLAIN_YEAR = 2025  # any year without a leap day


def place_of(day: date) -> int:
    """Return the place of a day in a yearly array, 0 to 364.

    >>> place_of(date(2024, 2, 29)) == place_of(date(2024, 2, 28)), place_of(date(2024, 12, 31))
    (True, 364)
    """
    place = day.timetuple().tm_yday - 1
    leap = day.year % 4 == 0 and (day.year % 100 != 0 or day.year % 400 == 0)
    return place - 1 if leap and place >= 59 else place


def places(start: date, end: date) -> Places:
    """Return the places of the days from `start` to `end`, both included; empty when `end` is earlier."""
    count = (end - start).days + 1
    if count <= 0:
        return np.empty(0, dtype=np.intp)
    return (place_of(start) + np.arange(count)) % DAYS


def month_day(place: int) -> str:
    """Say a place of the year as MM-DD.

    >>> month_day(0), month_day(58), month_day(364)
    ('01-01', '02-28', '12-31')
    """
    return (date(_PLAIN_YEAR, 1, 1) + timedelta(days=place % DAYS)).strftime("%m-%d")


def day_in_year(year: int, text: str) -> date:
    """Return MM-DD in a year; 29 February falls back to the 28th in a plain year."""
    month, day = (int(part) for part in text.split("-"))
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, month, day - 1)


#: Every place of the year.
WHOLE_YEAR: Places = np.arange(DAYS)


@lru_cache(maxsize=1)
def _averaging() -> Array:
    matrix = np.zeros((12, DAYS))
    start = 0
    for month, days in enumerate(MONTH_DAYS):
        matrix[month, start:start + days] = 1 / days
        start += days
    return matrix


@lru_cache(maxsize=1)
def _smoothing() -> Array:
    """Return the 365 x 12 matrix that takes monthly means to the smoothest daily curve with those means.

    Smoothest: least sum of squared second differences round the year, an equality-constrained least
    squares problem solved by Lagrange multipliers.
    """
    bend = np.roll(np.eye(DAYS), 1, axis=1) + np.roll(np.eye(DAYS), -1, axis=1) - 2 * np.eye(DAYS)
    mean = _averaging()
    left = np.block([[bend.T @ bend, mean.T], [mean, np.zeros((12, 12))]])
    right = np.vstack([np.zeros((DAYS, 12)), np.eye(12)])
    solved: Array = np.linalg.solve(left, right)[:DAYS]
    return solved


def daily(monthly: Array | tuple[float, ...]) -> Array:
    """Return the smoothest yearly curve whose monthly means are the twelve given."""
    curve: Array = _smoothing() @ np.asarray(monthly, dtype=float)
    return curve


def monthly(curve: Array) -> Array:
    """Return the twelve monthly means of a yearly curve."""
    means: Array = _averaging() @ curve
    return means


def smoothed(curve: Array, days: int) -> Array:
    """Return the curve averaged over `days` ending on each day, round the year."""
    total = np.concatenate([curve[-days:], curve]).cumsum()
    averaged: Array = (total[days:] - total[:-days]) / days
    return averaged
