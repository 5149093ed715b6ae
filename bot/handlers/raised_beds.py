"""Raised beds: how deep they must be, and what and how much to fill them with."""

from __future__ import annotations

from bot.facts.needs import row_of
from bot.growing.need_words import words_in
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.preserving.matching import plain
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, listing, number

_NAMED = 10


def raised_bed(request: Request, ctx: Context) -> Reply:
    """Tell how deep a raised bed must be, for a crop or in general, or what it is filled with and how much of it that takes."""
    words, flat = words_in(ctx.facts.root), plain(request.text)
    told = request.amount("m")
    if request.intent == "fits_bed" and told is not None:
        return _shallow(told.value * 100, ctx)
    fills = words.raised_fill.search(flat) and not words.raised_deep.search(flat)
    return _filling(request, ctx) if fills else _depth(request, ctx, hard=bool(words.hard_ground.search(flat)))


def _depth(request: Request, ctx: Context, *, hard: bool) -> Reply:
    beds, say = ctx.facts.needs.raised_beds, ctx.say
    ground = [say.prose(beds.on_hard), say.prose(beds.on_soil)] if hard else [say.prose(beds.on_soil), say.prose(beds.on_hard)]
    row = row_of(ctx.facts.needs.pots.pots, request.crop) if request.crop else None
    if row is not None and request.crop:
        head = f"{capital(say.crop(request.crop))}: {say.length(*row.deep_cm)} of soil they can root in."
        return Reply(head, lines=tuple(ground), sources=cited(row, beds), data={"raised_bed": {"crop": request.crop, "deep_cm": list(row.deep_cm)}})
    least = beds.hard_cm if hard else beds.open_cm
    usual = f"{say.length(*least)} on {'a hard surface' if hard else 'open ground'}"
    lines = [*ground, *(f"{capital(each.says)}: {say.length(*each.cm)} of soil in all." for each in beds.depths)]
    return Reply(f"A raised bed: {usual}.", lines=tuple(lines), sources=cited(beds), data={"raised_bed": {"crop": None, "deep_cm": list(least)}})


def _shallow(cm: float, ctx: Context) -> Reply:
    """Tell which crops so little soil carries, the most worthwhile first."""
    worth = ctx.facts.growing.worth
    rows = [row for row in ctx.facts.needs.pots.pots if row.deep_cm[0] <= cm and row.will != "poor"]
    crops = sorted((crop for row in rows for crop in row.crops if crop in worth), key=lambda crop: -worth[crop].worth)
    names, deep = [ctx.say.crop(crop) for crop in crops[:_NAMED]], ctx.say.length(cm)
    head = f"In {deep} of soil: {listing(names)}." if names else f"{capital(deep)} of soil is too little for any crop I know of."
    return Reply(head, lines=("It dries fast, so water often; open to the ground below it carries nearly anything.",), sources=cited(*rows[:3]),
                 data={"raised_bed": {"deep_cm": [cm, cm], "crops": crops}})


def _filling(request: Request, ctx: Context) -> Reply:
    beds, say = ctx.facts.needs.raised_beds, ctx.say
    lines = [say.prose(line) for line in beds.ground]
    bed = ctx.plot.beds.get(request.bed or "")
    size = request.size_m or ((bed.length_m, bed.width_m) if bed is not None and bed.length_m and bed.width_m else None)
    litres = None
    if size:
        told = request.amount("m")
        deep_m = told.value if told is not None and told.value < min(size) else beds.usual_cm / 100
        litres = size[0] * size[1] * deep_m * 1000
        most, least = (litres * share for share in beds.share)
        lines.insert(0, f"{say.bed_size(*size)}, {say.length(deep_m * 100)} deep: about {say.volume(round(litres, -1))}, of which compost {number(least, 10)} to {number(most, 10)} litres."
                     if not say.us else f"{say.bed_size(*size)}, {say.length(deep_m * 100)} deep: about {say.volume(litres)}, of which compost {say.volume(least)} to {say.volume(most)}.")
    return Reply(f"Fill a raised bed with {beds.fill}.", lines=tuple(lines), sources=cited(beds), data={"raised_bed": {"litres": litres, "share": list(beds.share)}})
