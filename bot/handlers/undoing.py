"""Take back or change the last record, and keep free notes."""

from __future__ import annotations

import re
from typing import Any

from bot.handlers import answers
from bot.handlers.checking import amount_of, asked_before, day_of, declined, unknown_bed
from bot.handlers.context import Context
from bot.handlers.naming import bed_said
from bot.handlers.telling import sentence, told
from bot.plot.events import Event, NewEvent
from bot.plot.living import corrected
from bot.reply import Choice, Reply, ask
from bot.request import Quantity, Request
from bot.wording import KG_PER_LB, listing

#: What a clock or the bot itself writes is no one's to take back.
_NOBODYS = frozenset({"timer_rung"})
_NOTE_LEAD = re.compile(
    r"^\s*(?:please\s+)?(?:"
    r"(?:make|add|take|leave|keep|write)\s+(?:me\s+)?(?:a\s+|one\s+)?(?:wee\s+|quick\s+)?note(?:\s+to self)?"
    r"(?:\s+(?:of|to|that|about|on|for))?"
    r"|(?:put|write|log|enter)\s+(?:this\s+|it\s+)?(?:down\s+)?in the (?:log|diary|record|notes?|book)(?:\s+that)?"
    r"|note(?:\s+(?:to self|that|this|down))?"
    r"|for the (?:diary|record|log)"
    r"|(?:write|put|jot)\s+(?:this\s+)?down(?:\s+that)?"
    r"|remember(?:\s+that)?"
    r")\b\s*[:,-]?\s*",
    re.IGNORECASE,
)


@answers("undo")
def undo(request: Request, ctx: Context) -> Reply:
    """Take back everything the last message of this person wrote; someone else's only when asked."""
    no = declined(request, ctx, "All right, it stays.")
    if no:
        return no
    mine = _last_message(ctx, ctx.author)
    if not mine:
        theirs = _last_message(ctx, None)
        if not theirs:
            return Reply("There is nothing to take back.")
        if "yes" not in request.flags or not asked_before(ctx, "undo"):
            who = ctx.plot.extra.get("names", {}).get(theirs[0].author, theirs[0].author)
            what = listing([told(event, ctx) for event in theirs[:3]])
            return ask(
                f"You have written nothing down yet. The last record is by {who}: {what}. Take that back?",
                [("Yes, take it back", "yes"), ("No", "no")],
                waiting=request,
                wants="choice",
            )
        mine = theirs
    shown = [_named(event, ctx) for event in mine]
    event = NewEvent("undone", ctx.today, words=request.text, refs=tuple(e.seq for e in mine))
    if len(shown) == 2:
        return _taken_back(f"{shown[0]}; and {shown[1]}", (), event, mine)
    lines = tuple(sentence(text) for text in shown[1:6])
    more = (f"And {len(shown) - 6} more.",) if len(shown) > 6 else ()
    return _taken_back(shown[0], (*lines, *more), event, mine)


def _taken_back(what: str, lines: tuple[str, ...], event: NewEvent, mine: list[Event]) -> Reply:
    return Reply(
        f"Taken back: {what}.", lines=lines, events=(event,), data={"undo": {"rows": [e.as_json() for e in mine]}}
    )


def _last_message(ctx: Context, author: str | None) -> list[Event]:
    """Return the live records of the newest message, of one author when given, in the order written."""
    told_by = [
        e
        for e in ctx.plot.written
        if (author is None or e.author == author) and e.author != "riddle" and e.kind not in _NOBODYS
    ]
    if not told_by:
        return []
    return [e for e in told_by if e.message == told_by[-1].message]


def _named(event: Event, ctx: Context) -> str:
    if event.kind == "corrected":
        return _change_said(event, ctx)
    return f'the note "{event.words}"' if event.kind == "noted" else told(event, ctx)


def _change_said(event: Event, ctx: Context) -> str:
    target = next((e for e in ctx.plot.journal if event.refs and e.seq == event.refs[0]), None)
    return f"the change to: {told(target, ctx)}" if target else "a change"


