"""The ground half of the tending room: manure, mulch, lime, feeding, green manures, compost, water, wildlife, hazards.

One section per table, as in bot/facts/tending.py, which holds the room itself. Amounts are SI: kg, l, m², cm, g/m².
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from pydantic import Field

from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.tending_heap import Topic

if TYPE_CHECKING:
    pass

Class = Literal["light", "medium", "heavy", "fixes-nitrogen"]


# --- words for materials -------------------------------------------------------------------------------------------


class MaterialWords(Shape):
    """What gardeners call the things that go on heaps and beds: material id -> words, the table understanding reads."""

    source: list[str]
    words: dict[Id, list[str]]


# --- measures ------------------------------------------------------------------------------------------------------


class Measure(Sourced):
    """How much a barrow, bucket, bag or can holds, litres: the figure reckoned with, and what is met with."""

    id: Id
    litres: float = Field(gt=0)
    us_litres: float | None = None  # where Americans use another size
    range_l: Span | None = None
    say: str


# --- manure --------------------------------------------------------------------------------------------------------


class ManureRate(Sourced):
    """How much manure a year, kg/m² for crops of middling hunger; rotted manure says which hunger it is for."""

    id: Id
    material: Id  # an id of the material words
    rotted: bool
    kg_per_m2: float | None = None
    hunger: Literal["heavy", "other", "any"]
    analysis: str | None = None
    say: str | None = None


class RawRule(Sourced):
    """What must be kept to when manure is raw. `days` run from digging in to harvest."""

    id: Id
    days: int | None = None
    months: float | None = None
    say: str


class Manure(Shape):
    """Manure: rates, the rules of raw manure, and the crops whose eaten part stays clear of the soil."""

    rates: list[ManureRate]
    raw: list[RawRule]
    clear_of_soil: list[Id]
    topics: list[Topic]

    def rule(self, rule_id: str) -> RawRule:
        """Return a rule by id. Raises KeyError."""
        return {rule.id: rule for rule in self.raw}[rule_id]


# --- mulch ---------------------------------------------------------------------------------------------------------


class MulchKind(Sourced):
    """Something spread on the ground: how deep (cm), its weight (kg/l), when, why, and what not to do with it."""

    id: Id
    materials: list[Id]  # ids of the material words
    gb: str
    us: str
    use: Literal["bed", "new-bed", "upkeep", "path", "fruit", "cover"]
    depth_cm: Span
    kg_per_l: Span | None = None
    when: str
    say: list[str] = Field(default_factory=list)
    avoid: str | None = None
    hazards: list[Id] = Field(default_factory=list)

    def said(self, words: str) -> str:
        """Return its name in British or American words."""
        return self.us if words == "us" else self.gb


class Mulches(Shape):
    """Mulches, what they weigh, and what is asked about them. `for_crops` fits crops to a kind they like."""

    kinds: list[MulchKind]
    weights: dict[Id, float]  # kg/l reckoned with, by material
    for_crops: dict[Id, Id]  # crop -> mulch kind
    when_for: dict[Id, dict[Id, str]]  # mulch kind -> crop -> when it goes on there
    like: dict[Id, Id]  # material -> the one whose kind it is
    shorter: dict[Id, Id]  # row of the heap -> the material it is on a bed
    topics: list[Topic]
    source: list[str]
    practice: list[str] = Field(default_factory=list)

    def has(self, material: str | None) -> bool:
        """Tell whether a material is one that is spread on the ground."""
        return any(material in kind.materials for kind in self.kinds)


# --- lime and feeding ----------------------------------------------------------------------------------------------


class LimeRow(Sourced):
    """Ground limestone, g/m², for one soil at one pH: `table` says whose."""

    table: Literal["rb209", "us-garden"]
    soil: Id
    ph: float
    g_per_m2: float


class LimeSoil(Sourced):
    """A soil texture: the words for it, its factor (t/ha for one pH) and its column in the garden table."""

    id: Id
    words: list[str]
    factor: float
    garden_column: Id | None = None
    target_ph: float
    garden_target_ph: float


class PhTarget(Sourced):
    """The pH wanted for some crops. `never` marks lime-haters."""

    id: Id
    crops: list[Id] = Field(default_factory=list)
    groups: list[Id] = Field(default_factory=list)  # rotation groups
    pests: list[Id] = Field(default_factory=list)
    ph: Span
    never: bool = False
    say: str


class LimeRule(Sourced):
    """A rule of liming in plain words, with its figure where it has one."""

    id: Id
    value: Span | None = None
    say: str


class Lime(Shape):
    """Everything about lime."""

    soils: list[LimeSoil]
    table: list[LimeRow]
    targets: list[PhTarget]
    rules: list[LimeRule]
    topics: list[Topic]

    def rule(self, rule_id: str) -> LimeRule:
        """Return a rule by id. Raises KeyError."""
        return {rule.id: rule for rule in self.rules}[rule_id]


class FeedKind(Sourced):
    """A bought or home-made feed: what it gives, how much, how made."""

    id: Id
    materials: list[Id]
    gb: str
    us: str
    gives: str
    g_per_m2: Span | None = None
    dilute: str | None = None
    say: list[str] = Field(min_length=1)
    caution: str | None = None


class FeedClass(Sourced):
    """How crops of one hunger are fed."""

    id: Class
    say: list[str] = Field(min_length=1)


class FeedHabit(Sourced):
    """How one crop, or several alike, are fed through the season."""

    crops: list[Id]
    start: str
    say: list[str] = Field(min_length=1)
    every_days: Span | None = None


class Feeds(Shape):
    """Feeding: what there is, how each class is fed, and the habits of single crops."""

    kinds: list[FeedKind]
    classes: list[FeedClass]
    habits: list[FeedHabit]
    topics: list[Topic]
    of_ground: list[Id]  # topics of the ground itself, whatever was talked of before

    def liquid(self, material: str | None) -> bool:
        """Tell whether a material is a feed given in water."""
        return any(kind.dilute and material in kind.materials for kind in self.kinds)


# --- green manures -------------------------------------------------------------------------------------------------


class CoverCrop(Sourced):
    """A green manure as a gardener uses it; sowing dates come from its crop file."""

    crop: Id
    g_per_m2: Span
    dig_in_days: Span  # from digging in to sowing
    cut: str
    good_for: list[str]
    family: Id
    dies_in_frost: bool = False
    say: str


class GreenManures(Shape):
    """Green manures, and rules for all of them."""

    crops: list[CoverCrop]
    rules: list[LimeRule]


# --- compost -------------------------------------------------------------------------------------------------------


# --- water ---------------------------------------------------------------------------------------------------------


# --- wildlife and hazards ------------------------------------------------------------------------------------------


# --- checking ------------------------------------------------------------------------------------------------------
