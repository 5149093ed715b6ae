"""Plan a season's beds: a family and its crops for each bed, by rotation, light and what the kitchen wants most of.

Beds are settled one at a time, the hardest to please first; a family taken for one bed counts less for the next,
so that the whole plot feeds all parts of the kitchen and next year's rotation still works.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.growing.outcomes import Miss, Offer
from bot.growing.ranking import ranked, scored
from bot.growing.space import Place
from bot.growing.trial import attempt, trial_for, ways
from bot.growing.wishes import NO_WISHES, Wishes, meets, refuses
from bot.plot.state import Bed, Plot

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.season import Season

#: Groups that one plan may give to several beds without harm.
_SHARED = ("break-crops", "herbs", "daisy-family")
_AGAIN = 0.45
_CROPS_A_BED = 2
_ALONE = 0.85  # what the second half of a bed counts when one crop has it all
_ASKED_FOR = 50.0  # a crop asked for by name goes before all others until it has a bed


@dataclass(frozen=True, slots=True)
class BedPlan:
    """One bed's season: the group it is given, its main crops, and what follows them."""

    bed: Bed
    group: str
    main: tuple[Offer, ...]
    then: tuple[Offer, ...]


def season_start(season: Season, facts: Facts, today: date) -> date:
    """Return when the season to be planned begins: this spring until the last frost is past, then the next."""
    here = curves(season, None, facts)
    year = GardenYear.around(today, season.southern)
    opens = year.day(here.last_frost() - 35)
    if today > year.day(here.last_frost() + 30):
        year = GardenYear.around(today + timedelta(days=366), season.southern)
        opens = year.day(here.last_frost() - 35)
    return max(opens, today)


def plan_beds(
    season: Season, facts: Facts, plot: Plot, today: date, wishes: Wishes = NO_WISHES,
    start: date | None = None, named: Sequence[str] = (),
) -> list[BedPlan]:
    """Plan every bed of the plot that is not a fruit bed, from `start` or the coming season's; crops `named` come first."""
    start = start or season_start(season, facts, today)
    end = start + timedelta(days=95)
    beds = [bed for bed in plot.beds.values() if bed.kind not in ("fruit", "frame", "container")]
    # What stands now is taken to be out by then, and counts in the bed's history.
    cleared = replace(
        plot,
        plantings=tuple(
            replace(p, cleared=max(today, start - timedelta(days=1)))
            if p.standing and p.bed in plot.beds and plot.beds[p.bed].kind != "fruit"
            else p
            for p in plot.plantings
        ),
    )
    found = {bed.id: _offers(bed, season, facts, cleared, start, end, wishes) for bed in beds}
    plans: dict[str, BedPlan] = {}
    groups: Counter[str] = Counter()
    crops: Counter[str] = Counter()
    for bed in sorted(
        beds, key=lambda b: (not b.cover, len({facts.crops[o.crop].family.rotation_group for o in found[b.id]}))
    ):
        best = (
            _under_roof(_fresh(found[bed.id], crops, named), facts)
            if bed.cover
            else _best_group(_fresh(found[bed.id], crops, named), facts, groups)
        )
        if best is None:
            continue
        group, main = best
        groups[group] += 1
        crops.update(offer.crop for offer in main)
        out = max((offer.last for offer in main), default=end)
        then = (
            _after(bed, season, facts, cleared, main, out, wishes, crops, named) if out < start + timedelta(days=200) else ()
        )
        crops.update(offer.crop for offer in then)
        plans[bed.id] = BedPlan(bed, group, main, then)
    return [plans[bed.id] for bed in beds if bed.id in plans]


def _offers(bed: Bed, season: Season, facts: Facts, plot: Plot, start: date, end: date, wishes: Wishes) -> list[Offer]:
    length, width = (bed.length_m or 1.0) * 100, (bed.width_m or 1.0) * 100
    trial = trial_for(season, facts, plot, Place(length, width, bed), start, end)
    out: list[Offer] = []
    for crop in facts.crops.values():
        if crop.sowing is None or crop.growth is None or crop.spacing is None or refuses(wishes, crop):
            continue
        if crop.growth.lasting or "green-manure" in crop.use:
            continue
        for method in ways(crop, trial):
            result = attempt(crop, method, trial)
            if not isinstance(result, Miss) and meets(wishes, result, facts):
                # When in the season it is begun is the gardener's choice: no penalty for a later start.
                out.append(scored(replace(result), replace(trial, first_day=result.start), wishes))
    return out


