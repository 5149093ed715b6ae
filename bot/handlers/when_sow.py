"""When to sow or plant a named crop here, each way, and whether that is now."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

from bot.facts.crop import Crop
from bot.facts.crop_sowing import PIECES
from bot.growing.calendar import YEAR, GardenYear
from bot.growing.curves import Curves, curves
from bot.growing.maturity import picking
from bot.growing.windows import RAISED, ROOFS, Window, windows
from bot.handlers import answers
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.going_out import all_out
from bot.handlers.growing_words import begin, is_are, part, span, way
from bot.handlers.roofs import roof_name, roof_of
from bot.handlers.sowing_back import for_target
from bot.handlers.sprouting import sprouting_reply
from bot.pictures.season_strip import Bar, Row, season_strip
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, plural

_SOURCES = ("computed:calendar-fit", "computed:need-from-days", "common-practice")
_NAMED = 8
#: So many days after its season a crop is too late and not too early.
_JUST_OVER = 60


@answers("when_sow")
def when_sow(request: Request, ctx: Context) -> Reply:
    """Tell when to sow or plant a crop here, each way, and whether that is now."""
    words = ctx.facts.asking.sowing
    sprouted = sprouting_reply(request, ctx)
    if sprouted is not None:
        return sprouted
    if ctx.season is None:
        return ask_place(request)
    if len(request.crops) > 1:
        if words.out.search(request.text):  # each by its own young plants, and not by what may be sown first
            return one_by_one(request, ctx, when_sow, "when_sow", "Planting out")
        return _several(request, ctx)
    if not (request.crops or request.crop_choices or request.unknown_crop) and (words.out.search(request.text) or words.outside.search(request.text)):
        return all_out(ctx)
    crop = which_crop(request, ctx, "Which crop do you want to sow?", "when do I sow")
    if isinstance(crop, Reply):
        return crop
    name = ctx.say.crop(crop.id)
    cover = request.cover or next((ctx.plot.beds[b].cover for b in request.beds if b in ctx.plot.beds), None)
    here = curves(ctx.season, cover, ctx.facts)
    roofed = here.cover in ROOFS
    found = windows(crop, here, roofed=roofed)
    found = _next_first(found, ctx)
    where = f" in the {roof_name(cover, ctx)}" if cover and roofed else ""
    roof = roof_of(request, ctx)
    inside: list[Window] = []
    if not roofed and (roof or not found):
        inside = _next_first(_only_inside(crop, found, roof or "polytunnel", ctx), ctx)
    if not found and not inside:
        data = {"when_sow": {"crop": crop.id, "windows": []}}
        if crop.sowing is not None and crop.sowing.hardiness_class != "tender" and here.mild:
            return Reply(f"As far as I know it is too warm here for {name}.",
                         lines=("Gardeners near you may have sorts and months for it that I have not: ask them.",), data=data)
        text = (
            "I have no sowing times for" if crop.sowing is None else "There is no season warm or long enough here for"
        )
        return Reply(f"{text} {name}.", data={"when_sow": {"crop": crop.id, "windows": []}})
    under = roof_name(roof or "polytunnel", ctx)
    covered = [(w, curves(ctx.season, roof or "polytunnel", ctx.facts), f" {'for' if w.method in RAISED else 'in'} the {under}") for w in inside]
    aimed = for_target(request, crop, [*((w, here, where) for w in found), *covered], ctx)
    if aimed is not None:
        return aimed
    pieces = {w.method for w in found} & set(PIECES) & set(re.findall(r"[a-z-]+", request.text.lower()))
    if pieces:  # "onion sets": seed is not asked about
        found = [w for w in found if w.method in pieces]
    elif words.from_seed.search(request.text):  # "from seed": the sets and tubers are not asked about
        found = [w for w in found if w.method in ("direct", "plants", *RAISED)] or found
    lines = [_window_line(w, ctx) for w in found]
    # "Is it safe to put tomatoes out" asks of today where no other day is named.
    today = bool(words.now.search(request.text) or (request.when is None and words.whether.search(request.text)))
    into = words.into.search(request.text) and any(w.method == "plants" for w in found)
    out = words.out.search(request.text) or into or (words.early.search(request.text) and words.outside.search(request.text))
    open_air = bool(words.outside.search(request.text)) and not out
    meant = [w for w in found if w.method == ("plants" if out else "direct")] if out or open_air else []
    head = _headline(crop, meant or found, where, ctx, request.text, of_today=today) if found else _headline(crop, inside, f" for the {under}", ctx, request.text, of_today=True)
    if not found:
        lines.insert(0, f"{capital(name)} {is_are(crop.id, ctx)} for a tunnel or greenhouse here.")
    named = _named_day(crop, meant or found or inside, where, request, ctx)
    if named is not None:
        head, lines = named, [line for line in lines if line != named]
    elif found:
        lines = lines[1:] if len(found) == 1 and not today else lines
    if out and (found or inside) and not meant:
        lines = [head, *lines] if found else lines
        head = _no_setting_out(name, [w for w in inside if w.method == "plants"], under, ctx)
    lines += [
        f"{'For' if w.method in RAISED else 'In'} the {under}, {_window_line(w, ctx, bare=True)}" for w in inside[:3]
    ]
    if found and words.weeks_before.search(request.text) and not here.frost_free:
        head = _before_frost(min(meant or found, key=lambda w: (w.method not in RAISED, w.opens)), name, here, ctx)
    every = crop.sowing.succession_days if crop.sowing else None
    if every and any(w.method in ("direct", "module") for w in found):
        lines.append(
            f"Sow a little every {every[0]:g} to {every[1]:g} days for a steady supply."
            if every[0] != every[1]
            else f"Sow a little every {every[0]:g} days for a steady supply."
        )
    if every and words.again.search(request.text):
        again = f"{every[0]:g} to {every[1]:g}" if every[0] != every[1] else f"{every[0]:g}"
        lines = [head, *(line for line in lines if not line.startswith("Sow a little every"))]
        head = f"Sow {name} every {again} days, a little at a time."
    lines += [ctx.say.prose(said) for said in dict.fromkeys(w.rule.say for w in meant or found) if said]
    best = _best_now(meant or found, ctx)
    lines += _then(crop, best, here, ctx)
    return Reply(
        head,
        lines=tuple(lines[:9]),
        working=_working(ctx),
        sources=(*cited(crop.sowing), *_SOURCES[:1]),
        choices=(
            Choice("How far apart?", f"how far apart for {name}", "spacing"),
            Choice("When is it ready?", f"when are {name} ready", "when_harvest"),
        ),
        draw=_strip([crop.id], cover, ctx) if words.calendar.search(request.text) else None,
        data={
            "when_sow": {
                "crop": crop.id,
                "windows": [_window_data(w, roofed, ctx) for w in found] + [_window_data(w, True, ctx) for w in inside],
            }
        },
    )


def _next_first(found: list[Window], ctx: Context) -> list[Window]:
    """Return windows with the season at hand before those after it."""
    return sorted(found, key=lambda w: w.dates(ctx.today, bool(ctx.season and ctx.season.southern))[0])
def _named_day(crop: Crop, found: list[Window], where: str, request: Request, ctx: Context) -> str | None:
    """Return whether a day or month to come that the message names is a good one; None where none is judged."""
    when, season = request.when, ctx.season
    if when is None or season is None or when.start <= ctx.today or not ctx.facts.asking.sowing.right_day.search(request.text):
        return None
    year = GardenYear.around(when.start, season.southern)
    days = [year.count(when.start + timedelta(days=n)) for n in range((when.end - when.start).days + 1)]
    name = ctx.say.crop(crop.id)
    open_then = [w for w in found if any(w.holds(day) is not None for day in days)]
    if open_then:
        return f"Yes: {_clause(max(open_then, key=lambda w: w.closes - w.opens), name, ctx)}{where}."
    nearest = min(found, key=lambda w: min(w.ahead(days[0]), (days[0] - w.closes) % YEAR))
    early = nearest.ahead(days[0]) <= (days[0] - nearest.closes) % YEAR
    here = curves(season, None, ctx.facts)
    kin = [c for c in ctx.facts.crops.values() if c.like == crop.id and not where
           and any(w.holds(day) is not None for w in windows(c, here) if w.method not in RAISED for day in days)]
    rest = f"; {listing([ctx.say.crop(c.id) for c in kin])} may go in then" if kin else ""
    return f"No, too {'early' if early else 'late'}: {_clause(nearest, name, ctx)}{where}{rest}."


def _headline(crop: Crop, found: list[Window], where: str, ctx: Context, asked: str, *, of_today: bool) -> str:
    """Say the answer: is it now, and if not when next."""
    words = ctx.facts.asking.sowing
    name, southern = ctx.say.crop(crop.id), bool(ctx.season and ctx.season.southern)
    year = GardenYear.around(ctx.today, southern)
    count = year.count(ctx.today)
    now = [w for w in found if w.holds(count) is not None]
    early = bool(words.early.search(asked))
    if len(found) == 1 and (early or not of_today):
        said = f"{_clause(found[0], name, ctx)}{where}."
        return f"{'No, not' if now else 'Yes,'} too early: {said}" if early else capital(said)
    if now:
        best = max(now, key=lambda w: w.closes - w.opens)
        last = best.dates(ctx.today, southern)[1]
        until = f"{'all year round' if best.all_year else 'now'}{where}{'' if best.all_year else f', until about {part(last, ctx)}'}."
        if best.method in ("direct", "module", "indoors"):
            return f"{'No, not too early: you' if early else 'Yes, you'} can {begin(best.method, crop.id, ctx)} {until}"
        return f"{capital(begin(best.method, crop.id, ctx))} {until}"
    best = min(found, key=lambda w: w.ahead(count))
    first = best.dates(ctx.today, southern)[0]
    ended = max((w for w in found if w.method not in RAISED), key=lambda w: -((count - w.closes) % YEAR), default=None)
    since = (count - ended.closes) % YEAR if ended else YEAR
    if not early and since <= _JUST_OVER and best.ahead(count) > since:
        return f"Too late this time: it ended about {part(year.day(count - since), ctx)}; next {_doing(best, name)} from about {part(first, ctx)}{where}."
    return f"{'Yes, too early' if early else 'Not yet'}: {_doing(best, name)} from about {part(first, ctx)}{where}."


def _before_frost(window: Window, name: str, here: Curves, ctx: Context) -> str:
    """Say how many weeks before (or after) the usual last frost a crop is begun."""
    weeks = round((here.last_frost() - window.opens) / 7)
    side = "before" if weeks >= 0 else "after"
    year = GardenYear.around(ctx.today, here.year.southern)
    frost, first = year.day(here.last_frost()), window.dates(ctx.today, here.year.southern)[0]
    return f"About {plural(abs(weeks), 'week')} {side} the usual last frost ({ctx.say.day(frost)}): {_doing(window, name)} from about {part(first, ctx)}."


def _no_setting_out(name: str, inside: list[Window], under: str, ctx: Context) -> str:
    """Answer when to plant out where the open ground has no season for it: under the roof, or that there is none."""
    if inside:
        return f"In the {under} set out {name} from {_when(inside[0], ctx)}; in the open I find no season for it here."
    return f"I find no season for setting out {name} in the open here."


def _doing(window: Window, name: str) -> str:
    if window.method == "direct":
        return f"sow {name} outdoors"
    if window.method in RAISED:
        return f"sow {name} under cover"
    if window.method == "plants":
        return f"set out {name}"
    if window.method == "tubers":
        return f"plant {name}"
    return f"{way(window.method)} of {name}" if window.method != "bare-root" else f"plant bare-root {name}"


def _clause(window: Window, name: str, ctx: Context) -> str:
    if window.all_year:
        return f"{_doing(window, name)} all year round"
    return f"{_doing(window, name)} from {_when(window, ctx)}"


def _when(window: Window, ctx: Context) -> str:
    return "all year round" if window.all_year else span(*window.dates(ctx.today, bool(ctx.season and ctx.season.southern)), ctx)


_PURPOSE = {
    "overwinter": ", to stand the winter",
    "winter-cover": ", for winter under cover",
    "late": ", for autumn",
    "early": ", for an early crop",
}


def _window_line(window: Window, ctx: Context, *, bare: bool = False) -> str:
    doing = {
        "direct": "Sow outdoors",
        "module": "Sow under cover",
        "indoors": "Sow indoors",
        "plants": "Plant out",
    }.get(window.method, capital(way(window.method)))
    if bare:
        doing = {"direct": "sow", "plants": "set out plants", "module": "sow in modules"}.get(
            window.method, way(window.method)
        )
    return f"{doing}{'' if bare else ':'} {_when(window, ctx)}{_PURPOSE.get(window.purpose, '')}."


def _only_inside(crop: Crop, found: list[Window], roof: str, ctx: Context) -> list[Window]:
    """Return the windows a roof adds or moves by more than a fortnight."""
    assert ctx.season is not None
    under = windows(crop, curves(ctx.season, roof, ctx.facts), roofed=True)
    out = []
    for window in under:
        same = [w for w in found if w.method == window.method and w.purpose == window.purpose]
        if window.method in RAISED and crop.sowing and crop.sowing.hardiness_class != "tender":
            continue  # raised as for outdoors
        if not same or abs(same[0].opens - window.opens) > 14 or abs(same[0].closes - window.closes) > 14:
            out.append(replace(window, under_cover=True))
    return out


def _best_now(found: list[Window], ctx: Context) -> Window | None:
    southern = bool(ctx.season and ctx.season.southern)
    count = GardenYear.around(ctx.today, southern).count(ctx.today)
    usable = [w for w in found if w.method not in RAISED] or found
    return min(usable, key=lambda w: (w.ahead(count), w.opens - w.closes), default=None)


def _then(crop: Crop, window: Window | None, here: Curves, ctx: Context) -> list[str]:
    """Say when a sowing on the first good day from today would be picked."""
    if window is None or window.method in RAISED:
        return []
    year = GardenYear.around(ctx.today, here.year.southern)
    count = year.count(ctx.today)
    start = count + window.ahead(count)
    found = picking(crop, window.method, start, here, with_chance=False)
    if found is None or found.first == float("inf"):
        return []
    said = ctx.say.day(year.day(start), ctx.today)
    day = said if said in ("today", "tomorrow") else f"on {said}"
    begun = {"direct": "Sown outdoors", "plants": "Set out"}.get(window.method, "Planted")
    return [f"{begun} {day}, expect the first picking about {part(year.day(found.first), ctx)}."]


def _several(request: Request, ctx: Context) -> Reply:
    assert ctx.season is not None
    southern = ctx.season.southern
    here = curves(ctx.season, request.cover, ctx.facts)
    year = GardenYear.around(ctx.today, southern)
    count = year.count(ctx.today)
    rows: list[tuple[float, str, str]] = []
    data: list[dict[str, Any]] = []
    for crop_id in request.crops:
        crop = ctx.facts.crops.get(crop_id)
        found = windows(crop, here, roofed=here.cover in ROOFS) if crop else []
        if not crop or not found:
            continue
        data += [_window_data(w, here.cover in ROOFS, ctx) for w in found]
        best = min(found, key=lambda w: (w.ahead(count), w.method in RAISED))
        line = f"{capital(ctx.say.crop(crop_id))}: {_window_line(best, ctx, bare=True)}"
        rows.append((best.ahead(count), crop_id, line))
    if not rows:  # what is kept under a roof here is told for each
        return one_by_one(request, ctx, when_sow, "when_sow", "Sowing")
    rows.sort()
    now = [ctx.say.crop(c) for ahead, c, _ in rows if ahead == 0]
    head = f"Now: {listing(now[:6])}." if now else f"Not yet; first come {ctx.say.crop(rows[0][1])}."
    sown = [c for _, c, _ in rows]
    shared = {line.split(": ", 1)[1] for _, _, line in rows}
    if len(rows) > 2 and len(shared) == 1:  # bare-root trees, all in their weeks of rest
        head = f"{'Now' if now else 'Not yet'}: {shared.pop().replace(': ', ' from ', 1)}"
        names = [ctx.say.crop(c) for c in sown]
        rows = [(0.0, "", f"All of them alike: {listing([*names[:8], f'{len(names) - 8} more'] if len(names) > 8 else names)}.")]
    return Reply(
        head,
        lines=tuple(line for _, _, line in rows[:9]),
        more=tuple(line for _, _, line in rows[9:30]),
        sources=_SOURCES,
        draw=_strip(sown, request.cover, ctx),
        data={"when_sow": {"windows": data}},
    )


def _strip(crops: list[str], cover: str | None, ctx: Context) -> Callable[[], bytes]:
    """Return what draws the season strip of some crops: sowing, planting and picking through the coming year."""
    assert ctx.season is not None
    here = curves(ctx.season, cover, ctx.facts)
    year = GardenYear.around(ctx.today, ctx.season.southern)
    rows = []
    for crop_id in crops:
        crop = ctx.facts.crops[crop_id]
        bars = []
        for window in windows(crop, here, roofed=here.cover in ROOFS):
            first, last = window.dates(ctx.today, ctx.season.southern)
            bars.append(Bar("sow" if window.method in ("direct", *RAISED) else "plant", first, last))
            if window.method in RAISED:
                continue
            start = year.count(first)
            ends = [
                p
                for at in (start, start + window.closes - window.opens)
                if (p := picking(crop, window.method, at, here, with_chance=False)) is not None
                and p.first != float("inf")
            ]
            if ends:
                bars.append(Bar("pick", year.day(ends[0].first), year.day(max(p.last for p in ends))))
        rows.append(Row(capital(ctx.say.crop(crop_id)), tuple(bars)))
    return lambda: season_strip(rows, ctx.today, ctx.plot.settings.name, today=ctx.today)


def _window_data(window: Window, roofed: bool, ctx: Context) -> dict[str, Any]:
    first, last = window.dates(ctx.today, bool(ctx.season and ctx.season.southern))
    return {
        "crop": window.crop,
        "method": window.method,
        "under_cover": window.under_cover or roofed,
        "from": first.strftime("%m-%d"),
        "to": last.strftime("%m-%d"),
        "purpose": window.purpose,
    }


def _working(ctx: Context) -> tuple[str, ...]:
    assert ctx.season is not None
    here = curves(ctx.season, None, ctx.facts)
    last, first = here.year.day(here.last_frost()), here.year.day(here.first_frost())
    frost = (
        "no frost expected; the coldest weeks stand in for it"
        if here.frost_free
        else (f"last frost {ctx.say.day(last)}, first {ctx.say.day(first)} in an even chance")
    )
    return (f"Worked out from {frost}.", *ctx.season.notes[:2])
