"""Find words of a list in a message: regular expressions between word ends, on lower-case text without accents."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache

from bot.reply import Reply
from bot.request import Request


def plain(text: str) -> str:
    """Return text in lower case, without accents, with straight quotes and single spaces.

    >>> plain("Purée  it’s")
    "puree it's"
    """
    flat = text.replace("’", "'").replace("‘", "'").replace("½", " 1/2").replace("–", "-")
    flat = "".join(c for c in unicodedata.normalize("NFKD", flat) if not unicodedata.combining(c))
    return re.sub(r"\s+", " ", flat.lower()).strip()


@lru_cache(maxsize=4096)
def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![a-z0-9])(?:{pattern})(?![a-z0-9])")


def find(text: str, patterns: Iterable[str]) -> str | None:
    """Return the longest piece of `text` (already plain) that one of the patterns matches, or None."""
    best: str | None = None
    for pattern in patterns:
        match = _compiled(pattern).search(text)
        if match and (best is None or len(match[0]) > len(best)):
            best = match[0]
    return best


def words_of(request: Request) -> str:
    """Return all a request says in words: its text, what it said before it was asked back, product and method."""
    asked = str(request.extra.get("asked", ""))
    parts = [request.text, asked, request.product or "", (request.method or "").replace("-", " ")]
    return plain(" . ".join(part for part in parts if part))


def whole_of(request: Request) -> str:
    """Return the words of the whole message a request is a part of: what is refused is looked for in all of it."""
    return plain(f"{request.extra.get('message', '')} . {words_of(request)}")


def keep_words(reply: Reply) -> Reply:
    """Return the reply with the words asked so far kept in what it waits for, so that the answer completes them."""
    if reply.waiting is None:
        return reply
    said = words_of(reply.waiting)
    return reply.with_(waiting=reply.waiting.with_(extra={**reply.waiting.extra, "asked": said}))
