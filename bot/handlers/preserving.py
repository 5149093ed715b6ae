"""Blanching, freezing and drying: minutes, water, bags and what to do."""

from __future__ import annotations

from bot.facts.preserving import Blanching, Drying
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.crop_asking import which_crop
from bot.handlers.preserving_asks import keyed
from bot.preserving.altitude import height_of, to_feet
from bot.preserving.blanching import RULE_FEET, WATER_L_PER_KG, Time, form_of, frozen_pints, rows_of, times
from bot.preserving.matching import find, words_of
from bot.preserving.measures import prose, small_length
from bot.preserving.timers import LONGEST_S, rung_event, running, seconds_in, set_event
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import number

_TABLE = "umn-blanching"


@answers("blanch")
def blanch(request: Request, ctx: Context) -> Reply:
    """Say how long to blanch a crop, by form and size, in water and steam, and start a timer when asked."""
    facts, text = ctx.facts.preserving, words_of(request)
    if find(text, facts.words.timer_stop):
        return _stop_timer(ctx)
    if find(text, facts.words.timer):
        return _start_timer(request, ctx, text)
    known = which_crop(request, ctx, "Which crop do you want to blanch?", "blanch")
    if isinstance(known, Reply):
        return known
    return keyed("blanch", _blanched(request, ctx, known.id, text))


def _blanched(request: Request, ctx: Context, crop: str, text: str) -> Reply:
    facts = ctx.facts.preserving
    name, rows = ctx.say.crop(crop), rows_of(crop, facts)
    if not rows:
        return Reply(headline=f"I have no tested blanching time for {name}.",
                     lines=("Freeze them only if you know they freeze well, or ask how to store, dry or pickle them.",),
                     data={"crop": crop, "forms": []})
    metres = height_of(request, ctx.plot)
    timed = times(form_of(rows, text), metres) or times(rows, metres)
    if not timed:
        return _no_blanch(crop, name, rows, ctx)
    first = timed[0]
    lines = _blanch_lines(request, ctx, first, timed, metres)
    more = tuple(f"{t.row.form.capitalize()}: {_minutes(t)}." for t in timed[4:])
    notes = [prose(ctx.say, t.row.note) for t in timed if t.row.note]
    return Reply(
        headline=_headline(name, first),
        lines=tuple(lines),
        more=more + tuple(_steps(ctx, first.row)) + tuple(n[0].upper() + n[1:] + "." for n in notes),
        working=_blanch_working(ctx, first, metres),
        sources=tuple(dict.fromkeys([*first.row.source, *facts.rule("blanch-cool").source])),
        choices=_timer_choice(first, name, text),
        data={"crop": crop, "forms": [t.as_json() for t in times(rows, metres)]},
    )


def _headline(name: str, time: Time) -> str:
    form = time.row.form
    if time.water is None:
        return f"{name.capitalize()}, {form}: steam {_span(time.steam)}."
    steam = f" ({_span(time.steam)} in steam)" if time.steam else ""
    return f"{name.capitalize()}, {form}: {_span(time.water)} in boiling water{steam}."


def _span(span: tuple[float, float] | None) -> str:
    if span is None:
        return "no time given"
    low, high = span
    if high < 1:
        return f"{round(low * 60)}-{round(high * 60)} seconds" if low != high else f"{round(low * 60)} seconds"
    said = _number(low) if low == high else f"{_number(low)}-{_number(high)}"
    return f"{said} minute{'' if high == 1 else 's'}"


def _number(value: float) -> str:
    return number(value, 0.25)


def _minutes(time: Time) -> str:
    parts = []
    if time.water:
        parts.append(f"{_span(time.water)} in water")
    if time.steam:
        parts.append(f"{_span(time.steam)} in steam")
    return ", ".join(parts)


