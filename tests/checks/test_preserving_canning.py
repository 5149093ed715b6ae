"""Canning times against the publication: USDA, Complete Guide to Home Canning, AIB 539 (2015).

Rows were typed from the guide's process tables, whose page stands last. Heights are the printed band edges and the
first foot above them. Berries, snap beans, whole-kernel corn, carrots, squash cubes and spinach were read a second time
in reprints of the 1994 edition (recipesource.com/misc/canning), pickled beets and sauerkraut in Missouri's pages, whole
tomatoes in a copy of the national center's table: all agree.
"""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.preserving.canning import rows_at

M_PER_FOOT = 0.3048
# product, pack, jar, method, height ft, minutes, psi, page
ROWS = [
    ("snap-beans", "hot", "pint", "pressure-dial", 2000, 20, 11, "4-9"),
    ("snap-beans", "hot", "pint", "pressure-dial", 2001, 20, 12, "4-9"),
    ("snap-beans", "raw", "quart", "pressure-weighted", 1000, 25, 10, "4-9"),
    ("snap-beans", "raw", "quart", "pressure-weighted", 1001, 25, 15, "4-9"),
    ("beets", "hot", "quart", "pressure-dial", 6000, 35, 13, "4-10"),
    ("beets", "hot", "quart", "pressure-dial", 6001, 35, 14, "4-10"),
    ("carrots", "raw", "pint", "pressure-weighted", 1000, 25, 10, "4-10"),
    ("carrots", "raw", "pint", "pressure-weighted", 1001, 25, 15, "4-10"),
    ("corn-whole-kernel", "hot", "quart", "pressure-dial", 4000, 85, 12, "4-12"),
    ("corn-whole-kernel", "hot", "quart", "pressure-dial", 4001, 85, 13, "4-12"),
    ("corn-cream-style", "hot", "pint", "pressure-weighted", 1000, 85, 10, "4-11"),
    ("corn-cream-style", "hot", "pint", "pressure-weighted", 1001, 85, 15, "4-11"),
    ("peas-green-shelled", "raw", "quart", "pressure-dial", 2000, 40, 11, "4-15"),
    ("peas-green-shelled", "raw", "quart", "pressure-dial", 2001, 40, 12, "4-15"),
    ("pumpkin-winter-squash-cubed", "hot", "quart", "pressure-dial", 4000, 90, 12, "4-18"),
    ("pumpkin-winter-squash-cubed", "hot", "quart", "pressure-dial", 4001, 90, 13, "4-18"),
    ("spinach-and-other-greens", "hot", "pint", "pressure-weighted", 1000, 70, 10, "4-20"),
    ("spinach-and-other-greens", "hot", "pint", "pressure-weighted", 1001, 70, 15, "4-20"),
    ("potatoes-white", "hot", "quart", "pressure-dial", 2000, 40, 11, "4-17"),
    ("potatoes-white", "hot", "quart", "pressure-dial", 2001, 40, 12, "4-17"),
    ("asparagus", "raw", "quart", "pressure-weighted", 1000, 40, 10, "4-5"),
    ("asparagus", "raw", "quart", "pressure-weighted", 1001, 40, 15, "4-5"),
    ("vegetable-soup", "hot", "quart", "pressure-dial", 6000, 75, 13, "4-19"),
    ("vegetable-soup", "hot", "quart", "pressure-dial", 6001, 75, 14, "4-19"),
    ("mixed-vegetables", "hot", "quart", "pressure-weighted", 1000, 90, 10, "4-13"),
    ("mixed-vegetables", "hot", "quart", "pressure-weighted", 1001, 90, 15, "4-13"),
    ("beans-or-peas-dried", "hot", "quart", "pressure-dial", 4000, 90, 12, "4-6"),
    ("beans-or-peas-dried", "hot", "quart", "pressure-dial", 4001, 90, 13, "4-6"),
    ("lima-beans-fresh-shelled", "raw", "quart", "pressure-weighted", 1000, 50, 10, "4-8"),
    ("lima-beans-fresh-shelled", "raw", "quart", "pressure-weighted", 1001, 50, 15, "4-8"),
    ("peppers", "hot", "half-pint", "pressure-dial", 2000, 35, 11, "4-16"),
    ("peppers", "hot", "half-pint", "pressure-dial", 2001, 35, 12, "4-16"),
    ("sweet-potatoes", "hot", "quart", "pressure-dial", 4000, 90, 12, "4-17"),
    ("sweet-potatoes", "hot", "quart", "pressure-dial", 4001, 90, 13, "4-17"),
    ("mushrooms", "hot", "pint", "pressure-weighted", 1000, 45, 10, "4-13"),
    ("mushrooms", "hot", "pint", "pressure-weighted", 1001, 45, 15, "4-13"),
    ("okra", "hot", "quart", "pressure-dial", 2000, 40, 11, "4-14"),
    ("okra", "hot", "quart", "pressure-dial", 2001, 40, 12, "4-14"),
    ("succotash", "raw", "quart", "pressure-dial", 4000, 85, 12, "4-21"),
    ("succotash", "raw", "quart", "pressure-dial", 4001, 85, 13, "4-21"),
    ("spaghetti-sauce-without-meat", "hot", "quart", "pressure-dial", 6000, 25, 13, "3-14"),
    ("spaghetti-sauce-without-meat", "hot", "quart", "pressure-dial", 6001, 25, 14, "3-14"),
    ("tomatoes-with-okra-or-courgette", "hot", "quart", "pressure-dial", 2000, 35, 11, "3-12"),
    ("tomatoes-with-okra-or-courgette", "hot", "quart", "pressure-dial", 2001, 35, 12, "3-12"),
    ("tomatoes-crushed", "hot", "pint", "boiling-water", 1000, 35, None, "3-8"),
    ("tomatoes-crushed", "hot", "pint", "boiling-water", 1001, 40, None, "3-8"),
    ("tomatoes-crushed", "hot", "quart", "boiling-water", 3000, 50, None, "3-8"),
    ("tomatoes-crushed", "hot", "quart", "boiling-water", 3001, 55, None, "3-8"),
    ("tomatoes-whole-or-halved-in-water", "raw", "quart", "boiling-water", 6000, 55, None, "3-10"),
    ("tomatoes-whole-or-halved-in-water", "raw", "quart", "boiling-water", 6001, 60, None, "3-10"),
    ("tomatoes-whole-or-halved-raw-no-liquid", "raw", "pint", "boiling-water", 1000, 85, None, "3-12"),
    ("tomatoes-whole-or-halved-raw-no-liquid", "raw", "pint", "boiling-water", 1001, 90, None, "3-12"),
    ("tomato-juice", "hot", "quart", "boiling-water", 3000, 45, None, "3-6"),
    ("tomato-juice", "hot", "quart", "boiling-water", 3001, 50, None, "3-6"),
    ("tomato-sauce-standard", "hot", "pint", "boiling-water", 6000, 45, None, "3-9"),
    ("tomato-sauce-standard", "hot", "pint", "boiling-water", 6001, 50, None, "3-9"),
    ("tomato-ketchup", "hot", "pint", "boiling-water", 1000, 15, None, "3-18"),
    ("tomato-ketchup", "hot", "pint", "boiling-water", 1001, 20, None, "3-18"),
    ("applesauce", "hot", "quart", "boiling-water", 3000, 25, None, "2-8"),
    ("applesauce", "hot", "quart", "boiling-water", 3001, 30, None, "2-8"),
    ("apples-sliced", "hot", "pint", "boiling-water", 6000, 30, None, "2-7"),
    ("apples-sliced", "hot", "pint", "boiling-water", 6001, 35, None, "2-7"),
    ("berries-whole", "raw", "quart", "boiling-water", 1000, 20, None, "2-10"),
    ("berries-whole", "raw", "quart", "boiling-water", 1001, 25, None, "2-10"),
    ("cherries-whole", "raw", "pint", "boiling-water", 3000, 30, None, "2-12"),
    ("cherries-whole", "raw", "pint", "boiling-water", 3001, 35, None, "2-12"),
    ("plums-halved-or-whole", "hot", "quart", "boiling-water", 6000, 35, None, "2-22"),
    ("plums-halved-or-whole", "hot", "quart", "boiling-water", 6001, 40, None, "2-22"),
    ("pears-halved", "hot", "quart", "boiling-water", 1000, 25, None, "2-20"),
    ("pears-halved", "hot", "quart", "boiling-water", 1001, 30, None, "2-20"),
    ("rhubarb-stewed", "hot", "quart", "boiling-water", 3000, 20, None, "2-22"),
    ("rhubarb-stewed", "hot", "quart", "boiling-water", 3001, 20, None, "2-22"),
    ("figs", "hot", "quart", "boiling-water", 6000, 60, None, "2-14"),
    ("figs", "hot", "quart", "boiling-water", 6001, 65, None, "2-14"),
    ("grapes-whole", "raw", "quart", "boiling-water", 1000, 20, None, "2-16"),
    ("grapes-whole", "raw", "quart", "boiling-water", 1001, 25, None, "2-16"),
    ("fruit-puree", "hot", "pint", "boiling-water", 3000, 20, None, "2-14"),
    ("fruit-puree", "hot", "pint", "boiling-water", 3001, 20, None, "2-14"),
    ("apple-juice", "hot", "half-gallon", "boiling-water", 6000, 15, None, "2-6"),
    ("apple-juice", "hot", "half-gallon", "boiling-water", 6001, 20, None, "2-6"),
    ("sauerkraut", "raw", "quart", "boiling-water", 1000, 25, None, "6-9"),
    ("sauerkraut", "raw", "quart", "boiling-water", 1001, 30, None, "6-9"),
    ("sauerkraut", "hot", "pint", "boiling-water", 3000, 15, None, "6-9"),
    ("sauerkraut", "hot", "pint", "boiling-water", 3001, 15, None, "6-9"),
    ("dill-pickles-fermented", "raw", "quart", "boiling-water", 6000, 20, None, "6-8"),
    ("dill-pickles-fermented", "raw", "quart", "boiling-water", 6001, 25, None, "6-8"),
    ("quick-fresh-pack-dill-pickles", "raw", "quart", "boiling-water", 1000, 15, None, "6-10"),
    ("quick-fresh-pack-dill-pickles", "raw", "quart", "boiling-water", 1001, 20, None, "6-10"),
    ("bread-and-butter-pickles", "hot", "pint", "boiling-water", 3000, 15, None, "6-10"),
    ("bread-and-butter-pickles", "hot", "pint", "boiling-water", 3001, 15, None, "6-10"),
    ("pickled-dilled-beans", "raw", "pint", "boiling-water", 6000, 10, None, "6-14"),
    ("pickled-dilled-beans", "raw", "pint", "boiling-water", 6001, 15, None, "6-14"),
    ("pickled-beets", "hot", "quart", "boiling-water", 1000, 30, None, "6-16"),
    ("pickled-beets", "hot", "quart", "boiling-water", 1001, 35, None, "6-16"),
    ("pickled-carrots", "hot", "pint", "boiling-water", 3000, 20, None, "6-16"),
    ("pickled-carrots", "hot", "pint", "boiling-water", 3001, 20, None, "6-16"),
    ("pickled-sweet-green-tomatoes", "hot", "quart", "boiling-water", 6000, 20, None, "6-25"),
    ("pickled-sweet-green-tomatoes", "hot", "quart", "boiling-water", 6001, 25, None, "6-25"),
    ("piccalilli", "hot", "half-pint", "boiling-water", 1000, 5, None, "6-27"),
    ("piccalilli", "hot", "half-pint", "boiling-water", 1001, 10, None, "6-27"),
    ("pickled-corn-relish", "hot", "pint", "boiling-water", 3000, 20, None, "6-29"),
    ("pickled-corn-relish", "hot", "pint", "boiling-water", 3001, 20, None, "6-29"),
    ("jam-without-added-pectin", "hot", "half-pint", "boiling-water", 6000, 10, None, "7-7"),
    ("jam-without-added-pectin", "hot", "half-pint", "boiling-water", 6001, 15, None, "7-7"),
    ("tomato-apple-chutney", "hot", "pint", "boiling-water", 1000, 10, None, ""),
    ("tomato-apple-chutney", "hot", "pint", "boiling-water", 1001, 15, None, ""),
    ("chile-salsa", "hot", "pint", "boiling-water", 3000, 20, None, "3-21"),
    ("chile-salsa", "hot", "pint", "boiling-water", 3001, 20, None, "3-21"),
    ("pickled-asparagus", "raw", "12-ounce", "boiling-water", 6000, 15, None, "6-13"),
    ("pickled-asparagus", "raw", "12-ounce", "boiling-water", 6001, 20, None, "6-13"),
    ("pickled-pearl-onions", "hot", "pint", "boiling-water", 1000, 10, None, "6-20"),
    ("pickled-pearl-onions", "hot", "pint", "boiling-water", 1001, 15, None, "6-20"),
    ("14-day-sweet-pickles", "raw", "quart", "boiling-water", 3000, 15, None, "6-12"),
    ("14-day-sweet-pickles", "raw", "quart", "boiling-water", 3001, 15, None, "6-12"),
    ("quick-sweet-pickles", "hot", "pint", "boiling-water", 6000, 10, None, "6-13"),
    ("quick-sweet-pickles", "hot", "pint", "boiling-water", 6001, 15, None, "6-13"),
    # Agriculture Information Bulletin 539 (1994), peaches and nectarines; NCHFP and Michigan State, apricots
    ("peaches-halved-or-sliced", "hot", "pint", "boiling-water", 1000, 20, None, ""),
    ("peaches-halved-or-sliced", "hot", "quart", "boiling-water", 1001, 30, None, ""),
    ("peaches-halved-or-sliced", "hot", "quart", "boiling-water", 3001, 35, None, ""),
    ("peaches-halved-or-sliced", "raw", "pint", "boiling-water", 6001, 40, None, ""),
    ("peaches-halved-or-sliced", "raw", "quart", "boiling-water", 6000, 40, None, ""),
    ("nectarines-halved-or-sliced", "hot", "pint", "boiling-water", 1000, 20, None, ""),
    ("nectarines-halved-or-sliced", "hot", "quart", "boiling-water", 1001, 30, None, ""),
    ("nectarines-halved-or-sliced", "hot", "quart", "boiling-water", 3001, 35, None, ""),
    ("nectarines-halved-or-sliced", "raw", "pint", "boiling-water", 6001, 40, None, ""),
    ("nectarines-halved-or-sliced", "raw", "quart", "boiling-water", 6000, 40, None, ""),
    ("apricots-halved-or-sliced", "hot", "pint", "boiling-water", 1000, 20, None, ""),
    ("apricots-halved-or-sliced", "hot", "quart", "boiling-water", 1001, 30, None, ""),
    ("apricots-halved-or-sliced", "hot", "quart", "boiling-water", 3001, 35, None, ""),
    ("apricots-halved-or-sliced", "raw", "pint", "boiling-water", 6001, 40, None, ""),
    ("apricots-halved-or-sliced", "raw", "quart", "boiling-water", 6000, 40, None, ""),
    ("peaches-halved-or-sliced", "hot", "quart", "pressure-dial", 2001, 10, 7, ""),
    ("peaches-halved-or-sliced", "raw", "pint", "pressure-weighted", 1001, 10, 10, ""),
]


