"""Choose what to put in a place: every crop every way, tried, ranked, with the near misses and why."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.growing.hurdles import may_last
from bot.growing.outcomes import Miss, Offer, Trial
from bot.growing.ranking import ranked, scored
from bot.growing.trial import attempt, ways
from bot.growing.wishes import NO_WISHES, Wishes, meets, refuses, suits


@dataclass(frozen=True, slots=True)
class Choice:
    """What fits a place, best first; green manures apart; and what nearly did."""

    offers: tuple[Offer, ...]
    manures: tuple[Offer, ...]
    near_misses: tuple[Miss, ...]
    tried: int


def choose(trial: Trial, wishes: Wishes = NO_WISHES, count: int = 8) -> Choice:
    """Try every crop every way in the trial's place and return the best, with near misses."""
    if "perennial" in wishes.wanted:
        trial = replace(trial, lasting_ok=True)
    offers: list[Offer] = []
    manures: list[Offer] = []
    misses: dict[str, Miss] = {}
    able: set[str] = set()  # crops that would do, if not as wished
    tried = 0
    for crop in trial.facts.crops.values():
        manure = "green-manure" in crop.use
        if crop.sowing is None or crop.growth is None or (crop.spacing is None and not manure) or refuses(wishes, crop):
            continue
        lasting = not manure and crop.growth.lasting
        if lasting and not may_last(trial):
            continue
        for method in ways(crop, trial):
            tried += 1
            result = attempt(crop, method, trial)
            if isinstance(result, Miss):
                known = misses.get(crop.id)
                if known is None or result.nearness > known.nearness:
                    misses[crop.id] = result
                continue
            able.add(crop.id)
            if manure:
                manures.append(scored(result, trial, wishes))
            elif meets(wishes, result, trial.facts):
                offers.append(scored(result, trial, wishes))
    best = ranked(offers, trial.facts, count)
    near = [
        miss
        for miss in misses.values()
        if miss.crop not in able
        and "green-manure" not in trial.facts.crops[miss.crop].use
        and suits(wishes, trial.facts.crops[miss.crop], trial.facts)
    ]
    near.sort(key=lambda miss: -miss.nearness * _worth(trial, miss.crop))
    if trial.year.count(trial.first_day) > trial.facts.growing.number("green_manure.winter_from_days"):  # one that stands the winter: the others are black at the first hard frost
        manures = [o for o in manures if (g := trial.facts.crops[o.crop].growth) is not None and g.stands_winter] or manures
    return Choice(tuple(best), tuple(ranked(manures, trial.facts, 3)), tuple(_mixed(near)[:6]), tried)


def explain(trial: Trial, crop_id: str) -> list[Offer | Miss]:
    """Return what became of one crop, every way, best result first: the answer to "why not?"."""
    crop = trial.facts.crops[crop_id]
    results = [attempt(crop, method, trial) for method in ways(crop, trial)]
    return sorted(results, key=lambda r: (isinstance(r, Miss), -r.nearness if isinstance(r, Miss) else 0.0))


def _worth(trial: Trial, crop_id: str) -> float:
    row = trial.facts.growing.worth.get(crop_id)
    return row.worth if row else 1.0


def _mixed(near: list[Miss]) -> list[Miss]:
    """Order near misses so that the first ones failed different tests: that teaches more."""
    out: list[Miss] = []
    seen: set[str] = set()
    for miss in near[:12]:
        if miss.failed not in seen:
            seen.add(miss.failed)
            out.append(miss)
    return out + [miss for miss in near if miss not in out]
