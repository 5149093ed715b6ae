"""Where a town's name ends."""

from __future__ import annotations

import pytest

from bot.understanding.spots import named_spot


@pytest.mark.parametrize(("text", "name"), [
    ("I'm in Hexham when is our last frost", "Hexham"),
    ("Based in Dorchester, is blight about", "Dorchester"),
    ("We garden near Oban. would artichokes stand the winter", "Oban"),
    ("I live in St. Ives, Cornwall", "St. Ives, Cornwall"),
    ("we've moved to Truro by the way", "Truro"),
])
def test_a_town_ends_where_a_question_begins(text: str, name: str) -> None:
    span = named_spot(text)
    assert span is not None and text[slice(*span)] == name


@pytest.mark.parametrize("text", ["put me in US units please, how deep for sweetcorn", "change me to metric", "set it to Fahrenheit"])
def test_measures_are_no_town(text: str) -> None:
    assert named_spot(text) is None
