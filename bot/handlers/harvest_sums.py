"""Add up pickings by crop, bed and year, for questions about the past."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from bot.handlers.context import Context
from bot.handlers.naming import bed_said
from bot.handlers.records import season_start
from bot.pictures.harvest_chart import harvest_chart
from bot.plot.state import Harvest
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, listing, plural

_CHART_MONTHS = 3  # from here on a picture says more than the sum


def within(day: date | None, request: Request) -> bool:
    """Tell whether a day lies in the days asked for; without any, every day does, an unknown one too."""
    if request.when is None or day is None:
        return day is not None or request.when is None
    return request.when.start <= day <= request.when.end


def span_said(request: Request, ctx: Context) -> str:
    """Say the days asked for, with a space before; nothing when none were."""
    if request.when is None:
        return ""
    start, end = request.when.start, request.when.end
    if start < ctx.today < end:
        end = ctx.today  # "this week", so far
    if request.when.words == "this season":
        return " this season"
    if (start.month, start.day, end.month, end.day) == (1, 1, 12, 31) and start.year == end.year:
        return f" in {start.year}"
    if start == end:
        said = ctx.say.day(start, ctx.today)
        return f" {said}" if said in ("today", "yesterday") else f" on {said}"
    if start.day == 1 and start.month == end.month and start.year == end.year and end.day >= 28:
        year = f" {start.year}" if start.year != ctx.today.year else ""
        return f" in {ctx.say.month(start.month)}{year}"
    return f" from {ctx.say.day(start, ctx.today)} to {ctx.say.day(end, ctx.today)}"


def crops_asked(request: Request) -> tuple[str, ...]:
    """Return the crops asked for, or all that the name may mean."""
    return request.crops or request.crop_choices


def harvests_reply(request: Request, ctx: Context) -> Reply:
    """Add up pickings by crop, and by year when one crop is asked for over all time."""
    words = ctx.facts.asking.harvest
    crops = crops_asked(request)
    found = [
        h
        for h in ctx.plot.harvests
        if (not crops or h.crop in crops) and (not request.beds or h.bed in request.beds) and within(h.day, request)
    ]
    where = f" from {listing([bed_said(bed, ctx) for bed in request.beds])}" if request.beds else ""
    span = span_said(request, ctx)
    data: dict[str, Any] = {
        "history": {
            "rows": [
                {"day": h.day.isoformat(), "crop": h.crop, "bed": h.bed, "kg": h.kg, "amount": h.amount, "unit": h.unit}
                for h in found
            ]
        }
    }
    if words.compared.search(request.text) and crops:
        found = [h for h in ctx.plot.harvests if h.crop in crops and (not request.beds or h.bed in request.beds)]
        request, span = request.with_(when=None), ""
    if not found and crops:  # "spuds" after a year of earlies: of the crop that grows alike
        kin = tuple(c.id for c in ctx.facts.crops.values() if c.like in crops and any(h.crop == c.id for h in ctx.plot.harvests))
        if kin:
            return harvests_reply(request.with_(crops=kin, crop_choices=()), ctx)
    if not found:
        names = listing([ctx.say.crop(crop) for crop in crops[:3]], "or") if crops else "anything"
        return Reply(f"I have no record of picking {names}{where}{span}.", data=data)
    picked_crops = list(dict.fromkeys(h.crop for h in found))
    if words.when.search(request.text) and crops:
        return _days_reply(found, request, where, ctx).with_(data=data)
    if words.last.search(request.text) and not crops:
        latest = max(found, key=lambda h: (h.day, h.seq))
        head = f"You last picked {_amount_of([latest], ctx.say.crop(latest.crop), ctx)}{where} {_on(latest.day, ctx)}."
        return Reply(head, data=data)
    draw = _chart(found, ctx)
    if len(picked_crops) == 1:
        name = ctx.say.crop(picked_crops[0])
        years = _by_year(found, ctx)
        latest = max(found, key=lambda h: (h.day, h.seq))
        if request.when is None and len(years) > 1:
            head = f"{_amount_of(found, name, ctx)}{where} in all."
            if words.compared.search(request.text):
                head = _better(years, ctx) or head
            lines = [
                f"{label}: {_amounts(harvests, ctx)}, {plural(len(harvests), 'picking')}." for label, harvests in years
            ]
        else:
            head = f"{_amount_of(found, name, ctx)}{where}{span or ' so far'}, in {plural(len(found), 'picking')}."
            beds = list(dict.fromkeys(h.bed for h in found if h.bed))
            lines = (
                [f"{capital(bed_said(bed, ctx))}: {_amounts([h for h in found if h.bed == bed], ctx)}." for bed in beds]
                if len(beds) > 1
                else []
            )
        lines.append(f"The last picking: {_dated(latest.day, ctx)}.")
        return Reply(head, lines=tuple(lines[:9]), data=data, draw=draw)
    if words.by_bed.search(request.text):
        return _of_beds(found, request, ctx).with_(data=data)
    by_crop: dict[str, list[Harvest]] = defaultdict(list)
    for h in found:
        by_crop[h.crop].append(h)
    ranked = sorted(by_crop.items(), key=lambda item: -sum(h.kg or 0 for h in item[1]))
    lines = [f"{capital(ctx.say.crop(crop))}: {_amounts(harvests, ctx)}." for crop, harvests in ranked]
    total = sum(h.kg or 0 for h in found)
    if words.best.search(request.text) and total:
        first, harvests = ranked[0]
        head = f"{capital(ctx.say.crop(first))}, by weight: {_amounts(harvests, ctx)}{where}{span}."
        return Reply(head, lines=tuple(lines[1:10]), more=tuple(lines[10:]), data=data, draw=draw)
    head = (
        f"{ctx.say.mass(total)} picked{where}{span or ' in all'}, {plural(len(picked_crops), 'crop')}."
        if total
        else (f"{plural(len(found), 'picking')}{where}{span}.")
    )
    return Reply(head, lines=tuple(lines[:10]), more=tuple(lines[10:]), data=data, draw=draw)


def _better(years: list[tuple[str, list[Harvest]]], ctx: Context) -> str:
    """Say which of two or more years weighed most; nothing when they were not weighed."""
    sums = sorted(((sum(h.kg or 0 for h in some), label, some) for label, some in years), key=lambda row: -row[0])
    if not sums[1][0]:
        return ""
    this = years[0][0] if season_start(years[0][1][0].day, ctx) == season_start(ctx.today, ctx) else ""
    (most, label, _), (less, other, _) = sums[:2]
    so_far = " so far" if other == this else ""
    return f"{label} was better: {ctx.say.mass(most)}, against {ctx.say.mass(less)} in {other}{so_far}."


def _of_beds(found: Sequence[Harvest], request: Request, ctx: Context) -> Reply:
    """Add up pickings by the bed they came from, the heaviest first."""
    groups: dict[str | None, list[Harvest]] = defaultdict(list)
    for h in found:
        groups[h.bed].append(h)
    ranked = sorted(groups.items(), key=lambda item: -sum(h.kg or 0 for h in item[1]))
    lines = [
        f"{capital(bed_said(bed, ctx)) if bed else 'No bed named'}: {_amounts(some, ctx)}." for bed, some in ranked
    ]
    if ctx.facts.asking.harvest.best.search(request.text):
        return Reply(lines[0], lines=tuple(lines[1:10]), more=tuple(lines[10:]))
    span = span_said(request, ctx) or " in all"
    head = f"{ctx.say.mass(sum(h.kg or 0 for h in found))} picked{span}, by bed:"
    return Reply(head, lines=tuple(lines[:10]), more=tuple(lines[10:]))


def _days_reply(found: Sequence[Harvest], request: Request, where: str, ctx: Context) -> Reply:
    """Answer when a crop was picked: first, last, or from when to when, with each year's days."""
    names = listing([ctx.say.crop(crop) for crop in dict.fromkeys(h.crop for h in found)][:3])
    ordered = sorted(found, key=lambda h: (h.day, h.seq))
    first, last = ordered[0], ordered[-1]
    if ctx.facts.asking.harvest.last.search(request.text):
        head = f"You last picked {names}{where} {_on(last.day, ctx)}: {_amounts([last], ctx)}."
    elif ctx.facts.asking.harvest.earliest.search(request.text):
        head = f"You first picked {names}{where} {_on(first.day, ctx)}: {_amounts([first], ctx)}."
    elif first.day == last.day:
        head = f"You picked {names}{where} {_on(first.day, ctx)}: {_amounts(ordered, ctx)}."
    else:
        head = f"You picked {names}{where} from {_dated(first.day, ctx)} to {_dated(last.day, ctx)}."
    lines = []
    for label, some in _by_year(list(found), ctx):
        days = sorted(h.day for h in some)
        spell = ctx.say.day(days[0]) if days[0] == days[-1] else f"{ctx.say.day(days[0])} to {ctx.say.day(days[-1])}"
        lines.append(f"{label}: {spell}, {plural(len(some), 'picking')}.")
    return Reply(head, lines=tuple(lines[:9]))