@pytest.fixture(scope="module")
def canning() -> dict:
    return {p.id: p for p in Facts().preserving.canning}


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r[0]}-{r[1]}-{r[2]}-{r[4]}ft")
def test_time_equals_the_published_row(canning: dict, row: tuple) -> None:
    product, pack, jar, method, feet, minutes, psi, page = row
    assert (canning[product].page or "") == page
    found = {
        (r.minutes, r.psi)
        for r in rows_at(canning[product], feet * M_PER_FOOT)
        if (r.pack, r.jar, r.method) == (pack, jar, method)
    }
    assert found == {(minutes, psi)}


def test_list_is_long_enough_and_meets_the_edges() -> None:
    assert len(ROWS) >= 60
    assert {1000, 1001, 3000, 3001, 6000, 6001} <= {r[4] for r in ROWS}


def test_tomato_pressure_choices(canning: dict) -> None:
    """Crushed tomatoes, page 3-8: dial 20 min at 6 psi or 15 at 11; weighted 20 at 5, 15 at 10, or 10 at 15."""
    rows = {(r.method, r.minutes, r.psi) for r in rows_at(canning["tomatoes-crushed"], 0) if r.jar == "quart"}
    assert rows == {
        ("boiling-water", 45, None),
        ("pressure-dial", 20, 6),
        ("pressure-dial", 15, 11),
        ("pressure-weighted", 20, 5),
        ("pressure-weighted", 15, 10),
        ("pressure-weighted", 10, 15),
    }
    high = {
        (r.method, r.minutes, r.psi)
        for r in rows_at(canning["tomatoes-crushed"], 1001 * M_PER_FOOT)
        if r.jar == "quart"
    }
    assert ("pressure-weighted", 10, 15) not in high  # "not recommended" above 1,000 ft
    assert {("pressure-weighted", 20, 10), ("pressure-weighted", 15, 15), ("pressure-dial", 20, 6)} <= high