def _blanch_lines(request: Request, ctx: Context, first: Time, timed: list[Time], metres: float | None) -> list[str]:
    say, row = ctx.say, first.row
    lines = [f"{t.row.form.capitalize()}: {_minutes(t)}." for t in timed[1:4]]
    if first.added:
        lines.append(f"That is 1 minute more than the table, for {say.height(metres or 0)}.")
    elif metres is None:
        lines.append(f"Add 1 minute at {say.height(1524)} and higher.")
    if row.habit_min:
        lines.append(f"Many gardeners give {_number(row.habit_min[0])}; the tested table says {_number(row.water[0] if row.water else 0)}, so I go by the table.")
    cool = "twice as long" if row.crop == "sweetcorn" else "as long"
    lines.append(f"Count from when the water boils again. Then iced water {cool} as you blanched, and drain well.")
    kg = request.amount("kg")
    leafy = "leaves" in row.form or "greens" in row.form
    per_kg = WATER_L_PER_KG * (2 if leafy else 1)
    if kg is not None and kg.value > 0:
        batches = max(1, round(kg.value / 0.5 + 0.49)) if kg.value > 0.5 else 1
        lines.append(f"{say.mass(kg.value)} is {batches} batch{'es' if batches > 1 else ''} of about {say.mass(min(kg.value, kg.value / batches))}, "
                     f"each in {say.volume(per_kg * kg.value / batches)} of boiling water.")
    else:
        lines.append(f"Small batches: {say.volume(per_kg * 0.5)} of boiling water for each {say.mass(0.5)}.")
    if row.preparation:
        lines.insert(0, f"{prose(say, row.preparation)}" + (f" ({prose(say, row.size)})." if row.size else "."))
    return lines


def _steps(ctx: Context, row: Blanching) -> list[str]:
    room = small_length(ctx.say, row.headspace_cm) if row.headspace_cm else ""
    return ["Dry them on a cloth, freeze in one layer on a tray, then bag and press the air out.",
            f"Leave {room} of room at the top of a box." if room else "No room need be left in the bag.",
            "Too short a blanch is worse than none: it wakes the enzymes. Blanching is for quality, not safety."]


def _blanch_working(ctx: Context, first: Time, metres: float | None) -> tuple[str, ...]:
    table = f"Table: {first.row.form}, water {_span(first.row.water)}, steam {_span(first.row.steam)}."
    height = "Height not known." if metres is None else (
        f"Height {ctx.say.height(metres)}: {'1 minute added' if first.added else 'nothing added'} (the rule starts at {ctx.say.height(1524)}).")
    return (table, height)


def _timer_choice(first: Time, name: str, text: str) -> tuple[Choice, ...]:
    span = first.steam if (find(text, ["steam(?:ed|ing)?"]) and first.steam) or first.water is None else first.water
    if span is None:
        return ()
    seconds = round(span[0] * 60)
    said = f"{seconds} second" if seconds < 60 else f"{_plain(span[0])} minute"
    return (Choice(f"Start {said} timer", f"start a {said} timer for {name}"), Choice("How to freeze", f"how do I freeze {name}"))


def _plain(minutes: float) -> str:
    return f"{minutes:g}"


def _no_blanch(crop: str, name: str, rows: list[Blanching], ctx: Context) -> Reply:
    row = rows[0]
    data = {"crop": crop, "forms": []}
    if row.treatment == "unsuitable":
        return Reply(headline=f"{name.capitalize()} do not freeze well, so there is nothing to blanch.",
                     lines=(f"{prose(ctx.say, row.preparation or '')}.",), sources=tuple(row.source), data=data)
    if row.treatment == "none":
        return Reply(headline=f"No blanching needed: freeze {name} raw.", lines=(f"{prose(ctx.say, row.preparation or '')}.",),
                     sources=tuple(row.source), choices=(Choice("How to freeze", f"how do I freeze {name}"),), data=data)
    cooked = [f"{r.form.capitalize()}: {_span(r.water) if r.water else 'until soft'}. {prose(ctx.say, r.preparation or '')}." for r in rows]
    return Reply(headline=f"{name.capitalize()} are cooked right through before freezing, not blanched.",
                 lines=tuple(cooked), sources=tuple(row.source), data=data)


