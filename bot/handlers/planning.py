"""Plan next season's beds from rotation and wishes, and the seed it takes, less what is in the tin."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from bot.facts.crop import Crop
from bot.facts.crop_sowing import PIECES
from bot.growing.calendar import GardenYear
from bot.growing.outcomes import Offer
from bot.growing.planning import BedPlan, plan_beds, season_start
from bot.growing.wishes import Wishes, wishes_of
from bot.handlers import answers
from bot.handlers.context import Context, ask_place
from bot.handlers.growing_words import begin, part
from bot.handlers.rotation_words import group_name
from bot.keeping.household import for_people
from bot.keeping.seedage import judge
from bot.pictures.plot_plan import plot_plan
from bot.pictures.season_strip import Bar, Row, season_strip
from bot.plot.state import Bed
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, plural

_SOURCES = ("computed:need-from-days", "common-practice")
_CALENDAR = re.compile(r"\b(calendar|strip|chart|when|dates|months?)\b", re.I)
_SPARE = 1.3  # seed sown over what should stand
_LARGE = ("runner-bean", "french-bean", "french-bean-climbing", "broad-bean", "pea", "pea-sugar")


@answers("plan")
def plan(request: Request, ctx: Context) -> Reply:
    """Propose main crops and followers for every bed of the coming season."""
    if ctx.season is None:
        return ask_place(request)
    plans = _plans(request, ctx)
    if not ctx.plot.beds:
        return Reply(
            "Add your beds and I'll plan them.",
            lines=(f'For example: "add a bed {ctx.say.bed_example} called Bed 1".',),
            choices=(Choice("Add a bed", "add a bed"),),
            data={"plan": {"beds": []}},
        )
    if not plans:
        return Reply("I found nothing to plan: there are only fruit beds and frames.", data={"plan": {"beds": []}})
    start = _start(request, ctx)
    if request.bed:
        plans = [p for p in plans if p.bed.id in request.beds] or plans
    head = (
        f"A plan from {part(start, ctx)}: "
        + listing([f"{ctx.say.crop(_first_named(p, request))} in {p.bed.name}" for p in plans[:4] if p.main])
        + "."
    )
    lines = [*_unplaced(request, plans, ctx), *(_bed_line(p, ctx) for p in plans)]
    beds = tuple(ctx.plot.beds.values())
    labels = {bed.id: standing_in(bed.id, ctx) for bed in beds} | {p.bed.id: _label(p, ctx) for p in plans}
    picture = _strip(plans, start, ctx) if _CALENDAR.search(request.text) else _drawn(beds, labels, ctx)
    return Reply(
        head,
        lines=tuple(lines[:9]),
        more=tuple(lines[9:]),
        sources=_SOURCES,
        working=_working(plans, ctx),
        choices=(Choice("What seed do I need?", "what seed do I need to buy"), Choice("Why these?", "why")),
        draw=picture,
        data={"plan": {"from": start.isoformat(), "beds": [_plan_data(p) for p in plans]}},
    )


def standing_in(bed: str, ctx: Context) -> tuple[str, ...]:
    """Return the names of what stands in a bed, as a picture shows them."""
    return tuple(dict.fromkeys(capital(ctx.say.crop(p.crop)) for p in ctx.plot.standing(bed)))


def _drawn(beds: tuple[Bed, ...], labels: dict[str, tuple[str, ...]], ctx: Context) -> Callable[[], bytes]:
    sizes = {bed.id: ctx.say.bed_size(bed.length_m, bed.width_m) for bed in beds if bed.length_m and bed.width_m}
    return lambda: plot_plan(beds, labels, ctx.plot.settings.name, sizes)


def _strip(plans: list[BedPlan], start: date, ctx: Context) -> Callable[[], bytes]:
    rows = [
        Row(
            capital(ctx.say.crop(o.crop)),
            (
                Bar("sow" if o.method == "direct" else "plant", o.start, o.start + timedelta(days=14)),
                Bar("pick", o.first, o.last),
            ),
        )
        for p in plans
        for o in (*p.main, *p.then)
    ]
    return lambda: season_strip(rows, start, ctx.plot.settings.name, today=ctx.today)


@answers("seed_order")
def seed_order(request: Request, ctx: Context) -> Reply:
    """List the seed, sets and tubers the plan takes, less what is good in the tin."""
    if ctx.season is None:
        return ask_place(request)
    plans = _plans(request, ctx)
    if not plans:
        return Reply(
            "Nothing to order yet: add your beds and I'll plan them first.",
            choices=(Choice("Add a bed", "add a bed"),),
            data={"seed_order": {"buy": [], "have": []}},
        )
    wanted: dict[str, Offer] = {}
    for bed_plan in plans:
        for offer in (*bed_plan.main, *bed_plan.then):
            wanted.setdefault(offer.crop, offer)
    buy, have, doubtful = [], [], []
    for crop_id, offer in wanted.items():
        crop = ctx.facts.crops[crop_id]
        lots = [s for s in ctx.plot.seeds if s.crop == crop_id and not s.used_up]
        ages = [judge(crop, lot.year, ctx.today.year) for lot in lots]
        if offer.method in PIECES:
            buy.append(
                (crop_id, f"{ctx.say.crop(crop_id)}: {plural(_sensible(offer, crop, ctx), offer.method.rstrip('s'))}")
            )
        elif any(a.verdict in ("good", "last", "unknown") for a in ages):
            have.append(crop_id)
        else:
            need = _seed_need(offer, crop, ctx)
            buy.append((crop_id, f"{ctx.say.crop(crop_id)}: {need}"))
            if ages:
                doubtful.append(crop_id)
    if request.crops and not request.group:
        return _of_crop(ctx.facts.crops[request.crops[0]], next((need for c, need in buy if c == request.crops[0]), None), ctx)
    head = (
        f"To buy: {listing([ctx.say.crop(c) for c, _ in buy[:8]])}."
        if buy
        else "You have good seed for the whole plan."
    )
    lines = [f"{capital(text)}." for _, text in buy[:7]]
    if have:
        lines.append(f"In the tin and good: {listing([ctx.say.crop(c) for c in have])}.")
    if doubtful:
        lines.append(f"Old in the tin, so test or replace: {listing([ctx.say.crop(c) for c in doubtful])}.")
    return Reply(
        head,
        lines=tuple(lines),
        more=tuple(f"{capital(text)}." for _, text in buy[7:]),
        sources=_SOURCES,
        choices=(
            Choice("Show the plan", "plan next year's beds"),
            Choice("What is in the tin?", "what seed have I got"),
        ),
        data={"seed_order": {"buy": [c for c, _ in buy], "have": have, "old": doubtful}},
    )


def _of_crop(crop: Crop, need: str | None, ctx: Context) -> Reply:
    """Tell what seed of one crop is in the tin and whether it is good, and what the household or the plan wants."""
    name = ctx.say.crop(crop.id, 1)
    lots = [s for s in ctx.plot.seeds if s.crop == crop.id and not s.used_up]
    good = [s for s in lots if judge(crop, s.year, ctx.today.year).verdict in ("good", "last", "unknown")]
    held = listing([" ".join(part for part in (s.variety or "", plural(s.amount, s.unit or "seed") if s.amount else "", f"of {s.year}" if s.year else "") if part) for s in good or lots])
    if good:
        head = f"You have {name} seed in the tin that is good still: {held}."
    elif lots:
        head = f"Your {name} seed is past its usual life: {held}. Test it or buy fresh."
    else:
        head = f"No {name} seed is in the tin, as far as I have been told."
    eaten = for_people(crop, float(ctx.plot.settings.household))
    lines = [f"For {plural(ctx.plot.settings.household, 'person') if ctx.plot.settings.household == 1 else f'{ctx.plot.settings.household:g} people'} sow about {eaten.seeds:,} seeds, and a third more for losses."] if eaten.seeds else []
    if need:
        lines.append(f"The plan for next season takes: {need}.")
    return Reply(head, tuple(lines), sources=_SOURCES, choices=(Choice("The whole order", "what seed do I need to buy"),),
                 data={"seed_order": {"buy": [] if good else [crop.id], "have": [crop.id] if good else [], "old": [crop.id] if lots and not good else []}})


def _plans(request: Request, ctx: Context) -> list[BedPlan]:
    assert ctx.season is not None
    wishes = wishes_of(request, ctx.plot.settings.wishes, ctx.facts)
    return plan_beds(ctx.season, ctx.facts, ctx.plot, ctx.today, wishes, _start(request, ctx), _named(request, wishes))


def _named(request: Request, wishes: Wishes) -> tuple[str, ...]:
    """Return the crops asked for by name, which a plan must hold."""
    return () if request.group else tuple(c for c in request.crops if c not in wishes.refused)


def _first_named(bed_plan: BedPlan, request: Request) -> str:
    """Return the crop a bed is told by: one that was asked for, else the first."""
    held = [o.crop for o in (*bed_plan.main, *bed_plan.then)]
    return next((c for c in held if c in request.crops), held[0])


def _start(request: Request, ctx: Context) -> date:
    """Return the day a plan begins on: that of the season or month asked for, or the coming spring's."""
    assert ctx.season is not None
    usual = season_start(ctx.season, ctx.facts, ctx.today)
    if request.when is not None and request.when.start > ctx.today:
        opens = request.when.start
        return opens if request.when.end - opens < timedelta(days=300) else max(opens, usual)
    season = ctx.facts.asking.sowing.season(request.text)
    if season is None:
        return usual
    year = GardenYear.around(ctx.today, ctx.season.southern)
    return max(ctx.today, year.coming(*ctx.facts.growing.season(season), ctx.today)[0] - timedelta(days=ctx.facts.growing.number("plan.before_season_days")))


