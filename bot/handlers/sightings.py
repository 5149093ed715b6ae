"""Write down a pest or a frost seen, and say what follows from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from bot.facts.tending import Pest
from bot.handlers import answers, handler_for
from bot.handlers.blossoming import SOURCES, frosted_blossom
from bot.handlers.checking import day_of
from bot.handlers.cold import cold_of, leaves_hurt
from bot.handlers.context import Context
from bot.handlers.pests import Case, case_of, lives_here
from bot.plot.events import NewEvent
from bot.plot.state import Planting
from bot.reply import Choice, Reply
from bot.request import Request
from bot.season.covering import night_gain
from bot.tending.diagnosis import Clinic, clinic
from bot.tending.sightings import last_sighting
from bot.tending.units import in_units
from bot.wording import listing

SURE = 0.6  # share of belief to write a described trouble down by name
NO_FROST_C = 4.0  # air no colder than this is no frost; the grass may freeze a few degrees above zero
COLDEST_C = -60.0
A_WEEK = timedelta(days=7)
#: Questions that are asked of a frost before it comes.
_OF_COLD_AHEAD = {"hardy", "protect", "frost_tonight"}
NIPPED_DAYS = 5  # how long after a frost it is worth saying what it may have hurt


@answers("log_pest_seen")
def log_pest_seen(request: Request, ctx: Context) -> Reply:
    """Record a trouble seen, with its id when the words are clear enough, and the first thing to do about it."""
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    ward, case = clinic(ctx.facts.tending), case_of(request, ctx)
    trouble = _recognised(ward, case, ctx)
    if trouble is None and not request.text.strip():
        return Reply("What did you see, and on which plant? I recorded nothing yet.", waiting=request, wants="choice")
    crop = request.crop or (case.crops[0] if len(case.crops) == 1 else None)
    bed = _its_bed(request, crop, ctx)
    event = NewEvent("pest_seen", day, crop=crop, bed=bed, words=request.text.strip(),
                     data={"pest": trouble.id} if trouble else {})
    where = [f"on the {ctx.say.crop(crop)}"] if crop else []
    where += [f"in {ctx.plot.beds[bed].name}"] if bed in ctx.plot.beds else []
    what = trouble.said(ctx.say.words, ctx.say.country) if trouble else f"“{_short(request.text)}”"
    headline = " ".join([f"Noted: {what} seen", *where, ctx.say.day(day, ctx.today)]) + "."
    if trouble is None:
        return Reply(headline, lines=("I can't put a name to it yet. Tell me what you see and I'll try.",),
                     choices=(Choice("What is it?", f"what is wrong: {_short(request.text)}"),), events=(event,))
    return Reply(headline, lines=tuple(_after_pest(trouble, request, ctx)), events=(event,), sources=tuple(trouble.source),
                 cautions=(trouble.notify,) if trouble.notify else (),
                 choices=(Choice("What to do about it", f"what to do about {trouble.said(ctx.say.words, ctx.say.country)}", "pest"),),
                 data={"pest": trouble.id})


def _its_bed(request: Request, crop: str | None, ctx: Context) -> str | None:
    """Return the bed of a trouble: the one named, else where its crop stands rather than the bed last spoken of."""
    if request.bed and "beds" not in request.inherited:
        return request.bed
    beds = {p.bed for p in ctx.plot.standing(crop=crop) if p.bed} if crop else set()
    return request.bed if not beds or request.bed in beds else next(iter(beds)) if len(beds) == 1 else None


def _recognised(ward: Clinic, case: Case, ctx: Context) -> Pest | None:
    """Return the trouble that was named or clearly described: a description wins over a loose name in it."""
    named = case.named if case.named and lives_here(ward, case) else None
    if ward.thin(case.text) or (named and ward.only_named(case.text, named)):
        return named
    top = ward.rank(case.text, case.crops, season=case.season, region=case.region, before=case.before,
                    hint=named.id if named else None)[0]
    return ctx.facts.tending.pest(top.id) if top.score >= SURE else named


def _after_pest(trouble: Pest, request: Request, ctx: Context) -> list[str]:
    asked = "pest" in request.extra.get("beside", ())  # what to do, and when it was last here, is told there
    row = next(iter(trouble.on_crops(request.crops)), trouble)
    lines = [] if asked else [in_units(row.now[0], ctx.say)]
    seen = last_sighting(ctx.plot, trouble.id, ctx.today)
    if seen and not asked:
        lines.append(f"Last seen here {ctx.say.day(seen.day, ctx.today)}.")
    lines.append("I'll warn you around this time next year.")
    return lines


@answers("log_frost_seen")
def log_frost_seen(request: Request, ctx: Context) -> Reply:
    """Record a frost, and say what standing on the plot it may have hurt."""
    frosts = [e for e in ctx.plot.events("frost_seen") if e.author == ctx.author]
    before = frosts[-1] if frosts and request.extra.get("told") else None  # "down to minus 3", of the frost just told
    if before is None and request.temperature_c is None and request.when is not None and not request.when.single:
        return handler_for("history")(request.with_(intent="history"), ctx)  # "first frost last autumn" tells of none
    if ctx.facts.asking.cold.none_seen.search(request.text):
        return Reply("No frost, so nothing is written down.", lines=("Only frosts that came are kept.",))
    if before is None and frost_to_come(request, ctx):
        return handler_for("frost_tonight")(_moved_on(request, ctx), ctx)
    day = before.day if before else day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    amount = request.amount("c")
    degrees = request.temperature_c if request.temperature_c is not None else amount.value if amount else None
    if degrees is not None and not COLDEST_C <= degrees <= NO_FROST_C:
        return Reply(f"{ctx.say.temp(degrees)} can't be a frost here, so I recorded nothing.",
                     lines=("Say the temperature again, with its minus sign if it had one.",))
    event = NewEvent("frost_seen", day, bed=request.bed, amount=degrees, unit="c" if degrees is not None else None,
                     words=request.text.strip())
    if before is not None:
        changes = {"amount": degrees, "unit": "c"}
        event = NewEvent("corrected", ctx.today, words=request.text, refs=(before.seq,), data={"changes": changes})
    cold = f" of {ctx.say.temp(degrees)}" if degrees is not None else ""
    where = f" in {ctx.plot.beds[request.bed].name}" if request.bed in ctx.plot.beds else ""
    headline = f"Noted: a frost{cold}{where} {ctx.say.day(day, ctx.today)}."
    recent = (ctx.today - day).days <= NIPPED_DAYS
    lines = _after_frost(degrees, request.bed, day, ctx) if recent else []
    flowers = frosted_blossom(degrees, request, ctx) if recent else []
    return Reply(headline, lines=(*flowers, *lines), events=(event,), sources=SOURCES if flowers else (),
                 data={"temperature_c": degrees, "tender": nipped(degrees, request.bed, day, ctx) if recent else []})


def frost_to_come(request: Request, ctx: Context) -> bool:
    """Tell whether a frost told of is one that is forecast or feared, and not one that was seen: by its day, its words, or what is asked beside it."""
    if request.when is not None and request.when.start > ctx.today:
        return True
    if request.when is not None and ctx.today - request.when.end > A_WEEK:
        return False
    words = ctx.facts.asking.cold
    feared = bool(_OF_COLD_AHEAD & set(request.extra.get("beside", ()))) or words.ahead.search(request.text) is not None
    return feared and words.seen.search(request.text) is None


def _moved_on(request: Request, ctx: Context) -> Request:
    """Return the request of a frost to come with its day in the week ahead: "Thursday" was read as the last one."""
    when = request.when
    if when is None or when.end >= ctx.today:
        return request
    later = A_WEEK * (-(-(ctx.today - when.start).days // A_WEEK.days))
    return request.with_(when=replace(when, start=when.start + later, end=when.end + later))


def nipped(degrees: float | None, bed: str | None, day: date, ctx: Context, stood: Sequence[Planting] | None = None) -> list[dict[str, object]]:
    """Return the plantings out in their beds that night that it may have hurt: crop, bed, whether killed.

    `stood` are those to look at, else what stands now. An unknown depth counts as -1 °C. What is still raised indoors, or went in later, was not out in it.
    """
    found: list[dict[str, object]] = []
    for planting in ctx.plot.standing(bed=bed) if stood is None else stood:
        limits = _limits(planting, ctx)
        out = planting.in_ground
        if limits is None or (out > day if out else planting.began is not None):
            continue  # of a crop without any day it is not known, so it is named
        damage, kill = limits
        air = (-1.0 if degrees is None else degrees) + _gain(planting, ctx)
        if air <= max(damage, kill):
            regrows = planting.crop in ("potato", "potato-early")
            found.append({"crop": planting.crop, "bed": planting.bed, "killed": air <= kill and not regrows})
    return found


def _limits(planting: Planting, ctx: Context) -> tuple[float, float] | None:
    """Return the temperatures that damage and kill the growing plant, °C, or None when not known."""
    crop = ctx.facts.crops.get(planting.crop)
    if crop is None or crop.lasting or not any(h.state == "plant" and (h.damage_c is not None or h.kill_c is not None) for h in crop.hardiness):
        return None
    return leaves_hurt(crop, ctx.facts), cold_of(crop, ctx.facts).kill_c


def _gain(planting: Planting, ctx: Context) -> float:
    """Return what the bed's cover adds on a cold night, °C."""
    bed = ctx.plot.beds.get(planting.bed) if planting.bed else None
    kind = ctx.facts.climate.covers.get(bed.cover) if bed and bed.cover else None
    return night_gain(kind) if kind else 0.0


