"""Frost and the blossom of fruit, which feels the cold long before the plant does."""

from __future__ import annotations

from typing import Any

from bot.facts.crop import Crop
from bot.handlers.cold import cold_of
from bot.handlers.cold_question import ColdQuestion
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.reply import Reply
from bot.request import Request
from bot.season import day_in_year
from bot.wording import capital

#: Where the advice on covering blossom was read.
SOURCES = ("ksu-apricot-peach-frost", "ksu-fruit-bud-damage", "common-practice")
_BUDS = "Closed buds stand more, tiny fruits no more than blossom."


def in_flower(crop: Crop, request: Request, ctx: Context, *, frosty: bool = False) -> bool:
    """Tell whether the blossom is what is asked about: it is named, or a frost at the time when fruit flowers.

    `frosty` tells that it is a frost whatever the words.
    """
    words = ctx.facts.asking.cold
    if cold_of(crop, ctx.facts).blossom is None:
        return False
    if words.blossom.search(request.text):
        return True
    if "fruit" not in crop.use or not (frosty or words.frosty.search(f"{request.extra.get('message', '')} {request.text}")):
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


def blossom_at(asked: ColdQuestion, outside: float, felt: float, where: str) -> str:
    """Answer for fruit, whose blossom feels the cold long before its wood."""
    assert asked.cold.blossom is not None
    say, name = asked.say, asked.say.crop(asked.crop.id, 1)
    hurt, lost = asked.cold.blossom
    at = say.temp(outside)
    asked.lines.append(f"Open blossom is hurt from about {say.temp(hurt)}" + (
        f" and mostly lost at {say.temp(lost)}." if lost is not None else "."))
    asked.lines += [_BUDS, *_wood(asked)]
    if felt > hurt + 0.3:
        return f"Yes, {name} blossom should stand {at}{where}."
    if lost is not None and felt <= lost:
        return f"No, {at} kills most open {name} blossom{where}, though not the plant."
    return f"{capital(name)} blossom is hurt at {at}{where}: cover it if you can."


def blossom_alone(asked: ColdQuestion, hurt: float, lost: float | None) -> Reply:
    """Answer for the blossom where no temperature is named: what it stands, till when such nights come, what to do."""
    say, stands = asked.say, blossom_stands(asked.crop, asked.ctx)
    kills = asked.words.kills.search(asked.request.text) or asked.words.dies.search(asked.request.text)
    head = f"Not the plant, but the blossom: {stands}." if kills else f"{capital(stands)}."
    lines = [_BUDS]
    if asked.ctx.season is not None:
        over = asked.ctx.season.frost_dates(hurt).last
        if over.p50 and over.p10:
            usual, late = (say.day(day_in_year(asked.ctx.today.year, day)) for day in (over.p50, over.p10))
            lines.append(f"Nights that cold are over here by about {usual} in a usual year, and nine years in ten by {late}.")
        else:
            lines.append("Nights that cold hardly come here in blossom time.")
    lines += [shield(asked.ctx), *_wood(asked)]
    data: dict[str, Any] = {"crop": asked.crop.id, "damage_c": hurt, "kill_c": lost, "chance": None, "blossom": True}
    return Reply(head, tuple(lines), working=asked.working(), data={"hardy": data},
                 sources=(*cited(*asked.crop.hardiness), *SOURCES))


def _wood(asked: ColdQuestion) -> list[str]:
    """Say what the plant itself stands at rest, where that is known."""
    return [f"The plant itself stands about {asked.say.temp(round(asked.cold.winter_kill_c))} at rest."] if asked.cold.known else []
