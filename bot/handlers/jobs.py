"""What should be done this week or month on this plot, and ticking jobs off."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta

from bot.facts.tending_jobs import Job
from bot.handlers import answers
from bot.handlers.checking import bed_name, day_of, unknown_bed
from bot.handlers.context import Context, ask_place
from bot.handlers.frost import at_risk
from bot.handlers.ground_words import cap, chain, hazards, units
from bot.handlers.harvesting import expected
from bot.plot.events import NewEvent
from bot.plot.state import Planting
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.tending.jobs import Due, Round, all_jobs, jobs_due
from bot.tending.sightings import due_again
from bot.tending.ticking import SURE, likeness
from bot.tending.water import budget, weather
from bot.wording import listing, plural

SHOWN = 7
_DONE = re.compile(r"^\s*(?:i(?:'ve| have)?\s+|we(?:'ve| have)?\s+|all\s+)?(?:done|did|finished|ticked? off|tick|crossed? off|completed|sorted)\b(?!.*\?)", re.I)
_DONE_END = re.compile(r"\b(?:is|are|all)?\s*(?:done|finished|ticked off|sorted)\s*(?:now|today|yesterday)?[.!]?\s*$", re.I)
_DROP = re.compile(r"\b(don.?t (?:want|show|remind)|never (?:mind|show)|drop|skip|stop telling|not (?:going to|doing))\b", re.I)
_URGENT = re.compile(r"\b(urgent|first|priority|most|important|behind)\b", re.I)
_COUNT = re.compile(r"\b(one|two|three|four|five|six|seven|eight|nine|ten|\d{1,2})\s+(?:jobs?|things?|tasks?|chores?)\b", re.I)
_NUMBERS = {w: n for n, w in enumerate("zero one two three four five six seven eight nine ten".split())}
_HOURS = re.compile(r"\b(an|one|two|three|four|half an|\d+(?:\.\d+)?)\s*(?:a\s+)?hours?\b", re.I)
DRY_MM = 12.0
HOT_C = 26.0
FROST_CHANCE = 0.35


@dataclass(frozen=True, slots=True)
class Span:
    """The days asked about."""

    first: date
    last: date

    @property
    def words(self) -> int:
        """Return its length in days."""
        return (self.last - self.first).days + 1


@answers("jobs")
def jobs(request: Request, ctx: Context) -> Reply:
    """List what this plot wants done in the days asked about, or tick a job off."""
    if ctx.season is None:
        return ask_place(request)
    if "done" in request.flags or _DONE.search(request.text) or (_DONE_END.search(request.text) and not request.text.strip().endswith("?")):
        return tick(request, ctx)
    if _DROP.search(request.text):
        return tick(request, ctx, drop=True)
    stray = unknown_bed(request, ctx)
    if stray:
        return stray
    span = span_of(request, ctx)
    found = due_in(span, ctx)
    found = [d for d in found if _asked(d, request, ctx)]
    return _list(found, span, request, ctx)


def span_of(request: Request, ctx: Context) -> Span:
    """Return the days a request means: a day as its week's work, the span named, or the week from today."""
    if request.when is None or request.when.end < ctx.today:
        return Span(ctx.today, ctx.today + timedelta(days=6))
    first = max(request.when.start, ctx.today)
    return Span(first, max(request.when.end, first))


def due_in(span: Span, ctx: Context) -> list[Due]:
    """Return the jobs due in some days, the most pressing first; each once, as first found."""
    found: dict[tuple[str, tuple[str, ...]], Due] = {}
    day = span.first
    while True:
        for due in jobs_due(round_on(day, ctx)):
            found.setdefault((due.job.id, due.crops if span.words <= 8 else ()), due)
        if day + timedelta(days=7) > span.last:
            break
        day += timedelta(days=7)
    return sorted(found.values(), key=lambda d: (-d.score, d.job.minutes, d.job.id))


