"""What each cover is worth in degrees."""

from __future__ import annotations

from collections.abc import Sequence

from bot.facts.climate import CoverKind
from bot.facts.crop import Crop
from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.handlers import answers, handler_for
from bot.handlers.climate import odds
from bot.handlers.cold import cover_name, harmed_below, is_many, worth
from bot.handlers.cold_question import stranger_in_cold
from bot.handlers.context import Context
from bot.handlers.cover_use import cover_use_reply
from bot.reply import Reply, Table
from bot.request import Request
from bot.season import WHOLE_YEAR
from bot.season.covering import middle
from bot.season.winter import winter_of
from bot.tending.job_windows import window
from bot.tending.jobs import hard_winter
from bot.tending.units import in_units
from bot.wording import capital, listing


@answers("protect")
def protect(request: Request, ctx: Context) -> Reply:
    """Tell what covers are worth, one of them, or how far each takes a crop."""
    covers, asks = ctx.facts.climate.covers, ctx.facts.asking.cold
    bed = ctx.plot.beds.get(request.bed or "")
    asked = request.cover or (bed.cover if bed else None)
    try:
        cover_id = ctx.facts.climate.cover_id(asked) if asked else None
    except KeyError:
        cover_id = None
    crop = ctx.facts.crops.get(request.crop or "")
    if asks.off_pests.search(request.text) and not asks.net.search(request.text):
        return handler_for("pest")(request.with_(intent="pest", cover=None), ctx)
    used = cover_use_reply(request, ctx)
    if used is not None:
        return used
    kin = request.crop_choices if crop is None and asks.net.search(request.text) else ()
    if kin and not asks.climbing.search(request.text):  # "the cabbages": the same creatures are after each of them
        return netted(request.with_(crops=kin, group=_kin_name(kin, ctx)), ctx)
    if cover_id == "none":
        cover_id = None
    if crop is not None and asks.net.search(request.text) and not asks.climbing.search(request.text) and len(request.crops) == 1:
        return netted(request, ctx)
    if crop is not None and asks.cover_needed.search(request.text):  # whether they come through without one
        return handler_for("hardy")(request.with_(intent="hardy", cover=None), ctx)
    if (of_stranger := stranger_in_cold(request, ctx, "protect")) is not None:
        return of_stranger
    if cover_id:
        return _one_cover(cover_id, covers[cover_id], request, ctx)
    if crop is not None:
        return _for_winter(crop, request, ctx) or _for_crop(request, ctx)
    seldom = _seldom(request, ctx)
    if seldom is not None:
        return seldom
    laid = [c for c in covers if c not in ("none", "indoors", "heated", "plastic-sheet")]
    ranked = sorted(laid, key=lambda c: middle(covers[c].night_c))
    rows = tuple((_plain(covers[c], ctx), ctx.say.warmth(*covers[c].night_c)) for c in ranked)
    return Reply("Each cover is worth a few degrees on a cold night:", table=Table(("cover", "worth about"), rows),
                 lines=("Lay them before dusk while the ground still holds warmth, and open them by day.",),
                 more=("Plastic lying flat on leaves gives almost nothing.",), working=_cover_notes(ranked, ctx),
                 sources=_cited(ranked, ctx),
                 data={"protect": {"covers": {c: list(covers[c].night_c) for c in ranked}}})


def _kin_name(crops: Sequence[str], ctx: Context) -> str:
    """Return what several crops are called together ("cabbages"): the word their names end in, or else the first one's name."""
    names = [ctx.say.crop(crop) for crop in crops]
    ends = {name.split()[-1] for name in names}
    return ends.pop() if len(ends) == 1 else names[0]
def _for_winter(crop: Crop, request: Request, ctx: Context) -> Reply | None:
    """Tell the job that carries a crop through a hard winter, and when, where it is asked about for the winter."""
    if ctx.season is None or not ctx.facts.asking.cold.winter.search(request.text) or not hard_winter(ctx.season):
        return None
    job = next((j for j in ctx.facts.tending.jobs.jobs if crop.id in j.crops and "hard-winter" in j.needs and j.how), None)
    here = curves(ctx.season, None, ctx.facts)
    span = window(job, here) if job else None
    if job is None or span is None:
        return None
    year = GardenYear.around(ctx.today, ctx.season.southern)
    task = ctx.say.pick(job.task, job.us or job.task).replace("{crop}", ctx.say.crop(crop.id)).replace("{in}", "")
    first, last = (year.day(day) for day in span)
    return Reply(f"{capital(task)}, {ctx.say.part_of_month(first)} to {ctx.say.part_of_month(last)}.",
                 lines=tuple(ctx.say.prose(line) for line in (job.how, job.why) if line), sources=tuple(job.source),
                 data={"protect": {"crop": crop.id, "job": job.id}})


def _seldom(request: Request, ctx: Context) -> Reply | None:
    """Say that nothing need be done against frost where most winters bring none; None elsewhere."""
    if ctx.season is None or not ctx.facts.asking.cold.frosty.search(request.text) or ctx.season.frost_dates().first.p50 is not None:
        return None
    return Reply(f"No: most winters pass without a frost here; one comes {odds(ctx.season.nights.any(WHOLE_YEAR))}.",
                 lines=("If one is forecast, lay fleece over what is tender before dusk.",), working=ctx.season.notes,
                 sources=("computed:frost-dates-fit",), data={"protect": {}})


