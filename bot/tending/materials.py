"""Find the materials a message names (grass, horse muck, shredded paper) and how much of each.

Materials are the ids of the words table that understanding reads too; amounts come before their material, and one
without a unit takes the unit before it: "2 barrows of grass, 1 of shredded paper, some manure".
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bot.facts.tending_ground import Measure
from bot.tending.topics import found_at, plain

_NUMBERS = {
    "a": 1.0,
    "an": 1.0,
    "one": 1.0,
    "two": 2.0,
    "three": 3.0,
    "four": 4.0,
    "five": 5.0,
    "six": 6.0,
    "seven": 7.0,
    "eight": 8.0,
    "nine": 9.0,
    "ten": 10.0,
    "half": 0.5,
    "couple": 2.0,
    "few": 3.0,
    "several": 4.0,
    "quarter": 0.25,
    "½": 0.5,
    "¼": 0.25,
    "¾": 0.75,
    "dozen": 12.0,
}
#: Said of an amount that is not known: half of what the least other measure is, or half a barrow.
_SOME = frozenset({"some", "bit", "little", "handy", "odd"})
_UNITS = {
    "barrow": "barrow",
    "wheelbarrow": "barrow",
    "barrowload": "barrow",
    "barrowful": "barrow",
    "bucket": "bucket",
    "bucketful": "bucket",
    "pail": "bucket",
    "bag": "bag",
    "sack": "bag",
    "bagful": "bag",
    "bale": "bale",
    "load": "load",
    "handful": "handful",
    "armful": "armful",
    "box": "box",
    "boxe": "box",
    "crate": "box",
    "basket": "basket",
    "trug": "tub",
    "tub": "tub",
    "l": "l",
    "litre": "l",
    "liter": "l",
    "kg": "kg",
    "kilo": "kg",
    "part": "part",
    "lb": "lb",
    "pound": "lb",
    "cup": "part",
    "layer": "part",
    "third": "part",
    "tonne": "tonne",
    "ton": "tonne",
    "gallon": "gallon",
    "gal": "gallon",
}
LB_KG, GALLON_L = 0.45359237, 4.54609
_STUCK = re.compile(r"^(\d+(?:\.\d+)?)([a-z]+)$")
#: Words that end the reach of an amount: what follows has an amount of its own or none.
SOME_BARROWS = 0.5


@dataclass(frozen=True, slots=True)
class Mention:
    """One material in a message: its id, and where its words stand (first, one past last)."""

    material: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Heaped:
    """So much of one material. `vague` says the amount was guessed."""

    material: str
    amount: float
    unit: str
    vague: bool = False


def mentions(text: str, words: Mapping[str, Sequence[str]]) -> list[Mention]:
    """Return the materials a message names, in order, the longest words first where they overlap."""
    said = plain(text)
    found: list[tuple[int, float, Mention]] = []
    for material, forms in words.items():
        for form in forms:
            parts = plain(form)
            for start in range(len(said) - len(parts) + 1):
                at = found_at(parts, said[start : start + len(parts)])
                if at is not None:
                    found.append((len(parts), at[1] * len(form), Mention(material, start, start + len(parts))))
    taken: set[int] = set()
    chosen = []
    for _, _, mention in sorted(found, key=lambda row: (-row[0], -row[1])):
        span = set(range(mention.start, mention.end))
        if not span & taken:
            taken |= span
            chosen.append(mention)
    return sorted(chosen, key=lambda mention: mention.start)


def heaped(text: str, words: Mapping[str, Sequence[str]]) -> list[Heaped]:
    """Return how much of what a message names, in order; nothing without an amount and unit ("a banana skin")."""
    said = plain(text)
    out: list[Heaped] = []
    unit, since = "barrow", 0
    any_amount = unit_said = False
    for mention in mentions(text, words):
        amount: float | None = None
        vague = False
        own_unit: str | None = None
        for word in said[since : mention.start]:
            stuck = _STUCK.match(word)
            if stuck and _unit(stuck[2]):
                amount, own_unit = float(stuck[1]), _unit(stuck[2])
            elif word.replace(".", "", 1).isdigit():
                amount = float(word)
            elif word in _NUMBERS:
                amount = (
                    amount * _NUMBERS[word]
                    if amount and word in ("dozen",)
                    else (_NUMBERS[word] if word not in ("a", "an") or amount is None else amount)
                )
            elif word in _SOME:
                vague = True
            elif _unit(word):
                own_unit = _unit(word)
        if own_unit:
            unit, unit_said = own_unit, True
        if amount is not None and not vague:
            any_amount = any_amount or unit_said
            out.append(Heaped(mention.material, amount, unit))
        else:
            out.append(
                Heaped(mention.material, SOME_BARROWS, unit if unit not in ("kg", "lb", "l") else "barrow", vague=True)
            )
        since = mention.end
    if not any_amount and len(out) == 1:  # "I have only leaves, four bags"
        after = heaped_amount(said)
        if after is not None:
            return [Heaped(out[0].material, *after)]
    return out if any_amount else []


def heaped_amount(said: Sequence[str]) -> tuple[float, str] | None:
    """Return the first number that stands before a unit among words."""
    for word, following in zip(said, said[1:], strict=False):
        unit = _unit(following)
        if unit and (word in _NUMBERS or word.replace(".", "", 1).isdigit()):
            return (_NUMBERS[word] if word in _NUMBERS else float(word)), unit
    return None


def _unit(word: str) -> str | None:
    return _UNITS.get(word) or _UNITS.get(word.removesuffix("s"))


def all_words(words: Mapping[str, Sequence[str]], more: Mapping[str, Sequence[str]]) -> dict[str, list[str]]:
    """Return the words of both tables together."""
    return {key: [*words.get(key, ()), *more.get(key, ())] for key in dict.fromkeys((*words, *more))}


def litres_of(amount: float, unit: str, measures: Sequence[Measure], *, us: bool = False) -> float | None:
    """Return litres of an amount by volume; None for a weight or an unknown unit. A part counts as a barrow."""
    if unit == "l":
        return amount
    if unit == "gallon":
        return amount * (3.785411784 if us else GALLON_L)
    name = "barrow" if unit == "part" else unit
    row = next((m for m in measures if m.id == name), None)
    if row is None:
        return None
    return amount * (row.us_litres if us and row.us_litres else row.litres)


def kg_of(amount: float, unit: str) -> float | None:
    """Return kilograms of an amount by weight; None for a volume."""
    return {"kg": amount, "lb": amount * LB_KG, "tonne": amount * 1000.0}.get(unit)
