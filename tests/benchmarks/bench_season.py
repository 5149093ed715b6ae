"""How fast the season is, as ratios to a stated floor: `python -m tests.benchmarks.bench_season`.

The floor is one pass of a normal distribution function over a year of nights (seven quadrature nodes), the least that
any answer about frost must do.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date
from statistics import median

import numpy as np

from bot.facts import Facts
from bot.plot.state import PlotPlace, Settings
from bot.season import season_for
from bot.season.curves import daily
from bot.season.nights import normal_cdf
from bot.season.normals import normals_at
from bot.season.place import Gazetteer, gazetteer, place_at
from bot.season.season import Season


def clock(work: Callable[[], object], times: int = 15) -> float:
    """Return the median time of some work, ms."""
    taken = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        taken.append((time.perf_counter() - began) * 1000)
    return median(taken)


def main() -> None:
    """Print each figure and its ratio to the floor."""
    facts = Facts()
    began = time.perf_counter()
    climate = facts.climate
    print(f"climate room, cold: {(time.perf_counter() - began) * 1000:.1f} ms")
    daily((0.0,) * 12)
    place = PlotPlace(45.05, 3.90, 880, "Europe/Paris")
    z = np.random.default_rng(1).normal(0, 2, (7, 365))
    floor = clock(lambda: normal_cdf(z), 200)
    print(f"floor, one pass over a year of nights: {floor:.3f} ms")
    count = iter(range(1, 100_000))

    def build() -> Season:
        """Build a season nothing is kept of: places a hair apart."""
        return season_for(PlotPlace(45.05 + next(count) * 1e-6, 3.90, 880), facts)

    def whole() -> None:
        """Build one and ask it for what a first answer needs."""
        season = build()
        season.arrays(), season.arrays("polytunnel"), season.frost_dates(), season.winter

    own = Settings(place=place, last_frost="05-15", first_frost="10-01")

    def with_own() -> None:
        season_for(PlotPlace(45.05 + next(count) * 1e-6, 3.90, 880), facts, own).frost_dates()

    season = season_for(place, facts)
    day = date(2026, 5, 1)
    season.reach(900, day, 4.4, 24)
    rows = [
        ("normals of a place", lambda: normals_at(45.05, 3.9, 880, climate), 5),
        ("season built, with arrays, frost dates and winter", whole, 30),
        ("season built with own frost dates", with_own, 30),
        ("season from the cache", lambda: season_for(place, facts), 0.05),
        ("frost dates at another threshold", lambda: season.nights.dates(-2.2), 2),
        ("chance of a frost in 14 days", lambda: season.frost_chance(day, date(2026, 5, 14)), 1),
        ("chance of living through a winter", lambda: season.survival(-12, date(2026, 11, 1), date(2027, 4, 30)), 1),
        ("reach, warmth known", lambda: season.reach(900, day, 4.4, 24), 1),
        ("warmth of a year, new base", lambda: Season.warmth(season, 1 + next(count) * 1e-6, 24.0), 1),
        ("gazetteer, cold", lambda: Gazetteer(facts.root), 200),
        ("a town looked up", lambda: gazetteer(facts.root).find("Cambridge"), 2),
        ("coordinates to a place", lambda: place_at(climate, 45.05, 3.9, 880), 10),
    ]
    gazetteer(facts.root).find("York")
    worst = 0
    for name, work, limit in rows:
        took = clock(work)
        late = took > limit
        worst += late
        print(
            f"{name:52} {took:8.3f} ms  {took / floor:8.1f} x floor  (limit {limit} ms){'  TOO SLOW' if late else ''}"
        )
    if worst:
        raise SystemExit(f"{worst} figures over their limit")


if __name__ == "__main__":
    main()
