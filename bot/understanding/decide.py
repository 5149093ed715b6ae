"""Decide what to do with a reading: act, ask one short question, or decline."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.handlers.context import Memory
from bot.reply import ask
from bot.request import Request
from bot.understanding.found import Sheet
from bot.understanding.shapes import Reading

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander


def decide(reader: Understander, requests: list[Request], parts: list[Clause], sheet: Sheet, memory: Memory, explain: tuple[str, ...]) -> Reading:
    """Return the reading of a message's requests.

    Requests sure enough are acted on; a message whose only request is between the thresholds is asked
    about with two or three choices; below, it is none of the garden's business.
    """
    kept: list[Request] = []
    for request in requests:
        if kept and request.intent == "none":
            continue
        kept.append(request)
    kept = [r for r in kept if r.intent != "none"] or kept[:1]
    return Reading(tuple(kept), explain=explain)


__all__ = ["ask", "decide"]
