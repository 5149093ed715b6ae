"""The compost reckoner against Cornell's worked example and the handbook's own ratios, to the printed digit.

Sources: Cornell Waste Management Institute, "Compost Mixture Calculations" (Richard and Trautmann 1996), example of
grass clippings with dry leaves; Cornell mixture spreadsheet (Richard, 2014 update), ingredient rows; On-Farm Composting
Handbook, NRAES-54 (Rynk 1992), table 4.2 for the ranges.
"""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.tending.compost import Ingredient, c_to_n, joined, kg_for_moisture, kg_for_ratio, moisture

GRASS = Ingredient("grass", 10.0, 45.0, 2.4, 77.0)
LEAVES = Ingredient("leaves", 1.0, 50.0, 0.75, 35.0)


def test_leaves_for_ten_kilos_of_grass() -> None:
    assert round(kg_for_ratio(GRASS, LEAVES, 30.0), 1) == 3.5


def test_leaves_for_a_moisture_of_sixty() -> None:
    assert kg_for_moisture(10.0, 77.0, 35.0, 60.0) == pytest.approx(6.8)


def test_the_mix_of_the_example_comes_to_thirty() -> None:
    kg = kg_for_ratio(GRASS, LEAVES, 30.0)
    mix = (GRASS, Ingredient("leaves", kg, 50.0, 0.75, 35.0))
    assert c_to_n(mix) == pytest.approx(30.0)
    assert moisture(mix) == pytest.approx((10 * 77 + kg * 35) / (10 + kg))
    assert joined(mix).ratio == pytest.approx(30.0)


@pytest.mark.parametrize(
    ("material", "carbon", "nitrogen", "water", "ratio"),
    [
        ("cattle-manure", 45.6, 2.4, 81.0, 19.0),
        ("seaweed", 32.3, 1.9, 53.0, 17.0),
        ("fish-waste", 38.2, 10.6, 76.0, 3.6),
    ],
)
def test_ratios_of_the_spreadsheet(
    facts: Facts, material: str, carbon: float, nitrogen: float, water: float, ratio: float
) -> None:
    row = next(r for r in facts.tending.compost.stuff if r.id == material)
    assert row.c_to_n_usual == ratio
    assert row.n_pct == (nitrogen, nitrogen)
    assert row.water_pct == (water, water)
    assert abs(carbon / nitrogen - ratio) < 0.5


def test_targets_are_those_printed(facts: Facts) -> None:
    heap = facts.tending.compost
    assert heap.target("cn-start").span == (25.0, 35.0)
    assert heap.target("moisture").span == (50.0, 60.0)
    assert heap.target("nop-windrow").span == (55.0, 77.0)
    assert heap.target("nop-windrow-days").span == (15.0, 15.0)
    assert heap.target("nop-cn").span == (25.0, 40.0)
