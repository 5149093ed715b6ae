"""Which ground a question means: a named bed, the empty one, a gap, a size typed, a bed once a crop is out."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.growing.maturity import picking
from bot.growing.space import Place, is_manure, place_in
from bot.plot.state import Bed, Planting, Plot
from bot.request import Request

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.season import Season

FOLLOWS = re.compile(
    r"\b(after|once|when|where|follows?|following|finished|cleared|come out|comes out|came out|is out|are out|lifted)\b", re.I
)
_SHADE = re.compile(r"\b(?:shade|shady|shaded|no sun|little sun)\b", re.I)
_BEFORE = re.compile(r"\b(before|until|till|by)\b", re.I)
_STUMPS = re.compile(r"\bstumps?\b", re.I)
_HALF = re.compile(r"\bhalf\b", re.I)
#: How far ahead of today a beginning still counts as now.
SOON = timedelta(days=14)


@dataclass(frozen=True, slots=True)
class Ground:
    """A place to fill and from when to when it may be begun; `others` are empty beds that were not taken."""

    place: Place
    first_day: date
    last_day: date
    plot: Plot
    others: tuple[Bed, ...] = ()
    after: Planting | None = None
    full: Bed | None = None
    stumps: bool = False
    no_bed_empty: bool = False


def ground_for(
    request: Request, plot: Plot, facts: Facts, season: Season, today: date, ahead: timedelta | None = None
) -> Ground | Bed:
    """Return the ground a request means, or the bed it names when that is full.

    `ahead` is how far off a beginning still counts when no day is named.
    """
    first, last = days_of(request, today)
    if ahead is not None and request.when is None:
        last = first + ahead
    stumps = bool(_STUMPS.search(request.text)) or "stumps" in request.flags
    after = standing_before(request, plot)
    if after is not None and after.bed in plot.beds:
        free = _once_out(after, max(first, last_picking(after, facts, season, today, plot)), plot, facts, stumps)
        return free or plot.beds[after.bed]  # what else stands there fills it
    if request.size_m is not None:
        bed = plot.beds.get(request.beds[0]) if request.beds else None
        long, short = max(request.size_m), min(request.size_m)
        return Ground(Place(long * 100, short * 100, bed), first, last, plot, stumps=stumps)
    row = request.amount("m")
    area = request.amount("m2")
    if request.beds:
        bed = plot.beds.get(request.beds[0])
        if bed is not None:
            found = _in_bed(bed, request, plot, facts, first, last, stumps, row, area)
            return (_soon_free(bed, first, last, plot, facts, season, today, stumps) or bed) if isinstance(found, Bed) else found
    if row is not None or area is not None:
        long = (row.value if row else max(0.5, (area.value if area else 1.0) ** 0.5)) * 100
        short = 40.0 if row else long
        return Ground(Place(long, short), first, last, plot, stumps=stumps)
    gap = "gap" in request.flags and "hungry-gap" not in request.wishes
    if _SHADE.search(request.text):
        shady = next((bed for bed in plot.beds.values() if bed.light in ("shade", "part-shade") and bed.kind != "fruit"), None)
        place = place_in(shady, plot, facts, first) if shady else None
        if place is not None:
            return Ground(place, first, last, plot, stumps=stumps)
    return _any_bed(plot, facts, first, last, stumps, gap=gap)


def _once_out(after: Planting, first: date, plot: Plot, facts: Facts, stumps: bool) -> Ground | None:
    """Return the ground a planting leaves from a day on, or None when what stands beside it fills the bed."""
    without = replace(plot, plantings=tuple(replace(p, cleared=first) if p.id == after.id else p for p in plot.plantings))
    place = place_in(plot.beds[after.bed or ""], without, facts, first, gone=1)
    return Ground(place, first, first + SOON, without, after=after, stumps=stumps) if place is not None else None


def _soon_free(
    bed: Bed, first: date, last: date, plot: Plot, facts: Facts, season: Season, today: date, stumps: bool
) -> Ground | None:
    """Return the ground of a full bed once what is over there, or will be in time, is out; None when nothing is."""
    rows = []
    for planting in plot.standing(bed.id):
        crop = facts.crops.get(planting.crop)
        if crop is None or crop.lasting or not planting.in_ground:
            continue
        out = max(first, last_picking(planting, facts, season, today, plot))
        if out <= max(last, first + SOON):
            rows.append((out, planting.id, planting))
    return next((free for out, _, planting in sorted(rows) if (free := _once_out(planting, out, plot, facts, stumps))), None)


def _in_bed(
    bed: Bed,
    request: Request,
    plot: Plot,
    facts: Facts,
    first: date,
    last: date,
    stumps: bool,
    row: object,
    area: object,
) -> Ground | Bed:
    held = plot
    if stumps:  # only stumps stand there: the bed is free between them
        held = replace(plot, plantings=tuple(p for p in plot.plantings if not (p.bed == bed.id and p.standing)))
    place = place_in(bed, held, facts, first)
    if place is None:
        return bed
    if _HALF.search(request.text) and not place.neighbours:
        place = replace(place, length_cm=place.length_cm / 2)
    row_m = getattr(row, "value", None)
    if row_m:
        place = replace(place, length_cm=min(row_m * 100, place.length_cm), width_cm=min(40.0, place.width_cm))
    return Ground(place, first, last, plot, stumps=stumps)


def _any_bed(plot: Plot, facts: Facts, first: date, last: date, stumps: bool, *, gap: bool) -> Ground:
    """Take the first empty bed; a gap or no empty bed takes the bed with most room; no bed at all takes 1 m²."""
    beds = [bed for bed in plot.beds.values() if bed.kind != "fruit"]
    empty = [bed for bed in plot.empty_beds() if bed.kind != "fruit"]
    empty += [bed for bed in beds if bed not in empty and all(is_manure(p, facts) for p in plot.standing(bed.id))]
    # The open ground is meant where no roof is spoken of.
    empty.sort(key=lambda bed: (bed.kind in ("frame", "container"), bed.cover is not None, -(bed.area_m2 or 0.0)))
    part_full = [(bed, place_in(bed, plot, facts, first)) for bed in beds if bed not in empty]
    roomy = sorted(((bed, place) for bed, place in part_full if place is not None), key=lambda item: -item[1].area_m2)
    if gap and roomy:
        return Ground(roomy[0][1], first, last, plot, tuple(bed for bed, _ in roomy[1:3]), stumps=stumps)
    if empty:
        place = place_in(empty[0], plot, facts, first)
        if place is not None:
            return Ground(place, first, last, plot, tuple(empty[1:]), stumps=stumps)
    if roomy:
        return Ground(
            roomy[0][1], first, last, plot, tuple(bed for bed, _ in roomy[1:3]), stumps=stumps, no_bed_empty=True
        )
    return Ground(Place(100.0, 100.0, assumed=True), first, last, plot, stumps=stumps, no_bed_empty=bool(beds))


def days_of(request: Request, today: date) -> tuple[date, date]:
    """Return the days on which a beginning counts: now and the next fortnight, or the month or day named."""
    when = request.when
    if when is None or when.end < today:
        return today, today + SOON
    if _BEFORE.search(request.text) and when.start > today:
        return today, today + SOON  # "by June" is when it should be done, not begun
    first = max(today, when.start)
    return first, max(when.end, first) if not when.single else first + SOON


def standing_before(request: Request, plot: Plot) -> Planting | None:
    """Return the planting a request wants followed ("after the garlic comes out", or just told of as lifted), or None."""
    if not request.crops or request.group or not (FOLLOWS.search(request.text) or "crops" in request.inherited):
        return None
    bed = request.bed
    for planting in plot.standing(bed=bed, crop=request.crops[0]):
        if planting.bed in plot.beds:
            return planting
    return None


def last_picking(planting: Planting, facts: Facts, season: Season, today: date, plot: Plot) -> date:
    """Return when a standing planting should be out: the day after its last picking, today at the earliest."""
    crop = facts.crops.get(planting.crop)
    began = planting.in_ground or planting.began
    if crop is None or began is None:
        return today
    bed = plot.beds.get(planting.bed or "")
    here = curves(season, bed.cover if bed else None, facts)
    year = GardenYear.around(began, season.southern)
    method = planting.method if planting.method not in (None, "module", "indoors") else "plants"
    found = picking(crop, method or "direct", year.count(began), here, with_chance=False)
    if found is None:
        return today
    # Roots and bulbs are out when they are ripe; leaves and fruit when they are spent.
    row = facts.growing.worth.get(crop.id)
    lifted = (
        row is not None
        and row.kind in ("root", "tuber", "allium")
        and not (crop.growth and crop.growth.bolts_after_winter)
    )
    return max(today, year.day(found.first + 7 if lifted else found.last) + timedelta(days=1))
