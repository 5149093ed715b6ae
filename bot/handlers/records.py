"""Write down what was picked."""

from __future__ import annotations

from datetime import date
from typing import Any

from bot.handlers import answers
from bot.handlers.checking import amount_of, day_and_crops, note_no_facts, told_of
from bot.handlers.context import Context
from bot.handlers.naming import Doing, bed_name, bed_said, restate
from bot.handlers.telling import sentence, told
from bot.plot.events import NewEvent
from bot.reply import Choice, Reply, ask
from bot.request import Quantity, Request
from bot.wording import capital, listing, plural

PICKED = Doing("picked", "Picked", "from")
#: From this weight of one picking on, what to do with a glut is offered.
GLUT_KG = 1.5
#: Nothing but cress is picked sooner than this after sowing: it is said, in case another crop or bed was meant.
YOUNG_DAYS = 21
#: Kinds whose picking takes the plant: whether the bed is clear is worth asking.
_LIFTED = ("root", "allium", "tuber")


@answers("log_harvest")
def log_harvest(request: Request, ctx: Context) -> Reply:
    """Record a picking, with its amount when said, from the bed the crop stands in."""
    settled = day_and_crops(request, ctx, PICKED, standing_first=True)
    if isinstance(settled, Reply):
        return settled
    day, crops = settled
    if not crops:
        return ask("What did you pick?", _standing_offers(request, ctx), waiting=request, wants="crop")
    amounts: list[Quantity | None] = []
    quantities = [q for q in request.quantities if q.unit not in ("day", "c", "percent")]
    if len(crops) > 1 and len(quantities) == 1:
        offers = [(ctx.say.crop(crop), restate(PICKED, request, ctx, crop=crop)) for crop in crops[:4]]
        return ask(
            f"{quantities[0].words or 'How much'} of which, {listing([label for label, _ in offers], 'or')}?",
            offers,
            waiting=request,
            wants="crop",
            lines=("Tell me one at a time and I'll write both down.",),
        )
    for n, crop in enumerate(crops):
        one = request if len(crops) == 1 else request.with_(quantities=quantities[n : n + 1])
        amount = amount_of(one, ctx, ctx.say.crop(crop))
        if isinstance(amount, Reply):
            return amount
        amounts.append(None if amount is not None and _vague(amount) else amount)
    events, lines = [], []
    for crop, amount in zip(crops, amounts, strict=True):
        bed = _bed_picked(request, ctx, crop, day)
        if isinstance(bed, Reply):
            return bed
        event = _picking(request, ctx, crop, bed, amount, day)
        events.append(event)
        lines.append(f"{sentence(told(event, ctx))}{_total(event, ctx)}")
    extra, choices, sources = _after_picking(request, ctx, events)
    return Reply(
        lines[0],
        lines=(*lines[1:], *extra),
        choices=choices,
        sources=sources,
        events=tuple(events),
        data={"log_harvest": {"rows": [event.as_json() for event in events]}},
    )


def _picking(
    request: Request, ctx: Context, crop: str, bed: str | None, amount: Quantity | None, day: date
) -> NewEvent:
    data: dict[str, Any] = {}
    standing = ctx.plot.standing(bed=bed, crop=crop) if bed else ()
    if len(standing) == 1 and (standing[0].began is None or standing[0].began <= day):
        data["planting"] = standing[0].id
    vague = next((q.words for q in request.quantities if _vague(q)), None)
    if vague:
        data["said"] = vague
    counted = next(
        (q for q in request.quantities if amount and amount.unit == "kg" and q.unit in ("count", "head", "plant")), None
    )
    if counted is not None:
        data["count"] = counted.value
    return told_of("harvested", request, day, crop, bed, amount, data)


def _vague(quantity: Quantity) -> bool:
    """Tell whether an amount is only words ("a few"): it is kept as said, never counted."""
    return quantity.approximate and quantity.unit == "count" and not any(ch.isdigit() for ch in quantity.words)


