"""Whether and how a crop is shaded, and when a cover comes off again."""

from __future__ import annotations

from bot.facts.tending_covers import CoverUse
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital

#: In one year of ten the last frost is later than the day of this percentile.
_SELDOM_LATER = 10


def cover_use_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer a question of shading or of taking a cover off; None when it is of something else."""
    asks, room = ctx.facts.asking.cold, ctx.facts.tending.cover_use
    rows = room.shading if asks.shade.search(request.text) else room.lifting if asks.lift.search(request.text) else None
    if rows is None:
        return None
    crops = request.crops or request.crop_choices
    row = next(row for row in rows if row.fits(request.text, crops))
    name = f"{capital(ctx.say.crop(crops[0]))}: " if row.crops and crops else ""
    said = ctx.say.prose(row.say)
    frosts = _frosts(row, ctx)
    return Reply(f"{name}{said if name else capital(said)}", lines=(*([frosts] if frosts else []), *map(ctx.say.prose, row.more)),
                 sources=cited(row), data={"protect": {"use": row.id, "crop": crops[0] if crops else None}})


def _frosts(row: CoverUse, ctx: Context) -> str | None:
    last = ctx.season.next_last_frost(ctx.today, p=_SELDOM_LATER) if row.frosts and ctx.season is not None else None
    if last is None:
        return None
    if last <= ctx.today:
        return "The frosts are over here, in nine years of ten."
    return f"Nine years in ten the last frost here is over by {ctx.say.part_of_month(last)}."
