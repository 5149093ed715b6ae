"""What can be sown or planted now, and when to sow a named crop here."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from bot.facts.crop import Crop
from bot.growing.asking import days_of
from bot.growing.calendar import GardenYear
from bot.growing.curves import Curves, curves
from bot.growing.maturity import picking
from bot.growing.ranking import ranked, scored
from bot.growing.space import Place
from bot.growing.trial import LASTING, Miss, Offer, Trial, attempt, trial_for, ways
from bot.growing.windows import RAISED, ROOFS, Window, windows
from bot.growing.wishes import Wishes, meets, read_wishes, refuses
from bot.handlers import answers
from bot.handlers.context import Context, ask_place
from bot.handlers.crop_asking import cited, which_crop
from bot.handlers.growing_words import begin, cap, offer_data, part, span, way
from bot.pictures.season_strip import Bar, Row, season_strip
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import listing

_SOURCES = ("computed:calendar-fit", "computed:need-from-days", "common-practice")
_NAMED = 8
_CALENDAR = re.compile(r"\b(calendar|strip|chart|picture|show me)\b", re.I)


@answers("sow_now")
def sow_now(request: Request, ctx: Context) -> Reply:
    """List what can be sown outdoors, sown under cover and planted out now or in a month named."""
    if ctx.season is None:
        return ask_place(request)
    if len(request.crops) == 1 and not request.group:
        return when_sow(request, ctx)
    first, last = days_of(request, ctx.today)
    if request.when is None:
        last = first  # now means now
    only = request.crops if request.group and not any(w.startswith("no:") for w in request.wishes) else ()
    wishes = read_wishes((*request.wishes, *ctx.plot.settings.wishes), only, ctx.facts)
    roof = _roof(request, ctx)
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
        done = {(o.crop, o.method) for o in outside}
        inside = [o for o in _begun(under, wishes) if (o.crop, o.method) not in done]
    when = "now" if first <= ctx.today else f"in {ctx.say.month(first.month)}"
    lines = []
    if out:
        lines.append(f"Outdoors: {_names(out, ctx)}.")
    if plants:
        lines.append(f"Plant out: {_names(plants, ctx)}.")
    if raised:
        lines.append(f"Under cover, to plant out later: {listing([ctx.say.crop(c) for c, _ in raised[:_NAMED]])}.")
    if inside:
        lines.append(f"In the {_roof_name(roof, ctx)}: {_names(inside, ctx)}.")
    if lasting:
        lines.append(f"To stay for years: {_lasting(lasting, ctx)}.")
    every = [*out, *plants, *inside]
    data = {"sow_now": {"offers": [offer_data(o, ctx) for o in [*every, *lasting]]
                        + [_raised_data(c, w, first, ctx) for c, w in raised], "near_misses": []}}
    if not lines:
        return _nothing(open_air, when, ctx).with_(data=data)
    lead = [begin(o.method, o.crop, ctx) for o in ranked([*out, *plants] or inside, ctx.facts, 3)]
    head = f"Best {when}: {listing(lead)}." if lead else (
        f"{cap(when)}, under cover only: {listing([ctx.say.crop(c) for c, _ in raised[:3]])}." if raised
        else f"{cap(when)}, only {_lasting(lasting, ctx)}.")
    closing = _closing(every, ctx)
    lines += [closing] if closing else []
    more = [f"{label}: {listing([ctx.say.crop(o.crop) for o in part_[_NAMED:]])}."
            for label, part_ in (("Outdoors too", out), ("Plant out too", plants), ("Under the roof too", inside)) if len(part_) > _NAMED]
    if len(raised) > _NAMED:
        more.append(f"Under cover too: {listing([ctx.say.crop(c) for c, _ in raised[_NAMED:]])}.")
    empty = [bed for bed in ctx.plot.empty_beds() if bed.kind != "fruit"]
    choices = tuple(Choice(f"What fits {bed.name}?", f"what fits {bed.name} now") for bed in empty[:1])
    return Reply(head, lines=tuple(lines), more=tuple(more), sources=_SOURCES, choices=choices,
                 working=tuple(ctx.season.notes[:2]), data=data)


@answers("when_sow")
def when_sow(request: Request, ctx: Context) -> Reply:
    """Tell when to sow or plant a crop here, each way, and whether that is now."""
    if ctx.season is None:
        return ask_place(request)
    if len(request.crops) > 1:
        return _several(request, ctx)
    crop = which_crop(request, ctx, "Which crop do you want to sow?", "when do I sow")
    if isinstance(crop, Reply):
        return crop
    name = ctx.say.crop(crop.id)
    cover = request.cover or next((ctx.plot.beds[b].cover for b in request.beds if b in ctx.plot.beds), None)
    here = curves(ctx.season, cover, ctx.facts)
    roofed = here.cover in ROOFS
    found = windows(crop, here, roofed=roofed)
    where = f" in the {_roof_name(cover, ctx)}" if cover and roofed else ""
    roof = _roof(request, ctx)
    inside: list[Window] = []
    if not roofed and (roof or not found):
        inside = _only_inside(crop, found, roof or "polytunnel", ctx)
    if not found and not inside:
        text = "I have no sowing times for" if crop.sowing is None else "There is no season warm or long enough here for"
        return Reply(f"{text} {name}.", data={"when_sow": {"crop": crop.id, "windows": []}})
    lines = [_window_line(w, ctx) for w in found]
    head = _headline(crop, found, where, ctx) if found else f"{cap(name)} are for a tunnel or greenhouse here."
    if found:
        lines = lines[1:] if len(found) == 1 else lines
    lines += [f"{'For' if w.method in RAISED else 'In'} the {_roof_name(roof or 'polytunnel', ctx)}: {_window_line(w, ctx, bare=True)}"
              for w in inside[:3]]
    every = crop.sowing.succession_days if crop.sowing else None
    if every and any(w.method in ("direct", "module") for w in found):
        lines.append(f"Sow a little every {every[0]:g} to {every[1]:g} days for a steady supply." if every[0] != every[1]
                     else f"Sow a little every {every[0]:g} days for a steady supply.")
    best = _best_now(found, ctx)
    lines += _then(crop, best, here, ctx)
    return Reply(head, lines=tuple(lines[:9]), working=_working(ctx), sources=(*cited(crop.sowing), *_SOURCES[:1]),
                 choices=(Choice("How far apart?", f"how far apart for {name}"), Choice("When is it ready?", f"when are {name} ready")),
                 draw=_strip([crop.id], cover, ctx) if _CALENDAR.search(request.text) else None,
                 data={"when_sow": {"crop": crop.id, "windows": [_window_data(w, roofed, ctx) for w in found]
                                    + [_window_data(w, True, ctx) for w in inside]}})


def _begun(trial: Trial, wishes: Wishes) -> list[Offer]:
    """Return what can be begun in the ground in the trial's days, best first; fruit and herbs that last included."""
    offers: list[Offer] = []
    for crop in trial.facts.crops.values():
        if crop.sowing is None or crop.growth is None or refuses(wishes, crop) or "green-manure" in crop.use:
            continue
        if crop.growth.life_cycle in LASTING and not trial.lasting_ok:
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
        if wishes.wanted and not _wanted(crop, wishes, ctx):
            continue
        for window in windows(crop, trial.here):
            if window.method in RAISED and window.ahead(base) <= days:
                found.setdefault(crop.id, window)
    return sorted(found.items(), key=lambda item: -_worth(item[0], ctx) * (1.3 if item[1].closes - item[1].opens < 60 else 1.0))


