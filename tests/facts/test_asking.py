"""The patterns by which questions are told apart."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from bot.facts import Facts
from bot.facts.asking import RecordKinds
from bot.plot.events import KINDS


def test_a_list_is_of_ways_to_say_the_same() -> None:
    row = RecordKinds.model_validate({"says": [r"\bsowings?\b", r"\bseeded\b"], "kinds": ["sown"]})
    assert [bool(row.says.search(text)) for text in ("my last Sowing", "SEEDED it", "reseeded")] == [True, True, False]


@pytest.mark.parametrize("says", ["(unclosed", ["fine", "[a-"], {"a": 1}, 3])
def test_what_is_no_pattern_is_named(says: object) -> None:
    with pytest.raises(ValidationError, match="is no pattern"):
        RecordKinds.model_validate({"says": says, "kinds": ["sown"]})


def test_every_kind_of_record_asked_for_is_one_that_is_written(facts: Facts) -> None:
    words = facts.asking.records
    assert {kind for row in (*words.kinds, *words.sorts) for kind in row.kinds} <= set(KINDS)
