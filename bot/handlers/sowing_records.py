"""Write down what was sown and what was planted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from bot.facts.crop_sowing import PIECES
from bot.handlers import answers, handler_for
from bot.handlers.checking import amount_of, day_and_crops, note_no_facts, told_of
from bot.handlers.context import Context
from bot.handlers.growing_words import is_are
from bot.handlers.moving import MOVED_SAID, same_plants
from bot.handlers.naming import Doing, bed_said, restate
from bot.handlers.telling import sentence, told
from bot.plot.events import NewEvent
from bot.plot.folding import RAISED, fold_events
from bot.plot.state import Planting
from bot.reply import Choice, Reply, ask
from bot.request import Quantity, Request
from bot.season.emergence import sprouting
from bot.wording import capital, listing

SOWED = Doing("sowed", "Sowed", "in")
PLANTED = Doing("planted out", "Planted", "in")
MOVED = Doing("moved", "Moved", "to")
#: Ways of starting a crop that put a plant or a part of one in the ground, not seed.
VEGETATIVE = frozenset(
    {*PIECES, "division", "offsets", "cuttings", "plants"}
)
_CONTAINERS = ("tray", "punnet", "box", "module")
#: A row longer than this in one message is asked about.
LONG_ROW_M = 200.0
#: Rows closer than this are no rows: more row than a bed then has room for is asked about.
CLOSE_ROWS_M = 0.07


@answers("log_sow")
def log_sow(request: Request, ctx: Context) -> Reply:
    """Record a sowing; sets, cloves and tubers "sown" are recorded as planted."""
    return _put_in(request, ctx, SOWED)


@answers("log_plant_out")
def log_plant_out(request: Request, ctx: Context) -> Reply:
    """Record planting out, carrying on the sowing the plants came from; plants moved to a bigger pot are a note."""
    if ctx.facts.asking.records.potted_on.search(request.text) and not request.beds and not request.unknown_bed:
        return handler_for("log_note")(request.with_(intent="log_note"), ctx)
    return _put_in(request, ctx, MOVED if MOVED_SAID.search(request.text) else PLANTED)


def _put_in(request: Request, ctx: Context, doing: Doing) -> Reply:
    settled = day_and_crops(request, ctx, doing, standing_first=doing is not SOWED)
    if isinstance(settled, Reply):
        return settled
    day, crops = settled
    if not crops:
        return ask(
            "What did you sow?" if doing is SOWED else "What did you plant?",
            _crop_offers(request, ctx, doing),
            waiting=request,
            wants="crop",
        )
    amounts, own = [], len(crops) == len(request.quantities) > 1
    for n, crop in enumerate(crops):
        share = request.quantities if len(crops) == 1 else request.quantities[n : n + 1]
        amount = amount_of(request.with_(quantities=share), ctx, ctx.say.crop(crop))
        if isinstance(amount, Reply):
            return amount
        amounts.append(amount)
    bed = _bed_for(request, ctx, doing, crops)
    if isinstance(bed, Reply):
        return bed
    beds = _all_beds(request, bed, doing, ctx)
    events, unshared = [], len(beds) > 1 and any(amounts)
    for n, (crop, amount) in enumerate(zip(crops, amounts, strict=True)):
        for each in beds:
            shared = request.with_(quantities=() if unshared else request.quantities[n : n + 1] if own else request.quantities)
            event = _event(shared, ctx, doing, crop, each, None if unshared else amount, day)
            if isinstance(event, Reply):
                return event
            events.append(event)
    told_lines = [sentence(told(event, ctx)) for event in events]
    lines, choices, sources = _consequence(events, ctx)
    if unshared:
        lines.insert(0, "How much went into each I don't know, so I put no amount down.")
    return Reply(
        told_lines[0],
        lines=(*told_lines[1:], *lines),
        choices=choices,
        sources=sources,
        events=tuple(events),
        data={"log_sow" if doing is SOWED else "log_plant_out": {"rows": [e.as_json() for e in events]}},
    )


def _bed_for(request: Request, ctx: Context, doing: Doing, crops: tuple[str, ...]) -> str | None | Reply:
    if request.bed:
        # "moved from the frame to bed 2": the last bed named is where they are now.
        return request.beds[-1] if doing is not SOWED else request.bed
    if not ctx.plot.beds or _indoors(request):
        return None
    had = [p for p in ctx.plot.plantings if p.crop == request.extra.get("where") and p.bed in ctx.plot.beds]
    if had:
        return max(had, key=lambda p: p.id).bed  # "where the peas were"
    if doing is SOWED and (request.method in RAISED or any(q.unit in _CONTAINERS for q in request.quantities)):
        return None
    empty = [bed for bed in ctx.plot.empty_beds() if bed.kind not in ("frame", "fruit")]
    others = [bed for bed in ctx.plot.beds.values() if bed not in empty and bed.kind != "fruit"]
    whole = request.with_(crops=crops, crop_choices=())
    offers = [(bed.name, restate(doing, whole, ctx, bed=bed.id)) for bed in (*empty, *others)[:4]]
    if doing is SOWED:
        offers.append(("Indoors", f"{restate(doing, whole.with_(method=None), ctx)} indoors"))
    verb = "Sown" if doing is SOWED else doing.done
    return ask(
        f"{verb} where? Name the bed for the {listing([ctx.say.crop(crop) for crop in crops])}.",
        offers,
        waiting=request.with_(crops=crops, crop_choices=(), unknown_crop=None, flags=request.flags - {"yes"}),
        wants="bed",
    )


def _all_beds(request: Request, bed: str | None, doing: Doing, ctx: Context) -> tuple[str | None, ...]:
    """Return every bed of "in bed 3 and bed 4"; one alone where plants moved from the first to the last."""
    raised = doing is not SOWED and any(ctx.plot.beds[each].kind == "frame" for each in request.beds[:-1] if each in ctx.plot.beds)
    moved = ctx.facts.asking.records.moved.search(request.text)
    return (bed,) if len(request.beds) < 2 or raised or moved else request.beds


def _event(
    request: Request, ctx: Context, doing: Doing, crop: str, bed: str | None, amount: Quantity | None, day: Any
) -> NewEvent | Reply:
    method = _method(request, ctx, doing, crop, bed)
    kind = "planted_out" if doing is not SOWED or method in VEGETATIVE else "sown"
    data: dict[str, Any] = {"method": method} if method else {}
    size = _extent(request, ctx, bed, amount)
    if isinstance(size, Reply):
        return size
    data |= size
    event = told_of(kind, request, day, crop, bed, amount, data)
    if kind == "planted_out" and not request.method:
        begun = _carried_on(event, ctx)
        if begun is not None:
            event.data["planting"] = begun.id
            event.data.pop("method", None)
        elif bed is not None:
            return same_plants(request, ctx, crop, bed, amount, day, size) or event
    return event


def _indoors(request: Request) -> bool:
    """Tell whether seed was sown in the house: said as a place, a cover or a wish."""
    said = "indoors" in request.flags or "indoors" in request.wishes or request.cover == "indoors"
    return said or "windowsill" in request.text.lower()


def _method(request: Request, ctx: Context, doing: Doing, crop: str, bed: str | None) -> str | None:
    if request.method:
        return request.method
    if _indoors(request):
        return "indoors"
    known = ctx.facts.crops.get(crop)
    ways = {rule.method for rule in known.sowing.rules} if known and known.sowing else set()
    vegetative = [way for way in PIECES if way in ways]
    named = next((way for way in vegetative if re.search(rf"\b{way}\b", request.text, re.I)), None)  # of "onion sets", a name whole
    if named:
        return named
    if doing is not SOWED:
        return vegetative[0] if len(vegetative) == 1 and not ways & {"module", "indoors"} else "plants"
    if vegetative and not ways & {"direct", "module", "indoors"}:
        return vegetative[0]
    if any(q.unit in _CONTAINERS for q in request.quantities):
        return "module"
    if bed and bed in ctx.plot.beds and ctx.plot.beds[bed].kind == "frame" and "direct" not in ways:
        return "module"
    return "direct" if bed else None


def _extent(request: Request, ctx: Context, bed: str | None, amount: Quantity | None) -> dict[str, Any] | Reply:
    """Return count, row_m and area_m2 from the amounts said, or ask about more row than a bed can hold."""
    mine = amount is not None or any(q.unit == "row" for q in request.quantities)
    found = extent_of([q for q in request.quantities if mine or q.unit != "m"], request.text, bed, ctx)
    known = ctx.plot.beds.get(bed or "")
    room = known.area_m2 / CLOSE_ROWS_M if known and known.area_m2 else LONG_ROW_M
    if found.get("row_m", 0) > room and "yes" not in request.flags:
        said_row = ctx.say.length(found["row_m"] * 100)
        where = f" in {bed_said(bed, ctx)}" if bed else ""
        return ask(
            f"{said_row} of row{where}? That is more than it holds. Is it right?"
            if bed
            else f"A row of {said_row}? Is that right?",
            [("Yes", "yes"), ("No", "no")],
            waiting=request,
            wants="choice",
            lines=("Nothing is recorded yet.",),
        )
    return found


def extent_of(quantities: Sequence[Quantity], text: str, bed: str | None, ctx: Context) -> dict[str, Any]:
    """Return count, rows, row_m and area_m2 as amounts tell them; a number of rows takes the bed's length."""
    found: dict[str, Any] = {}
    for q in quantities:
        if q.unit in ("count", "plant", "seed", "clove", "bulb", "head") and q.value == int(q.value):
            found["count"] = int(q.value)
        elif q.unit == "m":
            found["row_m"] = q.value
        elif q.unit == "m2":
            found["area_m2"] = q.value
        elif q.unit == "row":
            found["rows"] = q.value
            known = ctx.plot.beds.get(bed or "")
            if known and known.length_m and known.width_m:
                found["row_m"] = round(q.value * max(known.length_m, known.width_m), 2)
    length = next((q.value for q in quantities if q.unit == "m"), None)
    if length and "rows" in found:  # "2 rows of 3 m", "two 1 m rows": so long is each
        found["row_m"] = length if ctx.facts.asking.records.in_all.search(text) else round(found["rows"] * length, 2)
    return found


