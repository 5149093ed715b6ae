"""Materials and amounts read from plain words, and rows found by theirs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.facts import Facts
from bot.tending.materials import Heaped, heaped, kg_of, litres_of, mentions
from bot.tending.topics import best, found_at, plain


@pytest.fixture(scope="module")
def words(facts: Facts) -> dict[str, list[str]]:
    return {
        **facts.tending.material_words.words,
        **{
            r.id: [*facts.tending.material_words.words.get(r.id, ()), *r.words]
            for r in facts.tending.compost.stuff
            if r.words
        },
    }


def test_the_brief_of_a_mix(words: dict[str, list[str]]) -> None:
    found = heaped("2 barrows of grass, 1 of shredded paper, some manure", words)
    assert found == [
        Heaped("grass-clippings", 2.0, "barrow"),
        Heaped("paper", 1.0, "barrow"),
        Heaped("manure", 0.5, "barrow", vague=True),
    ]


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("10kg horse muck and 3 kg straw", ("horse-manure", 10.0, "kg")),
        ("half a barrow of chicken poo and two of straw", ("hen-manure", 0.5, "barrow")),
        ("four bags of leaves", ("leaves", 4.0, "bag")),
        ("I have only leaves, four bags", ("leaves", 4.0, "bag")),
        ("two barrows grass clipings, 1 barow paper", ("grass-clippings", 2.0, "barrow")),
    ],
)
def test_amounts_before_and_after(words: dict[str, list[str]], text: str, first: tuple[str, float, str]) -> None:
    item = heaped(text, words)[0]
    assert (item.material, item.amount, item.unit) == first


def test_no_amount_is_no_mix(words: dict[str, list[str]]) -> None:
    assert heaped("how much cardboard to mix with grass", words) == []


def test_longest_words_win(words: dict[str, list[str]]) -> None:
    assert [m.material for m in mentions("well rotted horse manure", words)] == ["horse-manure"]


def test_litres_and_kilos(facts: Facts) -> None:
    measures = facts.tending.measures
    assert litres_of(2, "barrow", measures) == 170
    assert litres_of(1, "barrow", measures, us=True) == 170
    assert litres_of(3, "kg", measures) is None
    assert kg_of(3, "kg") == 3
    assert kg_of(2, "barrow") is None


def test_topics_forgive_a_slip_but_not_the_first_letter() -> None:
    assert found_at(["grass"], plain("the gras is long")) is not None
    assert found_at(["bones"], plain("plastic ones")) is None
    assert found_at(["rat"], plain("rats!")) is not None


def test_the_longest_topic_wins(facts: Facts) -> None:
    topic = best("the heap smells of ammonia", facts.tending.compost.topics)
    assert topic is not None
    assert topic.id == "ammonia"
    assert best("zzz", facts.tending.compost.topics) is None


@given(st.text(max_size=200))
def test_nothing_typed_breaks_the_reader(text: str) -> None:
    heaped(text, {"straw": ["straw"], "leaves": ["dry leaves"]})
