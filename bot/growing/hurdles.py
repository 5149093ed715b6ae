"""The tests a crop must pass to be offered, each returning a miss with its numbers, or None when passed."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

import numpy as np

from bot.facts.crop import Crop
from bot.growing.anchors import INF
from bot.growing.calendar import YEAR
from bot.growing.light import enough, needs_hours
from bot.growing.maturity import Picking, picking
from bot.growing.rotation import Gap
from bot.growing.windows import windows

if TYPE_CHECKING:
    pass

from bot.growing.outcomes import Miss, Trial

_LEAST_HARVEST_DAYS = 5
_LEAST_STANDING_DAYS = 21  # a crop that should stand for months must stand three weeks


def out_of_season(crop: Crop, method: str, trial: Trial) -> Miss:
    """Say by how much the season is missed; for one just past, when the crop would be ready and what ends it."""
    own = [w for w in windows(crop, trial.here, roofed=trial.roofed) if w.method == method]
    if not own:
        return Miss(crop.id, method, "season", {"never": True})
    base = trial.year.count(trial.first_day)
    soonest = min(own, key=lambda w: w.ahead(base))
    latest = min(own, key=lambda w: (base - w.closes) % YEAR)
    ahead, since = soonest.ahead(base), (base - latest.closes) % YEAR
    numbers: dict[str, Any] = {
        "opens": trial.first_day + timedelta(days=round(ahead)),
        "closed": trial.first_day - timedelta(days=round(since)),
    }
    late = since < ahead
    numbers["late"] = late
    if late:
        found = picking(crop, method, base, trial.here)
        if found is not None and found.first != INF:
            numbers["first"] = trial.year.day(found.first)
            numbers["chance"] = found.chance
            if found.weather_end != INF:
                numbers["weather_end"] = trial.year.day(found.weather_end)
    return Miss(crop.id, method, "season", numbers, max(0.0, 1 - min(since, ahead) / 60))


def time_and_cold(crop: Crop, method: str, found: Picking, trial: Trial) -> Miss | None:
    """Fail a crop that comes to picking too near or after the cold or the bolting that ends it."""
    growth = crop.growth
    least = _LEAST_STANDING_DAYS if growth and growth.bolts_after_winter else _LEAST_HARVEST_DAYS
    if found.weather_end == INF or found.first + least <= found.weather_end:
        return None
    first, end = trial.year.day(found.first), trial.year.day(found.weather_end)
    name = (
        "bolting"
        if found.ends == "bolting"
        or (growth and growth.bolts_after_winter and found.first > found.weather_end and found.ends != "frost")
        else "time"
    )
    return Miss(
        crop.id,
        method,
        name,
        {"first": first, "weather_end": end, "days_short": (first - end).days},
        max(0.0, 1 - (found.first - found.weather_end) / 60),
    )


def too_hot(crop: Crop, method: str, found: Picking, count: float, trial: Trial) -> Miss | None:
    """Fail a crop that would grow or come to picking in weather too hot for it: it bolts or drops its flowers."""
    growth = crop.growth
    if growth is None or growth.first_crop_years:
        return None
    best, mean = best_warmth(crop), mean_at(found, trial)
    if best is not None and mean > best + trial.facts.growing.number("heat.over_c"):
        return Miss(
            crop.id, method, "heat", {"first": trial.year.day(found.first), "mean_c": mean, "best_c": best}, 0.4
        )
    begun = float(trial.here.mean[int(count) % YEAR])
    if best is not None and trial.here.two_seasons and begun > best + trial.facts.growing.number("hot.begun_over_c"):
        return Miss(crop.id, method, "heat", {"first": trial.year.day(found.first), "mean_c": begun, "best_c": best}, 0.3)
    if growth.grows_between_c is not None:
        hottest = hottest_between(count, found.first, trial)
        if hottest > growth.grows_between_c[1] + 0.5:
            numbers = {"first": trial.year.day(found.first), "mean_c": hottest, "best_c": growth.grows_between_c[1]}
            return Miss(crop.id, method, "heat", numbers, 0.3)
    return None


def hottest_between(start: float, end: float, trial: Trial) -> float:
    """Return the highest normal mean air temperature between two day counts, °C."""
    days = np.arange(int(start), int(min(end, start + YEAR)) + 1) % YEAR
    return float(trial.here.mean[days].max())


def warmth_between(start: float, end: float, trial: Trial) -> float:
    """Return the normal mean air temperature between two day counts, °C."""
    days = np.arange(int(start), int(min(end, start + YEAR)) + 1) % YEAR
    return float(trial.here.mean[days].mean())


def best_warmth(crop: Crop) -> float | None:
    """Return the upper end of the warmth a crop likes: as published, else just under where more no longer helps."""
    growth = crop.growth
    if growth is None:
        return None
    if growth.best_c is not None:
        return growth.best_c[1]
    return growth.ceiling_c - 1 if growth.ceiling_c is not None else None


def mean_at(found: Picking, trial: Trial) -> float:
    """Return the normal mean air temperature at the first picking, °C."""
    return float(trial.here.mean[int(found.first) % YEAR])


def too_dark(crop: Crop, method: str, trial: Trial) -> Miss | None:
    """Fail a crop that wants more sun than the place has."""
    if enough(crop, trial.light, trial.facts):
        return None
    needs = needs_hours(crop, trial.facts)
    return Miss(
        crop.id,
        method,
        "light",
        {"hours": trial.light.hours, "needs": needs, "shaded_by": trial.light.shaded_by},
        max(0.0, 1 - (needs - trial.light.hours) / 5),
    )


def house_crop(crop: Crop, gap: Gap, trial: Trial) -> bool:
    """Tell whether a fruiting crop may stay in the one roofed bed year after year: no disease was seen there."""
    row = trial.facts.growing.worth.get(crop.id)
    return trial.roofed and gap.disease is None and row is not None and row.kind == "fruiting"


def may_last(trial: Trial) -> bool:
    """Tell whether the place may be given to a crop that stays for years."""
    return trial.lasting_ok or (trial.place.bed is not None and trial.place.bed.kind == "fruit")
