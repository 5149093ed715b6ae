"""Manure, compost, wood chip and other mulches: how much for this bed, when, and what to mind."""

from __future__ import annotations

import re
from datetime import date

from bot.facts.tending_ground import MulchKind
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.feeding import GREEN_MANURE, green_manures
from bot.handlers.ground_words import (
    Ground,
    bags,
    cap,
    chain,
    depth_in,
    ground_of,
    hazards,
    load_range,
    loads,
    material_words,
    materials_of,
    measure_l,
    topic_lines,
    units,
)
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.materials import heaped, kg_of, litres_of
from bot.tending.soil import depth_of, litres_for, manure_rate, raw_days, safe_from
from bot.tending.topics import best
from bot.wording import number

MANURES = ("manure", "cattle-manure", "horse-manure", "sheep-manure", "pig-manure", "hen-manure")
_FRESH = re.compile(r"\b(fresh|raw|steaming|hot|straight|unrotted|new)\b", re.I)
_ROTTED = re.compile(r"\b(rotted|old|composted|aged|black)\b", re.I)
_PATH = re.compile(r"\bpaths?\b", re.I)
_NEW_BED = re.compile(r"\bnew beds?\b", re.I)
#: Materials a word in a message stands for when the table of kinds knows them under another.
_LIKE = {"pig-manure": "manure", "hen-manure": "manure", "rabbit-manure": "manure", "bale": "straw"}


@answers("mulch")
def mulch(request: Request, ctx: Context) -> Reply:
    """Say how much manure, compost, chip or other mulch a bed takes, when it goes on and what to mind."""
    if GREEN_MANURE.search(request.text):
        return green_manures(request, ctx)
    room = ctx.facts.tending
    materials = materials_of(request, ctx)
    topic = best(request.text, [*room.manure.topics, *room.mulch.topics])
    fresh = bool(_FRESH.search(request.text)) and not _ROTTED.search(request.text)
    manured = [m for m in materials if m in MANURES]
    if "mushroom-compost" in materials or manured:
        no = _no_manure(request.crop, ctx)
        if no is not None:
            return no
    if topic is not None and topic.id == "weedkiller-test":
        return _topic(topic, ctx)
    if fresh and (manured or not materials):
        return _fresh(request, ctx, manured[0] if manured else "manure")
    if topic is not None and topic.id in ("which-bed", "measure-own", "winter-cover"):
        return _which_bed(request, ctx, topic) if topic.id == "which-bed" else _topic(topic, ctx)
    if manured and depth_in(request) is None:
        reply = _manure(request, ctx, manured[0])
    else:
        reply = _mulch(request, ctx, materials)
    if topic is not None:
        said = topic_lines(topic, ctx)
        amounts = (reply.headline,) if ground_of(request, ctx).whole else ()
        return reply.with_(headline=said[0], lines=(*said[1:], *amounts), more=(*(() if amounts else (reply.headline,)), *reply.lines),
                           sources=chain(topic.source, reply.sources))
    return reply


def _topic(topic, ctx: Context) -> Reply:  # type: ignore[no-untyped-def]
    said = topic_lines(topic, ctx)
    return Reply(said[0], lines=tuple(said[1:]), cautions=hazards(topic.hazards, ctx)[:1], sources=tuple(topic.source),
                 data={"mulch": {"topic": topic.id}})


