"""Pruning, dividing and the rest of the year of fruit and perennials."""

from __future__ import annotations

from bot.facts.keeping import PerennialTask
from bot.handlers import answers, handler_for
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.training import trained
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, small


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
        row = ctx.facts.tending.training.of_crop(crop.id)
        if row is not None:
            told = trained(request, row, name, ctx)
            return told.with_(data={**told.data, "prune": {"crop": crop.id, "tasks": []}})
        why = "I have no notes on pruning it yet." if crop.lasting else "grown afresh each time, with nothing to prune or pinch out."
        return Reply(f"{capital(name)}: {why}", data={"prune": {"crop": crop.id, "tasks": []}})
    kinds = next((row.kinds for row in ctx.facts.asking.tending.tasks if row.says.search(request.text)), ())
    if "plant" in kinds and not any(t.kind in kinds for t in tasks):  # "how do I plant an apple tree"
        return handler_for("when_sow")(request.with_(intent="when_sow"), ctx)
    month = request.when.start.month if request.when else ctx.today.month
    southern = _southern(ctx)
    chosen = _chosen(request, tasks, month, southern, ctx)
    chosen.sort(key=lambda t: (t.only_in is not None, request.method == "after" and t.phase != "post-harvest", southern is not None and not t.in_month(month, southern)))
    first = chosen[0]
    now = southern is not None and first.in_month(month, southern)
    over = request.method == "after" and first.phase == "post-harvest" and _near(first, month, bool(southern))
    head = _head(name, first, now, over, southern, ctx)
    lines = [f"{ctx.say.prose(first.detail)}."]
    if first.when_seen:
        said, _, after = lines[0].partition(". ")
        head, lines = f"{capital(name)}: {small(said).rstrip('.')}.", [after] if after else []
    if first.do_not:
        lines.insert(1 if now or over else 0, f"{ctx.say.prose(first.do_not)}.")
    if first.repeat and first.repeat != "yearly":
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


def _chosen(request: Request, tasks: list[PerennialTask], month: int, southern: bool | None, ctx: Context) -> list[PerennialTask]:
    """Return the tasks asked for: those the message names, of the kind it names, or those that come once the crop is picked."""
    asks = ctx.facts.asking.tending
    named = [t for t in tasks if t.asked is not None and t.asked.search(request.text)]
    if named:
        return named
    kinds: tuple[str | None, ...] = (request.method,) if request.method not in (None, "after") else next((row.kinds for row in asks.tasks if row.says.search(request.text)), ())
    found = [t for t in tasks if t.kind in kinds]
    if not found and (request.method == "after" or asks.after(request.text)):
        found = [t for t in tasks if t.phase == "post-harvest" and t.kind != "propagate"]
        found += [t for t in tasks if t.kind == "prune" and t not in found] if found else _coming(tasks, month, bool(southern))
    return found or [t for t in tasks if t.kind in ("prune", "divide")] or list(tasks)


def _coming(tasks: list[PerennialTask], month: int, southern: bool) -> list[PerennialTask]:
    """Return the care due in a month, else what comes next in the year."""
    care = [t for t in tasks if t.kind not in ("move", "plant", "propagate", "force", "thin")]
    now = [t for t in care if t.in_month(month, southern)]
    return now or sorted(care, key=lambda t: (t.months(southern)[0] - month) % 12)[:1]


def _southern(ctx: Context) -> bool | None:
    if ctx.season is not None:
        return ctx.season.southern
    place = ctx.plot.settings.place
    return place.lat < 0 if place is not None else None


def _near(task: PerennialTask, month: int, southern: bool) -> bool:
    """Tell whether a month is one of a task's, the one before or the one after."""
    return any(task.in_month((month - 1 + step) % 12 + 1, southern) for step in (-1, 0, 1))


def _head(name: str, task: PerennialTask, now: bool, over: bool, southern: bool | None, ctx: Context) -> str:
    if over:
        return f"{capital(name)}: {task.task}, now that the crop is over."
    if southern is None:
        return f"{capital(name)}: {task.task}, {task.phase.replace('-', ' ')} season."
    if now:
        return f"{capital(name)}: now is the time to {task.task} ({_when(task, southern, ctx)})."
    when = _when(task, southern, ctx)
    return f"{capital(name)}: {task.task} {f'from {when}' if ' to ' in when else f'in {when}'}, not now."


def season_said(task: PerennialTask, ctx: Context) -> str:
    """Say the months of a task here, or its season where the place is not known."""
    return _when(task, _southern(ctx), ctx)


def _when(task: PerennialTask, southern: bool | None, ctx: Context) -> str:
    if southern is None:
        return task.phase.replace("-", " ")
    first, last = task.months(southern)
    a, b = ctx.say.month(first), ctx.say.month(last)
    return a if a == b else f"{a} to {b}"
