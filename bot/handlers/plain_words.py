"""What no intent is of, but words say plainly: told apart before the handlers of the intents are asked.

Most handlers here are loaded where their words are met: the first word of the bot comes sooner without them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.growing.need_words import crop_said
from bot.growing.need_words import topic_of as need_of
from bot.growing.need_words import unplaced as needed
from bot.handlers.aftercare import aftercare_reply
from bot.handlers.context import Context, Memory
from bot.handlers.renewing import renewal_reply
from bot.handlers.training import training_reply
from bot.reply import Reply
from bot.request import Request
from bot.tending.support_words import topic_of
from bot.tending.support_words import unplaced as supported

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.understanding import Reading


def unplaced(text: str, reading: Reading, facts: Facts, memory: Memory) -> Request | None:
    """Return the request of words that no intent is of, where the reader was unsure or knew nothing; else None."""
    if reading.asked is None and any(request.intent != "none" for request in reading.requests):
        return None
    if facts.asking.ground.green_manure.search(text):
        return Request("lime_feed", text=text)
    if facts.asking.tending.pinching.search(text) and (crop := crop_said(text, facts)) is not None:
        return as_named(Request("prune", text=text, crops=(crop,)), reading)
    found = supported(text, facts, memory.requests) or needed(text, facts)
    return None if found is None else as_named(found, reading)


def as_named(found: Request, reading: Reading) -> Request:
    """Return a request told by its words with all that the message names, where the reader was unsure only of what it asks."""
    if reading.requests or reading.unsure is None:
        return found
    named = reading.unsure.with_(intent=found.intent, text=found.text, confidence=found.confidence)
    return named.with_(crops=found.crops, inherited=found.inherited) if found.crops else named


def by_words(request: Request, context: Context) -> Reply | None:
    """Answer what no intent is of but the words of a request say plainly, whatever it was read as; else None."""
    said = renewal_reply(request, context) or training_reply(request, context) or aftercare_reply(request, context) or _by_patterns(request, context)
    if said is not None:
        return said
    before = context.memory.reply.data if context.memory.reply is not None else {}
    if "support" in before or topic_of(request, context.facts) is not None:
        from bot.handlers.supports import support_reply

        propped = support_reply(request, context)
        if propped is not None:
            return propped
    if need_of(request, context.facts, before.get("needs", {}).get("topic")) is None:
        return None
    from bot.handlers.needs import needs_reply

    return needs_reply(request, context)


def _by_patterns(request: Request, context: Context) -> Reply | None:
    """Answer a request whose words are of a topic of their own."""
    asks = context.facts.asking
    known = None
    if asks.records.lessons.search(request.text):
        from bot.handlers.lessons import lessons_reply

        known = lessons_reply(request, context)
    if known is None and (asks.ground.green_manure.search(request.text) or asks.ground.dug_in.search(request.text)):
        from bot.handlers.green_manures import green_manure_reply

        known = green_manure_reply(request, context)
    return known
