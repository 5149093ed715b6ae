"""When a crop is ready: from the record, from a planned sowing, what is ready now, and how to tell."""

from __future__ import annotations

import re
from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.growing.anchors import INF, opens
from bot.growing.calendar import YEAR, GardenYear
from bot.growing.curves import Curves, curves
from bot.growing.expecting import Expected
from bot.growing.expecting import expected as expected_of
from bot.growing.maturity import picking
from bot.growing.windows import RAISED, Window, windows
from bot.handlers import answers
from bot.handlers.blight import after_blight
from bot.handlers.checking import bed_name
from bot.handlers.coming_free import coming_free
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.growing_words import is_are, need_said, part, span
from bot.plot.folding import RAISED as RAISED_ELSEWHERE
from bot.plot.state import Planting
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing

_SOURCES = ("computed:need-from-days",)
#: A question of the whole plot, whatever was spoken of before: "what's ready to pick", not "what about them".
_OF_ALL = re.compile(
    r"\W*(?:and )?(?:what(?:'?s| is| are| will| can| should| do)\b|anything\b|which\b)"
    r"(?!.*\b(?:it|they|them|those|these|that)\b)",
    re.I,
)
#: Which of several comes before the others.
_SOONER = re.compile(r"\b(?:first|sooner|soonest|earlier|earliest)\b", re.I)
#: A day that picking is wanted by.
_BY = re.compile(r"\b(?:by|before|in time for)\b", re.I)
_SOON = timedelta(days=28)
_NEAR = timedelta(days=45)
_OVER = timedelta(days=45)  # so long after its season a crop may still stand and be asked about
_TOLD = re.compile(r"\b(?:planted|sowed|sown|started|set|put|potted)\b", re.I)
_IF_BEGUN = re.compile(r"\b(if|would|sow|sowed|sown|plant|planted|planting|sowing|begin|start)\b", re.I)


@answers("when_harvest")
def when_harvest(request: Request, ctx: Context) -> Reply:
    """Tell when a crop is ready, or what is ready now."""
    if "crops" in request.inherited and _OF_ALL.match(request.text) and not (len(request.crops) > 1 and _SOONER.search(request.text)):
        request = request.with_(crops=(), crop_choices=())
    asked = request.crops or request.crop_choices or request.unknown_crop
    if ctx.season is None:
        return ask_place(request)
    if _BY.search(request.text) and request.when is not None and request.when.start > ctx.today and request.crops:
        return _by(request, request.when.end if "end of" in request.text.lower() else request.when.start, ctx)
    free = coming_free(request, ctx)
    if free is not None:
        return free
    if not asked or request.group:
        if request.when is not None and request.when.end > ctx.today + timedelta(days=3):
            return _ready_then(request, ctx)
        return _ready_now(request, ctx)
    if len(request.crops) > 1:
        own = request.with_(inherited=tuple(name for name in request.inherited if name != "crops"))
        return (_sooner(own, ctx) if _SOONER.search(request.text) else None) or one_by_one(own, ctx, when_harvest, "when_harvest", "Ready")
    crop = which_crop(request, ctx, "Which crop?", "when is it ready:")
    if isinstance(crop, Reply):
        return crop
    ends = _stop(crop, ctx) if _STOP.search(request.text) else None
    if ends is not None:
        return ends
    standing = [p for p in ctx.plot.standing(crop=crop.id) if not request.beds or p.bed in request.beds]
    found = [e for p in standing if (e := expected(p, ctx)) is not None]
    planned = request.when is not None and request.when.end >= ctx.today
    told = _of_record(crop, found, ctx) if found and (not planned or "when" in request.inherited) else _of_plan(crop, request, ctx)
    return after_blight(told, crop.id, ctx)


def _by(request: Request, day: date, ctx: Context) -> Reply:
    """Answer whether crops are ready by a day: yes or no first, then when they are."""
    told = when_harvest(request.with_(when=None), ctx)
    first = told.data.get("when_harvest", {})
    dated = [date.fromisoformat(each["from"]) for each in (first, *first.get("more", ())) if each.get("from")]
    if not dated or len(request.crops) > 1:
        return told
    return told.with_(headline=f"{'Yes' if min(dated) <= day else 'No'}: {told.headline[:1].lower()}{told.headline[1:]}")


def _sooner(request: Request, ctx: Context) -> Reply | None:
    """Tell which of several crops is ready before the others; None where their days are not known."""
    told = one_by_one(request, ctx, when_harvest, "when_harvest", "Ready")
    first = told.data.get("when_harvest", {})
    dated = sorted((each for each in (first, *first.get("more", ())) if each.get("crop") and each.get("from")), key=lambda each: str(each["from"]))
    if len(dated) < 2:
        return None
    return told.with_(headline=f"{capital(ctx.say.crop(dated[0]['crop']))} first, about {part(date.fromisoformat(dated[0]['from']), ctx)}.")


def _stop(crop: Crop, ctx: Context) -> Reply | None:
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
    return Reply(f"Stop picking {name} about {said}.", lines=(rest,), sources=cited(crop.growth),
                 data={"when_harvest": {"crop": crop.id, "stop": said}})


