"""What the preserving handlers share: asking for the height, and figures keyed by intent."""

from __future__ import annotations

import re

from bot.facts.crop import Crop
from bot.handlers.context import Context
from bot.preserving.altitude import height_of
from bot.preserving.matching import find, keep_words, plain
from bot.reply import Reply, ask
from bot.request import Request


def keyed(intent: str, reply: Reply) -> Reply:
    """Return the reply with its figures under the intent's name, and the words asked so far kept."""
    reply = keep_words(reply)
    return reply.with_(data={intent: reply.data}) if reply.data else reply


def ask_height(request: Request, ctx: Context, why: str = "") -> Reply:
    """Ask how high above the sea the kitchen is: safe times depend on it."""
    if ctx.say.us:
        heights = [
            ("1,000 ft or lower", "at 1,000 ft"),
            ("About 3,000 ft", "at 3,000 ft"),
            ("About 6,000 ft", "at 6,000 ft"),
        ]
    else:
        heights = [("Up to 300 m", "at 300 m"), ("About 900 m", "at 900 m"), ("About 1,800 m", "at 1,800 m")]
    return ask(
        "How high above the sea is your kitchen?",
        heights,
        waiting=request,
        wants="quantity",
        lines=[
            why or "Times and pressures rise with height, so I give none until I know it.",
            "Set your place once and I will always know.",
        ],
    )


def of_its_own(request: Request, ctx: Context) -> Request:
    """Return a request without the crop it took from the talk before, where its own words name another.

    A time for one crop must never be given for another: "can I can squash" after beans asks of squash.
    """
    text, words = plain(request.text), ctx.facts.preserving.words
    if "crops" not in request.inherited or find(text, (*words.leaning, *words.pointing)):
        return request
    named = tuple(c.id for c in ctx.facts.crops.values() if find(text, _names(c)))
    if not named or set(named) & set(request.crops):
        return request
    own = {"crops": named, "crop_choices": ()} if len(named) == 1 else {"crops": (), "crop_choices": named}
    return request.with_(**own, inherited=tuple(name for name in request.inherited if name != "crops"))


def _names(crop: Crop) -> tuple[str, ...]:
    return tuple(re.escape(plain(form)) for name in crop.names for form in (name.name, name.plural) if form)


def usable_height(request: Request, ctx: Context) -> float | None:
    """Return the height in metres, 0 when a little below the sea, None when unknown or not of this world."""
    metres = height_of(request, ctx.plot)
    if metres is None or metres > 5500 or metres < -450 or metres != metres:
        return None
    return max(0.0, metres)
