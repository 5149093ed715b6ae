"""What grows in pots, troughs and window boxes, and how big they must be.

The reader has no intent of this: "will chives do in window boxes" comes as a card, a keeping or what fits. So such requests are held against the words
of the table before their own handlers are asked.
"""

from __future__ import annotations

from bot.facts.growing import ContainerSize
from bot.handlers.context import Context
from bot.handlers.ground_words import units
from bot.preserving.matching import plain
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.support_words import crop_named
from bot.wording import capital, listing

_CARE = "Potting compost and not garden soil, with holes below; water daily in summer and feed every week."
_SOURCES = ("umn-containers",)
#: A box on a sill is no deeper than this.
_BOX_CM = 20.0
_NAMED = 10


def container_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer whether a crop grows in a pot or box, and in how big a one, or what does; None when that is not asked."""
    words = ctx.facts.asking.sowing
    if request.intent not in words.container_read_as or not words.container.search(request.text) or words.container_otherwise.search(request.text):
        return None
    own = () if "crops" in request.inherited or request.group else request.crops
    crops = own or crop_named(plain(request.text), set(ctx.facts.crops), ctx.facts)
    boxed = words.shallow.search(request.text) is not None
    if not crops:
        return _what_does(boxed, ctx) if request.intent in ("sow_now", "fits_bed", "none") else None
    return _of_crop(crops[0], boxed, ctx)


def _of_crop(crop: str, boxed: bool, ctx: Context) -> Reply:
    name, row = ctx.say.crop(crop), next((size for size in ctx.facts.growing.containers if crop in size.crops), None)
    choices = (Choice("When to sow", f"when do I sow {name}", "when_sow"),)
    if row is None:
        return Reply(f"I hold no published pot size for {name}.", lines=("The deeper and wider the pot the better; most vegetables want 20 to 30 cm.", _CARE),
                     sources=("umd-containers", *_SOURCES), choices=choices, data={"containers": {"crop": crop}})
    if boxed and row.depth_cm[0] > _BOX_CM:
        head = f"Not in so shallow a box: for {name} take a pot {_size(row, ctx)}."
    elif boxed:
        head = f"Yes, {name} will do well in a box or basket with {_deep(row, ctx)} of compost."
    else:
        head = f"Yes, {name} will grow in a pot {_size(row, ctx)}."
    return Reply(head, lines=(ctx.say.prose(row.say), _CARE), sources=(*row.source, *_SOURCES), choices=choices,
                 data={"containers": {"crop": crop, "litres": list(row.litres), "depth_cm": list(row.depth_cm)}})


def _what_does(boxed: bool, ctx: Context) -> Reply:
    """Say what does in pots, the smallest first, or in a box alone."""
    rows = [row for row in ctx.facts.growing.containers if not boxed or row.depth_cm[0] <= _BOX_CM and row.depth_cm[1] <= _BOX_CM]
    said = [f"{capital(listing([ctx.say.crop(crop) for crop in row.crops[:_NAMED]]))}: a pot {_size(row, ctx)}." for row in rows]
    head = f"In a box or basket: {listing([ctx.say.crop(crop) for row in rows for crop in row.crops[:_NAMED]])}." if boxed else "Nearly anything, if the pot is big enough."
    return Reply(head, lines=(*(() if boxed else said), _CARE), sources=tuple(dict.fromkeys(s for row in rows for s in (*row.source, *_SOURCES))),
                 choices=(Choice("What can I sow now", "what can I sow now", "sow_now"),), data={"containers": {"sizes": [row.id for row in rows]}})


def _size(row: ContainerSize, ctx: Context) -> str:
    return f"of {units(f'{row.litres[0]:g} to {row.litres[1]:g} l', ctx)}, {_deep(row, ctx)} deep"


def _deep(row: ContainerSize, ctx: Context) -> str:
    low, high = row.depth_cm
    return ctx.say.length(low) if low == high else ctx.say.prose(f"{low:g}-{high:g} cm")
