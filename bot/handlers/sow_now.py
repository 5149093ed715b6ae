"""What can be sown or planted now, outdoors and under cover, or in a month named."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from bot.growing.asking import days_of
from bot.growing.outcomes import Miss, Offer, Trial
from bot.growing.ranking import ranked, scored
from bot.growing.space import Place
from bot.growing.trial import attempt, trial_for, ways
from bot.growing.windows import RAISED, Window, windows
from bot.growing.wishes import Wishes, meant, meets, refuses, suits, wishes_of
from bot.handlers import answers, handler_for
from bot.handlers.context import Context, ask_place
from bot.handlers.growing_words import begin, offer_data
from bot.handlers.roofs import is_roof, roof_name, roof_of
from bot.handlers.when_sow import when_sow
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing

_SOURCES = ("computed:calendar-fit", "computed:need-from-days", "common-practice")
_NAMED = 8
#: A window that shuts within so many days is said; one that opens again within so many is not missed.
_LAST_DAYS, _SOON_DAYS = 10, 35
_OUTDOORS = re.compile(r"\b(outdoors|outside|in the open|open ground)\b", re.I)
_INDOORS = re.compile(r"\b(indoors|inside|under cover|window ?sill|window|propagator|in (?:seed )?(?:modules|trays|pots))\b", re.I)


#: Words of sowing and planting; a day asked about without any ("what's for tomorrow") is asked about for its jobs.
_SOWING = re.compile(r"\b(?:sow\w*|plant\w*|seeds?|grow\w*|set|put|start\w*|crops?|veg\w*|fit\w*|go(?:es)? in|beds?)\b", re.I)


def _whats_on(request: Request, ctx: Context) -> bool:
    """Tell whether a message asks what there is to do on one day near by, and speaks of no sowing."""
    when = request.when
    near = when is not None and when.single and 0 <= (when.start - ctx.today).days <= 7
    return near and not (request.crops or request.group or request.wishes) and not _SOWING.search(request.text)


@answers("sow_now")
def sow_now(request: Request, ctx: Context) -> Reply:
    """List what can be sown outdoors, sown under cover and planted out now or in a month named."""
    if ctx.season is None:
        return ask_place(request)
    if _whats_on(request, ctx):
        return handler_for("jobs")(request, ctx)
    request = meant(request, ctx.facts)
    if len(request.crops) == 1 and not request.group:
        return when_sow(request, ctx)
    named = [ctx.plot.beds[b] for b in request.beds if b in ctx.plot.beds]
    only_roof = is_roof(request.cover, ctx) or bool(named) and all(is_roof(bed.cover, ctx) for bed in named)
    if named and not only_roof:
        return handler_for("fits_bed")(request, ctx)
    first, last = days_of(request, ctx.today)
    if request.when is None:
        last = first  # now means now
    wishes = wishes_of(request, ctx.plot.settings.wishes, ctx.facts)
    roof = roof_of(request, ctx)
    # An acre of sun with nothing in it: what can be sown at all, not what fits one bed.
    open_air = replace(trial_for(ctx.season, ctx.facts, ctx.plot, Place(500, 500), first, last), lasting_ok=True)
    begun = _begun(open_air, wishes)
    lasting = [o for o in begun if o.kind == "perennial"]
    outside = [o for o in begun if o.kind != "perennial"]
    out = [o for o in outside if o.method != "plants"]
    plants = [o for o in outside if o.method == "plants"]
    raised = _raised(open_air, wishes, ctx)
    inside: list[Offer] = []
    if roof:
        under = trial_for(ctx.season, ctx.facts, ctx.plot, Place(500, 500), first, last, roof)
        done = set() if only_roof else {(o.crop, o.method) for o in outside}
        inside = [o for o in _begun(under, wishes) if (o.crop, o.method) not in done]
    if only_roof:
        out, plants, lasting, raised = [], [], [], []
    elif _OUTDOORS.search(request.text):
        inside, raised = [], []
    indoors = bool(not only_roof and _INDOORS.search(request.text))
    if indoors:
        out, plants, lasting = [], [], []
    when = "now" if first <= ctx.today else f"in {ctx.say.month(first.month)}"
    lines = []
    if out:
        lines.append(f"Outdoors: {_names(out, ctx)}.")
    if plants:
        lines.append(f"Plant out: {_names(plants, ctx)}.")
    if raised:
        lines.append(f"Under cover, to plant out later: {listing([ctx.say.crop(c) for c, _ in raised[:_NAMED]])}.")
    if inside:
        lines.append(f"In the {roof_name(roof, ctx)}: {_names(inside, ctx)}.")
    if lasting:
        lines.append(f"To stay for years: {_lasting(lasting, ctx)}.")
    every = [*out, *plants, *inside]
    data = {
        "sow_now": {
            "offers": [offer_data(o, ctx) for o in [*every, *lasting]]
            + [_raised_data(c, w, first, ctx) for c, w in raised],
            "near_misses": [],
        }
    }
    if not lines:
        return _nothing(open_air, when, wishes, ctx).with_(data=data)
    lead = [begin(o.method, o.crop, ctx) for o in ranked([*out, *plants] or inside, ctx.facts, 3)]
    inside_only = "" if out or plants else f", in the {roof_name(roof, ctx)}"
    head = (
        f"Best {when}, to start indoors: {listing([ctx.say.crop(c) for c, _ in raised[:3]])}."
        if indoors and raised
        else f"Nothing to start indoors {when}, to plant out later."
        if indoors
        else f"Best {when}{inside_only}: {listing(lead)}."
        if lead
        else (
            f"{capital(when)}, under cover only: {listing([ctx.say.crop(c) for c, _ in raised[:3]])}."
            if raised
            else f"{capital(when)}, only {_lasting(lasting, ctx)}."
        )
    )
    closing = _closing(every, open_air, ctx)
    lines += [closing] if closing else []
    more = [
        f"{label}: {listing([ctx.say.crop(o.crop) for o in part_[_NAMED:]])}."
        for label, part_ in (("Outdoors too", out), ("Plant out too", plants), ("Under the roof too", inside))
        if len(part_) > _NAMED
    ]
    if len(raised) > _NAMED:
        more.append(f"Under cover too: {listing([ctx.say.crop(c) for c, _ in raised[_NAMED:]])}.")
    empty = [bed for bed in ctx.plot.empty_beds() if bed.kind != "fruit"]
    choices = tuple(Choice(f"What fits {bed.name}?", f"what fits {bed.name} now") for bed in empty[:1])
    return Reply(
        head,
        lines=tuple(lines),
        more=tuple(more),
        sources=_SOURCES,
        choices=choices,
        working=tuple(ctx.season.notes[:2]),
        data=data,
    )


def _begun(trial: Trial, wishes: Wishes) -> list[Offer]:
    """Return what can be begun in the ground in the trial's days, best first; fruit and herbs that last included."""
    offers: list[Offer] = []
    for crop in trial.facts.crops.values():
        if (
            crop.sowing is None
            or crop.growth is None
            or refuses(wishes, crop)
            or ("green-manure" in crop.use and crop.id not in wishes.only)
        ):
            continue
        if crop.growth.lasting and not trial.lasting_ok:
            continue
        best: Offer | None = None
        for method in ways(crop, trial):
            result = attempt(crop, method, trial)
            if isinstance(result, Miss) or not meets(wishes, result, trial.facts):
                continue
            offer = scored(result, trial, wishes)
            if best is None or offer.score > best.score:
                best = offer
            offers += [offer] if method == "plants" or best is offer else []
    unique = {(o.crop, o.method): o for o in offers}
    return sorted(unique.values(), key=lambda o: -o.score)


