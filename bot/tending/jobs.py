"""What is to be done on this plot now: each job's window, subject and stage, and whether it was done.

A job shows when its window (anchors turned into days at this place) holds the day, what it needs is found in the record
or in the week's weather, and the record does not show it done. Pure: plot, facts, season and day in, a list out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.facts.crop import Crop
from bot.facts.tending_jobs import PER_CROP, Job
from bot.growing.calendar import YEAR
from bot.growing.curves import Curves, curves
from bot.plot.state import Bed
from bot.tending.job_round import Round
from bot.tending.job_stages import about_crop, fits_stage
from bot.tending.job_windows import all_jobs, window
from bot.tending.ticking import speaks_of

if TYPE_CHECKING:
    from bot.season import Season

WEEK = timedelta(days=6)
LATELY = timedelta(days=730)
#: A job done is not due again within this many days when it has no window of its own.
SEASON_DAYS = 240


@dataclass(frozen=True, slots=True)
class Due:
    """A job that is to be done: for which crops and beds, from when to when, and how much it matters."""

    job: Job
    opens: date
    closes: date
    crops: tuple[str, ...] = ()
    beds: tuple[str, ...] = ()
    score: float = 0.0
    last_done: date | None = None

    def days_left(self, day: date) -> int:
        """Return the days until its window closes."""
        return (self.closes - day).days


def jobs_due(walk: Round) -> list[Due]:
    """Return every job due in the week that begins on the walk's day, the most pressing first."""
    found = [due for job in all_jobs(walk.facts) if (due := _due(job, walk)) is not None]
    return sorted(found, key=lambda due: (-due.score, due.job.minutes, due.job.id))


# --- windows -------------------------------------------------------------------------------------------------------


def _dates(job: Job, walk: Round, here: Curves) -> tuple[date, date] | None:
    """Return the window's dates when it holds the week of the walk's day, else None."""
    if job.months_north is not None:
        return _month_dates(job.months_north, walk)
    span = window(job, here)
    if span is None:
        return None
    if span[1] - span[0] >= YEAR - 1:
        return walk.day, walk.day + timedelta(days=365)
    first, last = walk.year.count(walk.day), walk.year.count(walk.day + WEEK)
    for shift in (0, YEAR, -YEAR):
        if span[0] <= last + shift and first + shift <= span[1]:
            return walk.year.day(span[0] - shift), walk.year.day(span[1] - shift)
    return None


def _month_dates(months: tuple[int, int], walk: Round) -> tuple[date, date] | None:
    """Return the days of a published span of months, half a year on in the south, if it holds the day."""
    first, last = months
    if walk.season.southern:
        first, last = (first + 5) % 12 + 1, (last + 5) % 12 + 1
    month = walk.day.month
    if not (first <= month <= last if first <= last else month >= first or month <= last):
        return None
    begins = date(walk.day.year - (first > month), first, 1)
    ends = date(walk.day.year + (last < month), last, 1) + timedelta(days=31)
    return begins, ends.replace(day=1) - timedelta(days=1)


# --- is it due -----------------------------------------------------------------------------------------------------


def _due(job: Job, walk: Round) -> Due | None:
    here = curves(walk.season, None, walk.facts)
    dates = _dates(job, walk, here)
    if dates is None or not _plot_has(job, walk):
        return None
    if job.crops or job.groups or set(job.needs) & PER_CROP or "grown-lately" in job.needs:
        return _for_crops(job, walk, dates)
    beds = _beds_for(job, walk)
    if beds is not None and not beds:
        return None
    last = _last_done(job, walk, None, [bed.id for bed in beds or ()])
    if _still_done(job, last, dates, walk):
        return None
    return Due(
        job,
        *dates,
        (),
        tuple(b.id for b in beds) if beds and "empty-bed" in job.needs else (),
        _score(job, dates, last, walk),
        last,
    )


def _plot_has(job: Job, walk: Round) -> bool:
    """Tell whether what a job needs of the whole plot or the week is there."""
    plot, needs = walk.plot, job.needs
    kinds = {bed.kind for bed in plot.beds.values()}
    covers = {walk.season.climate.cover_id(bed.cover) for bed in plot.beds.values() if bed.cover}
    checks: dict[str, Callable[[], bool]] = {
        "growing": lambda: any(p.in_ground for p in walk.standing),
        "open-bed": lambda: any(b.cover is None and b.kind in ("bed", "border") for b in plot.beds.values()),
        "tunnel": lambda: bool(
            kinds & {"tunnel", "greenhouse"} or covers & {"polytunnel", "greenhouse", "polytunnel-fleece"}
        ),
        "frame": lambda: "frame" in kinds or "cold-frame" in covers,
        "fruit-bed": lambda: "fruit" in kinds,
        "dry": lambda: walk.dry,
        "hot": lambda: walk.hot,
        "hard-winter": lambda: hard_winter(walk.season),
        "frosts": lambda: walk.season.frost_dates().first.p50 is not None,
        "seeds": lambda: any(not s.used_up for s in plot.seeds),
        "stored-fresh": lambda: any(lot.left > 0 and lot.product == "stored" for lot in plot.lots),
    }
    if job.id == "seed-buy" and any(not s.used_up for s in plot.seeds):
        return False  # the other row, with the seed tin, is said instead
    if job.covered is True and "growing" in needs and not any(walk.roofed(p) for p in walk.standing if p.in_ground):
        return False
    return all(checks[need]() for need in needs if need in checks)


