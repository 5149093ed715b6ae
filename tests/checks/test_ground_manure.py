"""Manure rates and the wait from raw manure to harvest against the published figures.

Sources: eXtension, "Using manure in the home garden" (lb per 100 sq ft by animal); US National Organic Program
7 CFR 205.203(c), as told by Utah State, Colorado State and Vermont extension (90 and 120 days); RHS, rotted manure.
"""

from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.tending.soil import LB_PER_100_SQ_FT, manure_rate, raw_days, safe_from


@pytest.mark.parametrize(
    ("row", "lb"),
    [
        ("man-beef", 30),
        ("man-dairy", 35),
        ("man-horse", 35),
        ("man-pig", 40),
        ("man-sheep", 20),
        ("man-hen", 20),
        ("man-broiler", 7),
    ],
)
def test_fresh_rates_as_printed(facts: Facts, row: str, lb: float) -> None:
    rate = next(r for r in facts.tending.manure.rates if r.id == row)
    assert rate.kg_per_m2 == pytest.approx(lb * LB_PER_100_SQ_FT / 1000, abs=0.005)


def test_light_feeders_get_half_and_hungry_ones_double(facts: Facts) -> None:
    room = facts.tending.manure
    middling = manure_rate("horse-manure", "medium", False, room)
    light = manure_rate("horse-manure", "light", False, room)
    heavy = manure_rate("horse-manure", "heavy", False, room)
    assert middling and light and heavy
    assert light[1] == pytest.approx(middling[1] / 2)
    assert heavy[1] == pytest.approx(middling[1] * 2)


def test_rotted_manure_for_hungry_and_other_crops(facts: Facts) -> None:
    room = facts.tending.manure
    hungry, other = manure_rate("manure", "heavy", True, room), manure_rate("manure", "medium", True, room)
    assert hungry and hungry[1] == 10
    assert other and other[1] == 5


@pytest.mark.parametrize("crop", ["carrot", "potato", "radish", "lettuce", "strawberry", "courgette", "leek", None])
def test_what_touches_the_soil_waits_120_days(facts: Facts, crop: str | None) -> None:
    assert raw_days(crop, facts.tending.manure) == 120


@pytest.mark.parametrize("crop", ["sweetcorn", "tomato", "apple", "runner-bean"])
def test_what_is_clear_of_the_soil_waits_90_days(facts: Facts, crop: str) -> None:
    assert raw_days(crop, facts.tending.manure) == 90


def test_the_first_safe_day(facts: Facts) -> None:
    assert safe_from(date(2026, 3, 1), "carrot", facts.tending.manure) == date(2026, 6, 29)
    assert safe_from(date(2026, 3, 1), "sweetcorn", facts.tending.manure) == date(2026, 5, 30)
