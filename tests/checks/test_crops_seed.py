"""Seed life, and the lowest germination that may be sold.

Years of life in favourable storage: Life expectancy of vegetable seeds, Iowa State University Extension 1999,
modified from
Knott's Handbook for Vegetable Growers, https://yardandgarden.extension.iastate.edu.
Germination minimums in per cent: 7 CFR 201.31, Germination standards for vegetable seeds in interstate commerce,
https://www.ecfr.gov/current/title-7/section-201.31.
"""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.keeping.seedage import judge

YEARS = {
    "asparagus": 3,
    "french-bean": 3,
    "beetroot": 4,
    "broccoli-calabrese": 3,
    "brussels-sprout": 4,
    "cabbage-summer": 4,
    "carrot": 3,
    "cauliflower": 4,
    "celery": 3,
    "chard": 4,
    "chinese-cabbage": 3,
    "sweetcorn": 2,
    "cucumber": 5,
    "aubergine": 4,
    "endive": 5,
    "kale": 4,
    "kohlrabi": 3,
    "leek": 2,
    "lettuce": 6,
    "melon": 5,
    "okra": 2,
    "onion": 1,
    "parsley": 1,
    "parsnip": 1,
    "pea": 3,
    "pepper-sweet": 2,
    "pumpkin": 4,
    "radish": 5,
    "salsify": 1,
    "spinach-true": 3,
    "courgette": 4,
    "tomato": 4,
    "turnip": 4,
    "watermelon": 4,
}
MINIMUM_PCT = {
    "asparagus": 70,
    "french-bean": 70,
    "runner-bean": 75,
    "broad-bean": 75,
    "beetroot": 65,
    "broccoli-calabrese": 75,
    "brussels-sprout": 70,
    "cabbage-winter": 75,
    "carrot": 55,
    "cauliflower": 75,
    "celery": 55,
    "celeriac": 55,
    "chives": 50,
    "cucumber": 80,
    "aubergine": 60,
    "endive": 70,
    "kale": 75,
    "kohlrabi": 75,
    "leek": 60,
    "lettuce": 80,
    "okra": 50,
    "onion": 70,
    "parsley": 60,
    "parsnip": 60,
    "pea": 80,
    "pepper-sweet": 55,
    "pumpkin": 75,
    "radish": 75,
    "spinach-true": 60,
    "new-zealand-spinach": 40,
    "tomato": 75,
    "turnip": 80,
    "watermelon": 70,
    "sorrel": 65,
}


@pytest.mark.parametrize("crop", sorted(YEARS))
def test_years_of_life(facts: Facts, crop: str) -> None:
    found = facts.crops[crop].seed_life
    assert found is not None and found.years is not None
    assert found.years[0] <= YEARS[crop] <= found.years[1]


@pytest.mark.parametrize("crop", sorted(MINIMUM_PCT))
def test_federal_germination_minimum(facts: Facts, crop: str) -> None:
    found = facts.crops[crop].seed_life
    assert found is not None
    assert found.germination_min_pct == MINIMUM_PCT[crop]


@pytest.mark.parametrize(
    ("crop", "year", "verdict"),
    [
        ("parsnip", 2026, "good"),
        ("parsnip", 2025, "last"),
        ("parsnip", 2024, "test"),
        ("parsnip", 2022, "spent"),
        ("lettuce", 2021, "good"),
        ("lettuce", 2020, "last"),
        ("lettuce", 2015, "test"),
        ("tomato", 2017, "spent"),
        ("tomato", None, "unknown"),
    ],
)
def test_seed_is_judged_by_its_published_life(facts: Facts, crop: str, year: int | None, verdict: str) -> None:
    assert judge(facts.crops[crop], year, 2026).verdict == verdict
