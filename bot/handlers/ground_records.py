"""Write down feeding, mulching, liming and watering."""

from __future__ import annotations

import re
from datetime import date, timedelta

from bot.handlers import answers
from bot.handlers.checking import Doing, bed_name, crops_of, day_of, unknown_bed
from bot.handlers.compost import compost
from bot.handlers.context import Context
from bot.handlers.feeding import lime_feed
from bot.handlers.ground_words import cap, depth_in, materials_of
from bot.handlers.manuring import MANURES
from bot.handlers.naming import said
from bot.plot.events import NewEvent
from bot.reply import Reply, ask
from bot.request import Quantity, Request
from bot.tending.materials import kg_of, litres_of
from bot.tending.soil import depth_of, safe_from
from bot.wording import listing

_WATERED = re.compile(
    r"\b(water(?:ed|ing)?|waterd|soak(?:ed)?|drench(?:ed)?|hosed?|irrigated?|sprinkl\w+|drink|litres?|liters?|gallons?)\b",
    re.I,
)
_LIMED = re.compile(r"\b(limed?|lyme)\b", re.I)
_MANURED = re.compile(r"\b(manured|mucked|dunged)\b", re.I)
_COMPOSTED = re.compile(r"\b(composted|top.?dress\w*)\b", re.I)
_MULCHED = re.compile(r"\b(mulch\w*)\b", re.I)
_OR = re.compile(r"\b(?:mulch|feed|water|lime|manure) or (?:mulch|feed|water|lime|manure)\b", re.I)
_FOR_HEAP = re.compile(r"\b(?:for|on|in|into|onto) (?:the |my |our |a )?(?:compost|heap|compost heap|bin|bay)\b", re.I)
_FRESH = re.compile(r"\b(fresh|raw|steaming|unrotted)\b", re.I)
#: Lime and manure keep this far apart on one bed.
APART = timedelta(weeks=4)
MOST_L, MOST_KG = 6000.0, 3000.0
FED = Doing("fed", "Fed", "in")
#: Rows of the heap table that are one material on a bed.
_SHORTER = {"chips-hardwood": "wood-chip", "chips-softwood": "wood-chip", "straw-general": "straw"}
_LIQUID = ("tomato-feed", "comfrey-feed", "nettle-feed", "seaweed-feed", "worm-tea")


@answers("log_fed_mulched")
def log_fed_mulched(request: Request, ctx: Context) -> Reply:
    """Record what was given to a bed or crop: feed, manure, mulch, lime or water, with how much."""
    if _OR.search(request.text):
        return lime_feed(request, ctx)  # "mulch or feed the rhubarb?" asks
    if _FOR_HEAP.search(request.text) and not request.beds and len(materials_of(request, ctx)) > 1:
        return compost(request, ctx)  # a mix for the heap, not a feed for a bed
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    stray = unknown_bed(request, ctx, FED)
    if stray:
        return stray
    crops = () if request.beds and not request.crops else crops_of(request, ctx, FED, standing_first=True)
    if isinstance(crops, Reply):
        return crops
    amount = _amount(request, ctx)
    if isinstance(amount, Reply):
        return amount
    material = _material(request, ctx, amount)
    beds: tuple[str | None, ...] = tuple(request.beds) or _beds_of(crops, ctx) or (None,)
    events = [_event(request, ctx, day, material, amount, bed, crop) for bed in beds for crop in (crops or (None,))]
    head = _echo(events, material, amount, crops, beds, day, ctx)
    lines, cautions, data = _after(events, material, request, day, ctx)
    depth = events[0].data.get("depth_cm")
    if depth and material not in (None, "lime"):
        lines.insert(0, f"That is about {ctx.say.length(depth)} deep over the bed.")
    return Reply(
        head,
        lines=tuple(lines[:5]),
        cautions=tuple(cautions),
        events=tuple(events),
        data={"log_fed_mulched": {"rows": [event.as_json() for event in events], **data}},
    )


