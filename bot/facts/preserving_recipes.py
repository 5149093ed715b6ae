"""Tested bottling: times by height for each pack and jar, and the recipes they belong to."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from bot.facts.base import Id, Shape, Sourced, Span

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
