"""Frost and the blossom of fruit, which feels the cold long before the plant does."""

from __future__ import annotations

import re

from bot.facts.crop import Crop
from bot.handlers.cold import cold_of
from bot.handlers.context import Context
from bot.request import Request
from bot.wording import capital

BLOSSOM = re.compile(r"\b(?:blossom(?:s|ed|ing)?|bloom(?:s|ed|ing)?|flower(?:s|ed|ing)?|buds?)\b", re.IGNORECASE)
_FROSTY = re.compile(r"^(?!.*\bwinter).*\b(?:frost\w*|freez\w*|cold (?:night|snap)s?)\b", re.IGNORECASE)

#: Where the advice on covering blossom was read.
SOURCES = ("ksu-apricot-peach-frost", "ksu-fruit-bud-damage", "common-practice")


def in_flower(crop: Crop, request: Request, ctx: Context, *, frosty: bool = False) -> bool:
    """Tell whether the blossom is what is asked about: it is named, or a frost at the time when fruit flowers.

    `frosty` tells that it is a frost whatever the words.
    """
    if cold_of(crop, ctx.facts).blossom is None:
        return False
    if BLOSSOM.search(request.text):
        return True
    if "fruit" not in crop.use or not (frosty or _FROSTY.search(f"{request.extra.get('message', '')} {request.text}")):
        return False
    month = (request.when.start if request.when else ctx.today).month
    number = ctx.facts.growing.number
    northern = (month + 5) % 12 + 1 if ctx.season is not None and ctx.season.southern else month
    return number("blossom.first_month") <= northern <= number("blossom.last_month")


def blossom_stands(crop: Crop, ctx: Context) -> str:
    """Say from when blossom is hurt, as a clause: 'open plum blossom is hurt from about -2 °C and mostly lost at -5 °C'."""
    found = cold_of(crop, ctx.facts).blossom
    assert found is not None
    hurt, lost = found
    most = f" and mostly lost at {ctx.say.temp(lost)}" if lost is not None else ""
    return f"open {ctx.say.crop(crop.id, 1)} blossom is hurt from about {ctx.say.temp(hurt)}{most}"


def shield(ctx: Context) -> str:
    """Say how blossom is brought through a frosty night."""
    return (f"Lay {ctx.say.pick('fleece', 'row cover')} or a sheet over it before dusk, down to the ground if you can, "
            "and take it off by day for the bees.")


def frosted_blossom(degrees: float | None, request: Request, ctx: Context) -> list[str]:
    """Say of the fruit a frost is told of whether its blossom was hurt, and how to look; nothing for other crops."""
    crops = [ctx.facts.crops[c] for c in request.crops if c in ctx.facts.crops]
    lines = []
    for crop in crops:
        found = cold_of(crop, ctx.facts).blossom
        if found is not None and (degrees is None or degrees <= found[0]) and in_flower(crop, request, ctx, frosty=True):
            lines.append(f"{capital(blossom_stands(crop, ctx))}.")
    if lines:
        lines.append("Cut a few flowers across: green or cream in the middle is alive, brown or black is lost.")
    return lines