def _amount(request: Request, ctx: Context) -> Quantity | Reply | None:
    usable = [q for q in request.quantities if q.unit not in ("day", "c", "percent", "m")]
    for q in usable:
        if q.value <= 0:
            return Reply(
                f"{q.words or said(q, ctx)} can't be right, so I recorded nothing.",
                lines=("Send it again with the right amount.",),
            )
    chosen = usable[0] if usable else None
    if chosen is not None and "yes" not in request.flags:
        litres = litres_of(chosen.value, chosen.unit, ctx.facts.tending.measures, us=ctx.say.us)
        if (litres or 0) > MOST_L or (chosen.unit == "kg" and chosen.value > MOST_KG):
            return ask(
                f"{cap(said(chosen, ctx))}? That is a great deal for one garden. Is it right?",
                [("Yes, it is right", "yes"), ("No", "no")],
                waiting=request,
                wants="choice",
                lines=("Nothing is recorded yet.",),
            )
    return chosen


def _material(request: Request, ctx: Context, amount: Quantity | None) -> str | None:
    """Return what was given: a material id, "water", or None for a feed that was not named."""
    text = request.text
    named = tuple(_SHORTER.get(m, m) for m in materials_of(request, ctx))
    if named and not (named == ("plant-feed",) and _WATERED.search(text) and amount is None):
        return named[0]
    if _LIMED.search(text):
        return "lime"
    if _MANURED.search(text):
        return "manure"
    if _COMPOSTED.search(text):
        return "compost"
    if amount is not None and amount.unit in ("l", "can") or _WATERED.search(text) or request.method == "water":
        return "water"
    return "mulch" if _MULCHED.search(text) else None


def _beds_of(crops: tuple[str, ...], ctx: Context) -> tuple[str, ...]:
    """Return the one bed the crops stand in, when it is one."""
    beds = {p.bed for crop in crops for p in ctx.plot.standing(crop=crop) if p.bed}
    return (str(next(iter(beds))),) if len(beds) == 1 else ()


def _event(
    request: Request,
    ctx: Context,
    day: date,
    material: str | None,
    amount: Quantity | None,
    bed: str | None,
    crop: str | None,
) -> NewEvent:
    litres = litres_of(amount.value, amount.unit, ctx.facts.tending.measures, us=ctx.say.us) if amount else None
    kg = kg_of(amount.value, amount.unit) if amount else None
    several = max(1, len(request.beds))
    share = amount.value / several if amount else None
    if material == "water":
        value = round(litres / several, 1) if litres is not None else share
        return NewEvent(
            "watered",
            day,
            crop=crop,
            bed=bed,
            amount=value,
            unit="l" if litres is not None else amount.unit if amount else None,
            words=request.text,
            data={"litres": value} if litres is not None else {},
        )
    data: dict[str, object] = {"what": _what(material, request.text)}
    if material:
        data["material"] = material
    if litres is not None:
        data["litres"] = round(litres / several, 1)
    if kg is not None:
        data["kg"] = round(kg / several, 3)
    area = ctx.plot.beds[bed].area_m2 if bed in ctx.plot.beds else None
    deep = depth_in(request)
    solid = material not in (None, "lime", *_LIQUID) and data["what"] == "mulched"
    if deep is not None and solid:
        data["depth_cm"] = round(deep, 1)
    elif solid and litres is not None and area and crop is None and litres / several / area >= 3:
        data["depth_cm"] = round(depth_of(litres / several, area), 1)
    if _FRESH.search(request.text) and material in MANURES:
        data["fresh"] = True
    return NewEvent(
        "fed",
        day,
        crop=crop,
        bed=bed,
        amount=share,
        unit=amount.unit if amount else None,
        words=request.text,
        data=data,
    )


def _what(material: str | None, text: str) -> str:
    if material == "lime":
        return "limed"
    kinds = (
        "compost",
        "leaves",
        "wood-chip",
        "straw",
        "straw-oat",
        "straw-wheat",
        "hay",
        "grass-clippings",
        "mulch",
        "mushroom-compost",
        "green-waste",
        "seaweed",
        "cardboard",
        "sawdust",
        "membrane",
        *MANURES,
    )
    return "mulched" if material in kinds or _MULCHED.search(text) else "fed"


