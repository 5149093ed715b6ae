"""Why a crop was not offered, or that it would make it after all."""

from __future__ import annotations

from dataclasses import replace

from bot.facts.asking import SowingWords
from bot.facts.crop import Anchor, Crop
from bot.growing.anchors import INF, opens
from bot.growing.asking import Ground, ground_for
from bot.growing.choosing import choose, explain
from bot.growing.maturity import picking
from bot.growing.outcomes import Miss, Offer, Trial
from bot.growing.space import Place, place_in
from bot.growing.trial import trial_for
from bot.handlers import answers
from bot.handlers.beds import SHOWN, SOURCES, full, offer_working, where_said
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import which_crop
from bot.handlers.growing_words import about, detail, layout, miss_data, need_said, offer_data, reason, span, way
from bot.handlers.sprouting import sprouting_reply
from bot.plot.state import Bed
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, number, plural


@answers("why_not")
def why_not(request: Request, ctx: Context) -> Reply:
    """Tell why a crop was not offered, or that it would make it after all."""
    words = ctx.facts.asking.sowing
    sprouted = sprouting_reply(request, ctx)
    if sprouted is not None:
        return sprouted
    if words.ready_by.search(request.text):
        request = request.with_(when=None)  # the day is that of the picking
    crop = which_crop(request, ctx, "Why not which crop?", "why not")
    if isinstance(crop, Reply):
        return crop
    if ctx.season is None:
        return ask_place(request)
    name = ctx.say.crop(crop.id)
    data = {"why_not": {"crop": crop.id}}
    if crop.sowing is None or crop.growth is None:
        return Reply(f"I know too little about growing {name} to say.", data=data)
    ground = ground_for(_same_place(request, ctx), ctx.plot, ctx.facts, ctx.season, ctx.today)
    if isinstance(ground, Bed):
        return full(ground, ctx)
    trial = trial_for(
        ctx.season, ctx.facts, ground.plot, ground.place, ground.first_day, ground.last_day, request.cover
    )
    results = explain(trial, crop.id)
    if not request.beds and request.cover is None and (better := _other_bed(crop, results, ground, ctx)) is not None:
        ground, trial, results = better
    where = where_said(ground, ctx)
    nowhere = ground.place.bed is None and ground.place.assumed and ground.first_day <= ctx.today
    if ground.first_day > ctx.today:
        month = ground.last_day.day >= 28 and ground.first_day.day == 1
        where += (
            f" in {ctx.say.month(ground.first_day.month)}"
            if month
            else f" from {ctx.say.day(ground.first_day, ctx.today)}"
        )
    if not results:
        return _never(crop, trial, where, ctx)
    if words.sow.search(request.text):  # asked of seed: what becomes of seed is said first
        results = sorted(results, key=lambda r: (isinstance(r, Miss), r.method != "direct"))
    best = results[0]
    if isinstance(best, Miss) and (best.failed in _OF_THE_BED or trial.roofed) and not request.beds and request.cover is None:
        elsewhere = _anywhere(crop, best, where, request, trial, ctx)
        if elsewhere is not None:
            return elsewhere
    if isinstance(best, Offer):
        how = f"{capital(way(best.method))}{_from(best, trial, ctx)}"
        line = f"{how}: {layout(best, ctx)}; pick {span(best.first, best.last, ctx)}."
        yes = _yes(request.text, words)
        if nowhere:
            line = f"{line.removesuffix('.')}. That is {where}."
        head = f"{yes}{name} would still make it{'' if nowhere else f' {where}'}."
        others = [
            f"Or {way(other.method)}{_from(other, trial, ctx)}; pick {span(other.first, other.last, ctx)}."
            for other in results[1:3]
            if isinstance(other, Offer)
        ]
        extra = _rank(crop, trial, ctx)
        return Reply(
            head,
            lines=(line, *others, capital(reason(best, ctx)) + ".", *extra),
            sources=SOURCES,
            working=offer_working(best, ctx),
            data={"why_not": {"crop": crop.id, "failed": None, "detail": "", "offer": offer_data(best, ctx)}},
        )
    at = "" if nowhere else f" {where}"
    head = f"{_verdict(best, name, request.text, words)}{at}: {detail(best, ctx)}."
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


def _other_bed(
    crop: Crop, results: list[Offer | Miss], ground: Ground, ctx: Context
) -> tuple[Ground, Trial, list[Offer | Miss]] | None:
    """Return another empty bed where the crop would do, with what becomes of it there; None where this one does as well."""
    assert ctx.season is not None
    if ground.no_bed_empty or any(isinstance(r, Offer) for r in results):
        return None
    for bed in ground.others:
        place = place_in(bed, ground.plot, ctx.facts, ground.first_day)
        if place is None:
            continue
        there = trial_for(ctx.season, ctx.facts, ground.plot, place, ground.first_day, ground.last_day)
        found = explain(there, crop.id)
        if any(isinstance(r, Offer) for r in found):
            return replace(ground, place=place), there, found
    return None


def _yes(asked: str, words: SowingWords) -> str:
    """Begin the answer of an offer: a no where it was asked whether it is too late, too cold or too early."""
    if words.too_late.search(asked):
        return "No, it is not too late: "
    too = words.too.search(asked)
    return f"No, it is not {too.group(0).lower()}: " if too else "Yes, "


#: Tests that the time of year fails.
_OF_THE_YEAR = ("season", "time", "cold", "soil")
#: Tests that a bed fails and another may pass.
_OF_THE_BED = ("rotation", "space", "booked", "permanent", "light", "bolting")


