"""Light, warmth, soil, seed, winter and the night ahead."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.facts import Facts
from bot.facts.crop import Germination
from bot.season import Forecast, ForecastDay, ForecastHour, Season
from bot.season.emergence import days_at, emergence, sprouting
from bot.season.soil import soil_year
from bot.season.thermal import effective, light_factor, need_from_days, sine_degree_days
from bot.season.tonight import night_ahead
from bot.season.winter import step_at, winter_of, winter_span

CARROT = [
    (0.0, None),
    (5.0, 51.0),
    (10.0, 17.0),
    (15.0, 10.0),
    (20.0, 7.0),
    (25.0, 6.0),
    (30.0, 6.0),
    (35.0, 9.0),
    (40.0, None),
]


# light and warmth


def test_light_is_full_from_twelve_hours_and_little_in_the_dark(facts: Facts) -> None:
    share = light_factor(np.array([6.0, 8.5, 10.0, 11.0, 12.0, 16.0]), facts.climate)
    assert list(share) == sorted(share)
    assert share[0] == share[1] == pytest.approx(0.1)
    assert share[4] == share[5] == 1.0
    assert 0.3 < share[2] < 0.6


@given(st.floats(-10, 25), st.floats(0.5, 20), st.floats(0, 1))
def test_warmth_that_counts_is_never_more_than_there_is(low: float, swing: float, light: float) -> None:
    facts = _FACTS
    lows, highs = np.array([low]), np.array([low + swing])
    whole = sine_degree_days(lows, highs, 4.4, 24.0)
    counted = effective(lows, highs, np.array([light]), 4.4, 24.0, facts.climate)
    assert 0 <= counted[0] <= whole[0] + 1e-9
    assert counted[0] <= light * 19.6


_FACTS = Facts()


def test_days_to_maturity_come_back_in_their_own_weather(facts: Facts) -> None:
    """A crop of 60 days takes 60 days of the reference weather."""
    need = need_from_days(60, 4.4, 24, facts.climate)
    day = effective(np.array([10.0]), np.array([22.0]), np.ones(1), 4.4, 24, facts.climate)[0]
    assert need / day == pytest.approx(60)
    assert need_from_days(60, 10, 30, facts.climate) != pytest.approx(need)


# soil


def test_soil_swings_less_than_the_air_and_later(facts: Facts) -> None:
    days = np.arange(365)
    air = 10 - 9 * np.cos(2 * np.pi * (days - 20) / 365)
    soil = soil_year(air, facts.climate.covers["none"], facts.climate)
    assert np.ptp(soil) < np.ptp(air)
    assert 0 < int(soil.argmax()) - int(air.argmax()) < 10
    assert soil.mean() == pytest.approx(10.8, abs=0.1)


def test_soil_holds_out_against_hard_frost(facts: Facts) -> None:
    soil = soil_year(np.full(365, -12.0), facts.climate.covers["none"], facts.climate)
    assert soil.min() > -6


# seed


def test_between_nodes_the_speed_runs_straight() -> None:
    assert days_at(CARROT, 12.5) == pytest.approx(1 / ((1 / 17 + 1 / 10) / 2))
    assert days_at(CARROT, 2.5) is None
    assert days_at(CARROT, 45) is None and days_at(CARROT, -3) is None
    assert days_at([], 10) is None


def germination(**fields: object) -> Germination:
    """Return germination facts for a test."""
    return Germination.model_validate({"source": ["osu-harrington"], **fields})


def test_outside_the_limits_nothing_comes_up() -> None:
    seed = germination(days_at=CARROT, soil_min_c=4.4, soil_max_c=35, days_usual=[7, 21])
    assert not emergence(seed, 3).comes_up
    assert not emergence(seed, 38).comes_up
    found = emergence(seed, 15)
    assert found.from_table and found.low is not None and found.high is not None
    assert found.low < 10 < found.high


def test_without_a_table_the_usual_days_stretch_in_cool_soil() -> None:
    seed = germination(soil_min_c=5, soil_best_c=[15, 25], days_usual=[8, 14])
    warm, cool = emergence(seed, 18), emergence(seed, 8)
    assert (warm.low, warm.high, warm.from_table) == (8, 14, False)
    assert cool.low is not None and cool.high is not None and cool.high > 20
    assert not emergence(seed, 4).comes_up
    assert not emergence(germination(light="yes"), 15).comes_up


def test_sprouting_in_steady_soil_takes_the_tables_days() -> None:
    seed = germination(days_at=CARROT)
    due = sprouting(seed, date(2026, 4, 1), lambda _: 15.0)
    assert due.expected == date(2026, 4, 11)
    assert due.latest == date(2026, 4, 17)  # sixteen days: past six in ten again it has failed
    assert due.mean_soil_c == pytest.approx(15)


def test_sprouting_waits_for_the_soil_to_warm() -> None:
    seed = germination(days_at=CARROT)
    due = sprouting(seed, date(2026, 3, 1), lambda d: 2.0 if d < date(2026, 4, 1) else 15.0)
    assert (due.expected, due.latest) == (date(2026, 4, 11), date(2026, 4, 17))  # the cold month costs no patience
    assert sprouting(seed, date(2026, 3, 1), lambda _: 1.0).expected is None


# winter


def test_the_scales_have_a_step_for_every_temperature(facts: Facts) -> None:
    for celsius in (-50, -30, -12.2, -9.5, 0, 4.9, 20):
        assert step_at(facts.climate, "USDA", celsius) is not None
        assert step_at(facts.climate, "RHS", celsius) is not None
    assert step_at(facts.climate, "USDA", -8).code == "8b"  # type: ignore[union-attr]
    assert step_at(facts.climate, "RHS", -8).code == "H4"  # type: ignore[union-attr]
    assert step_at(facts.climate, "none such", -8) is None


def test_a_hard_winter_is_colder_than_a_usual_one(hills: Season) -> None:
    winter = winter_of(hills)
    assert winter.hard < winter.usual - 1 < winter.usual < winter.mild - 1


def test_the_winter_of_a_day(hills: Season, canterbury: Season) -> None:
    start, end = winter_span(hills, date(2026, 11, 5))
    assert start == date(2026, 11, 5) and date(2027, 6, 1) < end < date(2027, 8, 15)
    start, end = winter_span(hills, date(2026, 7, 1))
    assert date(2026, 7, 1) < start < date(2026, 8, 15) and end.year == 2027
    start, end = winter_span(canterbury, date(2026, 5, 5))
    assert start == date(2026, 5, 5) and date(2026, 12, 1) < end < date(2027, 2, 28)


# the night ahead


def test_the_night_ahead_from_the_normals(hills: Season) -> None:
    night = night_ahead(hills, date(2026, 4, 10))
    assert not night.forecast
    assert night.morning == date(2026, 4, 11)
    assert 0 < night.chance < night.ground < 1


def test_the_night_ahead_from_the_hours(hills: Season) -> None:
    evening = date(2026, 4, 10)
    hours = tuple(
        ForecastHour(datetime(2026, 4, 10, 12) + timedelta(hours=n), 8.0 - n * 0.6, 80, 0, 4.0, -1.0) for n in range(20)
    )
    season = hills.with_forecast(Forecast((ForecastDay(evening + timedelta(days=1), -2.0, 9.0),), hours))
    night = night_ahead(season, evening)
    assert night.forecast
    assert night.low_c == pytest.approx(min(h.temp_c for h in hours))
    assert night.wind_kmh == pytest.approx(4.0) and night.dew_point_c == pytest.approx(-1.0)
    assert night.chance > 0.8


def test_a_night_past_the_forecast_is_from_the_normals(hills: Season) -> None:
    season = hills.with_forecast(Forecast((ForecastDay(date(2026, 4, 11), -2.0, 9.0),)))
    assert not night_ahead(season, date(2026, 4, 15)).forecast