def _manure(request: Request, ctx: Context, material: str) -> Reply:
    """Answer for rotted manure by weight over the bed."""
    room, ground = ctx.facts.tending, ground_of(request, ctx)
    crop = request.crop
    hunger = _hunger(crop, ground, ctx)
    found = manure_rate(material, hunger or "heavy", True, room.manure)
    if found is None:
        return _mulch(request, ctx, (material,))
    row, kg_m2 = found
    other = manure_rate(material, "medium", True, room.manure)
    half = other[1] if other else kg_m2 / 2
    weight = room.mulch.weights.get("manure", 0.75)
    kg, litres = kg_m2 * ground.area_m2, kg_m2 * ground.area_m2 / weight
    what = f"{loads(litres, ctx)} of rotted manure"
    where = f"for {ground.name}" if ground.whole else f"for each {ctx.say.pick('square metre', 'square yard or so')}"
    lines = []
    if hunger is None:
        lines.append(f"That is for hungry crops (cabbages, potatoes, squashes, beetroot, runner beans); give others half, "
                     f"{loads(half * ground.area_m2 / weight, ctx)}.")
    elif hunger != "heavy":
        lines.append(f"{cap(ctx.say.crop(crop)) if crop else 'What grows there'}: half the rate of the hungry crops is enough.")
    lines.append(f"It makes a layer of about {ctx.say.length(depth_of(litres, ground.area_m2))}, {ctx.say.mass(round(kg))} in all.")
    lines.append("Once in three years, not every year: it is rich in what washes into the water.")
    lines.append("Sandy soil in late winter or spring, clay in autumn or winter. Not with lime, and not before carrots or parsnips.")
    if material == "hen-manure":
        lines[0] = "Hen manure is far stronger than the rest: put it through the heap, or use a tenth of this dried and pelleted."
    last = _last_fed(ground, ctx)
    lines += [last] if last else []
    barrow = measure_l(room.measure("barrow"), ctx)
    working = (f"{kg_m2:g} kg/m² x {number(ground.area_m2, 0.1)} m² = {number(kg, 1)} kg.",
               f"At {weight:g} kg per litre that is {number(litres, 1)} l; a barrow is taken as {number(barrow, 1)} l.",
               "Fresh manure must lie 120 days before harvest, 90 where the eaten part is clear of the soil.")
    return Reply(f"{cap(what)} {where}.", lines=tuple(lines), working=working, sources=chain(row.source, ["usu-raw-manure"]),
                 cautions=("Before you spread bought manure, test it with beans: weedkiller in the hay harms crops.",),
                 choices=(Choice("How to test it", "how do I test manure for weedkiller"),
                          Choice("Is fresh all right?", f"can I use fresh manure on {ground.name if ground.bed else 'the bed'} now")),
                 data={"mulch": {"material": material, "area_m2": ground.area_m2, "kg": round(kg, 1), "litres": round(litres, 1),
                                 "barrows": round(litres / barrow, 2), "kg_per_m2": kg_m2, "bed": ground.bed.id if ground.bed else None}})


def _hunger(crop: str | None, ground: Ground, ctx: Context) -> str | None:
    """Return how hungry the crop is, or None when no one crop is meant."""
    known = ctx.facts.crops.get(crop or "")
    return known.feeding.feeder if known and known.feeding else None


def _no_manure(crop: str | None, ctx: Context) -> Reply | None:
    """Say no to manure for crops that suffer from it."""
    known = ctx.facts.crops.get(crop or "")
    if known is None:
        return None
    name = cap(ctx.say.crop(known.id))
    rules = {row.id: row for row in ctx.facts.growing.rotation}
    if known.family.rotation_group == "umbellifers" and known.id in ("carrot", "parsnip", "hamburg-parsley") or known.id in ("salsify", "scorzonera"):
        row = rules["suc-roots-no-manure"]
        return Reply(f"{name}: no manure this season, fresh or newly dug in; the roots fork.", lines=(
            "Use ground that was manured for an earlier crop.", f"{row.exceptions}." if row.exceptions else ""),
            sources=tuple(row.source), data={"mulch": {"crop": known.id, "manure": False}})
    if known.id in ("blueberry", "cranberry", "lingonberry", "bilberry"):
        return Reply("No: these want sour ground, and manure and mushroom compost are too rich or too limy.",
                     lines=("Mulch with pine bark or wood chip instead.",), sources=("memory:us-extension-blueberry",),
                     data={"mulch": {"crop": known.id, "manure": False}})
    return None


