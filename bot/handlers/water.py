"""How much and when to water: a crop, a bed, or what on the plot is thirstiest."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.facts.tending_ground import Topic
from bot.growing.layout import ground_per_plant_m2
from bot.growing.space import taken_m2
from bot.handlers import answers
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import which_crop
from bot.handlers.ground_words import cap, chain, hazards, measure_l, topic_lines
from bot.handlers.harvesting import expected
from bot.plot.state import Bed, Planting
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.topics import best
from bot.tending.water import Budget, Day, budget, holds_mm, kc_at, soil_of, weather
from bot.wording import listing, number, plural

WEEK = 7
_ROOFS = frozenset({"greenhouse", "polytunnel", "polytunnel-fleece", "heated", "cold-frame", "indoors"})
_LASTING = ("perennial", "shrub", "tree")
_DRY = re.compile(r"\b(no rain|hasn.?t rained|without rain|dry for|not rained)\b", re.I)
_RAIN = re.compile(r"(\d+(?:\.\d+)?)\s*(mm|cm|in|inch|inches)\b", re.I)
_HOT = re.compile(r"\b(\d{2,3})\s*(?:°|degrees?|deg|c\b|f\b)|\bhit\s+(\d{2,3})\b", re.I)
_NOW = re.compile(r"\b(today|tonight|now|this evening|need to water|need water|should i water|skip|watering enough)\b", re.I)
_PLANT = re.compile(r"\b(per plant|one \w+ plant|each plant|a plant)\b", re.I)
#: Topics that are the whole answer when no figure could be given; the others lead a figure.
_ALONE = ("time-of-day", "grey-water", "seed-drill", "containers", "drip", "chlorine")
#: Bulbs that ripen dry: no water this many days before they are lifted.
_RIPENS_DRY, DRY_DAYS = ("onion", "shallot", "garlic"), 21
HOT_C = 30.0


@dataclass(frozen=True, slots=True)
class Thirst:
    """One piece of ground: what stands there, its area, and its water budget."""

    name: str
    crops: tuple[str, ...]
    bed: Bed | None
    area_m2: float
    budget: Budget

    @property
    def litres(self) -> float:
        """Return the litres the whole of it wants."""
        return self.budget.need * self.area_m2


@answers("water")
def water(request: Request, ctx: Context) -> Reply:
    """Say how much water a crop or bed wants and when, or answer a question about watering."""
    topic = best(request.text, ctx.facts.tending.water.topics)
    asked = bool(request.crops or request.crop_choices or request.unknown_crop or request.beds)
    if topic is not None and (topic.id in _ALONE or (topic.id in ("butt", "inch", "wilting") and not request.beds and not request.crops)):
        return _topic(topic, ctx)
    if ctx.season is None:
        return _topic(topic, ctx) if topic is not None else ask_place(request)
    if request.crops or request.crop_choices or request.unknown_crop:
        crop = which_crop(request, ctx, "Which crop do you want to water?", "how much water do I give")
        if isinstance(crop, Reply):
            return crop
        reply = _crop(crop, request, ctx)
    elif request.beds and request.bed in ctx.plot.beds:
        reply = _bed(ctx.plot.beds[request.bed or ""], request, ctx)
    else:
        reply = _plot(request, ctx)
    if topic is not None:
        said = topic_lines(topic, ctx)
        lead = said if not asked else said[:1]
        return reply.with_(lines=(*reply.lines[:7], *lead), cautions=(*reply.cautions, *hazards(topic.hazards, ctx)[:1]),
                           sources=chain(reply.sources, topic.source))
    return reply


def _topic(topic: Topic, ctx: Context) -> Reply:
    said = topic_lines(topic, ctx)
    return Reply(said[0], lines=tuple(said[1:]), cautions=hazards(topic.hazards, ctx)[:1], sources=tuple(topic.source),
                 data={"water": {"topic": topic.id}})


# --- one crop ------------------------------------------------------------------------------------------------------


def _crop(crop: Crop, request: Request, ctx: Context) -> Reply:
    standing = [p for p in ctx.plot.standing(crop=crop.id) if not request.beds or p.bed in request.beds]
    in_ground = [p for p in standing if p.in_ground or p.planted_out]
    planting = max(in_ground, key=lambda p: p.in_ground or date.min) if in_ground else standing[0] if standing else None
    bed = ctx.plot.beds.get(planting.bed or "") if planting else ctx.plot.beds.get(request.bed or "")
    start, days, chosen = _span(request, ctx)
    thirst = _thirst(crop, planting, bed, chosen, start, request, ctx)
    name, found = ctx.say.crop(crop.id), thirst.budget
    ripe = _ripening(crop, planting, ctx)
    lines: list[str] = []
    if ripe is not None:
        stage = (f"{cap(crop.water.critical_stage)}.",) if crop.water and crop.water.critical_stage else ()
        return Reply(f"{cap(name)}: no more water now; the bulbs ripen dry, and lifting is due about {ctx.say.part_of_month(ripe)}.",
                     lines=stage, sources=chain(crop.water.source if crop.water else ()),
                     data={"water": {**_data(thirst, crop, chosen), "litres_per_m2": 0.0, "litres": 0.0}})
    if found.need < 1:
        head = f"{cap(thirst.name)}: no watering needed {_when_said(request, days, ctx)}; {'the rain due' if _known(chosen) else 'the usual rain'} is enough."
    else:
        head = f"{cap(thirst.name)}: about {_per_m2(found.need, ctx)} {_when_said(request, days, ctx)}{_cans(thirst, ctx)}."
        lines.append(_how_often(found, ctx))
    if planting is not None and found.young:
        count = planting.count
        each = ctx.facts.tending.water.number("new_plants.litres")
        lines.insert(0, f"Newly planted: {ctx.say.volume(each)} to each plant every day or two for the first week or so"
                     + (f", {ctx.say.volume(each * count)} for the {count}." if count else "."))
    if _PLANT.search(request.text) and found.need >= 1:
        ground = ground_per_plant_m2(crop)
        if ground:
            lines.insert(0, f"For one plant that is about {ctx.say.volume(found.need * ground)} in {plural(days, 'day')}.")
    if crop.water and crop.water.critical_stage:
        lines.append(f"It matters most: {crop.water.critical_stage}.")
    if crop.water and crop.water.litres_per_m2_week and not found.covered:
        low, high = crop.water.litres_per_m2_week
        lines.append(f"A gardener's rule for it: {number(low, 1)} to {_per_m2(high, ctx)} a week in a dry summer, rain included."
                     if low != high else f"A gardener's rule for it: {_per_m2(high, ctx)} a week in a dry spell.")
    if found.covered:
        lines.append("Under cover no rain counts; water at the root and keep the leaves dry.")
    if planting is not None and _finds_its_own(crop, planting, start, ctx):
        lines.append("Established plants find their own water but in a real drought.")
    lines.append(_basis(chosen, ctx))
    return Reply(head, lines=tuple(x for x in lines if x), working=_working(thirst, chosen, crop, ctx),
                 sources=chain(crop.water.source if crop.water else (), ["fao56-tables", "ncl-fao56-hargreaves"]),
                 choices=(Choice("What else is thirsty?", "what should I be watering"),), data={"water": _data(thirst, crop, chosen)})


def _thirst(crop: Crop, planting: Planting | None, bed: Bed | None, days: list[Day], start: date, request: Request,
            ctx: Context) -> Thirst:
    room = ctx.facts.tending.water
    covered = bed is not None and bed.cover in _ROOFS
    area = 1.0
    name = ctx.say.crop(crop.id)
    if planting is not None and bed is not None and bed.area_m2 and planting.in_ground:
        others = len(ctx.plot.standing(bed.id)) - 1
        area = min(bed.area_m2, max(0.1, taken_m2(planting, bed, ctx.facts, others)))
        name = f"{name} in {bed.name}"
    young = planting is not None and planting.in_ground is not None and planting.planted_out is not None \
        and 0 <= (start - planting.planted_out).days <= room.number("new_plants.days")
    share = _share(crop, planting, start, ctx)
    soil = soil_of(request.text, room) if soil_named(request, ctx) else soil_of(ctx.plot.settings.soil, room)
    owed = _owed(crop, planting, bed, start, covered, request, ctx)
    thirsty = crop.water is not None and crop.water.need in ("high", "very-high")
    found = budget(days, kc_at(crop, share, room), holds_mm(crop, soil, young, room, share), room, covered=covered, young=young,
                   owed_mm=owed, most_days=int(room.number("thirsty.most_days")) if thirsty else None)
    return Thirst(name, (crop.id,), bed, area, found)


def soil_named(request: Request, ctx: Context) -> bool:
    """Tell whether a message names its soil."""
    return bool(re.search(r"\b(sand|sandy|clay|loam|silt|gravel)\b", request.text, re.I))


def _share(crop: Crop, planting: Planting | None, day: date, ctx: Context) -> float | None:
    """Return how far through its season a planting is (0 to 1)."""
    if crop.growth and crop.growth.life_cycle in _LASTING and ctx.season is not None:
        return 0.6 if ctx.season.mean(day) >= 8 and ctx.season.day_length(day) > 11 else 0.0
    if planting is None or planting.in_ground is None:
        return None
    due = expected(planting, ctx)
    if due is None or due.last <= planting.in_ground:
        return None
    return min(1.0, max(0.0, (day - planting.in_ground).days / (due.last - planting.in_ground).days))


def _owed(crop: Crop, planting: Planting | None, bed: Bed | None, start: date, covered: bool, request: Request,
          ctx: Context) -> float:
    """Return the water owed from dry days told of, less the rain and waterings of the last days, mm."""
    assert ctx.season is not None
    room = ctx.facts.tending.water
    kc = kc_at(crop, _share(crop, planting, start, ctx), room)
    told = request.amount("day")
    owed = 0.0
    if _DRY.search(request.text) and told is not None and not covered:
        past = weather(ctx.season, start - timedelta(days=int(min(told.value, 21))), int(min(told.value, 21)))
        owed += sum(d.et0_mm for d in past) * kc
    fell = _RAIN.search(request.text)
    if fell and re.search(r"\b(rain|had|fell|got|yesterday|overnight)\b", request.text, re.I) and not covered:
        mm = float(fell[1]) * {"mm": 1.0, "cm": 10.0}.get(fell[2].lower(), 25.4)
        owed -= mm * room.number("rain.effective")
    elif not owed and not covered:
        for event in ctx.plot.events("rain_seen"):
            ago = (start - event.day).days
            if 0 <= ago <= 4 and event.amount:
                owed -= event.amount * (1000 if event.unit == "m" else 1) * room.number("rain.effective")
    for event in ctx.plot.events("watered"):
        ago = (start - event.day).days
        here = (bed is not None and event.bed == bed.id) or (event.crop == crop.id) or (event.bed is None and event.crop is None)
        if here and 0 <= ago <= 3 and event.amount and event.unit == "l" and bed is not None and bed.area_m2:
            owed -= event.amount / bed.area_m2
    return owed


def _ripening(crop: Crop, planting: Planting | None, ctx: Context) -> date | None:
    """Return the day a bulb crop is to be lifted when that is so near that it must dry off; else None."""
    if crop.id not in _RIPENS_DRY or planting is None:
        return None
    due = expected(planting, ctx)
    return due.first if due is not None and (due.first - ctx.today).days <= DRY_DAYS and due.last >= ctx.today else None


# --- beds and the whole plot ---------------------------------------------------------------------------------------


def _bed(bed: Bed, request: Request, ctx: Context) -> Reply:
    start, days, chosen = _span(request, ctx)
    rows = _rows_of(bed, chosen, start, request, ctx)
    if not rows and ctx.plot.standing(bed.id):
        names = listing(list(dict.fromkeys(ctx.say.crop(p.crop) for p in ctx.plot.standing(bed.id)))[:5])
        return Reply(f"{bed.name}: the {names} find their own water but in a real drought.",
                     lines=("Then a good soak when the fruit swells does most.",), sources=("common-practice",),
                     data={"water": {"et0_mm": round(sum(d.et0_mm for d in chosen) / days, 2), "kc": None, "litres_per_m2": 0.0, "bed": bed.id}})
    if not rows:
        bare = ctx.facts.tending.water.number("kc.bare")
        use = sum(d.et0_mm for d in chosen) * bare
        return Reply(f"Nothing stands in {bed.name}, so it needs no water.", lines=(
            "For a seedbed water the open drill first, then sow and cover with dry soil.", _basis(chosen, ctx)),
            working=(f"Bare ground loses about {number(use, 0.1)} mm in {plural(days, 'day')}.",), sources=("rhs-veg-watering",),
            data={"water": {"et0_mm": round(sum(d.et0_mm for d in chosen) / days, 2), "kc": bare, "litres_per_m2": 0.0, "bed": bed.id}})
    total = sum(r.litres for r in rows)
    area = sum(r.area_m2 for r in rows)
    thirsty = sorted((r for r in rows if r.budget.need >= 1), key=lambda r: -r.budget.need)
    if not thirsty:
        head = f"{bed.name}: no watering needed {_when_said(request, days, ctx)}; {'the rain due' if _known(chosen) else 'the usual rain'} is enough."
    else:
        head = f"{bed.name}: about {ctx.say.volume(total)} {_when_said(request, days, ctx)}{_cans_of(total, ctx)}."
    lines = [f"{cap(ctx.say.crop(r.crops[0]))}: {_per_m2(r.budget.need, ctx)}{', ' + ctx.say.volume(r.litres) if r.area_m2 >= 0.3 else ''}."
             for r in thirsty[:4]] if len(rows) > 1 else []
    if thirsty:
        lines.append(_how_often(min(thirsty, key=lambda r: r.budget.every).budget, ctx))
    young = [r for r in rows if r.budget.young]
    if young:
        lines.append(f"Newly planted {listing([ctx.say.crop(r.crops[0]) for r in young])} want a little every day or two besides.")
    if rows[0].budget.covered:
        lines.append("Under cover no rain counts; water at the root in the morning and keep the leaves dry.")
    lines.append(_basis(chosen, ctx))
    top = thirsty[0] if thirsty else rows[0]
    crop = ctx.facts.crops.get(top.crops[0])
    mean = total / area if area else 0.0
    return Reply(head, lines=tuple(lines), working=_working(top, chosen, crop, ctx), sources=("fao56-tables", "ncl-fao56-hargreaves"),
                 data={"water": {**_data(top, crop, chosen), "litres_per_m2": round(mean, 1), "litres": round(total, 1), "bed": bed.id,
                                 "more": [_data(r, ctx.facts.crops.get(r.crops[0]), chosen) for r in rows]}})


def _rows_of(bed: Bed, days: list[Day], start: date, request: Request, ctx: Context) -> list[Thirst]:
    rows = []
    for planting in ctx.plot.standing(bed.id):
        crop = ctx.facts.crops.get(planting.crop)
        if crop is not None and (planting.in_ground or bed.kind in ("frame", "container")) and not _finds_its_own(crop, planting, start, ctx):
            rows.append(_thirst(crop, planting, bed, days, start, request, ctx))
    total = sum(row.area_m2 for row in rows)
    if bed.area_m2 and total > bed.area_m2:  # plants overlap: no bed takes more than its own area
        rows = [replace(row, area_m2=row.area_m2 * bed.area_m2 / total) for row in rows]
    return rows


def _finds_its_own(crop: Crop, planting: Planting, day: date, ctx: Context) -> bool:
    """Tell whether a bush, tree or deep perennial has been there long enough to find its own water but in drought."""
    lasting = crop.growth is not None and crop.growth.life_cycle in _LASTING
    shallow = crop.water is not None and crop.water.root_depth_m is not None and crop.water.root_depth_m[1] < 0.5
    if not lasting or shallow or planting.in_ground is None:
        return False
    return (day - planting.in_ground).days > 365 * ctx.facts.tending.water.number("established.years")


def _plot(request: Request, ctx: Context) -> Reply:
    start, days, chosen = _span(request, ctx)
    beds = [(bed, _rows_of(bed, chosen, start, request, ctx)) for bed in ctx.plot.beds.values()]
    totals = sorted(((sum(r.litres for r in rows), bed, rows) for bed, rows in beds if rows), key=lambda t: -t[0])
    topic = next(t for t in ctx.facts.tending.water.topics if t.id == "butt")
    et0 = sum(d.et0_mm for d in chosen) / days
    rain = sum(d.rain_mm for d in chosen)
    data = {"et0_mm": round(et0, 2), "kc": None, "litres_per_m2": None, "days": days, "rain_mm": round(rain, 1),
            "beds": [{"bed": bed.id, "litres": round(litres)} for litres, bed, _ in totals]}
    if not totals:
        need = max(0.0, et0 * days - rain * ctx.facts.tending.water.number("rain.effective"))
        return Reply(f"A bed in full leaf would want about {_per_m2(need, ctx)} {_when_said(request, days, ctx)}." if need >= 1 else
                     "No need to water now: the usual rain is more than plants use.",
                     lines=("Nothing is written down as growing here; tell me what you plant and I'll say bed by bed.", _basis(chosen, ctx)),
                     working=(f"Grass would use {number(et0, 0.1)} mm a day, {number(et0 * days, 1)} mm in {plural(days, 'day')}; rain {number(rain, 1)} mm.",),
                     sources=("fao56-tables", "ncl-fao56-hargreaves"), data={"water": {**data, "kc": 1.0, "litres_per_m2": round(need, 1)}})
    wanting = [(litres, bed, rows) for litres, bed, rows in totals if litres >= 1 and any(r.budget.need >= 1 for r in rows)]
    if not wanting:
        head = f"No need to water {_when_said(request, days, ctx)}: {'the rain due' if _known(chosen) else 'the usual rain'} covers it."
    else:
        head = f"{'Yes: ' if _NOW.search(request.text) else ''}{wanting[0][1].name} first: about {ctx.say.volume(wanting[0][0])} {_when_said(request, days, ctx)}{_cans_of(wanting[0][0], ctx)}."
    lines = [f"{bed.name}: {ctx.say.volume(litres)}{_cans_of(litres, ctx)}, for {listing(list(dict.fromkeys(ctx.say.crop(r.crops[0]) for r in sorted(rows, key=lambda r: -r.litres)))[:3])}."
             for litres, bed, rows in wanting[1:5]]
    young = list(dict.fromkeys(ctx.say.crop(r.crops[0]) for _, _, rows in totals for r in rows if r.budget.young))
    if young:
        lines.append(f"A little every day or two to what is newly planted: {listing(young)}.")
    if wanting:
        lines.append("Push a finger in first: damp at 5 cm can wait." if not ctx.say.us else "Push a finger in first: damp at 2 in can wait.")
        lines.append(topic.say[0].split("? ", 1)[-1]) if re.search(r"\b(butt|most|first|only)\b", request.text) else None
    lines.append(_basis(chosen, ctx))
    top = max((r for _, _, rows in totals for r in rows), key=lambda r: r.budget.need)
    crop = ctx.facts.crops.get(top.crops[0])
    return Reply(head, lines=tuple(lines), working=_working(top, chosen, crop, ctx), sources=("fao56-tables", "ncl-fao56-hargreaves"),
                 data={"water": {**data, "kc": round(top.budget.kc, 2), "litres_per_m2": round(top.budget.need, 1)}})


# --- words ---------------------------------------------------------------------------------------------------------


def _span(request: Request, ctx: Context) -> tuple[date, int, list[Day]]:
    """Return the first day, how many, and their weather: the week from today, the days named, or the heat named."""
    assert ctx.season is not None
    start, days = ctx.today, WEEK
    if request.when is not None and request.when.end >= ctx.today:
        start = max(request.when.start, ctx.today)
        days = max(1, min((request.when.end - start).days + 1, 28)) if not request.when.single else WEEK if start == ctx.today else 1
    away = request.amount("day")
    if _DRY.search(request.text):
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
    if hot is None and re.search(r"\b(heat|heatwave|hot spell|hot weather|scorching|in the hot)\b", request.text, re.I):
        return start, days, weather(ctx.season, start, days, high_c=max(ctx.season.high(start) + 6.0, HOT_C))
    return start, days, weather(ctx.season, start, days)


def _when_said(request: Request, days: int, ctx: Context) -> str:
    if days == WEEK:
        return "this week"
    if _DRY.search(request.text):
        return "now"
    if days == 1:
        day = request.when.start if request.when else ctx.today
        return f"on {ctx.say.weekday(day)}"
    return f"in {plural(days, 'day')}"


def _per_m2(mm: float, ctx: Context) -> str:
    if ctx.say.us:
        return f"{number(mm / 25.4, 0.1)} in of water ({number(mm / 40.7458, 0.05)} gal per sq ft)"
    return f"{number(mm, 1)} l per m²"


def _cans(thirst: Thirst, ctx: Context) -> str:
    if thirst.area_m2 == 1.0:
        return ""
    return f", {ctx.say.volume(thirst.litres)}{_cans_of(thirst.litres, ctx)} for the {ctx.say.area(thirst.area_m2)} they take" if thirst.bed else ""


def _cans_of(litres: float, ctx: Context) -> str:
    can = measure_l(ctx.facts.tending.measure("can"), ctx)
    count = litres / can
    if count < 0.75:
        return ""
    return f" ({plural(max(1, round(count)), 'can')})"


def _how_often(found: Budget, ctx: Context) -> str:
    if found.every >= found.days or found.need <= found.dose * 1.05:
        return f"Give it in one good soak; the soil there holds about {_per_m2(found.holds, ctx)} for its roots."
    times = max(2, round(found.need / max(found.dose, 0.1)))
    if times >= found.days:
        return f"Its roots reach little soil: {_per_m2(found.need / found.days, ctx)} every day."
    gap = max(1, round(found.days / times))
    return f"In {times} soaks of about {_per_m2(found.need / times, ctx)}, {'every other day' if gap == 2 else f'every {gap} days'}, rather than a sprinkle daily."


def _basis(days: list[Day], ctx: Context) -> str:
    if _known(days):
        return ""
    return f"From the usual weather for {ctx.say.part_of_month(days[0].day)}: I have no forecast. Rain that falls comes off it."


def _known(days: list[Day]) -> bool:
    return sum(day.known for day in days) * 2 > len(days)


def _working(thirst: Thirst, days: list[Day], crop: Crop | None, ctx: Context) -> tuple[str, ...]:
    found, n = thirst.budget, thirst.budget.days
    per_day = found.et0_mm / n
    lines = [f"Evaporation from grass (ET0, {'forecast' if _known(days) else 'Hargreaves from the usual lows and highs'}): "
             f"{number(per_day, 0.1)} mm a day, {number(found.et0_mm, 0.1)} mm in {plural(n, 'day')}"
             + (f", already times {ctx.facts.tending.water.number('tunnel.evaporation'):g} for the cover." if found.covered else "."),
             f"Crop coefficient Kc {found.kc:.2f}: {number(found.et0_mm, 0.1)} x {found.kc:.2f} = {number(found.etc_mm, 0.1)} mm used.",
             f"Rain that reaches the roots: {number(found.rain_mm, 0.1)} mm ({number(sum(d.rain_mm for d in days), 0.1)} mm, {round(ctx.facts.tending.water.number('rain.effective') * 100)} % of it)."
             if not found.covered else "No rain under cover."]
    owed = found.need - max(0.0, found.etc_mm - found.rain_mm)
    carried = f" {'+' if owed > 0 else '-'} {number(abs(owed), 0.1)} carried over" if abs(owed) > 0.5 else ""
    lines.append(f"{number(found.etc_mm, 0.1)} - {number(found.rain_mm, 0.1)}{carried} = {number(found.need, 0.1)} mm = {number(found.need, 0.1)} l per m².")
    if crop is not None and crop.water and crop.water.root_depth_m and crop.water.depletion:
        depth = sum(crop.water.root_depth_m) / 2
        lines.append(f"Roots {number(depth, 0.05)} m deep, soil as set (loam unless told), part that may be used {crop.water.depletion:g}: "
                     f"{number(found.holds, 1)} mm held" + (", less while the plants are new." if found.young else "."))
    if thirst.area_m2 != 1.0:
        lines.append(f"{number(found.need, 0.1)} l x {number(thirst.area_m2, 0.1)} m² = {number(thirst.litres, 1)} l.")
    return tuple(lines)


def _data(thirst: Thirst, crop: Crop | None, days: list[Day]) -> dict[str, object]:
    found = thirst.budget
    return {"crop": crop.id if crop else None, "bed": thirst.bed.id if thirst.bed else None, "days": found.days,
            "et0_mm": round(found.et0_mm / found.days, 2), "kc": round(found.kc, 2), "etc_mm": round(found.etc_mm, 1),
            "rain_mm": round(found.rain_mm, 1), "litres_per_m2": round(found.need, 1), "area_m2": round(thirst.area_m2, 2),
            "litres": round(thirst.litres, 1), "every_days": found.every, "holds_mm": round(found.holds, 1), "forecast": _known(days)}
