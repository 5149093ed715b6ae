"""Meadow, hedge, pond, piles and the creatures of the garden: when, how, and what to leave alone."""

from __future__ import annotations

from datetime import date

from bot.facts.tending_heap import WildTask
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.ground_words import hazards, units
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.diagnosis import region_of
from bot.tending.topics import best
from bot.tending.wildlife import Span, may, opens_next, turned
from bot.wording import capital, small

#: Tasks that are a matter of leaving be: their season is when the creature is met, not when one may.
_KINDLY = ("live", "leave", "help", "look")
_LAW = "Wildlife law differs by country: check your local rules."
_SHOWN = ("hedge-cut", "meadow-cut-summer", "pond-clear", "log-pile", "nestbox-clean", "leaf-pile")


@answers("wildlife")
def wildlife(request: Request, ctx: Context) -> Reply:
    """Say when and how something for wildlife is done here, and whether now is the time."""
    task = best(request.text, ctx.facts.tending.wildlife)
    if task is None:
        return _overview(ctx)
    southern = (
        ctx.season.southern if ctx.season else ctx.plot.settings.place is not None and ctx.plot.settings.place.lat < 0
    )
    known = ctx.season is not None or ctx.plot.settings.place is not None
    day = request.when.start if request.when is not None and request.when.end >= ctx.today else ctx.today
    allowed = may(task, day, southern) if known else None
    months = turned(task.months, southern, task.south)
    asks = ctx.facts.asking.ground
    how = bool(asks.how.search(request.text)) and not asks.when.search(request.text)
    do = units(task.do, ctx)
    head = f"{do.split('. ')[0].rstrip('.')}." if how else _headline(task, allowed, months, day, known, ctx)
    rest = do.removeprefix(head).strip()
    lines = [rest] if rest else []
    if task.good and asks.good.search(request.text):
        lines, head = [head, *lines], task.good
    if how and months and known and not task.task.startswith(_KINDLY):
        lines.append(f"When: {_said(months, ctx)}.")
    if task.avoid:
        lines.append(units(task.avoid, ctx))
    if task.why:
        lines.append(f"Why: {small(task.why)}")
    lines += [units(line, ctx) for line in task.more[:2]]
    if known and southern and "British" not in (task.law or "") and task.not_in:
        lines.append(
            "Seasons are turned for the southern half of the world; your own birds and beasts may keep other dates."
        )
    place = ctx.plot.settings.place
    law = task.law if place is None or not task.law_in or region_of(place.lat, place.lon) in task.law_in else None
    return Reply(
        head,
        lines=tuple(lines),
        cautions=(
            *((law, _LAW) if law and "heck" not in law else (law,) if law else ()),
            *hazards(task.hazards[:1], ctx),
        ),
        sources=tuple(task.source),
        working=tuple(_working(task, months, southern)),
        data={
            "wildlife": {
                "task": task.id,
                "now": allowed,
                "spans": [list(s) for s in months],
                "not_in": [list(s) for s in turned(task.not_in, southern)],
            }
        },
    )


def _headline(task: WildTask, allowed: bool | None, months: list[Span], day: date, known: bool, ctx: Context) -> str:
    if not task.months or not known:
        first = units(task.do, ctx).split(". ")[0].rstrip(".")
        return f"{first}." if not known or not task.months else f"{capital(task.task)}: {_said(months, ctx)}."
    when = "now" if day == ctx.today else f"in {ctx.say.month(day.month)}"
    if allowed:
        return (
            f"Yes, {when} is a good time to {task.task} ({_said(months, ctx)})."
            if not task.task.startswith(_KINDLY)
            else f"{units(task.do, ctx).split('. ')[0].rstrip('.')}."
        )
    if task.task.startswith(_KINDLY):
        return f"{units(task.do, ctx).split('. ')[0].rstrip('.')}."
    nxt = opens_next(day, months)
    later = f" Wait until {ctx.say.part_of_month(nxt)}." if nxt else ""
    return f"Not {when}: the time to {task.task} is {_said(months, ctx)}.{later}"


def _said(months: list[Span], ctx: Context) -> str:
    parts = []
    for first, last in months:
        a, b = _part(first, ctx), _part(last, ctx)
        parts.append(f"{a} to {b}" if a != b else a)
    return " or ".join(parts)


def _part(text: str, ctx: Context) -> str:
    month, day = int(text[:2]), int(text[3:])
    name = ctx.say.month(month)
    if day <= 1 or day >= 28:
        return name
    return f"{'early' if day <= 10 else 'mid' if day <= 20 else 'late'} {name}"


def _working(task: WildTask, months: list[Span], southern: bool) -> list[str]:
    lines = [f"Published for the north: {', '.join(f'{a} to {b}' for a, b in task.months)}."] if task.months else []
    if southern and months:
        lines.append(f"Half a year on here: {', '.join(f'{a} to {b}' for a, b in months)}.")
    if task.not_in:
        lines.append(f"Not in (north): {', '.join(f'{a} to {b}' for a, b in task.not_in)}.")
    return lines


def _overview(ctx: Context) -> Reply:
    """Say what of the wild year may be done now."""
    southern = bool(ctx.season and ctx.season.southern)
    rows = [t for t in ctx.facts.tending.wildlife if t.months and may(t, ctx.today, southern)]
    lines = [
        f"{capital(t.task)}: {units(t.do, ctx).split('. ')[0].rstrip('.')}."
        for t in rows
        if t.task.split()[0] not in ("live", "help", "leave", "dig")
    ][:5]
    shown = [t for t in ctx.facts.tending.wildlife if t.id in _SHOWN]
    return Reply(
        "What about wildlife? This is in season:"
        if lines
        else "Ask me about hedges, meadows, ponds, piles, boxes or a creature.",
        lines=tuple(lines),
        cautions=(_LAW,),
        sources=("rspb-hedges-2020", "sussex-wt-meadow"),
        choices=tuple(Choice(capital(t.task), f"when can I {t.task}") for t in shown[:4]),
        data={"wildlife": {"task": None}},
    )