def _fresh(offers: list[Offer], crops: Counter[str], named: Sequence[str]) -> list[Offer]:
    """Return offers with what already has a bed counting less, and what was asked for and has none counting most."""
    return [
        replace(o, score=o.score * (_ASKED_FOR if o.crop in named and not crops[o.crop] else _AGAIN ** crops[o.crop]))
        for o in offers
    ]


def _under_roof(offers: list[Offer], facts: Facts) -> tuple[str, tuple[Offer, ...]] | None:
    """Return the best crops for a roof, whatever their families: it is filled with what needs it."""
    main = _at_peace(ranked(offers, facts, 2 * _CROPS_A_BED + 2), facts, _CROPS_A_BED + 1)
    return (facts.crops[main[0].crop].family.rotation_group, _in_order(main)) if main else None


def _at_peace(offers: Sequence[Offer], facts: Facts, many: int) -> tuple[Offer, ...]:
    """Return the best offers that may share a bed: none that is to be kept apart from a better one (potatoes from tomatoes)."""
    taken: list[Offer] = []
    for offer in offers:
        if len(taken) < many and not any(_enemies(offer.crop, other.crop, facts) for other in taken):
            taken.append(offer)
    return tuple(taken)


def _enemies(a: str, b: str, facts: Facts) -> bool:
    return any(row.verdict == "harms" and ((a in row.crops_a and b in row.crops_b) or (b in row.crops_a and a in row.crops_b)) for row in facts.growing.companions)


def _in_order(main: tuple[Offer, ...]) -> tuple[Offer, ...]:
    return tuple(sorted(main, key=lambda offer: offer.start))


def _best_group(
    offers: list[Offer], facts: Facts, groups: Counter[str]
) -> tuple[str, tuple[Offer, ...]] | None:
    by_group: dict[str, list[Offer]] = {}
    for offer in offers:
        by_group.setdefault(facts.crops[offer.crop].family.rotation_group, []).append(offer)
    best: tuple[float, str, tuple[Offer, ...]] | None = None
    for group, some in by_group.items():
        main = _at_peace(ranked(some, facts, 2 * _CROPS_A_BED), facts, _CROPS_A_BED)
        alike = len(main) == 2 and len({facts.crops[o.crop].botanical.split()[1] for o in main}) == 1
        if alike:
            main = main[:1]  # a bed of potatoes is a bed of potatoes
        second = main[1].score if len(main) > 1 else main[0].score * _ALONE
        share = 1.0 if group in _SHARED else _AGAIN ** groups[group]
        worth = (main[0].score + 0.7 * second) * share
        if best is None or worth > best[0]:
            best = (worth, group, main)
    return None if best is None else (best[1], _in_order(best[2]))


def _after(
    bed: Bed,
    season: Season,
    facts: Facts,
    plot: Plot,
    main: tuple[Offer, ...],
    out: date,
    wishes: Wishes,
    crops: Counter[str],
    named: Sequence[str],
) -> tuple[Offer, ...]:
    """Return what can follow in the same bed once the main crops are out."""
    length, width = (bed.length_m or 1.0) * 100, (bed.width_m or 1.0) * 100
    trial = trial_for(season, facts, plot, Place(length, width, bed), out, out + timedelta(days=30))
    kin = {facts.crops[o.crop].family.rotation_group for o in main}
    found: list[Offer] = []
    for crop in facts.crops.values():
        if crop.sowing is None or crop.growth is None or crop.spacing is None or refuses(wishes, crop):
            continue
        if (
            crop.growth.lasting
            or crop.family.rotation_group in kin - {"break-crops"}
            or "green-manure" in crop.use
        ):
            continue
        for method in ways(crop, trial):
            result = attempt(crop, method, trial)
            if not isinstance(result, Miss):
                found.append(scored(result, trial, wishes))
    return tuple(ranked(_fresh(found, crops, named), facts, 1))
