"""Find what a message is about among rows that name their words: the longest phrase found wins.

A phrase counts when it stands in the message whole, and nearly as much when each of its longer words is only misspelt
(rapidfuzz ratio) with the first letter right. Words of fewer than five letters must be right.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Protocol, TypeVar

from rapidfuzz import fuzz

ALIKE = 86.0
SHORT = 5
_APART = re.compile(r"[^a-z0-9.%½¼¾]+")


class Worded(Protocol):
    """A row that names the words it is known by."""

    @property
    def words(self) -> Sequence[str]:
        """Return the words the row is known by."""


Row = TypeVar("Row", bound=Worded)


def plain(text: str) -> list[str]:
    """Return a message as lower-case words without apostrophes.

    >>> plain("Pond's turned to SOUP!")
    ['ponds', 'turned', 'to', 'soup']
    """
    return [word.strip(".") for word in _APART.split(text.lower().replace("'", "").replace("’", "")) if word.strip(".")]


def found_at(phrase: Sequence[str], words: Sequence[str]) -> tuple[int, float] | None:
    """Return where a phrase stands among words, and how well it is spelt (0 to 1); None when it does not."""
    best: tuple[int, float] | None = None
    for start in range(len(words) - len(phrase) + 1):
        quality = 1.0
        for wanted, said in zip(phrase, words[start : start + len(phrase)], strict=True):
            if wanted == said or said == wanted + "s" or wanted == said + "s":
                continue
            alike = (
                fuzz.ratio(wanted, said)
                if len(wanted) >= SHORT and len(said) >= SHORT - 1 and wanted[0] == said[0]
                else 0.0
            )
            if alike < ALIKE:
                break
            quality *= alike / 100
        else:
            if best is None or quality > best[1]:
                best = start, quality
    return best


def score(row: Worded, words: Sequence[str]) -> float:
    """Return how strongly a message speaks of a row: letters of its longest phrase found."""
    total = 0.0
    for phrase in row.words:
        parts = plain(phrase)
        at = found_at(parts, words)
        if at is not None:
            total = max(total, at[1] * (sum(len(p) for p in parts) + len(parts)))
    return total


def best(text: str, rows: Iterable[Row]) -> Row | None:
    """Return the row a message speaks of most plainly, or None when it speaks of none."""
    words = plain(text)
    ranked = [(score(row, words), row) for row in rows]
    top = max(ranked, key=lambda pair: pair[0], default=None)
    return top[1] if top and top[0] > 0 else None
