"""Supports and earthing up against published figures.

Sources: a garden centre's guide (haulm 9 in high, then a ridge 6 in high); an almanac's answer on hilling (plants 6 to 8 in, again in
2 to 3 weeks, until the mound is about 12 in); celery suppliers (at 30 cm, every 3 weeks); leeks begun in mid August and finished in late
October; runner beans on canes of 8 ft, or at least 2.2 m; peppers on stakes of 3 to 4 ft.
"""

from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.growing.calendar import MIDSUMMER, GardenYear

INCH = 2.54


@pytest.mark.parametrize(("field", "inches"), [("first_cm", 9), ("first_cm", 6), ("first_cm", 8), ("top_cm", 6), ("top_cm", 12)])
def test_potatoes_are_earthed_up_as_printed(facts: Facts, field: str, inches: float) -> None:
    row = facts.tending.supports.earthed("potato")
    assert row is not None
    low, high = getattr(row, field)
    assert low - 0.5 <= inches * INCH <= high + 0.5
    assert row.every_weeks == (2, 3)


def test_celery_is_earthed_up_every_three_weeks_from_30_cm(facts: Facts) -> None:
    row = facts.tending.supports.earthed("celery")
    assert row is not None and row.first_cm is not None
    assert row.every_weeks == (3, 3) and row.first_cm[1] == 30


@pytest.mark.parametrize(("southern", "today", "first", "last"), [(False, date(2026, 5, 10), (8, 9), 10), (True, date(2026, 3, 1), (2, 2), 4)])
def test_leeks_from_mid_august_to_late_october_half_a_year_on_in_the_south(
        facts: Facts, southern: bool, today: date, first: tuple[int, int], last: int) -> None:
    row = facts.tending.supports.earthed("leek")
    assert row is not None and row.midsummer_weeks is not None
    year = GardenYear.around(today, southern)
    begins, ends = (year.day(MIDSUMMER + 7 * weeks) for weeks in row.midsummer_weeks)
    assert begins.month == first[0] and 10 <= begins.day <= 20
    assert ends.month == last and ends.day >= 20


@pytest.mark.parametrize(("crop", "cm"), [("runner-bean", 8 * 30.48), ("runner-bean", 220), ("pepper-sweet", 3 * 30.48), ("pepper-sweet", 4 * 30.48),
                                          ("tomato", 210), ("tomato", 6 * 30.48), ("apple", 8 * 30.48)])
def test_supports_are_as_tall_as_printed(facts: Facts, crop: str, cm: float) -> None:
    row = facts.tending.supports.support(crop)
    assert row is not None
    assert row.height_cm[0] - 5 <= cm <= row.height_cm[1] + 5
