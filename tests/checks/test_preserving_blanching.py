"""Blanching times, the whole table, against the national home-food-preservation times.

Water and steam minutes as in the times of the National Center for Home Food Preservation (University of Georgia) and
the University of Minnesota, read in reprints (reluctantgourmet.com/blanching-times, abundanceacres.org/?p=5037, MSU
Preserving Food Safely sheets). Rows whose times come from memory of that table say so in the knowledge.
"""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.preserving.blanching import rows_of, times

# crop, form, water minutes, steam minutes ((low, high) where a range is printed)
TABLE = [
    ("globe-artichoke", "hearts", 7, None),
    ("jerusalem-artichoke", "pieces", (3, 5), None),
    ("asparagus", "small stalks", 2, 3),
    ("asparagus", "medium stalks", 3, 5),
    ("asparagus", "large stalks", 4, 6),
    ("french-bean", "whole, cut or sliced lengthwise", 3, 5),
    ("french-bean", "cut (shorter published time)", 2, 3),
    ("french-bean", "cut or whole (longer published time)", 3.5, None),
    ("runner-bean", "sliced", 3, 5),
    ("lima-bean", "small seeds", 2, 3),
    ("lima-bean", "medium seeds", 3, 5),
    ("lima-bean", "large seeds", 4, 6),
    ("broad-bean", "shelled", 3, None),
    ("broccoli-calabrese", "florets", 3, 5),
    ("broccoli-sprouting", "spears", 3, 5),
    ("brussels-sprout", "small heads", 3, 5),
    ("brussels-sprout", "medium heads", 4, 6),
    ("brussels-sprout", "large heads", 5, 7),
    ("cabbage-winter", "shredded", 1.5, 2.5),
    ("cabbage-summer", "shredded", 1.5, 2.5),
    ("cabbage-savoy", "shredded", 1.5, 2.5),
    ("chinese-cabbage", "shredded", 1.5, 2.5),
    ("cabbage-winter", "wedges", 3, None),
    ("carrot", "small, whole", 5, 8),
    ("carrot", "diced, sliced or strips", 2, 3),
    ("carrot", "diced or sliced (longer published time)", 3, None),
    ("cauliflower", "florets", 3, 5),
    ("celery", "pieces", 3, None),
    ("sweetcorn", "on the cob, small ears", 7, 10),
    ("sweetcorn", "on the cob, medium ears", 9, 13),
    ("sweetcorn", "on the cob, large ears", 11, 16),
    ("sweetcorn", "whole kernel or cream style", 4, 6),
    ("aubergine", "slices", 4, 6),
    ("kale", "leaves", 2, 3),
    ("chard", "leaves", 2, 3),
    ("spinach-true", "leaves", 2, 3),
    ("spinach-perpetual", "leaves", 2, 3),
    ("new-zealand-spinach", "leaves", 2, 3),
    ("mizuna", "leaves (greens)", 2, 3),
    ("komatsuna", "leaves (greens)", 2, 3),
    ("tatsoi", "leaves (greens)", 2, 3),
    ("pak-choi", "leaves (greens)", 2, 3),
    ("turnip", "leaves (greens)", 2, 3),
    ("beetroot", "leaves (greens)", 2, 3),
    ("collards", "leaves", 3, 5),
    ("kohlrabi", "whole", 3, None),
    ("kohlrabi", "cubes", 1, None),
    ("mushroom", "whole", None, 5),
    ("mushroom", "buttons or quarters", None, 3.5),
    ("mushroom", "slices", None, 3),
    ("okra", "small pods", 3, 5),
    ("okra", "large pods", 4, 8),
    ("onion", "whole bulbs", (3, 7), None),
    ("onion", "rings", (0.17, 0.25), None),
    ("pea", "shelled", 1.5, 3),
    ("pea", "edible-pod (mangetout, sugarsnap)", (1.5, 3), None),
    ("cowpea", "black-eye or field peas, shelled", 2, 3),
    ("pepper-sweet", "halves (for cooked use)", 3, None),
    ("pepper-sweet", "strips or rings (for cooked use)", 2, None),
    ("potato", "new, whole", (3, 5), None),
    ("swede", "cubes", 3, None),
    ("turnip", "cubes", 2, None),
    ("parsnip", "cubes", 2, None),
    ("edamame", "in pods", 5, None),
    ("courgette", "slices", 3, None),
    ("marrow", "slices or cubes", 3, None),
    ("courgette", "grated", None, (1, 2)),
    ("rhubarb", "cut stalks, heated", (1, 1.5), None),
]
# the combined water-and-steam table of abundanceacres.org (an extension table), read again whole
READ_AGAIN = {
    ("french-bean", "whole, cut or sliced lengthwise"): (3, 5),
    ("lima-bean", "small seeds"): (2, 3),
    ("lima-bean", "medium seeds"): (3, 5),
    ("lima-bean", "large seeds"): (4, 6),
    ("broccoli-calabrese", "florets"): (3, 5),
    ("brussels-sprout", "small heads"): (3, 5),
    ("brussels-sprout", "medium heads"): (4, 6),
    ("brussels-sprout", "large heads"): (5, 7),
    ("cabbage-winter", "shredded"): (1.5, 2.5),
    ("carrot", "small, whole"): (5, 8),
    ("carrot", "diced, sliced or strips"): (2, 3),
    ("cauliflower", "florets"): (3, 5),
    ("celery", "pieces"): (3, None),
    ("sweetcorn", "on the cob, small ears"): (7, 10),
    ("sweetcorn", "on the cob, medium ears"): (9, 13),
    ("sweetcorn", "on the cob, large ears"): (11, 16),
    ("sweetcorn", "whole kernel or cream style"): (4, 6),
    ("aubergine", "slices"): (4, 6),
    ("collards", "leaves"): (3, 5),
    ("kale", "leaves"): (2, 3),
    ("kohlrabi", "whole"): (3, None),
    ("kohlrabi", "cubes"): (1, None),
}