def _raised(trial: Trial, wishes: Wishes, ctx: Context) -> list[tuple[str, Window]]:
    """Return the crops to sow under cover in the trial's days for planting out later, the most worthwhile first."""
    base = trial.year.count(trial.first_day)
    days = (trial.last_day - trial.first_day).days
    found: dict[str, Window] = {}
    for crop in trial.facts.crops.values():
        row = trial.facts.growing.worth.get(crop.id)
        if row is None or refuses(wishes, crop):
            continue
        if not suits(wishes, crop, ctx.facts):
            continue
        for window in windows(crop, trial.here):
            if window.method in RAISED and window.ahead(base) <= days:
                found.setdefault(crop.id, window)
    return sorted(
        found.items(), key=lambda item: -_worth(item[0], ctx) * (1.3 if item[1].closes - item[1].opens < 60 else 1.0)
    )


def _worth(crop_id: str, ctx: Context) -> float:
    row = ctx.facts.growing.worth.get(crop_id)
    return row.worth if row else 0.0


def _names(offers: Sequence[Offer], ctx: Context) -> str:
    return listing(list(dict.fromkeys(_named(o, ctx) for o in offers))[:_NAMED])


def _named(offer: Offer, ctx: Context) -> str:
    name = ctx.say.crop(offer.crop)
    return f"{name} ({offer.method})" if offer.method in ("sets", "cloves", "runners", "slips", "crowns") else name


