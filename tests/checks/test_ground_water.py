"""Crop coefficients and readily available water against FAO-56 (Allen and others 1998).

Sources: FAO-56 table 12 (Kc), table 22 (p and rooting depth), chapter 8 example of RAW for onion, tomato and
maize on three soils. Evaporation itself is checked with the season.
"""

from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.tending.water import Day, budget, kc_at, readily_available

# p and rooting depth (m) of onion, tomato, maize; RAW in mm as printed for loamy sand, silt, silty clay
CROPS = {"onion": (0.30, 0.4), "tomato": (0.40, 0.8), "maize": (0.55, 1.2)}
SOILS = {"loamy sand": 90.0, "silt": 170.0, "silty clay": 120.0}
PRINTED = {
    ("onion", "loamy sand"): 11,
    ("tomato", "loamy sand"): 29,
    ("maize", "loamy sand"): 59,
    ("onion", "silt"): 20,
    ("tomato", "silt"): 54,
    ("maize", "silt"): 112,
    ("onion", "silty clay"): 14,
    ("tomato", "silty clay"): 38,
    ("maize", "silty clay"): 79,
}


@pytest.mark.parametrize(("pair", "mm"), PRINTED.items())
def test_readily_available_water(pair: tuple[str, str], mm: int) -> None:
    p, depth = CROPS[pair[0]]
    assert round(readily_available(p, SOILS[pair[1]], depth)) == mm


@pytest.mark.parametrize(
    ("crop", "first", "middle", "last"),
    [
        ("tomato", 0.6, 1.15, 0.8),
        ("potato", 0.5, 1.15, 0.75),
        ("carrot", 0.7, 1.05, 0.95),
        ("pea", 0.5, 1.15, 1.1),
        ("lettuce", 0.7, 1.0, 0.95),
        ("onion", 0.7, 1.05, 0.75),
        ("sweetcorn", 0.3, 1.15, 1.05),
        ("cucumber", 0.6, 1.0, 0.75),
        ("strawberry", 0.4, 0.85, 0.75),
    ],
)
def test_coefficients_by_stage(facts: Facts, crop: str, first: float, middle: float, last: float) -> None:
    water = facts.tending.water
    grown = facts.crops[crop]
    assert kc_at(grown, 0.0, water) == first
    assert kc_at(grown, 0.2, water) == first
    assert kc_at(grown, 0.7, water) == middle
    assert kc_at(grown, 1.0, water) == pytest.approx(last)
    assert kc_at(grown, None, water) == middle


def test_development_is_a_straight_line(facts: Facts) -> None:
    water = facts.tending.water
    tomato = facts.crops["tomato"]
    assert kc_at(tomato, 0.35, water) == pytest.approx((0.6 + 1.15) / 2)


def test_a_week_of_five_millimetres(facts: Facts) -> None:
    """ETc = Kc x ET0: 7 x 5.0 x 1.15 = 40.25 mm; 10 mm of rain reach the roots as 8."""
    days = [Day(date(2026, 7, n), 5.0, 10.0 / 7, True) for n in range(1, 8)]
    found = budget(days, 1.15, 54.0, facts.tending.water)
    assert found.etc_mm == pytest.approx(40.25)
    assert found.need == pytest.approx(32.25)
