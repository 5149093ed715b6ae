"""Hardiness against published winter-kill lists and the published scales.

Killing temperatures in °F from P. Dawling's winter-kill lists (unprotected field, central Virginia), Growing for
Market 2012 and
later copies, where the knowledge quotes them as read; the order of crops is what is tested, since every list is one
place's.
H1a-H7: RHS hardiness ratings, Royal Horticultural Society 2013. 1a-13b: USDA Plant Hardiness Zone Map,
https://planthardiness.ars.usda.gov.
"""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.facts.climate import ScaleStep
from bot.growing.hardiness import kill_c

#: Each crop dies at a higher temperature than the next: tender first.
ORDER = [
    "basil",
    "french-bean",
    "dill",
    "celeriac",
    "kohlrabi",
    "brussels-sprout",
    "leek",
    "lambs-lettuce",
    "winter-rye",
]
#: (crop, state, a piece of its conditions): °F at which it dies.
KILLED_F = [
    ("basil", "plant", "blacken well above freezing", 35),
    ("french-bean", "plant", "", 32),
    ("sweetcorn", "plant", "", 32),
    ("cucumber", "plant", "", 32),
    ("aubergine", "plant", "", 32),
    ("okra", "plant", "", 32),
    ("melon", "plant", "", 32),
    ("cauliflower", "head", "curds", 32),
    ("cabbage-summer", "head", "many", 27),
    ("broccoli-calabrese", "head", "heads", 25),
    ("broad-bean", "plant", "spring types", 25),
    ("chinese-cabbage", "plant", "probably", 25),
    ("dill", "plant", "", 25),
    ("pak-choi", "plant", "most", 25),
    ("mizuna", "plant", "most", 25),
    ("florence-fennel", "plant", "", 25),
    ("chard", "plant", "multicoloured", 22),
    ("rocket", "plant", "colder", 22),
    ("radish", "plant", "summer", 20),
    ("celeriac", "plant", "", 20),
    ("cabbage-summer", "head", "outer leaves", 20),
]
RHS = {
    "H1a": (15, None),
    "H1b": (10, 15),
    "H1c": (5, 10),
    "H2": (1, 5),
    "H3": (-5, 1),
    "H4": (-10, -5),
    "H5": (-15, -10),
    "H6": (-20, -15),
    "H7": (None, -20),
}
USDA_F = {
    "1a": (-60, -55),
    "3b": (-35, -30),
    "4a": (-30, -25),
    "5a": (-20, -15),
    "5b": (-15, -10),
    "6a": (-10, -5),
    "6b": (-5, 0),
    "7a": (0, 5),
    "7b": (5, 10),
    "8a": (10, 15),
    "8b": (15, 20),
    "9a": (20, 25),
    "9b": (25, 30),
    "10a": (30, 35),
    "11a": (40, 45),
    "12a": (50, 55),
    "13b": (65, 70),
}


@pytest.mark.parametrize(("crop", "state", "condition", "fahrenheit"), KILLED_F)
def test_killing_temperatures(facts: Facts, crop: str, state: str, condition: str, fahrenheit: float) -> None:
    rows = [
        r
        for r in facts.crops[crop].hardiness
        if r.state == state and r.kill_c is not None and condition in (r.conditions or "")
    ]
    assert any(r.kill_c == pytest.approx((fahrenheit - 32) / 1.8, abs=0.06) for r in rows)


def test_the_order_of_the_lists_is_kept(facts: Facts) -> None:
    kills = [kill_c(facts.crops[crop], facts) for crop in ORDER]
    assert kills == sorted(kills, reverse=True), dict(zip(ORDER, kills, strict=True))
    assert kills[0] > 0 > kills[2] > kills[-1]


def scale(facts: Facts, name: str, code: str) -> ScaleStep:
    return next(row for row in facts.climate.scales if row.scale == name and row.code == code)


@pytest.mark.parametrize("code", sorted(RHS))
def test_rhs_ratings(facts: Facts, code: str) -> None:
    row = scale(facts, "RHS", code)
    assert (row.min_c, row.max_c) == RHS[code]


@pytest.mark.parametrize("code", sorted(USDA_F))
def test_usda_zones(facts: Facts, code: str) -> None:
    row = scale(facts, "USDA", code)
    assert (row.min_c, row.max_c) == pytest.approx([(f - 32) / 1.8 for f in USDA_F[code]], abs=0.06)
