"""Write down feeding, mulching, liming and watering."""

from __future__ import annotations

from dataclasses import replace
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
from bot.same_message import merge
from bot.tending.materials import heaped, kg_of, litres_of
from bot.tending.soil import depth_of
from bot.wording import capital, listing

MOST_L, MOST_KG = 6000.0, 3000.0
#: Amounts of water, not of what is laid on the ground.
_POURED = ("l", "can")
FED = Doing("fed", "Fed", "in")


@answers("log_fed_mulched")
def log_fed_mulched(request: Request, ctx: Context) -> Reply:
    """Record what was given to a bed or crop: feed, manure, mulch, lime or water, with how much; each of several deeds told in a row."""
    deeds = _deeds(request, ctx)
    if len(deeds) > 1:
        replies = [log_fed_mulched(deed, ctx) for deed in deeds]
        unsettled = next((reply for reply in replies if not reply.events), None)
        if unsettled is not None:  # a question back, of which bed: asked once, of all the deeds
            return replace(unsettled, waiting=request if unsettled.waiting else None)
        whole = merge(replies)
        said = (*(reply.headline for reply in replies[1:]), *dict.fromkeys(line for reply in replies for line in reply.lines))
        return replace(whole, lines=said[:6], data={"log_fed_mulched": {"rows": [event.as_json() for event in whole.events]}})
    if ctx.facts.asking.ground.which.search(request.text):
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


def _deeds(request: Request, ctx: Context) -> list[Request]:
    """Return a request for each deed told in a row, "mulched and watered the leeks", with the words of that one: litres go to the watering, and no material."""
    asks = ctx.facts.asking.ground
    after = asks.deed_after.search(request.text)
    if after is not None and after["else"] and asks.deed.search(request.text, 0, after.start()):  # "fed the tomatoes and watered everything else"
        return [request.with_(text=request.text[:after.start()]), request.with_(text=after["deed"], crops=(), crop_choices=(), beds=(), materials=(), quantities=())]
    if after is not None and (first := asks.deed.search(request.text, 0, after.start())) is not None:  # "watered the leeks, then mulched"
        request = request.with_(text=f"{request.text[:first.start()]}{first[0]} and {after['deed']}{request.text[first.end():after.start()]}{after['rest']}")
    told = asks.deeds.search(request.text)
    verbs = list(dict.fromkeys(asks.deed.findall(told[0]))) if told else []
    if told is None or len(verbs) < 2:
        return [request]
    watering = any(asks.watered.search(verb) for verb in verbs)
    found = []
    for verb in verbs:
        wet = asks.watered.search(verb) is not None
        rest = request.text[told.end():]
        given = tuple(q for q in request.quantities if not watering or wet == (q.unit in _POURED))
        for other in request.quantities:
            rest = rest if other in given else rest.replace(other.words, "")
        found.append(request.with_(text=f"{request.text[:told.start()]}{verb}{rest.partition(' with ')[0] if wet else rest}",
                                   materials=() if wet else request.materials, quantities=given))
    return found


def _other_beds(request: Request, ctx: Context) -> Request | Reply:
    """Put the names of the plot's beds for "the other beds": all but the one told of before; asks which, where none was."""
    if OTHER_BEDS not in request.flags or request.crops or "negative" in request.flags:
        return request
    before = next((r.beds for r in ctx.memory.requests[-1:] if r.intent == request.intent), ())
    rest = tuple(bed for bed in ctx.plot.beds if bed in request.beds or bed not in before)
    several = bool(ctx.facts.asking.ground.several.search(request.text))
    if (request.beds or before) and (several or len(rest) < 2):
        return request.with_(beds=rest) if rest else Reply("There is no other bed, so I recorded nothing.")
    if request.beds:
        return request
    return ask("Which beds?" if several else "Which bed?", [], waiting=request.with_(flags=request.flags - {OTHER_BEDS}), wants="bed")


def _as_told(request: Request, ctx: Context) -> Request:
    """Return a record with the words that tell what was done: its own, or those of the record it goes on from ("and bed 4 too")."""
    last = ctx.memory.requests[-1] if ctx.memory.requests else None
    if request.materials or _tells(request, ctx) or last is None or last.intent != request.intent:
        return request
    before = next((r for r in reversed(ctx.memory.requests) if r.intent == request.intent and _tells(r, ctx)), None)
    return request if before is None else request.with_(text=before.text)


def _tells(request: Request, ctx: Context) -> bool:
    asks = ctx.facts.asking.ground
    return any(done.search(request.text) for done in (asks.watered, asks.limed, asks.manured, asks.composted, asks.mulched, asks.given))


def _for_the_heap(request: Request, ctx: Context) -> bool:
    """Tell whether a message lists a mix, "2 barrows of grass, 1 of paper", for no bed and not as done."""
    if request.beds or request.crops:
        return False
    asks = ctx.facts.asking.ground
    listed = len({item.material for item in heaped(request.text, material_words(ctx))})
    return listed > 1 and (bool(asks.for_heap.search(request.text)) or not asks.given.search(request.text))


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
    text, asks, mulch = request.text, ctx.facts.asking.ground, ctx.facts.tending.mulch
    named = tuple(mulch.shorter.get(m, m) for m in materials_of(request, ctx))
    if named and not (named == ("plant-feed",) and asks.watered.search(text) and amount is None):
        return named[0]
    if asks.limed.search(text):
        return "lime"
    if asks.manured.search(text):
        return "manure"
    if asks.composted.search(text):
        return "compost"
    if amount is not None and amount.unit in ("l", "can") or asks.watered.search(text) or request.method == "water":
        return "water"
    return "mulch" if asks.mulched.search(text) else None


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
    data: dict[str, object] = {"what": _what(material, told, ctx)}
    if material:
        data["material"] = material
    if litres is not None:
        data["litres"] = round(litres / several, 1)
    if kg is not None:
        data["kg"] = round(kg / several, 3)
    area = ctx.plot.beds[bed].area_m2 if bed in ctx.plot.beds else None
    deep = depth_in(request)
    solid = data["what"] == "mulched" and (ctx.facts.tending.mulch.has(material) or not ctx.facts.tending.feeds.liquid(material))
    if deep is not None and solid:
        data["depth_cm"] = round(deep, 1)
    elif solid and litres is not None and area and crop is None and litres / several / area >= 3:
        data["depth_cm"] = round(depth_of(litres / several, area), 1)
    if ctx.facts.asking.ground.raw.search(request.text) and material in MANURES:
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


def _what(material: str | None, text: str, ctx: Context) -> str:
    if material == "lime":
        return "limed"
    # "Fed with seaweed" and a spray of it are liquid feeds; laid on the ground it is a mulch.
    asks = ctx.facts.asking.ground
    laid = material in MANURES or ctx.facts.tending.mulch.has(material)
    liquid = material == "seaweed" and asks.sprayed.search(text) is not None
    return "mulched" if (laid and not liquid) or asks.mulched.search(text) else "fed"


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
    named = [ctx.facts.tending.mulch.shorter.get(m, m) for m in materials_of(request, ctx)]
    meant = next((m for m in named if m not in (old, "water")), None)
    if event.kind != "fed" or meant is None:
        return {}
    what = _what(meant, event.words, ctx)
    deep = {"depth_cm": None} if "depth_cm" in event.data and what != "mulched" else {}
    return {"material": meant, "what": what, **deep}