def _wanted(crop: Crop, wishes: Wishes, ctx: Context) -> bool:
    from bot.growing.wishes import GROUPS, HARD

    groups = [g for wish in wishes.wanted if wish in HARD for g in GROUPS.get(wish, ())]
    return not groups or any((group := ctx.facts.groups.named(g)) is not None and crop.id in group.crops for g in groups)


def _worth(crop_id: str, ctx: Context) -> float:
    row = ctx.facts.growing.worth.get(crop_id)
    return row.worth if row else 0.0


def _roof(request: Request, ctx: Context) -> str | None:
    """Return the cover of the roofed bed meant, or of the plot's first one."""
    assert ctx.season is not None
    if request.cover and ctx.season.climate.cover_id(request.cover) in ROOFS:
        return request.cover
    beds = [ctx.plot.beds[b] for b in request.beds if b in ctx.plot.beds] or list(ctx.plot.beds.values())
    covers = [bed.cover for bed in beds if bed.cover and ctx.season.climate.cover_id(bed.cover) in ROOFS]
    for wanted in ("polytunnel", "greenhouse", "polytunnel-fleece", "heated"):
        if wanted in covers:
            return wanted
    return covers[0] if covers else None


def _roof_name(cover: str | None, ctx: Context) -> str:
    if cover is None or ctx.season is None:
        return "tunnel"
    kind = ctx.season.climate.cover(cover)
    name = kind.us if ctx.say.words == "us" else kind.gb
    return name.removeprefix("unheated ")


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