def _dated(day: date, ctx: Context) -> str:
    """Say a past day with its year whenever that is not this one: a record must not be taken for this summer's."""
    said = ctx.say.day(day, ctx.today)
    if day.year == ctx.today.year or str(day.year) in said or said == "yesterday":
        return said
    return f"{said}, {day.year}" if ctx.say.us else f"{said} {day.year}"


def _on(day: date, ctx: Context) -> str:
    said = _dated(day, ctx)
    return said if said in ("today", "yesterday") else f"on {said}"


def _chart(found: Sequence[Harvest], ctx: Context) -> Callable[[], bytes] | None:
    """Return what draws weighed pickings of several months: a bar a crop, or a bar a month for one crop."""
    weighed = [h for h in found if h.kg]
    months = sorted({(h.day.year, h.day.month) for h in weighed})
    if len(months) < _CHART_MONTHS:
        return None
    crops = list(dict.fromkeys(h.crop for h in weighed))
    if len(crops) == 1:
        title = capital(ctx.say.crop(crops[0]))
        sums = [
            (f"{ctx.say.month(month)} {year}", [h for h in weighed if (h.day.year, h.day.month) == (year, month)])
            for year, month in months
        ]
    else:
        title = ctx.plot.settings.name
        sums = [(capital(ctx.say.crop(crop)), [h for h in weighed if h.crop == crop]) for crop in crops]
    rows = [(name, kg := sum(h.kg or 0 for h in some), ctx.say.mass(kg)) for name, some in sums]
    return lambda: harvest_chart(rows, title, in_order=len(crops) == 1)


