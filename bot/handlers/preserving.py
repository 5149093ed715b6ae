"""Blanching, freezing and drying: minutes, water, bags and what to do."""

from __future__ import annotations

import math

from bot.facts.preserving import Blanching
from bot.handlers import answers, handler_for
from bot.handlers.context import Context
from bot.handlers.crop_asking import one_by_one, which_crop
from bot.handlers.kitchen_timers import start_timer, stop_timer
from bot.handlers.preserving_asks import keyed, of_its_own
from bot.preserving.altitude import height_of
from bot.preserving.blanching import WATER_L_PER_KG, Time, form_of, rows_of, times
from bot.preserving.matching import find, words_of
from bot.preserving.measures import prose, small_length
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import KG_PER_LB, number


@answers("blanch")
def blanch(request: Request, ctx: Context) -> Reply:
    """Say how long to blanch a crop, by form and size, in water and steam, and start a timer when asked."""
    request = of_its_own(request, ctx)
    facts, text = ctx.facts.preserving, words_of(request)
    if find(text, facts.words.timer_stop):
        return stop_timer(ctx)
    if find(text, facts.words.timer):
        return start_timer(request, ctx, text)
    if find(text, facts.words.unblanched) and "freez" in text:  # whether that may be, and not for how long
        return handler_for("freeze")(request.with_(intent="freeze"), ctx)
    several = tuple(c for c in request.crops if rows_of(c, facts))
    if len(request.crops) > 1 and several:
        return one_by_one(request.with_(crops=several), ctx, blanch, "blanch", "Blanching")
    known = which_crop(request, ctx, "Which crop do you want to blanch?", "blanch")
    if isinstance(known, Reply):
        return known
    return keyed("blanch", _blanched(request, ctx, known.id, text))


def _blanched(request: Request, ctx: Context, crop: str, text: str) -> Reply:
    facts = ctx.facts.preserving
    name, rows = ctx.say.crop(crop), rows_of(crop, facts)
    if not rows:
        return Reply(
            headline=f"I have no tested blanching time for {name}.",
            lines=("Freeze them only if you know they freeze well, or ask how to store, dry or pickle them.",),
            data={"crop": crop, "forms": []},
        )
    metres = height_of(request, ctx.plot)
    named = form_of(rows, text)
    timed = times(named, metres) or times(rows, metres)
    # Of beetroot the root is cooked and only the leaves are blanched: the root is meant unless the leaves are named.
    if not timed or (named == rows and rows[0].treatment == "cook"):
        return _no_blanch(crop, name, rows, ctx, metres)
    first = timed[0]
    lines = _blanch_lines(request, ctx, first, timed, metres)
    more = tuple(f"{t.row.form.capitalize()}: {minutes_said(t)}." for t in timed[4:])
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
        return f"{name.capitalize()}, {form}: steam {span_said(time.steam)}."
    steam = f" ({span_said(time.steam)} in steam)" if time.steam else ""
    return f"{name.capitalize()}, {form}: {span_said(time.water)} in boiling water{steam}."


def span_said(span: tuple[float, float] | None) -> str:
    """Say a span of minutes, in seconds when it is under one."""
    if span is None:
        return "no time given"
    low, high = span
    if high < 1:
        return f"{round(low * 60)}-{round(high * 60)} seconds" if low != high else f"{round(low * 60)} seconds"
    said = number_said(low) if low == high else f"{number_said(low)}-{number_said(high)}"
    return f"{said} minute{'' if high == 1 else 's'}"


def number_said(value: float) -> str:
    """Say a number of minutes to the quarter."""
    return number(value, 0.25)


def minutes_said(time: Time) -> str:
    """Say the blanching minutes in water and in steam, those that are given."""
    parts = []
    if time.water:
        parts.append(f"{span_said(time.water)} in water")
    if time.steam:
        parts.append(f"{span_said(time.steam)} in steam")
    return ", ".join(parts)


