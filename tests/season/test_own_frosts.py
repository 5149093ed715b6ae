"""The gardener's own frost dates win."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from bot.facts import Facts
from bot.plot.state import Settings
from bot.season import season_for
from bot.season.own_frosts import OwnFrosts, shifted_by
from tests.checks.report_frost import apart
from tests.season.conftest import CANTERBURY, HILLS


@pytest.mark.parametrize(
    ("place", "last", "first"),
    [
        (HILLS, "05-20", "09-28"),
        (HILLS, "04-10", "10-30"),
        (CANTERBURY, "10-20", "04-15"),
        (CANTERBURY, "09-01", "06-10"),
    ],
)
def test_own_dates_come_out_as_the_half_level(place: object, last: str, first: str, facts: Facts) -> None:
    settings = Settings(place=place, last_frost=last, first_frost=first)  # type: ignore[arg-type]
    dates = season_for(place, facts, settings).frost_dates()  # type: ignore[arg-type]
    assert dates.last.p50 and dates.first.p50 and dates.last.p10
    assert abs(apart(dates.last.p50, last)) <= 1
    assert abs(apart(dates.first.p50, first)) <= 1
    assert apart(dates.last.p10, last) > 5  # the spread stays


def test_one_date_moves_the_whole_year(facts: Facts) -> None:
    usual = season_for(HILLS, facts).frost_dates()
    moved = season_for(HILLS, facts, Settings(place=HILLS, last_frost="05-25")).frost_dates()
    assert usual.first.p50 and moved.first.p50
    assert apart(moved.first.p50, usual.first.p50) < -8  # a later spring frost means an earlier autumn one


def test_colder_nights_than_the_stations_cool_the_days_half_as_much_at_most(facts: Facts) -> None:
    usual = season_for(HILLS, facts)
    own = season_for(HILLS, facts, Settings(place=HILLS, last_frost="05-25", first_frost="09-20"))
    day = date(2026, 5, 1)
    assert own.low(day) < usual.low(day) - 1
    assert own.high(day) == usual.high(day)
    assert own.mean(day) == pytest.approx((own.low(day) + own.high(day)) / 2)


def test_no_dates_no_shift(facts: Facts) -> None:
    nights = season_for(HILLS, facts).nights
    assert np.all(shifted_by(nights, OwnFrosts()) == 0)


def test_a_leap_day_of_the_gardeners_is_taken(facts: Facts) -> None:
    dates = season_for(CANTERBURY, facts, Settings(place=CANTERBURY, first_frost="02-29")).frost_dates()
    assert dates.first.p50 is not None


def test_a_frost_hollow_freezes_longer(facts: Facts) -> None:
    usual = season_for(HILLS, facts).frost_dates()
    hollow = season_for(HILLS, facts, Settings(place=HILLS, frost_offset_c=-2.0))
    assert usual.last.p50 and hollow.frost_dates().last.p50
    assert apart(hollow.frost_dates().last.p50, usual.last.p50) >= 7  # type: ignore[arg-type]
    assert any("2.0 °C colder" in note for note in hollow.notes)
