"""Turn the clauses of a message into requests, with what the conversation left behind."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from bot.handlers.context import Memory
from bot.request import Request
from bot.understanding.clauses import clauses
from bot.understanding.shapes import PlotNames, Reading
from bot.understanding.text import clean

if TYPE_CHECKING:
    from bot.understanding.reader import Understander


def converse(reader: Understander, text: str, names: PlotNames, memory: Memory, today: date, region: str) -> Reading:
    """Understand one message given what went before."""
    cleaned = clean(text)
    if not any(c.isalnum() for c in cleaned):
        return Reading((Request("none", 1.0, text[:200]),), explain=("nothing to read",))
    sheet, changed = reader.sheet(cleaned, names, region)
    requests = []
    explain = [f"spelling: {c}" for c in changed]
    for start, end in clauses(sheet, reader.lexicon):
        clause = reader.clause(sheet, start, end)
        intent, confidence = clause.ranked[0]
        requests.append(reader.request(clause, intent, confidence, sheet, names, today, region))
        explain.append(f"{' '.join(clause.words)}  ->  " + ", ".join(f"{i} {p:.2f}" for i, p in clause.ranked[:3]))
    return Reading(tuple(requests), explain=tuple(explain))