@pytest.fixture(scope="module")
def facts() -> Facts:
    return Facts()


def span(value: object) -> tuple[float, float] | None:
    return None if value is None else value if isinstance(value, tuple) else (value, value)  # type: ignore[return-value]


@pytest.mark.parametrize("crop,form,water,steam", TABLE, ids=lambda v: str(v))
def test_minutes_equal_the_table(facts: Facts, crop: str, form: str, water: object, steam: object) -> None:
    found = [t for t in times(rows_of(crop, facts.preserving), 0) if t.row.form == form]
    assert [(t.water, t.steam) for t in found] == [(span(water), span(steam))]


def test_no_blanched_form_is_outside_the_table(facts: Facts) -> None:
    ours = {(r.crop, r.form) for r in facts.preserving.blanching if r.treatment == "blanch"}
    listed = {(crop, form) for crop, form, _, _ in TABLE}
    assert ours - listed == {
        ("pea-sugar", "edible-pod (mangetout, sugarsnap)")
    }  # the edible-pod row, under its own crop


@pytest.mark.parametrize("key", READ_AGAIN, ids=str)
def test_rows_read_a_second_time(facts: Facts, key: tuple[str, str]) -> None:
    row = next(r for r in facts.preserving.blanching if (r.crop, r.form) == key)
    water, steam = READ_AGAIN[key]
    assert row.water == span(water)
    assert row.steam == span(steam)


@pytest.mark.parametrize("metres,added", [(0, 0), (1523.9, 0), (1524, 1), (2000, 1), (None, 0)])
def test_one_minute_more_at_5000_feet(facts: Facts, metres: float | None, added: int) -> None:
    """Utah State University Extension, vegetable freezing: add one minute at 5,000 feet or higher."""
    for row, time in zip(
        [r for r in facts.preserving.blanching if r.treatment == "blanch"],
        times(facts.preserving.blanching, metres),
        strict=True,
    ):
        assert time.added == added
        if row.water:
            assert time.water == (row.water[0] + added, row.water[1] + added)


def test_recalled_figures_are_marked(facts: Facts) -> None:
    for row in facts.preserving.blanching:
        if all(s.startswith("memory:") for s in row.source):
            assert row.memory, f"{row.crop} {row.form} rests on memory and does not say so"
