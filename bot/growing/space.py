"""How much of a bed is free, what it is free for, and when it is wanted again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.growing.layout import ground_per_plant_m2, spacing_of
from bot.plot.state import Bed, Planting, Plot

if TYPE_CHECKING:
    from bot.facts import Facts

_RAISED = ("module", "indoors")


@dataclass(frozen=True, slots=True)
class Place:
    """A piece of ground to fill: its measures in cm, the bed it lies in, who stands beside, and when it is wanted."""

    length_cm: float
    width_cm: float
    bed: Bed | None = None
    neighbours: tuple[Planting, ...] = ()
    until: date | None = None
    until_crop: str | None = None
    assumed: bool = False  # the size is a guess: the bed's is unknown

    @property
    def area_m2(self) -> float:
        """Return the area in m²."""
        return self.length_cm * self.width_cm / 10_000


def taken_m2(planting: Planting, bed: Bed, facts: Facts, others: int = 0) -> float:
    """Return the ground a planting takes in m²: as recorded, from its rows or count, else an even share of the bed."""
    crop = facts.crops.get(planting.crop)
    area = bed.area_m2 or 0.0
    if planting.area_m2 is not None:
        return min(planting.area_m2, area) if area else planting.area_m2
    distances = spacing_of(crop) if crop else None
    if planting.row_m is not None and distances:
        return planting.row_m * distances[1] / 100
    each = ground_per_plant_m2(crop) if crop else None
    if planting.count and each:
        return min(planting.count * each, area) if area else planting.count * each
    return area / (others + 1) if area else 0.0


def place_in(bed: Bed, plot: Plot, facts: Facts, day: date, gone: int = 0) -> Place | None:
    """Return the free ground of a bed on `day`, or None when it is full. A bed of unknown size counts as 1 m² each way.

    The free piece is taken across the bed, whole width, since that is how gaps are left. `gone` is how many that
    shared the bed are out by then: the rest keep to the share they had.
    """
    standing = tuple(
        p for p in plot.standing(bed.id) if (p.in_ground or p.method not in _RAISED) and not is_manure(p, facts)
    )
    length, width = (bed.length_m or 1.0) * 100, (bed.width_m or 1.0) * 100
    assumed = bed.area_m2 is None
    if standing and not assumed:
        taken = sum(taken_m2(p, bed, facts, len(standing) - 1 + gone) for p in standing)
        free = (length * width / 10_000 - taken) * facts.growing.number("bed.share_usable")
        long, short = max(length, width), min(length, width)
        if free * 10_000 < 0.06 * long * short or free < 0.15:
            return None
        length, width = free * 10_000 / short, short
    until, until_crop = booked(bed, plot, facts, day)
    return Place(length, width, bed, standing, until, until_crop, assumed)


def is_manure(planting: Planting, facts: Facts) -> bool:
    """Tell whether a planting is a green manure, which gives way to a crop."""
    crop = facts.crops.get(planting.crop)
    return crop is not None and "green-manure" in crop.use


def booked(bed: Bed, plot: Plot, facts: Facts, day: date) -> tuple[date | None, str | None]:
    """Return when a bed is next wanted and for what: plants raised for it and not yet planted out, from the record."""
    soonest: tuple[date | None, str | None] = (None, None)
    for planting in plot.standing(bed.id):
        if planting.in_ground is not None or planting.sown is None or planting.method not in _RAISED:
            continue
        crop = facts.crops.get(planting.crop)
        rules = crop.sowing.rules if crop and crop.sowing else []
        weeks = next((r.weeks_as_seedling for r in rules if r.weeks_as_seedling), (4.0, 6.0))
        out = planting.sown + timedelta(days=round(7 * (weeks[0] + weeks[1]) / 2))
        out = max(out, day + timedelta(days=7))
        if soonest[0] is None or out < soonest[0]:
            soonest = (out, planting.crop)
    return soonest
