"""When what stands on the plot is picked: one crop, what is ready now, what will be in days to come."""

from __future__ import annotations

from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.growing.expecting import Expected
from bot.growing.expecting import expected as expected_of
from bot.handlers.checking import bed_name
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.handlers.crop_lines import signs
from bot.handlers.growing_words import is_are, need_said, part, span
from bot.plot.folding import RAISED
from bot.plot.state import Planting
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, small

SOURCES = ("computed:need-from-days",)
_SOON = timedelta(days=28)


def expected(planting: Planting, ctx: Context) -> Expected | None:
    """Return when a standing planting is picked, or None when its crop, beginning or the plot's place is unknown."""
    return expected_of(planting, ctx.plot, ctx.facts, ctx.season, ctx.today) if ctx.season else None


def surely_over(planting: Planting, ctx: Context) -> bool:
    """Tell whether the last picking of a planting on record must be well past."""
    found = expected(planting, ctx)
    return found is not None and (ctx.today - found.last).days > ctx.facts.growing.number("plot.surely_over_days")


def due_of_record(crop: Crop, found: list[Expected], ctx: Context) -> Reply:
    """Answer for a crop that stands: whether it is ready now, else when, bed by bed."""
    name = ctx.say.crop(crop.id)
    found.sort(key=lambda e: e.first)
    now = [e for e in found if e.ready(ctx.today)]
    past = [e for e in found if e.last < ctx.today]
    soonest = next((e for e in found if e.last >= ctx.today), found[-1])
    be = is_are(crop.id, ctx)
    if now:
        head = f"{capital(name)} {be} ready now{_in(now[0], ctx)}, until about {part(now[0].last, ctx)}."
    elif soonest in past:
        due = span(soonest.first, soonest.last, ctx)
        head = f"{capital(name)}{_in(soonest, ctx)} should be about over; the picking was due {due}."
    else:
        head = f"{capital(name)}{_in(soonest, ctx)} should be ready about {part(soonest.first, ctx)}."
    lines = []
    for item in found[:4]:
        if item.ready(ctx.today) and item is now[0] and len(found) == 1:
            continue
        if not item.ready(ctx.today):
            begun = "planted out" if item.planting.planted_out else "sown"
            when = ctx.say.day(item.planting.planted_out or item.planting.sown or ctx.today, ctx.today)
            lines.append(f"{capital(bed_name(item.planting.bed, ctx))}, {begun} {when}: {_range(item, ctx)}.")
        else:
            lines.append(f"{capital(bed_name(item.planting.bed, ctx))}: ready, to about {part(item.last, ctx)}.")
    lines = [line for line in dict.fromkeys(lines) if not (now and line.endswith(f": ready, to about {part(now[0].last, ctx)}."))]
    lines += signs(crop, ctx)
    return Reply(
        head,
        lines=tuple(lines),
        working=_working(crop, soonest, ctx),
        sources=(*cited(crop.growth, crop.harvest), *SOURCES),
        choices=(Choice(f"Keep {name}", f"how do I store {name}"),),
        data={
            "when_harvest": {
                "crop": crop.id,
                "from": soonest.first.isoformat(),
                "to": soonest.last.isoformat(),
                "more": [_data(e) for e in found],
            }
        },
    )


def ripens_so(request: Request, ctx: Context) -> bool:
    """Tell whether what is told of a crop on the plot is its sign of ripeness, near its time: "the onions are flopping over"."""
    crop = ctx.facts.crops.get(request.crop or "")
    topples = ctx.facts.asking.harvest.topples
    if crop is None or crop.harvest is None or crop.harvest.sign is None or not topples.search(request.text) or not topples.search(crop.harvest.sign):
        return False
    due = [e for p in ctx.plot.standing(crop=crop.id) if (e := expected(p, ctx)) is not None]
    return any(e.early - _SOON <= ctx.today for e in due)


