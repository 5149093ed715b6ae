"""The trade words of a kitchen garden and what they mean in plain words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import Field

from bot.facts.base import Id, Shape, Sourced
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts


class Term(Sourced):
    """One trade word. `words` are its other forms and spellings; `see` names related terms by id."""

    id: Id
    term: str
    words: list[str] = Field(default_factory=list)
    meaning: str
    example: str | None = None
    crops: list[Id] = Field(default_factory=list)
    see: list[Id] = Field(default_factory=list)

    def spellings(self) -> list[str]:
        """Return every way the word is written, the head word first."""
        return [self.term, *self.words]


class AmericanWords(Sourced):
    """Plain British words with the American ones, in small letters."""

    words: dict[str, str]


class GlossaryFacts(Shape):
    """All trade words, and the plain ones that are said otherwise in America."""

    terms: list[Term]
    american: AmericanWords

    def find(self, word: str) -> Term | None:
        """Return the term with this id or spelling, ignoring case and dashes, or None."""
        wanted = _folded(word)
        for term in self.terms:
            if wanted == term.id.replace("-", " ") or any(wanted == _folded(w) for w in term.spellings()):
                return term
        return None


FILES = {"terms": "glossary.yaml", "american": "american.yaml"}


def _folded(word: str) -> str:
    return word.strip().lower().replace("-", " ")


def check(facts: Facts) -> list[Fault]:
    """Return faults of meaning: unknown crops and terms, and a spelling claimed twice."""
    faults: list[Fault] = []
    ids = {term.id for term in facts.glossary.terms}
    claimed: dict[str, str] = {}
    for term in facts.glossary.terms:
        faults += [
            Fault("glossary.yaml", 0, f"{term.id}.see", f"no term has the id {other!r}")
            for other in term.see
            if other not in ids
        ]
        faults += [
            Fault("glossary.yaml", 0, f"{term.id}.crops", f"no crop has the id {crop!r}")
            for crop in term.crops
            if crop not in facts.crops
        ]
        for word in term.spellings():
            other = claimed.setdefault(_folded(word), term.id)
            if other != term.id:
                faults.append(Fault("glossary.yaml", 0, term.id, f"the word {word!r} already belongs to {other!r}"))
    return faults
