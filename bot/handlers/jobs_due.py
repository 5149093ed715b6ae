"""The jobs due on this plot in some days, and what other years' records warn of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from bot.handlers.context import Context
from bot.handlers.frost import at_risk
from bot.handlers.harvests_due import expected
from bot.plot.state import Planting
from bot.request import Request
from bot.tending.job_round import Round
from bot.tending.jobs import Due, jobs_due
from bot.tending.sightings import due_again
from bot.tending.water import budget, weather
from bot.wording import capital

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


def span_of(request: Request, ctx: Context) -> Span:
    """Return the days a request means: a day as its week's work, the span named, or the week from today."""
    if request.when is None or request.when.end < ctx.today:
        return Span(ctx.today, ctx.today + timedelta(days=6))
    if request.when.start > ctx.today and ctx.facts.asking.jobs.before.search(request.text):
        return Span(ctx.today, request.when.start - timedelta(days=1))  # "before winter": what is still to do till then
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
    hot = (
        max(
            (r.high_c for r in ctx.season.forecast.days if 0 <= (r.day - day).days <= 6),
            default=ctx.season.high(day + timedelta(days=3)),
        )
        if ctx.season.forecast
        else ctx.season.high(day + timedelta(days=3))
    )
    risk: frozenset[int] = frozenset()
    if ahead <= 7:
        risk = frozenset(
            r.planting.id
            for r in at_risk(day, day + timedelta(days=6), ctx, least=FROST_CHANCE)
            if r.planting.in_ground
        )
    held: dict[int, tuple[date, date] | None] = {}

    def picked(planting: Planting) -> tuple[date, date] | None:
        if planting.id not in held:
            due = expected(planting, ctx)
            held[planting.id] = (due.first, due.last) if due else None
        return held[planting.id]

    return Round(
        ctx.plot,
        ctx.facts,
        ctx.season,
        day,
        picked,
        dry=want >= DRY_MM,
        hot=hot >= HOT_C,
        at_risk=risk,
        today=ctx.today,
    )


def seen_last_year(day: date, ctx: Context) -> list[str]:
    """Return warnings from other years' records: pests and frosts seen about this date."""
    out = []
    standing = {p.crop for p in ctx.plot.standing()}
    for seen in due_again(ctx.plot, day):
        pest = ctx.facts.tending.pest(seen.pest)
        if pest is None or (seen.crop is not None and seen.crop not in standing and not _kin(seen.crop, standing, ctx)):
            continue
        on = f" on the {ctx.say.crop(seen.crop)}" if seen.crop else ""
        out.append(
            f"{capital(pest.said(ctx.say.words, ctx.say.country))} was seen here{on} last {ctx.say.day(seen.day)}: keep an eye out."
        )
    frosts = [e for e in ctx.plot.events("frost_seen") if 300 <= (day - e.day).days <= 400]
    near = [e for e in frosts if 0 <= ((e.day.timetuple().tm_yday - day.timetuple().tm_yday) % 365) <= 14]
    if near:
        event = min(near, key=lambda e: (e.day.timetuple().tm_yday - day.timetuple().tm_yday) % 365)
        degrees = f" of {ctx.say.temp(event.amount)}" if event.amount is not None else ""
        out.append(f"A frost{degrees} was seen here last {ctx.say.day(event.day)}.")
    return out


def _kin(crop: str, standing: set[str], ctx: Context) -> bool:
    known = ctx.facts.crops.get(crop)
    return known is not None and any(
        c in ctx.facts.crops and ctx.facts.crops[c].family.rotation_group == known.family.rotation_group
        for c in standing
    )
