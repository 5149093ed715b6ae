"""Keeping the fresh crop, against the figures of USDA Agriculture Handbook 66.

Temperature °C, relative humidity %, storage life and highest freezing point °C of The Commercial Storage of Fruits,
Vegetables,
and Florist and Nursery Stocks, as reproduced at http://kypros.org/Test/8/3180b.html (vegetables, artichoke to kale)
and in the
US extension table https://studylib.net/doc/18398330/recommended-temperature-and-humidity-for-storage (fruits).
"""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.facts.crop import Storage

WEEKS_A_MONTH = 365.25 / 12 / 7

#: (crop, form): °C, humidity %, life in weeks, freezing point °C or None.
HANDBOOK = {
    ("globe-artichoke", "bud"): ((0, 0), (95, 100), (2, 3), -1.1),
    ("jerusalem-artichoke", "tuber"): ((-0.5, 0), (90, 95), (4 * WEEKS_A_MONTH, 5 * WEEKS_A_MONTH), -2.2),
    ("asparagus", "spear"): ((0, 2), (95, 100), (2, 3), -0.6),
    ("french-bean", "green pod"): ((4, 7), (95, 95), (1, 10 / 7), -0.7),
    ("french-bean", "dry bean"): ((4, 10), (40, 50), (6 * WEEKS_A_MONTH, 10 * WEEKS_A_MONTH), None),
    ("beetroot", "with tops"): ((0, 0), (98, 100), (10 / 7, 2), -0.4),
    ("beetroot", "topped root"): ((0, 0), (98, 100), (4 * WEEKS_A_MONTH, 6 * WEEKS_A_MONTH), -0.9),
    ("broccoli-calabrese", "head"): ((0, 0), (95, 100), (10 / 7, 2), -0.6),
    ("brussels-sprout", "loose buttons"): ((0, 0), (95, 100), (3, 5), -0.8),
    ("cabbage-summer", "early head"): ((0, 0), (98, 100), (3, 6), -0.9),
    ("cabbage-winter", "late head"): ((0, 0), (98, 100), (5 * WEEKS_A_MONTH, 6 * WEEKS_A_MONTH), -0.9),
    ("carrot", "with tops"): ((0, 0), (95, 100), (2, 2), None),
    ("carrot", "mature root, topped"): ((0, 0), (98, 100), (7 * WEEKS_A_MONTH, 9 * WEEKS_A_MONTH), None),
    ("carrot", "immature root"): ((0, 0), (98, 100), (4, 6), -1.4),
    ("cauliflower", "head"): ((0, 0), (95, 98), (3, 4), -0.8),
    ("celeriac", "root"): ((0, 0), (97, 99), (6 * WEEKS_A_MONTH, 8 * WEEKS_A_MONTH), -0.9),
    ("celery", "head"): ((0, 0), (98, 100), (2 * WEEKS_A_MONTH, 3 * WEEKS_A_MONTH), -0.5),
    ("chard", "leaf"): ((0, 0), (95, 100), (10 / 7, 2), None),
    ("chinese-cabbage", "head"): ((0, 0), (95, 100), (2 * WEEKS_A_MONTH, 3 * WEEKS_A_MONTH), None),
    ("cucumber", "fruit"): ((10, 13), (95, 95), (10 / 7, 2), -0.5),
    ("endive", "head"): ((0, 0), (95, 100), (2, 3), -0.1),
    ("horseradish", "root"): ((-1, 0), (98, 100), (10 * WEEKS_A_MONTH, 12 * WEEKS_A_MONTH), -1.8),
    ("kale", "leaf"): ((0, 0), (95, 100), (2, 3), -0.5),
}


def row_of(facts: Facts, crop: str, form: str) -> Storage:
    return next(row for row in facts.crops[crop].storage if row.form == form)


@pytest.mark.parametrize(("crop", "form"), sorted(HANDBOOK))
def test_temperature_humidity_and_life(facts: Facts, crop: str, form: str) -> None:
    row = row_of(facts, crop, form)
    temp, humidity, weeks, freezes = HANDBOOK[crop, form]
    assert row.temp_c == temp
    assert row.humidity_pct == humidity
    assert row.weeks == pytest.approx(weeks, rel=0.05)
    if freezes is not None:
        assert row.freezes_c == freezes


def test_no_store_is_colder_than_the_crop_freezes(facts: Facts) -> None:
    for crop in facts.written_crops.values():
        for row in crop.storage:
            if row.temp_c and row.freezes_c is not None:
                assert row.temp_c[0] >= row.freezes_c - 0.21, (crop.id, row.form)


def test_crops_hurt_by_cold_are_kept_above_it(facts: Facts) -> None:
    for crop in facts.written_crops.values():
        for row in crop.storage:
            if row.temp_c and row.chill_below_c is not None:
                assert row.temp_c[1] >= row.chill_below_c, (crop.id, row.form)
