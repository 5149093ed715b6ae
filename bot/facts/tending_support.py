"""The support tables of the tending room: what holds plants up, soil drawn up to them, and plants that rock.

Sentences follow the crop's name ("Peas: yes, …"); {day} in `standing` is the day the plant took its place.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from pydantic import Field

from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts

FILE, WORDS_FILE = "tending/support.yaml", "tending/support_words.yaml"


class SupportWords(Sourced):
    """Patterns of words: what is spoken of, and what is asked of it. `read_as` are the intents such words are read as."""

    supports: list[str]
    shy_supports: list[str]  # count only beside a crop that has a support
    earthing: list[str]
    chitting: list[str]
    chitting_read_as: list[str]
    rocking: list[str]
    others: list[str]  # found, the message is of something else
    meaning: list[str]  # asks what the word means
    asking: list[str]
    height: list[str]
    when: list[str]
    late: list[str]
    ties: list[str]
    form: list[str]  # asks how it is built
    often: list[str]
    leaning: list[str]  # stand for the crop just spoken of
    going_on: list[str]  # leans on the answer before
    things: dict[Id, list[str]]  # crop -> words that bring it to mind where none was read
    plants: list[str]  # plants are meant, though none is named
    sure: float = Field(gt=0, le=1)
    keeps_when_sure: list[str]  # intents that keep a message read as theirs so surely
    read_as: list[str]


class Support(Sourced):
    """What holds some crops up: of what kind, how tall (cm, the whole of it), when and how it is put in."""

    id: Id
    crops: list[Id] = Field(min_length=1)
    kind: str
    height_cm: Span
    say: str  # whether, and what
    when: str
    standing: str | None = None  # for one that already stands
    how: list[str] = Field(min_length=1)
    ties: str | None = None
    plain_only: bool = False  # shy words ("canes") mean the plant itself
    hazards: list[Id] = Field(default_factory=list)


class Earthing(Sourced):
    """Drawing soil up: from what height of the plant, how much at a time, how high in all (cm), how often, until when."""

    id: Id
    crops: list[Id] = Field(min_length=1)
    first_cm: Span | None = None
    each_cm: Span | None = None
    top_cm: Span | None = None
    every_weeks: Span | None = None
    shoots_weeks: Span | None = None  # from planting to the first shoots
    midsummer_weeks: Span | None = None  # first and last, in weeks after the summer solstice
    say: str
    first: str
    how: str
    last: str


class Firming(Sourced):
    """What is done for plants that rock in the wind."""

    id: Id
    name: str  # what they are called together
    crops: list[Id] = Field(min_length=1)
    each_cm: Span | None = None
    say: str
    when: str
    how: list[str] = Field(min_length=1)


class NothingNeeded(Sourced):
    """What is said of a crop that needs none, and of one nothing is known of."""

    support: str
    unknown: str
    earthing: str


class Supports(Shape):
    """Every row about support, earthing up and firming."""

    standing_weeks: float = Field(gt=0)  # how long after planting `standing` is still worth saying
    supports: list[Support]
    earthing: list[Earthing]
    firming: list[Firming]
    nothing: NothingNeeded

    def support(self, crop: str) -> Support | None:
        """Return what holds a crop up, or None."""
        return next((row for row in self.supports if crop in row.crops), None)

    def earthed(self, crop: str) -> Earthing | None:
        """Return how soil is drawn up to a crop, or None."""
        return next((row for row in self.earthing if crop in row.crops), None)

    def firmed(self, crop: str) -> Firming | None:
        """Return what is done for a crop that rocks, or None."""
        return next((row for row in self.firming if crop in row.crops), None)


def check(facts: Facts) -> list[Fault]:
    """Return rows whose names lead nowhere or stand twice, crops whose own note says otherwise, and broken patterns."""
    room, words = facts.tending.supports, facts.tending.support_words
    hazards = {row.id for row in facts.tending.hazards}
    faults: list[Fault] = []
    for table in (room.supports, room.earthing, room.firming):
        crops = [crop for row in table for crop in row.crops]
        for row in table:
            faults += [Fault(FILE, 0, f"{row.id}.crops", f"unknown crop {c!r}") for c in row.crops if c not in facts.crops]
            faults += [Fault(FILE, 0, f"{row.id}.crops", f"{c!r} stands twice") for c in row.crops if crops.count(c) > 1]
    faults += [Fault(FILE, 0, f"{s.id}.hazards", f"unknown hazard {h!r}") for s in room.supports for h in s.hazards if h not in hazards]
    for crop in facts.crops.values():
        noted, held = needs_support(crop.light.support if crop.light else None), room.support(crop.id)
        if noted and held is None:
            faults.append(Fault(FILE, 0, "supports", f"says nothing of {crop.id!r}, whose light.support names one"))
        if noted is False and held is not None and crop.id in facts.written_crops and crop.id not in _also_firmed(room):
            faults.append(Fault(FILE, 0, f"{held.id}.crops", f"holds up {crop.id!r}, whose light.support is 'no'"))
    for name in (n for n in SupportWords.model_fields if n not in Sourced.model_fields and n not in ("read_as", "keeps_when_sure", "sure", "things")):
        faults += _broken(getattr(words, name), name)
    for thing, patterns in words.things.items():
        faults += _broken(patterns, f"things.{thing}")
        if thing not in facts.crops:
            faults.append(Fault(WORDS_FILE, 0, f"things.{thing}", "is no crop"))
    intents = {path.stem for path in (facts.root / "phrases" / "intents").glob("*.yaml")}
    return faults + [Fault(WORDS_FILE, 0, "read_as", f"unknown intent {i!r}") for i in (*words.read_as, *words.keeps_when_sure) if i not in intents]


def needs_support(noted: str | None) -> bool | None:
    """Return whether a crop's own note of support names one; None when it has no note."""
    return None if noted is None else not re.match(r"no\b", noted)


def _also_firmed(room: Supports) -> set[str]:
    """Return crops that are staked only where they rock: their own note may say no."""
    return {crop for row in room.firming for crop in row.crops}


def _broken(patterns: list[str], field: str) -> list[Fault]:
    faults = []
    for pattern in patterns:
        try:
            re.compile(pattern)
        except re.error as error:
            faults.append(Fault(WORDS_FILE, 0, field, f"{pattern!r} is no pattern: {error}"))
    return faults
