"""Normals of a place from the stations round it."""

from __future__ import annotations

import numpy as np
import pytest

from bot.facts import Facts
from bot.season.normals import normals_at


def test_at_a_station_its_own_figures_come_out(facts: Facts) -> None:
    station = next(s for s in facts.climate.stations if s.name == "Clermont-Ferrand")
    here = normals_at(station.lat, station.lon, station.elevation_m, facts.climate)
    assert here.nearest_km == pytest.approx(0, abs=0.1)
    assert np.abs(here.low - np.array(station.low)).max() < 0.5
    assert np.abs(here.high - np.array(station.high)).max() < 0.5


def test_left_out_stations_are_predicted_from_their_neighbours(facts: Facts) -> None:
    """Every sixth station from the others: a degree off on average, as coefficients.yaml says."""
    low, high = [], []
    for station in facts.climate.stations[::6]:
        here = normals_at(station.lat, station.lon, station.elevation_m, facts.climate, frozenset({station.name}))
        assert station.name not in {n.station.name for n in here.neighbours}
        low.append(np.abs(here.low - np.array(station.low)).mean())
        high.append(np.abs(here.high - np.array(station.high)).mean())
    print(f"left out, mean error: lows {np.mean(low):.2f} °C, highs {np.mean(high):.2f} °C")
    assert np.mean(low) < 1.3
    assert np.mean(high) < 1.2


def test_higher_is_colder(facts: Facts) -> None:
    low, high = (normals_at(45.05, 3.9, height, facts.climate) for height in (400, 1400))
    assert 3.5 < float((low.low - high.low).mean()) < 7.5
    assert 3.5 < float((low.high - high.high).mean()) < 8.0


def test_shares_add_up_and_the_nearest_counts_most_on_level_ground(facts: Facts) -> None:
    here = normals_at(52.0, 0.0, 60, facts.climate)
    assert sum(n.share for n in here.neighbours) == pytest.approx(1)
    assert here.neighbours[0].share == max(n.share for n in here.neighbours)
    assert all(n.km < 400 for n in here.neighbours)


def test_an_unknown_height_is_taken_from_the_stations_and_said(facts: Facts) -> None:
    here = normals_at(52.0, 0.0, None, facts.climate)
    assert here.height_guessed
    assert 0 < here.elevation_m < 200


def test_far_from_any_station_the_spread_factors_go_to_one(facts: Facts) -> None:
    mid_ocean = normals_at(-48.0, -120.0, 0, facts.climate)
    assert mid_ocean.nearest_km > 2000
    assert mid_ocean.spring == pytest.approx(1, abs=0.2)
    assert mid_ocean.autumn == pytest.approx(1, abs=0.2)


def test_rain_is_mixed_only_from_stations_that_give_it(facts: Facts) -> None:
    without = next(s for s in facts.climate.stations if s.rain is None)
    here = normals_at(without.lat, without.lon, without.elevation_m, facts.climate)
    assert here.rain is not None
    assert np.isfinite(here.rain).all()
    assert (here.rain >= 0).all()


def test_the_tropics_are_no_hotter_towards_the_equator(facts: Facts) -> None:
    """Means of the year as published for 1991-2020: Darwin 27.8 °C, Singapore 27.8; left out, each is told from far off."""
    for name, published in (("Darwin Airport", 27.8), ("Singapore Changi Airport", 27.8)):
        station = next(s for s in facts.climate.stations if s.name == name)
        here = normals_at(station.lat, station.lon, station.elevation_m, facts.climate)
        assert float((here.low + here.high).mean() / 2) == pytest.approx(published, abs=0.5)
        far = normals_at(station.lat, station.lon, station.elevation_m, facts.climate, frozenset({name}))
        assert float((far.low + far.high).mean() / 2) == pytest.approx(published, abs=2.5)
