"""The weekly summary: what is ready, what to sow, what to do, use and watch, in ten lines at most."""

from __future__ import annotations

from datetime import timedelta

from bot.handlers import answers
from bot.handlers.blight import blight_risk
from bot.handlers.checking import bed_name
from bot.handlers.context import Context
from bot.handlers.frost import at_risk
from bot.handlers.ground_words import chain
from bot.handlers.harvests_due import expected
from bot.handlers.job_words import job_line, job_row, task_said
from bot.handlers.jobs_due import Span, due_in, seen_last_year
from bot.handlers.sow_now import sow_now
from bot.handlers.using_up import said as soon_said
from bot.preserving.use_soon import use_soon
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.jobs import Due
from bot.wording import listing, small

MOST_LINES = 10
JOBS = 4
FEW = 6
#: Work that has a line of its own, or goes without saying.
_OWN_LINE = (
    "pick",
    "look-ripe",
    "sow-again",
    "water-tunnel",
    "water-trays",
    "tunnel-air",
    "frost-cover",
    "hoe",
    "frame-air",
)
FROST_WORTH_SAYING = 0.15
USE_WITHIN_DAYS = 10


@answers("summary")
def summary(request: Request, ctx: Context) -> Reply:
    """Sum up the week for this plot in at most ten lines, with or without a place, beds or crops."""
    if ctx.season is None:
        return _without_place(ctx)
    week = Span(ctx.today, ctx.today + timedelta(days=6))
    due = due_in(week, ctx)
    chosen = [d for d in due if d.job.id not in _OWN_LINE][:JOBS]
    warnings = _warnings(ctx)
    ready, ready_crops = _ready(ctx)
    sow, sow_data = _sow(ctx)
    use = _use(ctx)
    seen = seen_last_year(ctx.today, ctx)
    empty = _empty(ctx)
    past = _last_week(ctx)
    head = _headline(chosen, ready_crops, sow, ctx)
    lines: list[str] = []
    for part in (
        warnings[:2],
        [ready] if ready else [],
        [sow] if sow and (chosen or ready_crops) else [],
        [job_line(d, ctx) for d in chosen[1:]],
        [use] if use else [],
        seen[:1],
        [empty] if empty else [],
        [past] if past else [],
    ):
        lines += part
    if len(lines) < FEW:
        lines.append(_outlook(ctx))
    shown = lines[: MOST_LINES - 1]
    rest = [
        *lines[MOST_LINES - 1 :],
        *(job_line(d, ctx) for d in due if d not in chosen and d.job.id not in ("pick", "sow-again")),
    ]
    return Reply(
        head,
        lines=tuple(shown),
        more=tuple(rest[:14]),
        working=tuple(ctx.season.notes[:2]),
        sources=chain(*(d.job.source for d in chosen)),
        choices=_choices(chosen, ctx),
        data={
            "summary": {
                "week": [week.first.isoformat(), week.last.isoformat()],
                "jobs": [job_row(d, ctx) for d in chosen],
                "ready": ready_crops,
                "sow": sow_data,
                "warnings": warnings,
                "seen": seen,
            }
        },
    )


def _headline(chosen: list[Due], ready: list[str], sow: str | None, ctx: Context) -> str:
    """Say the one job that matters most, and what to pick; what to sow where nothing grows yet."""
    when = f"Week to {ctx.say.day(ctx.today + timedelta(days=6))}"
    if chosen:
        first = task_said(chosen[0], ctx)
        fruit = [c for c in ready if c not in chosen[0].crops][:2]
        return f"{when}: {first}{', and pick the ' + listing([ctx.say.crop(c) for c in fruit]) if fruit else ''}."
    if ready:
        return f"{when}: pick the {listing([ctx.say.crop(c) for c in ready[:4]])}."
    return f"{when}: {small(sow)}" if sow else f"{when}: a quiet one."


def _outlook(ctx: Context) -> str:
    """Say how long the days are and which frost date lies ahead."""
    assert ctx.season is not None
    hours, later = ctx.season.day_length(ctx.today), ctx.season.day_length(ctx.today + timedelta(days=7))
    turn = "drawing in" if later < hours - 0.02 else "drawing out" if later > hours + 0.02 else "at their turn"
    first, last = ctx.season.next_first_frost(ctx.today), ctx.season.next_last_frost(ctx.today)
    ahead = min((d for d in (first, last) if d is not None and d >= ctx.today), default=None)
    frost = (
        "Frost is rare here."
        if ahead is None
        else (f"The {'first' if ahead == first else 'last'} frost is usually about {ctx.say.day(ahead, ctx.today)}.")
    )
    return f"Days are {hours:.1f} hours and {turn}. {frost}"


def _choices(chosen: list[Due], ctx: Context) -> tuple[Choice, ...]:
    found = [Choice("All the jobs", "what needs doing this week"), Choice("What to sow", "what can I sow now")]
    empty = next((b for b in ctx.plot.empty_beds() if b.kind in ("bed", "border")), None)
    if empty is not None:
        found.append(Choice(f"What fits {empty.name}?", f"what fits {empty.name} now"))
    return tuple(found)


