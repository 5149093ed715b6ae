"""Pounds for a quart jar and a canner load: USDA, Complete Guide to Home Canning, AIB 539 (2015), guides 2 to 4."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.preserving.blanching import canned_yields, frozen_pints, quarts_filled

# crop, form, lb for a quart, lb for a load of 7 quarts, lb for a load of 9 pints
ROWS = [
    ("asparagus", "spears or pieces", 3.5, 24.5, 16),
    ("shell-bean-dried", "dried seed", 0.75, 5, 3.25),
    ("lima-bean", "in pods", 4, 28, 18),
    ("french-bean", "pods in pieces", 2, 14, 9),
    ("beetroot", "without tops", 3, 21, 13.5),
    ("carrot", "without tops", 2.5, 17.5, 11),
    ("sweetcorn", "whole kernel, in husks", 4.5, 31.5, 20),
    ("okra", "pods", 1.5, 11, 7),
    ("pea", "in pods", 4.5, 31.5, 20),
    ("sweet-potato", "roots", 2.5, 17.5, 11),
    ("pumpkin", "cubed", 2.25, 16, 10),
    ("winter-squash", "cubed", 2.25, 16, 10),
    ("spinach-true", "leaves", 4, 28, 18),
    ("tomato", "crushed", 2.75, 22, 14),
    ("tomato", "whole or halved", 3, 21, 13),
    ("tomato", "juice", 3.25, 23, 14),
    ("tomato", "thin sauce", 5, 35, 21),
    ("tomato", "thick sauce", 6.5, 46, 28),
    ("tomatillo", "whole", 2, 14, 9),
    ("cucumber", "pickling, for pickles", 2, 14, 9),
    ("apple", "sliced", 2.75, 19, 12.25),
    ("apple", "sauce", 3, 21, 13.5),
    ("raspberry", "berries whole (all listed soft fruit)", 1.75, 12, 8),
    ("blackcurrant", "berries whole (all listed soft fruit)", 1.75, 12, 8),
    ("gooseberry", "berries whole (all listed soft fruit)", 1.75, 12, 8),
    ("cherry", "whole", 2.5, 17.5, 11),
    ("pear", "halved", 2.5, 17.5, 11),
    ("plum", "halved or whole", 2, 14, 9),
    ("rhubarb", "stewed", 1.5, 10.5, 7),
    ("grape", "whole", 2, 14, 9),
    ("grape", "juice", 3.5, 24.5, 16),
    ("apricot", "halved or sliced", 2.25, 16, 10),
    ("fig", "whole", 2.5, 16, 11),
]


@pytest.fixture(scope="module")
def facts() -> Facts:
    return Facts()


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r[0]}-{r[1]}")
def test_pounds_equal_the_guide(facts: Facts, row: tuple) -> None:
    crop, form, quart, seven, nine = row
    found = next(y for y in facts.preserving.yields if (y.crop, y.form, y.product) == (crop, form, "canned"))
    assert found.lb_per_quart == (quart, quart)
    assert (found.lb_per_7_quarts, found.lb_per_9_pints) == (seven, nine)


@pytest.mark.parametrize("row", [r for r in ROWS if r[3]], ids=lambda r: f"{r[0]}-{r[1]}")
def test_load_is_seven_jars_within_a_seventh(row: tuple) -> None:
    """The printed load of 7 quarts is 7 times the printed quart, but for the guide's own rounding."""
    _, _, quart, seven, _ = row
    assert seven == pytest.approx(7 * quart, rel=1 / 7)


def test_quarts_from_a_weight(facts: Facts) -> None:
    """14 lb (6.350 kg) of green beans is a load of 7 quarts (guide 4, page 4-8)."""
    row = canned_yields("french-bean", facts.preserving)[0]
    assert quarts_filled(row, 14 * 0.45359237) == pytest.approx(7, abs=0.01)


def test_pints_frozen_from_a_weight(facts: Facts) -> None:
    """1 to 1-1/2 lb of fresh asparagus makes a pint frozen (MSU, Weights for preservation, 1996)."""
    low, high, _ = frozen_pints("asparagus", 3 * 0.45359237, facts.preserving)  # type: ignore[misc]
    assert (low, high) == (pytest.approx(2), pytest.approx(3))
