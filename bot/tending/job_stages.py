"""Whether a planting is at the stage and place a job is for."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.facts.crop import Crop
from bot.facts.crop_sowing import ASLEEP
from bot.facts.tending_jobs import Job
from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.growing.expecting import killed
from bot.growing.windows import RAISED, windows
from bot.plot.state import Planting
from bot.tending.job_round import Round

if TYPE_CHECKING:
    pass

YOUNG_DAYS, RIPENING_DAYS, OVER_DAYS = 9, 14, 10
#: Colder than this on average nothing grows: hardy crops stand and are not called finished.
REST_C = 5.5


def _within(span: tuple[float, float] | None, begun: date | None, day: date, unit: int) -> bool:
    """Tell whether so many weeks (`unit` 7) or years (365) since a day lie in a span; no span is always met."""
    return span is None or (begun is not None and span[0] <= (day - begun).days / unit <= span[1])


def about_crop(job: Job, crop: Crop) -> bool:
    """Tell whether a job is for a crop: named itself, by its group, or by the crop it is like."""
    if crop.id in job.but:
        return False
    if job.crops or job.groups:
        return (
            crop.id in job.crops
            or crop.family.rotation_group in job.groups
            or (crop.like in job.crops and job.perennial is None)
        )
    return "green-manure" not in crop.use


def fits_stage(job: Job, planting: Planting, crop: Crop, walk: Round) -> bool:
    """Tell whether a planting is at the stage and place a job is for."""
    day, needs = walk.day, job.needs
    if job.covered is not None and walk.roofed(planting) != job.covered:
        return False
    bed = walk.plot.beds.get(planting.bed or "")
    if "over" not in needs and killed(planting, bed.cover if bed else None, walk.facts, walk.season, day):
        return False
    raised = planting.planted_out is None and planting.method in (*RAISED, "tray", "pot")
    begun = {
        "sown": planting.sown,
        "planted": planting.planted_out or planting.in_ground,
        "begun": planting.in_ground or planting.sown or planting.planted_out,
    }[job.counted_from]
    if not _within(job.stage_weeks, begun, day, 7) or not _within(job.age_years, planting.in_ground, day, 365):
        return False
    if job.fruited is not None and not _fruits(planting, job.fruited, walk):
        return False
    span = walk.picked(planting) if {"ready", "ripening", "over"} & set(needs) else None
    tests: dict[str, Callable[[], bool]] = {
        "in-trays": lambda: raised,
        "sown-direct": lambda: planting.planted_out is None and not raised and planting.sown is not None,
        "in-ground": lambda: planting.in_ground is not None and planting.in_ground <= day,
        "young": lambda: (
            planting.planted_out is not None
            and 0 <= (day - planting.planted_out).days <= YOUNG_DAYS
            and not crop.lasting
            and planting.method not in ASLEEP
        ),
        "plant-out": lambda: raised and _may_plant_out(planting, crop, walk),
        "again": lambda: _again(planting, crop, walk),
        "ready": lambda: (
            span is not None
            and planting.in_ground is not None
            and span[0] <= day + timedelta(days=2)
            and day <= span[1]
        ),
        "ripening": lambda: (
            span is not None
            and planting.in_ground is not None
            and timedelta(days=2) < span[0] - day <= timedelta(days=RIPENING_DAYS)
            and not planting.harvests
        ),
        "over": lambda: (
            span is not None
            and not crop.lasting
            and not (_hardy(crop) and walk.season.mean(day) < REST_C)
            and timedelta(days=OVER_DAYS) <= day - span[1] <= timedelta(days=90)
            and not any((walk.now - h.day).days < 10 for h in planting.harvests)
        ),
        "frost-risk": lambda: (
            planting.id in walk.at_risk
            and not crop.lasting
            and crop.sowing is not None
            and crop.sowing.hardiness_class in ("tender", "half-hardy")
        ),
    }
    return all(tests[need]() for need in needs if need in tests)


def _hardy(crop: Crop) -> bool:
    return crop.sowing is not None and crop.sowing.hardiness_class in ("hardy", "very-hardy")


def _fruits(planting: Planting, when: str, walk: Round) -> bool:
    """Tell whether a bush is picked in that half of the season, by its pickings; not known counts as yes."""
    if not planting.harvests:
        return True
    counts = [GardenYear.around(h.day, walk.season.southern).count(h.day) for h in planting.harvests]
    early = sum(count < 182 + 8 * 7 for count in counts) * 2 >= len(counts)
    return early == (when == "summer")


def _may_plant_out(planting: Planting, crop: Crop, walk: Round) -> bool:
    """Tell whether plants in trays are old enough and their season for planting out is open where they will stand."""
    if planting.sown is None or crop.sowing is None:
        return False
    weeks = next((r.weeks_as_seedling for r in crop.sowing.rules if r.weeks_as_seedling), (4.0, 6.0))
    age = (walk.day - planting.sown).days / 7
    if not weeks[0] <= age <= weeks[1] + 10:
        return False
    count = walk.year.count(walk.day)
    covers: list[str | None] = [None]
    if crop.sowing.hardiness_class in ("tender", "half-hardy"):
        covers += [b.cover for b in walk.plot.beds.values() if b.kind in ("tunnel", "greenhouse")]
    for cover in covers:
        here = curves(walk.season, cover, walk.facts)
        if any(
            w.method == "plants" and w.holds(count, slack=3) is not None
            for w in windows(crop, here, roofed=cover is not None)
        ):
            return True
    return False


def _again(planting: Planting, crop: Crop, walk: Round) -> bool:
    """Tell whether a crop sown little and often may be sown again."""
    every = crop.sowing.succession_days if crop.sowing else None
    if every is None or planting.sown is None:
        return False
    last = max(p.sown for p in walk.plot.plantings if p.crop == crop.id and p.sown is not None)
    if not every[0] <= (walk.day - last).days <= 90:
        return False
    here = curves(walk.season, None, walk.facts)
    count = walk.year.count(walk.day)
    return any(
        w.method in ("direct", "module") and w.holds(count) is not None and w.closes - (w.holds(count) or 0) > 5
        for w in windows(crop, here)
    )
