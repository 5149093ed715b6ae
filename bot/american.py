"""Say British crop names inside a sentence of the knowledge as American gardeners do."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.facts import Facts


def american(text: str, facts: Facts) -> str:
    """Return the sentence with every crop's British name in its American form.

    Longer names win ("spring onion" before "onion"), a sentence still begins with a capital, and names that are
    the same on both sides are left alone.
    """
    pattern, names = _names(facts)

    def said(match: re.Match[str]) -> str:
        word = match[0]
        other = names[word.lower()]
        begins = word[0].isupper() and text[: match.start()].rstrip()[-1:] in ("", ".", ":")
        return other[:1].upper() + other[1:] if begins else other

    return pattern.sub(said, text)


@lru_cache(maxsize=4)
def _names(facts: Facts) -> tuple[re.Pattern[str], dict[str, str]]:
    names: dict[str, str] = {}
    kept: set[str] = set()
    for crop in facts.crops.values():
        for many in (False, True):
            british, us = crop.said("gb", plural=many), crop.said("us", plural=many)
            if british.lower() == us.lower():
                kept.add(british.lower())
            elif re.fullmatch(r"[\w' -]+", british):
                names.setdefault(british.lower(), us)
    every = sorted((set(names) | {word for word in kept if " " in word}) - (kept & set(names)), key=len, reverse=True)
    names |= {word: word for word in every if word not in names}
    return re.compile(r"\b(?:" + "|".join(map(re.escape, every)) + r")\b", re.IGNORECASE), names
