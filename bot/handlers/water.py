"""How much and when to water: a crop, a bed, or what on the plot is thirstiest."""

from __future__ import annotations

import re
from datetime import date

from bot.facts.crop import Crop
from bot.growing.layout import ground_per_plant_m2
from bot.handlers import answers
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import which_crop
from bot.handlers.ground_words import chain, hazards, topic_lines, topic_reply
from bot.handlers.harvests_due import expected
from bot.handlers.water_plot import plot_reply
from bot.handlers.water_reckoning import days_meant, finds_its_own, rows_of, thirst_of
from bot.handlers.water_words import (
    basis,
    cans,
    cans_of,
    data_of,
    how_often,
    known_days,
    per_m2,
    when_said,
    working_of,
)
from bot.plot.state import Bed, Planting
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.topics import best
from bot.tending.water import Day
from bot.wording import capital, listing, number, plural, small

_PLANT = re.compile(r"\b(per plant|one \w+ plant|each plant|a plant)\b", re.I)
#: Topics that are the whole answer when no figure could be given; the others lead a figure.
_ALONE = ("time-of-day", "grey-water", "seed-drill", "containers", "drip", "chlorine", "butt-green")
#: Bulbs that ripen dry: no water this many days before they are lifted.
_RIPENS_DRY, DRY_DAYS = ("onion", "shallot", "garlic"), 21


@answers("water")
def water(request: Request, ctx: Context) -> Reply:
    """Say how much water a crop or bed wants and when, or answer a question about watering."""
    topic = best(request.text, ctx.facts.tending.water.topics)
    asked = bool(request.crops or request.crop_choices or request.unknown_crop or request.beds)
    if topic is not None and (
        topic.id in _ALONE or (topic.id in ("butt", "inch", "wilting") and not request.beds and not request.crops)
    ):
        return topic_reply(topic, "water", ctx)
    if ctx.season is None:
        return topic_reply(topic, "water", ctx) if topic is not None else ask_place(request)
    if request.crops or request.crop_choices or request.unknown_crop:
        crop = which_crop(request, ctx, "Which crop do you want to water?", "how much water do I give")
        if isinstance(crop, Reply):
            return crop
        reply = _crop(crop, request, ctx)
    elif request.beds and request.bed in ctx.plot.beds:
        reply = _bed(ctx.plot.beds[request.bed or ""], request, ctx)
    else:
        reply = plot_reply(request, ctx)
    if topic is not None:
        said = topic_lines(topic, ctx)
        lead = said if not asked else said[:1]
        return reply.with_(
            lines=(*reply.lines[:7], *lead),
            cautions=(*reply.cautions, *hazards(topic.hazards, ctx)[:1]),
            sources=chain(reply.sources, topic.source),
        )
    return reply


# --- one crop ------------------------------------------------------------------------------------------------------


def _crop(crop: Crop, request: Request, ctx: Context) -> Reply:
    standing = [p for p in ctx.plot.standing(crop=crop.id) if not request.beds or p.bed in request.beds]
    in_ground = [p for p in standing if p.in_ground or p.planted_out]
    planting = max(in_ground, key=lambda p: p.in_ground or date.min) if in_ground else standing[0] if standing else None
    bed = ctx.plot.beds.get(planting.bed or "") if planting else ctx.plot.beds.get(request.bed or "")
    start, days, chosen = days_meant(request, ctx)
    thirst = thirst_of(crop, planting, bed, chosen, start, request, ctx)
    name, found = ctx.say.crop(crop.id), thirst.budget
    ripe = _ripening(crop, planting, ctx)
    lines: list[str] = []
    ends = crop.water.stop if crop.water else None
    if ends is not None and ctx.facts.asking.harvest.stop.search(request.text):
        due = (f"Lifting is due about {ctx.say.part_of_month(ripe)}, so give no more now.",) if ripe is not None else ()
        return Reply(f"{capital(name)}: stop watering {ctx.say.prose(ends)}.", lines=due, sources=chain(crop.water.source if crop.water else ()),
                     data={"water": data_of(thirst, crop, chosen)})
    if ripe is not None:
        stage = (f"{capital(crop.water.critical_stage)}.",) if crop.water and crop.water.critical_stage else ()
        return Reply(
            f"{capital(name)}: no more water now; the bulbs ripen dry, and lifting is due about "
            f"{ctx.say.part_of_month(ripe)}.",
            lines=stage,
            sources=chain(crop.water.source if crop.water else ()),
            data={"water": {**data_of(thirst, crop, chosen), "litres_per_m2": 0.0, "litres": 0.0}},
        )
    if found.need < 1:
        head = (
            f"{capital(thirst.name)}: no watering needed {when_said(request, days, ctx)}; "
            f"{'the rain due' if known_days(chosen) else 'the usual rain'} is enough."
        )
    else:
        head = (
            f"{capital(thirst.name)}: about {per_m2(found.need, ctx)} {when_said(request, days, ctx)}"
            f"{cans(thirst, ctx)}."
        )
        lines.append(how_often(found, ctx))
        if ctx.facts.asking.ground.often.search(request.text):
            soaks = lines.pop()
            lines.append(capital(head.split(": ", 1)[1]))
            daily = ctx.facts.asking.ground.daily.search(request.text) and "every day" not in soaks
            head = f"{'No, not every day: ' if daily else f'{capital(thirst.name)}: '}{small(soaks)}"
    if planting is not None and found.young:
        count = planting.count
        each = ctx.facts.tending.water.number("new_plants.litres")
        lines.insert(
            0,
            f"Newly planted: {ctx.say.volume(each)} to each plant every day or two for the first week or so"
            + (f", {ctx.say.volume(each * count)} for the {count}." if count else "."),
        )
    if _PLANT.search(request.text) and found.need >= 1:
        ground = ground_per_plant_m2(crop)
        if ground:
            lines.insert(
                0, f"For one plant that is about {ctx.say.volume(found.need * ground)} in {plural(days, 'day')}."
            )
    if crop.water and crop.water.critical_stage:
        lines.append(f"It matters most: {crop.water.critical_stage}.")
    if crop.water and crop.water.litres_per_m2_week and not found.covered:
        low, high = crop.water.litres_per_m2_week
        lines.append(
            f"A gardener's rule for it: {number(low / 25.4, 0.1) if ctx.say.us else number(low, 1)} to {per_m2(high, ctx)} a week in a dry summer, rain included."
            if low != high
            else f"A gardener's rule for it: {per_m2(high, ctx)} a week in a dry spell."
        )
    if found.covered:
        lines.append("Under cover no rain counts; water at the root and keep the leaves dry.")
    if planting is not None and finds_its_own(crop, planting, start, ctx):
        lines.append("Established plants find their own water but in a real drought.")
    lines.append(basis(chosen, ctx))
    return Reply(
        head,
        lines=tuple(x for x in lines if x),
        working=working_of(thirst, chosen, crop, ctx),
        sources=chain(crop.water.source if crop.water else (), ["fao56-tables", "ncl-fao56-hargreaves"]),
        choices=(Choice("What else is thirsty?", "what should I be watering"),),
        data={"water": data_of(thirst, crop, chosen)},
    )


