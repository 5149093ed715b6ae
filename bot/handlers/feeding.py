"""Lime by soil and pH, feeding crop by crop, and green manures by what can be sown here and when."""

from __future__ import annotations

import re
from datetime import timedelta

from bot.facts.crop import Crop
from bot.facts.tending_ground import FeedKind, LimeSoil, PhTarget
from bot.growing.curves import curves
from bot.growing.windows import windows
from bot.growing.calendar import GardenYear
from bot.handlers import answers
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import which_crop
from bot.handlers.ground_words import cap, chain, ground_of, hazards, materials_of, rate, rate_range, topic_lines, units
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.tending.soil import dressings, lime_need, lime_soil, ph_target
from bot.tending.topics import best
from bot.wording import listing, number

_LIME = re.compile(r"\b(lim(e|ed|ing|estone)|lyme|ph|soil test|chalk|acid|alkaline)\b", re.I)
_PH = re.compile(r"\bph\b[^0-9]{0,14}(\d{1,2}(?:\.\d+)?)", re.I)
_TARGET = re.compile(r"\bto\s+(?:ph\s*)?([4-8](?:\.\d+)?)\b", re.I)
GREEN_MANURE = re.compile(r"\b(green manures?|cover crops?)\b", re.I)
_CLUBROOT = re.compile(r"club\s?root", re.I)
LOWEST_PH, HIGHEST_PH = 3.0, 9.5


@answers("lime_feed")
def lime_feed(request: Request, ctx: Context) -> Reply:
    """Answer about lime, feeds, how a crop is fed, or green manures."""
    lime, feeds = ctx.facts.tending.lime, ctx.facts.tending.feeds
    topic = best(request.text, [*lime.topics, *feeds.topics])
    materials = materials_of(request, ctx)
    green = [c for c in request.crops if "green-manure" in ctx.facts.crops[c].use and c not in ("comfrey",)] if request.crops else []
    if GREEN_MANURE.search(request.text) or green:
        return green_manures(request, ctx)
    if topic is not None and topic.id in ("lime-with-manure", "ash-lime"):
        return _topic_reply(topic, ctx)
    kind = _feed_kind(materials, request, ctx)
    liming = "lime" in materials or bool(_LIME.search(request.text))
    if liming and not (topic is not None and topic.id in ("ph-test",) and _ph_of(request) is None and "lime" not in materials):
        if topic is not None and topic.id == "when-lime" and _ph_of(request) is None and not request.beds and not request.crops:
            return _topic_reply(topic, ctx)
        return _lime(request, ctx)
    if kind is not None:
        return _kind_reply(kind, request, ctx)
    if request.crops or request.crop_choices or request.unknown_crop:
        return _crop_feeding(request, ctx)
    if topic is not None:
        return _topic_reply(topic, ctx)
    return _bed_feeding(request, ctx)


def _topic_reply(topic, ctx: Context) -> Reply:  # type: ignore[no-untyped-def]
    said = topic_lines(topic, ctx)
    return Reply(said[0], lines=tuple(said[1:]), cautions=hazards(topic.hazards, ctx)[:1], sources=tuple(topic.source),
                 data={"lime_feed": {"topic": topic.id}})


# --- lime ----------------------------------------------------------------------------------------------------------


def _ph_of(request: Request) -> float | None:
    """Return the pH named: after "ph", or a lone figure between 3 and 9.5 in a message about the soil."""
    text = request.text.lower()
    direct = _PH.search(text) or re.search(r"(\d(?:\.\d+)?)\s*ph\b", text)
    found = direct or re.search(r"(?:test|soil|came back|reads?|reading|measured?)\D{0,30}(\d(?:\.\d+)?)(?!\s*(?:kg|g\b|l\b|m\b|cm|%|x))", text)
    value = float(found[1]) if found else None
    return value if value is not None and LOWEST_PH <= value <= HIGHEST_PH else None


