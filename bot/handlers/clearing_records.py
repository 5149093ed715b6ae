"""Write down what was cleared from its bed."""

from __future__ import annotations

from datetime import date

from bot.handlers import answers
from bot.handlers.checking import day_and_crops
from bot.handlers.context import Context
from bot.handlers.naming import Doing, bed_name, bed_said
from bot.handlers.telling import sentence
from bot.plot.events import NewEvent
from bot.plot.state import Planting
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.wording import capital, listing

CLEARED = Doing("cleared", "Cleared", "from")


@answers("log_clear")
def log_clear(request: Request, ctx: Context) -> Reply:
    """Record that a crop, or all that stands in a bed, was cleared."""
    settled = day_and_crops(request, ctx, CLEARED, standing_first=True)
    if isinstance(settled, Reply):
        return settled
    day, crops = settled
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
    return Reply(
        f"{sentence(words)}",
        lines=lines,
        choices=choices,
        events=tuple(events),
        data={"log_clear": {"rows": [event.as_json() for event in events]}},
    )


def _to_clear(request: Request, ctx: Context, crop: str | None, bed: str | None) -> list[Planting] | Reply:
    standing = list(ctx.plot.standing(bed=bed, crop=crop))
    if crop is None:
        lasting = [p for p in standing if _lasts(p, ctx)]
        if lasting and "yes" not in request.flags:
            names = listing(list(dict.fromkeys(ctx.say.crop(p.crop) for p in lasting)))
            offers = [
                (ctx.say.crop(p.crop), f"cleared {ctx.say.crop(p.crop)} from {bed_said(bed, ctx)}")
                for p in {q.crop: q for q in standing}.values()
            ][:4]
            return ask(
                f"{capital(bed_said(bed, ctx))} holds {names}, which stay for years. All of it out?",
                [("Yes, all of it", "yes"), *offers],
                waiting=request,
                wants="choice",
                lines=("Nothing is recorded yet.",),
            )
        if not standing:
            return Reply(
                f"{capital(bed_said(bed, ctx))} was empty already, so there was nothing to record.",
                choices=(Choice(f"What fits {bed_said(bed, ctx)}", f"what fits {bed_said(bed, ctx)}", "fits_bed"),),
            )
        return standing
    name = ctx.say.crop(crop)
    if not standing:
        elsewhere = [p for p in ctx.plot.standing(crop=crop) if p.bed]
        if elsewhere:
            offers = [(bed_name(p.bed, ctx), f"cleared {name} from {bed_said(p.bed, ctx)}") for p in elsewhere[:3]]
            return ask(
                f"I have no {name} in {bed_said(bed, ctx)}. Did you mean {listing([o[0] for o in offers], 'or')}?",
                offers,
                waiting=request.with_(beds=()),
                wants="bed",
            )
        return Reply(
            f"I have no {name} down as growing, so there was nothing to clear.",
            lines=('Say "show me the plot" to see what I have.',),
            choices=(Choice("Show the plot", "show me the plot"),),
        )
    beds = list(dict.fromkeys(p.bed for p in standing))
    if bed is None and len(beds) > 1 and "all" not in request.flags:
        offers = [(bed_name(b, ctx), f"cleared {name} from {bed_said(b, ctx)}") for b in beds[:4] if b]
        return ask(
            f"{capital(name)} stand in {listing([bed_said(b, ctx) for b in beds])}. Which did you clear?",
            offers,
            waiting=request.with_(crops=(crop,), crop_choices=()),
            wants="bed",
        )
    return standing


def _lasts(planting: Planting, ctx: Context) -> bool:
    crop = ctx.facts.crops.get(planting.crop)
    return crop is not None and crop.lasting


def _clearing(request: Request, planting: Planting, day: date) -> NewEvent:
    return NewEvent(
        "cleared",
        max(day, planting.began or day),
        crop=planting.crop,
        variety=planting.variety,
        bed=planting.bed,
        words=request.text,
        data={"plantings": [planting.id]},
    )


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
            names = list(dict.fromkeys(ctx.say.crop(p.crop) for p in left))
            lines.append(f"{capital(bed_said(bed, ctx))} still holds {listing(names)}.")
            choices.append(
                Choice(f"What fits the gap in {bed_said(bed, ctx)}", f"what fits the gap in {bed_said(bed, ctx)}", "fits_bed")
            )
        else:
            lines.append(f"{capital(bed_said(bed, ctx))} is empty now.")
            choices.append(Choice(f"What fits {bed_said(bed, ctx)}", f"what fits {bed_said(bed, ctx)}", "fits_bed"))
    for planting in ctx.plot.plantings:
        kg = sum(h.kg or 0 for h in planting.harvests)
        if planting.id in gone and kg:
            lines.append(f"The {ctx.say.crop(planting.crop)} gave {ctx.say.mass(kg)} in all.")
    return tuple(lines), tuple(choices[:3])


def _clear_offers(ctx: Context) -> list[tuple[str, str]]:
    """Offer the annual crops longest in the ground."""
    standing = [p for p in ctx.plot.standing() if p.bed and p.in_ground and not _lasts(p, ctx)]
    standing.sort(key=lambda p: p.began or date.max)
    return [
        (
            f"{ctx.say.crop(p.crop)}, {bed_name(p.bed, ctx)}",
            f"cleared {ctx.say.crop(p.crop)} from {bed_said(p.bed, ctx)}",
        )
        for p in standing[:5]
    ]