def _ready(ctx: Context) -> tuple[str | None, list[str]]:
    """Return the line of what is ready now, and its crops, the soonest over first."""
    found = [
        e for p in ctx.plot.standing() if p.in_ground and (e := expected(p, ctx)) is not None and e.ready(ctx.today)
    ]
    found.sort(key=lambda e: e.last)
    crops = list(
        dict.fromkeys(e.planting.crop for e in found if "green-manure" not in ctx.facts.crops[e.planting.crop].use)
    )
    if not crops:
        return None, []
    said = []
    for crop in crops[:6]:
        beds = list(
            dict.fromkeys(bed_name(e.planting.bed, ctx) for e in found if e.planting.crop == crop and e.planting.bed)
        )
        said.append(f"{ctx.say.crop(crop)}{' (' + listing(beds) + ')' if beds and len(crops) <= 4 else ''}")
    return f"Ready: {listing(said)}.", crops


def _sow(ctx: Context) -> tuple[str | None, list[dict[str, object]]]:
    """Return one line of what to sow this week, from the answer to "what can I sow now"."""
    reply = sow_now(Request("sow_now", text="what can I sow now", wishes=ctx.plot.settings.wishes), ctx)
    offers = reply.data.get("sow_now", {}).get("offers", [])
    if not offers:
        return (reply.headline if ctx.plot.empty_beds() or not ctx.plot.beds else None), []
    closing = next((text for text in reply.lines if text.startswith("Last days")), "")
    return f"{reply.headline.replace('Best now', 'Sow or plant', 1)}{' ' + closing if closing else ''}", offers[:8]


def _use(ctx: Context) -> str | None:
    """Return the line of what wants eating first."""
    soon = [
        s
        for s in use_soon(ctx.plot, ctx.facts.crops, ctx.today, ctx.say)
        if s.kind != "standing" and s.days_left is not None and s.days_left <= USE_WITHIN_DAYS
    ]
    if not soon:
        return None
    first = soon_said(soon[0], ctx)
    others = list(dict.fromkeys(s.name for s in soon[1:] if s.name != soon[0].name))[:2]
    return f"Use first: {small(first)}{' Then ' + listing(others) + '.' if others else ''}"


def _warnings(ctx: Context) -> list[str]:
    """Return frost and blight warnings of the week."""
    assert ctx.season is not None
    out = []
    end = ctx.today + timedelta(days=6)
    chance = ctx.season.frost_chance(ctx.today, end)
    tender = [
        r for r in at_risk(ctx.today, end, ctx, least=0.15) if r.planting.in_ground or r.cover not in ("indoors",)
    ]
    tender = [
        r
        for r in tender
        if (c := ctx.facts.crops.get(r.planting.crop)) and c.sowing and c.sowing.hardiness_class == "tender"
    ]
    if chance >= FROST_WORTH_SAYING and tender:
        names = listing(list(dict.fromkeys(ctx.say.crop(r.planting.crop) for r in tender))[:4])
        tenths = max(1, round(chance * 10))
        how = "A frost is all but certain" if tenths >= 9 else f"{tenths} in 10 for a frost"
        basis = "" if ctx.season.forecast else ", going by past years"
        out.append(f"{how} this week{basis}: cover the {names}.")
    risk = blight_risk(Request("blight_risk", text="blight"), ctx)
    if risk.data.get("exposed") and (
        risk.data.get("risk") == "high" or (risk.data.get("risk") == "watch" and ctx.season.forecast)
    ):
        out.append(risk.headline)
    return out


def _empty(ctx: Context) -> str | None:
    beds = [b.name for b in ctx.plot.empty_beds() if b.kind in ("bed", "border", "tunnel", "greenhouse")]
    if beds:
        return f"{listing(beds[:3])} {'stands' if len(beds) == 1 else 'stand'} empty."
    if not ctx.plot.beds:
        return (
            f'Tell me your beds ("add a bed {ctx.say.bed_example} called Bed 1") and what you sow, and this gets to '
            "be about your plot."
        )
    return None


def _last_week(ctx: Context) -> str | None:
    """Return what the last seven days brought: kilos picked and what was sown or planted."""
    since = ctx.today - timedelta(days=7)
    recent = [e for e in ctx.plot.events("harvested", "sown", "planted_out") if since <= e.day <= ctx.today]
    kg = sum((e.amount or 0) if e.unit == "kg" else e.data.get("kg") or 0 for e in recent if e.kind == "harvested")
    begun = list(dict.fromkeys(ctx.say.crop(e.crop) for e in recent if e.kind != "harvested" and e.crop))
    parts = [f"{ctx.say.mass(kg)} picked"] if kg else []
    parts += [f"{listing(begun[:3])} sown or planted"] if begun else []
    return f"Last week: {listing(parts)}." if parts else None


def _without_place(ctx: Context) -> Reply:
    """Sum up what can be said without knowing where the plot is, and ask for it."""
    use = _use(ctx)
    standing = list(dict.fromkeys(ctx.say.crop(p.crop) for p in ctx.plot.standing()))
    fresh = [h for h in ctx.plot.harvests if 0 <= (ctx.today - h.day).days <= 14]
    lines = []
    if standing:
        lines.append(f"Growing: {listing(standing[:8])}.")
    if fresh:
        lines.append(
            f"Picked lately: {listing(list(dict.fromkeys(ctx.say.crop(h.crop) for h in fresh))[:5])}. "
            "Go on picking those every few days."
        )
    lines += [use] if use else []
    lines += [e for e in (_empty(ctx), _last_week(ctx)) if e]
    lines.append("Any week: weed while it is small, water what is newly planted, and look under leaves for eggs.")
    return Reply(
        "Tell me where your plot is, and I can say what to sow, what is ready and when frost comes.",
        lines=tuple(lines[: MOST_LINES - 1]),
        waiting=Request("summary", text="summary"),
        wants="place",
        choices=(Choice("How do I set it?", "set my location"),),
        data={"summary": {"place": None, "growing": len(standing)}},
    )
