"""Whether what stands outside still ripens: the days of warmth left first, then what to do with the rest."""

from __future__ import annotations

from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.facts.keeping import Ripening
from bot.growing.anchors import INF
from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.growing.maturity import picking
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import cited
from bot.handlers.growing_words import part
from bot.handlers.harvests_due import expected
from bot.handlers.naming import bed_said
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, plural

#: A day that long ahead is another season's.
_AHEAD = timedelta(days=240)


def ripens_outdoors(request: Request, crop: Crop, rows: list[Ripening], ctx: Context) -> Reply | None:
    """Tell whether the season is long and warm enough for a crop to ripen where it stands; None when its warmth is unknown."""
    if ctx.season is None:
        return ask_place(request)
    if crop.growth is None or crop.growth.base_c is None:
        return None
    standing = [p for p in ctx.plot.standing(crop=crop.id) if not request.beds or p.bed in request.beds]
    planting = standing[-1] if standing else None
    outside = planting is None or ctx.facts.asking.harvest.outdoors.search(request.text) is not None
    known = ctx.plot.beds.get(planting.bed or "") if planting else None
    cover = None if outside or known is None else known.cover
    ends = _season_ends(crop.growth.base_c, cover, ctx.today, ctx)
    left = (ends - ctx.today).days
    if planting is None and (left > ctx.facts.growing.number("ripen.long_season_days") or (not left and _warming(ctx))):
        return _season_to_come(crop, ctx)
    name, days = ctx.say.crop(crop.id), plural(left, "day")
    found = expected(planting, ctx) if planting else None
    where = " outside" if cover is None or planting is None else f" in {bed_said(planting.bed, ctx)}"
    need = next((row.days for row in rows if row.days and row.temp_c), None)
    ahead = found is not None and found.first > ctx.today
    warmth = f"about {days} of warmth are left{where}"
    if left <= 0:
        head = f"Too late{where}: it is too cold for {name} to ripen."
    elif found is not None and ahead and found.first >= ends:
        head = f"Hardly in time: {name} would want till about {part(found.first, ctx)}, and the warmth{where} ends about {part(ends, ctx)}."
    elif found is not None and ahead:
        head = f"In time, in a usual year: the first {name} ripen{where} about {part(found.first, ctx)}, and the warmth lasts to about {part(ends, ctx)}."
    elif need and left < need[1]:
        head = f"Only those that have begun to turn: {warmth}."
    elif need and left < 2 * need[1]:
        head = f"The full-sized ones should ripen; small green ones will not: {warmth}."
    elif need:
        head = f"There is time: {warmth}, to about {part(ends, ctx)}."
    else:
        head = f"{capital(warmth)}, to about {part(ends, ctx)}."
    lines = [f"Days average {ctx.say.temp(ctx.season.mean(ctx.today, cover))} now{_by_then(left, ends, cover, ctx)}; "
             f"below about {ctx.say.temp(crop.growth.base_c)} {name} stand still."]
    if found is not None and found.doubtful and ahead:
        lines.append("A cool year may not ripen them.")
    if planting is not None and outside and known is not None and known.cover is not None:
        lines.append(f"Yours stand in {bed_said(planting.bed, ctx)}, where it stays warm longer.")
    picked = Choice("Ripen them indoors", f"how do I ripen picked {name}")
    return Reply(head, lines=tuple(lines), sources=(*cited(crop.growth), "computed:need-from-days"), choices=(picked,) if rows else (),
                 data={"ripen": {"crop": crop.id, "days_left": max(0, left), "ends": ends.isoformat(), "outside": cover is None}})


def _season_to_come(crop: Crop, ctx: Context) -> Reply:
    """Tell whether plants set out after the last frost would ripen in the open."""
    assert ctx.season is not None and crop.growth is not None and crop.growth.base_c is not None
    start = max(ctx.season.next_last_frost(ctx.today) or ctx.today, ctx.today)
    while not ctx.season.mean(start) >= crop.growth.base_c and start - ctx.today < _AHEAD:
        start += timedelta(days=1)
    ends = _season_ends(crop.growth.base_c, None, start, ctx)
    year = GardenYear.around(start, ctx.season.southern)
    found = picking(crop, "plants", year.count(start), curves(ctx.season, None, ctx.facts), with_chance=False)
    name, sources = ctx.say.crop(crop.id), (*cited(crop.growth), "computed:need-from-days")
    if found is None or found.first == INF or year.day(found.first) >= ends:
        return Reply(f"Hardly: the warmth outside here is too short for {name} to ripen.", sources=sources,
                     lines=(f"Set out about {part(start, ctx)}, they would have it till about {part(ends, ctx)}. A tunnel or greenhouse gives them more.",),
                     data={"ripen": {"crop": crop.id, "outside": True, "ends": ends.isoformat()}})
    doubt = ("A cool year may not ripen them; a tunnel or greenhouse makes it safer.",) if year.day(found.late) >= ends else ()
    return Reply(f"In a usual year: set out about {part(start, ctx)}, the first {name} ripen outside about {part(year.day(found.first), ctx)}, "
                 f"and the warmth lasts to about {part(ends, ctx)}.", lines=doubt, sources=sources,
                 data={"ripen": {"crop": crop.id, "outside": True, "from": year.day(found.first).isoformat(), "ends": ends.isoformat()}})


def _season_ends(base_c: float, cover: str | None, start: date, ctx: Context) -> date:
    """Return the day on which the days fall too cold to ripen anything, or the usual first frost in the open if that comes sooner."""
    assert ctx.season is not None
    day = start
    while day - start < _AHEAD and ctx.season.mean(day, cover) >= base_c:
        day += timedelta(days=1)
    frost = ctx.season.next_first_frost(start) if cover is None else None
    return min(day, frost) if frost is not None else day


def _warming(ctx: Context) -> bool:
    """Tell whether the days are growing warmer."""
    assert ctx.season is not None
    return ctx.season.mean(ctx.today + timedelta(days=30)) > ctx.season.mean(ctx.today)


def _by_then(left: int, ends: date, cover: str | None, ctx: Context) -> str:
    assert ctx.season is not None
    return f" and {ctx.say.temp(ctx.season.mean(ends, cover))} by {part(ends, ctx)}" if left > 0 else ""
