"""What the parts of one message share: the beds it adds, its buttons, and one reply made of all."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bot.plot.state import Plot
from bot.reply import Reply
from bot.request import POINTS_TO_NEW_BED, Quantity, Request

if TYPE_CHECKING:
    from bot.facts import Facts

#: Ways of telling that something was kept besides its usual word.
_OTHERWISE = {"frozen": ("frozen",), "bottled": ("canned",)}
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
    """Return the requests of a message, what was put up as a record of each way of keeping, beside the picking told in one breath with it.

    "Picked the plums, bottled 6 jars", "froze 3 bags, bottled 2 jars": an amount is of the keeping whose word it follows, or that it names ("2 bags of
    frozen peas"). What names no crop itself is put up of the crop picked before it.
    """
    apart: list[Request] = []
    for request in requests:
        kept = _kept(request, facts) if request.intent in ("log_harvest", "log_preserve") and request.quantities else []
        amounts = tuple(q for _, _, quantities in kept for q in quantities)
        whole = request.intent == "log_preserve" and len(kept) == 1 and len(amounts) == len(request.quantities) and len(_ways(request.text, facts)) == 1
        crops = request.crops or (() if request.crop_choices or request.unknown_crop else next((r.crops for r in reversed(apart) if r.intent == "log_harvest"), ()))
        if not kept or whole:
            apart.append(request.with_(crops=crops) if kept else request)
            continue
        if request.intent == "log_harvest" and request.crops:
            apart.append(request.with_(product=None, quantities=tuple(q for q in request.quantities if q not in amounts)))
        apart += [request.with_(intent="log_preserve", text=text, crops=crops, product=product, quantities=quantities, beds=(), alternatives=())
                  for product, text, quantities in kept]
    return apart


def _words(facts: Facts) -> dict[str, str]:
    """Return the words that tell of something kept, each with its product."""
    return {word: life.product for life in facts.preserving.lives for word in (life.past, *_OTHERWISE.get(life.product, ())) if word != "made"}


def _ways(text: str, facts: Facts) -> set[str]:
    """Return the ways of keeping whose words stand in a text."""
    return {product for word, product in _words(facts).items() if re.search(rf"\b{word}\b", text, re.IGNORECASE)}


def _kept(request: Request, facts: Facts) -> list[tuple[str, str, tuple[Quantity, ...]]]:
    """Return the ways of keeping a request tells of with their amounts: product, the words that tell it, amounts."""
    text, found = request.text, dict[str, tuple[str, tuple[Quantity, ...]]]()
    words = _words(facts)
    any_word = "|".join(words)
    for quantity in request.quantities:
        at = text.find(quantity.words)
        named = re.match(rf"\s+of\s+({any_word})\b", text[at + len(quantity.words):], re.IGNORECASE)
        before = [m for m in re.finditer(rf"(?<!for )(?<!to )(?<!of )\b({any_word})\b", text[:at], re.IGNORECASE)] if at >= 0 else []
        mark = named or (before[-1] if before else None)
        if mark is None:
            continue
        product = words[mark[1].lower()]
        said, amounts = found.get(product, ("", ()))
        part = text[at:at + len(quantity.words)] + named[0] if named else text[before[-1].start():at + len(quantity.words)]
        found[product] = (f"{said} {part}".strip(), (*amounts, quantity))
    return [(product, said, amounts) for product, (said, amounts) in found.items()]


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