def _start_timer(request: Request, ctx: Context, text: str) -> Reply:
    """Start a timer of the minutes named, of the crop's blanching time, or of the last answer's."""
    name = ctx.say.crop(request.crop) if request.crop else ""
    seconds = seconds_in(text)
    if seconds is None:
        last = ctx.memory.reply.data.get("blanch") or {} if ctx.memory.reply else {}
        forms = last.get("forms") or []
        if request.crop:
            rows = form_of(rows_of(request.crop, ctx.facts.preserving), text)
            forms = [t.as_json() for t in times(rows, height_of(request, ctx.plot))] or forms
        minutes = (forms[0].get("water_min") or forms[0].get("steam_min")) if forms else None
        if isinstance(minutes, list):
            minutes = minutes[0]
        seconds = round(minutes * 60) if minutes else None
        if not name and last.get("crop"):
            name = ctx.say.crop(last["crop"])
    if seconds is None:
        return Reply(headline="How many minutes shall I time?", choices=(Choice("3 minutes", "start a 3 minute timer"),),
                     waiting=request, wants="quantity")
    if seconds > LONGEST_S:
        return Reply(headline="A timer runs for a day at most. How long shall it be?", waiting=request, wants="quantity")
    said = f"{seconds} seconds" if seconds < 60 else f"{_plain(seconds / 60)} minute{'s' if seconds != 60 else ''}"
    label = f"{name}, {said}" if name else said
    return Reply(headline=f"Timing {said}{f' for {name}' if name else ''}. I will call when it is up.",
                 lines=("Count from when the water boils again.",),
                 events=(set_event(ctx.now, seconds, label, request.text, request.crop),),
                 choices=(Choice("Stop the timer", "stop the timer"),))


def _stop_timer(ctx: Context) -> Reply:
    live = running(ctx.plot)
    if not live:
        return Reply(headline="No timer is running.")
    return Reply(headline=f"Stopped: {live[-1].label}.", events=(rung_event(live[-1], ctx.now, "stopped"),))


@answers("freeze")
def freeze(request: Request, ctx: Context) -> Reply:
    """Say whether and how a crop is frozen: blanch or not, tray, headspace, bags from a weight, months."""
    known = which_crop(request, ctx, "Which crop do you want to freeze?", "freeze")
    if isinstance(known, Reply):
        return known
    return keyed("freeze", _frozen(request, ctx, known.id))


def _frozen(request: Request, ctx: Context, crop: str) -> Reply:
    facts, text, say = ctx.facts.preserving, words_of(request), ctx.say
    name, rows = say.crop(crop), rows_of(crop, facts)
    if not rows:
        return Reply(headline=f"I have no freezing advice for {name} that I can trust.",
                     lines=("Ask me how to store, dry or pickle them instead.",), data={"crop": crop, "treatment": None})
    row = form_of(rows, text)[0]
    if row.treatment == "unsuitable":
        return Reply(headline=f"No, {name} do not freeze well: they go limp and watery.", sources=tuple(row.source),
                     lines=("Eat them fresh, or give some away.",), data={"crop": crop, "treatment": "unsuitable"})
    metres = height_of(request, ctx.plot)
    lines = [f"{prose(say, row.preparation or '')}."]
    data: dict[str, object] = {"crop": crop, "treatment": row.treatment, "form": row.form,
                               "months": list(row.months) if row.months else None}
    if row.treatment == "blanch":
        time = times([row], metres)[0]
        cool = "twice as long" if crop == "sweetcorn" else "as long"
        lines.append(f"Blanch {_minutes(time)}, then iced water {cool}, and drain well.")
        data |= {"water_min": time.as_json()["water_min"], "steam_min": time.as_json()["steam_min"]}
    lines.append("Dry them, freeze in one layer on a tray, then bag and press the air out.")
    if row.headspace_cm:
        lines.append(f"In a box leave {small_length(say, row.headspace_cm)} at the top.")
    kg = request.amount("kg")
    if kg is not None and kg.value > 0:
        lines.append(_bags_line(ctx, crop, kg.value, data))
    if row.months:
        lines.append(f"Best within {number(row.months[0], 1)}-{number(row.months[1], 1)} months at {say.temp(-18)} or colder; write the date on.")
    head = {"blanch": f"Yes: blanch {name} first, then freeze.", "none": f"Yes: {name} freeze raw, no blanching.",
            "cook": f"Yes, but cook {name} through first."}[row.treatment]
    more = [f"Also: {r.form}{f', {_minutes(times([r], metres)[0])}' if r.treatment == 'blanch' else ' (raw)' if r.treatment == 'none' else ' (cooked)'}."
            for r in rows if r is not row]
    more.append(f"Freeze no more at once than {say.mass(0.9 / 28.3 * 100)}-{say.mass(1.36 / 28.3 * 100)} for each 100 litres of freezer." if not say.us
                else "Freeze no more at once than 2-3 lb for each cubic foot of freezer.")
    return Reply(headline=head, lines=tuple(lines), more=tuple(more), data=data,
                 sources=tuple(dict.fromkeys([*row.source, "umn-blanching"])),
                 choices=(Choice("How long to blanch", f"how long do I blanch {name}"),) if row.treatment == "blanch" else ())


