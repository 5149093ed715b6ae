"""Read an amount that is said once for each thing of a list: "leeks and kale, 12 of each", "2 rows apiece"."""

from __future__ import annotations

from collections.abc import Collection

from bot.request import Request
from bot.understanding.found import Sheet

#: What may follow "each" where it means every one just named; "each bed" and "each week" name something of their own.
_AFTER = frozenset(("", "of", "in", "into", "on", "under", "from", "at", "today", "yesterday", "now", "please", "and", "to", "for", "with"))


def said_of_each(sheet: Sheet, start: int, end: int) -> bool:
    """Tell whether a stretch says "each" or "apiece" of the things it names."""
    for i in range(start, end):
        ends = i + 1 >= end or sheet.tokens[i + 1].kind == "mark" or sheet.word(i + 1) in _AFTER
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
