"""The jobs of the table and of the perennial year, and the days their windows open at one place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.facts.tending_jobs import Job
from bot.growing.anchors import INF, opens
from bot.growing.calendar import YEAR
from bot.growing.curves import Curves

if TYPE_CHECKING:
    from bot.facts import Facts


def all_jobs(facts: Facts) -> list[Job]:
    """Return the jobs of the table, and one for each perennial's task that none of them is about."""
    held = _ALL.get(id(facts))
    if held is None or held[0] is not facts:
        table = facts.tending.jobs
        about = {job.perennial for job in table.jobs if job.perennial}
        rest = [
            _of_task(task, table.perennial_kinds[task.kind])
            for task in facts.keeping.perennials
            if task.id not in about and task.kind not in ("pick", "plant", "move")
        ]
        held = _ALL[id(facts)] = (facts, [*table.jobs, *rest])
    return held[1]


_ALL: dict[int, tuple[object, list[Job]]] = {}


def _of_task(task, kind) -> Job:  # type: ignore[no-untyped-def]
    said = f"{task.task} the {{crop}}{{in}}" if " " not in task.task else f"{{crop}}{{in}}: {task.task}"
    return Job(
        id=task.id,
        task=said,
        crops=[task.crop],
        perennial=task.id,
        needs=["in-ground"],
        months_north=task.months_north,
        minutes=kind.minutes,
        weight=kind.weight,
        why=kind.why,
        words=[task.kind],
        source=task.source,
    )


def window(job: Job, here: Curves) -> tuple[float, float] | None:
    """Return a job's window as days from midwinter, None when it never opens here; (0, 365) for the whole year."""
    key = ("job", job.id)
    if key not in here.memo:
        phase = here.facts.tending.jobs.phases.get(job.phase or "")
        anchor, weeks = (phase.opens, phase.weeks) if phase else (job.opens, job.weeks)
        span: tuple[float, float] | None = (0.0, float(YEAR))
        if anchor is not None and weeks:
            first = opens(anchor, here)
            if first == -INF:
                first = 0.0
            span = None if first == INF else (first, first + 7 * weeks)
        here.memo[key] = span
    return here.memo[key]  # type: ignore[return-value]
