"""Why a crop was not offered, or that it would make it after all."""

from __future__ import annotations

from bot.facts.crop import Crop
from bot.growing.asking import ground_for
from bot.growing.choosing import choose, explain
from bot.growing.outcomes import Miss, Offer, Trial
from bot.growing.trial import trial_for
from bot.handlers import answers
from bot.handlers.beds import SHOWN, SOURCES, full, offer_working, where_said
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import which_crop
from bot.handlers.growing_words import cap, detail, layout, miss_data, offer_data, reason, span, way
from bot.plot.state import Bed
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import listing


@answers("why_not")
def why_not(request: Request, ctx: Context) -> Reply:
    """Tell why a crop was not offered, or that it would make it after all."""
    crop = which_crop(request, ctx, "Why not which crop?", "why not")
    if isinstance(crop, Reply):
        return crop
    if ctx.season is None:
        return ask_place(request)
    name = ctx.say.crop(crop.id)
    data = {"why_not": {"crop": crop.id}}
    if crop.sowing is None or crop.growth is None:
        return Reply(f"I know too little about growing {name} to say.", data=data)
    asked = request.with_(crops=()) if not request.beds else request
    ground = ground_for(asked, ctx.plot, ctx.facts, ctx.season, ctx.today)
    if isinstance(ground, Bed):
        return full(ground, ctx)
    trial = trial_for(
        ctx.season, ctx.facts, ground.plot, ground.place, ground.first_day, ground.last_day, request.cover
    )
    results = explain(trial, crop.id)
    where = where_said(ground, ctx)
    if not results:
        return _never(crop, trial, where, ctx)
    best = results[0]
    if isinstance(best, Offer):
        how = f"{cap(way(best.method))}{_from(best, trial, ctx)}"
        line = f"{how}: {layout(best, ctx)}; pick {span(best.first, best.last, ctx)}."
        head = f"Yes, {name} would still make it {where}."
        extra = _rank(crop, trial, ctx)
        return Reply(
            head,
            lines=(line, cap(reason(best, ctx)) + ".", *extra),
            sources=SOURCES,
            working=offer_working(best, ctx),
            data={"why_not": {"crop": crop.id, "failed": None, "detail": "", "offer": offer_data(best, ctx)}},
        )
    head = f"{cap(name)} {where}: {detail(best, ctx)}."
    lines = [
        f"To {way(other.method)}: {detail(other, ctx)}."
        for other in results[1:3]
        if isinstance(other, Miss) and detail(other, ctx) != detail(best, ctx)
    ]
    lines += _instead(crop, trial, ctx)
    return Reply(
        head,
        lines=tuple(lines),
        working=_miss_working(best, ctx),
        sources=SOURCES,
        choices=(
            Choice(
                "What fits instead?",
                f"what fits {trial.place.bed.name} now" if trial.place.bed else "what can I sow now",
            ),
        ),
        data={"why_not": {**miss_data(best, ctx), "numbers": _plain(best.numbers)}},
    )


def _never(crop: Crop, trial: Trial, where: str, ctx: Context) -> Reply:
    name = ctx.say.crop(crop.id)
    return Reply(
        f"No {name} {where}: this place has no season warm or long enough.",
        lines=("Under a tunnel or greenhouse it may do; ask with the cover named.",) if not trial.roofed else (),
        sources=SOURCES,
        data={"why_not": {"crop": crop.id, "failed": "season", "detail": "no season here"}},
    )


def _from(offer: Offer, trial: Trial, ctx: Context) -> str:
    return "" if (offer.start - trial.first_day).days <= 2 else f" from {ctx.say.day(offer.start, ctx.today)}"


def _rank(crop: Crop, trial: Trial, ctx: Context) -> list[str]:
    """Say what came before a crop that would do but was not among the first."""
    found = choose(trial, count=8)
    names = [o.crop for o in found.offers[:SHOWN]]
    if crop.id in names:
        return []
    return (
        [f"I put {listing([ctx.say.crop(c) for c in names[:3]])} first: more on the plate for the wait."]
        if names
        else []
    )


def _instead(crop: Crop, trial: Trial, ctx: Context) -> list[str]:
    kind = trial.facts.growing.worth.get(crop.id)
    near = [o for o in choose(trial, count=8).offers if kind is None or o.kind == kind.kind] or list(
        choose(trial, count=3).offers
    )
    if not near:
        return []
    return [f"What would make it: {listing([ctx.say.crop(o.crop) for o in near[:3]], 'or')}."]


def _miss_working(miss: Miss, ctx: Context) -> tuple[str, ...]:
    return tuple(
        f"{key.replace('_', ' ')}: {ctx.say.day(value, ctx.today) if hasattr(value, 'isoformat') else value}"
        for key, value in miss.numbers.items()
        if value not in (None, ())
    )


def _plain(numbers: dict[str, object]) -> dict[str, object]:
    return {
        key: value.isoformat()
        if hasattr(value, "isoformat")
        else list(value)
        if isinstance(value, tuple)
        else round(value, 2)
        if isinstance(value, float)
        else value
        for key, value in numbers.items()
    }
