"""Say what can hurt where a message names it in passing, whatever else it tells or asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from bot.facts.loading import load
from bot.facts.tending import FILES
from bot.facts.tending_heap import Hazard
from bot.handlers.context import Context
from bot.handlers.ground_words import hazards, units
from bot.preserving.matching import find, plain
from bot.reply import Reply, plain_text
from bot.request import Request

#: Intents that write something down: a question back about one of them stays asked.
_RECORDS = ("log_", "add_", "set_", "correct_")


@lru_cache(maxsize=4)
def _hazards(root: Path) -> list[Hazard]:
    """Read the hazards that messages may name: every message is looked over, and most need none of the other tables."""
    rows: list[Hazard] = load(root / FILES["hazards"], list[Hazard], root)
    return [row for row in rows if row.named]


def danger_in(text: str, root: Path) -> Hazard | None:
    """Return the first hazard a message names, those said first before those said beside, or None."""
    flat = plain(text[:4000])
    named = (row for row in sorted(_hazards(root), key=lambda row: not row.first)
             if all(find(flat, words) for words in row.named) and not find(flat, row.unless))
    return next(named, None)


def minded(row: Hazard, replies: Sequence[Reply], requests: Sequence[Request], ctx: Context) -> tuple[tuple[Reply, ...], bool]:
    """Return the replies with the caution of a hazard, and whether it is now the answer itself.

    It is where the hazard is to come first, or nothing was known to answer but a question back; what is recorded, or asked beside, stays told.
    Nothing is added to a reply that has said it already.
    """
    caution = hazards([row.id], ctx)[0]
    told = (caution, caution.split(":")[0], *row.told)
    if any(phrase.lower() in plain_text(reply).lower() for reply in replies for phrase in told):
        return tuple(replies), False
    lost = not any(reply.data or reply.events for reply in replies) and not any(r.intent.startswith(_RECORDS) for r in requests)
    if not (row.first or lost):
        last = replies[-1]
        return (*replies[:-1], replace(last, cautions=(*last.cautions, caution), sources=(*last.sources, *row.source))), False
    more = (row.do, f"Get help: {row.help_if}" if row.help_if else "")
    said = Reply(
        caution,
        lines=tuple(f"{units(line, ctx).rstrip('.')}." for line in more if line and line.rstrip(".") not in caution),
        sources=tuple(row.source),
        data={"hazard": row.id},
    )
    return (said, *(reply for reply in replies if reply.events or len(replies) > 1)), True
