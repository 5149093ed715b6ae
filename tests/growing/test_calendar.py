from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.growing.calendar import GardenYear


@pytest.mark.parametrize(
    ("day", "southern", "start"),
    [
        (date(2026, 3, 1), False, date(2025, 12, 21)),
        (date(2026, 12, 21), False, date(2026, 12, 21)),
        (date(2026, 12, 20), False, date(2025, 12, 21)),
        (date(2026, 6, 20), True, date(2025, 6, 21)),
        (date(2026, 6, 21), True, date(2026, 6, 21)),
    ],
)
def test_the_year_begins_on_a_winter_solstice(day: date, southern: bool, start: date) -> None:
    assert GardenYear.around(day, southern).start == start


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.booleans())
def test_days_count_there_and_back(day: date, southern: bool) -> None:
    year = GardenYear.around(day, southern)
    assert 0 <= year.count(day) <= 365
    assert year.day(year.count(day)) == day