def _lime(request: Request, ctx: Context) -> Reply:
    lime = ctx.facts.tending.lime
    crop = None
    if request.crops or request.crop_choices:
        known = ctx.facts.crops.get(request.crop or (request.crop_choices[0] if request.crop_choices else ""))
        crop = known
    seen = [str(e.data.get("pest")) for e in ctx.plot.events("pest_seen") if e.data.get("pest")]
    if _CLUBROOT.search(request.text):
        seen.append("clubroot")
    target = ph_target(crop, seen, lime) if crop or "clubroot" not in seen else next(
        row for row in lime.targets if "clubroot" in row.pests)
    if target.never:
        return Reply(f"{'Not lime' if crop is None else cap(ctx.say.crop(crop.id))}: {target.say[:1].lower()}{target.say[1:]}",
                     sources=tuple(target.source), data={"lime_feed": {"crop": crop.id if crop else None, "lime": False}})
    told = _PH.search(request.text)
    if told and not LOWEST_PH <= float(told[1]) <= HIGHEST_PH:
        return Reply(f"A soil pH of {told[1]} can't be right.", lines=("Garden soils lie between about 4 and 8.5. Send the figure again.",))
    ph = _ph_of(request) or ctx.plot.settings.soil_ph
    if ph is None:
        return _untested(request, ctx, target, crop)
    if ph >= (lime.rule("lime-none").value or (7.0, 7.0))[0] and "clubroot" not in target.pests:
        return Reply(f"No lime at pH {ph:g}.", lines=("At 7 or above liming does harm: it locks up iron, manganese and boron.",),
                     sources=tuple(lime.rule("lime-none").source), data={"lime_feed": {"ph": ph, "g_per_m2": [0, 0]}})
    soil = lime_soil(request.text, lime) or lime_soil(ctx.plot.settings.soil, lime)
    if soil is None:
        return _which_soil(request, ctx, ph, target)
    return _dose(request, ctx, ph, soil, target)


def _dose(request: Request, ctx: Context, ph: float, soil: LimeSoil, target: PhTarget) -> Reply:
    lime = ctx.facts.tending.lime
    ground = ground_of(request, ctx)
    aim = _target_of(request) or (target.ph[0] if target.crops or target.groups else None)
    if aim is not None and soil.id == "peaty":
        aim = min(aim, soil.target_ph)
    need = lime_need(ph, soil, lime, aim)
    if need.first < 15:
        return Reply(f"No lime needed: pH {ph:g} is near enough to {need.target:g}.", sources=tuple(soil.source),
                     working=need.working, data={"lime_feed": {"ph": ph, "target_ph": need.target, "g_per_m2": [round(need.first), round(need.farm)]}})
    first, most = sorted((need.first, need.farm))
    kg = [first * ground.area_m2 / 1000, most * ground.area_m2 / 1000]
    where = ground.name if ground.whole else f"each {ctx.say.pick('square metre', '10 sq ft or so')}"
    same = abs(most - first) < 20
    head = f"About {ctx.say.mass(kg[0])} of ground limestone for {where}, to go from pH {ph:g} to {need.target:g}."
    lines = [f"That is {rate(first, ctx)}, by the garden table." if not same else f"That is {rate(first, ctx)}."] if ground.whole else [f"That is {rate(first, ctx)}."]
    if not same:
        lines.append(f"British farm advice would give up to {rate(most, ctx)} ({ctx.say.mass(kg[1])}). Begin with the lower: "
                     "lime cannot be taken back, and you can add more after a test.")
    parts = dressings(first, lime)
    if parts > 1:
        lines.append(f"Split it: {'half' if parts == 2 else 'a third'} now and the rest at six-month gaps.")
    lines += [f"{cap(lime.rule('lime-time').say)}", "Not with manure: some weeks apart.", "Test again after three months, not sooner."]
    if target.crops or target.groups or target.pests:
        lines.insert(1, target.say)
    working = [*need.working, f"{number(first, 1)} g/m² x {number(ground.area_m2, 0.1)} m² = {number(kg[0], 0.01)} kg.",
               lime.rule("lime-hydrated").say, lime.rule("lime-cce").say]
    return Reply(head, lines=tuple(units(line, ctx) for line in lines[:8]), working=tuple(working),
                 cautions=hazards(("lime-dust",), ctx),
                 sources=chain(["us-lime-table", "farm-lime-table", "memory:rb209-lime-factors"], lime.rule("lime-time").source, target.source),
                 data={"lime_feed": {"ph": ph, "target_ph": need.target, "soil": soil.id, "g_per_m2": [round(first), round(most)],
                                     "kg": [round(k, 2) for k in kg], "area_m2": ground.area_m2, "dressings": parts}})


def _target_of(request: Request) -> float | None:
    match = _TARGET.search(request.text)
    return float(match[1]) if match else None


