"""Change the last record: another bed, crop, amount, material or day. The old one is kept, and said."""

from __future__ import annotations

import re
from dataclasses import replace
from math import isclose
from typing import Any

from bot.handlers import answers, handler_for
from bot.handlers.checking import amount_of, day_of, unknown_bed
from bot.handlers.context import Context
from bot.handlers.ground_records import given_instead
from bot.handlers.naming import bed_said, said_of
from bot.handlers.sightings import frost_to_come
from bot.handlers.sowing_records import extent_of
from bot.handlers.telling import told
from bot.handlers.undoing import last_message
from bot.plot.events import Event, NewEvent
from bot.plot.living import corrected
from bot.preserving.ledger import amount_said, take
from bot.reply import Choice, Reply, ask
from bot.request import Quantity, Request
from bot.wording import KG_PER_LB

#: An amount as typed.
_FIGURE = re.compile(r"\d+(?:[.,]\d+)?")
#: How many records back one that is named is still looked for.
_LATELY = 12


@answers("correct_last")
def correct_last(request: Request, ctx: Context) -> Reply:
    """Change the bed, crop, amount, material or day of the last record; the old one is kept and said."""
    stray = unknown_bed(request, ctx)
    if stray:
        return stray
    if request.temperature_c is not None and frost_to_come(request, ctx):  # "-3 tonight", after a frost was told
        return handler_for("frost_tonight")(request, ctx)
    targets = _said_again(request, ctx) or (_lately(request, ctx) if "named" in request.flags else []) or _correctable(ctx)
    if not targets:
        return Reply("There is no record of yours to change yet.")
    fresh = request.with_(
        **{
            name: type(getattr(request, name))()
            for name in ("crops", "beds", "quantities", "materials")
            if name in request.inherited
        }
    )
    named = fresh.crops or fresh.crop_choices or fresh.beds or fresh.quantities or any(given_instead(fresh, e, ctx) for e in targets)
    if not (named or request.when or request.variety or _depth_told(request, targets[-1])):
        last = told(targets[-1], ctx)
        return ask(
            "What should it say?",
            waiting=request,
            wants="correction",
            lines=(f"The last record: {last}.", 'For example: "no, bed 4", "I meant 3 kg", "it was yesterday".'),
        )
    if fresh.crop_choices and not fresh.crops:
        offers = [(ctx.say.crop(crop), f"I meant {ctx.say.crop(crop)}") for crop in fresh.crop_choices[:5]]
        return ask("Which of them did you mean?", offers, waiting=request, wants="crop")
    chosen = _chosen(fresh, targets, ctx)
    if isinstance(chosen, Reply):
        return chosen
    events, lines = [], []
    for target in chosen:
        changes = _changes(fresh, target, ctx)
        if isinstance(changes, Reply):
            return changes
        if not changes:
            continue
        if target.kind == "used" and changes.keys() & {"crop", "bed"}:
            return Reply(
                "That came out of the stores, so I changed nothing.",
                lines=('Say "undo", then tell me again what you used.',),
                choices=(Choice("Undo", "undo"),),
            )
        new = _new_record_meant(fresh, changes, target, ctx)
        if new:
            return new
        events.append(
            NewEvent("corrected", ctx.today, words=request.text, refs=(target.seq,), data={"changes": changes})
        )
        after = corrected(target, changes)
        lines.append(f"Changed to: {told(after, ctx)}. It said: {told(target, ctx)}.")
        stands = {p.bed for p in ctx.plot.standing(crop=after.crop)}
        if after.kind in ("harvested", "cleared") and after.bed and after.bed not in stands and after.bed != target.bed:
            lines.append(f"I have no {ctx.say.crop(after.crop or '')} down in {bed_said(after.bed, ctx)}.")
    if not events:
        return Reply(f"It says that already: {told(chosen[-1], ctx)}.")
    return Reply(
        lines[0],
        lines=tuple(lines[1:]),
        events=tuple(events),
        choices=(Choice("Undo", "undo"),),
        data={"correct_last": {"rows": [e.as_json() for e in events]}},
    )