def _unplaced(request: Request, plans: list[BedPlan], ctx: Context) -> list[str]:
    """Say which crops asked for by name found no bed."""
    held = {o.crop for p in plans for o in (*p.main, *p.then)}
    left = [c for c in _named(request, wishes_of(request, (), ctx.facts)) if c not in held]
    return [f"No place found for {listing([ctx.say.crop(c) for c in left])}."] if left else []


def _bed_line(bed_plan: BedPlan, ctx: Context) -> str:
    main = listing([f"{begin(o.method, o.crop, ctx)} {ctx.say.part_of_month(o.start)}" for o in bed_plan.main])
    then = f", then {listing([ctx.say.crop(o.crop) for o in bed_plan.then])}" if bed_plan.then else ""
    return f"{bed_plan.bed.name}: {main}{then}."


def _label(bed_plan: BedPlan, ctx: Context) -> tuple[str, ...]:
    main = [capital(ctx.say.crop(o.crop)) for o in bed_plan.main]
    return (*main, *(f"then {ctx.say.crop(o.crop)}" for o in bed_plan.then))


def _working(plans: list[BedPlan], ctx: Context) -> tuple[str, ...]:
    return tuple(
        f"{p.bed.name}: {group_name(p.group, ctx)}, free by rotation; "
        + listing([f"{ctx.say.crop(o.crop)} picked {part(o.first, ctx)} to {part(o.last, ctx)}" for o in p.main])
        + "."
        for p in plans
    )


