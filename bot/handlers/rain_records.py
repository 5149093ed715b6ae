"""Writing down rain that was measured."""

from __future__ import annotations

import re

from bot.handlers.checking import day_of
from bot.handlers.context import Context
from bot.plot.events import NewEvent
from bot.reply import Reply
from bot.request import Request

_RAIN = re.compile(r"\b(?:rain(?:ed|s|fall|ing)?|downpour|shower(?:s|ed)?|thunderstorm|poured)\b", re.I)
#: Millimetres in one day above which a measure is asked again: about what the wettest places know.
MOST_MM = 500.0


def rain_said(mm: float, ctx: Context) -> str:
    """Say a depth of rain: millimetres, or inches on a US plot."""
    return ctx.say.length(mm / 10) if ctx.say.us else f"{mm:g} mm"


def rain_record(request: Request, ctx: Context) -> Reply | None:
    """Return the record of a measured rain ("20 mm of rain last night"), or None when the message tells of none."""
    depth = request.amount("m")
    if depth is None or not _RAIN.search(request.text) or request.beds:
        return None
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    mm = round(depth.value * 1000, 1)
    if not 0 < mm <= MOST_MM:
        return Reply(f"{depth.words} of rain can't be right, so I recorded nothing.",
                     lines=("Send it again with the right amount.",))
    event = NewEvent("rain_seen", day, amount=mm, unit="mm", words=request.text)
    return Reply(f"Noted: {rain_said(mm, ctx)} of rain, {ctx.say.day(day, ctx.today)}.",
                 lines=("I count it against what the beds need this week.",), events=(event,),
                 data={"log_note": {"rows": [event.as_json()]}})