def _blanch_lines(request: Request, ctx: Context, first: Time, timed: list[Time], metres: float | None) -> list[str]:
    say, row = ctx.say, first.row
    lines = [f"{t.row.form.capitalize()}: {minutes_said(t)}." for t in timed[1:4]]
    if first.added:
        lines.append(f"That is 1 minute more than the table, for {say.height(metres or 0)}.")
    elif metres is None:
        lines.append(f"Add 1 minute at {say.height(1524)} and higher.")
    if row.habit_min:
        lines.append(
            f"Many gardeners give {number_said(row.habit_min[0])}; the tested table says "
            f"{number_said(row.water[0] if row.water else 0)}, so I go by the table."
        )
    cool = "twice as long" if row.crop == "sweetcorn" else "as long"
    lines.append(f"Count from when the water boils again. Then iced water {cool} as you blanched, and drain well.")
    kg = request.amount("kg")
    leafy = "leaves" in row.form or "greens" in row.form
    per_kg = WATER_L_PER_KG * (2 if leafy else 1)
    if kg is not None and kg.value > 0:
        batches = max(1, round(kg.value / 0.5 + 0.49)) if kg.value > 0.5 else 1
        lines.append(
            f"{say.mass(kg.value)} is {batches} batch{'es' if batches > 1 else ''} of about "
            f"{say.mass(min(kg.value, kg.value / batches))}, "
            f"each in {say.volume(per_kg * kg.value / batches)} of boiling water."
        )
    else:
        batch = KG_PER_LB if say.us else 0.5
        water = per_kg * batch if say.us else math.ceil(per_kg * batch)
        lines.append(f"Small batches: {say.volume(water)} of boiling water for each {say.mass(batch)}.")
    if row.preparation:
        lines.insert(0, f"{prose(say, row.preparation)}" + (f" ({prose(say, row.size)})." if row.size else "."))
    return lines


def _steps(ctx: Context, row: Blanching) -> list[str]:
    room = small_length(ctx.say, row.headspace_cm) if row.headspace_cm else ""
    return [
        "Dry them on a cloth, freeze in one layer on a tray, then bag and press the air out.",
        f"Leave {room} of room at the top of a box." if room else "No room need be left in the bag.",
        "Too short a blanch is worse than none: it wakes the enzymes. Blanching is for quality, not safety.",
    ]


def _blanch_working(ctx: Context, first: Time, metres: float | None) -> tuple[str, ...]:
    table = f"Table: {first.row.form}, water {span_said(first.row.water)}, steam {span_said(first.row.steam)}."
    height = (
        "Height not known."
        if metres is None
        else (
            f"Height {ctx.say.height(metres)}: {'1 minute added' if first.added else 'nothing added'} (the "
            f"rule starts at {ctx.say.height(1524)})."
        )
    )
    return (table, height)


def _timer_choice(first: Time, name: str, text: str) -> tuple[Choice, ...]:
    span = first.steam if (find(text, ["steam(?:ed|ing)?"]) and first.steam) or first.water is None else first.water
    if span is None:
        return ()
    seconds = round(span[0] * 60)
    said = f"{seconds} second" if seconds < 60 else f"{_plain(span[0])} minute"
    return (
        Choice(f"Start {said} timer", f"start a {said} timer for {name}"),
        Choice("How to freeze", f"how do I freeze {name}"),
    )


def _plain(minutes: float) -> str:
    return f"{minutes:g}"


def _no_blanch(crop: str, name: str, rows: list[Blanching], ctx: Context, metres: float | None) -> Reply:
    row = rows[0]
    data = {"crop": crop, "forms": []}
    if row.treatment == "unsuitable":
        return Reply(
            headline=f"{name.capitalize()} do not freeze well, so there is nothing to blanch.",
            lines=(f"{prose(ctx.say, row.preparation or '')}.",),
            sources=tuple(row.source),
            data=data,
        )
    if row.treatment == "none":
        return Reply(
            headline=f"No blanching needed: freeze {name} raw.",
            lines=(f"{prose(ctx.say, row.preparation or '')}.",),
            sources=tuple(row.source),
            choices=(Choice("How to freeze", f"how do I freeze {name}"),),
            data=data,
        )
    cooked = [
        f"{r.form.capitalize()}: {span_said(r.water) if r.water else 'until soft'}. "
        f"{prose(ctx.say, r.preparation or '')}."
        for r in rows
        if r.treatment == "cook"
    ]
    cooked += [f"{t.row.form.capitalize()} are blanched: {minutes_said(t)}." for t in times(rows, metres)]
    return Reply(
        headline=f"Cook {name} right through before freezing: no blanching.",
        lines=tuple(cooked),
        sources=tuple(row.source),
        data=data,
    )
