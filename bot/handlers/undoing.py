"""Take back or change the last record, and keep free notes."""

from __future__ import annotations

import re

from bot.facts import Facts
from bot.handlers import answers
from bot.handlers.checking import asked_before, day_of, declined
from bot.handlers.context import Context
from bot.handlers.naming import bed_said
from bot.handlers.rain_records import rain_record
from bot.handlers.seed_records import seed_record
from bot.handlers.telling import sentence, told
from bot.plot.events import Event, NewEvent
from bot.plot.living import corrected
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.wording import listing

#: What a clock or the bot itself writes is no one's to take back.
_NOBODYS = frozenset({"timer_rung"})
_THE_DAY = "day"


@answers("undo")
def undo(request: Request, ctx: Context) -> Reply:
    """Take back everything the last message of this person wrote; someone else's only when asked."""
    no = declined(request, ctx, "All right, it stays.")
    if no:
        return no
    if _asked_to_record(ctx):
        return Reply("All right, I recorded nothing.")
    if _THE_DAY in request.flags or ctx.facts.asking.records.whole_day.search(request.text):
        return _the_day(request, ctx)
    if "back" in request.flags:
        return _put_back(request, ctx)
    named = _by_name(request, ctx)
    if named is not None:
        return named
    mine = last_message(ctx, ctx.author)
    if not mine:
        theirs = last_message(ctx, None)
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
    return _undone(mine, request, ctx)


def _undone(mine: list[Event], request: Request, ctx: Context) -> Reply:
    shown = [_named(event, ctx) for event in mine]
    event = NewEvent("undone", ctx.today, words=request.text, refs=tuple(e.seq for e in mine))
    again = tuple(f"It says again: {text}." for e in mine if e.kind == "corrected" for text in _as_before(e, ctx))
    if len(shown) == 2:
        return _taken_back(f"{shown[0]}; and {shown[1]}", again, event, mine)
    lines = tuple(sentence(text) for text in shown[1:6])
    more = (f"And {len(shown) - 6} more.",) if len(shown) > 6 else ()
    return _taken_back(shown[0], (*lines, *more, *again), event, mine)


def _as_before(change: Event, ctx: Context) -> list[str]:
    """Return how the records that a change is of stand without it."""
    said = []
    for first in (e for e in ctx.plot.written if e.seq in change.refs):
        for other in (e for e in ctx.plot.written if e.kind == "corrected" and first.seq in e.refs and e.seq != change.seq):
            first = corrected(first, other.data.get("changes", {}))
        said.append(told(first, ctx))
    return said


def whole_day(text: str, before: Request | None, facts: Facts) -> Request | None:
    """Return the request that "all of it" is right after something was taken back; None for anything else."""
    if before is None or before.intent != "undo" or not facts.asking.records.the_lot.fullmatch(text.strip()):
        return None
    return before.with_(text=text, flags=frozenset({_THE_DAY}))


def _the_day(request: Request, ctx: Context) -> Reply:
    """Take back all this person wrote down today, once they have said yes to it."""
    mine = [e for e in ctx.plot.written if e.author == ctx.author and e.kind not in _NOBODYS
            and e.at is not None and e.at.astimezone(ctx.now.tzinfo).date() == ctx.today]
    if not mine:
        return Reply("You wrote nothing more down today, so there is nothing to take back.")
    shown = [told(event, ctx) for event in mine]
    if "yes" not in request.flags or not asked_before(ctx, "undo"):
        few = "; ".join(shown[:3]) + (f"; and {len(shown) - 3} more" if len(shown) > 3 else "")
        return ask(f"Take back all you wrote down today: {few}?", [("Yes, take it back", "yes"), ("No", "no")],
                   waiting=request.with_(flags=request.flags | {_THE_DAY}), wants="choice")
    event = NewEvent("undone", ctx.today, words=request.text, refs=tuple(e.seq for e in mine))
    return _taken_back(f"all you wrote down today, {len(mine)} entries" if len(mine) > 1 else shown[0], (), event, mine)


def names_a_record(request: Request, ctx: Context) -> bool:
    """Tell whether what is to go is named: a crop ("undo the courgettes") or a sort of record ("the last picking")."""
    return bool(_crops_named(request) or _sort_named(request, ctx))


def _crops_named(request: Request) -> tuple[str, ...]:
    return () if "crops" in request.inherited else request.crops or request.crop_choices


def _sort_named(request: Request, ctx: Context) -> tuple[str, ...]:
    asked = tuple(request.extra.get("kinds", ()))  # "yes" has no words of its own
    return asked or next((sort.kinds for sort in ctx.facts.asking.records.sorts if sort.says.search(request.text)), ())


