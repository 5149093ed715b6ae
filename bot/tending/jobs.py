"""What is to be done on this plot now: each job's window here, its subject on the plot, its stage, and whether it was done.

A job shows when its window (anchors turned into days at this place) holds the day, what it needs is found in the record
or in the week's weather, and the record does not show it done. Pure: plot, facts, season and day in, a list out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.facts.crop import Crop
from bot.facts.tending_jobs import PER_CROP, Job
from bot.growing.anchors import INF, opens
from bot.growing.calendar import YEAR, GardenYear
from bot.growing.curves import Curves, curves
from bot.growing.windows import RAISED, ROOFS, windows
from bot.plot.events import Event
from bot.plot.state import Bed, Planting, Plot
from bot.tending.ticking import speaks_of

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.season import Season

WEEK = timedelta(days=6)
LATELY = timedelta(days=730)
YOUNG_DAYS, RIPENING_DAYS, OVER_DAYS = 9, 14, 10
#: A job done is not due again within this many days when it has no window of its own.
SEASON_DAYS = 240
#: Colder than this on average nothing grows: hardy crops stand and are not called finished.
REST_C = 5.5
_LASTING = ("perennial", "shrub", "tree")

#: First and last day of picking of a planting, or None when it cannot be told.
Picked = Callable[[Planting], tuple[date, date] | None]


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


@dataclass
class Round:
    """A walk round the plot on one day. `weather` says what the week brings: any of dry, hot, frost-risk crops."""

    plot: Plot
    facts: Facts
    season: Season
    day: date
    picked: Picked
    dry: bool = False
    hot: bool = False
    at_risk: frozenset[int] = frozenset()  # ids of plantings that a frost of this week would hurt
    today: date | None = None  # when looking ahead, the day of the record
    _events: dict[str, list[Event]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.now = self.today or self.day
        self.year = GardenYear.around(self.day, self.season.southern)
        self.standing = tuple(p for p in self.plot.standing() if self._alive(p))
        for event in self.plot.events("job_done", "job_dropped", "noted", "fed", "watered", "harvested", "sown", "planted_out", "cleared", "preserved"):
            self._events.setdefault(event.kind, []).append(event)

    def _alive(self, planting: Planting) -> bool:
        """Tell whether a planting will still stand on the day looked at; annuals go soon after their last picking."""
        crop = self.facts.crops.get(planting.crop)
        if crop is None or self.day <= self.now + timedelta(days=14) or _lasts(crop):
            return True
        span = self.picked(planting)
        return span is None or self.day <= span[1] + timedelta(days=7)

    def bed(self, planting: Planting) -> Bed | None:
        """Return the bed a planting stands in."""
        return self.plot.beds.get(planting.bed or "")

    def roofed(self, planting: Planting) -> bool:
        """Tell whether a planting stands under a roof."""
        bed = self.bed(planting)
        return bool(bed and bed.cover and self.season.climate.cover_id(bed.cover) in ROOFS)

    def events(self, *kinds: str) -> list[Event]:
        """Return the plot's events of some kinds up to the day of the record."""
        return [e for kind in kinds for e in self._events.get(kind, ()) if e.day <= self.now]


def jobs_due(walk: Round) -> list[Due]:
    """Return every job due in the week that begins on the walk's day, the most pressing first."""
    found = [due for job in all_jobs(walk.facts) if (due := _due(job, walk)) is not None]
    return sorted(found, key=lambda due: (-due.score, due.job.minutes, due.job.id))


def all_jobs(facts: Facts) -> list[Job]:
    """Return the jobs of the table, and one for each perennial's task that none of them is about."""
    held = _ALL.get(id(facts))
    if held is None or held[0] is not facts:
        table = facts.tending.jobs
        about = {job.perennial for job in table.jobs if job.perennial}
        rest = [_of_task(task, table.perennial_kinds[task.kind]) for task in facts.keeping.perennials
                if task.id not in about and task.kind not in ("pick", "plant")]
        held = _ALL[id(facts)] = (facts, [*table.jobs, *rest])
    return held[1]


_ALL: dict[int, tuple[object, list[Job]]] = {}


