"""Group words ("salads", "brassicas", "things for children") and the crops each stands for; plants that are no crop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import Field

from bot.facts.base import Id, Shape, Sourced
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts


class Group(Sourced):
    """A word for several crops. `words` are other ways to say it; `note` tells where its edges are."""

    id: Id
    name: str
    words: list[str] = Field(default_factory=list)
    crops: list[Id] = Field(min_length=2)


class Stranger(Sourced):
    """A plant whose name holds a crop's name and that is not to be taken for it. `words` are all its names."""

    id: Id
    words: list[str] = Field(min_length=1)
    says: str
    cold: str | None = None  # what frost does to it, where that is known


class GroupFacts(Shape):
    """All group words, and the plants that are no crop."""

    groups: list[Group]
    strangers: list[Stranger]

    def stranger(self, word: str) -> Stranger | None:
        """Return the plant a name means that is no crop here, ignoring case, or None."""
        wanted = word.strip().lower()
        return next((s for s in self.strangers if wanted in (w.lower() for w in s.words)), None)

    def named(self, word: str) -> Group | None:
        """Return the group a word or id stands for, ignoring case, or None.

        The plain word itself wins over another group's second name.
        """
        wanted = word.strip().lower()
        for group in self.groups:
            if wanted in (group.id, group.name.lower()):
                return group
        return next((g for g in self.groups if wanted in (w.lower() for w in g.words)), None)

    def of(self, crop: str) -> list[Group]:
        """Return the groups a crop belongs to."""
        return [group for group in self.groups if crop in group.crops]


FILES = {"groups": "groups.yaml", "strangers": "strangers.yaml"}


def check(facts: Facts) -> list[Fault]:
    """Return faults of meaning: unknown crops, and one word claimed by two groups."""
    faults: list[Fault] = []
    claimed: dict[str, str] = {}
    for group in facts.groups.groups:
        for crop in group.crops:
            if crop not in facts.crops:
                faults.append(
                    Fault("groups.yaml", 0, group.id, f"names the crop {crop!r}, which has no file in crops/")
                )
        for word in (group.name, *group.words):
            other = claimed.setdefault(word.lower(), group.id)
            if other != group.id:
                faults.append(
                    Fault("groups.yaml", 0, group.id, f"the word {word!r} already belongs to group {other!r}")
                )
    return faults