def test_soft_berries_are_tested_raw_only(canning: dict) -> None:
    """Guide 2 page 2-10: hot pack is for blueberries, currants, elderberries, gooseberries and huckleberries."""
    berries = canning["berries-whole"]
    assert set(berries.raw_crops) == {"raspberry", "blackberry", "loganberry", "mulberry"}
    assert "elderberry" not in (*berries.crops, *berries.raw_crops, *berries.also)  # withdrawn: Maine Extension, 2020
    assert "strawberry" not in (*berries.crops, *berries.raw_crops)


def test_headspace_of_low_acid_food(canning: dict) -> None:
    """Guide 1: 1 to 1-1/4 inches for low-acid food (lima beans raw in quarts 1-1/2), 1/2 for most acid, 1/4 for jam."""
    for product in canning.values():
        for process in product.processes:
            if product.acid == "low":
                assert process.headspace_cm in (2.5, 3.8)
            if product.kind == "jam":
                assert process.headspace_cm == 0.6


def test_every_row_of_the_publication_is_carried(canning: dict) -> None:
    """1,316 rows of pack, jar, method and height band were read."""
    rows = sum(len(p.bands) * len(p.pack) * len(p.jar) for product in canning.values() for p in product.processes)
    assert rows == 1316
    assert len(canning) == 107
