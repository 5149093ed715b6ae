"""What a crop wants to do well: room in a pot, sun, soil, a partner, which kind to choose, how long it takes, how easy it is, a net.

Such questions are read as many things, so each request is held against the words of the table first (`needs_reply`).
"""

from __future__ import annotations

from bot.facts.crop import Crop
from bot.facts.needs import Ground, row_of
from bot.growing.light import needs_hours
from bot.growing.need_words import Topic, crops_of, ground_of, topic_of, words_in
from bot.handlers import Handler, handler_for
from bot.handlers.cold import is_many
from bot.handlers.context import Context
from bot.handlers.covers import netted
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.needs_saying import name_of, sentences
from bot.handlers.pots import any_pot, pots
from bot.handlers.raised_beds import raised_bed
from bot.handlers.suited import light_told, wished
from bot.handlers.time_taken import time_taken
from bot.handlers.young_plants import young_plants
from bot.preserving.matching import plain
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import listing, number

_MOST_OF_A_GROUP = 8
_TITLES: dict[Topic, str] = {"pots": "In pots", "sun": "Sun", "soil": "Soil", "partner": "Pollination", "kinds": "Which kind", "time": "How long", "ease": "How easy",
                             "net": "Nets"}


def needs_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer a request about what a crop wants to do well or what suits a wish; None when it is of something else."""
    told = ctx.memory.reply.data.get("needs", {}).get("topic") if ctx.memory.reply else None
    topic = topic_of(request, ctx.facts, told)
    if topic is None:
        return None
    asked_of = request.group
    request = request.with_(crops=crops_of(request, ctx.facts)) if not request.crop_choices else _alike(topic, request, ctx)
    reply = _answered(topic, request, ctx, which=asked_of is not None)
    return reply if reply is None or reply.waiting else reply.with_(data={"needs": {"topic": topic}, **reply.data})


def _alike(topic: Topic, request: Request, ctx: Context) -> Request:
    """Return a request of an ambiguous name ("cabbages") with those meant of which the same is told as of the first, so that none need be asked for."""
    tell = _TELL.get(topic)
    if tell is None or request.crops:
        return request
    if topic == "net":
        return request.with_(crops=request.crop_choices, crop_choices=(), group=ctx.say.crop(request.crop_choices[0]).split()[-1])
    said = {crop: tell(Request(request.intent, text=request.text, crops=(crop,)), ctx).headline.partition(": ")[2] for crop in request.crop_choices}
    same = [crop for crop in said if said[crop] == said[request.crop_choices[0]]]
    last = {ctx.say.crop(crop).split()[-1] for crop in same}
    if len(same) < 2 or len(last) > 1:
        return request
    return request.with_(crops=tuple(same), crop_choices=(), group=last.pop())


def _answered(topic: Topic, request: Request, ctx: Context, *, which: bool) -> Reply | None:
    """Answer on a topic; `which`: of a group of crops, so that it may be asked which of them do."""
    if topic == "raised":
        return raised_bed(request, ctx)
    if topic == "raising":
        return young_plants(request, ctx)
    if topic == "pots" and not (request.crops or request.crop_choices or request.unknown_crop) and words_in(ctx.facts.root).how_big.search(plain(request.text)):
        return any_pot(ctx)
    if topic == "wishes" or not (request.crops or request.crop_choices or request.unknown_crop):
        return wished(topic, request, ctx)
    tell = _TELL[topic]
    if which and len(request.crops) > 1 and topic in _FITS and (topic == "ease" or words_in(ctx.facts.root).list_asked.search(plain(request.text))):
        return _which_of(topic, request, ctx)
    if topic != "net" and (request.group or len(request.crops) > 1):
        return _several(topic, request, ctx, tell)
    return tell(request, ctx)


def _several(topic: Topic, request: Request, ctx: Context, tell: Handler) -> Reply:
    """Answer for several crops: once where one line is of them all, else each by itself."""
    crops = request.crops[:_MOST_OF_A_GROUP]
    heads = {tell(request.with_(crops=(crop,), group=None), ctx).headline.partition(": ")[2] for crop in crops}
    if len(heads) == 1:
        return tell(request.with_(crops=crops[:1]), ctx)
    return one_by_one(request.with_(crops=crops), ctx, tell, topic, _TITLES[topic])


def _which_of(topic: Topic, request: Request, ctx: Context) -> Reply:
    """Tell which crops of a group do ("which herbs grow in shade")."""
    fits = {crop: _FITS[topic](crop, request, ctx) for crop in request.crops}
    good = [ctx.say.crop(crop) for crop, fit in fits.items() if fit]
    poor = [ctx.say.crop(crop) for crop, fit in fits.items() if fit is False]
    does, less = ("are easiest", "Less easy:") if topic == "ease" else ("will do", "Not")
    head = f"Of {request.group}, {listing(good[:_MOST_OF_A_GROUP])} {does}." if good else f"None of the {request.group} I know of {does}."
    return Reply(head, lines=(f"{less} {listing(poor[:_MOST_OF_A_GROUP])}.",) if poor else (), sources=cited(ctx.facts.needs.sun if topic == "sun" else ctx.facts.needs.soils, *ctx.facts.needs.pots.pots[:1]),
                 data={"suited": {"list": topic, "crops": [crop for crop, fit in fits.items() if fit]}})


def _pot_does(crop: str, request: Request, ctx: Context) -> bool | None:
    row = row_of(ctx.facts.needs.pots.pots, crop)
    box = words_in(ctx.facts.root).window_box.search(plain(request.text))
    return None if row is None else row.will == "well" and (not box or row.deep_cm[0] <= ctx.facts.needs.pots.general.box_cm[1])


def _light_does(crop: str, request: Request, ctx: Context) -> bool | None:
    hours, told = _hours(ctx.facts.crops[crop], ctx), light_told(request, ctx)
    return None if hours is None or told is None else told[1] + ctx.facts.growing.number("light.grace_hours") >= hours


def _ground_does(crop: str, request: Request, ctx: Context) -> bool | None:
    row, ground = row_of(ctx.facts.needs.soils.rows, crop), ground_of(plain(request.text), words_in(ctx.facts.root))
    said = row.on(ground) if row and ground else None  # type: ignore[arg-type]
    return said.startswith("yes") if said else None


def _easy(crop: str, _request: Request, ctx: Context) -> bool | None:
    row = row_of(ctx.facts.needs.suited.ease, crop)
    return row.ease == "easy" if row else None


def _hours(crop: Crop, ctx: Context) -> float | None:
    """Return the hours of sun a crop wants, by its own file or by the table; None where neither tells."""
    if crop.light is not None and crop.light.sun_hours is not None:
        return needs_hours(crop, ctx.facts)
    row = row_of(ctx.facts.needs.sun.hours, crop.id)
    return row.sun if row else None


# --- sun -----------------------------------------------------------------------------------------------------------


def _sun(request: Request, ctx: Context) -> Reply:
    crop = which_crop(request, ctx, "Which crop's sun do you want to know?", "how much sun for")
    if isinstance(crop, Reply):
        return crop
    room, name, many = ctx.facts.needs.sun, name_of(request, crop, ctx), is_many(crop, ctx.say.words)
    row = row_of(room.hours, crop.id)
    hours, own = _hours(crop, ctx), row is None
    if hours is None:
        return Reply(f"{name}: I hold no figure for the sun they want; {room.unknown}.", sources=cited(room), data={"sun": {"crop": crop.id, "hours": None}})
    shade = crop.light.shade if own and crop.light else row.shade if row else None
    here = light_told(request, ctx)
    wants = f"about {number(hours, 0.5)} hours of direct sun a day"
    kind = room.shades[shade] if shade else None
    if here is None:
        head = f"{name}: {wants}."
    else:
        says, told = here
        grace = ctx.facts.growing.number("light.grace_hours")
        verdict = "yes" if told >= hours else "just about" if told + grace >= hours else "in half shade, but not in deep shade" if says == "shade" and shade == "part-shade" else "no"
        head = f"{name}: {verdict}, {'they want' if many or request.group else 'it wants'} {wants}, and {says} is about {number(told, 0.5)}."
    return Reply(head, lines=sentences([kind, row.why if row else None], ctx), sources=cited(crop.light if own else None, row, room), choices=(Choice("What grows in shade?", "what grows in shade"),),
                 data={"sun": {"crop": crop.id, "hours": hours, "shade": shade, "told": here[1] if here else None}})


# --- soil ----------------------------------------------------------------------------------------------------------


def _soil(request: Request, ctx: Context) -> Reply:
    crop = which_crop(request, ctx, "Which crop's soil do you want to know?", "what soil for")
    if isinstance(crop, Reply):
        return crop
    room, words, flat = ctx.facts.needs.soils, words_in(ctx.facts.root), plain(request.text)
    row, name = row_of(room.rows, crop.id), name_of(request, crop, ctx)
    ground: Ground | None = ground_of(flat, words)  # type: ignore[assignment]
    if row is None:
        return Reply(f"{name}: I hold no note on the soil they want; {room.unknown}.", lines=sentences([room.grounds[ground].say], ctx) if ground else (),
                     sources=cited(room), data={"soil": {"crop": crop.id, "known": False}})
    span = f"pH {row.ph[0]:g} to {row.ph[1]:g}" if row.ph else None
    told = words.ph_told.search(flat) if words.ph.search(flat) or ground == "acid" else None
    if told and row.ph:
        ph = float(told["n"].replace(",", "."))
        verdict = "yes, that suits them" if row.ph[0] <= ph <= row.ph[1] else "too sour for them as it is; lime it in autumn" if ph < row.ph[0] else "too limy for them"
        parts: list[str | None] = [f"at pH {ph:g}, {verdict}: they want {span}", f"They like {row.say}"]
    elif ground is not None:
        on = row.on(ground)
        parts = [on or f"nothing is told against {room.grounds[ground].says} for them", f"They like {row.say}{', ' + span if span else ''}", None if on else room.grounds[ground].say]
    elif words.ph.search(flat) and span:
        parts = [span, f"They like {row.say}"]
    else:
        parts = [f"{row.say}{', ' + span if span else ''}", *(f"On {room.grounds[g].says}: {on}" for g in room.grounds if (on := row.on(g)))]
    return Reply(f"{name}: {ctx.say.prose(parts[0] or '').rstrip('.')}.", lines=sentences(parts[1:], ctx), sources=cited(row, room),
                 choices=(Choice("Feeding", f"how do I feed {ctx.say.crop(crop.id)}"),), data={"soil": {"crop": crop.id, "known": True, "ph": list(row.ph) if row.ph else None}})


# --- partners ------------------------------------------------------------------------------------------------------


def _partner(request: Request, ctx: Context) -> Reply:
    crop = which_crop(request, ctx, "Which crop's pollination do you want to know?", "pollination of")
    if isinstance(crop, Reply):
        return crop
    room, words, flat, name = ctx.facts.needs.partners, words_in(ctx.facts.root), plain(request.text), name_of(request, crop, ctx)
    row, worth = row_of(room.rows, crop.id), ctx.facts.growing.worth.get(crop.id)
    if row is None:
        said = room.by_kind.get(worth.kind if worth else "")
        return Reply(f"{name}: {said or 'I hold no note on how they are pollinated'}.", sources=cited(room) if said else (), data={"partner": {"crop": crop.id, "alone": "yes" if said else None}})
    by_hand = row.hand if words.by_hand.search(flat) else None
    parts = [by_hand, row.first, *row.say] if by_hand else [row.first, *row.say, row.hand]
    first = ctx.say.prose(parts[0] or "").rstrip(".")
    return Reply(f"{name}: {first[:1].lower() + first[1:]}.", lines=sentences(parts[1:], ctx), sources=cited(row), data={"partner": {"crop": crop.id, "alone": row.alone}})


# --- kinds ---------------------------------------------------------------------------------------------------------


def _kinds(request: Request, ctx: Context) -> Reply:
    crop = which_crop(request, ctx, "Which crop do you want to choose a kind of?", "which kind of")
    if isinstance(crop, Reply):
        return crop
    room, words, flat, name = ctx.facts.needs.kinds, words_in(ctx.facts.root), plain(request.text), name_of(request, crop, ctx)
    row = row_of(room.rows, crop.id)
    if row is None:
        return Reply(f"{name}: {room.any}", sources=cited(room), data={"kinds": {"crop": crop.id, "trait": None}})
    asked = [trait for trait, said in words.traits.items() if said.search(flat)]
    known = [trait for trait in asked if trait in row.traits]
    parts = [*(row.traits[trait] for trait in known), *row.say]
    lines = [*parts[1:], "I name no varieties: seed lists change, and what does well differs from place to place." if asked else None]
    return Reply(f"{name}: {ctx.say.prose(parts[0]).rstrip('.')}.", lines=sentences(lines, ctx), sources=cited(row), data={"kinds": {"crop": crop.id, "trait": known[0] if known else None}})


# --- how easy, and nets --------------------------------------------------------------------------------------------


def _ease(request: Request, ctx: Context) -> Reply:
    crop = which_crop(request, ctx, "Which crop do you mean?", "is it easy to grow")
    if isinstance(crop, Reply):
        return crop
    row, name = row_of(ctx.facts.needs.suited.ease, crop.id), name_of(request, crop, ctx)
    if row is None:
        return handler_for("crop_info")(request.with_(intent="crop_info", crops=(crop.id,)), ctx)
    verdict = {"easy": "easy", "fair": "neither easy nor hard", "hard": "on the hard side"}[row.ease]
    tips = [*crop.growing_well[:3]]
    choices = (Choice("What is easy?", "what is easy for a beginner"),) if row.ease == "hard" else (Choice("When to sow", f"when do I sow {ctx.say.crop(crop.id)}"),)
    return Reply(f"{name}: {verdict}; {row.why}.", lines=sentences(tips, ctx), sources=cited(row), choices=choices, data={"ease": {"crop": crop.id, "ease": row.ease}})


def _net(request: Request, ctx: Context) -> Reply:
    if not words_in(ctx.facts.root).plainly_net.search(plain(request.text)) and request.intent == "frost_tonight":
        cold = handler_for("frost_tonight")(request, ctx)
        if ctx.season is None or cold.choices:  # a frost may come: that is what the cover is for
            return cold
    crop = which_crop(request, ctx, "Which crop do you want to net?", "should I net")
    return crop if isinstance(crop, Reply) else netted(request.with_(crops=request.crops or (crop.id,)), ctx)


_FITS = {"pots": _pot_does, "sun": _light_does, "soil": _ground_does, "ease": _easy}
_TELL: dict[Topic, Handler] = {"pots": pots, "sun": _sun, "soil": _soil, "partner": _partner, "kinds": _kinds, "time": time_taken, "ease": _ease, "net": _net}
