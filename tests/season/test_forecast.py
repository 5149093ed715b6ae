"""The forecast's shapes, its file source, and the on-line source against a local server that misbehaves."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlparse

import pytest

from bot.season.forecast import (
    FileForecast,
    Forecast,
    ForecastDay,
    ForecastError,
    ForecastHour,
    NoForecast,
    as_json,
    from_json,
)
from bot.season.online import OnlineForecast

DAY = date(2026, 9, 20)
SAMPLE = Forecast(
    (ForecastDay(DAY, 2.5, 14.0, 1.2, 11.0, 2.2), ForecastDay(DAY + timedelta(days=1), -1.0, 12.0)),
    (ForecastHour(datetime(2026, 9, 20, 6), 3.0, 96.0, 0.0, 5.0, 2.4),),
    "a file",
    datetime(2026, 9, 20, 5, tzinfo=UTC),
)


def test_the_plain_form_comes_back_whole() -> None:
    assert from_json(json.loads(json.dumps(as_json(SAMPLE)))) == SAMPLE


def test_on_finds_a_day() -> None:
    assert SAMPLE.on(DAY + timedelta(days=1)) == SAMPLE.days[1]
    assert SAMPLE.on(DAY + timedelta(days=5)) is None
    assert len(SAMPLE) == 2


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ([], "days"),
        ({}, "days"),
        ({"days": 3}, "days"),
        ({"days": [{"day": "yesterday", "low_c": 1, "high_c": 2}]}, r"days\[0\].day"),
        ({"days": [{"day": "2026-09-20", "low_c": "cold", "high_c": 2}]}, r"days\[0\].low_c"),
        ({"days": [{"day": "2026-09-20", "low_c": 1}]}, r"days\[0\].high_c"),
        ({"days": [{"day": "2026-09-20", "low_c": True, "high_c": 2}]}, r"days\[0\].low_c"),
        ({"days": [{"day": "2026-09-20", "low_c": 9, "high_c": 2}]}, "above"),
        ({"days": [], "hours": [{"time": "noon", "temp_c": 1}]}, r"hours\[0\].time"),
    ],
)
def test_a_bad_forecast_names_row_and_field(value: Any, says: str) -> None:
    with pytest.raises(ForecastError, match=says):
        from_json(value)


def test_a_file(tmp_path: Path) -> None:
    path = tmp_path / "forecast.json"
    assert FileForecast(path).fetch(0, 0, None, "UTC") is None
    path.write_text(json.dumps(as_json(SAMPLE)), encoding="utf-8")
    assert FileForecast(path).fetch(0, 0, None, "UTC") == SAMPLE
    path.write_text("{not json", encoding="utf-8")
    with pytest.raises(ForecastError, match=r"forecast\.json"):
        FileForecast(path).fetch(0, 0, None, "UTC")


def test_none() -> None:
    assert NoForecast().fetch(0, 0, None, "UTC") is None


# the on-line source


class Weather(ThreadingHTTPServer):
    """A local weather service. `mood` says how it answers; `asked` keeps the queries."""

    mood = "well"
    asked: list[dict[str, list[str]]]


class _Handler(BaseHTTPRequestHandler):
    server: Weather

    def do_GET(self) -> None:  # noqa: N802 (the library's name)
        self.server.asked.append(parse_qs(urlparse(self.path).query))
        mood = self.server.mood
        if mood == "slow":
            time.sleep(2.5)
        body = (
            json.dumps({"daily": _daily(), "hourly": _hourly()})
            if mood in ("well", "slow")
            else (json.dumps({"daily": {}}) if mood == "odd" else "<html>")
        )
        self.send_response(500 if mood == "broken" else 200)
        self.end_headers()
        self.wfile.write(body.encode())

    def log_message(self, *args: Any) -> None:
        """Keep quiet."""


def _daily() -> dict[str, list[Any]]:
    return {
        "time": ["2026-09-20", "2026-09-21", "2026-09-22"],
        "temperature_2m_min": [2.5, -1.0, None],
        "temperature_2m_max": [14.0, 12.0, 11.0],
        "precipitation_sum": [0.0, 1.5, 2.0],
        "wind_speed_10m_max": [10.0, 8.0, 9.0],
        "et0_fao_evapotranspiration": [2.0, None, 2.1],
    }


def _hourly() -> dict[str, list[Any]]:
    return {
        "time": ["2026-09-20T00:00", "2026-09-20T01:00"],
        "temperature_2m": [4.0, 3.5],
        "relative_humidity_2m": [90, 92],
        "precipitation": [0.0, 0.0],
        "wind_speed_10m": [5.0, 4.0],
        "dew_point_2m": [2.0, 2.1],
    }


@pytest.fixture
def service() -> Iterator[Weather]:
    """Run a local weather service."""
    server = Weather(("127.0.0.1", 0), _Handler)
    server.asked = []
    threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
    yield server
    server.shutdown()
    server.server_close()


class Shelf(dict[str, str]):
    """A cache in memory."""

    def put(self, key: str, value: str) -> None:
        """Keep text under a key."""
        self[key] = value


def source(
    server: Weather, shelf: Shelf | None = None, now: datetime = datetime(2026, 9, 20, 6, tzinfo=UTC)
) -> OnlineForecast:
    """Return the on-line source pointed at the local service."""
    return OnlineForecast(shelf, url=f"http://127.0.0.1:{server.server_port}/v1/forecast", clock=lambda: now)


def test_the_service_is_asked_for_the_place_and_read(service: Weather) -> None:
    forecast = source(service).fetch(45.0512345, 3.9, 880.0, "Europe/Paris")
    assert forecast is not None
    asked = service.asked[0]
    assert (asked["latitude"], asked["elevation"], asked["timezone"]) == (["45.051"], ["880"], ["Europe/Paris"])
    assert [d.low_c for d in forecast.days] == [2.5, -1.0]  # the row without a low is dropped
    assert forecast.days[1].et0_mm is None and forecast.days[1].rain_mm == 1.5
    assert forecast.hours[1].humidity_pct == 92 and forecast.hours[1].dew_point_c == 2.1
    assert forecast.source == "Open-Meteo"


def test_a_fresh_answer_is_not_asked_for_again(service: Weather) -> None:
    shelf, noon = Shelf(), datetime(2026, 9, 20, 12, tzinfo=UTC)
    first = source(service, shelf, noon).fetch(45.05, 3.9, None, "UTC")
    again = source(service, shelf, noon + timedelta(hours=2)).fetch(45.05, 3.9, None, "UTC")
    assert again == first and len(service.asked) == 1
    source(service, shelf, noon + timedelta(hours=4)).fetch(45.05, 3.9, None, "UTC")
    assert len(service.asked) == 2


@pytest.mark.parametrize("mood", ["broken", "odd", "html", "slow"])
def test_trouble_is_one_plain_error_within_the_time_allowed(service: Weather, mood: str) -> None:
    service.mood = mood
    began = time.monotonic()
    with pytest.raises(ForecastError, match="no forecast just now"):
        source(service).fetch(45.05, 3.9, None, "UTC")
    assert time.monotonic() - began < 2.6


def test_with_trouble_a_kept_answer_of_today_serves(service: Weather) -> None:
    shelf, noon = Shelf(), datetime(2026, 9, 20, 12, tzinfo=UTC)
    kept = source(service, shelf, noon).fetch(45.05, 3.9, None, "UTC")
    service.mood = "broken"
    assert source(service, shelf, noon + timedelta(hours=8)).fetch(45.05, 3.9, None, "UTC") == kept
    with pytest.raises(ForecastError):
        source(service, shelf, noon + timedelta(hours=30)).fetch(45.05, 3.9, None, "UTC")


def test_nobody_there() -> None:
    with pytest.raises(ForecastError):
        OnlineForecast(url="http://127.0.0.1:9/").fetch(45.05, 3.9, None, "UTC")


def test_a_spoilt_cache_is_passed_over(service: Weather) -> None:
    shelf = Shelf({"forecast:45.05,3.90": "{nonsense"})
    assert source(service, shelf).fetch(45.05, 3.9, None, "UTC") is not None
