"""Growing in pots, grow bags and window boxes: how much room a crop wants, and whether the pot told of is enough."""

from __future__ import annotations

from bot.facts.needs import Pot, row_of
from bot.growing.need_words import words_in
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, which_crop
from bot.handlers.needs_saying import in_units_of, name_of, sentences
from bot.preserving.matching import plain
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital

_L_PER_US_GALLON = 3.785


def any_pot(ctx: Context) -> Reply:
    """Say how big a pot is wanted where no crop is named."""
    general = ctx.facts.needs.pots.general
    return Reply(f"For most crops {ctx.say.length(*general.any_cm)} deep and as wide; {general.sizes}.",
                 lines=sentences(["Tell me the crop and I can say more", general.mix, general.water, general.feed], ctx), sources=cited(general), data={"pots": {"crop": None}})


def pots(request: Request, ctx: Context) -> Reply:
    """Say how big a pot a crop wants, how many go in, or whether one will do."""
    crop = which_crop(request, ctx, "Which crop do you want to grow in a pot?", "what size of pot for")
    if isinstance(crop, Reply):
        return crop
    words, flat, room = words_in(ctx.facts.root), plain(request.text), ctx.facts.needs.pots
    row, general, name = row_of(room.pots, crop.id), room.general, name_of(request, crop, ctx)
    deep = ctx.say.length(*(row.deep_cm if row else general.any_cm))
    if row is None:
        return Reply(f"{name}: I hold no figure for them in pots; {deep} deep and wide carries most crops.", lines=sentences([general.mix, general.water, general.feed], ctx),
                     sources=cited(general), data={"pots": {"crop": crop.id, "known": False}})
    holds = f"{ctx.say.volume(row.litres[0])} at least, better {ctx.say.volume(row.litres[1])}" if row.litres[0] < row.litres[1] else ctx.say.volume(row.litres[0])
    wide = f" and {ctx.say.length(*row.wide_cm)} wide" if row.wide_cm else ""
    size = f"{deep} deep{wide}, holding {holds}"
    plants = f"{capital(row.plants)}."
    bag = f"a grow bag takes {row.bag}" if row.bag else None
    kinds, say = row.kinds, list(row.say)
    parts: list[str | None]
    if words.grow_bag.search(flat):
        parts = [bag or f"{row.plants}; {general.on_end}", general.bag, f"In pots: {size}. {plants}", kinds, *say, general.feed]
    elif words.which_kinds.search(flat) and kinds:
        parts = [kinds, f"The pot: {size}", plants, *say, general.feed]
    elif words.how_many.search(flat):
        parts = [row.plants, f"The pot: {size}", bag, kinds, *say, general.water]
    elif words.to_feed.search(flat) or words.to_water.search(flat):
        first = general.feed if words.to_feed.search(flat) else general.water
        parts = [first, general.water if first is general.feed else general.feed, f"The pot: {size}", plants, *say]
    else:
        verdict = _fits(row, request, ctx) or _box(row, flat, ctx) or ("" if words.how_big.search(flat) and not flat.startswith(("can", "will")) else
                                                                       {"well": "yes, ", "fair": "yes, with care: ", "poor": "they can, but a bed is better: "}[row.will])
        parts = [f"{verdict}{size}", plants, kinds, *say, general.mix, general.water, general.feed]
    lines = sentences(parts[1:], ctx)
    first_line = in_units_of(parts[0] or "", ctx).rstrip(".")
    return Reply(f"{name}: {first_line}.", lines=lines, sources=cited(row, general),
                 data={"pots": {"crop": crop.id, "known": True, "litres": list(row.litres), "deep_cm": list(row.deep_cm), "will": row.will}})


def _fits(row: Pot, request: Request, ctx: Context) -> str | None:
    """Say whether the pot told of is big enough, by its litres or its depth."""
    general = ctx.facts.needs.pots.general
    enough, told = general.enough, words_in(ctx.facts.root).litres.search(plain(request.text))
    if told:
        litres = float(told["n"].replace(",", ".")) * (_L_PER_US_GALLON if told["unit"].startswith("gal") else 1)
        verdict = "too small: " if litres < row.litres[0] * enough else "big enough, bigger is better: " if litres < row.litres[1] else "big enough: "
        return f"{told[0]} is {verdict}"
    depth = request.amount("m")
    if depth is None or depth.value > general.deepest_m:
        return None
    cm, at = depth.value * 100, depth.words or ctx.say.length(depth.value * 100)
    return f"{at} is {'too shallow' if cm < row.deep_cm[0] * enough else 'just enough' if cm < row.deep_cm[1] else 'deep enough'}: "


def _box(row: Pot, flat: str, ctx: Context) -> str | None:
    """Say whether a window box will do."""
    if not words_in(ctx.facts.root).window_box.search(flat):
        return None
    box = ctx.facts.needs.pots.general.box_cm
    if row.deep_cm[0] <= box[0]:
        return "yes, a window box does: "
    return "yes, in a deep window box: " if row.deep_cm[0] <= box[1] else f"no, a window box is too shallow at {ctx.say.length(*box)}: "
