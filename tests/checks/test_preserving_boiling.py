"""The boiling point of water by height, by formula, against published tables.

Formula: U.S. Standard Atmosphere, 1976, and the Antoine equation with the NIST Chemistry WebBook constants for
344-373 K. Table: boiling point of pure water by altitude credited to NASA and NOAA (encyclopaedia article on
high-altitude cooking); 3,000 and 4,000 ft from the table of the Complete Guide to Home Canning.
"""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.preserving.altitude import band_at, boiling_point_c, jelly_point_c, to_feet

TABLE = [
    (0, 100.0),
    (500, 99.5),
    (1000, 99.0),
    (2000, 98.0),
    (3000, 97.05),
    (4000, 96.08),
    (5000, 95.0),
    (6000, 94.0),
    (8000, 91.9),
    (10000, 89.8),
    (12000, 87.6),
    (14000, 85.5),
    (15000, 84.5),
]
# Set points of jelly, °F: USDA guide 7 (to 4,000 ft as reprinted in rurification.blogspot.com, High altitude jam).
JELLY = [(0, 220), (1000, 218), (2000, 216), (3000, 214), (4000, 212)]


@pytest.mark.parametrize("feet,celsius", TABLE)
def test_formula_meets_the_table(feet: int, celsius: float) -> None:
    assert boiling_point_c(feet * 0.3048) == pytest.approx(celsius, abs=0.3)


def test_knowledge_holds_the_same_table() -> None:
    assert [(r.altitude_ft, r.boiling_c) for r in Facts().preserving.boiling if r.boiling_c is not None] == TABLE


@pytest.mark.parametrize("feet,fahrenheit", JELLY)
def test_jelly_point(feet: int, fahrenheit: float) -> None:
    assert jelly_point_c(feet * 0.3048) * 1.8 + 32 == pytest.approx(fahrenheit, abs=1.0)


@pytest.mark.parametrize("metres,feet", [(304.8, 1000), (914.4, 3000), (1828.8, 6000), (-5, 0)])
def test_feet(metres: float, feet: float) -> None:
    assert to_feet(metres) == feet


@pytest.mark.parametrize(
    "metres,minutes",
    [(0, 35), (304.8, 35), (304.9, 40), (305.1, 40), (914.4, 40), (914.5, 45), (1828.8, 45), (1828.9, 50), (4000, 50)],
)
def test_band_edges(metres: float, minutes: float) -> None:
    """Crushed tomatoes in pints, guide 3 page 3-8: 35, 40, 45 and 50 minutes in the four bands."""
    bands = [(0, 1000, 35.0, None), (1001, 3000, 40.0, None), (3001, 6000, 45.0, None), (6001, None, 50.0, None)]
    assert band_at(bands, metres) == (minutes, None)


def test_no_band_above_the_last() -> None:
    assert band_at([(0, 2000, 20.0, 11.0), (2001, 8000, 20.0, 12.0)], 8001 * 0.3048) is None
