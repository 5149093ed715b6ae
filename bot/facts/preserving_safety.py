"""What keeps preserving safe: rules, refusals, the alarm for poisoning, and what must not be eaten."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bot.facts.base import Id, Shape, Sourced


class Rule(Sourced):
    """One rule of safety or quality."""

    id: Id
    rule: str
    value: str | None = None
    unit: str | None = None
    about: list[str]
    severity: Literal["danger", "caution", "quality"]
    instead: str | None = None


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
