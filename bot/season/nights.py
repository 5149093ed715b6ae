"""Cold nights: the chance of a night below a temperature, first and last frosts, the winter's lowest night.

The lowest temperature of a night is taken as normally distributed round its smooth normal. Its spread
widens in cold months and in continental places, and is fitted to the frost days each station publishes.
Part of the spread belongs to the year as a whole (a cold spring), the rest to the single night; neighbouring
nights are alike, which lowers the number of independent chances in a spell. The chance of any night below t
in a spell is then 1 - E[exp(-persistence x sum of -ln(1 - p))] over the year's anomaly, by Gauss-Hermite
quadrature (Abramowitz and Stegun 25.4.46). Thom (1959) treats frost dates in the same spirit.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.polynomial.hermite_e import hermegauss

from bot.facts.climate import ClimateFacts
from bot.season.curves import DAYS, Array, Places, month_day, smoothed

_NODES, _WEIGHTS = hermegauss(7)
_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()
LEVELS = (10, 50, 90)


@dataclass(frozen=True, slots=True)
class Quantiles:
    """Dates as MM-DD; None where it comes in fewer years than that.

    p10 is the day that one year in ten still freezes after (last) or has frozen before (first),
    so a last p90 is an early date and a first p90 a late one.
    """

    p10: str | None
    p50: str | None
    p90: str | None

    def at(self, percent: int) -> str | None:
        """Return the date of 10, 50 or 90 percent."""
        return {10: self.p10, 50: self.p50, 90: self.p90}[percent]

    def as_json(self) -> dict[str, str | None]:
        """Return the plain form."""
        return {"p10": self.p10, "p50": self.p50, "p90": self.p90}


@dataclass(frozen=True, slots=True)
class FrostDates:
    """Last and first dates of a night at or below `threshold_c`."""

    last: Quantiles
    first: Quantiles
    threshold_c: float = 0.0

    def as_json(self) -> dict[str, dict[str, str | None]]:
        """Return the plain form."""
        return {"last": self.last.as_json(), "first": self.first.as_json()}


def normal_cdf(z: Array) -> Array:
    """Return the normal distribution function (Abramowitz and Stegun 7.1.26, error under 1.5e-7)."""
    x = np.abs(z) / np.sqrt(2)
    t = 1 / (1 + 0.3275911 * x)
    poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    half = 0.5 * poly * np.exp(-x * x)
    answer: Array = np.where(z < 0, half, 1 - half)
    return answer


@dataclass(frozen=True)
class Nights:
    """The nights of a year: mean low and its spread (°C, 365 places), and how they hang together."""

    mean: Array
    spread: Array
    year_sd: float
    persistence: float

    @property
    def warmest(self) -> int:
        """Return the middle of the warmest month-long spell."""
        return (int(np.argmax(smoothed(self.mean, 31))) - 15) % DAYS

    def each(self, threshold: float | Array = 0.0) -> Array:
        """Return the chance of each single night being at or below the threshold."""
        return normal_cdf((threshold - self.mean) / self.spread)

    def any(self, at: Places, threshold: float = 0.0, gain: float | Array = 0.0) -> float:
        """Return the chance of at least one night at or below the threshold among the places `at`."""
        if len(at) == 0:
            return 0.0
        return any_night(self.mean[at] + gain, self.spread[at], np.full(len(at), self.year_sd),
                         threshold, self.persistence)

    def dates(self, threshold: float = 0.0) -> FrostDates:
        """Return last and first dates at the 10, 50 and 90 percent levels."""
        return FrostDates(self._levels(self._from_summer(-1), threshold), self._levels(self._from_summer(1), threshold),
                          threshold)

    def _from_summer(self, way: int) -> Places:
        """Return the places of the year from its warmest on (way 1) or back (way -1)."""
        places: Places = (self.warmest + way * np.arange(DAYS)) % DAYS
        return places

    def days_from_summer(self, way: int, threshold: float = 0.0) -> int:
        """Return how many days after the warmest (way 1) the first frost comes in half of years, or before it the last.

        A year's length where half of years have none.
        """
        order = self._from_summer(way)
        chance = running_chance(self.mean[order], self.spread[order], np.full(DAYS, self.year_sd),
                                threshold, self.persistence)
        reached = np.flatnonzero(chance >= 0.5)
        return int(reached[0]) if len(reached) else DAYS

    def _levels(self, order: Places, threshold: float) -> Quantiles:
        chance = running_chance(self.mean[order], self.spread[order], np.full(DAYS, self.year_sd),
                                threshold, self.persistence)
        dates = []
        for level in LEVELS:
            reached = np.flatnonzero(chance >= level / 100)
            dates.append(month_day(int(order[reached[0]])) if len(reached) else None)
        return Quantiles(*dates)

    def frosty_spell(self, threshold: float = 0.0) -> tuple[str, str]:
        """Return the dates (MM-DD) between which eight in ten of the year's nights under the threshold fall."""
        on = (self.warmest + np.arange(DAYS)) % DAYS
        share = np.cumsum(self.each(threshold)[on])
        share = share / max(float(share[-1]), 1e-12)
        start, end = (int(on[min(int(np.searchsorted(share, level)), DAYS - 1)]) for level in (0.1, 0.9))
        return month_day(start), month_day(end)

    def lowest(self, at: Places, chance: float, gain: float = 0.0) -> float:
        """Return the temperature that the lowest night among `at` stays above with this chance, °C."""
        bottom, top = -80.0, 40.0
        for _ in range(40):
            middle = (bottom + top) / 2
            if 1 - self.any(at, middle, gain) >= chance:
                bottom = middle
            else:
                top = middle
        return (bottom + top) / 2


