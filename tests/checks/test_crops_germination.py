"""Germination against J. F. Harrington's and P. A. Minges' tables.

Soil limits in °F: J. F. Harrington, Soil temperature conditions for vegetable seed germination, as published by
Oregon State
University Extension,
https://extension.oregonstate.edu/gardening/soil-compost/soil-temperature-conditions-vegetable-seed-germination.
Days to emergence at soil °C (sown half an inch deep): Harrington and Minges 1954 in Knott's Handbook, as printed in
Teaching
Organic Farming and Gardening, unit 1.3 appendix 4, University of California Santa Cruz. None = none came up.
"""

from __future__ import annotations

import pytest

from bot.facts import Facts

#: crop: least, best low, best high, most, °F.
LIMITS_F = {
    "asparagus": (50, 60, 85, 95),
    "french-bean": (60, 60, 85, 95),
    "beetroot": (40, 50, 85, 95),
    "cabbage-summer": (40, 45, 95, 100),
    "carrot": (40, 45, 85, 95),
    "cauliflower": (40, 45, 85, 100),
    "celery": (40, 60, 70, 85),
    "chard": (40, 50, 85, 95),
    "sweetcorn": (50, 60, 95, 105),
    "cucumber": (60, 60, 95, 105),
    "onion": (35, 50, 95, 95),
    "parsnip": (35, 50, 70, 85),
    "pea": (40, 40, 75, 85),
    "pepper-sweet": (60, 65, 95, 95),
    "pumpkin": (60, 70, 90, 100),
    "radish": (40, 45, 90, 95),
    "spinach-true": (35, 45, 75, 85),
    "tomato": (50, 60, 85, 95),
    "turnip": (40, 60, 105, 105),
    "watermelon": (60, 70, 95, 105),
}
#: crop: {soil °C: days to emergence}.
DAYS = {
    "asparagus": {10: 53, 15: 24, 20: 15, 25: 10, 5: None},
    "french-bean": {15: 16, 20: 11, 25: 8, 10: None},
    "beetroot": {5: 42, 10: 17, 15: 10, 20: 6},
    "cabbage-summer": {10: 15, 15: 9, 20: 6, 25: 5},
    "carrot": {5: 51, 10: 17, 15: 10, 20: 7, 40: None},
    "cauliflower": {10: 20, 15: 10, 20: 6},
    "celery": {5: 41, 10: 16, 20: 7, 25: None},
    "cucumber": {15: 13, 20: 6, 25: 4, 10: None},
    "lettuce": {0: 49, 5: 15, 10: 7, 20: 3, 35: None},
    "onion": {0: 136, 5: 31, 10: 13, 20: 5},
    "parsley": {10: 29, 15: 17, 20: 14},
    "parsnip": {0: 172, 5: 57, 10: 27, 20: 14, 35: None},
    "pea": {5: 36, 10: 14, 15: 9, 20: 8},
    "pepper-sweet": {15: 25, 20: 13, 25: 8, 10: None},
    "radish": {5: 29, 10: 11, 15: 6, 20: 4},
    "spinach-true": {0: 63, 5: 23, 10: 12, 20: 6, 35: None},
    "sweetcorn": {10: 22, 15: 12, 20: 7, 5: None},
    "tomato": {10: 43, 15: 14, 20: 8, 5: None},
    "turnip": {10: 5, 15: 3, 20: 2, 5: None},
    "watermelon": {20: 12, 25: 5, 30: 4},
}


@pytest.mark.parametrize("crop", sorted(LIMITS_F))
def test_soil_limits(facts: Facts, crop: str) -> None:
    found = facts.crops[crop].germination
    assert found is not None and found.soil_best_c is not None
    ours = (found.soil_min_c, *found.soil_best_c, found.soil_max_c)
    assert ours == pytest.approx([(f - 32) / 1.8 for f in LIMITS_F[crop]], abs=0.06)


@pytest.mark.parametrize("crop", sorted(DAYS))
def test_days_to_emergence(facts: Facts, crop: str) -> None:
    found = facts.crops[crop].germination
    assert found is not None
    ours = dict(found.days_at)
    assert {t: ours[t] for t in DAYS[crop]} == DAYS[crop]


def test_warmer_soil_is_never_slower_below_the_best(facts: Facts) -> None:
    for crop in facts.written_crops.values():
        if crop.germination is None or crop.germination.soil_best_c is None:
            continue
        best = crop.germination.soil_best_c[1]
        days = [d for t, d in crop.germination.days_at if d is not None and t <= best - 4]
        assert days == sorted(days, reverse=True), crop.id