def _which_soil(request: Request, ctx: Context, ph: float, target: PhTarget) -> Reply:
    """Ask for the soil, with the span of answers so that the question is worth answering."""
    lime = ctx.facts.tending.lime
    ground = ground_of(request, ctx)
    bed = f" on {ground.bed.name}" if ground.bed else ""
    aim = target.ph[0] if target.crops or target.groups else None
    spans = [(s, lime_need(ph, s, lime, aim)) for s in lime.soils if s.id in ("sands", "sandy", "clay")]
    names = {"sands": "sandy", "sandy": "loam", "clay": "clay"}
    offers = [(cap(names[s.id]), f"pH is {ph:g}, {names[s.id]} soil, how much lime{bed}") for s, _ in spans]
    lines = [f"{cap(names[s.id])}: about {rate(need.first, ctx)}"
             f"{' (' + ctx.say.mass(need.first * ground.area_m2 / 1000) + ' for ' + ground.name + ')' if ground.whole else ''}." for s, need in spans]
    lines.append("Rub it wet between your fingers: gritty is sandy, sticky and shiny is clay, neither is loam.")
    reply = ask(f"For pH {ph:g}, is the soil sandy, loam or clay?", offers, waiting=request, wants="choice", lines=lines)
    return reply.with_(working=tuple(w for _, need in spans for w in need.working), sources=("us-lime-table", "farm-lime-table"),
                       data={"lime_feed": {"ph": ph, "by_soil": {s.id: round(need.first) for s, need in spans}}})


def _untested(request: Request, ctx: Context, target: PhTarget, crop: Crop | None) -> Reply:
    lime = ctx.facts.tending.lime
    name = ctx.say.crop(crop.id) if crop else None
    head = f"Test first: {'what ' + name + ' need' if name else 'how much lime a bed needs'} hangs on its pH and soil."
    limed = [e for e in ctx.plot.events("fed") if e.data.get("material") == "lime" and (not request.bed or e.bed == request.bed)]
    lines = [target.say, lime.rule("lime-over").say,
             "Tell me the pH and the soil (sandy, loam or clay) and I'll work it out for the bed: \"pH is 5.8, loam\".",
             lime.rule("lime-time").say, lime.rule("lime-not-with-manure").say]
    if limed:
        last = max(limed, key=lambda e: e.day)
        lines.insert(0, f"Lime last went on {ctx.say.day(last.day, ctx.today)}: wait three months before testing.")
    return Reply(head, lines=tuple(units(x, ctx) for x in lines[:6]), sources=chain(target.source, lime.rule("lime-over").source),
                 waiting=request, wants="quantity", choices=(Choice("How do I test it?", "how do I test the soil"),),
                 data={"lime_feed": {"ph": None, "target_ph": list(target.ph)}})


# --- feeding -------------------------------------------------------------------------------------------------------


def _feed_kind(materials: tuple[str, ...], request: Request, ctx: Context) -> FeedKind | None:
    """Return the feed asked about: named as a material, or comfrey and nettle as the plants they are made of."""
    kinds = ctx.facts.tending.feeds.kinds
    text = request.text.lower()
    if "comfrey" in text and not request.crops or "comfrey" in request.crops:
        return next(k for k in kinds if k.id == "comfrey")
    if "nettle" in text:
        return next(k for k in kinds if k.id == "nettle")
    for material in materials:
        kind = next((k for k in kinds if material in k.materials), None)
        if kind is not None and not (kind.id == "general" and not re.search(r"\b(how much|rate|per)\b", text)):
            return kind
    return None


def _kind_reply(kind: FeedKind, request: Request, ctx: Context) -> Reply:
    name = cap(kind.us if ctx.say.words == "us" else kind.gb)
    ground = ground_of(request, ctx)
    lines = [units(line, ctx) for line in kind.say]
    working: list[str] = []
    if kind.g_per_m2:
        low, high = kind.g_per_m2
        mass = [low * ground.area_m2 / 1000, high * ground.area_m2 / 1000]
        spread = rate_range(low, high, ctx)
        head = f"{name}: about {spread}, if the packet does not say otherwise."
        if ground.whole:
            lines.insert(0, f"For {ground.name}: {ctx.say.mass(mass[0])} to {ctx.say.mass(mass[1])}.")
            working.append(f"{low:g} to {high:g} g/m² x {number(ground.area_m2, 0.1)} m² = {number(mass[0], 0.01)} to {number(mass[1], 0.01)} kg.")
    elif kind.dilute:
        head = f"{name}: {units(kind.dilute, ctx)}."
    else:
        head = f"{name}: {kind.gives}."
    if not head.endswith(f"{kind.gives}."):
        lines.insert(0, f"It gives {kind.gives}.")
    crop = ctx.facts.crops.get(request.crop or "")
    if crop is not None and crop.id != "comfrey":
        habit = _habit(crop, ctx)
        if habit is not None:
            lines.append(f"For {ctx.say.crop(crop.id)}: {habit.say[0][:1].lower()}{units(habit.say[0], ctx)[1:]}")
    return Reply(head, lines=tuple(lines[:7]), working=tuple(working), cautions=(kind.caution,) if kind.caution else (),
                 sources=tuple(kind.source), data={"lime_feed": {"feed": kind.id, "g_per_m2": list(kind.g_per_m2) if kind.g_per_m2 else None,
                                                                  "area_m2": ground.area_m2 if ground.whole else None}})