def round_on(day: date, ctx: Context) -> Round:
    """Return a walk round the plot on a day, with the week's weather and who a frost would hurt."""
    assert ctx.season is not None
    ahead = (day - ctx.today).days
    days = weather(ctx.season, day, 7)
    water = ctx.facts.tending.water
    want = budget(days, 1.0, 30.0, water).need
    hot = max((r.high_c for r in ctx.season.forecast.days if 0 <= (r.day - day).days <= 6), default=ctx.season.high(day + timedelta(days=3))) \
        if ctx.season.forecast else ctx.season.high(day + timedelta(days=3))
    risk: frozenset[int] = frozenset()
    if ahead <= 7:
        risk = frozenset(r.planting.id for r in at_risk(day, day + timedelta(days=6), ctx, least=FROST_CHANCE) if r.planting.in_ground)
    held: dict[int, tuple[date, date] | None] = {}

    def picked(planting: Planting) -> tuple[date, date] | None:
        if planting.id not in held:
            due = expected(planting, ctx)
            held[planting.id] = (due.first, due.last) if due else None
        return held[planting.id]

    return Round(ctx.plot, ctx.facts, ctx.season, day, picked, dry=want >= DRY_MM, hot=hot >= HOT_C, at_risk=risk, today=ctx.today)


def _asked(due: Due, request: Request, ctx: Context) -> bool:
    """Tell whether a job is about the beds and crops a request names."""
    wanted = set(request.crops or request.crop_choices)
    if wanted and not wanted & set(due.crops):
        return False
    if request.beds:
        beds = {ctx.plot.beds[b] for b in request.beds if b in ctx.plot.beds}
        roofed = any(b.cover for b in beds)
        about = set(due.beds) & set(request.beds)
        general = not due.beds and not due.crops and ("tunnel" in due.job.needs and any(b.kind in ("tunnel", "greenhouse") for b in beds)
                                                      or "frame" in due.job.needs and any(b.kind == "frame" for b in beds)
                                                      or "open-bed" in due.job.needs and not roofed)
        return bool(about or general)
    return True


# --- saying it -----------------------------------------------------------------------------------------------------


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
    return units(task.replace("{crop}", crop).replace("{in}", where).replace("{from}", where.replace(" in ", " from ", 1)).replace("{bed}", empty), ctx)


def line(due: Due, ctx: Context) -> str:
    """Say a job in one line: what, how long, why, and until when if that is soon."""
    left = due.days_left(ctx.today)
    soon = f", by {ctx.say.day(due.closes, ctx.today)}" if 0 <= left <= 10 and not due.job.every_days else ""
    return f"{cap(task_said(due, ctx))} ({due.job.minutes} min{soon}). {units(due.job.why, ctx)}"


def how_of(job: Job, ctx: Context) -> str | None:
    """Return how a job is done: its own words, or those of the perennial's year."""
    if job.how:
        return units(job.how, ctx)
    task = next((t for t in ctx.facts.keeping.perennials if t.id == job.perennial), None) if job.perennial else None
    if task is None:
        return None
    return f"{ctx.say.prose(task.detail)}." + (f" {ctx.say.prose(task.do_not)}." if task.do_not else "")


def _list(found: list[Due], span: Span, request: Request, ctx: Context) -> Reply:
    about = _about(request, ctx)
    when = _when(span, request, ctx)
    warnings = seen_last_year(span.first, ctx)
    if not found:
        nothing = f"Nothing presses{about} {when}."
        extra = [] if ctx.plot.plantings or ctx.plot.beds else ['Tell me your beds and what grows in them and I can say more: "add a bed 1.2 x 4 m".']
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
    shown = chosen[:limit or SHOWN]
    rest = [d for d in chosen if d not in shown] if not limit and not minutes else []
    head = f"First{about} {when}: {task_said(shown[0], ctx)}."
    first_why = f"{units(shown[0].job.why, ctx)} About {shown[0].job.minutes} minutes."
    how = how_of(shown[0].job, ctx)
    lines = [f"{first_why}{' ' + how if how and len(how) < 140 else ''}", *(line(d, ctx) for d in shown[1:]), *warnings[:2]]
    cautions = chain([d.job.caution for d in shown[:4] if d.job.caution], hazards([h for d in shown[:3] for h in d.job.hazards], ctx))[:2]
    working = tuple(_why(d, ctx) for d in shown)
    more = tuple(line(d, ctx) for d in rest)
    return Reply(head, lines=tuple(lines), more=more, working=working, cautions=cautions, sources=chain(*(d.job.source for d in shown)),
                 choices=tuple(Choice(f"Done: {_short(d, ctx)}", f"done: {_short(d, ctx)}") for d in shown[:3]),
                 data={"jobs": {"from": span.first.isoformat(), "to": span.last.isoformat(), "minutes": sum(d.job.minutes for d in shown),
                                "rows": [row(d, ctx) for d in chosen]}})


