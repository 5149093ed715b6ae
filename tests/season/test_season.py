"""The season of a place as other parts use it."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from bot.facts import Facts
from bot.plot.state import PlotPlace, Settings
from bot.season import Forecast, ForecastDay, Season, place_of, season_for
from tests.season.conftest import ANDALUSIA, CANTERBURY, HILLS, TASMANIA

SPRING, SUMMER, WINTER = date(2026, 4, 15), date(2026, 7, 15), date(2026, 1, 15)


def test_the_same_place_is_built_once(facts: Facts) -> None:
    assert season_for(HILLS, facts) is season_for(HILLS, facts)
    assert season_for(HILLS, facts, Settings(place=HILLS)) is season_for(HILLS, facts)
    assert season_for(HILLS, facts, Settings(place=HILLS, last_frost="05-15")) is not season_for(HILLS, facts)


def test_hemispheres(hills: Season, canterbury: Season) -> None:
    assert not hills.southern and canterbury.southern
    assert hills.mean(SUMMER) > hills.mean(WINTER) + 12
    assert canterbury.mean(WINTER) > canterbury.mean(SUMMER) + 8


def test_mean_lies_between_low_and_high(hills: Season) -> None:
    for cover in (None, "fleece", "polytunnel", "cold-frame", "heated", "indoors"):
        year = hills.arrays(cover)
        assert np.all(year.low <= year.mean) and np.all(year.mean <= year.high)


@pytest.mark.parametrize(
    "cover", ["fleece", "cloche", "cold-frame", "greenhouse", "polytunnel", "polytunnel-fleece", "straw"]
)
def test_a_cover_never_makes_a_night_colder(cover: str, hills: Season) -> None:
    assert np.all(hills.arrays(cover).low >= hills.arrays().low)
    assert np.all(hills.arrays(cover).light <= hills.arrays().light)


def test_a_tunnel_is_opened_on_hot_days(andalusia: Season) -> None:
    outside, tunnel = andalusia.high(SUMMER), andalusia.high(SUMMER, "polytunnel")
    assert tunnel == pytest.approx(outside)  # past its venting point already
    assert andalusia.high(WINTER, "polytunnel") > andalusia.high(WINTER) + 3


def test_heat_keeps_the_frost_out(hills: Season) -> None:
    assert hills.low(WINTER, "heated") >= 10
    assert hills.frost_chance(WINTER, WINTER + timedelta(days=30), 0.0, "heated") == 0.0
    assert hills.survival(-1, date(2026, 11, 1), date(2027, 3, 31), "indoors") == 1.0


def test_arrays_are_read_only(hills: Season) -> None:
    with pytest.raises(ValueError, match="read-only"):
        hills.arrays().low[0] = 99


def test_soil_lags_the_air_in_spring_and_autumn(hills: Season) -> None:
    assert hills.soil(SPRING) < hills.mean(SPRING + timedelta(days=4)) + 1.5
    assert hills.soil(date(2026, 10, 15)) > hills.mean(date(2026, 10, 15))
    assert hills.soil(SPRING, "polytunnel") > hills.soil(SPRING) + 1.5
    assert hills.soil(WINTER) > -1


def test_rain_adds_up_to_the_year(hills: Season) -> None:
    year = sum(hills.rain(date(2025, 1, 1) + timedelta(days=n)) or 0 for n in range(365))
    assert hills.normals.rain is not None
    assert year == pytest.approx(float(hills.normals.rain.sum()), rel=0.03)


def test_an_unknown_cover_is_an_error(hills: Season) -> None:
    with pytest.raises(KeyError):
        hills.low(WINTER, "duvet")


def test_covers_by_alias(hills: Season) -> None:
    assert hills.low(WINTER, "unheated") == hills.low(WINTER, "greenhouse")
    assert hills.low(WINTER, "none") == hills.low(WINTER)


# frost


def test_frost_chance_grows_with_the_spell(hills: Season) -> None:
    start = date(2026, 4, 20)
    chances = [hills.frost_chance(start, start + timedelta(days=n)) for n in (0, 3, 13, 40)]
    assert chances == sorted(chances)
    assert 0 < chances[0] < chances[-1] < 1
    assert hills.frost_chance(start, start - timedelta(days=1)) == 0.0


def test_frost_dates_say_what_frost_chance_says(hills: Season) -> None:
    """A last frost of one year in ten: after that day a frost comes with a chance of ten percent."""
    dates = hills.frost_dates()
    for level in (10, 50, 90):
        text = dates.last.at(level)
        assert text is not None
        day = date(2026, int(text[:2]), int(text[3:]))
        assert hills.frost_chance(day, date(2026, 7, 25)) == pytest.approx(level / 100, abs=0.04)


def test_survival_is_the_rest_of_frost_chance(hills: Season) -> None:
    span = date(2026, 11, 1), date(2027, 3, 31)
    assert hills.survival(-9, *span) == pytest.approx(1 - hills.frost_chance(*span, -9))
    assert hills.survival(-9, *span) < hills.survival(-15, *span)
    assert hills.survival(-9, *span) < hills.survival(-9, *span, "cold-frame")


def test_the_frosts_of_the_growing_season_that_holds_a_day(hills: Season) -> None:
    for day, year in ((date(2026, 2, 1), 2026), (date(2026, 6, 17), 2026), (date(2026, 12, 1), 2027)):
        last, first = hills.next_last_frost(day), hills.next_first_frost(day)
        assert last is not None and first is not None
        assert (last.year, first.year) == (year, year)
        assert last < first and first >= day


def test_southern_growing_seasons_run_over_new_year(canterbury: Season) -> None:
    for day in (date(2026, 9, 1), date(2026, 12, 25), date(2027, 2, 1)):
        last, first = canterbury.next_last_frost(day), canterbury.next_first_frost(day)
        assert last is not None and first is not None
        assert (last.year, first.year) == (2026, 2027)


def test_rare_frost_has_no_half_level_date(andalusia: Season) -> None:
    assert andalusia.frost_dates().last.p50 is None
    assert andalusia.next_last_frost(SPRING) is None
    assert andalusia.next_first_frost(SPRING) is None


def test_a_forecast_wins_over_the_normals(hills: Season) -> None:
    night = date(2026, 6, 18)
    assert hills.frost_chance(night, night) < 0.01
    cold = hills.with_forecast(Forecast((ForecastDay(night, -3.0, 12.0),)))
    assert cold.frost_chance(night, night) > 0.9
    assert cold.frost_chance(night + timedelta(days=1), night + timedelta(days=1)) < 0.01
    assert hills.forecast is None  # the one without stays as it was
    assert any(note.startswith("Forecast for 1 day") for note in cold.notes)


def test_a_far_day_of_the_forecast_is_less_sure(hills: Season) -> None:
    start = date(2026, 6, 18)
    days = tuple(ForecastDay(start + timedelta(days=n), 2.0, 15.0) for n in range(7))
    ahead = hills.with_forecast(Forecast(days))
    chances = [ahead.frost_chance(d.day, d.day) for d in days]
    assert chances == sorted(chances)


# warmth


def test_reach_undoes_thermal_sum(hills: Season) -> None:
    start = date(2026, 5, 1)
    reach = hills.reach(500, start, 4.4, 24)
    assert reach.likely is not None
    assert hills.thermal_sum(start, reach.likely, 4.4, 24) >= 500
    assert hills.thermal_sum(start, reach.likely - timedelta(days=1), 4.4, 24) < 500


def test_a_warm_year_is_earlier_and_a_cool_one_later(hills: Season) -> None:
    reach = hills.reach(700, date(2026, 5, 1), 10, 30)
    assert reach.early and reach.likely and reach.late
    assert reach.early < reach.likely < reach.late


def test_what_cannot_be_reached_is_none(hills: Season) -> None:
    assert hills.reach(5000, date(2026, 5, 1), 25, 30).likely is None


def test_more_base_less_warmth(hills: Season) -> None:
    for base in range(0, 14):
        assert np.all(hills.warmth(base + 1.0, 30.0) <= hills.warmth(float(base), 30.0) + 1e-9)


def test_notes_tell_what_the_figures_rest_on(hills: Season, facts: Facts) -> None:
    assert "weather stations" in hills.notes[0] and "880 m" in hills.notes[0]
    assert any("take dates as a guide only" in note for note in hills.notes)
    level = season_for(PlotPlace(52.0, 0.0, None), facts)
    assert any("not known" in note for note in level.notes)
    high = season_for(PlotPlace(45.05, 3.9, 1800), facts)
    assert any("lower than the plot" in note for note in high.notes)


def test_every_place_on_a_grid_has_a_whole_season(facts: Facts) -> None:
    """Anywhere between the polar circles: finite figures, no crash, chances between 0 and 1."""
    for lat in range(-55, 66, 20):
        for lon in range(-170, 180, 70):
            season = season_for(PlotPlace(lat, lon, 100), facts)
            year = season.arrays()
            assert all(np.isfinite(a).all() for a in (year.low, year.high, year.soil, year.light))
            assert 0 <= season.frost_chance(SPRING, SPRING + timedelta(days=20)) <= 1
            assert season.reach(300, SPRING, 5, 25).early is not None or year.high.max() < 12


@pytest.mark.parametrize("place", [HILLS, TASMANIA, CANTERBURY, ANDALUSIA])
def test_day_length_of_arrays_is_that_of_the_day(place: PlotPlace, facts: Facts) -> None:
    season = season_for(place, facts)
    for day in (SPRING, SUMMER, WINTER):
        assert season.arrays().day_length[place_of(day)] == pytest.approx(season.day_length(day), abs=0.03)