def _of_task(task, kind) -> Job:  # type: ignore[no-untyped-def]
    said = f"{task.task} the {{crop}}{{in}}" if " " not in task.task else f"{{crop}}{{in}}: {task.task}"
    return Job(id=task.id, task=said, crops=[task.crop], perennial=task.id, needs=["in-ground"], months_north=task.months_north,
               minutes=kind.minutes, weight=kind.weight, why=kind.why, words=[task.kind], source=task.source)


# --- windows -------------------------------------------------------------------------------------------------------


def window(job: Job, here: Curves) -> tuple[float, float] | None:
    """Return a job's window as days from midwinter, or None when it never opens here. A job of the whole year: (0, 365)."""
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
    """Return the days of a span of months as published for the north, half a year on in the south, if it holds the day."""
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
    last = _last_done(job, walk, None, beds or ())
    if _still_done(job, last, dates, walk):
        return None
    return Due(job, *dates, (), tuple(b.id for b in beds) if beds and "empty-bed" in job.needs else (), _score(job, dates, last, walk), last)


def _plot_has(job: Job, walk: Round) -> bool:
    """Tell whether what a job needs of the whole plot or the week is there."""
    plot, needs = walk.plot, job.needs
    kinds = {bed.kind for bed in plot.beds.values()}
    covers = {walk.season.climate.cover_id(bed.cover) for bed in plot.beds.values() if bed.cover}
    checks: dict[str, Callable[[], bool]] = {
        "growing": lambda: any(p.in_ground for p in walk.standing),
        "open-bed": lambda: any(b.cover is None and b.kind in ("bed", "border") for b in plot.beds.values()),
        "tunnel": lambda: bool(kinds & {"tunnel", "greenhouse"} or covers & {"polytunnel", "greenhouse", "polytunnel-fleece"}),
        "frame": lambda: "frame" in kinds or "cold-frame" in covers,
        "fruit-bed": lambda: "fruit" in kinds,
        "dry": lambda: walk.dry,
        "hot": lambda: walk.hot,
        "hard-winter": lambda: _hard_winter(walk),
        "seeds": lambda: any(not s.used_up for s in plot.seeds),
        "stored-fresh": lambda: any(lot.left > 0 and lot.product == "stored" for lot in plot.lots),
    }
    if job.id == "seed-buy" and any(not s.used_up for s in plot.seeds):
        return False  # the other row, with the seed tin, is said instead
    if job.covered is True and "growing" in needs and not any(walk.roofed(p) for p in walk.standing if p.in_ground):
        return False
    return all(checks[need]() for need in needs if need in checks)


def _hard_winter(walk: Round) -> bool:
    return float(walk.season.arrays(None).low.min()) < -0.5


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
        return None if _still_done(job, last, dates, walk) else Due(job, *dates, tuple(names[:1]), (), _score(job, dates, last, walk), last)
    crops: list[str] = []
    beds: list[str] = []
    oldest: date | None = None
    for planting in walk.standing:
        crop = walk.facts.crops.get(planting.crop)
        if crop is None or not _about(job, crop) or not _fits(job, planting, crop, walk):
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
    return Due(job, *dates, tuple(dict.fromkeys(crops)), tuple(dict.fromkeys(beds)), _score(job, dates, oldest, walk, len(set(crops))), oldest)


def _about(job: Job, crop: Crop) -> bool:
    if crop.id in job.but:
        return False
    if job.crops or job.groups:
        return crop.id in job.crops or crop.family.rotation_group in job.groups or (crop.like in job.crops and job.perennial is None)
    return "green-manure" not in crop.use


