"""What the parts of one message share: the beds it adds, its buttons, and one reply made of all."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bot.plot.state import Plot
from bot.reply import Reply
from bot.request import POINTS_TO_NEW_BED, Request

if TYPE_CHECKING:
    from bot.facts import Facts

#: Names of beds shorter than this are no words of their own.
_SHORT_NAME = 3


def alike(one: Request, other: Request) -> bool:
    """Tell whether two requests of one message may be of the same crop."""
    return not (one.crops and other.crops) or bool(set(one.crops) & set(other.crops))


def says_no_more(request: Request, earlier: Sequence[Request]) -> bool:
    """Tell whether a record is one that the same words were read as before, with less: "80 cloves of garlic" is not garlic twice."""
    return request.intent.startswith("log_") and not request.quantities and any(
        other.quantities and replace(request, quantities=other.quantities, alternatives=other.alternatives, confidence=other.confidence, extra=other.extra) == other
        for other in earlier
    )


def told_apart(requests: Sequence[Request], facts: Facts) -> list[Request]:
    """Return the requests of a message, a picking in one breath with what was put up of it as the two records it tells: "picked the plums, bottled 6 jars".

    The jars or bags told after the word for the keeping are of what was put up. What names no crop itself is put up of the crop picked before it.
    """
    apart: list[Request] = []
    for request in requests:
        life = next((life for life in facts.preserving.lives if life.product == request.product), None) if request.intent == "log_harvest" else None
        put_up = tuple(q for q in request.quantities if life and q.unit == life.unit and re.search(rf"\b{life.past}\b.*{re.escape(q.words)}", request.text, re.IGNORECASE | re.DOTALL))
        picked = request.with_(product=None, quantities=tuple(q for q in request.quantities if q not in put_up)) if put_up else request
        if request.crops or not put_up:
            apart.append(picked)
        if put_up:
            before = next((r.crops for r in reversed(apart) if r.intent == "log_harvest"), ())
            apart.append(request.with_(intent="log_preserve", crops=request.crops or before, quantities=put_up, beds=(), alternatives=()))
    return apart


def of_new_beds(request: Request, live: Plot, added: list[str]) -> Request:
    """Return a request with the bed that its own message has just added: by its name, or as the one that "it" or "there" points to."""
    if not added or request.beds:
        return request
    if request.unknown_bed:
        said = request.unknown_bed.casefold()
        named = [bed for bed in added if said in (name.casefold() for name in (live.beds[bed].name, *live.beds[bed].nicknames))]
        return request.with_(beds=(named[0],), unknown_bed=None) if named else request
    # A bed of one letter is meant by its capital only: "sowed peas in A".
    short = [bed for bed in added for name in live.beds[bed].nicknames if len(name) < _SHORT_NAME and re.search(rf"\b(?:in|into|to|of|for) {re.escape(name)}\b", request.text)]
    roofed = [bed for bed in added if request.cover is not None and live.beds[bed].cover == request.cover]
    if short or roofed:
        return request.with_(beds=((short or roofed)[0],))
    return request.with_(beds=(added[-1],)) if POINTS_TO_NEW_BED in request.flags else request


def said_once(replies: list[Reply]) -> list[Reply]:
    """Return the replies of one message, each button once, and a record without what a reply after it says again, word for word."""
    kept: list[Reply] = []
    for n, reply in enumerate(replies):
        later = {line for other in replies[n + 1:] for line in other.lines} if reply.events else set()
        before = {choice for other in kept for choice in other.choices}
        kept.append(replace(reply, lines=tuple(line for line in reply.lines if line not in later),
                            choices=tuple(choice for choice in reply.choices if choice not in before)))
    return kept


def with_new_bed(request: Request, reply: Reply) -> Request:
    """Return the request as later turns see it: "it" after a bed was added is that bed."""
    bed = next((event.bed for event in reply.events if event.kind == "bed_added" and event.bed), None)
    return request.with_(beds=(bed,)) if bed and not request.beds else request


def merge(replies: Sequence[Reply]) -> Reply:
    """Join the replies of one message into one, for follow-ups, `--json` and remembering."""
    first = replies[0]
    if len(replies) == 1:
        return first
    data: dict[str, Any] = {}
    for reply in replies:
        data |= reply.data
    return first.with_(
        cautions=_chain(r.cautions for r in replies),
        working=_chain(r.working for r in replies),
        more=_chain(r.more for r in replies),
        sources=_chain(r.sources for r in replies),
        choices=tuple(dict.fromkeys(c for r in replies for c in r.choices)),
        picture=next((r.picture for r in replies if r.picture), None),
        draw=next((r.draw for r in replies if r.draw), None),
        effects=_chain(r.effects for r in replies),
        events=tuple(e for r in replies for e in r.events),
        waiting=next((r.waiting for r in replies if r.waiting), None),
        wants=next((r.wants for r in replies if r.wants), None),
        data=data,
    )


def _chain(parts: Any) -> tuple[str, ...]:
    return tuple(dict.fromkeys(item for part in parts for item in part))
