"""What people say when they ask: patterns of words by which a handler tells what is wanted of it, compiled once as they are read."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, WithJsonSchema

from bot.facts.base import Shape


def _compiled(ways: Any) -> re.Pattern[str]:
    """Return one pattern of one way to say a thing, or of several."""
    pattern = "|".join(ways) if isinstance(ways, list) else ways
    try:
        return re.compile(pattern, re.IGNORECASE)
    except (re.error, TypeError) as error:
        raise ValueError(f"is no pattern: {error}") from None


_WAY = {"type": "string", "format": "regex"}
Saying = Annotated[re.Pattern[str], BeforeValidator(_compiled), WithJsonSchema({"anyOf": [_WAY, {"type": "array", "items": _WAY}]})]


class ColdWords(Shape):
    """Of cold and frost."""

    a_frost: Saying
    kills: Saying
    dies: Saying
    needs: Saying
    cover_needed: Saying
    how_cold: Saying
    which: Saying
    left_in: Saying
    blossom: Saying
    frosty: Saying
    foretold: Saying
    to_come: Saying
    asks: Saying
    first: Saying
    last: Saying
    autumn: Saying


class HarvestWords(Shape):
    """Of crops to come and what was picked."""

    of_all: Saying
    sooner: Saying
    by_a_day: Saying
    stop: Saying
    told: Saying
    if_begun: Saying
    bed_free: Saying
    when: Saying
    last: Saying
    compared: Saying
    by_bed: Saying
    best: Saying


class RecordKinds(Shape):
    """The kinds of records that some words mean."""

    says: Saying
    kinds: tuple[str, ...] = Field(min_length=1)


class RecordWords(Shape):
    """Of the record."""

    kinds: list[RecordKinds]
    stems: list[str]
    sorts: list[RecordKinds]
    picked: Saying
    grew: Saying
    first: Saying
    goes_on: Saying
    of_that: Saying
    of_all: Saying
    made: Saying
    not_made: Saying
    used: Saying
    gone: Saying
    whole_day: Saying
    the_lot: Saying
    remind: Saying
    note_end: Saying
    note_lead: Saying

    def of_past_stores(self, text: str) -> bool:
        """Tell whether a question is of the past of the stores, and not of what is left."""
        made = self.made.search(text) and not self.not_made.search(text)
        return bool(made or self.used.search(text) or self.gone.search(text))


class SowingWords(Shape):
    """Of sowing and seed."""

    out: Saying
    outside: Saying
    second_later: Saying
    first_later: Saying
    gap: Saying
    rows: Saying
    again: Saying
    now: Saying
    from_seed: Saying
    early: Saying
    calendar: Saying
    takes: Saying
    coming_up: Saying
    whether: Saying
    too_for_seed: Saying
    light: Saying
    of_seed: Saying
    too_late: Saying
    too: Saying
    still: Saying
    sow: Saying
    ready_by: Saying
    for_autumn: Saying
    for_winter: Saying

    def season(self, text: str) -> str | None:
        """Return the season a crop is wanted for, "autumn" or "winter", where one is named."""
        return "autumn" if self.for_autumn.search(text) else "winter" if self.for_winter.search(text) else None


class AskingFacts(Shape):
    """The words of questions, by what they are about."""

    cold: ColdWords
    harvest: HarvestWords
    records: RecordWords
    sowing: SowingWords


FILES: dict[str, str] = {name: f"asking/{name}.yaml" for name in AskingFacts.model_fields}
