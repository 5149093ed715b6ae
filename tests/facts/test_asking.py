"""The patterns by which questions are told apart."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pydantic import ValidationError

import bot
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


def test_every_row_of_words_is_looked_for_somewhere(facts: Facts) -> None:
    code = "\n".join(path.read_text() for path in Path(bot.__file__).parent.rglob("*.py"))
    named = set(re.findall(r"\.(\w+)", code))
    topics = [(topic, dict(words)) for topic, words in facts.asking]
    assert [(topic, name) for topic, words in topics for name in words if name not in named] == []
    assert [name for name, words in facts.preserving.words if name not in named] == []


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("will the tomatoes still ripen on the vine now", True),
        ("too late for the peppers to ripen outside", True),
        ("will green tomatoes ripen indoors", False),
        ("how do I ripen tomatoes on the windowsill", False),
    ],
)
def test_fruit_on_the_plant_is_told_from_fruit_picked(facts: Facts, text: str, asks: bool) -> None:
    assert facts.asking.harvest.of_the_plant(text) is asks
