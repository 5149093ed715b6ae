"""Which of the frosts on record a question means: the first of autumn, the last of spring."""

from __future__ import annotations

from collections.abc import Sequence

from bot.handlers.context import Context
from bot.plot.events import Event
from bot.request import Request


def frosts_meant(found: Sequence[Event], request: Request, ctx: Context) -> tuple[list[Event], str]:
    """Keep the frosts of the half of the year asked about, oldest first, and return what they are called.

    The first frost is autumn's, the last frost of a year is spring's: the halves part at the turn of July in the
    north and of January in the south (common practice, no source). Without a year the newest autumn is meant.
    """
    words = ctx.facts.asking.cold
    place = ctx.plot.settings.place
    southern = place is not None and place.lat < 0
    autumn = [e for e in found if (e.day.month < 7) == southern]
    if words.first.search(request.text):
        year = autumn[-1].day.year if autumn and request.when is None else None
        return [e for e in autumn if year in (None, e.day.year)], "an autumn frost"
    if words.last.search(request.text) and request.when is not None and not words.autumn.search(request.text):
        return [e for e in found if e not in autumn], "a spring frost"
    return list(found), "a frost"