@answers("correct_last")
def correct_last(request: Request, ctx: Context) -> Reply:
    """Change the bed, crop, amount or day of the last record; the old one is kept and said."""
    stray = unknown_bed(request, ctx)
    if stray:
        return stray
    targets = _correctable(ctx)
    if not targets:
        return Reply("There is no record of yours to change yet.")
    fresh = request.with_(
        **{
            name: type(getattr(request, name))()
            for name in ("crops", "beds", "quantities")
            if name in request.inherited
        }
    )
    if not (fresh.crops or fresh.crop_choices or fresh.beds or fresh.quantities or request.when or request.variety):
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
    chosen = _chosen(fresh, targets)
    if isinstance(chosen, Reply):
        return chosen
    events, lines = [], []
    for target in chosen:
        changes = _changes(fresh, target, ctx)
        if isinstance(changes, Reply):
            return changes
        if not changes:
            continue
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


def _correctable(ctx: Context) -> list[Event]:
    """Return the records of this person's last message that hold something to correct, as they now stand."""
    last = _last_message(ctx, ctx.author)
    seqs = {ref for e in last if e.kind == "corrected" for ref in e.refs} | {
        e.seq for e in last if e.kind != "corrected"
    }
    return [
        e for e in ctx.plot.journal if e.seq in seqs and (e.crop or e.bed or e.amount is not None or e.kind == "noted")
    ]


def _chosen(request: Request, targets: list[Event]) -> list[Event] | Reply:
    """Pick which records of a message a change is for: by crop when it names one of them, by having an amount."""
    if len(targets) == 1:
        return targets
    named = [e for e in targets if e.crop in request.crops]
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
    if request.crop and request.crop != target.crop:
        changes["crop"] = request.crop
    if request.variety and request.variety != target.variety:
        changes["variety"] = request.variety
    quantity = amount_of(request, ctx, ctx.say.crop(target.crop or "it"))
    if isinstance(quantity, Reply):
        return quantity
    if quantity is not None:
        meant = _in_its_unit(quantity, target, ctx)
        if (meant.value, meant.unit) != (target.amount, target.unit):
            changes["amount"], changes["unit"] = meant.value, meant.unit
            if "count" in target.data and meant.unit in ("count", "plant", "seed"):
                data["count"] = int(meant.value)
            lots = target.data.get("lots", ())
            if target.kind == "used" and len(lots) == 1:
                data["lots"] = [[lots[0][0], meant.value]]
            if target.kind == "used" and len(lots) > 1:
                return Reply(
                    "That took from several lots at once, so I changed nothing.",
                    lines=('Say "undo", then tell me again what you used.',),
                    choices=(Choice("Undo", "undo"),),
                )
    if data:
        changes["data"] = data
    return changes


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


@answers("log_note")
def log_note(request: Request, ctx: Context) -> Reply:
    """Keep a free note, against the bed or crop it names."""
    day = day_of(request, ctx) if request.when is not None and request.when.start <= ctx.today else ctx.today
    if isinstance(day, Reply):
        return day
    text = note_text(request.text)
    if not re.search(r"\w", text):
        return ask(
            "What shall I note?", waiting=request, wants="note", lines=('For example: "note: first swallows today".',)
        )
    event = NewEvent("noted", day, crop=request.crop, bed=request.bed, words=text)
    about = bed_said(request.bed, ctx) if request.bed else ctx.say.crop(request.crop) if request.crop else ""
    shown = text if len(text) <= 200 else text[:197] + "…"
    return Reply(
        sentence(f"noted{' with ' + about if about else ''}: {shown}"),
        events=(event,),
        data={"log_note": {"rows": [event.as_json()]}},
    )


def note_text(text: str) -> str:
    """Return a message without the words that only say it is a note.

    >>> note_text("note: the gate hinge is loose"), note_text("make a note that the leeks look poor")
    ('the gate hinge is loose', 'the leeks look poor')
    """
    return _NOTE_LEAD.sub("", text, count=1).strip() or text.strip() * (not _NOTE_LEAD.match(text))