def _said_again(request: Request, ctx: Context) -> list[Event]:
    """Return this person's newest record of the crop named whose amount the message repeats: "the peas were 1.4 kg, not 1.2"."""
    if "crops" in request.inherited or not request.crops or not request.quantities:
        return []
    figures = [float(figure.replace(",", ".")) for figure in _FIGURE.findall(request.text)]
    told = {request.quantities[0].value, request.quantities[0].value * 1000}  # as it should be, a kilo told in grams too
    scales = (1.0, 1000.0, 1 / KG_PER_LB)
    old = [
        e for e in ctx.plot.journal
        if e.author == ctx.author and e.crop in request.crops and e.amount is not None and e.amount not in told
        and any(isclose(e.amount * scale, figure, rel_tol=0.005) for figure in figures for scale in (scales if e.unit == "kg" else scales[:1]))
    ]
    return old[-1:]


def _lately(request: Request, ctx: Context) -> list[Event]:
    """Return this person's newest record of a crop the message names with its amount: "the courgettes were 6"."""
    mine = [e for e in ctx.plot.journal[-_LATELY:] if e.author == ctx.author and e.crop in request.crops and e.amount is not None]
    return mine[-1:]


#: Kinds that can be put right although they name no crop, bed or amount.
_UNNAMED = ("noted", "frost_seen", "fed")


def _correctable(ctx: Context) -> list[Event]:
    """Return the records of this person's last message that hold something to correct, as they now stand."""
    last = last_message(ctx, ctx.author)
    seqs = {ref for e in last if e.kind == "corrected" for ref in e.refs} | {
        e.seq for e in last if e.kind != "corrected"
    }
    return [
        e for e in ctx.plot.journal if e.seq in seqs and (e.crop or e.bed or e.amount is not None or e.kind in _UNNAMED)
    ]


def _chosen(request: Request, targets: list[Event], ctx: Context) -> list[Event] | Reply:
    """Pick which records of a message a change is for: by crop when it names one of them, by having an amount."""
    if len(targets) == 1:
        return targets
    named = [e for e in targets if e.crop in request.crops]
    if request.quantities and ctx.facts.asking.records.of_each.search(request.text):
        return named if len(named) > 1 else targets
    if named and (request.quantities or request.beds or request.when):
        return named
    if request.quantities:
        weighed = [e for e in targets if e.amount is not None]
        return weighed[-1:] or targets[-1:]
    if request.crops and not (request.beds or request.when):
        return targets[-1:]
    return targets  # a day or a bed holds for all that one message told


def _changes(request: Request, target: Event, ctx: Context) -> dict[str, Any] | Reply:
    changes: dict[str, Any] = {}
    data: dict[str, Any] = {}
    if request.when is not None:
        day = day_of(request, ctx)
        if isinstance(day, Reply):
            return day
        if day != target.day:
            changes["day"] = day.isoformat()
    if request.bed and request.beds[-1] != target.bed:
        changes["bed"] = request.beds[-1]
    # "not courgettes, cucumbers" names both: the one that is not recorded is the one meant.
    crop = next((crop for crop in request.crops if crop != target.crop), None)
    if crop:
        changes["crop"] = crop
        bed = _only_bed(crop, target, ctx)
        if bed and "bed" not in changes:
            changes["bed"] = bed
    if request.variety and request.variety != target.variety:
        changes["variety"] = request.variety
    quantity = amount_of(request, ctx, ctx.say.crop(target.crop or "it"))
    if isinstance(quantity, Reply):
        return quantity
    if quantity is not None:
        meant = quantity if crop else _in_its_unit(quantity, target, ctx)
        if (meant.value, meant.unit) != (target.amount, target.unit):
            changes["amount"], changes["unit"] = meant.value, meant.unit
            if target.kind in ("sown", "planted_out", "moved"):
                data |= extent_of((meant,), request.text, changes.get("bed", target.bed), ctx)
            elif target.kind == "fed" and target.amount and meant.unit == target.unit:
                data |= {k: round(v * meant.value / target.amount, 3) for k in ("litres", "kg", "depth_cm") if (v := target.data.get(k))}
            elif "count" in target.data and meant.unit in ("count", "plant", "seed"):
                data["count"] = int(meant.value)
            if target.kind == "used":
                taken = _taken_anew(target, meant.value, ctx)
                if isinstance(taken, Reply):
                    return taken
                data["lots"] = taken
    if _depth_told(request, target) and request.temperature_c != target.amount:
        changes["amount"], changes["unit"] = request.temperature_c, "c"
    data |= given_instead(request, target, ctx)
    if data:
        changes["data"] = data
    return changes


