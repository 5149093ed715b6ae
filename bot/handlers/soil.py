"""Manure, compost, wood chip and other mulches: how much for this bed, when, and what to mind."""

from __future__ import annotations

from bot.facts.tending_ground import MulchKind
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.green_manures import green_manures
from bot.handlers.ground_words import (
    Ground,
    bags,
    chain,
    depth_in,
    ground_of,
    hazards,
    load_range,
    material_words,
    materials_of,
    measure_l,
    topic_lines,
    topic_reply,
    units,
)
from bot.handlers.manuring import MANURES, fresh_reply, last_fed, manure_reply, no_manure, which_bed
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.materials import heaped, kg_of, litres_of
from bot.tending.soil import depth_of, litres_for
from bot.tending.topics import best
from bot.wording import capital, number, small


@answers("mulch")
def mulch(request: Request, ctx: Context) -> Reply:
    """Say how much manure, compost, chip or other mulch a bed takes, when it goes on and what to mind."""
    asks = ctx.facts.asking.ground
    if asks.green_manure.search(request.text):
        return green_manures(request, ctx)
    room = ctx.facts.tending
    request = _of_what(request, ctx)
    materials = materials_of(request, ctx)
    topic = best(request.text, [*room.manure.topics, *room.mulch.topics])
    fresh = bool(asks.fresh.search(request.text)) and not asks.rotted.search(request.text)
    manured = [m for m in materials if m in MANURES]
    if "mushroom-compost" in materials or manured:
        no = no_manure(request.crop, ctx)
        if no is not None:
            return no
    if topic is not None and topic.id == "weedkiller-test":
        return topic_reply(topic, "mulch", ctx)
    if fresh and (manured or not materials):
        return fresh_reply(request, ctx, manured[0] if manured else "manure")
    if topic is not None and topic.id in ("which-bed", "measure-own", "winter-cover"):
        return which_bed(request, ctx, topic) if topic.id == "which-bed" else topic_reply(topic, "mulch", ctx)
    if manured and depth_in(request) is None:
        reply = manure_reply(request, ctx, manured[0]) or _mulch(request, ctx, materials)
    else:
        reply = _mulch(request, ctx, materials)
    if topic is not None:
        said = topic_lines(topic, ctx)
        amounts = (reply.headline,) if ground_of(request, ctx).whole else ()
        return reply.with_(
            headline=said[0],
            lines=(*said[1:], *amounts),
            more=(*(() if amounts else (reply.headline,)), *reply.lines),
            sources=chain(topic.source, reply.sources),
        )
    return reply


def _of_what(request: Request, ctx: Context) -> Request:
    """Put the stuff just asked about in place of "it": "can I dig it in afterwards" after wood chip."""
    last, it = ctx.memory.requests[-1] if ctx.memory.requests else None, ctx.facts.asking.ground.pointed
    if last is None or last.intent != "mulch" or materials_of(request, ctx) or not it.search(request.text):
        return request
    known = materials_of(last, ctx)[:1]
    return request.with_(materials=known, text=it.sub(known[0].replace("-", " "), request.text, count=1)) if known else request


