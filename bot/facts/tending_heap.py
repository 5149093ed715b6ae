"""The heap, water, wildlife and hazards of the tending room, with the topics people ask about."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from pydantic import Field

from bot.facts.base import Id, Shape, Sourced, Span

if TYPE_CHECKING:
    pass


class Topic(Sourced):
    """One thing people ask about, with the words that point to it and what to say, best line first."""

    id: Id
    words: list[str] = Field(min_length=1)
    say: list[str] = Field(min_length=1)
    caution: str | None = None
    hazards: list[Id] = Field(default_factory=list)


class HeapStuff(Sourced):
    """Something for the heap. C:N, nitrogen (% of dry matter), water (% of fresh weight), kg/l where known."""

    id: Id
    materials: list[Id] = Field(default_factory=list)  # ids of the material words; its own id when empty
    words: list[str] = Field(default_factory=list)
    name: str
    kind: Literal["green", "brown", "either", "neither"]
    heap: Literal["yes", "little", "hot", "no"]
    c_to_n: Span | None = None
    c_to_n_usual: float | None = None
    n_pct: Span | None = None
    water_pct: Span | None = None
    kg_per_l: Span | None = None
    stand_in: Id | None = None  # whose figures serve where its own are not published
    say: str
    instead: str | None = None
    hazards: list[Id] = Field(default_factory=list)


class HeapTarget(Sourced):
    """A figure to aim at."""

    id: Id
    span: Span | None = None
    unit: str | None = None
    say: str


class Compost(Shape):
    """Everything about the heap."""

    stuff: list[HeapStuff]
    targets: list[HeapTarget]
    topics: list[Topic]
    about_heap: list[Id]  # topics of a heap that stands, and not of what goes in
    troubles: list[Id]  # those of them that are something wrong with it
    sick: list[Id]  # rows about sickness, which say more than the plant it is on

    def target(self, target_id: str) -> HeapTarget:
        """Return a target by id. Raises KeyError."""
        return {row.id: row for row in self.targets}[target_id]


class WaterSoil(Sourced):
    """How much water a soil holds for plants, mm per metre of depth, and the words for it."""

    id: Id
    words: list[str]
    mm_per_m: Span


class WaterNumber(Sourced):
    """One number of the watering arithmetic."""

    value: float
    unit: str
    meaning: str


class Watering(Shape):
    """Watering: soils, numbers, and what is asked about it."""

    soils: list[WaterSoil]
    numbers: dict[str, WaterNumber]
    topics: list[Topic]

    def number(self, name: str) -> float:
        """Return a number's value. Raises KeyError."""
        return self.numbers[name].value


class WildTask(Sourced):
    """Something done for wildlife or near it. Spans are MM-DD to MM-DD in the north; the south is half a year on."""

    id: Id
    words: list[str]
    task: str
    best: list[tuple[str, str]] = Field(default_factory=list)
    not_in: list[tuple[str, str]] = Field(default_factory=list)
    months: list[tuple[str, str]] = Field(default_factory=list)
    south: list[tuple[str, str]] | None = None  # where half a year on is not right
    do: str
    good: str | None = None  # a creature's worth, where asked whether it is good or bad
    avoid: str | None = None
    why: str | None = None
    law: str | None = None
    law_in: list[str] = Field(default_factory=list)  # parts of the world it holds for; empty: anywhere
    more: list[str] = Field(default_factory=list)
    hazards: list[Id] = Field(default_factory=list)


class Hazard(Sourced):
    """Something about a garden that can hurt people or pets; `short` is the one-line caution.

    A message with a word of every list of `named`, and none of `unless`, gets the caution beside its answer, whatever it asks;
    where `first` is set the caution comes before it, and takes the place of a lone answer that records nothing. Words are regular expressions.
    `told` are phrases by which a reply shows that it says the same already.
    """

    id: Id
    hazard: str
    short: str | None = None
    where: str | None = None
    risk: str | None = None
    do: str
    figures: str | None = None
    help_if: str | None = None
    named: list[list[str]] = Field(default_factory=list)
    unless: list[str] = Field(default_factory=list)
    first: bool = False
    told: list[str] = Field(default_factory=list)