def _short(due: Due, ctx: Context) -> str:
    said = task_said(due, ctx)
    return said if len(said) <= 40 else said.split(" in ")[0].split(" and ")[0].split(",")[0][:60]


def row(due: Due, ctx: Context) -> dict[str, object]:
    """Return a job as data."""
    return {"job": due.job.id, "task": task_said(due, ctx), "crops": list(due.crops), "beds": list(due.beds), "minutes": due.job.minutes,
            "why": due.job.why, "from": due.opens.isoformat(), "to": due.closes.isoformat(), "weight": due.job.weight}


def _why(due: Due, ctx: Context) -> str:
    whole = (due.closes - due.opens).days >= 360
    window = "any time of the year" if whole else f"here from about {ctx.say.day(due.opens, ctx.today)} to {ctx.say.day(due.closes, ctx.today)}"
    every = f", every {plural(due.job.every_days, 'day')}" if due.job.every_days else ""
    last = f"; last written down {ctx.say.day(due.last_done, ctx.today)}" if due.last_done and due.last_done <= ctx.today else ""
    return f"{cap(task_said(due, ctx))}: {window}{every}{last}."


def _about(request: Request, ctx: Context) -> str:
    crops = request.crops or request.crop_choices
    if crops:
        return f" for the {listing([ctx.say.crop(c) for c in crops[:2]])}"
    if request.beds:
        return f" in {listing([bed_name(b, ctx) for b in request.beds])}"
    return ""


def _when(span: Span, request: Request, ctx: Context) -> str:
    if span.first > ctx.today + timedelta(days=6) or span.words > 20:
        return f"in {ctx.say.month(span.first.month)}" if span.words > 8 or span.first.month != ctx.today.month else f"from {ctx.say.day(span.first)}"
    if request.when is not None and request.when.single:
        return ctx.say.day(span.first, ctx.today) if (span.first - ctx.today).days <= 1 else f"on {ctx.say.weekday(span.first)}"
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
        minutes = 30 if said.startswith("half") else round(60 * (1 if said == "an" else _NUMBERS.get(said, 0) or float(said) if said.replace(".", "").isdigit() else _NUMBERS.get(said, 1)))
    return (min(number, 12) if number else None), minutes


def seen_last_year(day: date, ctx: Context) -> list[str]:
    """Return warnings from other years' records: pests and frosts seen about this date."""
    out = []
    standing = {p.crop for p in ctx.plot.standing()}
    for seen in due_again(ctx.plot, day):
        pest = ctx.facts.tending.pest(seen.pest)
        if pest is None or (seen.crop is not None and seen.crop not in standing and not _kin(seen.crop, standing, ctx)):
            continue
        on = f" on the {ctx.say.crop(seen.crop)}" if seen.crop else ""
        out.append(f"{cap(pest.said(ctx.say.words))} was seen here{on} last {ctx.say.day(seen.day)}: keep an eye out.")
    frosts = [e for e in ctx.plot.events("frost_seen") if 300 <= (day - e.day).days <= 400]
    near = [e for e in frosts if 0 <= ((e.day.timetuple().tm_yday - day.timetuple().tm_yday) % 365) <= 14]
    if near:
        event = min(near, key=lambda e: (e.day.timetuple().tm_yday - day.timetuple().tm_yday) % 365)
        degrees = f" of {ctx.say.temp(event.amount)}" if event.amount is not None else ""
        out.append(f"A frost{degrees} was seen here last {ctx.say.day(event.day)}.")
    return out


def _kin(crop: str, standing: set[str], ctx: Context) -> bool:
    known = ctx.facts.crops.get(crop)
    return known is not None and any(c in ctx.facts.crops and ctx.facts.crops[c].family.rotation_group == known.family.rotation_group
                                     for c in standing)


# --- ticking off ---------------------------------------------------------------------------------------------------


