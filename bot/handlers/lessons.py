"""What the record of a year teaches: troubles seen, frosts that caught something, crops that gave nothing or less than before, and what did best.

The reader has no intent of this: "what should I do differently next year" comes as jobs, plan or history. So such requests are held against the
words of the table before their own handlers are asked.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta

from bot.growing.hardiness import kill_c
from bot.handlers.cold import HARDY_C
from bot.handlers.context import Context
from bot.handlers.harvest_sums import span_said
from bot.handlers.naming import bed_name
from bot.handlers.sightings import nipped
from bot.handlers.telling import sentence
from bot.plot.events import Event
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.units import in_units
from bot.wording import capital, listing

_A_YEAR = timedelta(days=365)
#: Lessons shown, troubles among them, and those named in the first line.
_SHOWN, _PESTS, _NAMED = 6, 3, 4


@dataclass(frozen=True, slots=True)
class Lesson:
    """One thing that went wrong: what, in a few words for the first line; the sentence that tells it; publications."""

    what: str
    said: str
    sources: tuple[str, ...] = ()


def lessons_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer what to do otherwise next year from what was written down in the year gone by; None when that is not asked."""
    words = ctx.facts.asking.records
    if request.intent not in words.lessons_read_as or not words.lessons.search(request.text):
        return None
    start, end = _span(request, ctx)
    events = [e for e in ctx.plot.journal if start <= e.day <= end and _asked(e.crop, e.bed, request)]
    if not any(e.kind in ("sown", "planted_out", "harvested", "cleared", "pest_seen", "noted", "frost_seen") for e in events):
        return Reply("There is nothing on record yet to learn from.",
                     lines=("Tell me what you sow and pick, and what goes wrong: pests, frosts, what bolted or failed. Then I can say what to change.",),
                     data={"history": {"rows": []}})
    learned = [*_troubles(events, ctx), *_frosted(events, ctx), *_empty_handed(start, end, request, ctx), *_less(start, end, request, ctx), *_noted(events, ctx)]
    learned = list({each.said: each for each in learned}.values())
    spell = "the past year" if end == ctx.today else span_said(request, ctx).strip().removeprefix("in ")
    best = _best(start, end, request, ctx)
    about = f" with {listing([ctx.say.crop(crop) for crop in request.crops[:3]])}" if request.crops and "crops" not in request.inherited else ""
    head = (f"What stands out in the record of {spell}: {listing([each.what for each in learned[:_NAMED]])}." if learned
            else f"The record of {spell} shows nothing that went wrong{about}.")
    lines = [each.said for each in learned]
    if not learned:
        lines = ["It knows only what it was told: pests, frosts, and what bolted or failed teach most."]
    if best and words.went_well.search(request.text):
        head, lines, best = best[0], [head, *lines] if not learned else lines, []
    return Reply(head, lines=(*lines[:_SHOWN], *best), more=tuple(lines[_SHOWN:]), choices=(Choice("Plan the beds", "plan the beds for next year", "plan"),),
                 sources=tuple(dict.fromkeys(source for each in learned for source in each.sources)), data={"history": {"rows": [e.as_json() for e in events]}})


def _span(request: Request, ctx: Context) -> tuple[date, date]:
    """Return the past days asked about, and the twelve months to today where none were: a year to come is learned for from the last."""
    when = request.when
    if when is not None and when.end < ctx.today and (when.end - when.start).days > 60:
        return when.start, when.end
    return ctx.today - _A_YEAR, ctx.today


def _asked(crop: str | None, bed: str | None, request: Request) -> bool:
    crops = () if "crops" in request.inherited else request.crops or request.crop_choices
    return (not crops or crop in crops) and (not request.beds or bed in request.beds)


def _troubles(events: list[Event], ctx: Context) -> list[Lesson]:
    """Return the troubles seen, the newest of each first, with what keeps them off next year."""
    last = {str(e.data["pest"]): e for e in sorted(events, key=lambda e: e.day) if e.kind == "pest_seen" and e.data.get("pest")}
    found = []
    for name, event in sorted(last.items(), key=lambda item: item[1].day, reverse=True)[:_PESTS]:
        trouble = ctx.facts.tending.pest(name)
        if trouble is None:
            continue
        on = f" on the {ctx.say.crop(event.crop)}" if event.crop else ""
        what = f"{trouble.said(ctx.say.words)}{on}"
        found.append(Lesson(what, f"{capital(what)}, {ctx.say.day(event.day, ctx.today)}: {in_units(trouble.next_year, ctx.say)}", tuple(trouble.source)))
    return found


