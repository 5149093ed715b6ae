"""Write down what was picked and what was cleared."""

from __future__ import annotations

from datetime import date
from typing import Any

from bot.handlers import answers
from bot.handlers.checking import (
    Doing,
    amount_of,
    bed_name,
    bed_said,
    crops_of,
    day_of,
    declined,
    note_no_facts,
    restate,
    unknown_bed,
)
from bot.handlers.context import Context
from bot.handlers.telling import sentence, told
from bot.plot.events import NewEvent
from bot.plot.state import Planting
from bot.reply import Choice, Reply, ask
from bot.request import Quantity, Request
from bot.wording import listing

PICKED = Doing("picked", "Picked", "from")
CLEARED = Doing("cleared", "Cleared", "from")
_PERENNIAL = ("perennial", "shrub", "tree")
#: From this weight of one picking on, what to do with a glut is offered.
GLUT_KG = 1.5


@answers("log_harvest")
def log_harvest(request: Request, ctx: Context) -> Reply:
    """Record a picking, with its amount when said, from the bed the crop stands in."""
    no = declined(request, ctx)
    if no:
        return no
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    stray = unknown_bed(request, ctx, PICKED)
    if stray:
        return stray
    crops = crops_of(request, ctx, PICKED, standing_first=True)
    if isinstance(crops, Reply):
        return crops
    if not crops:
        return ask("What did you pick?", _standing_offers(request, ctx), waiting=request, wants="crop")
    amounts: list[Quantity | None] = []
    quantities = [q for q in request.quantities if q.unit not in ("day", "c", "percent")]
    if len(crops) > 1 and len(quantities) == 1:
        offers = [(ctx.say.crop(crop), restate(PICKED, request, ctx, crop=crop)) for crop in crops[:4]]
        return ask(f"{quantities[0].words or 'How much'} of which, {listing([label for label, _ in offers], 'or')}?", offers,
                   waiting=request, wants="crop", lines=("Tell me one at a time and I'll write both down.",))
    for n, crop in enumerate(crops):
        one = request if len(crops) == 1 else request.with_(quantities=quantities[n:n + 1])
        amount = amount_of(one, ctx, ctx.say.crop(crop))
        if isinstance(amount, Reply):
            return amount
        amounts.append(amount)
    events, lines = [], []
    for crop, amount in zip(crops, amounts, strict=True):
        bed = _bed_picked(request, ctx, crop, day)
        if isinstance(bed, Reply):
            return bed
        event = _picking(request, ctx, crop, bed, amount, day)
        events.append(event)
        lines.append(f"{sentence(told(event, ctx))}{_total(event, ctx)}")
    extra, choices, sources = _after_picking(request, ctx, events)
    return Reply(lines[0], lines=(*lines[1:], *extra), choices=choices, sources=sources, events=tuple(events),
                 data={"log_harvest": {"rows": [event.as_json() for event in events]}})


def _picking(request: Request, ctx: Context, crop: str, bed: str | None, amount: Quantity | None, day: date) -> NewEvent:
    data: dict[str, Any] = {}
    standing = ctx.plot.standing(bed=bed, crop=crop) if bed else ()
    if len(standing) == 1 and (standing[0].began is None or standing[0].began <= day):
        data["planting"] = standing[0].id
    counted = next((q for q in request.quantities if amount and amount.unit == "kg" and q.unit in ("count", "head", "plant")),
                   None)
    if counted is not None:
        data["count"] = counted.value
    return NewEvent("harvested", day, crop=crop, variety=request.variety, bed=bed,
                    amount=amount.value if amount else None, unit=amount.unit if amount else None,
                    words=request.text, data=data)


def _bed_picked(request: Request, ctx: Context, crop: str, day: date) -> str | None | Reply:
    """Return the bed picked from; asks only when the crop stands in several and none was named."""
    if request.bed:
        return request.bed
    beds = list(dict.fromkeys(p.bed for p in ctx.plot.standing(crop=crop) if p.bed))
    grown = [b for b in beds if any(p.in_ground for p in ctx.plot.standing(bed=b, crop=crop))] or beds
    if len(grown) > 1:
        offers = [(bed_name(b, ctx), restate(PICKED, request, ctx, crop=crop, bed=b)) for b in grown[:4]]
        return ask(f"From which bed? {_capital(ctx.say.crop(crop))} stand in {listing([label for label, _ in offers])}.", offers,
                   waiting=request.with_(crops=(crop,), crop_choices=()), wants="bed")
    if not grown:  # picked on its last day, then cleared in the same message or the day before
        gone = [p for p in ctx.plot.plantings if p.crop == crop and p.cleared and (day - p.cleared).days <= 1 and p.bed]
        return gone[-1].bed if gone else None
    return grown[0]


def _total(event: NewEvent, ctx: Context) -> str:
    """Say the season's total of a crop with this picking, when it was weighed and is not the first."""
    if event.unit != "kg" or event.amount is None:
        return ""
    before = season_kg(event.crop or "", event.day, ctx)
    return f" Season total {ctx.say.mass(before + event.amount)}." if before else ""


