"""What a stretch of tokens was recognised as."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bot.understanding.text import Token

if TYPE_CHECKING:
    from bot.understanding.glance import Seen


@dataclass(slots=True)
class Found:
    """A slot: its kind, the tokens [start, end) it covers, its value, and how sure the reading is."""

    kind: str
    start: int
    end: int
    value: Any
    sure: float = 1.0
    tag: str = ""

    def overlaps(self, other: Found) -> bool:
        """Tell whether two slots share a token."""
        return self.start < other.end and other.start < self.end


@dataclass(slots=True)
class Sheet:
    """The tokens of a message and the slots marked on them; a token belongs to one slot at most. `seen` is what a glance at them saw."""

    text: str
    tokens: list[Token]
    found: list[Found]
    taken: list[bool]
    seen: Seen | None = None

    @classmethod
    def of(cls, text: str, tokens: list[Token]) -> Sheet:
        """Start an unmarked sheet."""
        return cls(text, tokens, [], [False] * (len(tokens) + 1))

    def free(self, start: int, end: int) -> bool:
        """Tell whether no token of [start, end) is taken."""
        return not any(self.taken[start:end])

    def mark(self, found: Found) -> bool:
        """Mark a slot if its tokens are free, and say whether it was."""
        if not self.free(found.start, found.end):
            return False
        for i in range(found.start, found.end):
            self.taken[i] = True
        self.found.append(found)
        return True

    def unmark(self, found: Found) -> None:
        """Take a slot back; its tokens are free again."""
        for i in range(found.start, found.end):
            self.taken[i] = False
        self.found.remove(found)

    def found_in_order(self) -> list[Found]:
        """Return the slots in the order they stand."""
        return sorted(self.found, key=lambda f: f.start)

    def word(self, at: int) -> str:
        """Return the word at a position, or an empty text outside the message."""
        return self.tokens[at].word if 0 <= at < len(self.tokens) else ""

    def said(self, start: int, end: int) -> str:
        """Return the words as typed."""
        if start >= end or start >= len(self.tokens):
            return ""
        return self.text[self.tokens[start].start:self.tokens[min(end, len(self.tokens)) - 1].end]

    def at(self, position: int, *kinds: str) -> Found | None:
        """Return the slot of one of some kinds that covers a token, if any."""
        for found in self.found:
            if found.start <= position < found.end and (not kinds or found.kind in kinds):
                return found
        return None