def _lasting(offers: list[Offer], ctx: Context) -> str:
    """Name lasting crops, bare-root fruit as one."""
    named = [ctx.say.crop(o.crop) for o in offers if o.method != "bare-root"]
    fruit = [o for o in offers if o.method == "bare-root"]
    if len(fruit) > 4:
        return listing([*list(dict.fromkeys(named))[:4], "bare-root fruit trees and bushes"])
    return listing(list(dict.fromkeys([*named, *(ctx.say.crop(o.crop) for o in fruit)]))[:_NAMED])


def _closing(offers: Sequence[Offer], trial: Trial, ctx: Context) -> str:
    soon = sorted((o for o in offers if 0 <= (o.closes - ctx.today).days <= _LAST_DAYS and not _opens_again(o, trial)),
                  key=lambda o: -_worth(o.crop, ctx))
    names = list(dict.fromkeys(ctx.say.crop(o.crop) for o in soon))[:4]
    return f"Last days for {listing(names)}." if names else ""


def _opens_again(offer: Offer, trial: Trial) -> bool:
    """Tell whether the same sowing outdoors goes on, or opens again, soon after an offer's last day."""
    base = trial.year.count(trial.first_day)
    later = (w.dates(trial.first_day, trial.year.southern) for w in windows(trial.facts.crops[offer.crop], trial.here)
             if w.method == offer.method and w.ahead(base) <= _SOON_DAYS)
    return any((last - offer.closes).days > _LAST_DAYS for _, last in later)


def _nothing(trial: Trial, when: str, wishes: Wishes, ctx: Context) -> Reply:
    base = trial.year.count(trial.first_day)
    soon = sorted(
        (
            (w.ahead(base), -row.worth, c, w)
            for c, row in ctx.facts.growing.worth.items()
            if (row.worth >= 3 or wishes.only or wishes.wanted)
            and not refuses(wishes, ctx.facts.crops[c])
            and suits(wishes, ctx.facts.crops[c], ctx.facts)
            for w in windows(ctx.facts.crops[c], trial.here)
            if row.kind != "perennial" or c in wishes.only
        ),
        key=lambda item: item[:3],
    )
    seen: dict[str, str] = {}
    for _ahead, _, crop, window in soon:
        if crop not in seen and len(seen) < 4:
            first = window.dates(trial.first_day, trial.year.southern)[0]
            seen[crop] = f"{begin(window.method, crop, ctx)} from {ctx.say.day(first, ctx.today)}"
    return Reply(
        f"Nothing {'of the kind ' if wishes.only or wishes.wanted else ''}to sow or plant outdoors {when}.",
        lines=(f"First come: {listing(list(seen.values()))}.",) if seen else (),
        sources=_SOURCES,
    )


def _raised_data(crop: str, window: Window, first: date, ctx: Context) -> dict[str, Any]:
    start, end = window.dates(first, bool(ctx.season and ctx.season.southern))
    return {
        "crop": crop,
        "method": window.method,
        "under_cover": True,
        "count": None,
        "in_row_cm": None,
        "between_rows_cm": None,
        "first_harvest": None,
        "last_harvest": None,
        "begin": max(start, first).isoformat(),
        "begin_by": end.isoformat(),
        "reason": "to raise under cover and plant out later",
    }
