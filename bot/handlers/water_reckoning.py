"""Reckon how thirsty a planting, a bed or the plot is: its days and weather, soil, stage, and what is owed."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.facts.crop_sowing import ASLEEP
from bot.growing.space import taken_m2
from bot.handlers.context import Context
from bot.handlers.harvests_due import expected
from bot.handlers.water_words import (
    WEEK,
    Thirst,
)
from bot.plot.state import Bed, Planting
from bot.request import Request
from bot.tending.water import Day, budget, holds_mm, kc_at, soil_of, weather

_RAIN = re.compile(r"(\d+(?:\.\d+)?)\s*(mm|cm|in|inch|inches)\b", re.I)
_HOT = re.compile(r"\b(\d{2,3})\s*(?:°|degrees?|deg|c\b|f\b)|\bhit\s+(\d{2,3})\b", re.I)
HOT_C = 30.0


def thirst_of(
    crop: Crop, planting: Planting | None, bed: Bed | None, days: list[Day], start: date, request: Request, ctx: Context
) -> Thirst:
    """Reckon what a crop wants over some days: of its own ground in a bed, else of one square metre."""
    room = ctx.facts.tending.water
    covered = bed is not None and ctx.facts.climate.rainproof(bed.cover)
    area = 1.0
    name = ctx.say.crop(crop.id)
    if planting is not None and bed is not None and bed.area_m2 and planting.in_ground:
        others = len(ctx.plot.standing(bed.id)) - 1
        area = min(bed.area_m2, max(0.1, taken_m2(planting, bed, ctx.facts, others)))
        name = f"{name} in {bed.name}"
    young = (
        planting is not None
        and planting.in_ground is not None
        and planting.planted_out is not None
        and planting.method not in ASLEEP
        and 0 <= (start - planting.planted_out).days <= room.number("new_plants.days")
    )
    share = share_of(crop, planting, start, ctx)
    soil = soil_of(request.text, room) if soil_named(request, ctx) else soil_of(ctx.plot.settings.soil, room)
    owed = owed_mm(crop, planting, bed, start, covered, request, ctx)
    thirsty = crop.water is not None and crop.water.need in ("high", "very-high")
    found = budget(
        days,
        kc_at(crop, share, room),
        holds_mm(crop, soil, young, room, share),
        room,
        covered=covered,
        young=young,
        owed_mm=owed,
        most_days=int(room.number("thirsty.most_days")) if thirsty else None,
    )
    return Thirst(name, (crop.id,), bed, area, found)


def soil_named(request: Request, ctx: Context) -> bool:
    """Tell whether a message names its soil."""
    return ctx.facts.asking.ground.soil.search(request.text) is not None


def share_of(crop: Crop, planting: Planting | None, day: date, ctx: Context) -> float | None:
    """Return how far through its season a planting is (0 to 1)."""
    if crop.lasting and ctx.season is not None:
        return 0.6 if ctx.season.mean(day) >= 8 and ctx.season.day_length(day) > 11 else 0.0
    if planting is None or planting.in_ground is None:
        return None
    due = expected(planting, ctx)
    if due is None or due.last <= planting.in_ground:
        return None
    return min(1.0, max(0.0, (day - planting.in_ground).days / (due.last - planting.in_ground).days))


def owed_mm(
    crop: Crop, planting: Planting | None, bed: Bed | None, start: date, covered: bool, request: Request, ctx: Context
) -> float:
    """Return the water owed from dry days told of, less the rain and waterings of the last days, mm."""
    assert ctx.season is not None
    room = ctx.facts.tending.water
    kc = kc_at(crop, share_of(crop, planting, start, ctx), room)
    told = request.amount("day")
    owed = 0.0
    if ctx.facts.asking.ground.dry_spell.search(request.text) and told is not None and not covered:
        past = weather(ctx.season, start - timedelta(days=int(min(told.value, 21))), int(min(told.value, 21)))
        owed += sum(d.et0_mm for d in past) * kc
    fell = _RAIN.search(request.text)
    if fell and ctx.facts.asking.ground.rained.search(request.text) and not covered:
        mm = float(fell[1]) * {"mm": 1.0, "cm": 10.0}.get(fell[2].lower(), 25.4)
        owed -= mm * room.number("rain.effective")
    elif not owed and not covered:
        for event in ctx.plot.events("rain_seen"):
            ago = (start - event.day).days
            if 0 <= ago <= 4 and event.amount:
                owed -= event.amount * (1000 if event.unit == "m" else 1) * room.number("rain.effective")
    for event in ctx.plot.events("watered"):
        ago = (start - event.day).days
        here = (
            (bed is not None and event.bed == bed.id)
            or (event.crop == crop.id)
            or (event.bed is None and event.crop is None)
        )
        if here and 0 <= ago <= 3 and event.amount and event.unit == "l" and bed is not None and bed.area_m2:
            owed -= event.amount / bed.area_m2
    return owed


def rows_of(bed: Bed, days: list[Day], start: date, request: Request, ctx: Context) -> list[Thirst]:
    """Reckon what each planting of a bed wants over some days; together no more than the bed's own area."""
    rows = []
    for planting in ctx.plot.standing(bed.id):
        crop = ctx.facts.crops.get(planting.crop)
        if (
            crop is not None
            and (planting.in_ground or bed.kind in ("frame", "container"))
            and not finds_its_own(crop, planting, start, ctx)
        ):
            rows.append(thirst_of(crop, planting, bed, days, start, request, ctx))
    total = sum(row.area_m2 for row in rows)
    if bed.area_m2 and total > bed.area_m2:  # plants overlap: no bed takes more than its own area
        rows = [replace(row, area_m2=row.area_m2 * bed.area_m2 / total) for row in rows]
    return rows


def finds_its_own(crop: Crop, planting: Planting, day: date, ctx: Context) -> bool:
    """Tell whether a bush, tree or deep perennial has been there long enough to find its own water but in drought."""
    lasting = crop.lasting
    shallow = crop.water is not None and crop.water.root_depth_m is not None and crop.water.root_depth_m[1] < 0.5
    if not lasting or shallow or planting.in_ground is None:
        return False
    return (day - planting.in_ground).days > 365 * ctx.facts.tending.water.number("established.years")


def days_meant(request: Request, ctx: Context) -> tuple[date, int, list[Day]]:
    """Return the first day, how many, and their weather: the week from today, the days named, or the heat named."""
    assert ctx.season is not None
    start, days = ctx.today, WEEK
    if request.when is not None and request.when.end >= ctx.today and "this week" not in request.when.words.lower():  # on a Saturday, too, a week
        start = max(request.when.start, ctx.today)
        days = (
            max(1, min((request.when.end - start).days + 1, 28))
            if not request.when.single
            else WEEK
            if start == ctx.today
            else 1
        )
    away = request.amount("day")
    if ctx.facts.asking.ground.dry_spell.search(request.text):
        start, days = ctx.today, 1  # what is owed now
    elif away is not None and 1 <= away.value <= 28:
        days = max(1, round(away.value))
    hot = request.temperature_c
    if hot is None:
        match = _HOT.search(request.text)
        if match:
            said = float(match[1] or match[2])
            hot = (said - 32) / 1.8 if said > 50 else said
    if hot is not None and hot >= HOT_C - 8:
        return start, days, weather(ctx.season, start, days, high_c=hot)
    if hot is None and ctx.facts.asking.ground.hot_spell.search(request.text):
        return start, days, weather(ctx.season, start, days, high_c=max(ctx.season.high(start) + 6.0, HOT_C))
    return start, days, weather(ctx.season, start, days)