def _carried_on(event: NewEvent, ctx: Context) -> Planting | None:
    """Return the sowing this planting out continues, by the same rule as the record's own."""
    from bot.plot.events import Event

    seq = ctx.plot.last_seq + 1
    probe = Event(
        event.kind,
        event.day,
        event.crop,
        event.variety,
        event.bed,
        event.amount,
        event.unit,
        event.words,
        data={k: v for k, v in event.data.items() if k != "method"},
        seq=seq,
    )
    after = fold_events(ctx.plot.id, (*ctx.plot.journal, probe))
    if any(p.id == seq for p in after.plantings):
        return None
    return next(
        (p for p in after.plantings if p.planted_out == event.day and p.crop == event.crop and p.bed == event.bed), None
    )


def _comes_up(crop_id: str, event: NewEvent, named: bool, ctx: Context) -> str:
    """Say when a sowing should be up in the soil it lies in; its usual days where that is not known."""
    crop = ctx.facts.crops.get(crop_id)
    facts = crop.germination if crop is not None else None
    if crop is None or facts is None:
        return ""
    single = is_are(crop.id, ctx) == "is"
    season, bed = ctx.season, ctx.plot.beds.get(event.bed or "")
    cover = bed.cover if bed else "indoors" if event.data.get("method") in RAISED else None
    if season is not None and (bed or cover):
        held = season.climate.cover_id(cover) if cover else None
        due = sprouting(facts, event.day, lambda day: season.soil(day, held)).expected
        soil, best = season.soil(event.day, held), facts.soil_best_c
        if due is not None and best is not None and soil < best[0] and (due - event.day).days > ctx.facts.growing.number("sprout.slow_times") * (facts.days_usual or (0, 14))[1]:
            return (f"Cold ground for {ctx.say.crop(crop.id)}: it is about {ctx.say.temp(round(soil))}, and they come up well from "
                    f"{ctx.say.temp(round(best[0]))}, so some may rot first.")
        if due is not None:
            they = capital(ctx.say.crop(crop.id)) if named else "It" if single else "They"
            return f"{they} should be up about {ctx.say.day(due, ctx.today)}." if due > ctx.today else f"{they} should be up by now."
    if not facts.days_usual:
        return ""
    low, high = facts.days_usual
    they = f"{capital(ctx.say.crop(crop.id))} usually {'comes' if single else 'come'}" if named else "It usually comes" if single else "They usually come"
    return f"{they} up in {f'{low:g}' if low == high else f'{low:g} to {high:g}'} days."