def season_kg(crop: str, day: date, ctx: Context) -> float:
    """Return the kg weighed of a crop this season: of its plantings now standing, or of this year for lasting plants."""
    known = ctx.facts.crops.get(crop)
    lasting = known is not None and known.growth is not None and known.growth.life_cycle in _PERENNIAL
    standing = {p.id for p in ctx.plot.standing(crop=crop)}
    start = season_start(day, ctx)
    return sum(
        h.kg for h in ctx.plot.harvests
        if h.crop == crop and h.kg and h.day <= day
        and (h.planting in standing if standing and not lasting else h.day >= start))


def season_start(day: date, ctx: Context) -> date:
    """Return the first day of the growing year a day belongs to: January in the north, July in the south."""
    place = ctx.plot.settings.place
    if place is not None and place.lat < 0:
        return date(day.year if day.month >= 7 else day.year - 1, 7, 1)
    return date(day.year, 1, 1)


def _after_picking(request: Request, ctx: Context, events: list[NewEvent]) -> tuple[list[str], tuple[Choice, ...], tuple[str, ...]]:
    """Return what is worth saying after a picking: a bed that does not hold the crop, when to pick again, what to do with a glut."""
    first = events[0]
    crop, choices = first.crop or "", []
    lines: list[str] = []
    sources: list[str] = []
    lines += note_no_facts(crop, ctx)
    standing = ctx.plot.standing(crop=crop)
    name = ctx.say.crop(crop)
    if first.bed and not any(p.bed == first.bed for p in standing) and not _just_cleared(ctx, crop, first):
        elsewhere = [p.bed for p in standing if p.bed]
        if elsewhere:
            lines.append(f"I have {name} down in {bed_said(elsewhere[0], ctx)}, not {bed_said(first.bed, ctx)}.")
            choices.append(Choice(f"It was {bed_said(elsewhere[0], ctx)}", f"no, {bed_said(elsewhere[0], ctx)}"))
        elif crop in ctx.facts.crops:
            lines.append(f"I had no {name} down in {bed_said(first.bed, ctx)}; the picking is kept all the same.")
    elif first.bed is None and crop in ctx.facts.crops:
        lines.append(f"I had no {name} down as growing; the picking is kept all the same.")
    known = ctx.facts.crops.get(crop)
    if known and known.harvest and known.harvest.every_days and standing:
        low, high = known.harvest.every_days
        again = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        if high <= 10:
            lines.append(f"Pick again in {again} day{'s' if high > 1 else ''} to keep them coming.")
            sources += known.harvest.source
    if known and first.unit == "kg" and (first.amount or 0) >= GLUT_KG and len(events) == 1:
        if "freeze" in known.preserving:
            choices.append(Choice(f"Freeze {name}", f"how do I freeze {name}"))
        choices.append(Choice("Use up a glut", f"what to do with a glut of {name}"))
    return lines, tuple(choices[:3]), tuple(sources)


def _just_cleared(ctx: Context, crop: str, event: NewEvent) -> bool:
    return any(p.crop == crop and p.bed == event.bed and p.cleared and abs((p.cleared - event.day).days) <= 7
               for p in ctx.plot.plantings)


def _standing_offers(request: Request, ctx: Context) -> list[tuple[str, str]]:
    """Return the crops standing (in the bed named) as choices, the ones picked lately first."""
    standing = [p for p in ctx.plot.standing(bed=request.bed) if p.in_ground]
    standing.sort(key=lambda p: p.harvests[-1].day if p.harvests else date.min, reverse=True)
    crops = list(dict.fromkeys(p.crop for p in standing))[:5]
    return [(ctx.say.crop(crop), restate(PICKED, request, ctx, crop=crop)) for crop in crops]


@answers("log_clear")
def log_clear(request: Request, ctx: Context) -> Reply:
    """Record that a crop, or all that stands in a bed, was cleared."""
    no = declined(request, ctx)
    if no:
        return no
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    stray = unknown_bed(request, ctx, CLEARED)
    if stray:
        return stray
    crops = crops_of(request, ctx, CLEARED, standing_first=True)
    if isinstance(crops, Reply):
        return crops
    if not crops and not request.bed:
        return ask("What did you clear?", _clear_offers(ctx), waiting=request, wants="crop")
    events: list[NewEvent] = []
    for crop in crops or (None,):
        for bed in request.beds or (None,):
            chosen = _to_clear(request, ctx, crop, bed)
            if isinstance(chosen, Reply):
                return chosen
            events += [_clearing(request, planting, day) for planting in chosen]
    words = _cleared_words(events, ctx)
    lines, choices = _after_clearing(events, ctx)
    return Reply(f"{sentence(words)}", lines=lines, choices=choices, events=tuple(events),
                 data={"log_clear": {"rows": [event.as_json() for event in events]}})