def _sensible(offer: Offer, crop: Crop, ctx: Context) -> int:
    """Return how many plants a household wants, no more than half the bed holds (two crops share it)."""
    fits = max(1, math.ceil(offer.layout.count / 2))
    amount = for_people(crop, float(ctx.plot.settings.household))
    eaten = math.ceil(amount.plants[1]) if amount.plants else fits
    return max(1, min(fits, max(eaten, 2)))


def _seed_need(offer: Offer, crop: Crop, ctx: Context) -> str:
    plants = _sensible(offer, crop, ctx)
    seeds = math.ceil(plants * _SPARE * (crop.spacing.seeds_per_station or 1 if crop.spacing else 1))
    if crop.id in _LARGE or seeds <= 60:
        return f"about {seeds} seeds"
    per_g = crop.spacing.seeds_per_g if crop.spacing else None
    if per_g and seeds / per_g >= 5:
        return f"about {ctx.say.mass(seeds / per_g / 1000)}"
    return "1 packet"


def _plan_data(bed_plan: BedPlan) -> dict[str, Any]:
    return {
        "bed": bed_plan.bed.id,
        "group": bed_plan.group,
        "main": [
            {
                "crop": o.crop,
                "method": o.method,
                "begin": o.start.isoformat(),
                "first_harvest": o.first.isoformat(),
                "last_harvest": o.last.isoformat(),
            }
            for o in bed_plan.main
        ],
        "then": [{"crop": o.crop, "method": o.method, "begin": o.start.isoformat()} for o in bed_plan.then],
    }
