"""One turn of talk: a message in, replies and events out, with what the next turn needs to remember.

Pure: the plot, facts, season, day and memory come in, a `Turn` goes out. The caller records
`Turn.events`, stores `Turn.memory` and sends `Turn.replies` in one transaction.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, Protocol

from bot.american import in_american
from bot.handlers import handler_for
from bot.handlers.beyond import with_doubt, without_stations
from bot.handlers.context import Context, Memory
from bot.handlers.plain_words import as_named, by_words, unplaced
from bot.plot.events import Event, NewEvent
from bot.plot.state import Plot
from bot.preserving.commands import kitchen_request
from bot.reply import Reply, plain_text
from bot.request import Request
from bot.same_message import alike, merge, of_new_beds, said_once, says_no_more, told_apart, with_new_bed
from bot.season.place import gazetteer
from bot.wording import Wording

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.season import Season
    from bot.understanding import PlotNames, Reading

log = logging.getLogger(__name__)
STUMBLED = "I stumbled over that one and recorded nothing of it. Try it in other words, please."
TOO_LONG = "That is too long for me to read in one go, so I recorded nothing. Send it in a few shorter pieces."
#: Characters of a message that are still read: what the chat services let through in one piece.
LONGEST = 4096
#: Products that are still the crop itself: "the squash" in store is no chutney.
AS_GROWN = ("stored", "frozen")
#: Requests kept for follow-ups; older ones have faded.
REMEMBERED = 6


class Reader(Protocol):
    """What turns words into requests."""

    def read(self, text: str, names: PlotNames, memory: Memory, today: date, place_region: str = "GB") -> Reading:
        """Understand one message."""
        ...


@dataclass(frozen=True)
class Turn:
    """What one message led to. `events` are in order and not yet recorded."""

    message: str
    requests: tuple[Request, ...]
    replies: tuple[Reply, ...]
    memory: Memory
    events: tuple[NewEvent, ...] = ()
    explain: tuple[str, ...] = ()
    data: dict[str, Any] = field(default_factory=dict)

    @property
    def headline(self) -> str:
        """Return the first answer's first line."""
        return self.replies[0].headline

    @property
    def text(self) -> str:
        """Return everything that is said, as plain text."""
        return "\n\n".join(plain_text(reply) for reply in self.replies)

    def as_json(self, conversation: int, number: int) -> dict[str, Any]:
        """Return the object `riddle ask --json` prints for this turn."""
        merged = merge(self.replies)
        return {
            "conversation": conversation,
            "turn": number,
            "message": self.message,
            "requests": [request.as_json() for request in self.requests],
            "headline": self.headline,
            "text": self.text,
            "cautions": list(merged.cautions),
            "sources": list(merged.sources),
            "working": list(merged.working),
            "choices": [choice.label for choice in merged.choices],
            "picture": str(merged.picture) if merged.picture else None,
            "recorded": [event.as_json() for event in self.events],
            "data": merged.data,
        }


class Alarm(Protocol):
    """What answers poisoning and illness before anything else."""

    def __call__(self, text: str, *, after: Reply | None = None, zone: str | None = None) -> Reply | None:
        """Return the emergency reply to a message, given the reply before it and the plot's time zone, or None."""
        ...


@dataclass(frozen=True)
class House:
    """What every turn needs and no turn changes: facts, the reader, and how to get a season for a plot."""

    facts: Facts
    reader: Reader
    season_of: Callable[[Plot], Season | None]
    alarm: Alarm


#: Folds provisional events on top of what is recorded.
Preview = Callable[[Sequence[Event]], Plot]


@dataclass(frozen=True)
class Moment:
    """Who speaks, when, and under which message id their records are kept. `today` is the plot's local day."""

    author: str
    now: datetime
    today: date
    message: str = ""


