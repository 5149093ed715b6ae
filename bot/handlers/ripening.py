"""Finishing a crop off the plant."""

from __future__ import annotations

import re

from bot.facts.crop import Crop
from bot.facts.keeping import Ripening
from bot.handlers import answers, handler_for
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.keeping import low
from bot.handlers.ripening_outdoors import ripens_outdoors
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital

#: A detail that tells its own time.
_TIMED = re.compile(r"\b(days?|weeks?|months?)\b", re.I)


@answers("ripen")
def ripen(request: Request, ctx: Context) -> Reply:
    """Tell how a crop finishes off the plant; when it ripens on the plant is a question of the picking."""
    asks = ctx.facts.asking.harvest
    if asks.when_ripe.match(request.text):
        return handler_for("when_harvest")(request.with_(intent="when_harvest"), ctx)
    if len(request.crops) > 1:
        return one_by_one(request, ctx, ripen, "ripen", "Ripening")
    crop = which_crop(request, ctx, "What do you want to ripen?", "how do I ripen")
    if isinstance(crop, Reply):
        return crop
    rows = ctx.facts.keeping.ripenings(crop.id) or (ctx.facts.keeping.ripenings(crop.like) if crop.like else [])
    hurry = next((row for row in rows if row.standing), None) if asks.hurried(request.text) else None
    rows = [row for row in rows if not row.standing]
    if hurry is not None:
        return _on_the_plant(request, crop, hurry, rows, ctx)
    if asks.of_the_plant(request.text):
        outdoors = ripens_outdoors(request, crop, rows, ctx)
        if outdoors is not None:
            return outdoors
    name = ctx.say.crop(crop.id)
    if not rows:
        lines = []
        if crop.harvest:
            lines.append(f"Pick when: {low(ctx.say.prose(crop.harvest.sign))}.")
        return Reply(
            f"I know of no way to ripen {name} once picked.",
            lines=tuple(lines),
            sources=cited(crop.harvest),
            data={"ripen": {"crop": crop.id, "rows": []}},
        )
    rows = sorted(rows, key=lambda row: (_asked_first(row.topic, request.text, crop.id, asks.idle), not (row.days and row.temp_c),
                                         row.temp_c is not None and row.temp_c[0] < ctx.facts.growing.number("ripening.least_c")))
    first = rows[0]
    start = f"Ripen {name} at {ctx.say.temp(*first.temp_c)}" if first.temp_c and _warm(first, ctx) else capital(name)
    head = f"{start}: {low(ctx.say.prose(first.detail))}{_how_long(first)}."
    lines = [
        f"{capital(row.topic)}: {low(ctx.say.prose(row.detail))}{_warmth(row.temp_c, ctx)}{_how_long(row)}."
        for row in rows[1:]
    ]
    if first.temp_c and not _warm(first, ctx):
        lines.insert(0, f"Best at {ctx.say.temp(*first.temp_c)}.")
    donts = [f"{ctx.say.prose(row.do_not)}." for row in rows if row.do_not]
    return Reply(
        head,
        lines=(*lines[:3], *donts[:2]),
        more=(*lines[3:], *donts[2:]),
        sources=cited(*rows),
        data={
            "ripen": {
                "crop": crop.id,
                "rows": [{"topic": row.topic, "temp_c": row.temp_c, "days": row.days} for row in rows],
            }
        },
    )


def _on_the_plant(request: Request, crop: Crop, hurry: Ripening, rows: list[Ripening], ctx: Context) -> Reply:
    """Tell how fruit that stays green is brought on, what the season still allows, and how picked ones finish."""
    name = ctx.say.crop(crop.id)
    season = ripens_outdoors(request, crop, rows, ctx) if ctx.season is not None and ctx.plot.standing(crop=crop.id) else None
    picked = next((row for row in rows if row.days and _warm(row, ctx)), None)
    lines = [season.headline] if season is not None else []
    if picked is not None and picked.temp_c:
        lines.append(f"Picked full-grown, they finish indoors at {ctx.say.temp(*picked.temp_c)}: {low(ctx.say.prose(picked.detail))}{_how_long(picked)}.")
    return Reply(f"{capital(name)}: {low(ctx.say.prose(hurry.detail))}.", lines=tuple(lines), sources=cited(hurry, picked),
                 choices=(Choice("Ripen them indoors", f"how do I ripen picked {name}"),),
                 data={"ripen": {"crop": crop.id, "rows": [{"topic": hurry.topic, "temp_c": None, "days": None}]}})


def _asked_first(topic: str, text: str, crop: str, idle: frozenset[str]) -> int:
    own = {f"{part}{end}" for part in crop.split("-") for end in ("", "s", "es")}
    return 0 if set(topic.lower().split()) & set(text.lower().split()) - idle - own else 1


def _warm(row: Ripening, ctx: Context) -> bool:
    return bool(row.days and row.temp_c and row.temp_c[0] >= ctx.facts.growing.number("ripening.least_c"))


def _how_long(row: Ripening) -> str:
    days = row.days
    if not days or _TIMED.search(row.detail):
        return ""
    return f" ({days[0]:g} days)" if days[0] == days[1] else f" ({days[0]:g} to {days[1]:g} days)"


def _warmth(temp: tuple[float, float] | None, ctx: Context) -> str:
    return f", {ctx.say.temp(*temp)}" if temp else ""