def ready_now(request: Request, ctx: Context) -> Reply:
    """Tell what of the standing crops is ready now, and what comes next."""
    found = [
        e
        for p in ctx.plot.standing()
        if (not request.crops or p.crop in request.crops)
        and (not request.beds or p.bed in request.beds)
        and (e := expected(p, ctx)) is not None
    ]
    now = sorted((e for e in found if e.ready(ctx.today)), key=lambda e: e.last)
    soon = sorted(
        (e for e in found if ctx.today < e.first <= ctx.today + _SOON and not e.ready(ctx.today)), key=lambda e: e.first
    )
    data = {"when_harvest": {"ready": [_data(e) for e in now], "soon": [_data(e) for e in soon]}}
    if not found:
        return Reply(
            "Nothing I know of is growing, so nothing is ready.",
            lines=('Tell me what you sow or plant ("sowed peas in Bed 1") and I can say when it is ready.',),
            data=data,
        )
    lines = []
    for crop_id in dict.fromkeys(e.planting.crop for e in now):
        mine = [e for e in now if e.planting.crop == crop_id]
        crop = ctx.facts.crops[crop_id]
        where = listing(list(dict.fromkeys(bed_name(e.planting.bed, ctx) for e in mine if e.planting.bed)))
        sign = f": {ctx.say.prose(small(crop.harvest.sign))}" if crop.harvest else ""
        lines.append(f"{capital(ctx.say.crop(crop_id))}{f' ({where})' if where else ''}{sign}.")
    if soon:
        said = [f"{ctx.say.crop(e.planting.crop)} {part(e.first, ctx)}" for e in _one_each(soon)[:4]]
        lines.append(f"Coming: {listing(said)}.")
    names = list(dict.fromkeys(ctx.say.crop(e.planting.crop) for e in now))
    head = f"Ready now: {listing(names[:6])}." if names else "Nothing should be ready just now."
    if not names and not soon:
        nearest = min((e for e in found if e.first > ctx.today), key=lambda e: e.first, default=None)
        if nearest:
            lines.append(f"Next: {ctx.say.crop(nearest.planting.crop)} about {part(nearest.first, ctx)}.")
    return Reply(head, lines=tuple(lines[:9]), more=tuple(lines[9:]), sources=SOURCES, data=data)


def ready_then(request: Request, ctx: Context) -> Reply:
    """Tell what of the standing crops will be picked in days to come."""
    assert request.when is not None
    start, end = max(request.when.start, ctx.today), request.when.end
    found = [e for p in ctx.plot.standing() if (not request.crops or p.crop in request.crops)
             and (not request.beds or p.bed in request.beds) and (e := expected(p, ctx)) is not None]
    then = _one_each(sorted((e for e in found if e.first <= end and e.last >= start), key=lambda e: e.first))
    when = _span_to_come(start, end, ctx)
    if not then:
        return Reply(f"Nothing that stands now is due to be picked {when}.",
                     lines=('Ask "what fits" for a bed, or "what can I sow now", and it may be.',),
                     sources=SOURCES, data={"when_harvest": {"ready": []}})
    names = [ctx.say.crop(e.planting.crop) for e in then]
    lines = [f"{capital(ctx.say.crop(e.planting.crop))}{_in(e, ctx).rstrip(',')}: from about {part(max(e.first, start), ctx)}."
             for e in then]
    return Reply(f"To be picked {when}: {listing(names[:8])}.", lines=tuple(lines[:9]), more=tuple(lines[9:]),
                 sources=SOURCES, data={"when_harvest": {"ready": [_data(e) for e in then]}})


def _span_to_come(start: date, end: date, ctx: Context) -> str:
    """Say a span to come: "in August", "from 3 to 9 June"."""
    if start.month == end.month and start.year == end.year and (end - start).days > 20:
        return f"in {ctx.say.month(start.month)}"
    return f"on {ctx.say.day(start)}" if start == end else f"from {ctx.say.day(start)} to {ctx.say.day(end)}"


def _one_each(found: list[Expected]) -> list[Expected]:
    seen: dict[str, Expected] = {}
    for item in found:
        seen.setdefault(item.planting.crop, item)
    return list(seen.values())


def _in(item: Expected, ctx: Context) -> str:
    if item.planting.in_ground is None and item.planting.method in RAISED:
        return ", once planted out,"
    return f" in {bed_name(item.planting.bed, ctx)}" if item.planting.bed else ""


def _range(item: Expected, ctx: Context) -> str:
    if item.doubtful:
        crop = ctx.facts.crops[item.planting.crop]
        stands = crop.growth is not None and crop.growth.stands_winter
        cool = "in a cool one smaller and later" if stands else "a cool one may not ripen it"
        return f"{part(item.first, ctx)}, from {part(item.early, ctx)} in a warm year; {cool}"
    if part(item.early, ctx) == part(item.late, ctx):
        return part(item.first, ctx)
    return f"{part(item.first, ctx)}, from {part(item.early, ctx)} to {part(item.late, ctx)} as the year goes"


def _working(crop: Crop, item: Expected, ctx: Context) -> tuple[str, ...]:
    cool = "not ripe before the cold" if item.doubtful else ctx.say.day(item.late, ctx.today)
    warm, usual = ctx.say.day(item.early, ctx.today), ctx.say.day(item.first, ctx.today)
    return (f"Warm year {warm}, usual {usual}, cool {cool}.", *need_said(crop, ctx))


def _data(item: Expected) -> dict[str, object]:
    return {
        "crop": item.planting.crop,
        "bed": item.planting.bed,
        "from": item.first.isoformat(),
        "to": item.last.isoformat(),
        "early": item.early.isoformat(),
        "late": None if item.doubtful else item.late.isoformat(),
        "picked": item.picked,
    }
