"""The season engine: place to daylight, normals, frost, soil, growing warmth, forecast and water.

    season = season_for(place, facts, settings, forecast)
    season.frost_dates().last.p50, season.soil(day, "polytunnel"), season.reach(900, day, 4.4, 25).likely

`arrays(cover)` and `warmth(base, ceiling, cover)` give whole years as numpy arrays for the bed choice; index them
with `place_of(day)`. Nothing here does input or output, except the on-line forecast source.
"""

from __future__ import annotations

from functools import lru_cache

from bot.facts import Facts
from bot.plot.state import PlotPlace, Settings
from bot.season.archive import Measured, NormalsSource
from bot.season.curves import DAYS, WHOLE_YEAR, day_in_year, month_day, place_of, places
from bot.season.forecast import Forecast, ForecastDay, ForecastError, ForecastHour, ForecastSource
from bot.season.nights import FrostDates, Nights, Quantiles
from bot.season.normals import Held, normals_at
from bot.season.own_frosts import OwnFrosts
from bot.season.season import Season, SeasonArrays
from bot.season.thermal import Reach


@lru_cache(maxsize=32)
def _season(place: PlotPlace, held: Held, own: OwnFrosts, offset_c: float, measured: Measured | None) -> Season:
    normals = normals_at(place.lat, place.lon, place.elevation_m, held.climate, measured=measured)
    return Season(place, normals, held.climate, own=own, offset_c=offset_c)


def season_for(place: PlotPlace, facts: Facts, settings: Settings | None = None,
               forecast: Forecast | None = None, measured: Measured | None = None) -> Season:
    """Return the season of a place, from a cache when it was built before.

    `settings` gives the gardener's own frost dates and the plot's frost offset; a forecast is laid over the normals,
    and measured normals of the spot are mixed into them.
    """
    own = OwnFrosts(settings.last_frost, settings.first_frost) if settings else OwnFrosts()
    season = _season(place, Held(facts.climate), own, settings.frost_offset_c if settings else 0.0, measured)
    return season.with_forecast(forecast) if forecast else season


__all__ = ["DAYS", "Forecast", "ForecastDay", "ForecastError", "ForecastHour", "ForecastSource", "FrostDates",
           "Measured", "Nights", "NormalsSource", "OwnFrosts", "Quantiles", "Reach", "Season", "SeasonArrays",
           "WHOLE_YEAR", "day_in_year", "month_day",
           "place_of", "places", "season_for"]
