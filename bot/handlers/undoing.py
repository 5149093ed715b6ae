"""Take back or change the last record, and keep free notes."""

from __future__ import annotations

import re

from bot.handlers import answers
from bot.handlers.checking import asked_before, day_of, declined
from bot.handlers.context import Context
from bot.handlers.naming import bed_said
from bot.handlers.rain_records import rain_record
from bot.handlers.seed_records import seed_record
from bot.handlers.telling import sentence, told
from bot.plot.events import Event, NewEvent
from bot.reply import Reply, ask
from bot.request import Request
from bot.wording import listing

#: What a clock or the bot itself writes is no one's to take back.
_NOBODYS = frozenset({"timer_rung"})
#: A day's records are asked about before they go: "undo everything from today", or "all of it" after one was.
_ALL = re.compile(r"\b(?:everything|all (?:of|from) today|the whole day)\b", re.IGNORECASE)
_THE_LOT = re.compile(r"(?:no,? )?(?:all|all of (?:it|them|today)|everything|the (?:whole )?lot)[.!]*", re.IGNORECASE)
_THE_DAY = "day"
_REMIND = re.compile(r"\b(?:remind me|don'?t let me forget|remember to)\b", re.IGNORECASE)
_NOTE_LEAD = re.compile(
    r"^\s*(?:please\s+)?(?:"
    r"(?:make|add|take|leave|keep|write)\s+(?:me\s+)?(?:a\s+|one\s+)?(?:wee\s+|quick\s+)?note(?:\s+to self)?"
    r"(?:\s+(?:of|to|that|about|on|for))?"
    r"|(?:put|write|log|enter)\s+(?:this\s+|it\s+)?(?:down\s+)?in the (?:log|diary|record|notes?|book)(?:\s+that)?"
    r"|note(?:\s+(?:to self|that|this|down))?"
    r"|for the (?:diary|record|log)"
    r"|(?:write|put|jot)\s+(?:this\s+)?down(?:\s+that)?"
    r"|remember(?:\s+that)?"
    r"|remind me(?:\s+(?:to|that|about|of))?"
    r"|don'?t let me forget(?:\s+(?:to|that|about))?"
    r")\b\s*[:,-]?\s*",
    re.IGNORECASE,
)


@answers("undo")
def undo(request: Request, ctx: Context) -> Reply:
    """Take back everything the last message of this person wrote; someone else's only when asked."""
    no = declined(request, ctx, "All right, it stays.")
    if no:
        return no
    if _asked_to_record(ctx):
        return Reply("All right, I recorded nothing.")
    if _THE_DAY in request.flags or _ALL.search(request.text):
        return _the_day(request, ctx)
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
    shown = [_named(event, ctx) for event in mine]
    event = NewEvent("undone", ctx.today, words=request.text, refs=tuple(e.seq for e in mine))
    if len(shown) == 2:
        return _taken_back(f"{shown[0]}; and {shown[1]}", (), event, mine)
    lines = tuple(sentence(text) for text in shown[1:6])
    more = (f"And {len(shown) - 6} more.",) if len(shown) > 6 else ()
    return _taken_back(shown[0], (*lines, *more), event, mine)


def whole_day(text: str, before: Request | None) -> Request | None:
    """Return the request that "all of it" is right after something was taken back; None for anything else."""
    if before is None or before.intent != "undo" or not _THE_LOT.fullmatch(text.strip()):
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


@answers("log_note")
def log_note(request: Request, ctx: Context) -> Reply:
    """Keep a free note, against the bed or crop it names; measured rain and new seed are kept as what they are."""
    known = rain_record(request, ctx) or (seed_record(request, ctx) if request.crops else None)
    if known is not None:
        return known
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
    lines = ('I ring for timers only; ask "show my notes" to see it again.',) if _REMIND.search(request.text) else ()
    return Reply(
        sentence(f"noted{' with ' + about if about else ''}: {shown}"),
        lines=lines,
        events=(event,),
        data={"log_note": {"rows": [event.as_json()]}},
    )


def note_text(text: str) -> str:
    """Return a message without the words that only say it is a note.

    >>> note_text("note: the gate hinge is loose"), note_text("make a note that the leeks look poor")
    ('the gate hinge is loose', 'the leeks look poor')
    """
    return _NOTE_LEAD.sub("", text, count=1).strip() or text.strip() * (not _NOTE_LEAD.match(text))
