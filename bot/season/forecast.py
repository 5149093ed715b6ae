"""Weather forecasts: the shapes, and the sources that give them (a file, or none).

A source is anything with `fetch(lat, lon, elevation_m, tz)`. Fetching is input and output, so the app does it and
hands the result to the season; every rule below works without one. The on-line source is `bot.season.online`.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any, Protocol


class ForecastError(Exception):
    """Raised when a forecast cannot be had or read; the message is one plain line."""


@dataclass(frozen=True, slots=True)
class ForecastDay:
    """One day: lowest and highest air temperature °C, rain mm, wind km/h, reference evapotranspiration mm."""

    day: date
    low_c: float
    high_c: float
    rain_mm: float | None = None
    wind_kmh: float | None = None
    et0_mm: float | None = None


@dataclass(frozen=True, slots=True)
class ForecastHour:
    """One hour, local time: air temperature °C, relative humidity %, rain mm, wind km/h, dew point °C."""

    time: datetime
    temp_c: float
    humidity_pct: float | None = None
    rain_mm: float | None = None
    wind_kmh: float | None = None
    dew_point_c: float | None = None


@dataclass(frozen=True, slots=True)
class Forecast:
    """Days and hours ahead, who gave them and when."""

    days: tuple[ForecastDay, ...]
    hours: tuple[ForecastHour, ...] = ()
    source: str = ""
    fetched: datetime | None = None

    def on(self, day: date) -> ForecastDay | None:
        """Return the row of a day, if the forecast reaches it."""
        return next((row for row in self.days if row.day == day), None)

    def __iter__(self) -> Any:
        return iter(self.days)

    def __len__(self) -> int:
        return len(self.days)


class ForecastSource(Protocol):
    """Something that can be asked for a forecast."""

    def fetch(self, lat: float, lon: float, elevation_m: float | None, tz: str) -> Forecast | None:
        """Return a forecast, or None when this source has none. Raises ForecastError."""


class NoForecast:
    """The source of a bot that is off line."""

    def fetch(self, lat: float, lon: float, elevation_m: float | None, tz: str) -> Forecast | None:
        """Return None."""
        return None


class FileForecast:
    """A forecast kept in a JSON file, in the plain form of `as_json`, for the demo and for tests."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def fetch(self, lat: float, lon: float, elevation_m: float | None, tz: str) -> Forecast | None:
        """Read the file; None when it is not there. Raises ForecastError when it cannot be used."""
        if not self.path.exists():
            return None
        try:
            return from_json(json.loads(self.path.read_text(encoding="utf-8")))
        except (OSError, ValueError) as error:
            raise ForecastError(f"{self.path.name}: not a usable forecast: {error}") from None


def from_json(value: Any) -> Forecast:
    """Build a forecast from its plain form. Raises ForecastError naming the row and field that is wrong."""
    if not isinstance(value, dict) or not isinstance(value.get("days"), list):
        raise ForecastError("a forecast holds a list named 'days'")
    days = tuple(ForecastDay(_day(row, f"days[{n}]"), *_figures(row, f"days[{n}]", ("low_c", "high_c"),
                 ("rain_mm", "wind_kmh", "et0_mm"))) for n, row in enumerate(value["days"]))
    hours = tuple(ForecastHour(_time(row, f"hours[{n}]"), *_figures(row, f"hours[{n}]", ("temp_c",),
                  ("humidity_pct", "rain_mm", "wind_kmh", "dew_point_c")))
                  for n, row in enumerate(value.get("hours") or []))
    for row in days:
        if row.low_c > row.high_c:
            raise ForecastError(f"{row.day}: low_c {row.low_c} is above high_c {row.high_c}")
    fetched = value.get("fetched")
    return Forecast(days, hours, str(value.get("source", "")), datetime.fromisoformat(fetched) if fetched else None)


def as_json(forecast: Forecast) -> dict[str, Any]:
    """Return the plain form of a forecast, for a file or a cache."""
    def row(item: ForecastDay | ForecastHour, names: Sequence[str]) -> dict[str, Any]:
        return {name: getattr(item, name) for name in names if getattr(item, name) is not None}

    return {
        "source": forecast.source,
        "fetched": forecast.fetched.isoformat() if forecast.fetched else None,
        "days": [{"day": d.day.isoformat()} | row(d, ("low_c", "high_c", "rain_mm", "wind_kmh", "et0_mm"))
                 for d in forecast.days],
        "hours": [{"time": h.time.isoformat()}
                  | row(h, ("temp_c", "humidity_pct", "rain_mm", "wind_kmh", "dew_point_c")) for h in forecast.hours],
    }


def _day(row: Any, where: str) -> date:
    try:
        return date.fromisoformat(row["day"])
    except (KeyError, TypeError, ValueError):
        raise ForecastError(f"{where}.day: a date as YYYY-MM-DD is wanted") from None


def _time(row: Any, where: str) -> datetime:
    try:
        return datetime.fromisoformat(row["time"])
    except (KeyError, TypeError, ValueError):
        raise ForecastError(f"{where}.time: a time as YYYY-MM-DDTHH:MM is wanted") from None


def _figures(row: Any, where: str, wanted: Sequence[str], others: Sequence[str]) -> list[Any]:
    figures: list[float | None] = []
    for name in (*wanted, *others):
        value = row.get(name)
        if value is None and name not in wanted:
            figures.append(None)
        elif isinstance(value, int | float) and not isinstance(value, bool) and -100 <= value <= 1000:
            figures.append(float(value))
        else:
            raise ForecastError(f"{where}.{name}: a number is wanted (found {value!r})")
    return figures
