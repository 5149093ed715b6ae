"""The tables of preserving: blanching, tested canning times, recipes, yields, drying, rules, alarms and ideas."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from bot.facts.advice import Advice
from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.errors import Fault

CanMethod = Literal["boiling-water", "pressure-dial", "pressure-weighted"]
Jar = Literal["half-pint", "12-ounce", "pint", "quart", "half-gallon"]
Pack = Literal["hot", "raw"]
Band = tuple[int, int | None, float, float | None]


def _rising(bands: list[Band]) -> list[Band]:
    """Refuse bands that do not start at 0 ft, leave a gap, overlap, or go on after an open end."""
    expected = 0
    for low, high, minutes, _psi in bands:
        if low != expected or minutes <= 0 or (high is not None and high <= low):
            raise ValueError(f"height bands must run on from 0 ft without gaps: [{low}, {high}]")
        expected = high + 1 if high is not None else -1
    return bands


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


class Process(Shape):
    """Tested minutes by height for some packs and jars in one method. Bands: [ft from, ft to, minutes, psi]."""

    pack: list[Pack] = Field(min_length=1)
    jar: list[Jar] = Field(min_length=1)
    method: CanMethod
    headspace_cm: float
    sterile_to_ft: int | None = None
    bands: Annotated[list[Band], AfterValidator(_rising)] = Field(min_length=1)


class CanProduct(Sourced):
    """One product with tested times. `words` choose it among the products of its crops."""

    id: Id
    name: str
    kind: Literal[
        "plain",
        "mixed",
        "soup",
        "sauce",
        "salsa",
        "pickle",
        "relish",
        "chutney",
        "ferment",
        "jam",
        "juice",
        "syrup",
        "puree",
        "pie",
    ]
    crops: list[Id] = Field(default_factory=list)
    raw_crops: list[Id] = Field(default_factory=list)  # crops tested in a raw pack only
    also: list[Id] = Field(default_factory=list)  # other crops that go into it
    words: list[str] = Field(default_factory=list)
    acid: Literal["low", "jar", "recipe", "ferment", "natural"]
    acid_note: str | None = None
    page: str | None = None
    processes: list[Process] = Field(min_length=1)


class Ingredient(Shape):
    """One line of a recipe: [low, high] of a unit, and what may be changed about it."""

    name: str
    amount: Span
    unit: Literal["lb", "cup", "tsp", "tbsp", "qt", "gal", "clove", "head", "count"]
    role: Literal[
        "produce", "low-acid", "acid", "water", "salt", "ferment-salt", "sugar", "flavour", "soak", "thickener", "oil"
    ]
    crop: Id | None = None
    about_lb: float | None = None  # the weight printed beside a measure by volume
    percent: float | None = None
    optional: bool = False
    note: str | None = None


class Recipe(Sourced):
    """A tested recipe, one batch. `makes` is [low, high] of `jar`; `process` is a product id of the canning table."""

    id: Id
    name: str
    kind: Literal["pickle", "relish", "salsa", "sauce", "chutney", "ferment", "jam", "pie", "fridge"]
    crops: list[Id] = Field(default_factory=list)  # what it is for, where its process is for more
    words: list[str] = Field(default_factory=list)
    makes: Span | None = None
    jar: Jar | None = None
    container: str | None = None
    process: Id | None = None
    steps: str
    page: str | None = None
    ingredients: list[Ingredient] = Field(min_length=1)


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


class Rule(Sourced):
    """One rule of safety or quality."""

    id: Id
    rule: str
    value: str | None = None
    unit: str | None = None
    about: list[str]
    severity: Literal["danger", "caution", "quality"]
    instead: str | None = None


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


class Idea(Sourced):
    """A short thing to do with a crop, in our own words. Gluts come first in the file."""

    crop: Id
    title: str
    text: str
    glut: bool = False


class Refusal(Sourced):
    """A way of preserving that is refused: the words that name it, the reason in one sentence, what is safe."""

    id: Id
    about: Literal["can", "pickle", "both"] = "both"
    words: list[str] = Field(min_length=1)  # regular expressions on lower-case words
    unless: list[str] = Field(default_factory=list)
    crops: list[Id] = Field(default_factory=list)  # only for these crops, when given
    says: str
    why: str
    routes: list[str] = Field(min_length=1)


class AlarmGroup(Shape):
    """Named lists of words (regular expressions) that alarm rules join."""

    name: str
    words: list[str] = Field(min_length=1)


class AlarmRule(Sourced):
    """Fire when every group in `all` is found and no group in `unless` is."""

    id: Id
    all: list[str] = Field(min_length=1)
    unless: list[str] = Field(default_factory=list)
    answer: Id


class AlarmAnswer(Sourced):
    """What is said when an alarm fires."""

    id: Id
    headline: str
    lines: list[str]
    cautions: list[str] = Field(default_factory=list)


class Alarms(Shape):
    """Words, rules (first that fires wins) and answers of the alarm."""

    groups: list[AlarmGroup]
    after: list[Id]  # groups whose words, right after an alarm, raise it again: how the person fares
    rules: list[AlarmRule]
    answers: list[AlarmAnswer]


class Safety(Shape):
    """Words, rules and answers of what is no emergency and yet comes first; the words of the alarm may be used too."""

    groups: list[AlarmGroup]
    rules: list[AlarmRule]
    answers: list[AlarmAnswer]


class EatingRow(Sourced):
    """A part or state of some crops that must not be eaten (words are regular expressions)."""

    id: Id
    crops: list[Id] = Field(min_length=1)
    named: list[str]
    state: list[str] = Field(min_length=1)
    told: bool = False  # a plain statement is answered too
    headline: str
    lines: list[str]


class Eating(Shape):
    """What must not be eaten, and how a message asks about it."""

    asks: list[str]
    unless: list[str]
    rows: list[EatingRow]


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
    puree: list[str]
    stocktake: list[str]
    emptied: list[str]
    label: list[str]
    timer: list[str]
    timer_stop: list[str]
    commands: dict[str, list[str]]  # intent -> words that settle it
    canner_words: list[str]  # words that only bottling uses
    sealed: list[str]
    unsealed: list[str]
    old_lids: list[str]
    how_many_jars: list[str]
    still_good: list[str]
    acid_question: list[str]
    kitchen_intents: list[str]  # intents left alone when they stand


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
