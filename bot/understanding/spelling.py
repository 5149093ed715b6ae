"""Mend words that are neither ours nor ordinary English, towards our own vocabulary."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from rapidfuzz.distance import OSA

from bot.understanding.lexicon import Lexicon
from bot.understanding.text import Token

#: At most this many unknown words of one message are looked up: a message of junk must stay cheap.
_MOST = 12
_KEPT = 4_000
_VOWELS = frozenset("aeiouy")


class Speller:
    """Correct unknown words. `weights` say how welcome a vocabulary word is when two are equally near."""

    def __init__(self, lexicon: Lexicon, weights: dict[str, float]) -> None:
        self.lexicon = lexicon
        self.vocabulary = {w: v for w, v in weights.items() if len(w) > 2 and w.isalpha()}
        self.known = set(weights) | lexicon.common | set(lexicon.short_forms)
        self._by_length: dict[int, list[str]] = defaultdict(list)
        for word in sorted(self.vocabulary):
            self._by_length[len(word)].append(word)
        self._seen: dict[str, tuple[str, ...]] = {}

    def mend(self, tokens: list[Token], extra: Iterable[str] = ()) -> list[str]:
        """Correct the words of a message in place; return what was changed, for the explanation."""
        own = set(extra)
        changed: list[str] = []
        looked = 0
        for i, token in enumerate(tokens):
            if token.kind != "word" or token.word in self.known or token.word in own or len(token.word) < 3:
                continue
            if looked >= _MOST:
                break
            looked += 1
            best = self.nearest(token.word, own)
            if best:
                if token.upper and i > 0 and OSA.distance(token.word, best[0]) > 1:
                    continue  # more likely a name: a variety, a person, a place
                changed.append(f"{token.word} read as {best[0]}")
                token.word = best[0]
        return changed

    def nearest(self, word: str, own: set[str] | None = None) -> tuple[str, ...]:
        """Return the vocabulary words nearest to an unknown one, best first; empty when none is near enough.

        One slip is allowed in words of 3 to 5 letters, two up to 9, three beyond.
        """
        if not own:
            hit = self._seen.get(word)
            if hit is not None:
                return hit
        allowed = 1 if len(word) <= 5 else 2 if len(word) <= 9 else 3
        found: list[tuple[float, str]] = []
        for length in range(max(3, len(word) - allowed), len(word) + allowed + 1):
            for other in self._by_length.get(length, ()):
                self._weigh(word, other, allowed, found)
        for other in own or ():
            if abs(len(other) - len(word)) <= allowed and len(other) > 2:
                self._weigh(word, other, allowed, found)
        result = tuple(w for _, w in sorted(found)[:4])
        if not own:
            if len(self._seen) > _KEPT:
                self._seen.clear()
            self._seen[word] = result
        return result

    def _weigh(self, word: str, other: str, allowed: int, found: list[tuple[float, str]]) -> None:
        distance = OSA.distance(word, other, score_cutoff=allowed)
        if distance > allowed:
            return
        if len(word) == len(other) == 3 and sorted(word) != sorted(other) and not _VOWELS & set(word):
            return  # "jbt" is no slip of "jot"
        if distance >= 2 and len(word) <= 6 and word[0] != other[0]:
            return
        cost = distance + (0.0 if word[0] == other[0] else 0.35) + (0.0 if word[-1] == other[-1] else 0.1)
        if sorted(word) == sorted(other):
            cost -= 0.2  # swapped letters are the commonest slip
        found.append((cost - min(0.3, 0.05 * self.vocabulary.get(other, 1.0)), other))