def _consequence(events: Sequence[NewEvent], ctx: Context) -> tuple[list[str], tuple[Choice, ...], tuple[str, ...]]:
    """Return when they should come up, or how long the first was raised; and the choices that follow."""
    event = events[0]
    lines, sources = list(note_no_facts(event.crop or "", ctx)), []
    name = ctx.say.crop(event.crop or "")
    up = [said for each in dict.fromkeys(e.crop for e in events if e.kind == "sown") if (said := _comes_up(each or "", event, len(events) > 1, ctx))]
    if up:
        lines += up
        sources += [s for e in events if (known := ctx.facts.crops.get(e.crop or "")) and known.germination for s in known.germination.source]
    begun = next((p for p in ctx.plot.plantings if p.id == event.data.get("planting")), None)
    if event.kind == "planted_out" and begun is not None and begun.sown:
        weeks = round((event.day - begun.sown).days / 7)
        lines.append(f"That carries on the sowing of {ctx.say.day(begun.sown, ctx.today)}, {weeks} weeks ago.")
        if begun.bed and begun.bed != event.bed:
            left = [p for p in ctx.plot.standing(bed=begun.bed) if p.id != begun.id]
            if not left:
                lines.append(sentence(f"{bed_said(begun.bed, ctx)} is empty now"))
    choices = []
    if event.crop in ctx.facts.crops:
        choices.append(Choice("When ready", f"when will the {name} be ready", "when_harvest"))
        if event.kind == "sown":
            choices.append(Choice("How far apart", f"how far apart {name}", "spacing"))
    return lines, tuple(choices), tuple(sources)


def _crop_offers(request: Request, ctx: Context, doing: Doing) -> list[tuple[str, str]]:
    """Offer what waits to be planted out, or what was sown lately, newest first."""
    if doing is not SOWED:
        found = [p.crop for p in ctx.plot.standing() if p.planted_out is None and p.method in RAISED]
    else:
        found = [p.crop for p in reversed(ctx.plot.plantings) if p.sown]
    return [(ctx.say.crop(crop), restate(doing, request, ctx, crop=crop)) for crop in list(dict.fromkeys(found))[:4]]