def _frosted(events: list[Event], ctx: Context) -> list[Lesson]:
    """Return the frosts that found something tender in its bed; what was picked from afterwards had lived."""
    found = []
    for event in [e for e in events if e.kind == "frost_seen"]:
        stood = [p for p in ctx.plot.plantings if p.cleared is None or p.cleared > event.day]
        lived = {h.crop for h in ctx.plot.harvests if timedelta(0) < h.day - event.day < _A_YEAR / 2}
        hurt = nipped(event.amount, event.bed, event.day, ctx, stood)
        killed = [crop for crop in dict.fromkeys(str(each["crop"]) for each in hurt if each["killed"])
                  if crop not in lived and kill_c(ctx.facts.crops[crop], ctx.facts) > HARDY_C]
        if killed:
            names = listing([ctx.say.crop(crop) for crop in killed[:_NAMED]])
            found.append(Lesson(f"the frost of {ctx.say.day(event.day, ctx.today)}",
                                f"The frost of {ctx.say.day(event.day, ctx.today)} found {names} still out: fleece over them that night, or set them out later."))
    return found[-2:]


def _empty_handed(start: date, end: date, request: Request, ctx: Context) -> list[Lesson]:
    """Return the crops that were cleared with nothing picked, but for those grown to be dug in."""
    found = []
    for planting in ctx.plot.plantings:
        crop = ctx.facts.crops.get(planting.crop)
        if planting.cleared is None or not start <= planting.cleared <= end or planting.harvests or crop is None or "green-manure" in crop.use:
            continue
        if _asked(planting.crop, planting.bed, request) and not any(h.crop == planting.crop and h.day >= (planting.began or h.day) and h.day <= planting.cleared for h in ctx.plot.harvests):
            name, where = ctx.say.crop(planting.crop), f" of {bed_name(planting.bed, ctx)}" if planting.bed else ""
            found.append(Lesson(f"{name} cleared with nothing picked", sentence(f"{name} came out{where} {ctx.say.day(planting.cleared, ctx.today)} with nothing picked")))
    return found[-2:]


def _less(start: date, end: date, request: Request, ctx: Context) -> list[Lesson]:
    """Return the crops that are over and gave much less than in the year before, both times weighed."""
    now, before = _weights(start, end, request, ctx), _weights(start - _A_YEAR, start - timedelta(days=1), request, ctx)
    over = [crop for crop in now if crop in before and now[crop] < ctx.facts.growing.number("lessons.less_share") * before[crop] and not ctx.plot.standing(crop=crop)]
    return [Lesson(f"less of the {ctx.say.crop(crop)}", f"{capital(ctx.say.crop(crop))}: {ctx.say.mass(now[crop])}, against {ctx.say.mass(before[crop])} in the year before.")
            for crop in sorted(over, key=lambda crop: now[crop] - before[crop])[:2]]


def _weights(start: date, end: date, request: Request, ctx: Context) -> dict[str, float]:
    sums: dict[str, float] = defaultdict(float)
    for harvest in ctx.plot.harvests:
        if start <= harvest.day <= end and harvest.kg and _asked(harvest.crop, harvest.bed, request):
            sums[harvest.crop] += harvest.kg
    return dict(sums)


def _noted(events: list[Event], ctx: Context) -> list[Lesson]:
    """Return the notes that tell of something gone wrong, in the gardener's own words."""
    told = [e for e in events if e.kind == "noted" and ctx.facts.asking.records.went_wrong.search(e.words)]
    return [Lesson("your own note", f"You noted {ctx.say.day(e.day, ctx.today)}: “{e.words}”.") for e in told[-2:]]


def _best(start: date, end: date, request: Request, ctx: Context) -> list[str]:
    """Say what gave most, by weight."""
    sums = sorted(_weights(start, end, request, ctx).items(), key=lambda item: -item[1])
    if not sums or (request.crops and "crops" not in request.inherited and len(sums) == 1):
        return [f"{capital(ctx.say.mass(kg))} of {ctx.say.crop(crop)} picked." for crop, kg in sums]
    return [f"Did best, by weight: {listing([f'{ctx.say.crop(crop)} ({ctx.say.mass(kg)})' for crop, kg in sums[:3]])}."]
