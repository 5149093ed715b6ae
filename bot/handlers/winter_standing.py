"""Which vegetables stand the winter here, asked of no crop."""

from __future__ import annotations

from datetime import date

from bot.handlers.cold import LIKELY, SURE, cold_of
from bot.handlers.context import Context
from bot.reply import Reply
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
