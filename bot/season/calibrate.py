"""Work out the fitted figures again: `python -m bot.season.calibrate` prints them.

Three fits, each against published tables: the general spread of nights and each station's spread factors
(against the station's own monthly frost days), and the year's spread with the persistence of frosts (against
published frost dates; done in tests.checks.report_frost, which also holds a third of them out).
Used when the station table changes; nothing of the bot calls it.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

import numpy as np

from bot.facts import Facts
from bot.facts.climate import ClimateFacts, Station
from bot.season.curves import Array, daily, monthly
from bot.season.nights import normal_cdf, spread_of, spring_share

_DAYS = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
#: American readings are whole degrees Fahrenheit: "below 32 °F" is anything read as 31, so below 31.5 °F.
WHOLE_FAHRENHEIT_C = -0.28
_PULL = 1.5  # how strongly factors are drawn to 1 where frost days say little


def frost_threshold(station: Station) -> float:
    """Return the air temperature that the station's frost days are counted below, °C."""
    if station.country == "United States":
        return WHOLE_FAHRENHEIT_C
    return 0.05 if station.frost_day_rule == "<=0" else -0.05


def station_factors(station: Station, climate: ClimateFacts) -> tuple[float, float] | None:
    """Return the spring and autumn spread factors that best give a station's frost days; None when it has none."""
    if station.frost_days is None:
        return None
    low = daily(station.low)
    means = (np.array(station.low) + np.array(station.high)) / 2
    spread = spread_of(low, float(means.max() - means.min()), climate)
    share, seen = spring_share(low), np.clip(np.array(station.frost_days) / _DAYS, 1e-5, 1 - 1e-5)

    def misfit(spring: float, autumn: float) -> float:
        sigma = np.maximum(spread * (spring * share + autumn * (1 - share)), 1.0)
        got = np.clip(monthly(normal_cdf((frost_threshold(station) - low) / sigma)), 1e-5, 1 - 1e-5)
        off = (2 * np.arcsin(np.sqrt(got)) - 2 * np.arcsin(np.sqrt(seen))) * np.sqrt(30)
        return float((off**2).sum() + (_PULL * (spring - 1)) ** 2 + (_PULL * (autumn - 1)) ** 2)

    factors = [1.0, 1.0]
    for _ in range(12):
        factors[0] = _least(lambda x: misfit(x, factors[1]))
        factors[1] = _least(lambda x: misfit(factors[0], x))
    return factors[0], factors[1]


def _least(cost: Callable[[float], float], low: float = 0.4, high: float = 2.5) -> float:
    """Return where a one-valley function is least, by golden section."""
    ratio = (5**0.5 - 1) / 2
    a, b = high - ratio * (high - low), low + ratio * (high - low)
    left, right = cost(a), cost(b)
    while high - low > 1e-4:
        if left < right:
            high, b, right = b, a, left
            a = high - ratio * (high - low)
            left = cost(a)
        else:
            low, a, left = a, b, right
            b = low + ratio * (high - low)
            right = cost(b)
    return (low + high) / 2


def frost_days_misfit(climate: ClimateFacts) -> Array:
    """Return, station by month, how many frost days too many the fitted nights give."""
    rows = []
    for station in climate.stations:
        if station.frost_days is None or station.spread_spring is None or station.spread_autumn is None:
            continue
        low = daily(station.low)
        means = (np.array(station.low) + np.array(station.high)) / 2
        share = spring_share(low)
        sigma = spread_of(low, float(means.max() - means.min()), climate) * (
            station.spread_spring * share + station.spread_autumn * (1 - share))
        frosts = monthly(normal_cdf((frost_threshold(station) - low) / sigma)) * _DAYS
        rows.append(frosts - np.array(station.frost_days))
    return np.array(rows)


def main() -> None:
    """Print each station's factors as they are and as they come out now."""
    climate = Facts().climate
    for station in climate.stations:
        factors = station_factors(station, climate)
        if factors:
            print(f"{station.name}\t{station.spread_spring}\t{factors[0]:.3f}\t{station.spread_autumn}\t{factors[1]:.3f}")
    misfit = frost_days_misfit(climate)
    print(f"mean error {np.abs(misfit).mean():.2f} days a month, {np.abs(misfit.sum(axis=1)).mean():.1f} a year",
          file=sys.stderr)


if __name__ == "__main__":
    main()