def _ready_then(request: Request, ctx: Context) -> Reply:
    """Tell what of the standing crops will be picked in days to come."""
    assert request.when is not None
    start, end = max(request.when.start, ctx.today), request.when.end
    found = [e for p in ctx.plot.standing() if (not request.crops or p.crop in request.crops)
             and (not request.beds or p.bed in request.beds) and (e := expected(p, ctx)) is not None]
    then = _one_each(sorted((e for e in found if e.first <= end and e.last >= start), key=lambda e: e.first))
    when = span_of(start, end, ctx)
    if not then:
        return Reply(f"Nothing that stands now is due to be picked {when}.",
                     lines=('Ask "what fits" for a bed, or "what can I sow now", and it may be.',),
                     sources=_SOURCES, data={"when_harvest": {"ready": []}})
    names = [ctx.say.crop(e.planting.crop) for e in then]
    lines = [f"{capital(ctx.say.crop(e.planting.crop))}{_in(e, ctx).rstrip(',')}: from about {part(max(e.first, start), ctx)}."
             for e in then]
    return Reply(f"To be picked {when}: {listing(names[:8])}.", lines=tuple(lines[:9]), more=tuple(lines[9:]),
                 sources=_SOURCES, data={"when_harvest": {"ready": [_data(e) for e in then]}})


def span_of(start: date, end: date, ctx: Context) -> str:
    """Say a span to come: "in August", "from 3 to 9 June"."""
    if start.month == end.month and start.year == end.year and (end - start).days > 20:
        return f"in {ctx.say.month(start.month)}"
    return f"on {ctx.say.day(start)}" if start == end else f"from {ctx.say.day(start)} to {ctx.say.day(end)}"


_STOP = re.compile(r"\b(?:stop|quit|cease|leave off|last cut)\b", re.I)


def expected(planting: Planting, ctx: Context) -> Expected | None:
    """Return when a standing planting is picked, or None when its crop, beginning or the plot's place is unknown."""
    return expected_of(planting, ctx.plot, ctx.facts, ctx.season, ctx.today) if ctx.season else None


def _of_record(crop: Crop, found: list[Expected], ctx: Context) -> Reply:
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
    lines += _signs(crop, ctx)
    return Reply(
        head,
        lines=tuple(lines),
        working=_working(crop, soonest, ctx),
        sources=(*cited(crop.growth, crop.harvest), *_SOURCES),
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


def _of_plan(crop: Crop, request: Request, ctx: Context) -> Reply:
    """Answer for a sowing today, on a day named, or on the first good day."""
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
        signs = _signs(crop, ctx)
        head = f"I can't date {name} here, but this is how to tell." if signs else f"I can't date {name} here."
        return Reply(head, lines=tuple(signs), sources=cited(crop.harvest), data={"when_harvest": {"crop": crop.id}})
    planned = request.when is not None and request.when.end >= ctx.today
    told = request.when if request.when is not None and request.when.end < ctx.today and (_TOLD.search(request.text) or "when" in request.inherited) else None
    if told is None and not planned and not _IF_BEGUN.search(request.text):
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
        *_signs(crop, ctx),
    ]
    if result.early == result.late:
        lines = lines[1:]
    return Reply(
        head,
        lines=tuple(line for line in lines if line),
        sources=(*cited(crop.growth, crop.harvest), *_SOURCES),
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
        lines=("I have none of yours on record; tell me when you planted and I can be closer.", *_signs(crop, ctx)),
        sources=(*cited(crop.growth, crop.harvest), *_SOURCES),
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
    return Reply(head, lines=("I have none of yours on record; tell me when you planted and I can be closer.", *_signs(crop, ctx)),
                 sources=(*cited(crop.growth, crop.harvest), *_SOURCES), working=need_said(crop, ctx),
                 data={"when_harvest": {"crop": crop.id, "from": first_day.isoformat(), "to": last_day.isoformat()}})


def _ready_now(request: Request, ctx: Context) -> Reply:
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
        sign = f": {ctx.say.prose(crop.harvest.sign[:1].lower() + crop.harvest.sign[1:])}" if crop.harvest else ""
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
    return Reply(head, lines=tuple(lines[:9]), more=tuple(lines[9:]), sources=_SOURCES, data=data)


def _one_each(found: list[Expected]) -> list[Expected]:
    seen: dict[str, Expected] = {}
    for item in found:
        seen.setdefault(item.planting.crop, item)
    return list(seen.values())


def _signs(crop: Crop, ctx: Context) -> list[str]:
    if crop.harvest is None:
        return []
    found = crop.harvest
    lines = [f"How to tell: {ctx.say.prose(found.sign[:1].lower() + found.sign[1:])}."]
    if found.how:
        lines.append(f"{capital(ctx.say.prose(found.how))}.")
    if found.if_left:
        lines.append(f"Left too long: {ctx.say.prose(found.if_left)}.")
    return lines


def _in(item: Expected, ctx: Context) -> str:
    if item.planting.in_ground is None and item.planting.method in RAISED_ELSEWHERE:
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
