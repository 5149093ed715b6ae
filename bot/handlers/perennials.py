"""Pruning, dividing and the rest of the year of fruit and perennials."""

from __future__ import annotations

import re

from bot.facts.keeping import PerennialTask
from bot.handlers import answers, handler_for
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.pinching import pinching
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital

_WORDS = {
    "move": re.compile(r"\b(mov(?:e|ed|ing)|transplant\w*|relocat\w*|shift(?:ed|ing)?|re-?plant\w*)\b", re.I),
    "divide": re.compile(r"\b(divid\w*|split\w*)\b", re.I),
    "thin": re.compile(r"\bthin(ning)?\b", re.I),
    "feed": re.compile(r"\b(feed\w*|mulch\w*)\b", re.I),
    "force": re.compile(r"\bforc\w*\b", re.I),
    "propagate": re.compile(r"\b(runners?|propagat\w*)\b", re.I),
    "plant": re.compile(r"\bplant(ing)?\b", re.I),
    "prune": re.compile(r"\b(prun\w*|trim\w*|cut\w*|train\w*|shear\w*|renovat\w*)\b", re.I),
}


@answers("prune")
def prune(request: Request, ctx: Context) -> Reply:
    """Tell when and how to prune, divide or tend a perennial, by its season here."""
    if not request.crops and not request.crop_choices and not request.unknown_crop:
        return _this_month(ctx)
    if len(request.crops) > 1:
        return one_by_one(request, ctx, prune, "prune", "Pruning and dividing")
    crop = which_crop(request, ctx, "What do you want to prune?", "when do I prune")
    if isinstance(crop, Reply):
        return crop
    tasks = ctx.facts.keeping.tasks(crop.id) or (ctx.facts.keeping.tasks(crop.like) if crop.like else [])
    name = ctx.say.crop(crop.id)
    if not tasks:
        if crop.lasting:
            return Reply(f"{capital(name)}: I have no notes on pruning it yet.", data={"prune": {"crop": crop.id, "tasks": []}})
        return pinching(crop, request.text, ctx)
    wanted = _kind(request)
    if wanted == "plant" and not any(t.kind == "plant" for t in tasks):
        return handler_for("when_sow")(request.with_(intent="when_sow"), ctx)
    chosen = [t for t in tasks if t.kind == wanted] or [t for t in tasks if t.kind in ("prune", "divide")] or tasks
    month = request.when.start.month if request.when else ctx.today.month
    southern = _southern(ctx)
    chosen.sort(key=lambda t: (t.only_in is not None, southern is not None and not t.in_month(month, southern)))
    first = chosen[0]
    now = southern is not None and first.in_month(month, southern)
    head = _head(name, first, now, southern, ctx)
    lines = [f"{ctx.say.prose(first.detail)}."]
    if first.do_not:
        lines.insert(1 if now else 0, f"{ctx.say.prose(first.do_not)}.")
    if first.repeat:
        lines.append(f"How often: {first.repeat}.")
    lines += [f"{capital(t.task)} ({_when(t, southern, ctx)}): {ctx.say.prose(t.detail)}." for t in chosen[1:3]]
    rest = [t for t in tasks if t not in chosen[:3]]
    more = [f"{capital(t.task)} ({_when(t, southern, ctx)}): {ctx.say.prose(t.detail)}." for t in rest]
    return Reply(
        head,
        lines=tuple(lines),
        more=("The rest of its year:", *more) if more else (),
        sources=cited(*chosen[:3]),
        data={
            "prune": {
                "crop": crop.id,
                "now": now,
                "tasks": [{"kind": t.kind, "task": t.task, "months": list(t.months(bool(southern)))} for t in chosen],
            }
        },
    )


def _this_month(ctx: Context) -> Reply:
    southern = _southern(ctx)
    if southern is None:
        return Reply(
            "Which plant do you want to prune?",
            wants="crop",
            lines=("Or set your place, and I can say what is due this month.",),
        )
    growing = {p.crop for p in ctx.plot.standing()}
    due = [
        t
        for t in ctx.facts.keeping.perennials
        if t.in_month(ctx.today.month, southern) and t.kind in ("prune", "divide", "thin")
    ]
    mine = [t for t in due if t.crop in growing]
    shown = mine or due
    month = ctx.say.month(ctx.today.month)
    if not shown:
        return Reply(f"Nothing to prune or divide in {month}.", data={"prune": {"tasks": []}})
    whose = "on your plot" if mine else "for those who grow them"
    lines = [f"{capital(ctx.say.crop(t.crop))}: {t.task}. {ctx.say.prose(t.detail)}." for t in shown]
    return Reply(
        f"To prune or divide in {month}, {whose}:",
        lines=tuple(lines[:7]),
        more=tuple(lines[7:]),
        sources=cited(*shown),
        data={"prune": {"tasks": [{"crop": t.crop, "kind": t.kind, "task": t.task} for t in shown]}},
    )


def _kind(request: Request) -> str:
    if request.method in _WORDS:
        return str(request.method)
    return next((kind for kind, pattern in _WORDS.items() if pattern.search(request.text)), "prune")


def _southern(ctx: Context) -> bool | None:
    if ctx.season is not None:
        return ctx.season.southern
    place = ctx.plot.settings.place
    return place.lat < 0 if place is not None else None


def _head(name: str, task: PerennialTask, now: bool, southern: bool | None, ctx: Context) -> str:
    if southern is None:
        return f"{capital(name)}: {task.task}, {task.phase.replace('-', ' ')} season."
    if now:
        return f"{capital(name)}: now is the time to {_verb(task)} ({_when(task, southern, ctx)})."
    when = _when(task, southern, ctx)
    return f"{capital(name)}: {task.task} {f'from {when}' if ' to ' in when else f'in {when}'}, not now."


def _verb(task: PerennialTask) -> str:
    return task.task if task.task.split()[0] not in ("renovate",) else task.task


def season_said(task: PerennialTask, ctx: Context) -> str:
    """Say the months of a task here, or its season where the place is not known."""
    return _when(task, _southern(ctx), ctx)


def _when(task: PerennialTask, southern: bool | None, ctx: Context) -> str:
    if southern is None:
        return task.phase.replace("-", " ")
    first, last = task.months(southern)
    a, b = ctx.say.month(first), ctx.say.month(last)
    return a if a == b else f"{a} to {b}"