def _ripening(crop: Crop, planting: Planting | None, ctx: Context) -> date | None:
    """Return the day a bulb crop is to be lifted when that is so near that it must dry off; else None."""
    if crop.id not in _RIPENS_DRY or planting is None:
        return None
    due = expected(planting, ctx)
    return due.first if due is not None and (due.first - ctx.today).days <= DRY_DAYS and due.last >= ctx.today else None


# --- beds and the whole plot ---------------------------------------------------------------------------------------


def _unwatered(bed: Bed, chosen: list[Day], days: int, kc: float | None) -> dict[str, object]:
    """Return as data that a bed needs no water."""
    return {"water": {"et0_mm": round(sum(d.et0_mm for d in chosen) / days, 2), "kc": kc, "litres_per_m2": 0.0, "bed": bed.id}}


def _bed(bed: Bed, request: Request, ctx: Context) -> Reply:
    start, days, chosen = days_meant(request, ctx)
    rows = rows_of(bed, chosen, start, request, ctx)
    if not rows and ctx.plot.standing(bed.id):
        names = listing(list(dict.fromkeys(ctx.say.crop(p.crop) for p in ctx.plot.standing(bed.id)))[:5])
        return Reply(
            f"{bed.name}: the {names} find their own water but in a real drought.",
            lines=("Then a good soak when the fruit swells does most.",),
            sources=("common-practice",),
            data=_unwatered(bed, chosen, days, None),
        )
    if not rows:
        bare = ctx.facts.tending.water.number("kc.bare")
        use = sum(d.et0_mm for d in chosen) * bare
        return Reply(
            f"Nothing stands in {bed.name}, so it needs no water.",
            lines=("For a seedbed water the open drill first, then sow and cover with dry soil.", basis(chosen, ctx)),
            working=(f"Bare ground loses about {number(use, 0.1)} mm in {plural(days, 'day')}.",),
            sources=("rhs-veg-watering",),
            data=_unwatered(bed, chosen, days, bare),
        )
    total = sum(r.litres for r in rows)
    area = sum(r.area_m2 for r in rows)
    thirsty = sorted((r for r in rows if r.budget.need >= 1), key=lambda r: -r.budget.need)
    if not thirsty:
        head = (
            f"{bed.name}: no watering needed {when_said(request, days, ctx)}; "
            f"{'the rain due' if known_days(chosen) else 'the usual rain'} is enough."
        )
    else:
        head = f"{bed.name}: about {ctx.say.volume(total)} {when_said(request, days, ctx)}{cans_of(total, ctx)}."
    lines = (
        [
            f"{capital(ctx.say.crop(r.crops[0]))}: "
            f"{per_m2(r.budget.need, ctx)}{', ' + ctx.say.volume(r.litres) if r.area_m2 >= 0.3 else ''}."
            for r in thirsty[:4]
        ]
        if len(rows) > 1
        else []
    )
    if thirsty:
        lines.append(how_often(min(thirsty, key=lambda r: r.budget.every).budget, ctx))
    young = [r for r in rows if r.budget.young]
    if young:
        lines.append(
            f"Newly planted {listing([ctx.say.crop(r.crops[0]) for r in young])} want a little every "
            "day or two besides."
        )
    if rows[0].budget.covered:
        lines.append("Under cover no rain counts; water at the root in the morning and keep the leaves dry.")
    lines.append(basis(chosen, ctx))
    top = thirsty[0] if thirsty else rows[0]
    crop = ctx.facts.crops.get(top.crops[0])
    mean = total / area if area else 0.0
    return Reply(
        head,
        lines=tuple(lines),
        working=working_of(top, chosen, crop, ctx),
        sources=("fao56-tables", "ncl-fao56-hargreaves"),
        data={
            "water": {
                **data_of(top, crop, chosen),
                "litres_per_m2": round(mean, 1),
                "litres": round(total, 1),
                "bed": bed.id,
                "more": [data_of(r, ctx.facts.crops.get(r.crops[0]), chosen) for r in rows],
            }
        },
    )


# --- words ---------------------------------------------------------------------------------------------------------
