"""The training table of the tending room: pinching out, side shoots, stopping, leaves and flowers of yearly crops.

Sentences follow the crop's name ("Tomatoes: take them out of tall kinds, …").
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from pydantic import Field

from bot.facts.asking import Saying
from bot.facts.base import Id, Shape, Sourced
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts

FILE = "tending/training.yaml"

#: What may be asked of by itself, in the order it is told in.
Part = Literal["side_shoots", "stopping", "leaves", "flowers"]
PARTS: tuple[Part, ...] = ("side_shoots", "stopping", "leaves", "flowers")


class TrainedKind(Shape):
    """What is said first of a kind of the crop that a message names."""

    words: Saying
    say: str


class Training(Sourced):
    """What is pinched out of some crops, or of a plant that is no kitchen crop (`plants`, called `name`)."""

    id: Id
    crops: list[Id] = Field(default_factory=list)
    plants: Saying | None = None
    name: str | None = None
    say: str
    side_shoots: str | None = None
    stopping: str | None = None
    leaves: str | None = None
    flowers: str | None = None
    kinds: list[TrainedKind] = Field(default_factory=list)
    more: list[str] = Field(default_factory=list)

    def part(self, name: Part) -> str | None:
        """Return what is said of one part."""
        said: str | None = getattr(self, name)
        return said


class Trainings(Sourced):
    """The rows, and the crop that such words are of when none is named."""

    plain: Id
    rows: list[Training]

    def of_crop(self, crop: str) -> Training | None:
        """Return how a crop is trained, or None."""
        return next((row for row in self.rows if crop in row.crops), None)

    def of_plant(self, text: str) -> Training | None:
        """Return how a plant that is no crop is trained, where a message names one."""
        return next((row for row in self.rows if row.plants is not None and row.plants.search(text)), None)


def check(facts: Facts) -> list[Fault]:
    """Return rows of unknown crops or of none, and crops that stand twice."""
    table = facts.tending.training
    crops = [crop for row in table.rows for crop in row.crops]
    faults = [Fault(FILE, 0, "plain", f"{table.plain!r} has no row")] if table.plain not in crops else []
    for row in table.rows:
        faults += [Fault(FILE, 0, f"{row.id}.crops", f"unknown crop {c!r}") for c in row.crops if c not in facts.crops]
        faults += [Fault(FILE, 0, f"{row.id}.crops", f"{c!r} stands twice") for c in row.crops if crops.count(c) > 1]
        if not row.crops and (row.plants is None or row.name is None):
            faults.append(Fault(FILE, 0, row.id, "is of no crop: give crops, or plants and a name"))
    return faults