def _by_name(request: Request, ctx: Context) -> Reply | None:
    """Take back the newest record that bears the name said; one of an earlier day only once that is confirmed.

    None when nothing is named.
    """
    crops, kinds = _crops_named(request), _sort_named(request, ctx)
    if not crops and not kinds:
        return None
    found = [e for e in _own(ctx, ctx.author) if _bears(e, crops, kinds, ctx)]
    theirs = not found
    found = found or [e for e in _own(ctx, None) if _bears(e, crops, kinds, ctx)]
    if not found:
        named = listing([ctx.say.crop(crop) for crop in crops[:3]], "or") or "that sort"
        last = last_message(ctx, ctx.author)
        lines = (f"The last is: {_named(last[-1], ctx)}.",) if last else ()
        choices = (Choice("Take that back", "undo"),) if last else ()
        return Reply(f"I have no record of {named}, so I took nothing back.", lines=lines, choices=choices)
    mine = [e for e in found if e.message == found[-1].message]
    old = mine[-1].day < ctx.today and mine[-1].message != last_message(ctx, mine[-1].author)[-1].message
    if (theirs or old) and not ("yes" in request.flags and asked_before(ctx, "undo")):
        by = f", by {ctx.plot.extra.get('names', {}).get(mine[-1].author, mine[-1].author)}" if theirs else ""
        return ask(
            f"The last of those{by}: {listing([_named(event, ctx) for event in mine[:3]])}. Take that back?",
            [("Yes, take it back", "yes"), ("No", "no")],
            waiting=request.with_(intent="undo", extra={**request.extra, "kinds": kinds}),
            wants="choice",
        )
    return _undone(mine, request, ctx)


def _bears(event: Event, crops: tuple[str, ...], kinds: tuple[str, ...], ctx: Context) -> bool:
    """Tell whether a record, or the one a change is of, is of a crop and a kind."""
    now = next((e for e in ctx.plot.journal if event.kind == "corrected" and e.seq in event.refs), event)
    return (not crops or now.crop in crops) and (not kinds or now.kind in kinds)


def _put_back(request: Request, ctx: Context) -> Reply:
    """Bring back what was just taken back. The undo is the newest event, unless someone else wrote since."""
    last = ctx.memory.reply
    gone = last.data.get("undo", {}).get("rows", ()) if last is not None else ()
    if not gone or ctx.plot.last_seq in {e.seq for e in ctx.plot.written}:
        return Reply("There is nothing to put back. Tell me again what you did, and I'll write it down.")
    event = NewEvent("undone", ctx.today, words=request.text, refs=(ctx.plot.last_seq,))
    what = "It is" if len(gone) == 1 else f"All {len(gone)} are"
    return Reply(f"{what} back on record.", events=(event,), choices=(Choice("Undo", "undo"),))


def _asked_to_record(ctx: Context) -> bool:
    """Tell whether the last reply asks for what a record still lacks: "undo" then drops that, and no older record."""
    last = ctx.memory.reply
    waiting = last.waiting if last is not None else None
    return waiting is not None and waiting.intent.startswith("log_") and last is not None and not last.data


def _taken_back(what: str, lines: tuple[str, ...], event: NewEvent, mine: list[Event]) -> Reply:
    return Reply(
        f"Taken back: {what}.", lines=lines, events=(event,), data={"undo": {"rows": [e.as_json() for e in mine]}}
    )


def last_message(ctx: Context, author: str | None) -> list[Event]:
    """Return the live records of the newest message, of one author when given, in the order written."""
    told_by = _own(ctx, author)
    if not told_by:
        return []
    return [e for e in told_by if e.message == told_by[-1].message]


def _own(ctx: Context, author: str | None) -> list[Event]:
    """Return the live records someone wrote (anyone, without an author), oldest first."""
    return [
        e
        for e in ctx.plot.written
        if (author is None or e.author == author) and e.author != "riddle" and e.kind not in _NOBODYS
    ]


def _named(event: Event, ctx: Context) -> str:
    if event.kind == "corrected":
        return _change_said(event, ctx)
    return f'the note "{event.words}"' if event.kind == "noted" else told(event, ctx)


def _change_said(event: Event, ctx: Context) -> str:
    target = next((e for e in ctx.plot.journal if event.refs and e.seq == event.refs[0]), None)
    return f"the change to: {told(target, ctx)}" if target else "a change"


@answers("log_note")
def log_note(request: Request, ctx: Context) -> Reply:
    """Keep a free note, against the bed or crop it names; measured rain and new seed are kept as what they are."""
    known = rain_record(request, ctx) or (seed_record(request, ctx) if request.crops else None)
    if known is not None:
        return known
    day = day_of(request, ctx) if request.when is not None and request.when.start <= ctx.today else ctx.today
    if isinstance(day, Reply):
        return day
    text = ctx.facts.asking.records.note_end.sub("", note_text(request.text, ctx.facts.asking.records.note_lead))
    if not re.search(r"\w", text):
        return ask(
            "What shall I note?", waiting=request, wants="note", lines=('For example: "note: first swallows today".',)
        )
    event = NewEvent("noted", day, crop=request.crop, bed=request.bed, words=text)
    about = bed_said(request.bed, ctx) if request.bed else ctx.say.crop(request.crop) if request.crop else ""
    shown = text if len(text) <= 200 else text[:197] + "…"
    lines = ('I ring for timers only; ask "show my notes" to see it again.',) if ctx.facts.asking.records.remind.search(request.text) else ()
    return Reply(
        sentence(f"noted{' with ' + about if about else ''}: {shown}"),
        lines=lines,
        events=(event,),
        data={"log_note": {"rows": [event.as_json()]}},
    )


def note_text(text: str, lead: re.Pattern[str]) -> str:
    """Return a message without the words that only say it is a note: "note: the gate hinge is loose"."""
    return lead.sub("", text, count=1).strip(" ,;\n") or text.strip(" ,;\n") * (not lead.match(text))
