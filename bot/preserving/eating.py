"""Say what must not be eaten: green potatoes, rhubarb leaves, raw beans, bitter courgettes."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from bot.facts.loading import load
from bot.facts.preserving import FILES, Eating, EatingRow
from bot.preserving.matching import find, plain
from bot.reply import Reply
from bot.wording import capital


@lru_cache(maxsize=4)
def _eating(root: Path) -> Eating:
    """Read these rows alone: every message is looked over, and most need none of the tables."""
    return load(root / FILES["eating"], Eating, root)


def not_to_eat(text: str, crops: Sequence[str], root: Path) -> EatingRow | None:
    """Return the row of what a message asks about eating and that must not be eaten, or None.

    `crops` are the ids the message was read to mean; the crop may also be named in the text itself.
    """
    flat = plain(text[:500])
    rows = _eating(root)
    asked = find(flat, [*rows.asks, *rows.harm_asks]) is not None
    if find(flat, rows.unless):
        return None
    for row in rows.rows:
        if (asked or row.told) and (set(crops) & set(row.crops) or find(flat, row.named)) and find(flat, row.state):
            return row
    return None


def eating_row(name: str, root: Path) -> EatingRow:
    """Return a row by its id."""
    return next(row for row in _eating(root).rows if row.id == name)


def eating_reply(row: EatingRow, text: str, root: Path) -> Reply:
    """Return the answer of a row to a message. `data` is {"eat": {"row": id, "verdict": "no" or "in part"}}.

    "Is it poisonous" is a yes where "may I eat it" is a no; a message that asks both ways is answered with neither.
    """
    flat, rows = plain(text[:500]), _eating(root)
    head = row.headline
    if find(flat, rows.harm_asks):
        eaten = find(flat, rows.asks)
        bare = head.removeprefix("No: ").removeprefix("No, ")
        head = head if bare == head else capital(bare) if eaten else f"Yes{head.removeprefix('No')}"
    return Reply(head, lines=tuple(row.lines), sources=tuple(row.source),
                 data={"eat": {"row": row.id, "verdict": "no" if row.headline.startswith("No") else "in part"}})