_NAMES = {
    "leaves": "leaf mould",
    "wood-chip": "wood chip",
    "plant-feed": "feed",
    "manure": "manure",
    "blood-fish-bone": "blood, fish and bone",
    "growmore": "general fertiliser",
    "nitrogen": "a nitrogen feed",
    "mulch": "a mulch",
    "hen-manure": "hen manure",
    "tomato-feed": "tomato feed",
    "comfrey-feed": "comfrey feed",
    "wood-ash": "wood ash",
    "grass-clippings": "grass clippings",
}


def material_said(material: str | None, ctx: Context) -> str:
    """Say a material."""
    if material == "leaves":
        return ctx.say.pick("leaf mould", "leaf mold")
    if material == "growmore":
        return ctx.say.pick("general fertiliser", "general fertilizer")
    return _NAMES.get(material or "plant-feed", (material or "feed").replace("-", " "))


def _echo(
    events: list[NewEvent],
    material: str | None,
    amount: Quantity | None,
    crops: tuple[str, ...],
    beds: tuple[str | None, ...],
    day: date,
    ctx: Context,
) -> str:
    where = listing([bed_name(b, ctx) for b in beds if b])
    crop = listing([ctx.say.crop(c) for c in crops])
    target = f"the {crop}{' in ' + where if where else ''}" if crop else where or "everything"
    how_much = f", {said(amount, ctx)}" if amount else ""
    when = ctx.say.day(day, ctx.today)
    if material == "water":
        return f"Watered {target}{how_much}, {when}."
    if material == "lime":
        return f"Limed {target}{how_much}, {when}."
    if amount:
        return f"Noted: {said(amount, ctx)} of {material_said(material, ctx)} on {target}, {when}."
    if events[0].data.get("what") == "mulched":
        return (
            "Mulched "
            f"{target}{' with ' + material_said(material, ctx) if material not in (None, 'mulch') else ''}, {when}."
        )
    return (
        "Fed "
        f"{target}{' with ' + material_said(material, ctx) if material not in (None, 'plant-feed') else ''}, {when}."
    )


def _after(
    events: list[NewEvent], material: str | None, request: Request, day: date, ctx: Context
) -> tuple[list[str], list[str], dict[str, object]]:
    """Return what follows: the wait for raw manure, lime too near manure, lime before potatoes."""
    lines: list[str] = []
    cautions: list[str] = []
    data: dict[str, object] = {}
    for event in events:
        near = _too_near(event, material, day, ctx)
        if near:
            cautions.append(near)
            break
    if any(e.data.get("fresh") for e in events):
        crops = {e.crop for e in events if e.crop} | {p.crop for e in events if e.bed for p in ctx.plot.standing(e.bed)}
        room = ctx.facts.tending.manure
        worst = max((safe_from(day, c, room) for c in crops), default=safe_from(day, None, room))
        cautions.append(
            "Raw manure: pick nothing that touches the soil there before "
            f"{ctx.say.day(safe_from(day, None, room), ctx.today)}."
        )
        data["safe_from"] = worst.isoformat()
    if material == "lime":
        potatoes = [
            p for e in events if e.bed for p in ctx.plot.standing(e.bed) if p.crop in ("potato", "potato-early")
        ]
        if potatoes:
            cautions.append("Potatoes stand there: lime brings scab.")
        lines.append("Test the soil again in three months, not sooner.")
    if material in MANURES and not cautions:
        beds = [e.bed for e in events if e.bed]
        roots = [c for b in beds for c in {p.crop for p in ctx.plot.standing(b)} if c in ("carrot", "parsnip")]
        if roots:
            lines.append(f"The {listing([ctx.say.crop(c) for c in roots])} there may fork.")
    return lines, cautions, data


def _too_near(event: NewEvent, material: str | None, day: date, ctx: Context) -> str | None:
    """Return a caution when lime and manure meet on one bed within some weeks."""
    if event.bed is None or material not in ("lime", *MANURES):
        return None
    others = MANURES if material == "lime" else ("lime",)
    for old in ctx.plot.events("fed"):
        if old.bed == event.bed and old.data.get("material") in others and abs(day - old.day) < APART:
            first, second = ("manure", "Lime") if material == "lime" else ("lime", "Manure")
            return (
                f"{second} so soon after {first} there ({ctx.say.day(old.day, ctx.today)}) drives off "
                "nitrogen as ammonia; leave some weeks between them."
            )
    return None


__all__ = ["log_fed_mulched", "material_said"]
