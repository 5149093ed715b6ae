"""Daily curves through monthly figures."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from bot.season.curves import DAYS, daily, day_in_year, month_day, monthly, place_of, places, smoothed

MONTHLY = st.lists(st.floats(-30, 35), min_size=12, max_size=12)


@given(MONTHLY)
def test_a_curve_keeps_its_monthly_means(means: list[float]) -> None:
    assert np.allclose(monthly(daily(tuple(means))), means, atol=1e-6)


def test_a_flat_year_stays_flat() -> None:
    assert np.allclose(daily((7.0,) * 12), 7.0)


def test_a_curve_is_smooth_over_the_turn_of_the_year() -> None:
    curve = daily((-2, -1, 2, 6, 10, 13, 15, 15, 12, 8, 3, 0))
    steps = np.abs(np.diff(np.append(curve, curve[0])))
    assert steps.max() < 0.25
    assert abs(curve[0] - curve[-1]) < 0.1


def test_leap_day_shares_the_place_of_the_day_before() -> None:
    assert place_of(date(2024, 2, 29)) == place_of(date(2024, 2, 28)) == 58
    assert place_of(date(2024, 3, 1)) == place_of(date(2025, 3, 1)) == 59
    assert place_of(date(2024, 12, 31)) == place_of(date(2025, 12, 31)) == DAYS - 1


@given(st.dates(date(2020, 1, 1), date(2040, 12, 31)), st.integers(0, 800))
def test_places_have_one_entry_a_day(start: date, length: int) -> None:
    found = places(start, start + timedelta(days=length))
    assert len(found) == length + 1
    assert found[0] == place_of(start)
    assert found.min() >= 0 and found.max() < DAYS


def test_places_of_a_span_that_ends_before_it_starts_are_none() -> None:
    assert len(places(date(2026, 5, 2), date(2026, 5, 1))) == 0


def test_month_day_goes_round_the_year() -> None:
    assert month_day(0) == "01-01"
    assert month_day(DAYS) == "01-01"
    assert month_day(-1) == "12-31"


def test_day_in_year_of_a_leap_day_in_a_plain_year() -> None:
    assert day_in_year(2025, "02-29") == date(2025, 2, 28)
    assert day_in_year(2024, "02-29") == date(2024, 2, 29)


def test_smoothing_goes_round_the_year() -> None:
    spike = np.zeros(DAYS)
    spike[-1] = 31.0
    run = smoothed(spike, 31)
    assert np.isclose(run.sum(), 31.0)
    assert np.isclose(run[0], 1.0)
    assert np.isclose(run[100], 0.0)