def hard_winter(season: Season) -> bool:
    """Tell whether winter nights go well under zero at a place."""
    return float(season.arrays(None).low.min()) < -0.5


def _beds_for(job: Job, walk: Round) -> list[Bed] | None:
    """Return the empty beds a job is about, or None when it is about no bed."""
    if "empty-bed" not in job.needs:
        return None
    used = {p.bed for p in walk.standing}
    return [b for b in walk.plot.beds.values() if b.id not in used and b.kind in ("bed", "border") and b.cover is None]


def _for_crops(job: Job, walk: Round, dates: tuple[date, date]) -> Due | None:
    """Return a job for all crops it is due for at once."""
    if "grown-lately" in job.needs:
        since = walk.now - LATELY
        grown = {p.crop for p in walk.plot.plantings if (p.cleared or walk.now) >= since}
        names = [c for c in job.crops if c in grown]
        if not names or any(p.crop in names for p in walk.standing):
            return None
        last = _last_done(job, walk, names[0], ())
        return (
            None
            if _still_done(job, last, dates, walk)
            else Due(job, *dates, tuple(names[:1]), (), _score(job, dates, last, walk), last)
        )
    crops: list[str] = []
    beds: list[str] = []
    oldest: date | None = None
    for planting in walk.standing:
        crop = walk.facts.crops.get(planting.crop)
        if crop is None or not about_crop(job, crop) or not fits_stage(job, planting, crop, walk):
            continue
        last = _last_done(job, walk, planting.crop, (planting.bed,) if planting.bed else ())
        if _still_done(job, last, dates, walk, crop):
            continue
        crops.append(planting.crop)
        if planting.bed:
            beds.append(planting.bed)
        oldest = last if oldest is None else oldest
    if not crops:
        return None
    return Due(
        job,
        *dates,
        tuple(dict.fromkeys(crops)),
        tuple(dict.fromkeys(beds)),
        _score(job, dates, oldest, walk, len(set(crops))),
        oldest,
    )


# --- was it done ---------------------------------------------------------------------------------------------------


def _last_done(job: Job, walk: Round, crop: str | None, beds: Iterable[str | None]) -> date | None:
    """Return the last day the record shows a job done (or dropped) for a crop and bed, or None."""
    here = set(beds)
    days: list[date] = []
    for event in walk.events("noted"):
        if (
            (crop is None) == (event.crop is None)
            and event.crop in (None, crop)
            and speaks_of(event.words, job, None, walk.facts)
        ):
            days.append(event.day)
    for event in walk.events("job_done", "job_dropped"):
        named = event.data.get("job")
        about = event.data.get("crop", event.crop)
        if named == job.id and (crop is None or about in (None, crop) or crop in event.data.get("crops", ())):
            days.append(event.day + timedelta(days=365) if event.kind == "job_dropped" else event.day)
        elif named is None and speaks_of(event.words, job, crop, walk.facts):
            days.append(event.day)
    for event in walk.events(*job.done_by):
        if event.crop is not None and crop is not None:
            matches = event.crop == crop and (event.bed is None or not here or event.bed in here)
        elif event.crop is None and event.bed is not None:
            matches = event.bed in here if here else crop is None and _bed_suits(job, event.bed, walk)
        else:
            matches = event.crop is None or crop is None and event.bed in here
        if job.done_by == ["fed"] and event.data.get("material") == "lime":
            matches = False
        if matches:
            days.append(event.day)
    return max(days, default=None)


def _bed_suits(job: Job, bed_id: str, walk: Round) -> bool:
    """Tell whether work in a bed counts for a job about no crop: the right kind of place."""
    bed = walk.plot.beds.get(bed_id)
    if bed is None:
        return False
    roofed = bool(bed.cover)
    return roofed if job.covered else not roofed if job.covered is False or "open-bed" in job.needs else True


def _still_done(job: Job, last: date | None, dates: tuple[date, date], walk: Round, crop: Crop | None = None) -> bool:
    if last is None:
        return False
    every = job.every_days
    if job.id == "pick" and crop is not None and crop.harvest and crop.harvest.every_days:
        every = max(1, round(sum(crop.harvest.every_days) / 2))
    if every is not None:
        return (walk.day - last).days < every
    if (dates[1] - dates[0]).days >= 360:
        return (walk.day - last).days < SEASON_DAYS
    return last >= dates[0] - timedelta(days=14)


def _score(job: Job, dates: tuple[date, date], last: date | None, walk: Round, crops: int = 1) -> float:
    """Weigh a job: how much it matters, how soon it is too late, how long it has waited."""
    left = (dates[1] - walk.day).days
    score = job.weight * 10.0
    score += 9 if left <= 7 else 5 if left <= 14 else 0
    if walk.day < dates[0]:
        score -= 3
    if job.every_days and last is not None and (walk.day - last).days > 2 * job.every_days:
        score += 2
    if job.every_days and job.every_days <= 3:
        score -= 4  # daily chores are known without being told
    return score + min(crops, 4) * 0.5
