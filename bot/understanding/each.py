"""Read an amount that is said once for each thing of a list: "leeks and kale, 12 of each", "2 rows apiece"."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from bot.request import POINTS_TO_NEW_BED, Request
from bot.understanding.found import Sheet

if TYPE_CHECKING:
    from bot.understanding.lexicon import Lexicon
    from bot.understanding.reader import Clause, Understander

def said_of_each(sheet: Sheet, start: int, end: int, lexicon: Lexicon) -> bool:
    """Tell whether a stretch says "each" or "apiece" of the things it names."""
    for i in range(start, end):
        ends = i + 1 >= end or sheet.tokens[i + 1].kind == "mark" or sheet.word(i + 1) in lexicon.beside["after_each"]
        if sheet.word(i) == "apiece" or (sheet.word(i) == "each" and (ends or sheet.at(i + 1, "crop", "date") is not None)):
            return True
    return False


def repeated(request: Request) -> Request:
    """Return a record of several crops with its one amount once for each of them."""
    return request.with_(quantities=request.quantities * len(request.crops))


def handed_back(requests: list[Request], records: Collection[str]) -> list[Request]:
    """Give an amount said of each thing to those before it in the message too: "sowed leeks, and kale in trays, one of each"."""
    told, lacking = requests[-1], []
    for request in reversed(requests[:-1]):
        if request.intent != told.intent or request.quantities or not request.crops:
            break
        lacking.append(request)
    if told.intent not in records or not told.quantities or not lacking:
        return requests
    whole = requests[:len(requests) - 1 - len(lacking)]
    return [*whole, *(r.with_(quantities=told.quantities[:1], method=r.method or told.method, beds=r.beds or told.beds) for r in reversed(lacking)), told]


#: Marks after which what is said is of its own.
_ENDS = frozenset((".", ";", "!", "?", "\n"))


def said_last(requests: list[Request], parts: list[Clause], sheet: Sheet, reader: Understander) -> list[Request]:
    """Give the day and bed that end a list, or the bed that opens it, to all of it: "two lettuces and a bunch of onions picked from the frame yesterday".

    `parts` are the clauses of the requests. Only where one deed is told of all of them, and in one sentence.
    """
    doing = reader.lexicon.told | reader.lexicon.beside["also_told"]
    first = len(requests) - 1
    for last in range(len(requests) - 1, 0, -1):
        told = requests[last]
        if reader.intents[told.intent].kind != "record" or (last + 1 < len(requests) and requests[last + 1].intent == told.intent):
            continue
        first = last
        while first and requests[first - 1].intent == told.intent and requests[first - 1].crops and not _apart(sheet, parts[first - 1], parts[last], doing):
            first -= 1
        bedless = "beds" not in told.inherited and not any(r.beds or r.unknown_bed for r in requests[first:last])
        for n in range(first, last):
            flags = requests[n].flags | (told.flags & {POINTS_TO_NEW_BED} if bedless else set())
            requests[n] = requests[n].with_(when=requests[n].when or told.when, beds=told.beds if bedless else requests[n].beds, flags=flags)
        opens = [f for f in sheet.found if f.kind == "bed" and parts[first].start <= f.start < parts[first].end]
        named = next((f.start for f in sheet.found_in_order() if f.kind in ("crop", "variety") and f.start >= parts[first].start), 0)
        if len(opens) == 1 and opens[0].start < named and not any(r.beds or r.unknown_bed for r in requests[first + 1:last + 1] if r.beds != requests[first].beds):
            for n in range(first + 1, last + 1):  # "sown in bed 4: a row of dill, two of coriander"
                requests[n] = requests[n].with_(beds=requests[first].beds)
    return requests


def _apart(sheet: Sheet, first: Clause, last: Clause, doing: Collection[str]) -> bool:
    """Tell whether clauses tell of more than one deed, or stand in sentences of their own."""
    inside = range(first.start, last.end)
    deeds = sum(sheet.word(i) in doing and sheet.at(i, "crop", "bed") is None for i in inside)
    return deeds > 1 or any(sheet.word(i) in _ENDS for i in range(first.start, last.start))
