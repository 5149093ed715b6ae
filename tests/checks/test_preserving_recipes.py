"""Proportions of tested recipes: USDA, Complete Guide to Home Canning, AIB 539 (2015), pages beside them."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.preserving.recipes import factor_for, scale

CUP, LB = 0.2365882, 0.45359237
# recipe, page, litres of acid and of water in one batch, kg of the chief vegetable (None where measured by the cup)
BATCHES = [
    ("pickled-dilled-beans", "6-14", 4 * CUP, 4 * CUP, 4 * LB),
    ("quick-fresh-pack-dill-pickles", "6-10", 6 * CUP, 8 * CUP, 8 * LB),
    ("bread-and-butter-pickles", "6-9", 4 * CUP, 0, 6 * LB),
    ("pickled-asparagus", "6-13", 4.5 * CUP, 4.5 * CUP, 10 * LB),
    ("pickled-beets", "6-15", 4 * CUP, 2 * CUP, 7 * LB),
    ("pickled-carrots", "6-16", 5.5 * CUP, 1 * CUP, 2.75 * LB),
    ("pickled-pearl-onions", "6-20", 5.5 * CUP, 1 * CUP, None),
    ("pickled-bell-peppers", "6-21", 3 * CUP, 3 * CUP, 7 * LB),
    ("pickled-hot-peppers", "6-22", 5 * CUP, 1 * CUP, 4 * LB),
    ("marinated-peppers", "6-20", 3 * CUP, 0, 4 * LB),
    ("pickled-green-tomato-relish", "6-29", 4 * CUP, 0, 10 * LB),
    ("tomato-ketchup", "3-17", 3 * CUP, 0, 24 * LB),
    ("chile-salsa", "3-21", 1 * CUP, 0, 5 * LB),
    ("dill-pickles-fermented", "6-7", 0.25 * CUP, 8 * CUP, 4 * LB),
]


@pytest.fixture(scope="module")
def recipes() -> dict:
    return {r.id: r for r in Facts().preserving.recipes}


def total(scaled: object, role: str) -> float:
    return sum(p.litres[0] for p in scaled.parts if p.of.role == role and p.litres)  # type: ignore[attr-defined]


@pytest.mark.parametrize("batch", BATCHES, ids=lambda b: b[0])
@pytest.mark.parametrize("factor", [1.0, 0.37, 2.5])
def test_batch_and_its_multiples_keep_the_printed_proportions(recipes: dict, batch: tuple, factor: float) -> None:
    name, page, acid, water, kg = batch
    scaled = scale(recipes[name], factor)
    assert recipes[name].page == page
    assert total(scaled, "acid") == pytest.approx(acid * factor, rel=0.002)
    assert total(scaled, "water") == pytest.approx(water * factor, rel=0.002, abs=1e-9)
    if kg is not None:
        assert next(p for p in scaled.parts if p.of.role == "produce").kg == (pytest.approx(kg * factor),) * 2


def test_dilled_beans_are_half_vinegar_half_water(recipes: dict) -> None:
    scaled = scale(
        recipes["pickled-dilled-beans"], factor_for(recipes["pickled-dilled-beans"], "french-bean", 3.0, None)
    )
    assert total(scaled, "acid") == total(scaled, "water") == pytest.approx(3.0 / (4 * LB) * 4 * CUP)


def test_sauerkraut_salt(recipes: dict) -> None:
    """Page 6-8: 3/4 cup of salt to 25 lb in the list, 3 tablespoons to 5 lb in the text: by weight we say the more.

    A tablespoon of pickling salt weighs about 18 g, so 3 to 5 lb is 2.4 %.
    """
    salt = next(i for i in recipes["sauerkraut"].ingredients if i.role == "ferment-salt")
    assert (salt.amount, salt.unit) == ((0.75, 0.75), "cup")
    low, high = next(f for f in Facts().preserving.ferments if f.recipe == "sauerkraut").salt_percent  # type: ignore[misc]
    assert low <= 3 * 18 / (5 * LB * 1000) * 100 <= high


def test_no_weight_is_turned_into_cups(recipes: dict) -> None:
    """Corn relish gives its kernels by the cup only (page 6-28): a weight cannot scale it."""
    assert factor_for(recipes["pickled-corn-relish"], "sweetcorn", 3.0, None) is None
    assert factor_for(recipes["pickled-corn-relish"], "sweetcorn", None, 18) == pytest.approx(2.0)


@pytest.mark.parametrize("factor", [0, -1, float("nan")])
def test_nothing_cannot_be_scaled(recipes: dict, factor: float) -> None:
    with pytest.raises(ValueError):
        scale(recipes["pickled-beets"], factor)