def _taken_anew(target: Event, amount: float, ctx: Context) -> list[list[float]] | Reply:
    """Return what each lot gives when a taking turns out to be another amount: as if it had never been, then the oldest first."""
    given = {int(lot): float(part) for lot, part in target.data.get("lots", ())}
    product = target.data.get("product")
    there = [replace(lot, left=lot.left + given.get(lot.id, 0.0)) for lot in ctx.plot.lots
             if lot.id in given or (lot.crop == (target.crop or "") and lot.product == product and lot.unit == target.unit)]
    taken = take(sorted((lot for lot in there if lot.left > 0), key=lambda lot: (lot.made, lot.id)), amount)
    if taken.short > 0:
        have = amount_said(sum(lot.left for lot in there), str(target.unit), ctx.say)
        return Reply(f"There were only {have}, so I changed nothing.",
                     lines=('Say "undo", then tell me how many are really left.',), choices=(Choice("Undo", "undo"),))
    return [list(pair) for pair in taken.lots]


def _depth_told(request: Request, target: Event) -> bool:
    """Tell whether a temperature is said of a frost on record."""
    return target.kind == "frost_seen" and request.temperature_c is not None


def _only_bed(crop: str, target: Event, ctx: Context) -> str | None:
    """Return the one bed the crop really picked or cleared stands in, when it is not in the bed recorded."""
    beds = {p.bed for p in ctx.plot.standing(crop=crop) if p.bed}
    if target.kind not in ("harvested", "cleared") or target.bed in beds or len(beds) != 1:
        return None
    return next(iter(beds))


def _new_record_meant(request: Request, changes: dict[str, Any], target: Event, ctx: Context) -> Reply | None:
    """Ask when another crop comes with another amount or day and no word says that the last record is wrong."""
    if "crop" not in changes or not changes.keys() & {"amount", "day"} or ctx.facts.asking.records.meant.search(request.text):
        return None
    crop = changes["crop"]
    amount = said_of(next(iter(request.quantities), None), crop, ctx)
    when = f" {request.when.words}" if request.when is not None and request.when.words else ""
    new = f"{_VERBS.get(target.kind, 'picked')} {amount}{when}"
    return ask(
        f"Is that new, or is the last record wrong? It says: {told(target, ctx)}.",
        [("It is new", new), ("Change the last", f"I meant {amount}{when}")],
        waiting=request,
        wants="choice",
        lines=("Nothing is recorded yet.",),
    )


_VERBS = {"harvested": "picked", "sown": "sowed", "planted_out": "planted out", "cleared": "cleared", "used": "used"}


def _in_its_unit(quantity: Quantity, target: Event, ctx: Context) -> Quantity:
    """Read a bare number in the unit of the record it changes: 'I meant 3' of 2.3 kg is 3 kg."""
    if quantity.unit != "count" or target.unit in (None, "count"):
        return quantity
    if target.unit != "kg":
        return Quantity(quantity.value, str(target.unit), quantity.words)
    small = (target.amount or 0) < (KG_PER_LB if ctx.say.us else 1)
    if ctx.say.us:
        return Quantity(quantity.value * KG_PER_LB / (16 if small else 1), "kg", quantity.words)
    return Quantity(quantity.value / (1000 if small and quantity.value >= 10 else 1), "kg", quantity.words)