def _fresh(request: Request, ctx: Context, material: str) -> Reply:
    """Answer for fresh manure: the wait before harvest, by crop, with the date."""
    room, crop = ctx.facts.tending.manure, request.crop
    no = _no_manure(crop, ctx)
    if no is not None:
        return no
    days = raw_days(crop, room)
    spread = request.when.start if request.when and request.when.start >= ctx.today else ctx.today
    free = safe_from(spread, crop, room)
    name = ctx.say.crop(crop) if crop else "anything that touches the soil"
    head = f"Not on growing food: dug in today, nothing touching the soil may be picked before {ctx.say.day(free, ctx.today)}." \
        if crop is None else f"Too fresh for {name}: dug in {_day_said(spread, ctx)}, no picking before {ctx.say.day(free, ctx.today)}."
    lines = [f"Raw manure wants {days} days to harvest here" + (
        f"; crops held clear of the soil 90, so from {ctx.say.day(safe_from(spread, 'sweetcorn', room), ctx.today)}." if days == 120 else
        ", since the eaten part is clear of the soil; 120 for roots, leaves and low fruit."),
        "Stacked or aged is still raw by that rule; only a hot, turned heap is not.",
        "Better: stack it under cover for a year, or mix it into the compost heap.",
        "Never as a side-dressing among growing crops, and no manure tea on what you eat raw."]
    found = manure_rate(material, "medium", False, room)
    working = [f"{spread.isoformat()} + {days} days = {free.isoformat()}."]
    if found:
        working.append(f"Where it is dug into empty ground, about {found[1]:g} kg/m² fresh for middling crops, half for light feeders, double for hungry ones.")
    return Reply(head, lines=tuple(lines), working=tuple(working),
                 cautions=("Those who are old, pregnant, very young or weak in immunity should eat such crops cooked.",),
                 sources=tuple(room.rule("raw-120").source), choices=(Choice("Rotted manure instead", "how much rotted manure"),),
                 data={"mulch": {"material": material, "fresh": True, "days": days, "safe_from": free.isoformat(), "crop": crop}})


def _day_said(day: date, ctx: Context) -> str:
    return ctx.say.day(day, ctx.today)


def _which_bed(request: Request, ctx: Context, topic) -> Reply:  # type: ignore[no-untyped-def]
    """Name the plot's beds that want manure most: empty or hungry, and longest unfed."""
    rows = []
    for bed in ctx.plot.beds.values():
        if bed.kind in ("frame", "container"):
            continue
        fed = [e.day for e in ctx.plot.events("fed") if e.bed == bed.id]
        ago = (ctx.today - max(fed)).days if fed else 2000
        crops = [ctx.facts.crops[p.crop] for p in ctx.plot.standing(bed.id) if p.crop in ctx.facts.crops]
        hungry = any(c.feeding and c.feeding.feeder == "heavy" for c in crops)
        roots = any(c.id in ("carrot", "parsnip") for c in crops)
        rows.append((ago + (400 if hungry else 0) - (5000 if roots else 0), bed, max(fed) if fed else None))
    said = topic_lines(topic, ctx)
    if not rows:
        return Reply(said[0], lines=tuple(said[1:]), sources=tuple(topic.source))
    rows.sort(key=lambda row: -row[0])
    lines = [f"{bed.name}: {'last fed ' + ctx.say.day(day, ctx.today) if day else 'no feeding written down'}." for _, bed, day in rows[:4]]
    return Reply(f"{rows[0][1].name} has waited longest for feeding.", lines=(*lines, *said), sources=tuple(topic.source),
                 data={"mulch": {"beds": [bed.id for _, bed, _ in rows]}})


