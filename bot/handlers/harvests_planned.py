"""When a crop that is not on record would be picked: begun on some day, in its season here, and when picking stops."""

from __future__ import annotations

from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.growing.anchors import INF, opens
from bot.growing.calendar import YEAR, GardenYear
from bot.growing.curves import Curves, curves
from bot.growing.maturity import picking
from bot.growing.windows import RAISED, Window, windows
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.handlers.crop_lines import signs
from bot.handlers.growing_words import is_are, need_said, part, span
from bot.handlers.harvests_due import SOURCES
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital

_NEAR = timedelta(days=45)
_OVER = timedelta(days=45)  # so long after its season a crop may still stand and be asked about


def due_if_begun(crop: Crop, request: Request, ctx: Context) -> Reply:
    """Answer for a sowing today, on a day named, or on the first good day."""
    words = ctx.facts.asking.harvest
    assert ctx.season is not None
    name = ctx.say.crop(crop.id)
    cover = request.cover or next((ctx.plot.beds[b].cover for b in request.beds if b in ctx.plot.beds), None)
    here = curves(ctx.season, cover, ctx.facts)
    southern = ctx.season.southern
    year = GardenYear.around(ctx.today, southern)
    found = [w for w in windows(crop, here, roofed=cover is not None) if w.method not in RAISED]
    if request.method:
        found = [w for w in found if w.method == request.method] or found
    if not found or crop.growth is None:
        tells = signs(crop, ctx)
        head = f"I can't date {name} here, but this is how to tell." if tells else f"I can't date {name} here."
        return Reply(head, lines=tuple(tells), sources=cited(crop.harvest), data={"when_harvest": {"crop": crop.id}})
    planned = request.when is not None and request.when.end >= ctx.today
    told = request.when if request.when is not None and request.when.end < ctx.today and (words.told.search(request.text) or "when" in request.inherited) else None
    if told is None and not planned and not words.if_begun.search(request.text):
        running = _this_season(crop, found, here, ctx)
        if running is not None:
            return running
    count = year.count(request.when.start if request.when and planned else ctx.today)
    if told is not None:
        count = year.count(told.start + (told.end - told.start) / 2)
    best = min(found, key=lambda w: (w.ahead(count), w.method == "plants"))
    start = count if told is not None else count + best.ahead(count)  # what was begun was begun that day
    result = picking(crop, best.method, start, here)
    if result is None or result.first == INF:
        return Reply(f"There is not warmth enough for {name} to ripen here.", data={"when_harvest": {"crop": crop.id}})
    first, last = year.day(result.first), year.day(result.last)
    begun = year.day(start)
    doing = {"direct": "Sown", "plants": "Set out"}.get(best.method, "Planted")
    when = "now" if told is None and (begun - ctx.today).days <= 1 else ctx.say.day(begun, ctx.today)
    head = f"{doing} {when}, {name} should be ready from about {part(first, ctx)} to {part(last, ctx)}."
    if result.last <= result.first:
        head = f"{doing} {when}, {name} would be ready about {part(first, ctx)}, too late for the weather here."
    warm, cool = part(year.day(result.early), ctx), part(year.day(result.late), ctx)
    swing = "may not make it" if result.cool_year_fails else cool
    lines = [
        f"In a warm year from {warm}, in a cool one {'it ' if result.cool_year_fails else ''}{swing}.",
        *signs(crop, ctx),
    ]
    if result.early == result.late:
        lines = lines[1:]
    return Reply(
        head,
        lines=tuple(line for line in lines if line),
        sources=(*cited(crop.growth, crop.harvest), *SOURCES),
        working=need_said(crop, ctx),
        data={
            "when_harvest": {
                "crop": crop.id,
                "from": first.isoformat(),
                "to": last.isoformat(),
                "method": best.method,
                "begun": begun.isoformat(),
                "chance": round(result.chance, 2),
            }
        },
    )


def _this_season(crop: Crop, found: list[Window], here: Curves, ctx: Context) -> Reply | None:
    """Answer for a crop in or near its season that the record does not have: when gardens here pick it this year."""
    assert ctx.season is not None
    name = ctx.say.crop(crop.id)
    year = GardenYear.around(ctx.today, ctx.season.southern)
    spans: list[tuple[date, date]] = []
    for window in found:
        for shift in (0, -YEAR):
            first = picking(crop, window.method, window.opens + shift, here, with_chance=False)
            last = picking(crop, window.method, window.closes + shift, here, with_chance=False)
            if first is None or last is None or INF in (first.first, last.last):
                continue
            begun = year.day(window.opens + shift)
            if begun <= ctx.today:
                spans.append((year.day(first.first), year.day(max(first.last, last.last))))
    near = [(a, b) for a, b in spans if a - _NEAR <= ctx.today <= b]
    if not near:
        return _lately_over(crop, spans, ctx)
    first_day, last_day = min(a for a, _ in near), max(b for _, b in near)
    now = first_day <= ctx.today
    head = (
        f"{capital(name)} begun in season {is_are(crop.id, ctx)} ready here {span(first_day, last_day, ctx)}"
        f"{', so look at yours now' if now else ''}."
    )
    return Reply(
        head,
        lines=("I have none of yours on record; tell me when you planted and I can be closer.", *signs(crop, ctx)),
        sources=(*cited(crop.growth, crop.harvest), *SOURCES),
        working=need_said(crop, ctx),
        data={"when_harvest": {"crop": crop.id, "from": first_day.isoformat(), "to": last_day.isoformat()}},
    )


def _lately_over(crop: Crop, spans: list[tuple[date, date]], ctx: Context) -> Reply | None:
    """Answer for a crop whose season has just gone by: when it was, and to see to what still stands."""
    past = [(a, b) for a, b in spans if b < ctx.today <= b + _OVER]
    if not past:
        return None
    first_day, last_day = min(a for a, _ in past), max(b for _, b in past)
    were = "were" if is_are(crop.id, ctx) == "are" else "was"
    head = f"{capital(ctx.say.crop(crop.id))} begun in season {were} ready here {span(first_day, last_day, ctx)}: if yours still stand, look at them now."
    return Reply(head, lines=("I have none of yours on record; tell me when you planted and I can be closer.", *signs(crop, ctx)),
                 sources=(*cited(crop.growth, crop.harvest), *SOURCES), working=need_said(crop, ctx),
                 data={"when_harvest": {"crop": crop.id, "from": first_day.isoformat(), "to": last_day.isoformat()}})


def picking_stops(crop: Crop, ctx: Context) -> Reply | None:
    """Tell when picking stops so that a lasting crop can recover; None where no such day is known."""
    assert ctx.season is not None
    if crop.growth is None or crop.growth.crops_until is None:
        return None
    day = opens(crop.growth.crops_until, curves(ctx.season, None, ctx.facts))
    if abs(day) == INF:
        return None
    said = part(GardenYear.around(ctx.today, ctx.season.southern).day(day), ctx)
    name = ctx.say.crop(crop.id)
    rest = "Then leave it to grow, so that it fills its roots for next year." if crop.lasting else "After that it runs to seed or is spent."
    rules = [task for task in ctx.facts.keeping.tasks(crop.id) if task.kind == "pick" and task.phase == "harvest"]
    how = [f"{ctx.say.prose(line)}." for task in rules for line in (task.do_not, task.detail) if line]
    return Reply(f"Stop picking {name} about {said}.", lines=(rest, *how), sources=cited(crop.growth, *rules),
                 data={"when_harvest": {"crop": crop.id, "stop": said}})
