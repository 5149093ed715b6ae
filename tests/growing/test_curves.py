from __future__ import annotations

from datetime import timedelta

import pytest

from bot.facts import Facts
from bot.growing.curves import curves
from bot.season import season_for
from tests.growing.places import DEMO, ENGLAND, SEVILLE, TASMANIA, here


def test_north_and_south_both_begin_in_the_cold(facts: Facts) -> None:
    for place in (DEMO, ENGLAND, SEVILLE, TASMANIA):
        year = here(facts, place)
        assert -40 <= year.trough <= 60
        assert 180 <= year.peak <= 245
        assert year.hours[182] > 14 > 10 > year.hours[0] - 0.2


def test_reach_agrees_with_the_season(facts: Facts) -> None:
    """Summing from a day must give the very day the season gives."""
    season = season_for(DEMO, facts)
    year = here(facts)
    for count in (80, 120, 200, 260):
        start = year.year.day(count)
        theirs = season.reach(700, start, 4.4, 24.0).likely
        assert theirs is not None
        assert abs((year.year.day(year.reach(700, count, 4.4, 24.0)) - theirs).days) <= 2


def test_latest_start_is_the_reverse_of_reach(facts: Facts) -> None:
    year = here(facts)
    start = year.latest_start(600, 300, 4.4, 24.0)
    assert year.reach(600, int(start), 4.4, 24.0) <= 301
    assert year.reach(600, int(start) + 4, 4.4, 24.0) > 299


def test_rises_and_falls_say_when_never(facts: Facts) -> None:
    year = here(facts)
    assert year.rises(year.mean, -60) == float("-inf")
    assert year.rises(year.mean, 60) == float("inf")
    assert year.falls(year.mean, -60) == float("inf")
    ten = year.rises(year.mean, 10)
    assert 90 < ten < 170
    assert year.mean[int(ten)] >= 10 > year.mean[int(ten) - 2]


def test_frost_dates_are_the_seasons(facts: Facts) -> None:
    season = season_for(DEMO, facts)
    year = here(facts)
    assert year.year.day(year.last_frost()).strftime("%m-%d") == season.frost_dates().last.p50
    assert year.year.day(year.first_frost()).strftime("%m-%d") == season.frost_dates().first.p50


def test_a_roof_moves_frost_apart(facts: Facts) -> None:
    outside, inside = here(facts), here(facts, cover="polytunnel")
    assert inside.gain_c > 0.5
    assert inside.last_frost() < outside.last_frost()
    assert inside.first_frost() > outside.first_frost()


def test_frost_free_places_have_stand_ins(facts: Facts) -> None:
    year = here(facts, SEVILLE)
    assert year.frost_free
    assert year.trough < year.last_frost() < 100
    assert 270 < year.first_frost() < 365 + year.trough
    assert not here(facts).frost_free


def test_idle_days_lie_in_winter(facts: Facts) -> None:
    year = here(facts)
    assert year.idle_days(150, 250) == 0
    assert year.idle_days(330, 400) >= 55


def test_the_year_is_worked_out_once(facts: Facts) -> None:
    season = season_for(DEMO, facts)
    assert curves(season, "polytunnel", facts) is curves(season, "polytunnel", facts)
    assert curves(season, None, facts) is curves(season, "none", facts)


@pytest.mark.parametrize("days", [0, 1, 400])
def test_survival_of_no_days_is_certain(facts: Facts, days: int) -> None:
    year = here(facts)
    chance = year.survives(-8, 300, 300 + days)
    assert (chance == 1.0) if days == 0 else 0 <= chance <= 1
    assert year.year.day(300) + timedelta(days=1) == year.year.day(301)