def _fits(job: Job, planting: Planting, crop: Crop, walk: Round) -> bool:
    """Tell whether a planting is at the stage and place a job is for."""
    day, needs = walk.day, job.needs
    if job.covered is not None and walk.roofed(planting) != job.covered:
        return False
    raised = planting.planted_out is None and planting.method in (*RAISED, "tray", "pot")
    begun = {"sown": planting.sown, "planted": planting.planted_out or planting.in_ground, "begun": planting.in_ground or planting.sown or planting.planted_out}[job.counted_from]
    if job.stage_weeks is not None:
        if begun is None or not job.stage_weeks[0] <= (day - begun).days / 7 <= job.stage_weeks[1]:
            return False
    if job.age_years is not None:
        if planting.in_ground is None or not job.age_years[0] <= (day - planting.in_ground).days / 365 <= job.age_years[1]:
            return False
    if job.fruited is not None and not _fruits(planting, job.fruited, walk):
        return False
    span = walk.picked(planting) if {"ready", "ripening", "over"} & set(needs) else None
    tests: dict[str, Callable[[], bool]] = {
        "in-trays": lambda: raised,
        "sown-direct": lambda: planting.planted_out is None and not raised and planting.sown is not None,
        "in-ground": lambda: planting.in_ground is not None and planting.in_ground <= day,
        "young": lambda: planting.planted_out is not None and 0 <= (day - planting.planted_out).days <= YOUNG_DAYS and not _lasts(crop),
        "plant-out": lambda: raised and _may_plant_out(planting, crop, walk),
        "again": lambda: _again(planting, crop, walk),
        "ready": lambda: span is not None and planting.in_ground is not None and span[0] <= day + timedelta(days=2) and day <= span[1],
        "ripening": lambda: span is not None and planting.in_ground is not None
        and timedelta(days=2) < span[0] - day <= timedelta(days=RIPENING_DAYS) and not planting.harvests,
        "over": lambda: span is not None and not _lasts(crop) and not (_hardy(crop) and walk.season.mean(day) < REST_C) and timedelta(days=OVER_DAYS) <= day - span[1] <= timedelta(days=90)
        and not any((walk.now - h.day).days < 10 for h in planting.harvests),
        "frost-risk": lambda: planting.id in walk.at_risk and not _lasts(crop) and crop.sowing is not None
        and crop.sowing.hardiness_class in ("tender", "half-hardy"),
    }
    return all(tests[need]() for need in needs if need in tests)


def _hardy(crop: Crop) -> bool:
    return crop.sowing is not None and crop.sowing.hardiness_class in ("hardy", "very-hardy")


def _lasts(crop: Crop) -> bool:
    return crop.growth is not None and crop.growth.life_cycle in _LASTING


def _fruits(planting: Planting, when: str, walk: Round) -> bool:
    """Tell whether a bush is picked in that half of the season, by its pickings; not known counts as yes."""
    if not planting.harvests:
        return True
    counts = [GardenYear.around(h.day, walk.season.southern).count(h.day) for h in planting.harvests]
    early = sum(count < 182 + 8 * 7 for count in counts) * 2 >= len(counts)
    return early == (when == "summer")


def _may_plant_out(planting: Planting, crop: Crop, walk: Round) -> bool:
    """Tell whether plants in trays are old enough and their season for planting out is open where they will stand."""
    if planting.sown is None or crop.sowing is None:
        return False
    weeks = next((r.weeks_as_seedling for r in crop.sowing.rules if r.weeks_as_seedling), (4.0, 6.0))
    age = (walk.day - planting.sown).days / 7
    if not weeks[0] <= age <= weeks[1] + 10:
        return False
    count = walk.year.count(walk.day)
    covers: list[str | None] = [None]
    if crop.sowing.hardiness_class in ("tender", "half-hardy"):
        covers += [b.cover for b in walk.plot.beds.values() if b.kind in ("tunnel", "greenhouse")]
    for cover in covers:
        here = curves(walk.season, cover, walk.facts)
        if any(w.method == "plants" and w.holds(count, slack=3) is not None for w in windows(crop, here, roofed=cover is not None)):
            return True
    return False


def _again(planting: Planting, crop: Crop, walk: Round) -> bool:
    """Tell whether a crop sown little and often may be sown again."""
    every = crop.sowing.succession_days if crop.sowing else None
    if every is None or planting.sown is None:
        return False
    last = max(p.sown for p in walk.plot.plantings if p.crop == crop.id and p.sown is not None)
    if not every[0] <= (walk.day - last).days <= 90:
        return False
    here = curves(walk.season, None, walk.facts)
    count = walk.year.count(walk.day)
    return any(w.method in ("direct", "module") and w.holds(count) is not None and w.closes - (w.holds(count) or 0) > 5
               for w in windows(crop, here))


# --- was it done ---------------------------------------------------------------------------------------------------


def _last_done(job: Job, walk: Round, crop: str | None, beds: Iterable[str | None]) -> date | None:
    """Return the last day the record shows a job done (or dropped) for a crop and bed, or None."""
    here = set(beds)
    days: list[date] = []
    for event in walk.events("noted"):
        if (crop is None) == (event.crop is None) and event.crop in (None, crop) and speaks_of(event.words, job, None, walk.facts):
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
