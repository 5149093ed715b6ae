"""The needs room: what a crop wants to do well - a pot, sun, soil, a partner - which kind to choose, how young plants are raised, what suits a wish.

Sentences that follow the crop's name ("Carrots: …") begin small; others are whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal, TypeVar

from pydantic import Field

from bot.facts.asking import Saying
from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts


class OfCrops(Sourced):
    """A row that is of some crops."""

    crops: list[Id] = Field(min_length=1)


# --- pots ----------------------------------------------------------------------------------------------------------


class PotsInGeneral(Sourced):
    """What is true of every pot; `box_cm` is the depth of a usual window box, `any_cm` what carries most crops, `deepest_m` the deepest pot there is.

    A pot is too small with less than the share `enough` of the least. `sizes` tells of crops in general, `on_end` of grow bags for crops none is told for.
    """

    box_cm: Span
    any_cm: Span
    mix: str
    water: str
    feed: str
    bag: str
    enough: float = Field(gt=0, le=1)
    deepest_m: float = Field(gt=0)
    sizes: str
    on_end: str


class Pot(OfCrops):
    """How much room some crops want in a pot: the least and what is better, in litres and cm; how many go in, in a grow bag too."""

    id: Id
    will: Literal["well", "fair", "poor"]
    litres: Span
    deep_cm: Span
    wide_cm: Span | None = None
    plants: str
    bag: str | None = None
    kinds: str | None = None
    say: list[str] = Field(default_factory=list)


class Pots(Shape):
    """Growing in pots, crop by crop."""

    general: PotsInGeneral
    pots: list[Pot]


# --- sun -----------------------------------------------------------------------------------------------------------


class LightPlace(Shape):
    """Words for the light of a place, and the hours of direct sun they come to."""

    words: Saying
    says: str
    hours: float = Field(ge=0, le=16)


class SunHours(OfCrops):
    """The sun some crops want whose own file does not tell."""

    sun: float = Field(gt=0, le=12)
    shade: Literal["full-sun", "part-shade", "shade"]
    why: str | None = None


class Sun(Sourced):
    """Light, in hours of direct sun; `unknown` is said of crops without a row, `shades` of each bearing of shade."""

    unknown: str
    shades: dict[Literal["full-sun", "part-shade", "shade"], str]
    places: list[LightPlace]
    hours: list[SunHours]


# --- soil ----------------------------------------------------------------------------------------------------------

Ground = Literal["clay", "sand", "chalk", "acid", "wet", "stony"]


class GroundSaid(Shape):
    """A kind of ground, and what is said of it for a crop whose row is silent."""

    says: str
    say: str


class Soil(OfCrops):
    """The soil some crops want, the span of pH they do well in, and how they fare on each kind of ground."""

    id: Id
    ph: Span | None = None
    say: str
    clay: str | None = None
    sand: str | None = None
    chalk: str | None = None
    acid: str | None = None
    wet: str | None = None
    stony: str | None = None

    def on(self, ground: Ground) -> str | None:
        """Return how the crops fare on a kind of ground, where that is known."""
        said: str | None = getattr(self, ground)
        return said


class Soils(Sourced):
    """Soil, crop by crop; `unknown` is said of crops without a row."""

    unknown: str
    grounds: dict[Ground, GroundSaid]
    rows: list[Soil]


# --- partners ------------------------------------------------------------------------------------------------------


class Partner(OfCrops):
    """Whether one plant crops by itself, and how its flowers are helped. `blocks`: it is planted in a block."""

    alone: Literal["yes", "no", "better"]
    first: str
    say: list[str] = Field(default_factory=list)
    hand: str | None = None
    fruit: bool = False
    blocks: bool = False


class Partners(Sourced):
    """Pollination; `by_kind` is said of crops without a row, by what they are grown for."""

    by_kind: dict[str, str]
    rows: list[Partner]


# --- kinds, raising, what suits ------------------------------------------------------------------------------------


class Kinds(OfCrops):
    """Which kind to choose: in general, and for one trait wanted."""

    say: list[str] = Field(min_length=1)
    traits: dict[str, str] = Field(default_factory=dict)


class AllKinds(Sourced):
    """Choosing a kind; `any` is said of crops without a row."""

    any: str
    rows: list[Kinds]


class But(Shape):
    """What is otherwise with some crops: said beside, or instead."""

    crops: list[Id] = Field(min_length=1)
    say: str | None = None
    instead: str | None = None


class Act(Sourced):
    """One act of raising young plants, step by step."""

    id: Literal["harden", "prick", "pot-on", "leggy"]
    title: str
    head: str
    steps: list[str] = Field(min_length=1)
    days: Span | None = None
    tender: str | None = None
    hardy: str | None = None
    but: list[But] = Field(default_factory=list)


class Raising(Shape):
    """Raising young plants."""

    acts: list[Act]


class Suited(OfCrops):
    """What suits a wish or a place, the best first."""

    id: Id
    says: str
    say: list[str]


class Ease(OfCrops):
    """How easy some crops are, and why."""

    ease: Literal["easy", "fair", "hard"]
    why: str


class AllSuited(Shape):
    """What suits a wish or a place, and how easy each crop is."""

    lists: list[Suited]
    ease: list[Ease]


class BedDepth(Shape):
    """How deep the soil must be for some crops."""

    says: str
    cm: Span


class RaisedBeds(Sourced):
    """Raised beds: how deep, on soil and on hard ground, and what to fill them with. `share` is compost to the whole, most and usual."""

    depths: list[BedDepth]
    open_cm: Span
    hard_cm: Span
    usual_cm: float
    on_soil: str
    on_hard: str
    share: tuple[float, float]
    fill: str
    ground: list[str]


class Times(Sourced):
    """What is said beside the days a crop takes: of young plants sown at home, of the cold months, of lasting plants that take `waits_years` and more."""

    raised: str
    season: str
    waits: str
    waits_years: float = Field(gt=0)
    soonest: str


class NeedsFacts(Shape):
    """Every table of the room."""

    pots: Pots
    sun: Sun
    soils: Soils
    partners: Partners
    kinds: AllKinds
    raising: Raising
    suited: AllSuited
    raised_beds: RaisedBeds
    times: Times


FILES: dict[str, str] = {name: f"needs/{name}.yaml" for name in NeedsFacts.model_fields}

_Row = TypeVar("_Row", bound=OfCrops)


def row_of(rows: Sequence[_Row], crop: str) -> _Row | None:
    """Return the row of a table that is of a crop, or None."""
    return next((row for row in rows if crop in row.crops), None)


def check(facts: Facts) -> list[Fault]:
    """Return rows of crops that are not known, or that stand in two rows of one table, and traits that no words lead to."""
    room, words = facts.needs, facts.asking.needs
    tables: dict[str, list[list[str]]] = {
        "pots": [row.crops for row in room.pots.pots], "sun": [row.crops for row in room.sun.hours], "soils": [row.crops for row in room.soils.rows],
        "partners": [row.crops for row in room.partners.rows], "kinds": [row.crops for row in room.kinds.rows], "suited": [row.crops for row in room.suited.ease],
        **{f"raising {act.id}": [but.crops for but in act.but] for act in room.raising.acts},
    }
    faults: list[Fault] = []
    for table, rows in tables.items():
        file, named = FILES[table.split()[0]], [crop for row in rows for crop in row]
        faults += [Fault(file, 0, table, f"unknown crop {crop!r}") for crop in named if crop not in facts.crops]
        faults += [Fault(file, 0, table, f"{crop!r} stands twice") for crop in dict.fromkeys(named) if named.count(crop) > 1]
    faults += [Fault(FILES["suited"], 0, each.id, f"unknown crop {c!r}") for each in room.suited.lists for c in each.crops if c not in facts.crops]
    faults += [Fault(FILES["kinds"], 0, row.crops[0], f"no words lead to the trait {t!r}") for row in room.kinds.rows for t in row.traits if t not in words.traits]
    faults += [Fault(FILES["suited"], 0, name, "words lead to it and no list is of it") for name in words.wishes
               if name != "quick" and name not in {each.id for each in room.suited.lists}]
    told = {crop.id for crop in facts.crops.values() if crop.light and crop.light.sun_hours is not None}
    faults += [Fault(FILES["sun"], 0, "hours", f"{crop!r} tells its own hours") for row in room.sun.hours for crop in row.crops if crop in told and crop in facts.written_crops]
    return faults
