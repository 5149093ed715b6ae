"""The table of shading crops and of taking covers off again. Sentences follow the crop's name ("Lettuces: yes, …")."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pydantic import Field

from bot.facts.asking import Saying
from bot.facts.base import Id, Shape, Sourced
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts

FILE = "tending/cover_use.yaml"


class CoverUse(Sourced):
    """What is said of some crops, or of any (none listed), where a message holds some words, or any."""

    id: Id
    words: Saying | None = None
    crops: list[Id] = Field(default_factory=list)
    say: str
    more: list[str] = Field(default_factory=list)
    frosts: bool = False  # tells the last frost of the place as well

    def fits(self, text: str, crops: Sequence[str]) -> bool:
        """Tell whether the row is of these words and crops."""
        return (self.words is None or self.words.search(text) is not None) and (not self.crops or any(c in self.crops for c in crops))


class CoverUses(Shape):
    """The rows, each list ending in one that fits whatever is asked."""

    shading: list[CoverUse] = Field(min_length=1)
    lifting: list[CoverUse] = Field(min_length=1)
    source: list[str]


def check(facts: Facts) -> list[Fault]:
    """Return unknown crops, and lists whose last row does not fit everything."""
    room, faults = facts.tending.cover_use, []
    for rows in (room.shading, room.lifting):
        faults += [Fault(FILE, 0, f"{row.id}.crops", f"unknown crop {c!r}") for row in rows for c in row.crops if c not in facts.crops]
        if rows[-1].words is not None or rows[-1].crops:
            faults.append(Fault(FILE, 0, rows[-1].id, "must fit whatever is asked, since it is the last"))
    return faults
