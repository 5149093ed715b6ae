"""Warmth that counts for growth: degree days above a base, capped at a ceiling, scaled by the light.

Degree days by the single sine method with a horizontal upper cut-off (Baskerville and Emin 1969, Ecology 50).
The day-length factor follows the growers' ten-hour rule: full growth from twelve hours, nearly none under ten.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from bot.facts.climate import ClimateFacts
from bot.season.curves import Array


@dataclass(frozen=True, slots=True)
class Reach:
    """The day a sum is reached in a warm year (`early`), a usual one, and a cool one; None = not within two years."""

    early: date | None
    likely: date | None
    late: date | None


def average_degree_days(low: float, high: float, base: float, ceiling: float | None = None) -> float:
    """Return one day's degree days by the averaging method: mean less base, never under zero.

    With a ceiling, the modified form: highs over the ceiling count as the ceiling, lows under the base as the base.
    """
    if ceiling is not None:
        high, low = min(max(high, base), ceiling), min(max(low, base), ceiling)
    return max(0.0, (low + high) / 2 - base)


def sine_degree_days(low: Array, high: Array, base: float, ceiling: float | None = None) -> Array:
    """Return degree days of each day by the single sine method (same temperature unit as given)."""
    total = _above(low, high, base)
    if ceiling is not None:
        total = total - _above(low, high, ceiling)
    return total


def _above(low: Array, high: Array, base: float) -> Array:
    """Return the daily mean of a sine between low and high, cut off below at the base."""
    low, high = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    mean, half = (low + high) / 2, np.maximum((high - low) / 2, 1e-9)
    angle = np.arcsin(np.clip((base - mean) / half, -1, 1))
    part = ((mean - base) * (np.pi / 2 - angle) + half * np.cos(angle)) / np.pi
    answer: Array = np.where(low >= base, mean - base, np.where(high <= base, 0.0, part))
    return answer


def light_factor(hours: Array, climate: ClimateFacts, transmission: float = 1.0) -> Array:
    """Return the share of full growth the light allows, 0 to 1.

    Rises from the floor at the stopping day length to 1 at the full one. A cover that takes light takes
    its whole share when days are short and nothing when they are long, since light then is not what limits.
    """
    number = climate.number
    stop, full, floor = number("light.stop_hours"), number("light.full_hours"), number("light.floor")
    open_air = floor + (1 - floor) * np.clip((hours - stop) / (full - stop), 0, 1)
    factor: Array = open_air * (1 - (1 - transmission) * (1 - open_air))
    return factor