def _mulch(request: Request, ctx: Context, materials: tuple[str, ...]) -> Reply:
    """Answer for a mulch by depth over the bed."""
    room, ground = ctx.facts.tending, ground_of(request, ctx)
    kind = _kind(request, ctx, materials, ground)
    deep = depth_in(request)
    low, high = (deep, deep) if deep else kind.depth_cm
    name = kind.said(ctx.say.words)
    weight = room.mulch.weights.get(materials[0] if materials else kind.materials[0]) or room.mulch.weights.get(kind.materials[0])
    a, b = litres_for(ground.area_m2, low), litres_for(ground.area_m2, high)
    have = _have(request, ctx)
    barrow = measure_l(room.measure("barrow"), ctx)
    middle = a if deep else (a + b) / 2
    working = [f"{number((low + high) / 2 if not deep else low, 0.1)} cm x 10 x {number(ground.area_m2, 0.1)} m² = {number(middle, 1)} l; "
               f"{number(middle, 1)} l / {number(barrow, 1)} l = {number(middle / barrow, 0.1)} barrows."]
    if have is not None:
        depth = depth_of(have, ground.area_m2)
        head = f"That makes {ctx.say.length(depth)} over {ground.name}."
        lines = [f"{cap(name)} goes on {ctx.say.length(*kind.depth_cm)} deep, "
                 f"{load_range(litres_for(ground.area_m2, kind.depth_cm[0]), litres_for(ground.area_m2, kind.depth_cm[1]), ctx)}."]
        working = [f"{number(have, 1)} l / (10 x {number(ground.area_m2, 0.1)} m²) = {number(depth, 0.1)} cm."]
    elif kind.id == "cardboard" or kind.id == "membrane":
        head = f"{cap(name)}: {kind.say[0][:1].lower()}{units(kind.say[0], ctx)[1:]}"
        lines = [f"When: {kind.when}."]
        return Reply(head, lines=tuple(lines + [units(x, ctx) for x in kind.say[1:]]), sources=tuple(kind.source),
                     data={"mulch": {"material": kind.id}})
    else:
        span = ctx.say.length(low, high)
        amount = load_range(a, b, ctx)
        where = f"for {ground.name}" if ground.whole else f"for each {ctx.say.pick('square metre', 'square yard or so')}"
        head = f"{cap(name)}, {span} deep: {amount} {where}."
        lines = [f"That is {ctx.say.volume(a)}{'' if a == b else f' to {ctx.say.volume(b)}'}, or {bags(middle, ctx)} for the middle of it."
                 + (f" Weight about {ctx.say.mass(round(middle * weight))}." if weight and ground.whole else "")]
    lines += [f"When: {kind.when}.", *(units(x, ctx) for x in kind.say)]
    if kind.avoid:
        lines.append(units(kind.avoid, ctx))
    last = _last_fed(ground, ctx)
    lines += [last] if last else []
    if weight:
        working.append(f"Weight reckoned at {weight:g} kg per litre. {room.measure('barrow').say}" if room.measure("barrow") else "")  # type: ignore[union-attr]
    return Reply(head, lines=tuple(lines[:8]), working=tuple(w for w in working if w), sources=tuple(kind.source),
                 cautions=hazards([h for h in kind.hazards if h in ("legionella", "arsenic-wood", "aspergillus")], ctx)[:1],
                 choices=(Choice("How deep on paths?", "wood chip on paths"),) if kind.use == "fruit" else (),
                 data={"mulch": {"material": kind.id, "area_m2": ground.area_m2, "depth_cm": [low, high], "litres": [round(a, 1), round(b, 1)],
                                 "barrows": [round(a / barrow, 2), round(b / barrow, 2)], "bed": ground.bed.id if ground.bed else None}})


def _kind(request: Request, ctx: Context, materials: tuple[str, ...], ground: Ground) -> MulchKind:
    """Return the mulch meant: by its material and the ground, by the crop, or garden compost."""
    kinds = ctx.facts.tending.mulch.kinds
    named = _LIKE.get(materials[0], materials[0]) if materials else None
    fits = [k for k in kinds if named in k.materials] if named else []
    if not fits and request.crop:
        wanted = ctx.facts.tending.mulch.for_crops.get(request.crop)
        fits = [k for k in kinds if k.id == wanted]
    if _PATH.search(request.text):
        fits = [k for k in fits if k.use == "path"] or [k for k in kinds if k.id == "wood-chip-path"] if named in (None, "wood-chip", "sawdust") else fits
    elif _NEW_BED.search(request.text) and named in (None, "compost", "cardboard"):
        fits = [k for k in kinds if k.use == "new-bed" and (named is None or named in k.materials)] or fits
    elif named == "wood-chip":
        fits = [k for k in fits if k.use == "fruit"]
    return fits[0] if fits else next(k for k in kinds if k.id == "compost")


def _have(request: Request, ctx: Context) -> float | None:
    """Return the litres the gardener says to have, when asking how far they go."""
    amount = request.amount("barrow", "bag", "bucket", "l", "load", "bale")
    if amount is not None and request.materials:
        return litres_of(amount.value, amount.unit, ctx.facts.tending.measures, us=ctx.say.us)
    if not request.beds:
        return None
    for item in heaped(request.text, material_words(ctx)):
        if not item.vague and kg_of(item.amount, item.unit) is None:
            return litres_of(item.amount, item.unit, ctx.facts.tending.measures, us=ctx.say.us)
    return None


def _last_fed(ground: Ground, ctx: Context) -> str | None:
    if ground.bed is None:
        return None
    fed = [e for e in ctx.plot.events("fed") if e.bed == ground.bed.id and e.day <= ctx.today]
    if not fed:
        return None
    last = max(fed, key=lambda e: e.day)
    what = str(last.data.get("material") or "a feed").replace("-", " ")
    return f"{ground.name} last had {what} {ctx.say.day(last.day, ctx.today)}."