def take_turn(house: House, plot: Plot, preview: Preview, memory: Memory, text: str, moment: Moment,
              given: tuple[Request, ...] = ()) -> Turn:
    """Answer one message.

    `preview` folds events not yet recorded on top of the plot, so that the second statement of a
    message sees what the first one wrote. `given` requests (a shared location) need no reading.
    """
    if given:
        return _answer(house, plot, preview, memory, text, moment, given)
    place = plot.settings.place
    alarm = house.alarm(text, after=memory.reply, zone=place.tz if place else None)
    if alarm is not None:
        return _alarmed(alarm, house, plot, preview, memory, text, moment)
    if len(text) > LONGEST:
        request, reply = Request("none", text=text[:200]), Reply(TOO_LONG)
        return Turn(text, (request,), (reply,), _remember(memory, (request,), (reply,), moment.now))
    reading = _reading(house, plot, memory, moment)(text)
    return _minding(_answered(house, plot, preview, memory, text, moment, reading), reading, house, plot, memory, moment)


def _alarmed(alarm: Reply, house: House, plot: Plot, preview: Preview, memory: Memory, text: str, moment: Moment) -> Turn:
    """Return what words of harm are answered with: an alarm alone, a matter of safety before what else the message tells and asks."""
    from bot.handlers.dangers import LEFT, by_words, left_over, safely_told, with_left

    request = Request("none", text=text, flags=frozenset({"alarm"}))
    rest: list[Request] = []
    try:
        read = _reading(house, plot, memory, moment)
        if "alarm" in alarm.data:
            alarm = with_left(alarm, text[:LONGEST], lambda words: read(words).requests)
        else:
            left = left_over(read(text[:LONGEST]).requests, by_words)
            rest = safely_told(left)
            if not rest and any(request.intent.startswith("log_") for request in left):
                alarm = alarm.with_(lines=(*alarm.lines, LEFT))
    except Exception:  # whatever ails the reading, the alarm is said
        log.exception("reading what stands beside an alarm failed on %r", text)
    if not rest:
        return Turn(text, (request,), (alarm,), _remember(memory, (request,), (alarm,), moment.now))
    turn = _answer(house, plot, preview, memory, text, moment, rest)
    requests, replies = (request, *turn.requests), (alarm, *turn.replies)
    return replace(turn, requests=requests, replies=replies, memory=_remember(memory, requests, replies, moment.now))


def _reading(house: House, plot: Plot, memory: Memory, moment: Moment) -> Callable[[str], Reading]:
    """Return how words said on this plot now are read."""
    return lambda words: house.reader.read(words, plot_names(plot), memory, moment.today, _region(plot))


def _minding(turn: Turn, reading: Reading, house: House, plot: Plot, memory: Memory, moment: Moment) -> Turn:
    """Return the turn with what is to be said of the danger its message tells of or names in passing; an alarm records nothing."""
    from bot.handlers.dangers import minding, with_left

    replies, first = minding(reading.hurts, reading.surely, turn.message, turn.replies, turn.requests, _context(house, plot, memory, moment))
    if not first:
        return replace(turn, replies=replies)
    events, requests = turn.events, turn.requests
    if "alarm" in replies[0].data:
        read = _reading(house, plot, memory, moment)
        replies = (with_left(replies[0], turn.message, lambda words: read(words).requests, lambda words: bool(read(words).hurts)),)
        events, requests = (), (Request("none", text=turn.message, flags=frozenset({"alarm"})),)
    return replace(turn, requests=requests, replies=replies, events=events, memory=_remember(memory, requests, replies, moment.now))


def _answered(house: House, plot: Plot, preview: Preview, memory: Memory, text: str, moment: Moment, reading: Reading) -> Turn:
    """Answer one message that is no alarm by its words."""
    before = memory.requests[-1] if memory.requests else None
    kitchen = kitchen_request(text, reading.requests, house.facts, before)
    if kitchen is not None:
        return _answer(house, plot, preview, memory, text, moment, (as_named(kitchen, reading),), tuple(reading.explain))
    the_day = _whole_day(text, before, house.facts)
    if the_day is not None:
        return _answer(house, plot, preview, memory, text, moment, (the_day,), tuple(reading.explain))
    placed = None if plot.settings.place else _placed(text, reading, plot, house, memory)
    if placed is not None:
        return _answer(house, plot, preview, memory, text, moment, placed, tuple(reading.explain))
    own = unplaced(text, reading, house.facts, memory)
    if own is not None:
        return _answer(house, plot, preview, memory, text, moment, (own,), tuple(reading.explain))
    if reading.asked is not None:
        asked = (reading.asked,)
        return Turn(text, reading.requests, asked, _remember(memory, reading.requests, asked, moment.now),
                    explain=tuple(reading.explain))
    return _answer(house, plot, preview, memory, text, moment, reading.requests, tuple(reading.explain))