def _for_stranger(cold: str, sources: tuple[str, ...], ctx: Context) -> Reply:
    """Tell what frost does to a plant that is no kitchen crop, beside the cold nights of the place."""
    head, _, rest = ctx.say.prose(cold).partition(". ")
    lines = [rest] if rest else []
    if ctx.season is not None:
        winter = winter_of(ctx.season)
        lines.insert(0, f"The coldest night of a usual winter here is about {ctx.say.temp(round(winter.usual))}, of a hard one "
                        f"{ctx.say.temp(round(winter.hard))}.")
    return Reply(f"{head}.", lines=tuple(lines), sources=sources, data={"protect": {}})


def netted(request: Request, ctx: Context) -> Reply:
    """Tell which pests of a crop, or of a group of them, a net or mesh keeps off, the commonest first."""
    net, crops = ctx.facts.asking.cold.net, [ctx.facts.crops[c] for c in request.crops if c in ctx.facts.crops]
    hosts = dict.fromkeys(each for crop in crops for each in crop.pests)
    found = [p for each in hosts if (p := ctx.facts.tending.pest(each)) is not None and any(net.search(line) for line in (*p.now, p.next_year))]
    shared = {p.id: sum(p.id in crop.pests for crop in crops) for p in found}
    found.sort(key=lambda p: (-p.common, -shared[p.id]))
    name = request.group or ctx.say.crop(crops[0].id)
    if not found:
        return Reply(f"No, {name} need{'' if request.group or is_many(crops[0], ctx.say.words) else 's'} no net: I know of no pest of theirs that one keeps off.",
                     sources=("common-practice",), data={"protect": {"crop": crops[0].id, "net": []}})
    against = listing([p.said(ctx.say.words, ctx.say.country) for p in found[:4]])
    told = {p.said(ctx.say.words, ctx.say.country): next(line for line in (p.next_year, *p.now) if net.search(line)) for p in found[:3]}
    return Reply(f"Yes: a net or mesh keeps {against} off {name}.", lines=tuple(f"{capital(said)}: {in_units(line, ctx.say)}" for said, line in told.items()),
                 sources=tuple(dict.fromkeys(s for p in found[:3] for s in p.source)), data={"protect": {"crop": crops[0].id, "net": [p.id for p in found]}})


def _one_cover(cover_id: str, kind: CoverKind, request: Request, ctx: Context) -> Reply:
    say = ctx.say
    name = capital(cover_name(kind, say))
    head = f"{worth(kind, say)} on a cold night."
    if kind.low_c is not None:
        head = f"{name}: plants stay at about {say.temp(kind.low_c)} or more while the heat is on."
    lines = [say.prose(kind.advice)] if kind.advice else []
    for crop_id in request.crops[:3]:
        crop = ctx.facts.crops.get(crop_id)
        if crop is not None and kind.low_c is None:
            harm = harmed_below(crop, ctx.facts)
            outside = say.temp(round(harm - middle(kind.night_c)))
            lines.insert(0, f"{capital(say.crop(crop_id))} (hurt from about {say.temp(round(harm, 1))}) "
                            f"should then stand about {outside} outside.")
    if 0 < kind.light[1] < 1:
        low, high = (round(share * 100) for share in kind.light)
        lines.append(f"It lets through about {low} to {high} % of the light.")
    if kind.night_c[1] > 0 and kind.low_c is None:
        lines.append("Clear still nights give the least, and wind blows the gain away.")
    return Reply(head, tuple(lines), working=_cover_notes([cover_id], ctx), sources=tuple(kind.source),
                 data={"protect": {"cover": cover_id, "night_c": list(kind.night_c), "light": list(kind.light)}})


def _for_crop(request: Request, ctx: Context) -> Reply:
    crop_id = request.crops[0]
    covers = ctx.facts.climate.covers
    harm = harmed_below(ctx.facts.crops[crop_id], ctx.facts)
    name = ctx.say.crop(crop_id)
    ranked = ["fleece", "cloche", "cold-frame", "double-fleece", "polytunnel", "polytunnel-fleece"]
    ranked.sort(key=lambda c: middle(covers[c].night_c))
    rows = tuple((_plain(covers[c], ctx), ctx.say.temp(round(harm - middle(covers[c].night_c)))) for c in ranked)
    at = ctx.say.temp(round(harm, 1))
    return Reply(f"{capital(name)} in the open: harm from about {at}. Under cover it takes more:",
                 table=Table(("under", "down to about"), rows),
                 lines=("Those are outside temperatures on a usual cold night; a clear still one gives less.",),
                 working=_cover_notes(ranked, ctx), sources=_cited(ranked, ctx),
                 data={"protect": {"crop": crop_id, "harm_c": round(harm, 1),
                                   "covers": {c: list(covers[c].night_c) for c in ranked}}})


def _cover_notes(ids: list[str], ctx: Context) -> tuple[str, ...]:
    covers = ctx.facts.climate.covers
    return tuple(f"{capital(covers[c].gb)}: {covers[c].note}" for c in ids if covers[c].note)


def _cited(ids: list[str], ctx: Context) -> tuple[str, ...]:
    return tuple(dict.fromkeys(s for c in ids for s in ctx.facts.climate.covers[c].source))


def _plain(kind: CoverKind, ctx: Context) -> str:
    return capital(cover_name(kind, ctx.say, article=False))