def _bags_line(ctx: Context, crop: str, kg: float, data: dict[str, object]) -> str:
    """Say how many half-litre (pint) bags a weight makes."""
    found = frozen_pints(crop, kg, ctx.facts.preserving)
    if found is None:
        return f"{ctx.say.mass(kg)}: I have no figure for how many bags that fills."
    low, high, _row = found
    fewest, most = max(1, round(low)), max(1, round(high))
    data["bags"] = [fewest, most]
    size = "pint" if ctx.say.us else "half-litre"
    count = f"{fewest}" if fewest == most else f"{fewest} to {most}"
    return f"{ctx.say.mass(kg)} as picked fills about {count} {size} bag{'s' if most > 1 else ''}."


@answers("dry")
def dry(request: Request, ctx: Context) -> Reply:
    """Say how a crop is dried: cut, blanch, temperature, hours, when it is done, how long it keeps."""
    known = which_crop(request, ctx, "Which crop do you want to dry?", "dry")
    if isinstance(known, Reply):
        return known
    return keyed("dry", _dried(request, ctx, known.id))


def _dried(request: Request, ctx: Context, crop: str) -> Reply:
    facts, say = ctx.facts.preserving, ctx.say
    row = next((d for c in (crop, facts.words.stand_ins.get(crop)) for d in facts.drying if d.crop == c), None)
    name = say.crop(crop)
    if row is None:
        return Reply(headline=f"I have no drying times for {name}.", lines=("Ask me about freezing or storing them.",),
                     data={"crop": crop})
    return Reply(headline=_dry_headline(name, row, ctx), lines=tuple(_dry_lines(row, ctx, height_of(request, ctx.plot))),
                 cautions=("Vegetables are not dried in the sun: too little sugar and acid to be safe while they dry slowly.",)
                 if row.temp_c and row.temp_c[0] >= 55 else (),
                 sources=tuple(row.source),
                 data={"crop": crop, "temp_c": list(row.temp_c) if row.temp_c else None,
                       "hours": list(row.hours) if row.hours else None, "done": row.done})


def _dry_headline(name: str, row: Drying, ctx: Context) -> str:
    if row.hours is None or row.temp_c is None:
        return f"{name.capitalize()} dry on the plant: {row.done}."
    return f"Dry {name} at {ctx.say.temp(*row.temp_c)} for {_number(row.hours[0])}-{_number(row.hours[1])} hours, until {row.done}."


def _dry_lines(row: Drying, ctx: Context, metres: float | None) -> list[str]:
    lines = [f"{prose(ctx.say, row.preparation)}."]
    if row.water or row.steam:
        added = 1.0 if metres is not None and to_feet(metres) >= RULE_FEET and row.pretreatment == "blanch" else 0.0
        water = (row.water[0] + added, row.water[1] + added) if row.water else None
        steam = (row.steam[0] + added, row.steam[1] + added) if row.steam else None
        what = "Dip in boiling water to skin" if "skin" in row.pretreatment else "Blanch first"
        said = [f"{_span(water)} in water" if water else "", f"{_span(steam)} in steam" if steam else ""]
        lines.append(f"{what}: {', '.join(s for s in said if s)}.")
    elif row.pretreatment not in ("nothing", "blanch"):
        lines.append(f"First: {row.pretreatment}.")
    if row.hours and row.hours[1] >= 3:
        lines.append("One layer on trays with moving air; turn or swap the trays now and then.")
    lines.append("Cool a piece before you test it; warm ones feel softer than they are.")
    if row.months_cool and row.months_room:
        lines.append(f"In a closed jar in the dark: {_number(row.months_cool[0])}-{_number(row.months_cool[1])} months at {ctx.say.temp(16)}, "
                     f"{_number(row.months_room[0])}-{_number(row.months_room[1])} at {ctx.say.temp(21)}.")
    else:
        lines.append("Keep in closed jars, cool and dark, and look after a week: any damp on the glass means dry it again.")
    if row.note:
        note = prose(ctx.say, row.note)
        lines.append(note[0].upper() + note[1:] + ".")
    return lines