def _whole_day(text: str, before: Request | None, facts: Facts) -> Request | None:
    """Return the request of "all of it" after an undo, else None."""
    if before is None or before.intent != "undo":
        return None
    from bot.handlers.undoing import whole_day

    return whole_day(text, before, facts)


def _placed(text: str, reading: Reading, plot: Plot, house: House, memory: Memory) -> list[Request] | None:
    """Return the requests of a message that names the place of a plot without one, else None."""
    from bot.handlers.place import place_request  # its list of towns is needed for the first few messages alone

    return place_request(text, reading.requests, plot, house.facts, memory.reply)


def take_photo(house: House, plot: Plot, preview: Preview, memory: Memory, caption: str, file_id: str,
               moment: Moment) -> Turn:
    """Keep a photo against the bed or crop its caption names, and answer what else the caption says."""
    if not caption.strip():
        reply = Reply("Send the photo again with a caption naming the bed or the crop, and I'll keep it there.")
        return Turn("", (), (reply,), _remember(memory, (), (reply,), moment.now))
    turn = take_turn(house, plot, preview, memory, caption, moment)
    crop = next((r.crop for r in turn.requests if r.crop), None)
    bed = next((r.bed for r in turn.requests if r.bed), None)
    event = NewEvent("photo", moment.today, crop=crop, bed=bed, words=caption, data={"file_id": file_id})
    say = _wording(house, plot)
    where = plot.beds[bed].name if bed in plot.beds else say.crop(crop) if crop else "the plot's notes"
    kept = f"Photo kept with {where}."
    # A caption that is no question or statement of its own ("the arch bed") needs only the one line.
    spoken = any(r.intent not in ("none", "plot", "crop_info") for r in turn.requests)
    replies = (*turn.replies, Reply(kept)) if spoken else (Reply(kept),)
    return replace(turn, replies=replies, events=(*turn.events, event))


def _answer(house: House, plot: Plot, preview: Preview, memory: Memory, text: str, moment: Moment,
            requests: Sequence[Request], explain: tuple[str, ...] = ()) -> Turn:
    replies: list[Reply] = []
    events: list[NewEvent] = []
    live, answered = plot, list[Request]()
    requests = told_apart(requests, house.facts)
    for request in requests:
        request = of_new_beds(request, live, [event.bed for event in events if event.kind == "bed_added" and event.bed])
        if says_no_more(request, answered):
            continue
        # "How far apart, and says who?" asks for the sources of what was just answered.
        known = replace(memory, reply=merge(replies)) if replies and request.intent == "why" else memory
        context = _context(house, live, known, moment)
        # A clause may have lost words that bear on safety ("… with half the vinegar"): the whole message goes along.
        beside = tuple(other.intent for other in requests if other.intent != request.intent and alike(request, other))
        cleared = answered[-1].crops if answered and answered[-1].intent == "log_clear" else ()
        reply = _handled(request.with_(extra={**request.extra, "message": text, "beside": beside, "cleared": list(cleared)}), context)
        reply = replace(reply, choices=tuple(choice for choice in reply.choices if choice.asks not in beside))
        if not reply.events and any(reply.headline == other.headline and set(reply.lines) <= set(other.lines) for other in replies):
            continue  # asked twice in one breath
        answered.append(request)
        replies.append(reply)
        if reply.events:
            events += reply.events
            live = preview([_provisional(event, plot.last_seq + n, moment) for n, event in enumerate(events, 1)])
    requests, replies = answered, said_once(replies)
    # What was put right where there was nothing to put right is no turn to lean on.
    remembered = [with_new_bed(request, reply) for request, reply in zip(requests, replies, strict=True)
                  if request.intent != "correct_last" or reply.events or reply.waiting or reply.choices]
    return Turn(text, tuple(requests), tuple(replies), _remember(memory, remembered, replies, moment.now),
                tuple(events), explain)


