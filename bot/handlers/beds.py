"""What fits an empty bed or gap, and why something does not."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

from bot.growing.asking import FOLLOWS, Ground, ground_for, standing_before
from bot.growing.choosing import Choice as Chosen
from bot.growing.choosing import choose
from bot.growing.outcomes import Offer, Trial
from bot.growing.space import is_manure
from bot.growing.trial import trial_for
from bot.growing.windows import RAISED, windows
from bot.growing.wishes import Wishes, meant, wishes_of
from bot.handlers import answers, handler_for
from bot.handlers.checking import unknown_bed
from bot.handlers.coming_free import coming_free
from bot.handlers.context import Context, ask_place
from bot.handlers.green_manures import green_manures
from bot.handlers.growing_words import is_are, miss_data, miss_line, offer_data, offer_lines, part
from bot.handlers.succession import after_that, planned
from bot.plot.state import Bed
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, number

SOURCES = ("computed:need-from-days", "computed:calendar-fit", "common-practice")
SHOWN = 5
_FAR = frozenset({"hungry-gap", "winter"})  # wishes that look months ahead, so the bed may be filled weeks from now
_NOW_DAYS = 14
_SOON = timedelta(days=150)


@answers("fits_bed")
def fits_bed(request: Request, ctx: Context) -> Reply:
    """Offer what will still make it in a bed, with counts, dates and reasons, and what nearly does."""
    stray = unknown_bed(request, ctx)
    if stray:
        return stray
    if ctx.season is None:
        return ask_place(request)
    free = coming_free(request, ctx)
    if free is not None:
        return free
    if request.group and ctx.facts.asking.ground.green_manure.search(request.text) and not FOLLOWS.search(request.text):
        return green_manures(request, ctx)
    following = after_that(request, ctx)
    if following is not None:
        return _offered(request, following, wishes_of(request, ctx.plot.settings.wishes, ctx.facts), ctx)
    if _after_what_is_gone(request, ctx):
        return handler_for("rotation")(request, ctx)
    request = meant(request, ctx.facts)
    wishes = wishes_of(request, ctx.plot.settings.wishes, ctx.facts)
    if _of_one_crop(request, ctx, wishes):
        return handler_for("why_not")(request.with_(crops=request.crops[:1]), ctx)
    ahead = timedelta(days=ctx.facts.growing.number("wish.ahead_days")) if _FAR.intersection(wishes.wanted) else None
    ground = ground_for(request, ctx.plot, ctx.facts, ctx.season, ctx.today, ahead)
    if isinstance(ground, Bed):
        return full(ground, ctx)
    return _offered(request, ground, wishes, ctx)


def _offered(request: Request, ground: Ground, wishes: Wishes, ctx: Context) -> Reply:
    """Return what will still make it in a piece of ground."""
    assert ctx.season is not None
    trial = trial_for(
        ctx.season, ctx.facts, ground.plot, ground.place, ground.first_day, ground.last_day, request.cover
    )
    found = choose(trial, wishes)
    unmet = not found.offers and bool(wishes.wanted or wishes.only)
    if unmet:  # nothing is as wished: say so, and what there is
        found = choose(trial, replace(wishes, wanted=(), only=frozenset()))
    where = where_said(ground, ctx)
    data = {
        "fits_bed": {
            "bed": trial.bed_id,
            "area_m2": round(ground.place.area_m2, 2),
            "offers": [offer_data(o, ctx) for o in found.offers],
            "near_misses": [miss_data(m, ctx) for m in found.near_misses],
            "green_manures": [o.crop for o in found.manures],
            "planned": planned(ground),
        }
    }
    if not found.offers:
        return _nothing(found, trial, ground, where, ctx).with_(data=data)
    shown, rest = found.offers[:SHOWN], found.offers[SHOWN:]
    names = listing([ctx.say.crop(o.crop) for o in shown[:3]])
    when = "now" if ground.first_day <= ctx.today else f"from {ctx.say.day(ground.first_day, ctx.today)}"
    asked = wishes_of(request, (), ctx.facts)
    if unmet:
        head = f"Nothing {_wished(request, wishes)} is sure to do {where}; best otherwise: {names}."
    elif any(wish in _WISHED for wish in asked.wanted):
        later = all((o.start - ctx.today).days > _NOW_DAYS for o in shown[:3]) and ground.first_day <= ctx.today
        from_ = f", from {ctx.say.day(min(o.start for o in shown[:3]), ctx.today)}" if later else ""
        head = f"{capital(where)}, best {_wished(request, asked)}: {names}{from_}."
    else:
        once = f"Once the {ctx.say.crop(ground.after.crop)} {is_are(ground.after.crop, ctx)} out, " if ground.after else ""
        head = f"{once}{where}, best {when}: {names}." if once else f"{capital(where)}, best {when}: {names}."
    lines = offer_lines(shown, ctx, trial)
    lines += [miss_line(m, ctx) for m in found.near_misses[:2]]
    if found.manures:
        lines.append(_manure(found, ground, ctx))
    lines += _asides(ground, ctx)
    choices = [
        Choice(f"Why not {ctx.say.crop(m.crop)}?", f"why not {ctx.say.crop(m.crop)}") for m in found.near_misses[:2]
    ]
    choices += [Choice(f"{bed.name} instead", f"what fits {bed.name} now") for bed in ground.others[:2]]
    more = (*offer_lines(rest, ctx, trial), *(miss_line(m, ctx) for m in found.near_misses[2:5]))
    return Reply(
        head,
        lines=tuple(lines),
        more=tuple(more),
        working=working(found, trial, ctx),
        sources=SOURCES,
        choices=tuple(choices),
        data=data,
    )


_WISHED = {
    "salads": "for salads",
    "kids": "for children",
    "quick": "for a quick crop",
    "hungry-gap": "for the hungry gap",
    "winter": "for winter",
    "shade": "for shade",
    "perennial": "to last for years",
    "storing": "to store",
    "easy": "for little trouble",
    "early": "for an early crop",
    "autumn": "for autumn",
    "dry": "in dry ground",
    "small": "for little room",
    "heavy": "for much from it",
}


def _wished(request: Request, wishes: Wishes) -> str:
    said = [_WISHED[wish] for wish in wishes.wanted if wish in _WISHED]
    return " and ".join(said) if said else f"of the {(request.group or 'kind').replace('-', ' ')} asked for"


_AFTER = re.compile(r"\b(?:after|follow(?:s|ing)?|instead of|in place of)\b", re.I)


def _after_what_is_gone(request: Request, ctx: Context) -> bool:
    """Tell whether the message asks what follows a crop that stands nowhere here: rotation answers that, not an empty bed."""
    return (
        bool(_AFTER.search(request.text))
        and len(request.crops) == 1
        and "crops" not in request.inherited
        and not (request.group or request.beds or request.size_m)
        and standing_before(request, ctx.plot) is None
    )


def _of_one_crop(request: Request, ctx: Context, wishes: Wishes) -> bool:
    """Tell whether the message asks after one named crop ("and peas?"), which is not the one to be followed."""
    return (
        len(request.crops) == 1
        and not request.group
        and "crops" not in request.inherited
        and request.crops[0] not in wishes.refused
        and standing_before(request, ctx.plot) is None
        and not FOLLOWS.search(request.text)
        and not _AFTER.search(request.text)
    )


def where_said(ground: Ground, ctx: Context) -> str:
    """Say which piece of ground is meant: the bed, or a size when no bed is."""
    place = ground.place
    size = ctx.say.bed_size(place.length_cm / 100, place.width_cm / 100)
    if place.bed is None:
        return (
            f"for a {size} piece"
            if not place.assumed
            else "for each 10 sq ft or so"
            if ctx.say.us
            else "for each square metre"
        )
    name = place.bed.name
    if place.neighbours:
        return f"in the free part of {name} ({ctx.say.area(place.area_m2)})"
    if place.assumed:
        return f"in {name}"
    whole = place.bed.area_m2 is not None and abs(place.area_m2 - place.bed.area_m2) < 0.05
    return f"in {name} ({size})" if whole else f"in {size} of {name}"


def _asides(ground: Ground, ctx: Context) -> list[str]:
    lines = []
    if ground.after is not None:
        out = f"{ctx.say.crop(ground.after.crop)} {is_are(ground.after.crop, ctx)} out"
        lines.append(f"Taking it that the {out} by {part(ground.first_day, ctx)}.")
    manures = [p for p in ctx.plot.standing(ground.place.bed.id) if is_manure(p, ctx.facts)] if ground.place.bed else []
    if manures and ground.after is None:
        name = ctx.say.crop(manures[0].crop)
        lines.append(f"Cut the {name} first; set plants at once, but wait two or three weeks to sow small seed.")
    if ground.place.until:
        lines.append(
            f"The bed is wanted for {ctx.say.crop(ground.place.until_crop or '')} about "
            f"{ctx.say.day(ground.place.until, ctx.today)}."
        )
    if ground.stumps:
        lines.append(
            "Between stumps set plants with a trowel, leave the roots in, and keep a hand's breadth from each."
        )
    if ground.no_bed_empty and ground.place.bed:
        lines.append("No bed is empty; this one has the most room.")
    elif ground.others and not ground.place.neighbours:
        names = listing([bed.name for bed in ground.others[:3]])
        lines.append(f"{names} {'is' if len(ground.others) == 1 else 'are'} empty too.")
    if ground.place.assumed and ground.place.bed:
        lines.append(f"I don't know its size, so the counts are per {'square yard' if ctx.say.us else 'square metre'}.")
    return lines


def _manure(found: Chosen, ground: Ground, ctx: Context) -> str:
    offer = found.manures[0]
    rate = next((row for row in ctx.facts.growing.green_manures if row.crop == offer.crop), None)
    seed = f", {ctx.say.mass(rate.seed_g_per_m2 * ground.place.area_m2 / 1000)} of seed" if rate else ""
    names = listing([ctx.say.crop(o.crop) for o in found.manures[:2]], "or")
    return f"Or a {ctx.say.pick('green manure', 'cover crop')}: {names}{seed}."


def _nothing(found: Chosen, trial: Trial, ground: Ground, where: str, ctx: Context) -> Reply:
    """Answer when nothing can be begun: what comes first, and what to do with the ground till then."""
    ahead = _first_ahead(trial)
    head = f"Nothing is worth starting {where} just now."
    lines = []
    if ahead:
        lines.append(
            f"First in: {listing([f'{ctx.say.crop(c)} from {ctx.say.day(day, ctx.today)}' for c, day in ahead[:4]])}."
        )
    raised = _raised_ahead(trial)
    if raised:
        lines.append(
            "To have plants ready for it, sow under cover "
            + listing([f"{ctx.say.crop(c)} from {ctx.say.day(day, ctx.today)}" for c, day in raised[:3]])
            + "."
        )
    coming = {crop for crop, _ in ahead}
    lines += [miss_line(m, ctx) for m in found.near_misses if m.crop not in coming][:2]
    if found.manures:
        lines.append(_manure(found, ground, ctx))
    elif not trial.roofed:
        lines.append("Till then spread compost on it and cover it, so that rain and weeds do no harm.")
    roofed = [bed for bed in ctx.plot.beds.values() if bed.cover and bed != ground.place.bed and not trial.roofed]
    elsewhere = list(dict.fromkeys([*roofed[:1], *ground.others[:2]]))
    choices = tuple(Choice(f"{bed.name} instead", f"what fits {bed.name} now") for bed in elsewhere)
    return Reply(
        head,
        lines=(*lines, *_asides(ground, ctx)),
        sources=SOURCES,
        choices=choices,
        working=working(found, trial, ctx),
    )


def _first_ahead(trial: Trial) -> list[tuple[str, date]]:
    """Return the crops that can be begun in the ground soonest, with the day, the worthiest of a fortnight first."""
    return _ahead(trial, raised=False)


def _raised_ahead(trial: Trial) -> list[tuple[str, date]]:
    """Return the crops that can be sown under cover soonest for planting out."""
    return _ahead(trial, raised=True)


def _ahead(trial: Trial, *, raised: bool) -> list[tuple[str, date]]:
    base = trial.year.count(trial.first_day)
    soon: list[tuple[float, float, str]] = []
    for crop_id, row in trial.facts.growing.worth.items():
        crop = trial.facts.crops.get(crop_id)
        if crop is None or row.kind in ("perennial", "green-manure", "flower") or row.worth < 3:
            continue
        found = [
            w.ahead(base) for w in windows(crop, trial.here, roofed=trial.roofed) if (w.method in RAISED) == raised
        ]
        if found and 0 < min(found) <= _SOON.days:
            soon.append((min(found), -row.worth, crop_id))
    soon.sort(key=lambda item: (item[0] // 14, item[1]))
    return [(crop_id, trial.first_day + timedelta(days=round(ahead))) for ahead, _, crop_id in soon[:5]]


def full(bed: Bed, ctx: Context) -> Reply:
    """Answer that a bed is full, and offer what stands in it to follow and other empty beds."""
    standing = ctx.plot.standing(bed.id)
    names = list(dict.fromkeys(ctx.say.crop(p.crop) for p in standing))
    crop = standing[0].crop if standing else None
    choices = [Choice(f"After the {name}", f"what fits {bed.name} after the {name}") for name in names[:2]]
    choices += [
        Choice(other.name, f"what fits {other.name} now")
        for other in ctx.plot.empty_beds()[:2]
        if other.kind != "fruit"
    ]
    return Reply(
        f"{bed.name} is full: {listing(names[:4])}.",
        lines=("Ask what fits after one of them, or tell me when one is cleared.",) if crop else (),
        choices=tuple(choices),
        data={"fits_bed": {"bed": bed.id, "offers": [], "near_misses": []}},
    )


def working(found: Chosen, trial: Trial, ctx: Context) -> tuple[str, ...]:
    """Return the working behind the crops offered: how many ways were tried, and the first three offers."""
    lines = [
        f"{found.tried} ways of beginning a crop were tried under the season here"
        + (f" and the {trial.here.cover}" if trial.here.cover else "")
        + "."
    ]
    lines += [f"{capital(ctx.say.crop(o.crop))}: {'; '.join(offer_working(o, ctx))}" for o in found.offers[:3]]
    lines += list(trial.here.season.notes[:1])
    return tuple(lines)


def offer_working(offer: Offer, ctx: Context) -> tuple[str, ...]:
    """Return the days, the margin and the weight behind one offer."""
    margin = (
        "not ended by weather"
        if offer.margin_days > 400
        else f"{round(offer.margin_days)} days before the weather ends it"
    )
    cool = "not" if "tight" in offer.notes else ctx.say.day(offer.late, ctx.today)
    return (
        f"first picking {ctx.say.day(offer.first, ctx.today)} in a usual year, "
        f"{ctx.say.day(offer.early, ctx.today)} in a warm one, {cool} in a cool one",
        margin,
        f"begin by {ctx.say.day(offer.closes, ctx.today)}",
        f"weighed {number(offer.score, 0.1)}",
    )
