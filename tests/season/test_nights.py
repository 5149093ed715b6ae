"""Chances of cold nights."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.season import WHOLE_YEAR, Season
from bot.season.nights import Nights, any_night, normal_cdf, spring_share


def test_normal_cdf_against_the_error_function() -> None:
    for z in np.linspace(-5, 5, 41):
        assert float(normal_cdf(np.array([z]))[0]) == pytest.approx(0.5 * (1 + math.erf(z / math.sqrt(2))), abs=2e-7)


def test_one_night_alone_is_its_own_chance() -> None:
    """With no shared anomaly and full independence the chance of any of n nights is 1 - (1 - p)^n."""
    single = float(normal_cdf(np.array([-1.0]))[0])
    for n in (1, 2, 10):
        got = any_night(np.full(n, 3.0), np.full(n, 3.0), np.zeros(n), 0.0, 1.0)
        assert got == pytest.approx(1 - (1 - single) ** n, abs=1e-6)


def test_a_shared_year_makes_nights_hang_together() -> None:
    """A cold year freezes many nights, so fewer years have any: the chance of any falls as the shared part grows."""
    alone, shared = (any_night(np.full(30, 6.0), np.full(30, 3.0), np.full(30, sd), 0.0, 1.0) for sd in (0.0, 2.0))
    assert shared < alone


def test_simulation_agrees() -> None:
    """Against 20,000 drawn springs: year anomaly plus independent nights."""
    draw = np.random.default_rng(7)
    mean, spread, sd = np.linspace(2, 9, 40), 3.2, 1.3
    years = draw.normal(0, sd, 20000)[:, None]
    lows = mean + years + draw.normal(0, math.sqrt(spread**2 - sd**2), (20000, 40))
    seen = float((lows <= 0).any(axis=1).mean())
    assert any_night(mean, np.full(40, spread), np.full(40, sd), 0.0, 1.0) == pytest.approx(seen, abs=0.01)


@given(st.floats(-20, 10), st.floats(0.1, 8))
def test_a_lower_threshold_is_never_likelier(threshold: float, step: float) -> None:
    nights = Nights(np.linspace(-3, 12, 365), np.full(365, 4.0), 1.3, 0.9)
    assert nights.any(WHOLE_YEAR[:90], threshold - step) <= nights.any(WHOLE_YEAR[:90], threshold) + 1e-12


def test_the_lowest_night_undoes_the_chance(hills: Season) -> None:
    for chance in (0.1, 0.5, 0.9):
        low = hills.nights.lowest(WHOLE_YEAR, chance)
        assert 1 - hills.nights.any(WHOLE_YEAR, low) == pytest.approx(chance, abs=1e-3)


def test_no_nights_no_frost(hills: Season) -> None:
    assert hills.nights.any(WHOLE_YEAR[:0]) == 0.0


def test_the_warmest_time_lies_in_summer(hills: Season, canterbury: Season) -> None:
    assert 190 < hills.nights.warmest < 225  # July and August
    assert canterbury.nights.warmest < 60 or canterbury.nights.warmest > 350  # January and February


def test_the_spring_share_is_high_in_spring_and_low_in_autumn(hills: Season, canterbury: Season) -> None:
    north, south = spring_share(hills.nights.mean), spring_share(canterbury.nights.mean)
    assert north[120] > 0.9 > 0.1 > north[290]
    assert south[290] > 0.9 > 0.1 > south[120]


def test_a_place_that_never_freezes_has_no_dates(hills: Season) -> None:
    warm = replace(hills.nights, mean=hills.nights.mean + 40)
    assert warm.dates().last.as_json() == {"p10": None, "p50": None, "p90": None}
    assert warm.dates().first.as_json() == {"p10": None, "p50": None, "p90": None}


def test_a_place_that_always_freezes_has_dates_in_high_summer(hills: Season) -> None:
    icy = replace(hills.nights, mean=hills.nights.mean - 40)
    assert icy.dates().last.p50 == icy.dates().first.p50


def test_the_frosty_spell_lies_in_winter(andalusia: Season, canterbury: Season) -> None:
    start, end = andalusia.nights.frosty_spell()
    assert start >= "12-01" or start <= "01-31"
    assert "01-01" <= end <= "03-10"
    start, end = canterbury.nights.frosty_spell()
    assert "05-01" <= start <= end <= "09-30"
