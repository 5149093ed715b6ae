"""Old strawberries, canes, bushes and crowns: how long they crop well, and when and how they are replaced or divided.

The reader has no intent of this: such words come as seed's age, keeping, rotation and more. So a request of a lasting plant
is held against the words of the table before its own handler is asked.
"""

from __future__ import annotations

from bot.facts.crop import Crop
from bot.facts.keeping import PerennialTask, Renewal
from bot.handlers import handler_for
from bot.handlers.cold import is_many
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.handlers.naming import bed_name
from bot.handlers.perennials import season_said
from bot.preserving.matching import find, plain
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, number

_YEAR = 365.25


def renewal_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer a request about the age or renewal of one lasting plant; None when it is of something else."""
    crop = ctx.facts.crops.get(request.crops[0]) if len(request.crops) == 1 else None
    if crop is None or not crop.lasting:
        return None
    table, flat = ctx.facts.keeping.renewal, plain(request.text)
    row = ctx.facts.keeping.renewed(crop.id)
    if row is None or request.intent not in table.read_as or find(flat, table.others):
        return None
    if find(flat, table.moving) and request.intent != "prune":
        return handler_for("prune")(request.with_(intent="prune", method="move"), ctx)
    if not find(flat, table.words) or (find(flat, table.dividing) and not row.divide and not row.no_dividing):
        return None
    many, task, usual = is_many(crop, ctx.say.words), _task(row, ctx), _usual(crop, row, ctx)
    first = row.same_ground if find(flat, table.same_ground) else row.no_dividing if find(flat, table.dividing) else None
    lines = [usual] if first else []
    lines += [*_own(row, many, ctx), *(ctx.say.prose(line) for line in row.say), *([f"{ctx.say.prose(task.detail)}."] if task else [])]
    return Reply(ctx.say.prose(first) if first else usual, lines=tuple(lines), sources=cited(row, task),
                 data={"renewal": {"crop": crop.id, "years": list(row.years), "divide": row.divide}})


def years_said(crop: Crop, ctx: Context) -> list[str]:
    """Say how long a lasting plant crops well and how old the plot's own are; nothing of one without a row."""
    row = ctx.facts.keeping.renewed(crop.id)
    return [] if row is None else [_usual(crop, row, ctx), *_own(row, is_many(crop, ctx.say.words), ctx)[:1]]


def _task(row: Renewal, ctx: Context) -> PerennialTask | None:
    return next((each for each in ctx.facts.keeping.perennials if each.id == row.task), None)


def _usual(crop: Crop, row: Renewal, ctx: Context) -> str:
    """Say how long it crops well, and when it is divided or replaced."""
    many, task = is_many(crop, ctx.say.words), _task(row, ctx)
    years, season = f"{number(row.years[0], 1)} to {number(row.years[1], 1)} years", f" ({season_said(task, ctx)})" if task else ""
    if row.divide:
        return f"Divide {ctx.say.crop(crop.id)} every {years}{season}."
    return f"{capital(ctx.say.crop(crop.id))} crop{'' if many else 's'} well for {years}, then {'want' if many else 'wants'} replacing{season}."


def _own(row: Renewal, many: bool, ctx: Context) -> list[str]:
    """Say how old the plot's own plants are, where that was written down."""
    lines = []
    for planting in ctx.plot.standing(crop=row.crop):
        if planting.began is None:
            continue
        age = (ctx.today - planting.began).days / _YEAR
        verdict = "so the time has come" if age >= row.years[1] else "so it is nearly time" if age >= row.years[0] - 0.5 else "so there is no hurry"
        said = "less than a year" if age < 1 else f"about {number(age, 1)} year{'' if round(age) == 1 else 's'}"
        lines.append(f"Yours in {bed_name(planting.bed, ctx)} {'have' if many else 'has'} stood {said}, {verdict}.")
    return lines[:2]
