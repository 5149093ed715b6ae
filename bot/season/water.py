"""Evaporation from well-watered grass, mm a day: FAO Irrigation and Drainage Paper 56 (Allen and others 1998).

Penman-Monteith where humidity, wind and sun are known (equation 6), Hargreaves from temperatures alone
(equation 52). Equation numbers below are those of the paper; constants are printed in it.
"""

from __future__ import annotations

import math

MM_PER_MJ = 0.408  # water evaporated by a megajoule on a square metre (equation 20)
SOLAR_CONSTANT = 0.0820  # MJ/m2/min
STEFAN_BOLTZMANN = 4.903e-9  # MJ/K4/m2/day


def saturation_pressure(celsius: float) -> float:
    """Return the saturation vapour pressure, kPa (equation 11)."""
    return 0.6108 * math.exp(17.27 * celsius / (celsius + 237.3))


def dew_point(pressure_kpa: float) -> float:
    """Return the dew point, °C, of an actual vapour pressure in kPa (annex 3)."""
    log = math.log(pressure_kpa)
    return (116.91 + 237.3 * log) / (16.78 - log)


def air_pressure(elevation_m: float) -> float:
    """Return the mean air pressure at a height, kPa (equation 7)."""
    return float(101.3 * ((293 - 0.0065 * elevation_m) / 293) ** 5.26)


def psychrometric_constant(pressure_kpa: float) -> float:
    """Return the psychrometric constant, kPa/°C (equation 8)."""
    return 0.665e-3 * pressure_kpa


def slope(celsius: float) -> float:
    """Return the slope of the saturation curve, kPa/°C (equation 13)."""
    return 4098 * saturation_pressure(celsius) / (celsius + 237.3) ** 2


def wind_at_2m(speed: float, height_m: float) -> float:
    """Return the wind at 2 m from one measured at another height, m/s (equation 47)."""
    return speed * 4.87 / math.log(67.8 * height_m - 5.42)


def _sun(lat: float, day_of_year: int) -> tuple[float, float, float, float]:
    """Return latitude and declination (radians), relative distance, and sunset hour angle (equations 22 to 25)."""
    phi = math.radians(lat)
    distance = 1 + 0.033 * math.cos(2 * math.pi / 365 * day_of_year)
    declination = 0.409 * math.sin(2 * math.pi / 365 * day_of_year - 1.39)
    sunset = math.acos(max(-1.0, min(1.0, -math.tan(phi) * math.tan(declination))))
    return phi, declination, distance, sunset


def extraterrestrial_radiation(lat: float, day_of_year: int) -> float:
    """Return the sun's radiation at the top of the air, MJ/m2/day (equation 21)."""
    phi, declination, distance, sunset = _sun(lat, day_of_year)
    return (24 * 60 / math.pi * SOLAR_CONSTANT * distance
            * (sunset * math.sin(phi) * math.sin(declination)
               + math.cos(phi) * math.cos(declination) * math.sin(sunset)))


def daylight_hours(lat: float, day_of_year: int) -> float:
    """Return the geometric day length, hours (equation 34): no refraction, so shorter than an almanac's."""
    return 24 / math.pi * _sun(lat, day_of_year)[3]


def solar_radiation(sun_hours: float, possible_hours: float, top: float) -> float:
    """Return solar radiation at the ground from sunshine hours, MJ/m2/day (equation 35, a 0.25 and b 0.50)."""
    return (0.25 + 0.50 * sun_hours / possible_hours) * top


def clear_sky_radiation(elevation_m: float, top: float) -> float:
    """Return the radiation of a clear day, MJ/m2/day (equation 37)."""
    return (0.75 + 2e-5 * elevation_m) * top


def net_radiation(low_c: float, high_c: float, vapour_kpa: float, solar: float, clear: float) -> float:
    """Return net radiation over grass, MJ/m2/day (equations 38 to 40, albedo 0.23)."""
    kelvins = ((high_c + 273.16) ** 4 + (low_c + 273.16) ** 4) / 2
    away = (STEFAN_BOLTZMANN * kelvins * (0.34 - 0.14 * math.sqrt(vapour_kpa))
            * (1.35 * min(solar / clear, 1.0) - 0.35))
    return (1 - 0.23) * solar - away


def penman_monteith(low_c: float, high_c: float, vapour_kpa: float, wind_ms: float, net: float, elevation_m: float,
                    mean_c: float | None = None, ground_heat: float = 0.0) -> float:
    """Return reference evapotranspiration, mm/day (equation 6). Radiation in MJ/m2/day, wind at 2 m in m/s."""
    mean = (low_c + high_c) / 2 if mean_c is None else mean_c
    dry = (saturation_pressure(low_c) + saturation_pressure(high_c)) / 2 - vapour_kpa
    gamma, delta = psychrometric_constant(air_pressure(elevation_m)), slope(mean)
    top = MM_PER_MJ * delta * (net - ground_heat) + gamma * 900 / (mean + 273) * wind_ms * dry
    return top / (delta + gamma * (1 + 0.34 * wind_ms))


def hargreaves(low_c: float, high_c: float, lat: float, day_of_year: int) -> float:
    """Return reference evapotranspiration from temperatures alone, mm/day (equation 52)."""
    top = extraterrestrial_radiation(lat, day_of_year) * MM_PER_MJ
    return max(0.0, 0.0023 * ((low_c + high_c) / 2 + 17.8) * math.sqrt(max(high_c - low_c, 0.0)) * top)