def running_chance(mean: Array, spread: Array, year_sd: Array, threshold: float, persistence: float) -> Array:
    """Return, after each night in turn, the chance that one so far was at or below the threshold."""
    single = np.sqrt(np.maximum(spread**2 - year_sd**2, 0.25))
    z = (threshold - mean - np.outer(_NODES, year_sd)) / single
    hazard = -persistence * np.log1p(-np.minimum(normal_cdf(z), 1 - 1e-9))
    chance: Array = _WEIGHTS @ (1 - np.exp(-np.cumsum(hazard, axis=1)))
    return chance


def any_night(mean: Array, spread: Array, year_sd: Array, threshold: float, persistence: float) -> float:
    """Return the chance that at least one of these nights is at or below the threshold."""
    return float(running_chance(mean, spread, year_sd, threshold, persistence)[-1])


def spread_of(mean: Array, amplitude: float, climate: ClimateFacts) -> Array:
    """Return the general spread of nightly lows round their normal, °C.

    `amplitude` is the difference between the warmest and coldest monthly mean temperature.
    """
    number = climate.number
    spread: Array = np.maximum(
        number("nights.spread_least"),
        number("nights.spread")
        + number("nights.spread_per_amplitude") * amplitude
        + number("nights.spread_per_degree_under_zero") * np.maximum(-mean, 0)
        + number("nights.spread_per_degree_over_zero") * np.maximum(mean, 0),
    )
    return spread


def spring_share(mean: Array) -> Array:
    """Return 1 in the rising half of the year, 0 in the falling half, smooth between."""
    run = smoothed(mean, 31)
    coldest, warmest = (int(np.argmin(run)) - 15) % DAYS, (int(np.argmax(run)) - 15) % DAYS
    middle = coldest + ((warmest - coldest) % DAYS) / 2
    share: Array = 0.5 + 0.5 * np.clip(1.6 * np.cos(2 * np.pi * (np.arange(DAYS) - middle) / DAYS), -1, 1)
    return share


def nights_of(mean: Array, amplitude: float, spring: float, autumn: float, climate: ClimateFacts) -> Nights:
    """Build the nights of a place from its mean lows and the spread factors of its stations."""
    share = spring_share(mean)
    spread = spread_of(mean, amplitude, climate) * (spring * share + autumn * (1 - share))
    least = climate.number("nights.spread_least")
    return Nights(mean, np.maximum(spread, least), climate.number("nights.year_sd"),
                  climate.number("nights.persistence"))
