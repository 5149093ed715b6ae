"""What must not be done with food in jars, found in the words of a message."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.facts.preserving import PreservingFacts, Refusal, Vocabulary
from bot.preserving.matching import find
from bot.request import Request

_PERCENT = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:%|per ?cent)")


def refused(text: str, crops: Sequence[str], facts: PreservingFacts, about: str) -> Refusal | None:
    """Return the first refusal whose words are found in plain `text` for canning (`about` can) or pickling, or None."""
    for row in facts.refusals:
        if row.about not in ("both", about):
            continue
        if row.crops and not set(row.crops) & set(crops):
            continue
        if find(text, row.words) and not find(text, row.unless):
            return row
    return None


def vinegar_strength(request: Request, text: str, own: float | None, words: Vocabulary) -> float | None:
    """Return the vinegar strength in percent that the message names, else the plot's own, else None."""
    if find(text, words.acidity):  # a percentage is one of acidity only near such a word
        match = _PERCENT.search(text)
        if match:
            return float(match[1].replace(",", "."))
        quantity = request.amount("percent")
        if quantity is not None:
            return quantity.value
    return own