def _bed_picked(request: Request, ctx: Context, crop: str, day: date) -> str | None | Reply:
    """Return the bed picked from; asks only when the crop stands in several and none was named."""
    if request.bed:
        return request.bed
    beds = list(dict.fromkeys(p.bed for p in ctx.plot.standing(crop=crop) if p.bed))
    grown = [b for b in beds if any(p.in_ground for p in ctx.plot.standing(bed=b, crop=crop))] or beds
    if len(grown) > 1:
        offers = [(bed_name(b, ctx), restate(PICKED, request, ctx, crop=crop, bed=b)) for b in grown[:4]]
        return ask(
            f"From which bed? {capital(ctx.say.crop(crop))} stand in {listing([label for label, _ in offers])}.",
            offers,
            waiting=request.with_(crops=(crop,), crop_choices=()),
            wants="bed",
        )
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
    """Return the kg weighed this season: of the crop's plantings now standing, or of this year for lasting plants."""
    known = ctx.facts.crops.get(crop)
    lasting = known is not None and known.lasting
    standing = {p.id for p in ctx.plot.standing(crop=crop)}
    start = season_start(day, ctx)
    return sum(
        h.kg
        for h in ctx.plot.harvests
        if h.crop == crop
        and h.kg
        and h.day <= day
        and (h.planting in standing if standing and not lasting else h.day >= start)
    )


def season_start(day: date, ctx: Context) -> date:
    """Return the first day of the growing year a day belongs to: January in the north, July in the south."""
    place = ctx.plot.settings.place
    if place is not None and place.lat < 0:
        return date(day.year if day.month >= 7 else day.year - 1, 7, 1)
    return date(day.year, 1, 1)


def _after_picking(
    request: Request, ctx: Context, events: list[NewEvent]
) -> tuple[list[str], tuple[Choice, ...], tuple[str, ...]]:
    """Return what is worth saying: a bed that does not hold the crop, when to pick again, what to do with a glut."""
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
    young = [p for p in standing if p.bed == first.bed and p.began and 0 <= (first.day - p.began).days < YOUNG_DAYS]
    if young and len(young) == len([p for p in standing if p.bed == first.bed]):
        days = (first.day - (young[0].began or first.day)).days
        age = f"only {plural(days, 'day')} before" if days else "that same day"
        lines.append(f"I have them down as {'sown' if young[0].sown else 'planted'} {age}.")
    known = ctx.facts.crops.get(crop)
    if known and known.harvest and known.harvest.every_days and standing:
        low, high = known.harvest.every_days
        again = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        if high <= 10:
            lines.append(f"Pick again in {again} day{'s' if high > 1 else ''} to keep them coming.")
            sources += known.harvest.source
    row = ctx.facts.growing.worth.get(crop)
    if row and row.kind in _LIFTED and first.bed and any(p.bed == first.bed for p in standing):
        where = bed_said(first.bed, ctx)
        choices.append(Choice(f"That was all: clear {where}", f"cleared {name} from {where}"))
    if known and first.unit == "kg" and (first.amount or 0) >= GLUT_KG and len(events) == 1:
        if "freeze" in known.preserving:
            choices.append(Choice(f"Freeze {name}", f"how do I freeze {name}", "freeze"))
        choices.append(Choice("Use up a glut", f"what to do with a glut of {name}", "use_up"))
    return lines, tuple(choices[:3]), tuple(sources)


def _just_cleared(ctx: Context, crop: str, event: NewEvent) -> bool:
    return any(
        p.crop == crop and p.bed == event.bed and p.cleared and abs((p.cleared - event.day).days) <= 7
        for p in ctx.plot.plantings
    )


def _standing_offers(request: Request, ctx: Context) -> list[tuple[str, str]]:
    """Return the crops standing (in the bed named) as choices, the ones picked lately first."""
    standing = [p for p in ctx.plot.standing(bed=request.bed) if p.in_ground]
    standing.sort(key=lambda p: p.harvests[-1].day if p.harvests else date.min, reverse=True)
    crops = list(dict.fromkeys(p.crop for p in standing))[:5]
    return [(ctx.say.crop(crop), restate(PICKED, request, ctx, crop=crop)) for crop in crops]
