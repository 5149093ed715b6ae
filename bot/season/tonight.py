"""The night ahead: how cold it gets, from the forecast's hours where there are any, else from the normals."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from bot.season.curves import place_of
from bot.season.forecast import Forecast
from bot.season.season import Season

_DUSK, _AFTER_SUNRISE = time(18), time(9)
_HOURS_ENOUGH = 8


@dataclass(frozen=True, slots=True)
class NightAhead:
    """The night that begins on `evening`. `chance` is of an air frost; `ground` of a frost on the ground.

    `wind_kmh` and `dew_point_c` are means of its hours where the forecast has them.
    """

    evening: date
    low_c: float
    chance: float
    ground: float
    forecast: bool
    wind_kmh: float | None = None
    dew_point_c: float | None = None

    @property
    def morning(self) -> date:
        """Return the day it ends on."""
        return self.evening + timedelta(days=1)


def night_ahead(season: Season, evening: date) -> NightAhead:
    """Return the night from `evening` to the next morning."""
    morning = evening + timedelta(days=1)
    ground_c = season.climate.number("frost.ground_c")
    chance = season.frost_chance(morning, morning)
    ground = season.frost_chance(morning, morning, ground_c)
    if season.forecast is not None and season.forecast.on(morning) is not None:
        low, wind, dew = _of_forecast(season.forecast, evening)
        return NightAhead(evening, low + season.offset_c, chance, ground, True, wind, dew)
    return NightAhead(evening, float(season.nights.mean[place_of(morning)]), chance, ground, False)


def _of_forecast(forecast: Forecast, evening: date) -> tuple[float, float | None, float | None]:
    """Return the lowest temperature, mean wind and mean dew point of a night in the forecast."""
    morning = evening + timedelta(days=1)
    dusk, end = datetime.combine(evening, _DUSK), datetime.combine(morning, _AFTER_SUNRISE)
    hours = [h for h in forecast.hours if dusk <= h.time.replace(tzinfo=None) <= end]
    row = forecast.on(morning)
    lowest = row.low_c if row else 0.0
    if len(hours) < _HOURS_ENOUGH:
        return lowest, row.wind_kmh if row else None, None
    winds = [h.wind_kmh for h in hours if h.wind_kmh is not None]
    dews = [h.dew_point_c for h in hours if h.dew_point_c is not None]
    return (min(h.temp_c for h in hours), sum(winds) / len(winds) if winds else None,
            sum(dews) / len(dews) if dews else None)
