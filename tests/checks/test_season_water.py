"""Evapotranspiration and degree days against printed worked examples, to the printed digits.

FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes, Smith 1998). Example 18 (Uccle), 20 (Lyon) and 9 (20 S) were
read in open copies of their figures; the smaller steps (examples 2, 3, 8, 10 to 12, 14) are from memory of the paper.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bot.season import water
from bot.season.thermal import average_degree_days, sine_degree_days


def test_fao_56_example_18_day_of_penman_monteith() -> None:
    """Uccle, 50°48' N, 100 m, 6 July: Tmax 21.5, Tmin 12.3, RH 84/63 %, wind 10 km/h at 10 m, sun 9.25 h -> 3.9 mm."""
    wind = water.wind_at_2m(10 / 3.6, 10)
    assert round(wind, 2) == 2.08
    vapour = (water.saturation_pressure(12.3) * 0.84 + water.saturation_pressure(21.5) * 0.63) / 2
    assert round(vapour, 3) == 1.409
    top = water.extraterrestrial_radiation(50.8, 187)
    assert round(top, 2) == 41.09
    assert round(water.daylight_hours(50.8, 187), 1) == 16.1
    solar = water.solar_radiation(9.25, 16.1, top)
    assert solar == pytest.approx(22.07, abs=0.01)  # the paper works on from rounded steps
    clear = water.clear_sky_radiation(100, top)
    assert round(clear, 2) == 30.90
    net = water.net_radiation(12.3, 21.5, vapour, solar, clear)
    assert net == pytest.approx(13.28, abs=0.01)
    assert round(water.air_pressure(100), 1) == 100.1
    assert round(water.psychrometric_constant(water.air_pressure(100)), 4) == 0.0666
    assert round(water.slope(16.9), 3) == 0.122
    et0 = water.penman_monteith(12.3, 21.5, vapour, wind, net, 100)
    assert round(et0, 2) == 3.88
    assert round(et0, 1) == 3.9


def test_fao_56_example_20_hargreaves() -> None:
    """Lyon, 45°43' N, 15 July: Tmax 26.6, Tmin 14.8 -> Ra 40.6 MJ (16.5 mm), ET0 5.0 mm."""
    assert water.extraterrestrial_radiation(45.72, 196) == pytest.approx(40.5546, abs=5e-4)
    et0 = water.hargreaves(14.8, 26.6, 45.72, 196)
    assert round(et0, 2) == 5.03
    assert round(et0, 1) == 5.0


def test_fao_56_smaller_worked_examples() -> None:
    assert round(water.air_pressure(1800), 1) == 81.8  # example 2
    assert round(water.psychrometric_constant(81.8), 3) == 0.054
    assert round(water.saturation_pressure(24.5), 3) == 3.075  # example 3
    assert round(water.saturation_pressure(15.0), 3) == 1.705
    assert round(water.extraterrestrial_radiation(-20, 246), 1) == 32.2  # example 8
    assert water.daylight_hours(-20, 246) == pytest.approx(11.66559, abs=5e-5)  # example 9 prints 11.7
    assert water.solar_radiation(7.1, 10.9, 25.1) == pytest.approx(14.5, abs=0.06)  # example 10
    assert round(water.wind_at_2m(3.2, 10), 1) == 2.4  # example 14


def test_dew_point_undoes_the_saturation_curve() -> None:
    for celsius in (-5.0, 0.0, 9.0, 20.0):
        assert water.dew_point(water.saturation_pressure(celsius)) == pytest.approx(celsius, abs=0.2)


def test_hargreaves_is_never_negative_in_a_deep_winter() -> None:
    assert water.hargreaves(-35, -25, 60, 10) == 0.0
    assert water.hargreaves(5, 5, 45, 100) == 0.0


def test_degree_days_by_averages() -> None:
    """Michigan State University Extension (msu-gdd-nugent), base 50 °F: 65/40 -> 2.5; 60/35 -> 0."""
    assert average_degree_days(40, 65, 50) == 2.5
    assert average_degree_days(35, 60, 50) == 0.0


def test_degree_days_by_the_86_50_rule() -> None:
    """Ohio State University AGF-101: highs over 86 °F count as 86, lows under 50 as 50."""
    assert average_degree_days(60, 90, 50, 86) == (86 + 60) / 2 - 50
    assert average_degree_days(40, 80, 50, 86) == (80 + 50) / 2 - 50
    assert average_degree_days(40, 48, 50, 86) == 0.0


def test_degree_days_by_the_single_sine() -> None:
    """Baskerville and Emin 1969: the day of 60/35 °F over 50 °F that averages give nothing gives 2.81."""
    assert round(float(sine_degree_days(np.array([35.0]), np.array([60.0]), 50.0)[0]), 2) == 2.81
    assert float(sine_degree_days(np.array([52.0]), np.array([70.0]), 50.0)[0]) == pytest.approx(11.0)
    assert float(sine_degree_days(np.array([30.0]), np.array([48.0]), 50.0)[0]) == 0.0


def test_the_single_sine_is_the_mean_of_a_sine() -> None:
    """Against the integral done by brute force."""
    turn = np.linspace(0, 2 * math.pi, 20001)
    for low, high, base, ceiling in ((3.0, 18.0, 4.4, None), (3.0, 33.0, 10.0, 30.0), (-4.0, 12.0, 4.4, 25.0)):
        wave = (low + high) / 2 + (high - low) / 2 * np.sin(turn)
        want = np.clip(wave, base, ceiling if ceiling is not None else np.inf) - base
        got = float(sine_degree_days(np.array([low]), np.array([high]), base, ceiling)[0])
        assert got == pytest.approx(float(want.mean()), abs=2e-3)