def _closing(offers: Sequence[Offer], ctx: Context) -> str:
    soon = sorted((o for o in offers if 0 <= (o.closes - ctx.today).days <= 10), key=lambda o: -_worth(o.crop, ctx))
    names = list(dict.fromkeys(ctx.say.crop(o.crop) for o in soon))[:4]
    return f"Last days for {listing(names)}." if names else ""


def _nothing(trial: Trial, when: str, ctx: Context) -> Reply:
    base = trial.year.count(trial.first_day)
    soon = sorted(((w.ahead(base), -row.worth, c, w) for c, row in ctx.facts.growing.worth.items() if row.worth >= 3
                   for w in windows(ctx.facts.crops[c], trial.here) if row.kind != "perennial"), key=lambda item: item[:3])
    seen: dict[str, str] = {}
    for ahead, _, crop, window in soon:
        if crop not in seen and len(seen) < 4:
            seen[crop] = f"{begin(window.method, crop, ctx)} from {ctx.say.day(window.dates(trial.first_day, trial.year.southern)[0], ctx.today)}"
    return Reply(f"Nothing to sow or plant outdoors {when}.", lines=(f"First come: {listing(list(seen.values()))}.",) if seen else (),
                 sources=_SOURCES)


def _raised_data(crop: str, window: Window, first: date, ctx: Context) -> dict[str, Any]:
    start, end = window.dates(first, bool(ctx.season and ctx.season.southern))
    return {"crop": crop, "method": window.method, "under_cover": True, "count": None, "in_row_cm": None, "between_rows_cm": None,
            "first_harvest": None, "last_harvest": None, "begin": max(start, first).isoformat(), "begin_by": end.isoformat(),
            "reason": "to raise under cover and plant out later"}


def _headline(crop: Crop, found: list[Window], where: str, ctx: Context) -> str:
    """Say the answer: is it now, and if not when next."""
    name, southern = ctx.say.crop(crop.id), bool(ctx.season and ctx.season.southern)
    year = GardenYear.around(ctx.today, southern)
    count = year.count(ctx.today)
    if len(found) == 1:
        return f"{cap(_clause(found[0], name, ctx))}{where}."
    now = [w for w in found if w.holds(count) is not None]
    if now:
        best = max(now, key=lambda w: w.closes - w.opens)
        last = best.dates(ctx.today, southern)[1]
        return f"Yes, you can {way(best.method)}{'' if best.method in ('module', 'indoors') else ''} {name} now{where}, until about {part(last, ctx)}." \
            if best.method in ("direct", "module", "indoors") else f"Now: {way(best.method)} of {name}{where}, until about {part(last, ctx)}."
    best = min(found, key=lambda w: w.ahead(count))
    first = best.dates(ctx.today, southern)[0]
    return f"Not yet: {_doing(best, name)} from about {part(first, ctx)}{where}."


