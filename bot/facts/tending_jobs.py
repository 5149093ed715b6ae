"""The jobs table of the tending room: what there is to do in a garden, when, for whom, and why.

A job is no line of a month list: its window is a rule (anchors of frost, warmth, day length and the solstices), its
subject a planting at a stage, a bed of a kind, or something on the plot, and it shows only where these are found.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from pydantic import Field

from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.crop import Anchor
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts

Need = Literal[
    "growing",  # something stands on the plot
    "open-bed",
    "empty-bed",
    "tunnel",
    "frame",
    "fruit-bed",  # a growing place of this kind
    "in-trays",  # raised elsewhere and not yet planted out
    "sown-direct",
    "in-ground",
    "young",  # in its place; planted out within some days
    "plant-out",  # in trays, old enough, and the season for planting out is open
    "again",  # sown some time ago and its season for another sowing is open
    "ready",
    "ripening",
    "over",  # by when it is expected: to be picked now, within two weeks, finished
    "grown-lately",  # grown here in the last two years
    "frost-risk",
    "dry",
    "hot",  # the week ahead
    "hard-winter",  # winters here go well under zero
    "frosts",  # more winters than not bring a frost here
    "seeds",
    "stored-fresh",  # in the record
]
#: An event that shows a job done without being told so.
DoneBy = Literal["fed", "watered", "harvested", "sown", "planted_out", "cleared", "preserved"]


class Phase(Sourced):
    """A named part of the gardener's year: it opens at an anchor and lasts so many weeks."""

    opens: Anchor
    weeks: float = Field(gt=0)


class Job(Sourced):
    """One job.

    `task` is an imperative; {crop} stands for the crop's name, {in} and {from} for its bed, {bed} for an empty one.
    Its window is a `phase`, or `opens` with `weeks`, or the whole year. With `crops` or
    `groups` it is asked of each crop standing; `stage_weeks` are weeks since `counted_from`. `perennial` names the row
    of the perennial's year that it is about. `every_days` is when it comes up again once done; without
    it, once a season. `weight` 5 cannot wait.
    """

    id: Id
    task: str
    us: str | None = None  # `task` in American words, where they differ
    words: list[str] = Field(default_factory=list)  # other words for ticking it off
    crops: list[Id] = Field(default_factory=list)
    groups: list[Id] = Field(default_factory=list)  # rotation groups
    but: list[Id] = Field(default_factory=list)  # crops left out
    perennial: Id | None = None
    needs: list[Need] = Field(default_factory=list)
    phase: Id | None = None
    opens: Anchor | None = None
    weeks: float | None = None
    months_north: tuple[int, int] | None = None  # only of rows made from the perennial year, as printed there
    counted_from: Literal["sown", "planted", "begun"] = "begun"
    stage_weeks: Span | None = None
    age_years: Span | None = None  # years since it was planted
    fruited: Literal["summer", "autumn"] | None = None  # only where the crop is known to be picked then, or not known
    covered: bool | None = None  # true: only under a roof; false: only in the open
    minutes: int = Field(ge=1, le=240)
    each: int | None = None  # minutes more for each plant, where counted
    weight: int = Field(ge=1, le=5)
    why: str = Field(min_length=8)
    how: str | None = None
    caution: str | None = None
    every_days: int | None = None
    done_by: list[DoneBy] = Field(default_factory=list)
    hazards: list[Id] = Field(default_factory=list)


class PerennialKind(Sourced):
    """How long a kind of perennial's task takes, how much it matters, and why: where no job says otherwise."""

    minutes: int = Field(ge=1, le=240)
    weight: int = Field(ge=1, le=5)
    why: str


class Jobs(Shape):
    """Phases, jobs, and what holds for a perennial's task that no job is about."""

    phases: dict[Id, Phase]
    perennial_kinds: dict[Id, PerennialKind]
    jobs: list[Job]

    def job(self, job_id: str) -> Job | None:
        """Return one job by id, or None."""
        return next((job for job in self.jobs if job.id == job_id), None)


def check(facts: Facts) -> list[Fault]:
    """Return jobs whose names lead nowhere, that stand twice, or that nothing could ever call up."""
    room, file = facts.tending.jobs, "tending/jobs.yaml"
    groups = {crop.family.rotation_group for crop in facts.crops.values()}
    tasks = {task.id for task in facts.keeping.perennials}
    hazards = {row.id for row in facts.tending.hazards}
    faults: list[Fault] = []
    seen: set[str] = set()
    for job in room.jobs:
        if job.id in seen:
            faults.append(Fault(file, 0, job.id, "stands twice"))
        seen.add(job.id)
        faults += [
            Fault(file, 0, f"{job.id}.crops", f"unknown crop {c!r}")
            for c in (*job.crops, *job.but)
            if c not in facts.crops
        ]
        faults += [
            Fault(file, 0, f"{job.id}.groups", f"unknown rotation group {g!r}") for g in job.groups if g not in groups
        ]
        faults += [
            Fault(file, 0, f"{job.id}.source", f"unknown source {s!r}") for s in job.source if s not in facts.sources
        ]
        faults += [
            Fault(file, 0, f"{job.id}.hazards", f"unknown hazard {h!r}") for h in job.hazards if h not in hazards
        ]
        if job.perennial and job.perennial not in tasks:
            faults.append(Fault(file, 0, f"{job.id}.perennial", f"unknown task {job.perennial!r}"))
        if job.phase and job.phase not in room.phases:
            faults.append(Fault(file, 0, f"{job.id}.phase", f"unknown phase {job.phase!r}"))
        if job.opens and not job.weeks:
            faults.append(Fault(file, 0, f"{job.id}.weeks", "a window that opens must last so many weeks"))
        if "{crop}" in job.task and not (job.crops or job.groups or set(job.needs) & PER_CROP):
            faults.append(Fault(file, 0, f"{job.id}.task", "speaks of a crop but is about none"))
    about = {job.perennial for job in room.jobs if job.perennial}
    faults += [
        Fault(file, 0, "perennial_kinds", f"says nothing of {task.kind!r}, as in {task.id}")
        for task in facts.keeping.perennials
        if task.id not in about and task.kind not in (*room.perennial_kinds, "move")
    ]
    return faults


#: Needs that are met crop by crop.
PER_CROP = frozenset(
    {"in-trays", "young", "ready", "ripening", "over", "plant-out", "again", "sown-direct", "in-ground", "frost-risk"}
)