def tick(request: Request, ctx: Context, *, drop: bool = False) -> Reply:
    """Write down that a job is done (or not wanted): the due job the words fit best, any other job, or the words alone."""
    assert ctx.season is not None
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    text = _bare(request.text)
    due = due_in(Span(ctx.today, ctx.today + timedelta(days=6)), ctx)
    if not text:
        shown = [d for d in due[:5]]
        return ask("Which job is done?", [(cap(_short(d, ctx)), f"done: {_short(d, ctx)}") for d in shown], waiting=request, wants="choice")
    ranked = sorted(((likeness(text, d.job, d.crops, ctx.facts) + (6 if set(d.crops) & set(request.crops) else 0), d) for d in due),
                    key=lambda pair: -pair[0])
    if ranked and ranked[0][0] >= SURE:
        best = [d for score, d in ranked if score >= ranked[0][0] - 2]
        if len(best) > 1 and len({d.job.id for d in best}) > 1 and ranked[0][0] < 90 and not drop:
            names = best[:4]
            return ask("Which one is done?", [(cap(_short(d, ctx)), f"done: {_short(d, ctx)}") for d in names], waiting=request, wants="choice",
                       lines=("Nothing is recorded yet.",))
        return _ticked(best[0].job, _crops_said(best[0], request), best[0].beds, day, request, ctx, drop=drop,
                       said=task_said(best[0], ctx, crops=_crops_said(best[0], request)))
    rest = sorted(((likeness(text, job, request.crops or job.crops, ctx.facts), job) for job in all_jobs(ctx.facts)), key=lambda pair: -pair[0])
    if rest and rest[0][0] >= SURE + 15:
        job = rest[0][1]
        crops = tuple(request.crops) or tuple(c for c in job.crops if ctx.plot.standing(crop=c))[:1]
        name = listing([ctx.say.crop(c) for c in crops]) or "crops"
        said = units(job.task.replace("{crop}", name).replace("{in}", "").replace("{from}", "").replace("{bed}", "the empty bed"), ctx)
        return _ticked(job, crops, tuple(request.beds), day, request, ctx, drop=drop, said=said)
    if drop:
        return Reply("I don't know which job you mean, so I changed nothing.", lines=('Say it as I do: "don\'t show the slug patrol".',))
    event = NewEvent("job_done", day, crop=request.crop, bed=request.bed, words=text, data={})
    return Reply(f"Ticked off: {text}.", lines=("It is not on my list, so I wrote it down as you said it.",), events=(event,),
                 data={"jobs": {"done": None}})


def _bare(text: str) -> str:
    """Return what was done without the words that say it was."""
    text = re.sub(r"^\s*(?:i|we)(?:'ve| have)?\s+", "", text.strip(), flags=re.I)
    text = re.sub(r"^(?:all\s+)?(?:done|did|finished|tick(?:ed)? off|tick|cross(?:ed)? off|completed|sorted)\b[\s:,]*(?:with\s+)?(?:the\s+)?", "", text, flags=re.I)
    text = re.sub(r"\s*(?:is|are)?\s*(?:all\s+)?(?:done|finished|ticked off|sorted)\s*(?:now|today|yesterday)?[.!]?\s*$", "", text, flags=re.I)
    return text.strip(" .!")


def _crops_said(due: Due, request: Request) -> tuple[str, ...]:
    said = tuple(c for c in due.crops if c in request.crops)
    return said or due.crops


def _ticked(job: Job, crops: tuple[str, ...], beds: tuple[str, ...], day: date, request: Request, ctx: Context, *, drop: bool, said: str) -> Reply:
    kind = "job_dropped" if drop else "job_done"
    data: dict[str, object] = {"job": job.id}
    if crops:
        data["crops"] = list(crops)
    event = NewEvent(kind, day, crop=crops[0] if len(crops) == 1 else None, bed=beds[0] if len(beds) == 1 else None, words=said, data=data)
    head = f"I won't show that again this year: {said}." if drop else f"Ticked off: {said}, {ctx.say.day(day, ctx.today)}."
    again = f"It comes up again in {plural(job.every_days, 'day')}." if job.every_days and not drop and job.every_days < 200 else ""
    return Reply(head, lines=(again,) if again else (), events=(event,), choices=(Choice("What next?", "what needs doing this week"),),
                 data={"jobs": {"done" if not drop else "dropped": job.id}})