def _habit(crop: Crop, ctx: Context):  # type: ignore[no-untyped-def]
    ids = [crop.id] + ([crop.like] if crop.like else [])
    return next((h for i in ids for h in ctx.facts.tending.feeds.habits if i in h.crops), None)


def _class_of(crop: Crop) -> str | None:
    if crop.feeding and crop.feeding.feeder:
        return crop.feeding.feeder
    return "fixes-nitrogen" if crop.family.rotation_group == "legumes" else None


def _crop_feeding(request: Request, ctx: Context) -> Reply:
    """Say how hungry a crop is and when to feed it; for a crop standing here, whether it is due."""
    crop = which_crop(request, ctx, "Which crop do you want to feed?", "what should I feed")
    if isinstance(crop, Reply):
        return crop
    name, feeds = ctx.say.crop(crop.id), ctx.facts.tending.feeds
    hunger = _class_of(crop)
    row = next((c for c in feeds.classes if c.id == hunger), None)
    habit = _habit(crop, ctx)
    lines: list[str] = []
    if habit is not None:
        head = f"{cap(name)}: {habit.say[0][:1].lower()}{units(habit.say[0], ctx)[1:]}"
        lines += [units(x, ctx) for x in habit.say[1:]]
        if habit.start not in ("never",) and habit.start not in head:
            lines.append(f"Start {habit.start}.")
    elif row is not None:
        head = f"{cap(name)}: {row.say[0][:1].lower()}{units(row.say[0], ctx)[1:]}"
    else:
        head = f"{cap(name)}: a thin layer of compost is enough; I have no figure of its hunger."
    if row is not None and habit is not None:
        lines.append(units(row.say[0], ctx))
    if crop.feeding and crop.feeding.advice:
        lines.append(f"{cap(crop.feeding.advice)}.")
    due = _due(crop, habit, ctx)
    lines += [due] if due else []
    target = ph_target(crop, (), ctx.facts.tending.lime)
    if target.crops or crop.feeding and crop.feeding.ph:
        lines.append(target.say)
    return Reply(head, lines=tuple(dict.fromkeys(lines)), sources=chain(habit.source if habit else (), row.source if row else (),
                 crop.feeding.source if crop.feeding else ()),
                 choices=(Choice("How much manure?", f"how much manure for {name}"),) if hunger == "heavy" else (),
                 data={"lime_feed": {"crop": crop.id, "feeder": hunger, "every_days": list(habit.every_days) if habit and habit.every_days else None}})


def _due(crop: Crop, habit, ctx: Context) -> str | None:  # type: ignore[no-untyped-def]
    """Say when the crop was last fed here, and when it is due again."""
    beds = {p.bed for p in ctx.plot.standing(crop=crop.id) if p.bed}
    if not beds:
        return None
    fed = [e for e in ctx.plot.events("fed") if (e.crop == crop.id or (e.crop is None and e.bed in beds))
           and e.data.get("material") != "lime" and (ctx.today - e.day).days < 200]
    if not fed:
        return "No feed is written down for them this season."
    last = max(fed, key=lambda e: e.day)
    said = f"Last fed {ctx.say.day(last.day, ctx.today)}"
    if habit is not None and habit.every_days:
        due = last.day + timedelta(days=int(sum(habit.every_days) / 2))
        return f"{said}: due {'now' if due <= ctx.today else ctx.say.day(due, ctx.today)}."
    return f"{said}."