def _context(house: House, plot: Plot, memory: Memory, moment: Moment) -> Context:
    """Return what a handler is given besides the request."""
    return Context(
        plot=plot, facts=house.facts, season=house.season_of(plot), today=moment.today, now=moment.now, author=moment.author,
        say=_wording(house, plot), memory=memory,
    )


def _wording(house: House, plot: Plot) -> Wording:
    """Return how figures and names are said on this plot."""
    place = plot.settings.place
    country = gazetteer(house.facts.root).names_of(place.tz) if place else None
    return Wording(plot.settings.units, plot.settings.wording, house.facts, country)


def _handled(request: Request, context: Context) -> Reply:
    """Ask the handler; a fault in it is logged and said calmly, and what else the message tells is still kept."""
    try:
        if "not_done" in request.flags:
            return _meant(request, context)
        told = by_words(request, context) or without_stations(request, context) or handler_for(request.intent)(request, context)
        told = with_doubt(told, request, context)
        spoken = context.say.words == "us" and request.intent != "glossary"  # which tells of the words themselves
        return in_american(told, context.facts) if spoken else told
    except Exception:
        log.exception("the handler of %s failed on %r", request.intent, request.text)
        return Reply(STUMBLED)


def _meant(request: Request, context: Context) -> Reply:
    """Answer what is only meant or wished for: what bears on it, and that nothing is written down."""
    told = "Tell me once it is done, and I'll write it down with its day."
    if request.intent.startswith("log_"):
        return Reply("That is not done, so I recorded nothing.", lines=(told,))
    reply = handler_for(request.intent)(request, context)
    return replace(reply, lines=(*reply.lines, f"Nothing is recorded yet. {told}"))


_NEW_ZEALAND = ("Pacific/Auckland", "Pacific/Chatham")


def _region(plot: Plot) -> str:
    """Return the country whose way of saying days and measures a plot's people use: the seasons are turned south of the equator.

    Canada stands for American measures with days told the day first.
    """
    if plot.settings.wording == "us":
        return "US"
    if plot.settings.units == "us":
        return "CA"
    place = plot.settings.place
    if place is not None and place.tz in _NEW_ZEALAND:
        return "NZ"
    return "AU" if place is not None and place.lat < 0 else "GB"


def plot_names(plot: Plot) -> PlotNames:
    """Return the names a message to this plot may use."""
    from bot.understanding import PlotNames

    return PlotNames(
        beds={bed.id: (bed.name, *bed.nicknames) for bed in plot.beds.values()},
        standing=tuple(dict.fromkeys(p.crop for p in plot.plantings if p.standing)),
        stored=tuple(dict.fromkeys(lot.crop for lot in plot.lots if lot.left > 0 and lot.product in AS_GROWN)),
        people=tuple(plot.extra.get("names", {}).values()),
        growing={bed: tuple(dict.fromkeys(p.crop for p in plot.plantings if p.standing and p.bed == bed)) for bed in plot.beds},
    )


def _provisional(event: NewEvent, seq: int, moment: Moment) -> Event:
    return Event(event.kind, event.day, event.crop, event.variety, event.bed, event.amount, event.unit, event.words,
                 event.refs, event.data, seq=seq, at=moment.now, author=moment.author, message=moment.message)


def _remember(memory: Memory, requests: Sequence[Request], replies: Sequence[Reply], now: datetime) -> Memory:
    """Keep the last requests and the last answer. "why?" and "more" speak of the answer before, so they leave it."""
    merged = merge(replies)
    kept = memory.reply if requests and requests[-1].intent == "why" and memory.reply else merged
    spoken = [r for r in requests if r.intent not in ("why", "thanks", "greeting", "none")]
    # What one message told beside what came before in it is marked, so that "they" can mean all of it.
    spoken = [r.with_(flags=r.flags | {"beside"} if n else r.flags - {"beside"}) for n, r in enumerate(spoken)]
    return Memory(
        requests=(*memory.requests, *spoken)[-REMEMBERED:],
        reply=replace(kept, events=(), picture=None, files=(), draw=None, effects=()),
        shown=tuple(choice.says for choice in merged.choices),
        at=now,
    )
