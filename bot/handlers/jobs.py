"""What should be done this week or month on this plot, and ticking jobs off."""

from __future__ import annotations

import re
from datetime import timedelta

from bot.handlers import answers, handler_for
from bot.handlers.checking import bed_name, unknown_bed
from bot.handlers.context import Context, ask_place
from bot.handlers.ground_words import chain, hazards, units
from bot.handlers.job_ticks import tick
from bot.handlers.job_words import how_of, job_line, job_row, short_said, task_said, why_said
from bot.handlers.jobs_due import Span, due_in, seen_last_year, span_of
from bot.handlers.roofs import is_roof
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.jobs import Due
from bot.wording import listing

SHOWN = 7
_COUNT = re.compile(
    r"\b(one|two|three|four|five|six|seven|eight|nine|ten|\d{1,2})\s+(?:jobs?|things?|tasks?|chores?)\b", re.I
)
_NUMBERS = {
    w: n for n, w in enumerate(("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"))
}
_HOURS = re.compile(r"\b(an|one|two|three|four|half an|\d+(?:\.\d+)?)\s*(?:a\s+)?hours?\b", re.I)


@answers("jobs")
def jobs(request: Request, ctx: Context) -> Reply:
    """List what this plot wants done in the days asked about, or tick a job off."""
    if ctx.season is None:
        return ask_place(request)
    asks = ctx.facts.asking.jobs
    done = asks.done_end.search(request.text) or ("?" not in request.text and asks.done.search(request.text))
    if "done" in request.flags or done:
        return tick(request, ctx)
    if asks.drop.search(request.text):
        return tick(request, ctx, drop=True)
    if request.when is not None and request.when.end < ctx.today:  # "what jobs did I do last week"
        return handler_for("history")(request.with_(intent="history"), ctx)
    stray = unknown_bed(request, ctx)
    if stray:
        return stray
    if request.cover and not request.beds and is_roof(request.cover, ctx):  # "the greenhouse" of a plot with a tunnel
        roofed = [bed.id for bed in ctx.plot.beds.values() if bed.cover and is_roof(bed.cover, ctx)]
        request = request.with_(beds=tuple(roofed))
    span = span_of(request, ctx)
    found = due_in(span, ctx)
    found = [d for d in found if _asked(d, request, ctx)]
    return _list(found, span, request, ctx)


def _asked(due: Due, request: Request, ctx: Context) -> bool:
    """Tell whether a job is about the beds and crops a request names."""
    wanted = set(request.crops or request.crop_choices)
    if wanted and not wanted & set(due.crops):
        return False
    if request.beds:
        beds = {ctx.plot.beds[b] for b in request.beds if b in ctx.plot.beds}
        roofed = any(b.cover for b in beds)
        about = set(due.beds) & set(request.beds)
        general = (
            not due.beds
            and not due.crops
            and (
                "tunnel" in due.job.needs
                and any(b.kind in ("tunnel", "greenhouse") for b in beds)
                or "frame" in due.job.needs
                and any(b.kind == "frame" for b in beds)
                or "open-bed" in due.job.needs
                and not roofed
            )
        )
        return bool(about or general)
    return True


# --- saying it -----------------------------------------------------------------------------------------------------


def _list(found: list[Due], span: Span, request: Request, ctx: Context) -> Reply:
    about = _about(request, ctx)
    when = _when(span, request, ctx)
    warnings = seen_last_year(span.first, ctx)
    if not found:
        nothing = f"Nothing presses{about} {when}."
        extra = (
            []
            if ctx.plot.plantings or ctx.plot.beds
            else [f'Tell me your beds and what grows in them and I can say more: "add a bed {ctx.say.bed_example}".']
        )
        return Reply(nothing, lines=(*extra, *warnings), data={"jobs": {"rows": []}})
    limit, minutes = _limits(request)
    chosen = found
    if minutes:
        chosen, used = [], 0
        for due in found:
            if used + due.job.minutes <= minutes:
                chosen.append(due)
                used += due.job.minutes
        chosen = chosen or found[:1]
    shown = chosen[: limit or SHOWN]
    rest = [d for d in chosen if d not in shown] if not limit and not minutes else []
    head = f"First{about} {when}: {task_said(shown[0], ctx)}."
    first_why = f"{units(shown[0].job.why, ctx)} About {shown[0].job.minutes} minutes."
    how = how_of(shown[0].job, ctx)
    lines = [
        f"{first_why}{' ' + how if how and len(how) < 140 else ''}",
        *(job_line(d, ctx) for d in shown[1:]),
        *warnings[:2],
    ]
    cautions = chain(
        [d.job.caution for d in shown[:4] if d.job.caution], hazards([h for d in shown[:3] for h in d.job.hazards], ctx)
    )[:2]
    working = tuple(why_said(d, ctx) for d in shown)
    more = tuple(job_line(d, ctx) for d in rest)
    return Reply(
        head,
        lines=tuple(lines),
        more=more,
        working=working,
        cautions=cautions,
        sources=chain(*(d.job.source for d in shown)),
        choices=tuple(Choice(f"Done: {short_said(d, ctx)}", f"done: {task_said(d, ctx)}") for d in shown[:3]),
        data={
            "jobs": {
                "from": span.first.isoformat(),
                "to": span.last.isoformat(),
                "minutes": sum(d.job.minutes for d in shown),
                "rows": [job_row(d, ctx) for d in chosen],
            }
        },
    )


def _about(request: Request, ctx: Context) -> str:
    crops = request.crops or request.crop_choices
    if crops:
        return f" for the {listing([ctx.say.crop(c) for c in crops[:2]])}"
    if request.beds:
        return f" in {listing([bed_name(b, ctx) for b in request.beds])}"
    return ""


def _when(span: Span, request: Request, ctx: Context) -> str:
    if request.when is not None and request.when.start > span.last:
        return f"before {ctx.say.day(request.when.start, ctx.today)}"
    if span.first > ctx.today + timedelta(days=6) or span.words > 20:
        return (
            f"in {ctx.say.month(span.first.month)}"
            if span.words > 8 or span.first.month != ctx.today.month
            else f"from {ctx.say.day(span.first)}"
        )
    if request.when is not None and request.when.single:
        return (
            ctx.say.day(span.first, ctx.today)
            if (span.first - ctx.today).days <= 1
            else f"on {ctx.say.weekday(span.first)}"
        )
    return "this week"


def _limits(request: Request) -> tuple[int | None, int | None]:
    """Return how many jobs and how many minutes a request names."""
    count = _COUNT.search(request.text)
    hours = _HOURS.search(request.text)
    number = None
    if count:
        number = int(count[1]) if count[1].isdigit() else _NUMBERS.get(count[1].lower())
    minutes = None
    if hours:
        said = hours[1].lower()
        minutes = (
            30
            if said.startswith("half")
            else round(
                60
                * (
                    1
                    if said == "an"
                    else _NUMBERS.get(said, 0) or float(said)
                    if said.replace(".", "").isdigit()
                    else _NUMBERS.get(said, 1)
                )
            )
        )
    return (min(number, 12) if number else None), minutes


# --- ticking off ---------------------------------------------------------------------------------------------------
