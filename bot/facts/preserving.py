"""The tables of preserving: blanching, yields, drying, ferments, keeping times and ideas, and the whole room."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from bot.facts.advice import Advice
from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.errors import Fault
from bot.facts.preserving_recipes import CanMethod, CanProduct, Ingredient, Jar, Pack, Process, Recipe
from bot.facts.preserving_safety import (
    AlarmAnswer,
    AlarmGroup,
    AlarmHelp,
    AlarmRule,
    Alarms,
    Eating,
    EatingRow,
    Refusal,
    Rule,
    Safety,
)


class Blanching(Sourced):
    """Heating one form of a crop before freezing. Minutes in water and steam; headspace cm; months of quality."""

    crop: Id
    form: str
    treatment: Literal["blanch", "cook", "none", "unsuitable"]
    water: Span | None = None
    steam: Span | None = None
    preparation: str | None = None
    size: str | None = None
    headspace_cm: float | None = None
    months: Span | None = None
    habit_min: Span | None = None  # what many gardeners do instead, where it differs


class Container(Shape):
    """A trade container: its weight in pounds and what it makes."""

    name: str | None = None
    lb: float
    makes: Span
    unit: Literal["quarts", "pints"]


class YieldRow(Sourced):
    """Fresh produce for one container, in pounds as printed."""

    crop: Id
    product: Literal["canned", "frozen"]
    form: str
    lb_per_quart: Span | None = None
    lb_per_7_quarts: float | None = None
    lb_per_9_pints: float | None = None
    lb_per_pint: Span | None = None
    container: Container | None = None
    page: str | None = None


class Drying(Sourced):
    """Drying one crop: minutes of blanching first, °C, hours, doneness, months it keeps."""

    crop: Id
    preparation: str
    pretreatment: str
    water: Span | None = None
    steam: Span | None = None
    temp_c: Span | None = None
    hours: Span | None = None
    done: str
    months_room: Span | None = None
    months_cool: Span | None = None


class Boiling(Sourced):
    """Published boiling point and jelly point at a height in feet."""

    altitude_ft: float
    boiling_f: float | None = None
    boiling_c: float | None = None
    jelly_point_f: float | None = None


class Ferment(Sourced):
    """A salt ferment: percent of salt by weight or a brine recipe, °C, days."""

    crop: Id
    name: str
    salt_percent: Span | None = None
    recipe: Id | None = None
    temp_c: Span
    days: Span
    cool_c: Span | None = None
    cool_days: Span | None = None
    top_c: float | None = None
    after: str


class Life(Sourced):
    """How long a preserved product keeps its quality, months, and what it is kept in."""

    product: str
    also: list[str] = Field(default_factory=list)  # other product words kept the same way
    kinds: list[str] = Field(default_factory=list)  # kinds of tested product that cover it on a shelf
    months: Span
    unit: Literal["bag", "jar", "kg"]
    where: str
    words: list[str]  # words that mean it in a message
    past: str  # begins a message that tells of it: "froze"
    keep: str | None = None  # where it is best kept unopened
    opened: str | None = None  # how long an opened one keeps, and where
    ready: str | None = None  # how long it is best left before it is eaten
    opened_low: str | None = None  # the same of food low in acid, and of what is not known


class Idea(Sourced):
    """A short thing to do with a crop, in our own words. Gluts come first in the file."""

    crop: Id
    title: str
    text: str
    glut: bool = False


class Vocabulary(Shape):
    """Words by which messages name methods, packs and jars (regular expressions); crops that stand in for others."""

    methods: dict[str, list[str]]
    packs: dict[str, list[str]]
    jars: dict[str, list[str]]
    other_jars: list[str]
    stand_ins: dict[str, Id]  # crop -> crop whose tested rows cover it: the same vegetable in another shape
    greens: list[Id]  # crops that the published "all other greens" blanching row covers
    low_acid: list[Id]  # crops never canned in boiling water by themselves
    high_acid: list[Id]
    kinds: dict[str, list[str]]  # kind of product -> words that ask for it
    untested: dict[Id, Id]  # crop -> the rule that rules it out
    stocktake: list[str]
    counted: list[str]  # something is said to be there, not put away
    emptied: list[str]
    label: list[str]
    timer: list[str]
    unblanched: list[str]
    timer_stop: list[str]
    commands: dict[str, list[str]]  # intent -> words that settle it
    canner_words: list[str]  # words that only bottling uses
    sealed: list[str]
    sterile_jars: list[str]
    unsealed: list[str]
    old_lids: list[str]
    how_many_jars: list[str]
    still_good: list[str]
    kept_how: list[str]
    once_opened: list[str]
    shelf_life: list[str]
    when_ready: list[str]
    acid_question: list[str]
    kitchen_intents: list[str]  # intents left alone when they stand
    wants_recipe: list[str]
    minutes_asked: list[str]
    a_jar: list[str]
    counted_jars: list[str]
    not_produce: list[str]
    how_much: list[str]
    no_pressure: list[str]
    height_matters: list[str]
    old_tops: list[str]
    for_fridge: list[str]
    less_salt: list[str]
    standing: list[str]
    acidity: list[str]
    frozen_life: list[str]
    seed_tin: list[str]
    low: list[str]
    past_it: list[str]
    enough: list[str]
    there: list[str]
    everything: list[str]
    in_jars: list[str]
    some_stores: list[str]
    put_up: list[str]
    miscounted: list[str]
    taken: list[str]
    all_of_it: list[str]
    places: list[str]
    argued: list[str]
    leaning: list[str]
    pointing: list[str]


class PreservingFacts(Shape):
    """The preserving room."""

    blanching: list[Blanching]
    canning: list[CanProduct]
    recipes: list[Recipe]
    yields: list[YieldRow]
    drying: list[Drying]
    boiling: list[Boiling]
    rules: list[Rule]
    ferments: list[Ferment]
    ferment_troubles: list[Advice]
    lives: list[Life]
    ideas: list[Idea]
    refusals: list[Refusal]
    alarms: Alarms
    safety: Safety
    eating: Eating
    words: Vocabulary

    def rule(self, rule_id: str) -> Rule:
        """Return a rule by id. Raises KeyError when there is none."""
        for row in self.rules:
            if row.id == rule_id:
                return row
        raise KeyError(rule_id)


FILES = {
    name: f"preserving/{name}.yaml"
    for name in (
        "blanching",
        "canning",
        "recipes",
        "yields",
        "drying",
        "boiling",
        "rules",
        "ferments",
        "ferment_troubles",
        "lives",
        "ideas",
        "refusals",
        "alarms",
        "safety",
        "eating",
        "words",
    )
}


def check(facts: Any) -> list[Fault]:
    """Return what is wrong in meaning: low-acid food with a boiling-water time, unknown ids, bad references."""
    from bot.preserving.checking import faults

    return faults(facts)


__all__ = [
    "FILES",
    "AlarmAnswer",
    "AlarmGroup",
    "AlarmHelp",
    "AlarmRule",
    "Alarms",
    "Blanching",
    "Boiling",
    "CanMethod",
    "CanProduct",
    "Container",
    "Drying",
    "Eating",
    "EatingRow",
    "Ferment",
    "Idea",
    "Ingredient",
    "Jar",
    "Life",
    "Pack",
    "PreservingFacts",
    "Process",
    "Recipe",
    "Refusal",
    "Rule",
    "Safety",
    "Vocabulary",
    "YieldRow",
    "check",
]
