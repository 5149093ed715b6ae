"""How a crop that is grown afresh is pinched, stopped and stripped as it grows."""

from __future__ import annotations

from bot.facts.crop import Crop
from bot.facts.tending_jobs import Job
from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.handlers.ground_words import units
from bot.reply import Reply
from bot.tending.job_stages import about_crop
from bot.tending.job_windows import all_jobs, window
from bot.wording import capital, plural, small


def pinching(crop: Crop, text: str, ctx: Context) -> Reply:
    """Tell when and how an annual is pinched or stopped: the job the words are of first, else that it wants none."""
    name = ctx.say.crop(crop.id)
    jobs = [job for job in all_jobs(ctx.facts) if job.trims and about_crop(job, crop)]
    jobs.sort(key=lambda job: not any(word in text.lower() for word in job.words))
    card = [ctx.say.prose(said) for said in crop.growing_well if ctx.facts.asking.jobs.trims.search(said)]
    card = [f"{said.rstrip('.')}." for said in card]
    data = {"prune": {"crop": crop.id, "tasks": [{"kind": "pinch", "task": job.id} for job in jobs]}}
    if not jobs and not card:
        end = crop.end_of_crop
        over = (f"When it is over: {small(end.tops).rstrip('.')}.",) if end and end.tops else ()
        return Reply(f"{capital(name)}: nothing to prune, since a plant lives for one season.", lines=over, sources=cited(end) if over else (), data=data)
    if not jobs:
        return Reply(f"{capital(name)}: {card[0][0].lower()}{card[0][1:]}", lines=tuple(card[1:]), data=data)
    lines = [_reason(jobs[0], ctx), *(f"{_task(job, name, ctx)}. {_reason(job, ctx)}" for job in jobs[1:]), *(card if len(jobs) == 1 else ())]
    return Reply(f"{_task(jobs[0], name, ctx)}.", lines=tuple(lines), sources=cited(*jobs), data=data)


def _task(job: Job, name: str, ctx: Context) -> str:
    """Say a job for the crop, with when it is done and how often."""
    task = units((job.us if ctx.say.words == "us" and job.us else job.task).replace("{crop}", name).replace("{in}", ""), ctx)
    often = "" if job.every_days is None else ", weekly" if job.every_days == 7 else f", every {plural(job.every_days, 'day')}"
    return f"{capital(task)}{often}{_from(job, ctx)}"


def _from(job: Job, ctx: Context) -> str:
    """Say from when: its days here, or weeks from sowing or planting; nothing where neither is known."""
    if (job.phase or job.opens) and ctx.season is not None:
        span = window(job, curves(ctx.season, None, ctx.facts))
        if span is not None:
            year = GardenYear.around(ctx.today, ctx.season.southern)
            first, last = year.day(span[0]), year.day(span[1])
            return f", from {ctx.say.part_of_month(first)} to {ctx.say.part_of_month(last)}"
    if job.stage_weeks and job.stage_weeks[0]:
        after = {"planted": "planting out", "sown": "sowing", "begun": "sowing"}[job.counted_from]
        return f", from about {plural(round(job.stage_weeks[0]), 'week')} after {after}"
    return ""


def _reason(job: Job, ctx: Context) -> str:
    return " ".join(units(said, ctx) for said in (job.why, job.how) if said)
