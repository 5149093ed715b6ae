"""Put a record right that its own message corrects: "18 celeriac into bed 2. Oops, meant bed 1", "brought in 5 kg. Sorry, pounds"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bot.request import Quantity, Request
from bot.understanding.found import Sheet
from bot.understanding.inheriting import bare_number
from bot.understanding.quantities import typed_size

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander

#: What a correction that names one puts in the place of what was said, and what of the old goes with it.
_NAMED = {"beds": (), "unknown_bed": (), "quantities": (), "when": (), "materials": (), "product": (), "cover": (), "method": (),
          "variety": (), "crops": ("crop_choices", "unknown_crop", "variety"), "crop_choices": ("crops", "unknown_crop", "variety"),
          "unknown_crop": ("crops", "crop_choices", "variety")}


def put_right(reader: Understander, told: list[Request], fix: Request, clause: Clause, sheet: Sheet) -> list[Request] | None:
    """Return the records told before in the message with the one that a correction means put right; None when it names nothing to put in.

    `fix` is the correction as a record of that kind, with what it names. Of a list it means the thing that it names, else the last.
    """
    at = next((n for n in reversed(range(len(told))) if told[n].intent == fix.intent and set(told[n].crops) & set(fix.crops)), len(told) - 1)
    old = told[at]
    if not fix.quantities:
        fix = fix.with_(quantities=_amount(reader, old, clause, sheet))
    swap: dict[str, Any] = {}
    for name, gone in _NAMED.items():
        value = getattr(fix, name)
        if value and value != getattr(old, name):
            swap |= dict.fromkeys(gone, None) | {name: value}
    for name in ("crops", "crop_choices"):
        if name in swap and swap[name] is None:
            swap[name] = ()
    if not swap:
        return None
    return [*told[:at], old.with_(**swap, text=f"{old.text} {fix.text}"), *told[at + 1:]]


def led_in(reader: Understander, sheet: Sheet, parts: list[Clause]) -> list[Clause]:
    """Join words that only announce a correction to the record after them, which is then the correction: "3 lettuces, or rather, 2 lettuces"."""
    done: list[Clause] = []
    for part in parts:
        lead = done[-1] if len(done) > 1 else None
        told = done[-2].ranked[0][0] if lead is not None else ""
        empty = lead is not None and not any(lead.start <= f.start < lead.end for f in sheet.found) and bare_number(sheet, lead.start, lead.end, reader) is None
        if lead is not None and empty and lead.ranked[0][0] == "correct_last" and part.ranked[0][0] == told and reader.intents[told].kind == "record":
            done[-1] = replace(part, start=lead.start, ranked=lead.ranked)
        else:
            done.append(part)
    return done


def _amount(reader: Understander, old: Request, clause: Clause, sheet: Sheet) -> tuple[Quantity, ...]:
    """Return the old amount with a bare number, or a unit with none, in its place: "sorry, 7", "sorry, pounds"."""
    if len(old.quantities) != 1:
        return ()
    before, said = old.quantities[0], sheet.said(clause.start, clause.end)
    number = bare_number(sheet, clause.start, clause.end, reader)
    if number is not None:
        return (replace(before, value=number * typed_size(reader.lexicon, before), words=said),)
    units = [unit for i in range(clause.start, clause.end) if (unit := reader.lexicon.units.get(sheet.word(i))) is not None and len(sheet.word(i)) > 1]
    if len(units) != 1 or units[0].unit not in ("kg", "l"):
        return ()
    return (replace(before, value=before.value / typed_size(reader.lexicon, before) * units[0].size, unit=units[0].unit, words=said),)
