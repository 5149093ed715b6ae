"""A piece of advice found by the words it is asked in: weeds, home remedies, ferments gone wrong."""

from __future__ import annotations

from pydantic import Field

from bot.facts.base import Id, Sourced


class Advice(Sourced):
    """What to say when a message holds one of `words` (patterns), and one of `only` where there are any.

    `say` is the answer, `lines` its rest, `cautions` what could hurt.
    """

    id: Id
    only: list[str] = Field(default_factory=list)
    words: list[str] = Field(min_length=1)
    say: str
    lines: list[str] = Field(default_factory=list)
    cautions: list[str] = Field(default_factory=list)
