"""Tick a job off, or put one away: by the words a gardener uses for it."""

from __future__ import annotations

import re
from datetime import date, timedelta

from bot.facts.asking import JobWords
from bot.facts.tending_jobs import Job
from bot.handlers.checking import day_of
from bot.handlers.context import Context
from bot.handlers.ground_words import units
from bot.handlers.job_words import short_said, task_said
from bot.handlers.jobs_due import Span, due_in
from bot.plot.events import NewEvent
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.tending.job_windows import all_jobs
from bot.tending.jobs import Due
from bot.tending.ticking import SURE, likeness
from bot.tending.topics import plain
from bot.wording import capital, listing, plural

_NTH = re.compile(r"(?:the )?(first|second|third|1st|2nd|3rd|last|top)(?: one| job| thing)?", re.I)
_PLACE = {"first": 0, "1st": 0, "top": 0, "second": 1, "2nd": 1, "third": 2, "3rd": 2, "last": -1}


def tick(request: Request, ctx: Context, *, drop: bool = False) -> Reply:
    """Write down that a job is done (or not wanted): the due job the words fit best, another, or the words alone."""
    assert ctx.season is not None
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    text = _bare(request.text, ctx.facts.asking.jobs)
    due = due_in(Span(ctx.today, ctx.today + timedelta(days=6)), ctx)
    if not text:
        return _which("Which job is done?", due[:5], request, ctx)
    nth = _NTH.fullmatch(text.strip(" .!"))
    offered = [c.says.removeprefix("done: ") for c in (ctx.memory.reply.choices if ctx.memory.reply else ()) if c.says.startswith("done: ")]
    if nth and offered:  # "done the first one", of the list just shown
        at = _PLACE[nth.group(1).lower()]
        text = offered[at] if at < len(offered) else text
    same = next((d for d in due if plain(task_said(d, ctx)) == plain(text)), None)
    if same is not None:  # taken from the list, word for word
        said = task_said(same, ctx)
        return _ticked(same.job, same.crops, same.beds, day, request, ctx, drop=drop, said=said)
    ranked = sorted(
        ((likeness(text, d.job, d.crops, ctx.facts) + (6 if set(d.crops) & set(request.crops) else 0), d) for d in due),
        key=lambda pair: -pair[0],
    )
    if ranked and ranked[0][0] >= SURE:
        best = [d for score, d in ranked if score >= ranked[0][0] - 2]
        if len(best) > 1 and len({d.job.id for d in best}) > 1 and ranked[0][0] < 90 and not drop:
            return _which("Which one is done?", best[:4], request, ctx).with_(lines=("Nothing is recorded yet.",))
        return _ticked(
            best[0].job,
            _crops_said(best[0], request),
            best[0].beds,
            day,
            request,
            ctx,
            drop=drop,
            said=task_said(best[0], ctx, crops=_crops_said(best[0], request)),
        )
    rest = sorted(
        ((likeness(text, job, request.crops or job.crops, ctx.facts), job) for job in all_jobs(ctx.facts)),
        key=lambda pair: -pair[0],
    )
    if rest and rest[0][0] >= SURE + 15:
        job = rest[0][1]
        crops = tuple(request.crops) or tuple(c for c in job.crops if ctx.plot.standing(crop=c))[:1]
        name = listing([ctx.say.crop(c) for c in crops]) or "crops"
        said = units(
            job.task.replace("{crop}", name)
            .replace("{in}", "")
            .replace("{from}", "")
            .replace("{bed}", "the empty bed"),
            ctx,
        )
        return _ticked(job, crops, tuple(request.beds), day, request, ctx, drop=drop, said=said)
    if drop:
        return Reply(
            "I don't know which job you mean, so I changed nothing.",
            lines=('Say it as I do: "don\'t show the slug patrol".',),
        )
    event = NewEvent("job_done", day, crop=request.crop, bed=request.bed, words=text, data={})
    return Reply(
        f"Ticked off: {text}.",
        lines=("It is not on my list, so I wrote it down as you said it.",),
        events=(event,),
        data={"jobs": {"done": None}},
    )


def _which(question: str, due: list[Due], request: Request, ctx: Context) -> Reply:
    """Ask which of some jobs is meant."""
    return ask(question, [(capital(short_said(d, ctx)), f"done: {task_said(d, ctx)}") for d in due], waiting=request, wants="choice")


def _bare(text: str, words: JobWords) -> str:
    """Return what was done without the words that say it was."""
    return words.done_end.sub("", words.done.sub("", text.strip())).strip(" .!")


def _crops_said(due: Due, request: Request) -> tuple[str, ...]:
    said = tuple(c for c in due.crops if c in request.crops)
    return said or due.crops


def _ticked(
    job: Job,
    crops: tuple[str, ...],
    beds: tuple[str, ...],
    day: date,
    request: Request,
    ctx: Context,
    *,
    drop: bool,
    said: str,
) -> Reply:
    kind = "job_dropped" if drop else "job_done"
    data: dict[str, object] = {"job": job.id}
    if crops:
        data["crops"] = list(crops)
    event = NewEvent(
        kind,
        day,
        crop=crops[0] if len(crops) == 1 else None,
        bed=beds[0] if len(beds) == 1 else None,
        words=said,
        data=data,
    )
    head = (
        f"I won't show that again this year: {said}." if drop else f"Ticked off: {said}, {ctx.say.day(day, ctx.today)}."
    )
    again = (
        f"It comes up again in {plural(job.every_days, 'day')}."
        if job.every_days and not drop and job.every_days < 200
        else ""
    )
    return Reply(
        head,
        lines=(again,) if again else (),
        events=(event,),
        choices=(Choice("What next?", "what needs doing this week"),),
        data={"jobs": {"done" if not drop else "dropped": job.id}},
    )
