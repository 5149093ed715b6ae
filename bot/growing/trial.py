"""Try one crop, one way, in one place from one day: it is an offer, or it failed a test with numbers.

The tests, in the order a gardener asks them: is it the season for it, does it come up, is it ripe before the
weather ends it or stands it the winter, has it light, does the bed's past allow it, does it fit, is there time.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.facts.crop import Crop
from bot.growing.calendar import YEAR, GardenYear
from bot.growing.curves import curves
from bot.growing.hurdles import (
    best_warmth,
    house_crop,
    may_last,
    mean_at,
    out_of_season,
    time_and_cold,
    too_dark,
    too_hot,
    warmth_between,
)
from bot.growing.layout import Layout, best_layout
from bot.growing.light import light_of, needs_hours
from bot.growing.maturity import Picking, picking
from bot.growing.outcomes import Miss, Offer, Trial
from bot.growing.rotation import Gap, allowed, gap_for
from bot.growing.space import Place
from bot.growing.windows import RAISED, ROOFS, Window, windows

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.plot.state import Plot
    from bot.season import Season


def trial_for(
    season: Season,
    facts: Facts,
    plot: Plot,
    place: Place,
    first_day: date,
    last_day: date | None = None,
    cover: str | None = None,
) -> Trial:
    """Set a trial up: the year under the bed's cover, its light, and the days on which one may begin."""
    cover = cover or (place.bed.cover if place.bed else None)
    here = curves(season, cover, facts)
    return Trial(
        facts,
        plot,
        here,
        GardenYear.around(first_day, season.southern),
        first_day,
        last_day or first_day,
        place,
        light_of(place.bed, place.neighbours, facts),
        here.cover in ROOFS,
    )


def ways(crop: Crop, trial: Trial) -> tuple[str, ...]:
    """Return the ways a crop can be begun in the ground: seed, plants, sets … in that order, each once."""
    return tuple(
        dict.fromkeys(w.method for w in windows(crop, trial.here, roofed=trial.roofed) if w.method not in RAISED)
    )


def attempt(crop: Crop, method: str, trial: Trial) -> Offer | Miss:
    """Try one crop one way."""
    window, count, start = _open_window(crop, method, trial)
    if window is None:
        return out_of_season(crop, method, trial)
    growth = crop.growth
    lasting = growth is not None and growth.lasting
    layout = best_layout(crop, trial.place.length_cm, trial.place.width_cm)
    if "green-manure" in crop.use:
        return _manure(crop, method, trial, window, count, start)
    if lasting and not may_last(trial):
        return Miss(crop.id, method, "permanent", {}, 0.2)
    if layout is None:
        return Miss(crop.id, method, "unknown", {"what": "spacing"})
    if method == "direct" and crop.germination and crop.germination.soil_min_c is not None:
        soil = float(trial.here.soil[int(count) % YEAR])
        if soil < crop.germination.soil_min_c - trial.facts.growing.number("soil.grace_c"):
            return Miss(crop.id, method, "soil", {"soil_c": soil, "least_c": crop.germination.soil_min_c}, 0.6)
    found = picking(crop, method, count, trial.here, with_chance=False)
    if found is None:
        return Miss(crop.id, method, "time", {"reason": "never warm enough"}, 0.1)
    failed = (
        time_and_cold(crop, method, found, trial)
        or too_hot(crop, method, found, count, trial)
        or too_dark(crop, method, trial)
    )
    if failed:
        return failed
    gap = gap_for(crop, trial.bed_id, trial.plot, trial.facts, start)
    if not allowed(crop, gap, start) and not house_crop(crop, gap, trial):
        return _too_soon(crop, method, gap, 0.7)
    if layout.count == 0:
        return Miss(
            crop.id, method, "space", {"in_row_cm": layout.in_row_cm, "between_rows_cm": layout.between_rows_cm}, 0.5
        )
    first = trial.year.day(found.first)
    if trial.place.until and first > trial.place.until:
        return Miss(
            crop.id, method, "booked", {"until": trial.place.until, "for": trial.place.until_crop, "first": first}, 0.6
        )
    chance = _chance(crop, method, found, count, trial)
    if chance < trial.facts.growing.number("harvest.least_chance"):
        return Miss(crop.id, method, "cold", {"chance": chance, "first": first}, 0.5)
    return _offer(crop, method, trial, window, count, start, found, layout, gap, chance)