def _amount_of(harvests: Sequence[Harvest], name: str, ctx: Context) -> str:
    """Say a sum of one crop: "3 kg of courgettes", "5 courgettes", "3 kg of courgettes and 5 not weighed"."""
    weighed = [h for h in harvests if h.kg is not None]
    rest = [h for h in harvests if h.kg is None and h.amount]
    if weighed and rest:
        return f"{_amounts(weighed, ctx)} of {name} and {_amounts(rest, ctx)} not weighed"
    plain = bool(rest) and all((h.unit or "count") == "count" for h in rest)
    return f"{_amounts(harvests, ctx)}{'' if plain else ' of'} {name}"


def _amounts(harvests: Sequence[Harvest], ctx: Context) -> str:
    """Say a sum: the weight, and what was counted and not weighed."""
    parts = []
    kg = sum(h.kg or 0 for h in harvests)
    if kg:
        parts.append(ctx.say.mass(kg))
    counted: dict[str, float] = defaultdict(float)
    for h in harvests:
        if h.kg is None and h.amount:
            counted[h.unit or "count"] += h.amount
    parts += [
        ctx.say.produce(n) if unit == "l" else f"{n:g}" if unit == "count" else plural(n, unit)
        for unit, n in counted.items()
    ]
    if not parts:
        return plural(len(harvests), "picking")
    return listing(parts)


def _by_year(harvests: list[Harvest], ctx: Context) -> list[tuple[str, list[Harvest]]]:
    """Group by growing year, newest first: the calendar year in the north, July to June in the south."""
    groups: dict[date, list[Harvest]] = defaultdict(list)
    for h in harvests:
        groups[season_start(h.day, ctx)].append(h)
    return [
        (f"{start.year}" if start.month == 1 else f"{start.year}-{(start.year + 1) % 100:02d}", groups[start])
        for start in sorted(groups, reverse=True)
    ]