def _verdict(miss: Miss, name: str, asked: str, words: SowingWords) -> str:
    """Begin the answer of a miss: with yes or no where it was asked whether it is too late, else with the crop."""
    late = miss.failed in _OF_THE_YEAR and not (miss.failed == "season" and not miss.numbers.get("late"))
    if words.too_late.search(asked):
        return f"Yes, too late for {name}" if late else f"No, not too late for {name}"
    too = words.too.search(asked)
    if too and not late and miss.failed == "season" or too and miss.failed == "soil":
        return f"Yes, {too.group(0).lower()} for {name}"
    if words.still.search(asked):
        return f"No, too late for {name}" if late else f"Not just now, {name}"
    return capital(name)


def _anywhere(crop: Crop, here: Miss, where: str, request: Request, trial: Trial, ctx: Context) -> Reply | None:
    """Answer for the season alone where only the bed that stands empty is against a crop nobody asked that bed for; None when the season is against it too."""
    assert ctx.season is not None
    ground = replace(trial_for(ctx.season, ctx.facts, ctx.plot, Place(500, 500), trial.first_day, trial.last_day), lasting_ok=True)
    offer = next((r for r in explain(ground, crop.id) if isinstance(r, Offer)), None)
    if offer is None:
        return None
    name = ctx.say.crop(crop.id)
    start = _yes(request.text, ctx.facts.asking.sowing)
    line = f"{capital(way(offer.method))}{_from(offer, ground, ctx)}; pick {span(offer.first, offer.last, ctx)}."
    return Reply(f"{start}{name} would still make it.", lines=(line, f"Not {where}, though: {detail(here, ctx)}."), sources=SOURCES, working=offer_working(offer, ctx),
                 data={"why_not": {"crop": crop.id, "failed": None, "detail": detail(here, ctx), "offer": offer_data(offer, ctx)}})


def _never(crop: Crop, trial: Trial, where: str, ctx: Context) -> Reply:
    """Answer for a crop without a season here: when it could go out at the earliest, and when it would be ripe."""
    name = ctx.say.crop(crop.id)
    here, day = trial.here, trial.year.day
    detail_said = "no season here is warm or long enough"
    rules = [rule for rule in crop.sowing.rules if rule.plant_out_opens or rule.opens] if crop.sowing else []
    for rule in rules:
        start = opens(rule.plant_out_opens or rule.opens or Anchor(), here)
        found = (
            picking(crop, "plants" if rule.plant_out_opens else rule.method, start, here) if abs(start) < INF else None
        )
        if found is not None and found.weather_end != INF:
            begun, ready = about(day(start), ctx), about(day(found.first), ctx)
            end = ctx.say.day(day(found.weather_end), ctx.today)
            if found.first - found.weather_end > _HOPELESS_DAYS:
                detail_said = f"begun {begun} at the earliest, it would not ripen before the weather ends it by {end}"
            else:
                detail_said = (
                    f"begun {begun} at the earliest, ready {ready}, and the weather usually ends the crop by {end}: "
                    "too short to be worth it"
                )
            break
    roof = () if trial.roofed else ("Under a tunnel or greenhouse it may do; ask with the cover named.",)
    return Reply(
        f"{capital(name)} {where}: {detail_said}.",
        lines=(*roof, *_instead(crop, trial, ctx)),
        sources=SOURCES,
        working=need_said(crop, ctx),
        data={"why_not": {"crop": crop.id, "method": None, "failed": "season", "detail": detail_said}},
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


_HOPELESS_DAYS = 60
_LABELS = {
    "opens": "the season opens",
    "closed": "it closed",
    "first": "begun now, first picking",
    "weather_end": "the weather ends it in an even chance",
    "last": "the family last stood there",
    "free_from": "the bed is free of it",
    "until": "the bed is wanted",
}


def _miss_working(miss: Miss, ctx: Context) -> tuple[str, ...]:
    """Say the numbers of the failed test, a line each."""
    n = miss.numbers
    lines = [f"{capital(label)}: {ctx.say.day(n[key], ctx.today)}." for key, label in _LABELS.items() if n.get(key)]
    if n.get("chance") is not None:
        lines.append(f"Chance of living till then: {round(n['chance'] * 100)} %.")
    if n.get("years"):
        lines.append(f"Gap the family wants: {plural(n['years'], 'year')}.")
    if "needs" in n:
        lines.append(f"Sun: {number(n['hours'], 0.5)} hours, wanted {number(n['needs'], 0.5)}.")
    if "soil_c" in n:
        lines.append(f"Soil: {ctx.say.temp(n['soil_c'])}, wanted {ctx.say.temp(n['least_c'])}.")
    if "mean_c" in n:
        lines.append(f"Mean warmth then: {ctx.say.temp(n['mean_c'])}, best up to {ctx.say.temp(n['best_c'])}.")
    return tuple(lines)


def _same_place(request: Request, ctx: Context) -> Request:
    """Ask of the ground that was just talked of, when none is named."""
    bare = request.with_(crops=(), text="")
    if request.beds or request.size_m or request.when:
        return bare
    for earlier in reversed(ctx.memory.requests):
        if earlier.intent in ("fits_bed", "why_not") and (earlier.beds or earlier.size_m or earlier.when):
            return bare.with_(
                beds=earlier.beds,
                size_m=earlier.size_m,
                when=earlier.when,
                cover=request.cover or earlier.cover,
                flags=earlier.flags,
            )
    return bare


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