def _mulch(request: Request, ctx: Context, materials: tuple[str, ...]) -> Reply:
    """Answer for a mulch by depth over the bed."""
    room, ground = ctx.facts.tending, ground_of(request, ctx)
    kind = _kind(request, ctx, materials, ground)
    deep = depth_in(request)
    low, high = (deep, deep) if deep else kind.depth_cm
    name = kind.said(ctx.say.words)
    weight = room.mulch.weights.get(materials[0] if materials else kind.materials[0]) or room.mulch.weights.get(
        kind.materials[0]
    )
    a, b = litres_for(ground.area_m2, low), litres_for(ground.area_m2, high)
    have = _have(request, ctx)
    barrow = measure_l(room.measure("barrow"), ctx)
    middle = a if deep else (a + b) / 2
    working = [
        f"{number((low + high) / 2 if not deep else low, 0.1)} cm x 10 x "
        f"{number(ground.area_m2, 0.1)} m² = {number(middle, 1)} l; "
        f"{number(middle, 1)} l / {number(barrow, 1)} l = {number(middle / barrow, 0.1)} barrows."
    ]
    if have is not None:
        depth = depth_of(have, ground.area_m2)
        head = f"That makes {ctx.say.length(depth)} over {ground.name}."
        usual = load_range(
            litres_for(ground.area_m2, kind.depth_cm[0]), litres_for(ground.area_m2, kind.depth_cm[1]), ctx
        )
        lines = [f"{capital(name)} goes on {ctx.say.length(*kind.depth_cm)} deep, {usual}."]
        working = [f"{number(have, 1)} l / (10 x {number(ground.area_m2, 0.1)} m²) = {number(depth, 0.1)} cm."]
    elif kind.id == "cardboard" or kind.id == "membrane":
        head = f"{capital(name)}: {small(units(kind.say[0], ctx))}"
        lines = [f"When: {kind.when}."]
        return Reply(
            head,
            lines=tuple(lines + [units(x, ctx) for x in kind.say[1:]]),
            sources=tuple(kind.source),
            data={"mulch": {"material": kind.id}},
        )
    else:
        span = ctx.say.length(low, high)
        amount = load_range(a, b, ctx)
        where = (
            f"for {ground.name}" if ground.whole else f"for each {ctx.say.pick('square metre', 'square yard or so')}"
        )
        head = f"{capital(name)}, {span} deep: {amount} {where}."
        lines = [
            f"That is {ctx.say.bulk(a)}{'' if a == b else f' to {ctx.say.bulk(b)}'}, or "
            f"{bags(middle, ctx)} for the middle of it."
            + (f" Weight about {ctx.say.mass(round(middle * weight))}." if weight and ground.whole else "")
        ]
    when, asks = room.mulch.when_for.get(kind.id, {}).get(request.crop or "", kind.when), ctx.facts.asking.ground
    if have is None and asks.when.search(request.text) and not asks.how_much.search(request.text):
        head, lines = f"{capital(name)}: {when}.", [head, *lines]
    else:
        lines.append(f"When: {when.removeprefix('when ')}.")
        if have is None and materials and asks.may_go.search(request.text) and not asks.how_much.search(request.text):
            head = f"Yes: {small(head)}"
    lines += [units(x, ctx) for x in kind.say]
    if kind.avoid:
        lines.append(units(kind.avoid, ctx))
    last = last_fed(ground, ctx)
    lines += [last] if last else []
    if weight:
        size = room.measure("barrow")
        working.append(f"Weight reckoned at {weight:g} kg per litre. {size.say if size else ''}")
    return Reply(
        head,
        lines=tuple(lines[:8]),
        working=tuple(w for w in working if w),
        sources=tuple(kind.source),
        cautions=hazards([h for h in kind.hazards if h in ("legionella", "arsenic-wood", "aspergillus")], ctx)[:1],
        choices=(Choice("How deep on paths?", "wood chip on paths"),) if kind.use == "fruit" else (),
        data={
            "mulch": {
                "material": kind.id,
                "area_m2": ground.area_m2,
                "depth_cm": [low, high],
                "litres": [round(a, 1), round(b, 1)],
                "barrows": [round(a / barrow, 2), round(b / barrow, 2)],
                "bed": ground.bed.id if ground.bed else None,
            }
        },
    )


def _kind(request: Request, ctx: Context, materials: tuple[str, ...], ground: Ground) -> MulchKind:
    """Return the mulch meant: by its material and the ground, by the crop, or garden compost."""
    kinds, asks = ctx.facts.tending.mulch.kinds, ctx.facts.asking.ground
    named = ctx.facts.tending.mulch.like.get(materials[0], materials[0]) if materials else None
    fits = [k for k in kinds if named in k.materials] if named else []
    if not fits and request.crop:
        wanted = ctx.facts.tending.mulch.for_crops.get(request.crop)
        fits = [k for k in kinds if k.id == wanted]
    if asks.path.search(request.text):
        fits = (
            [k for k in fits if k.use == "path"] or [k for k in kinds if k.id == "wood-chip-path"]
            if named in (None, "wood-chip", "sawdust")
            else fits
        )
    elif asks.new_bed.search(request.text) and named in (None, "compost", "cardboard"):
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
