"""Write down feeding, mulching, liming and watering."""

from __future__ import annotations

import re
from datetime import date

from bot.handlers import answers
from bot.handlers.checking import Doing, bed_name, crops_of, day_of, unknown_bed
from bot.handlers.compost import compost
from bot.handlers.context import Context
from bot.handlers.feeding import lime_feed
from bot.handlers.ground_notes import what_follows
from bot.handlers.ground_words import depth_in, material_words, materials_of
from bot.handlers.manuring import MANURES
from bot.handlers.naming import material_said, said
from bot.handlers.rain_records import rain_record
from bot.plot.events import NewEvent
from bot.reply import Reply, ask
from bot.request import OTHER_BEDS, Quantity, Request
from bot.tending.materials import heaped, kg_of, litres_of
from bot.tending.soil import depth_of
from bot.wording import capital, listing

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
_DONE = re.compile(r"\b(?:gave|given|fed|feed|spread|put|added|mulched|dug|forked|limed|watered|done|applied)\b", re.I)
_FRESH = re.compile(r"\b(fresh|raw|steaming|unrotted)\b", re.I)
_SEVERAL = re.compile(r"\b(?:beds|ones|others|rest)\b", re.I)
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
    rain = rain_record(request, ctx)
    if rain is not None:
        return rain
    if _for_the_heap(request, ctx):
        return compost(request, ctx)
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    stray = unknown_bed(request, ctx, FED)
    if stray:
        return stray
    others = _other_beds(request, ctx)
    if isinstance(others, Reply):
        return others
    request = others
    crops = () if request.beds and not request.crops else crops_of(request, ctx, FED, standing_first=True)
    if isinstance(crops, Reply):
        return crops
    amount = _amount(request, ctx)
    if isinstance(amount, Reply):
        return amount
    told = _as_told(request, ctx)
    material = _material(told, ctx, amount)
    beds: tuple[str | None, ...] = tuple(request.beds) or _beds_of(crops, ctx) or (None,)
    events = [_event(request, told.text, ctx, day, material, amount, bed, crop) for bed in beds for crop in (crops or (None,))]
    head = _echo(events, material, amount, crops, beds, day, ctx)
    lines, cautions, data = what_follows(events, material, request, day, ctx)
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


def _other_beds(request: Request, ctx: Context) -> Request | Reply:
    """Put the names of the plot's beds for "the other beds": all but the one told of before; asks which, where none was."""
    if OTHER_BEDS not in request.flags or request.crops or "negative" in request.flags:
        return request
    before = next((r.beds for r in ctx.memory.requests[-1:] if r.intent == request.intent), ())
    rest = tuple(bed for bed in ctx.plot.beds if bed in request.beds or bed not in before)
    several = bool(_SEVERAL.search(request.text))
    if (request.beds or before) and (several or len(rest) < 2):
        return request.with_(beds=rest) if rest else Reply("There is no other bed, so I recorded nothing.")
    if request.beds:
        return request
    return ask("Which beds?" if several else "Which bed?", [], waiting=request.with_(flags=request.flags - {OTHER_BEDS}), wants="bed")


def _as_told(request: Request, ctx: Context) -> Request:
    """Return a record with the words that tell what was done: its own, or those of the record it goes on from ("and bed 4 too")."""
    last = ctx.memory.requests[-1] if ctx.memory.requests else None
    if request.materials or _tells(request) or last is None or last.intent != request.intent:
        return request
    before = next((r for r in reversed(ctx.memory.requests) if r.intent == request.intent and _tells(r)), None)
    return request if before is None else request.with_(text=before.text)


def _tells(request: Request) -> bool:
    return any(done.search(request.text) for done in (_WATERED, _LIMED, _MANURED, _COMPOSTED, _MULCHED, _DONE))


def _for_the_heap(request: Request, ctx: Context) -> bool:
    """Tell whether a message lists a mix, "2 barrows of grass, 1 of paper", for no bed and not as done."""
    if request.beds or request.crops:
        return False
    listed = len({item.material for item in heaped(request.text, material_words(ctx))})
    return listed > 1 and (bool(_FOR_HEAP.search(request.text)) or not _DONE.search(request.text))


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
                f"{capital(said(chosen, ctx))}? That is a great deal for one garden. Is it right?",
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
    told: str,
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
    data: dict[str, object] = {"what": _what(material, told)}
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
    # "Fed with seaweed" and a spray of it are liquid feeds; laid on the ground it is a mulch.
    liquid = material == "seaweed" and _SPRAYED.search(text) is not None
    return "mulched" if (material in kinds and not liquid) or _MULCHED.search(text) else "fed"


_SPRAYED = re.compile(r"\b(?:fed|feed|spray(?:ed)?|watered|foliar|litres?|liters?|diluted)\b", re.IGNORECASE)
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


def given_instead(request: Request, event: NewEvent, ctx: Context) -> dict[str, object]:
    """Return what changes in a feeding when a message names another material: "sorry, chicken pellets not blood fish and bone"."""
    old = event.data.get("material")
    named = [_SHORTER.get(m, m) for m in materials_of(request, ctx)]
    meant = next((m for m in named if m not in (old, "water")), None)
    if event.kind != "fed" or meant is None:
        return {}
    what = _what(meant, event.words)
    deep = {"depth_cm": None} if "depth_cm" in event.data and what != "mulched" else {}
    return {"material": meant, "what": what, **deep}
