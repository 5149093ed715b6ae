"""Say a job: its task for its crops and beds, why, how long, until when."""

from __future__ import annotations

from bot.facts.tending_jobs import Job
from bot.handlers.checking import bed_name
from bot.handlers.context import Context
from bot.handlers.ground_words import units
from bot.tending.jobs import Due
from bot.wording import capital, listing, plural

#: Letters of a task that a button shows.
BUTTON = 38


def task_said(due: Due, ctx: Context, *, crops: tuple[str, ...] | None = None) -> str:
    """Say a job's task for its crops and beds."""
    names = crops or due.crops
    many = [ctx.say.crop(c) for c in names]
    crop = listing(many) if len(many) <= 4 else listing([*many[:3], f"{len(many) - 3} more"])
    beds = [bed_name(b, ctx) for b in due.beds]
    where = f" in {listing(beds)}" if 0 < len(beds) <= 2 and "{bed}" not in due.job.task else ""
    empty = listing(beds) if beds else "the empty bed"
    task = due.job.us if ctx.say.words == "us" and due.job.us else due.job.task
    if where and any(w in task for w in ("tunnel", "hoop house", "frame")) and beds:
        where = ""
    return units(
        task.replace("{crop}", crop)
        .replace("{in}", where)
        .replace("{from}", where.replace(" in ", " from ", 1))
        .replace("{bed}", empty),
        ctx,
    )


def job_line(due: Due, ctx: Context) -> str:
    """Say a job in one job_line: what, how long, why, and until when if that is soon."""
    left = due.days_left(ctx.today)
    soon = f", by {ctx.say.day(due.closes, ctx.today)}" if 0 <= left <= 10 and not due.job.every_days else ""
    return f"{capital(task_said(due, ctx))} ({due.job.minutes} min{soon}). {units(due.job.why, ctx)}"


def how_of(job: Job, ctx: Context) -> str | None:
    """Return how a job is done: its own words, or those of the perennial's year."""
    if job.how:
        return units(job.how, ctx)
    task = next((t for t in ctx.facts.keeping.perennials if t.id == job.perennial), None) if job.perennial else None
    if task is None:
        return None
    return f"{ctx.say.prose(task.detail)}." + (f" {ctx.say.prose(task.do_not)}." if task.do_not else "")


def short_said(due: Due, ctx: Context) -> str:
    """Say a job short enough for a button, cut after a whole word."""
    said = task_said(due, ctx)
    return said if len(said) <= BUTTON else said[:BUTTON].rsplit(" ", 1)[0] + "…"


def job_row(due: Due, ctx: Context) -> dict[str, object]:
    """Return a job as data."""
    return {
        "job": due.job.id,
        "task": task_said(due, ctx),
        "crops": list(due.crops),
        "beds": list(due.beds),
        "minutes": due.job.minutes,
        "why": due.job.why,
        "from": due.opens.isoformat(),
        "to": due.closes.isoformat(),
        "weight": due.job.weight,
    }


def why_said(due: Due, ctx: Context) -> str:
    """Say why a job is due: its days here, how often, and when it was last written down."""
    whole = (due.closes - due.opens).days >= 360
    window = (
        "any time of the year"
        if whole
        else f"here from about {ctx.say.day(due.opens, ctx.today)} to {ctx.say.day(due.closes, ctx.today)}"
    )
    every = f", every {plural(due.job.every_days, 'day')}" if due.job.every_days else ""
    last = (
        f"; last written down {ctx.say.day(due.last_done, ctx.today)}"
        if due.last_done and due.last_done <= ctx.today
        else ""
    )
    return f"{capital(task_said(due, ctx))}: {window}{every}{last}."
