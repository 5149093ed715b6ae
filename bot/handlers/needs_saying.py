"""How the answers about a crop's needs are worded: its name, and sentences of the tables in the plot's units."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.facts.crop import Crop
from bot.handlers.context import Context
from bot.request import Request
from bot.wording import capital

_LITRES = re.compile(r"(?:(\d+)(?:-| to ))?(\d+) litres")


def name_of(request: Request, crop: Crop, ctx: Context) -> str:
    """Return what a crop, or the group asked about, is called at the head of an answer."""
    return capital(request.group if request.group else ctx.say.crop(crop.id))


def in_units_of(text: str, ctx: Context) -> str:
    """Return a sentence in the plot's words and units, litres too."""
    return _LITRES.sub(lambda m: ctx.say.volume(float(m[2])) if m[1] is None else f"{ctx.say.volume(float(m[1]))} to {ctx.say.volume(float(m[2]))}", ctx.say.prose(text)) if ctx.say.us else ctx.say.prose(text)


def sentences(lines: Sequence[str | None], ctx: Context) -> tuple[str, ...]:
    """Return the lines there are, each as a sentence in the plot's units."""
    return tuple(f"{capital(in_units_of(line, ctx)).rstrip('.')}." for line in lines if line)
