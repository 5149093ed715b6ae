"""Say what is written in British words as gardeners elsewhere do: crop names in a sentence, and in America plain words in a whole reply."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from bot.reply import Reply

if TYPE_CHECKING:
    from bot.facts import Facts


def local_names(text: str, facts: Facts, words: str = "us", country: str | None = None) -> str:
    """Return the sentence with every crop's British name as it is said in American words or in a country of its own names.

    Longer names win ("spring onion" before "onion"), a sentence still begins with a capital, and names that are
    the same on both sides are left alone.
    """
    pattern, names = _names(facts, words, country)

    def said(match: re.Match[str]) -> str:
        word = match[0]
        other = names[word.lower()]
        begins = word[0].isupper() and text[: match.start()].rstrip()[-1:] in ("", ".", ":")
        return other[:1].upper() + other[1:] if begins else other

    return pattern.sub(said, text)


@lru_cache(maxsize=4)
def _names(facts: Facts, words: str, country: str | None) -> tuple[re.Pattern[str], dict[str, str]]:
    names: dict[str, str] = {}
    kept: set[str] = set()
    for crop in facts.crops.values():
        for many in (False, True):
            british, other = crop.said("gb", plural=many), crop.said(words, plural=many, country=country)
            if british.lower() == other.lower():
                kept.add(british.lower())
            elif re.fullmatch(r"[\w' -]+", british):
                names.setdefault(british.lower(), other)
    every = sorted((set(names) | {word for word in kept if " " in word}) - (kept & set(names)), key=len, reverse=True)
    names |= {word: word for word in every if word not in names}
    return re.compile(r"\b(?:" + "|".join(map(re.escape, every)) + r")\b", re.IGNORECASE), names


def in_american(reply: Reply, facts: Facts) -> Reply:
    """Return a reply with its plain British words said the American way; names in capitals ("Autumn King") are left alone."""
    pattern, words = _plain_words(facts)

    def said(text: str) -> str:
        return pattern.sub(lambda m: _as_written(m[0], words[m[0].lower()]), text)

    def each(texts: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(said(text) for text in texts)

    table = reply.table
    if table is not None:
        table = replace(table, head=each(table.head), rows=tuple(each(row) for row in table.rows))
    return reply.with_(
        headline=said(reply.headline), lines=each(reply.lines), cautions=each(reply.cautions), working=each(reply.working),
        more=each(reply.more), table=table, choices=tuple(replace(c, label=said(c.label)) for c in reply.choices),
    )


def _as_written(british: str, american_word: str) -> str:
    return american_word.capitalize() if british[0].isupper() else american_word


@lru_cache(maxsize=4)
def _plain_words(facts: Facts) -> tuple[re.Pattern[str], dict[str, str]]:
    words = facts.glossary.american.words
    every = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    begins = "|".join(re.escape(word.capitalize()) for word in sorted(words, key=len, reverse=True))
    # A capital counts where a sentence begins with the word and goes on in small letters.
    return re.compile(rf"\b(?:{every})\b|(?:(?<=^)|(?<=[.:!?] ))(?:{begins})\b(?! [A-Z])"), words
