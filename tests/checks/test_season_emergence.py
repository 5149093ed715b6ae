"""Days to come up equal the published table at its nodes, and lie between them in between.

Harrington, J. F. and Minges, P. A. (1954) Vegetable Seed Germination, University of California; as reprinted by Oregon
State University (osu-harrington). Columns are soil temperatures of 0 to 40 °C in steps of five; "none" = nothing
came up, None = not tested.
"""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.season.emergence import days_at

TEMPERATURES = (0, 5, 10, 15, 20, 25, 30, 35, 40)
Cell = float | str | None

PRINTED: dict[str, tuple[Cell, ...]] = {
    "asparagus": ("none", "none", 53, 24, 15, 10, 12, 20, 28),
    "french-bean": ("none", "none", "none", 16, 11, 8, 6, 6, "none"),
    "beetroot": (None, 42, 17, 10, 6, 5, 5, 5, None),
    "cabbage-spring": (None, None, 15, 9, 6, 5, 4, None, None),
    "cabbage-summer": (None, None, 15, 9, 6, 5, 4, None, None),
    "cabbage-winter": (None, None, 15, 9, 6, 5, 4, None, None),
    "cabbage-savoy": (None, None, 15, 9, 6, 5, 4, None, None),
    "carrot": ("none", 51, 17, 10, 7, 6, 6, 9, "none"),
    "cauliflower": (None, None, 20, 10, 6, 5, 5, None, None),
    "chard": (None, None, 20, 15, 12, 10, 7, "none", None),
    "sweetcorn": ("none", "none", 22, 12, 7, 4, 4, 3, "none"),
    "cucumber": ("none", "none", "none", 13, 6, 4, 3, 3, None),
    "aubergine": (None, None, None, None, 13, 8, 5, None, None),
    "lettuce": (49, 15, 7, 4, 3, 2, 3, "none", "none"),
    "lettuce-winter": (49, 15, 7, 4, 3, 2, 3, "none", "none"),
    "melon": (None, None, None, None, 8, 4, 3, None, None),
    "onion": (136, 31, 13, 7, 5, 4, 4, 13, "none"),
    "parsley": (None, None, 29, 17, 14, 13, 12, None, None),
    "parsnip": (172, 57, 27, 19, 14, 15, 32, "none", "none"),
    "pea": (None, 36, 14, 9, 8, 6, 6, None, None),
    "pepper-sweet": ("none", "none", "none", 25, 13, 8, 8, 9, "none"),
    "chilli": ("none", "none", "none", 25, 13, 8, 8, 9, "none"),
    "pumpkin": (None, None, None, None, 15, 6, 4, 3, None),
    "radish": ("none", 29, 11, 6, 4, 4, 3, None, None),
    "spinach-true": (63, 23, 12, 7, 6, 5, 6, "none", "none"),
    "courgette": (None, None, None, None, 15, 6, 4, 3, None),
    "marrow": (None, None, None, None, 15, 6, 4, 3, None),
    "winter-squash": (None, None, None, None, 15, 6, 4, 3, None),
    "tomato": ("none", "none", 43, 14, 8, 6, 6, 9, "none"),
    "turnip": ("none", "none", 5, 3, 2, 1, 1, 1, 3),
    "watermelon": (None, "none", None, None, 12, 5, 4, 3, None),
    "kale": (None, None, None, None, None, None, None, None, None),
    "kohlrabi": (None, None, None, None, None, None, None, None, None),
    "spring-onion": (None, None, None, None, None, None, None, None, None),
    "shallot": (None, None, None, None, None, None, None, None, None),
    "spinach-perpetual": (None, None, None, None, None, None, None, None, None),
    "winter-radish": (None, None, None, None, None, None, None, None, None),
    "collards": (None, None, None, None, None, None, None, None, None),
}


@pytest.mark.parametrize("crop", PRINTED)
def test_emergence_equals_the_table_at_its_nodes(crop: str, facts: Facts) -> None:
    germination = facts.crops[crop].germination
    assert germination is not None
    for celsius, printed in zip(TEMPERATURES, PRINTED[crop], strict=True):
        if printed is None:
            continue
        got = days_at(germination.days_at, celsius)
        assert got is None if printed == "none" else got == printed, f"{crop} at {celsius} °C"


@pytest.mark.parametrize("crop", PRINTED)
def test_emergence_between_nodes_lies_between_them(crop: str, facts: Facts) -> None:
    germination = facts.crops[crop].germination
    assert germination is not None
    for cold, warm, slow, fast in zip(TEMPERATURES, TEMPERATURES[1:], PRINTED[crop], PRINTED[crop][1:], strict=False):
        if isinstance(slow, int | float) and isinstance(fast, int | float):
            got = days_at(germination.days_at, (cold + warm) / 2)
            assert got is not None
            assert min(slow, fast) <= got <= max(slow, fast)