def _open_window(crop: Crop, method: str, trial: Trial) -> tuple[Window | None, float, date]:
    """Return the window open on some day of the trial, with that day: the first such day."""
    base = trial.year.count(trial.first_day)
    days = (trial.last_day - trial.first_day).days
    best: tuple[Window | None, float, date] = (None, 0.0, trial.first_day)
    for window in windows(crop, trial.here, roofed=trial.roofed):
        if window.method != method:
            continue
        ahead = window.ahead(base)
        if ahead <= days and (best[0] is None or ahead < best[1] - base):
            best = (window, base + ahead, trial.first_day + timedelta(days=int(ahead)))
    return best


def _coolness(crop: Crop, count: float, found: Picking, trial: Trial) -> float:
    """Return by how many °C the growing time of a tender crop falls short of the warmth it likes; 0 for hardy crops."""
    best = crop.growth.best_c if crop.growth else None
    if best is None or crop.sowing is None or crop.sowing.hardiness_class != "tender":
        return 0.0
    return max(0.0, best[0] - warmth_between(count, found.first, trial))


def _chance(crop: Crop, method: str, found: Picking, count: float, trial: Trial) -> float:
    if crop.growth is not None and crop.growth.first_crop_years:
        return 1.0
    full = picking(crop, method, count, trial.here, known=found)
    return full.chance if full else 0.0


def _offer(
    crop: Crop,
    method: str,
    trial: Trial,
    window: Window,
    count: float,
    start: date,
    found: Picking,
    layout: Layout,
    gap: Gap,
    chance: float,
) -> Offer:
    number = trial.facts.growing.number
    day = trial.year.day
    row = trial.facts.growing.worth.get(crop.id)
    inside = window.holds(count)
    last = day(found.last)
    if trial.place.until:
        last = min(last, trial.place.until)
    begin, end = found.first % YEAR, found.first % YEAR + max(0.0, found.last - found.first)
    hungry = 7 * number("gap.from_weeks_after_midwinter"), 7 * number("gap.to_weeks_after_midwinter")
    return Offer(
        crop.id,
        method,
        start,
        layout,
        day(found.early),
        day(found.first),
        day(found.late),
        last,
        found.ends,
        start + timedelta(days=int(window.closes - (inside if inside is not None else window.opens))),
        found.margin,
        chance,
        found.first - count,
        trial.here.idle_days(count, found.first),
        trial.roofed,
        window.purpose,
        row.kind if row else "leaf",
        in_hungry_gap=_meets_span(begin, end, *hungry),
        in_winter=_meets_span(begin, end, *trial.facts.growing.season("winter")),
        in_autumn=_meets_span(begin, end, *trial.facts.growing.season("autumn")),
        window_days=window.closes - window.opens,
        cool_c=_coolness(crop, count, found, trial),
        hot=(best := best_warmth(crop)) is not None and mean_at(found, trial) > best - 1,
        gap=gap,
        filler=not gap.clear_on(start),
        spare_hours=trial.light.hours - needs_hours(crop, trial.facts),
    )


def _too_soon(crop: Crop, method: str, gap: Gap, nearness: float) -> Miss:
    """Return the miss of a crop whose family stood in the bed too few years ago."""
    numbers = {
        "group": gap.group,
        "last": gap.last,
        "last_crop": gap.last_crop,
        "years": gap.years_needed,
        "free_from": gap.free_from,
        "disease": gap.disease,
    }
    return Miss(crop.id, method, "rotation", numbers, nearness)


def _manure(crop: Crop, method: str, trial: Trial, window: Window, count: float, start: date) -> Offer | Miss:
    """Offer a green manure: it need not ripen, only cover the ground for six weeks or stand the winter."""
    gap = gap_for(crop, trial.bed_id, trial.plot, trial.facts, start)
    if not gap.clear_on(start):
        return _too_soon(crop, method, gap, 0.3)
    inside = window.holds(count)
    closes = start + timedelta(days=int(window.closes - (inside if inside is not None else window.opens)))
    stands = crop.growth is not None and crop.growth.stands_winter and count % YEAR > 200
    dug = trial.year.day((1 + count // YEAR) * YEAR + 95) if stands else start + timedelta(days=60)
    layout = Layout("broadcast", 0, 0, 0, 0.0, 0.0)
    return Offer(
        crop.id,
        method,
        start,
        layout,
        dug,
        dug,
        dug,
        dug,
        "dug in",
        closes,
        60.0,
        1.0,
        (dug - start).days,
        0.0,
        trial.roofed,
        window.purpose,
        "green-manure",
        in_winter=stands,
        gap=gap,
    )


def _meets_span(begin: float, end: float, low: float, high: float) -> bool:
    """Tell whether two weeks of picking at least fall into a span of the year."""
    return any(min(end, high + shift) - max(begin, low + shift) >= 14 for shift in (-YEAR, 0, YEAR, 2 * YEAR))
