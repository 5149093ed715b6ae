"""Measured normals of the very spot, from a weather service's archive; optional, and mixed with the stations'.

A source is anything with `fetch_normals(lat, lon, elevation_m)`. The app fetches, keeps and hands the result on.
"""

from __future__ import annotations

from calendar import monthrange
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from statistics import mean
from typing import Any, Protocol

import httpx

from bot.season.forecast import ForecastError
from bot.season.online import NAME, TIMEOUT_S

URL = "https://archive-api.open-meteo.com/v1/archive"
YEARS = 10
_DAILY = ("temperature_2m_min", "temperature_2m_max", "precipitation_sum")


@dataclass(frozen=True, slots=True)
class Measured:
    """Monthly mean daily low and high (°C) and rain (mm) of a spot over some years, January first."""

    low: tuple[float, ...]
    high: tuple[float, ...]
    rain: tuple[float, ...]
    years: str
    source: str

    def as_json(self) -> dict[str, Any]:
        """Return the plain form, for a cache."""
        return {"low": list(self.low), "high": list(self.high), "rain": list(self.rain), "years": self.years,
                "source": self.source}

    @classmethod
    def from_json(cls, value: Any) -> Measured:
        """Build from the plain form. Raises ForecastError when it is not one."""
        try:
            low, high, rain = (tuple(float(x) for x in value[name]) for name in ("low", "high", "rain"))
            found = cls(low, high, rain, str(value["years"]), str(value["source"]))
        except (KeyError, TypeError, ValueError):
            raise ForecastError("not usable measured normals") from None
        if not all(len(row) == 12 for row in (low, high, rain)) or any(a >= b for a, b in zip(low, high, strict=True)):
            raise ForecastError("measured normals want twelve lows under twelve highs")
        return found


class NormalsSource(Protocol):
    """Something that can be asked for measured normals."""

    def fetch_normals(self, lat: float, lon: float, elevation_m: float | None) -> Measured | None:
        """Return measured normals, or None when this source has none. Raises ForecastError."""


class OnlineArchive:
    """Ten years of daily figures from the public service's archive, made into monthly means."""

    def __init__(self, *, url: str = URL, clock: Callable[[], datetime] = lambda: datetime.now(UTC)) -> None:
        self._url = url
        self._clock = clock

    def fetch_normals(self, lat: float, lon: float, elevation_m: float | None) -> Measured | None:
        """Return the means of the last ten whole years. Raises ForecastError when they cannot be had in time."""
        last = self._clock().year - 1
        wanted: dict[str, Any] = {
            "latitude": round(lat, 3), "longitude": round(lon, 3), "start_date": f"{last - YEARS + 1}-01-01",
            "end_date": f"{last}-12-31", "daily": ",".join(_DAILY), "timezone": "UTC",
        }
        if elevation_m is not None:
            wanted["elevation"] = round(elevation_m)
        try:
            answer = httpx.get(self._url, params=wanted, timeout=TIMEOUT_S)
            answer.raise_for_status()
            months = _by_month(answer.json()["daily"])
        except (httpx.HTTPError, ValueError, KeyError, TypeError) as error:
            raise ForecastError(f"no archive just now ({type(error).__name__})") from None
        return Measured.from_json({**months, "years": f"{last - YEARS + 1}-{last}", "source": NAME})


def _by_month(daily: dict[str, list[Any]]) -> dict[str, list[float]]:
    """Return monthly means of lows and highs and mean monthly rain; days without a figure are passed over."""
    kept: dict[str, dict[int, list[float]]] = {name: defaultdict(list) for name in _DAILY}
    for n, text in enumerate(daily["time"]):
        month = date.fromisoformat(text).month
        for name in _DAILY:
            value = daily[name][n]
            if value is not None:
                kept[name][month].append(float(value))
    low, high, rain = (kept[name] for name in _DAILY)
    if any(len(low[m]) < 28 or len(high[m]) < 28 or not rain[m] for m in range(1, 13)):
        raise ValueError("too few days")
    return {"low": [mean(low[m]) for m in range(1, 13)], "high": [mean(high[m]) for m in range(1, 13)],
            "rain": [mean(rain[m]) * monthrange(2025, m)[1] for m in range(1, 13)]}
