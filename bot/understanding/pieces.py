"""Cut words into the pieces that a network knows: always the longest piece first (WordPiece: Wu and others, arXiv 1609.08144, 2016)."""

from __future__ import annotations

import re
from collections.abc import Sequence

#: What stands for a word of unknown signs, a word that is hidden, and the ends of a message.
UNKNOWN, HIDDEN, OPENS, CLOSES = "[UNK]", "[MASK]", "[CLS]", "[SEP]"
_WORD = re.compile(r"[a-z0-9]+|[^\sa-z0-9]")
_INNER = "##"
#: Pieces a word or slot may have, and words remembered.
_MOST, _REMEMBERED = 12, 8192


class Pieces:
    """The pieces known, by number: those inside a word open with "##"."""

    def __init__(self, names: Sequence[str]) -> None:
        self.names = list(names)
        self.index = {name: n for n, name in enumerate(names)}
        self.hidden, self.opens, self.closes = (self.index[name] for name in (HIDDEN, OPENS, CLOSES))
        self._met: dict[str, list[int]] = {}

    def of(self, text: str) -> list[int]:
        """Return the numbers of the pieces of some lower-case words, at most twelve; of no words, the one that stands for what is hidden."""
        if text not in self._met:
            if len(self._met) >= _REMEMBERED:
                self._met.clear()
            self._met[text] = [n for word in _WORD.findall(text) for n in self._word(word)][:_MOST] or [self.hidden]
        return self._met[text]

    def _word(self, word: str) -> list[int]:
        found: list[int] = []
        start = 0
        while start < len(word):
            for end in range(len(word), start, -1):
                known = self.index.get((_INNER if start else "") + word[start:end])
                if known is not None:
                    break
            else:
                return [self.index[UNKNOWN]]
            found.append(known)
            start = end
        return found
