"""Time the bed choice over every crop and method: `python -m tests.benchmarks.bench_fits_bed`.

Prints the median over the months with warm tables, the first call cold, and the ratio of the median to a floor: one
numpy cumulative sum over three years for every way of beginning that was tried, which no simulation could do without.
Fails (exit 1) when the median passes 60 ms or the cost of trying half the crops is far from half.
"""

from __future__ import annotations

import statistics
import sys
import time
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from bot.facts import Facts
from bot.growing.choosing import choose
from bot.growing.outcomes import Trial
from bot.growing.space import Place
from bot.growing.trial import trial_for
from bot.plot.demo import demo_events
from bot.plot.state import fold
from bot.season import season_for

LIMIT_MS = 60.0
ROUNDS = 5


class Half:
    """Facts with every other crop, to see that cost grows with the crops tried."""

    def __init__(self, facts: Facts) -> None:
        self._facts = facts
        self.crops = {crop_id: crop for n, (crop_id, crop) in enumerate(facts.crops.items()) if n % 2 == 0}

    def __getattr__(self, name: str) -> object:
        return getattr(self._facts, name)


def trial(facts: Facts, month: int) -> Trial:
    day = date(2026, month, 12)
    plot = fold("demo", demo_events(day))
    assert plot.settings.place is not None
    season = season_for(plot.settings.place, facts)
    bed = plot.beds["bed-3"]
    return trial_for(season, facts, plot, Place(400, 120, bed), day, day + timedelta(days=14))


def timed(work: Trial) -> float:
    start = time.perf_counter()
    choose(work)
    return (time.perf_counter() - start) * 1000


def floor_ms(tried: int) -> float:
    """Return the time of one cumulative sum over three years for each way tried."""
    year = np.random.default_rng(1).random(3 * 365)
    start = time.perf_counter()
    for _ in range(tried):
        np.cumsum(year)
    return (time.perf_counter() - start) * 1000


def main() -> int:
    facts = Facts()
    _ = facts.crops, facts.growing, facts.climate
    cold = timed(trial(facts, 6))
    medians, tried = [], 0
    for month in range(1, 13):
        work = trial(facts, month)
        tried = max(tried, choose(work).tried)
        medians.append(statistics.median(timed(work) for _ in range(ROUNDS)))
    median = statistics.median(medians)
    floor = statistics.median(floor_ms(tried) for _ in range(9))
    june = trial(facts, 6)
    whole = statistics.median(timed(june) for _ in range(9))
    half = statistics.median(timed(replace(june, facts=Half(facts))) for _ in range(9))  # type: ignore[arg-type]
    print(f"ways of beginning tried  {tried}")
    print(f"median over twelve months {median:6.1f} ms  (worst month {max(medians):.1f}, first call {cold:.1f})")
    print(f"floor: {tried} cumulative sums {floor:6.2f} ms  ratio {median / floor:.1f}")
    print(f"half the crops {half:.1f} ms of {whole:.1f} ms  ({half / whole:.0%})")
    return 0 if median <= LIMIT_MS and 0.3 <= half / whole <= 0.75 else 1


if __name__ == "__main__":
    sys.exit(main())
