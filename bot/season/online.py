"""A forecast from Open-Meteo, a public weather service that needs no key (data CC BY 4.0; credit it).

Answers are kept by whatever cache the app passes in. Two seconds and no more: a garden answer does not wait
for the weather. Any failure raises ForecastError and the app goes on with the normals.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any, Protocol

import httpx

from bot.season.forecast import Forecast, ForecastError, as_json, from_json

URL = "https://api.open-meteo.com/v1/forecast"
NAME = "Open-Meteo"
TIMEOUT_S = 2.0
FRESH = timedelta(hours=3)
DAYS_AHEAD = 7
_DAILY = {"temperature_2m_min": "low_c", "temperature_2m_max": "high_c", "precipitation_sum": "rain_mm",
          "wind_speed_10m_max": "wind_kmh", "et0_fao_evapotranspiration": "et0_mm"}
_HOURLY = {"temperature_2m": "temp_c", "relative_humidity_2m": "humidity_pct", "precipitation": "rain_mm",
           "wind_speed_10m": "wind_kmh", "dew_point_2m": "dew_point_c"}


class Cache(Protocol):
    """Where answers are kept: text by key."""

    def get(self, key: str) -> str | None:
        """Return what is kept under a key."""

    def put(self, key: str, value: str) -> None:
        """Keep text under a key."""


class OnlineForecast:
    """The forecast of the public service, through a cache."""

    def __init__(self, cache: Cache | None = None, *, url: str = URL,
                 clock: Callable[[], datetime] = lambda: datetime.now(UTC)) -> None:
        self._cache = cache
        self._url = url
        self._clock = clock

    def fetch(self, lat: float, lon: float, elevation_m: float | None, tz: str) -> Forecast | None:
        """Return the forecast, from the cache when it is fresh. Raises ForecastError when it cannot be had."""
        key = f"forecast:{lat:.2f},{lon:.2f}"
        kept = self._kept(key)
        now = self._clock()
        if kept and kept.fetched and now - kept.fetched < FRESH:
            return kept
        try:
            forecast = self._ask(lat, lon, elevation_m, tz, now)
        except ForecastError:
            if kept and kept.fetched and now - kept.fetched < timedelta(hours=24):
                return kept  # yesterday's view of tonight is better than none
            raise
        if self._cache is not None:
            self._cache.put(key, json.dumps(as_json(forecast)))
        return forecast

    def _kept(self, key: str) -> Forecast | None:
        text = self._cache.get(key) if self._cache is not None else None
        if not text:
            return None
        try:
            return from_json(json.loads(text))
        except (ValueError, ForecastError):
            return None

    def _ask(self, lat: float, lon: float, elevation_m: float | None, tz: str, now: datetime) -> Forecast:
        wanted: dict[str, Any] = {
            "latitude": round(lat, 3), "longitude": round(lon, 3), "timezone": tz, "forecast_days": DAYS_AHEAD,
            "daily": ",".join(_DAILY), "hourly": ",".join(_HOURLY),
        }
        if elevation_m is not None:
            wanted["elevation"] = round(elevation_m)
        try:
            answer = httpx.get(self._url, params=wanted, timeout=TIMEOUT_S)
            answer.raise_for_status()
            body = answer.json()
            return from_json({
                "source": NAME,
                "fetched": now.isoformat(),
                "days": _rows(body["daily"], _DAILY, "day"),
                "hours": _rows(body["hourly"], _HOURLY, "time"),
            })
        except (httpx.HTTPError, ValueError, KeyError, TypeError, IndexError) as error:
            raise ForecastError(f"no forecast just now ({type(error).__name__})") from None


def _rows(columns: dict[str, list[Any]], names: dict[str, str], time: str) -> list[dict[str, Any]]:
    """Turn the service's columns into rows; rows without the figures that are wanted are dropped."""
    rows = []
    for n, when in enumerate(columns["time"]):
        row = {time: when} | {ours: columns[theirs][n] for theirs, ours in names.items()
                              if theirs in columns and columns[theirs][n] is not None}
        if ("low_c" in row and "high_c" in row) or "temp_c" in row:
            rows.append(row)
    return rows
