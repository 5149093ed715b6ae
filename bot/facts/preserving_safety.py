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


class AlarmHelp(Sourced):
    """Whom to ring where the plot lies: `emergency` is the number alone; `zones` are time zones, or beginnings that end in "/"."""

    id: Id
    zones: list[str]
    emergency: str
    poison: str
    where: str | None = None  # the emergency number as a sentence, where it is not "Ring …"

    def fits(self, zone: str) -> bool:
        """Tell whether a time zone is one of this row's."""
        return any(zone == name or (name.endswith("/") and zone.startswith(name)) for name in self.zones)


class Alarms(Shape):
    """Words, rules (first that fires wins), answers of the alarm, and whom to ring; "{emergency}" in an answer is that number."""

    groups: list[AlarmGroup]
    after: list[Id]  # groups whose words, right after an alarm, raise it again: how the person fares
    rules: list[AlarmRule]
    help: list[AlarmHelp] = Field(min_length=1)  # the first that fits; the last where none does
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
    harm_asks: list[str]  # ask whether it harms: the answer's "no" is then a "yes"
    unless: list[str]
    rows: list[EatingRow]