def _after_frost(degrees: float | None, bed: str | None, day: date, ctx: Context) -> list[str]:
    hurt = nipped(degrees, bed, day, ctx)
    killed = list(dict.fromkeys(str(h["crop"]) for h in hurt if h["killed"]))
    marked = list(dict.fromkeys(str(h["crop"]) for h in hurt if not h["killed"] and h["crop"] not in killed))
    lines = []
    if killed:
        lines.append(f"That may have finished the {listing([ctx.say.crop(c) for c in killed[:6]])}.")
    if marked:
        nipped_crops = listing([ctx.say.crop(c) for c in marked[:6]])
        lines.append(f"It may have nipped the {nipped_crops}: look for blackened tips.")
    if not hurt:
        standing = ctx.plot.standing(bed=bed)
        lines.append("Nothing standing on the plot that I know of is tender enough to be hurt by that."
                     if standing else "Nothing is written down as standing there, so there is nothing to check.")
    if "potato" in [*killed, *marked] or "potato-early" in [*killed, *marked]:
        lines.append("Potatoes shoot again from below: leave them.")
    if hurt:
        lines.append("Leave blackened leaves a week, then cut back to sound growth. Fleece if more frost is due.")
    return lines


def _short(text: str) -> str:
    said = " ".join(text.split())
    return said if len(said) <= 70 else said[:67].rstrip() + "…"
