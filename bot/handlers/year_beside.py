"""Was it this early last year: the first of a thing this season beside the first of it the year before."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from bot.handlers.context import Context
from bot.handlers.harvest_sums import crops_asked
from bot.handlers.telling import told
from bot.plot.events import Event
from bot.reply import Reply, ask
from bot.request import Request
from bot.wording import capital, plural

#: What a record is called in the journal, and what its first is called.
_KINDS = {"log_harvest": ("harvested", "picking of "), "log_sow": ("sown", "sowing of "), "log_plant_out": ("planted_out", "planting of "),
          "log_frost_seen": ("frost_seen", "frost"), "log_pest_seen": ("pest_seen", "sighting on ")}
_A_YEAR = timedelta(days=365)


def year_beside(request: Request, ctx: Context) -> Reply | None:
    """Answer whether a thing came as early the year before; None where that is not asked."""
    asked = ctx.memory.reply.waiting if ctx.memory.reply is not None else None  # "tomatoes", to "of which crop?"
    text = asked.text if asked is not None and asked.intent == "history" and request.crops else request.text
    if not ctx.facts.asking.records.as_early.search(text):
        return None
    last = next((r for r in reversed(ctx.memory.requests) if r.intent in _KINDS), None)
    crops = () if "crops" in request.inherited else crops_asked(request)
    if last is None and not crops:
        return ask("Of which crop, or of the frost?", waiting=request, wants="crop")
    kind, called = _KINDS[last.intent if last is not None and (not crops or set(crops) & set(crops_asked(last))) else "log_harvest"]
    crops = crops or (crops_asked(last) if last is not None else ())
    if kind != "frost_seen" and not crops:
        return None
    crop = next((c for c in crops if any(e.crop == c and e.kind == kind for e in ctx.plot.journal)), crops[0] if crops else None)
    name = f"{called}{ctx.say.crop(crop)}" if crop else called
    events = sorted((e for e in ctx.plot.journal if e.kind == kind and (crop is None or e.crop == crop)), key=lambda e: (e.day, e.seq))
    span = timedelta(days=ctx.facts.growing.number("year.season_days"))
    season = [e for e in events if ctx.today - span < e.day <= ctx.today]
    just_told = last is not None and last is ctx.memory.requests[-1] and kind != "harvested"  # this sowing, and not the first of the year
    now = season[-1 if just_told else 0] if season else None
    day = now.day if now is not None else ctx.today
    before = next((e for e in events if day - _A_YEAR - span < e.day < min(day - _A_YEAR + span, ctx.today - span)), None)
    data = {"history": {"rows": [e.as_json() for e in (now, before) if e is not None]}}
    if before is None:
        return Reply(f"I have no {name} on record from the year before to compare.", lines=(f"This year's first: {_on(day, ctx)}.",) if now else (), data=data)
    return Reply(_verdict(name, day, before.day, now is not None, ctx), lines=_rows((now, before), ctx), data=data)


def _verdict(name: str, day: date, before: date, begun: bool, ctx: Context) -> str:
    gap = (day - _A_YEAR - before).days
    then = f"last year's first {name} was {_on(before, ctx)}"
    if not begun:
        return f"{capital(then)}; none is on record yet this year."
    if abs(gap) <= ctx.facts.growing.number("year.same_days"):
        return f"About the same as last year: the first {name} was {_on(before, ctx)}."
    return f"{plural(abs(gap), 'day')} {'later' if gap > 0 else 'earlier'} than last year, when the first {name} was {_on(before, ctx)}."


def _rows(events: Sequence[Event | None], ctx: Context) -> tuple[str, ...]:
    return tuple(f"{capital(told(event, ctx))}." for event in events if event is not None)


def _on(day: date, ctx: Context) -> str:
    said = ctx.say.day(day, ctx.today)
    return said if said in ("today", "yesterday") else f"on {said}"