def _doing(window: Window, name: str) -> str:
    if window.method == "direct":
        return f"sow {name} outdoors"
    if window.method in RAISED:
        return f"sow {name} under cover"
    if window.method == "plants":
        return f"set out {name}"
    return f"{way(window.method)} of {name}" if window.method != "bare-root" else f"plant bare-root {name}"


def _clause(window: Window, name: str, ctx: Context) -> str:
    first, last = window.dates(ctx.today, bool(ctx.season and ctx.season.southern))
    return f"{_doing(window, name)} from {span(first, last, ctx).replace(' to ', ' to ', 1)}" if first != last else _doing(window, name)


_PURPOSE = {"overwinter": ", to stand the winter", "winter-cover": ", for winter under cover", "late": ", for autumn",
            "early": ", for an early crop"}


def _window_line(window: Window, ctx: Context, *, bare: bool = False) -> str:
    first, last = window.dates(ctx.today, bool(ctx.season and ctx.season.southern))
    doing = {"direct": "Sow outdoors", "module": "Sow under cover", "indoors": "Sow indoors", "plants": "Plant out"}.get(
        window.method, cap(way(window.method)))
    if bare:
        doing = {"direct": "sow", "plants": "set out plants", "module": "sow in modules"}.get(window.method, way(window.method))
    return f"{doing}: {span(first, last, ctx)}{_PURPOSE.get(window.purpose, '')}."


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
    return min(usable, key=lambda w: w.ahead(count), default=None)


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
    begun = "today" if start == count else f"on {ctx.say.day(year.day(start), ctx.today)}"
    return [f"Begun {begun}, expect the first picking about {part(year.day(found.first), ctx)}."]


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
        rows.append((best.ahead(count), crop_id, f"{cap(ctx.say.crop(crop_id))}: {_window_line(best, ctx, bare=True)}"))
    if not rows:
        return Reply("I have no sowing times for those here.", data={"when_sow": {"windows": []}})
    rows.sort()
    now = [ctx.say.crop(c) for ahead, c, _ in rows if ahead == 0]
    head = f"Now: {listing(now[:6])}." if now else f"None of those now; first {ctx.say.crop(rows[0][1])}."
    return Reply(head, lines=tuple(line for _, _, line in rows[:9]), more=tuple(line for _, _, line in rows[9:30]),
                 sources=_SOURCES, draw=_strip([c for _, c, _ in rows], request.cover, ctx), data={"when_sow": {"windows": data}})


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
            ends = [p for at in (start, start + window.closes - window.opens)
                    if (p := picking(crop, window.method, at, here, with_chance=False)) is not None and p.first != float("inf")]
            if ends:
                bars.append(Bar("pick", year.day(ends[0].first), year.day(max(p.last for p in ends))))
        rows.append(Row(cap(ctx.say.crop(crop_id)), tuple(bars)))
    return lambda: season_strip(rows, ctx.today, ctx.plot.settings.name, today=ctx.today)


def _window_data(window: Window, roofed: bool, ctx: Context) -> dict[str, Any]:
    first, last = window.dates(ctx.today, bool(ctx.season and ctx.season.southern))
    return {"crop": window.crop, "method": window.method, "under_cover": window.under_cover or roofed,
            "from": first.strftime("%m-%d"), "to": last.strftime("%m-%d"), "purpose": window.purpose}


def _working(ctx: Context) -> tuple[str, ...]:
    assert ctx.season is not None
    here = curves(ctx.season, None, ctx.facts)
    last, first = here.year.day(here.last_frost()), here.year.day(here.first_frost())
    frost = "no frost expected; the coldest weeks stand in for it" if here.frost_free else (
        f"last frost {ctx.say.day(last)}, first {ctx.say.day(first)} in an even chance")
    return (f"Worked out from {frost}.", *ctx.season.notes[:2])

