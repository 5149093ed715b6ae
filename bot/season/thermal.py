"""Warmth that counts for growth: degree days above a base, capped at a ceiling and by what the light can carry.

Degree days by the single sine method with a horizontal upper cut-off (Baskerville and Emin 1969, Ecology 50).
Light and warmth are limiting factors (Blackman 1905, Annals of Botany 19): a day counts its degree days or what
its light can carry, whichever is less. Light begins to limit below twelve hours of day and leaves little under
ten (the growers' ten-hour rule). Multiplying the two instead was tried and gave twice the published slow-down.
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
    """Return the light as a share of what full growth needs, 0 to 1: from day length, and what a cover lets through."""
    number = climate.number
    least, full, floor = number("light.least_hours"), number("light.full_hours"), number("light.floor")
    factor: Array = transmission * (floor + (1 - floor) * np.clip((hours - least) / (full - least), 0, 1))
    return factor


def effective(low: Array, high: Array, light: Array, base: float, ceiling: float | None,
              climate: ClimateFacts) -> Array:
    """Return each day's degree days that count (°C days): warmth, or what the light can carry if that is less.

    Full light carries a fixed share of the span from base to ceiling a day.
    """
    top = ceiling if ceiling is not None else climate.number("light.ceiling_c")
    carried = light * climate.number("light.carries") * max(top - base, 1.0)
    counted: Array = np.minimum(sine_degree_days(low, high, base, ceiling), carried)
    return counted


def need_from_days(days: float, base: float, ceiling: float | None, climate: ClimateFacts) -> float:
    """Return the degree days that a published "days to maturity" stands for, °C days.

    Such days are counted in spring and early summer: the reference conditions of the coefficients, one set for cool
    crops and one for warm ones, under full light.
    """
    kind = "warm" if base >= climate.number("reference.warm_from_base_c") else "cool"
    low, high = (np.array([climate.number(f"reference.{kind}_{side}_c")]) for side in ("low", "high"))
    return days * float(effective(low, high, np.ones(1), base, ceiling, climate)[0])