def _bed_feeding(request: Request, ctx: Context) -> Reply:
    """Answer for a bed or the whole plot: who is hungry there now."""
    feeds = ctx.facts.tending.feeds
    rows = []
    for planting in ctx.plot.standing(request.bed):
        crop = ctx.facts.crops.get(planting.crop)
        habit = _habit(crop, ctx) if crop else None
        if crop is not None and planting.in_ground and habit is not None and habit.every_days:
            rows.append(crop.id)
    general = next(k for k in feeds.kinds if k.id == "general")
    if rows:
        names = listing([ctx.say.crop(c) for c in dict.fromkeys(rows)])
        return Reply(f"On the feeding list here: {names}.", lines=tuple(
            f"{cap(ctx.say.crop(c))}: {_habit(ctx.facts.crops[c], ctx).say[0]}" for c in list(dict.fromkeys(rows))[:4]),
            sources=("common-practice",), data={"lime_feed": {"crops": list(dict.fromkeys(rows))}})
    return Reply("Feed the soil once a year with compost, and the hungry crops once more in summer.", lines=tuple(
        units(x, ctx) for x in (*[c.say[0] for c in feeds.classes[:3]], *general.say)), sources=tuple(general.source),
        choices=(Choice("What do tomatoes want?", "what should I feed tomatoes"), Choice("Lime?", "how much lime does a bed need")),
        data={"lime_feed": {"crops": []}})


# --- green manures -------------------------------------------------------------------------------------------------


def green_manures(request: Request, ctx: Context) -> Reply:
    """Say which green manures can be sown here now, how thickly, and when they must be dug in."""
    if ctx.season is None:
        return ask_place(request)
    room, ground = ctx.facts.tending.green_manures, ground_of(request, ctx)
    here = curves(ctx.season, None, ctx.facts)
    day = request.when.start if request.when and request.when.start >= ctx.today else ctx.today
    year = GardenYear.around(day, ctx.season.southern)
    count = year.count(day)
    now, later = [], []
    for row in room.crops:
        crop = ctx.facts.crops.get(row.crop)
        spans = [w for w in windows(crop, here) if w.method == "direct"] if crop else []
        if not spans or crop is None:
            continue
        open_now = next((w for w in spans if w.holds(count) is not None), None)
        if open_now:
            now.append((row, open_now))
        else:
            later.append((min(w.ahead(count) for w in spans), row, min(spans, key=lambda w: w.ahead(count))))
    named = request.crops if not request.group else ()
    asked = [(r, w) for r, w in now if r.crop in named] if named else now
    lines = []
    for row, window in asked[:5]:
        low, high = row.g_per_m2
        seed = f"{ctx.say.mass(low * ground.area_m2 / 1000)} to {ctx.say.mass(high * ground.area_m2 / 1000)} of seed for {ground.name}" \
            if ground.whole else rate_range(low, high, ctx)
        until = ctx.say.part_of_month(window.dates(day, ctx.season.southern)[1])
        lines.append(f"{cap(ctx.say.crop(row.crop))}: {seed}, to {until}. {row.say}")
    lead = next(r for r in room.rules if r.id == "gm-lead")
    lines.append(lead.say.split(":")[0] + ".")
    lines.append(next(r for r in room.rules if r.id == "gm-seed").say)
    names = listing([ctx.say.crop(r.crop) for r, _ in asked[:5]])
    if asked:
        head = f"Green manures to sow now: {names}." if not named else f"Yes, {names} can be sown now."
    else:
        later.sort(key=lambda item: item[0])
        wanted = [x for x in later if x[1].crop in named] or later
        first = wanted[0] if wanted else None
        head = f"None to sow here now; next {ctx.say.crop(first[1].crop)} from {ctx.say.part_of_month(first[2].dates(day, ctx.season.southern)[0])}." \
            if first else "No green manure has a season here that I know of."
        lines = [f"{cap(ctx.say.crop(first[1].crop))}: {first[1].say}", *lines] if first else lines
    return Reply(head, lines=tuple(lines[:8]), sources=chain(*[r.source for r, _ in asked[:3]], lead.source),
                 working=tuple(f"{ctx.say.crop(r.crop)}: {r.g_per_m2[0]:g} to {r.g_per_m2[1]:g} g/m² x {number(ground.area_m2, 0.1)} m²; rates differ between sources."
                               for r, _ in asked[:4]),
                 data={"lime_feed": {"green_manures": [r.crop for r, _ in asked], "area_m2": ground.area_m2 if ground.whole else None}})
