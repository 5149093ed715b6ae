"""Which vegetables stand the winter here, and which are lifted before it."""

from __future__ import annotations

import re
from datetime import date

from bot.facts.crop import Crop
from bot.handlers.cold import LIKELY, SURE, cold_of
from bot.handlers.context import Context
from bot.reply import Reply
from bot.request import Request
from bot.season import Season
from bot.season.winter import winter_of, winter_span
from bot.wording import listing


def which_stand(season: Season, span: tuple[date, date] | None, ctx: Context) -> Reply:
    """Name the vegetables that come through the winter here in the open, the most worthwhile first."""
    span = span or winter_span(season, ctx.today)
    sure: list[str] = []
    fair: list[str] = []
    for crop_id, row in sorted(ctx.facts.growing.worth.items(), key=lambda item: -item[1].worth):
        crop = ctx.facts.crops[crop_id]
        cold = cold_of(crop, ctx.facts)
        if row.kind == "perennial" or "green-manure" in crop.use or not cold.known or crop.growth is None or not crop.growth.stands_winter:
            continue
        chance = season.survival(cold.winter_kill_c, *span)
        (sure if chance >= SURE else fair if chance >= LIKELY else []).append(ctx.say.crop(crop_id))
    winter = winter_of(season)
    lines = [f"Most winters, with fleece by: {listing(fair[:6])}."] if fair else []
    lines.append(f"The coldest night of a usual winter here is {ctx.say.temp(round(winter.usual))}, of a hard one {ctx.say.temp(round(winter.hard))}.")
    head = f"These stand the winter here in the open: {listing(sure[:9])}." if sure else "Few vegetables stand the winter here in the open."
    return Reply(head, tuple(lines), sources=("computed:frost-dates-fit",), data={"hardy": {"stand": sure, "fair": fair}})


_LEFT_IN = re.compile(
    r"\b(?:leave|left|leaving|stay|keep|kept|store|stand)\b.{0,40}\b(?:in the (?:ground|soil|bed|row)|where (?:they|it) (?:are|is|grew|stand)|in situ|in place(?! of))\b",
    re.IGNORECASE)


def left_in_ground(request: Request) -> bool:
    """Tell whether a message asks if a crop may stay where it grew, at no temperature named."""
    return bool(_LEFT_IN.search(request.text)) and request.temperature_c is None


def lifted(crop: Crop, ctx: Context) -> bool:
    """Tell whether a crop is out of the ground once it is ripe: bulbs and tubers that do not stand the winter."""
    row = ctx.facts.growing.worth.get(crop.id)
    stands = crop.growth is not None and crop.growth.stands_winter
    return row is not None and row.kind in ("tuber", "allium") and not stands