def _to_clear(request: Request, ctx: Context, crop: str | None, bed: str | None) -> list[Planting] | Reply:
    standing = list(ctx.plot.standing(bed=bed, crop=crop))
    if crop is None:
        lasting = [p for p in standing if _lasts(p, ctx)]
        if lasting and "yes" not in request.flags:
            names = listing(list(dict.fromkeys(ctx.say.crop(p.crop) for p in lasting)))
            offers = [(ctx.say.crop(p.crop), f"cleared {ctx.say.crop(p.crop)} from {bed_said(bed, ctx)}")
                      for p in {q.crop: q for q in standing}.values()][:4]
            return ask(f"{_capital(bed_said(bed, ctx))} holds {names}, which stay for years. All of it out?",
                       [("Yes, all of it", "yes"), *offers], waiting=request, wants="choice",
                       lines=("Nothing is recorded yet.",))
        if not standing:
            return Reply(f"{_capital(bed_said(bed, ctx))} was empty already, so there was nothing to record.",
                         choices=(Choice(f"What fits {bed_said(bed, ctx)}", f"what fits {bed_said(bed, ctx)}"),))
        return standing
    name = ctx.say.crop(crop)
    if not standing:
        elsewhere = [p for p in ctx.plot.standing(crop=crop) if p.bed]
        if elsewhere:
            offers = [(bed_name(p.bed, ctx), f"cleared {name} from {bed_said(p.bed, ctx)}") for p in elsewhere[:3]]
            return ask(f"I have no {name} in {bed_said(bed, ctx)}. Did you mean {listing([label for label, _ in offers], 'or')}?",
                       offers, waiting=request.with_(beds=()), wants="bed")
        return Reply(f"I have no {name} down as growing, so there was nothing to clear.",
                     lines=("Say \"show me the plot\" to see what I have.",), choices=(Choice("Show the plot", "show me the plot"),))
    beds = list(dict.fromkeys(p.bed for p in standing))
    if bed is None and len(beds) > 1 and "all" not in request.flags:
        offers = [(bed_name(b, ctx), f"cleared {name} from {bed_said(b, ctx)}") for b in beds[:4] if b]
        return ask(f"{_capital(name)} stand in {listing([bed_said(b, ctx) for b in beds])}. Which did you clear?", offers,
                   waiting=request.with_(crops=(crop,), crop_choices=()), wants="bed")
    return standing


def _lasts(planting: Planting, ctx: Context) -> bool:
    crop = ctx.facts.crops.get(planting.crop)
    return crop is not None and crop.growth is not None and crop.growth.life_cycle in _PERENNIAL


def _clearing(request: Request, planting: Planting, day: date) -> NewEvent:
    return NewEvent("cleared", max(day, planting.began or day), crop=planting.crop, variety=planting.variety, bed=planting.bed,
                    words=request.text, data={"plantings": [planting.id]})


def _cleared_words(events: list[NewEvent], ctx: Context) -> str:
    names = listing(list(dict.fromkeys(ctx.say.crop(e.crop) for e in events if e.crop)))
    beds = listing(list(dict.fromkeys(bed_said(e.bed, ctx) for e in events if e.bed)))
    where = f" from {beds}" if beds else ""
    return f"cleared {names}{where}, {ctx.say.day(events[0].day, ctx.today)}"


def _after_clearing(events: list[NewEvent], ctx: Context) -> tuple[tuple[str, ...], tuple[Choice, ...]]:
    """Say what is left in each bed, and offer to fill one that is empty now; say what the crop gave."""
    gone = {planting for event in events for planting in event.data["plantings"]}
    lines, choices = [], []
    for bed in dict.fromkeys(event.bed for event in events if event.bed):
        left = [p for p in ctx.plot.standing(bed=bed) if p.id not in gone]
        if left:
            lines.append(f"{_capital(bed_said(bed, ctx))} still holds {listing(list(dict.fromkeys(ctx.say.crop(p.crop) for p in left)))}.")
            choices.append(Choice(f"What fits the gap in {bed_said(bed, ctx)}", f"what fits the gap in {bed_said(bed, ctx)}"))
        else:
            lines.append(f"{_capital(bed_said(bed, ctx))} is empty now.")
            choices.append(Choice(f"What fits {bed_said(bed, ctx)}", f"what fits {bed_said(bed, ctx)}"))
    for planting in ctx.plot.plantings:
        kg = sum(h.kg or 0 for h in planting.harvests)
        if planting.id in gone and kg:
            lines.append(f"The {ctx.say.crop(planting.crop)} gave {ctx.say.mass(kg)} in all.")
    return tuple(lines), tuple(choices[:3])


def _clear_offers(ctx: Context) -> list[tuple[str, str]]:
    """Offer the annual crops longest in the ground."""
    standing = [p for p in ctx.plot.standing() if p.bed and p.in_ground and not _lasts(p, ctx)]
    standing.sort(key=lambda p: p.began or date.max)
    return [(f"{ctx.say.crop(p.crop)}, {bed_name(p.bed, ctx)}", f"cleared {ctx.say.crop(p.crop)} from {bed_said(p.bed, ctx)}")
            for p in standing[:5]]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
