"""Measured normals of a spot: read from a local archive server, mixed with the stations, kept in the record."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlparse

import numpy as np
import pytest

from bot.facts import Facts
from bot.plot.state import Plot, PlotPlace, Settings
from bot.plot.store import Store
from bot.season import ForecastError, Measured, season_for
from bot.season.archive import OnlineArchive
from bot.season.normals import normals_at
from bot.seasons import Seasons
from bot.settings import Settings as AppSettings

HILLS = PlotPlace(45.05, 3.90, 880, "Europe/Paris", "the hills")
COLD = Measured(
    (-4.0, -4.0, -1.5, 1.0, 5.0, 8.5, 10.5, 10.0, 7.0, 4.0, 0.0, -3.0),
    (4.0, 5.0, 9.0, 12.0, 16.0, 20.0, 23.0, 23.0, 19.0, 14.0, 8.0, 5.0),
    (50.0,) * 12,
    "2016-2025",
    "an archive",
)


class Archive(ThreadingHTTPServer):
    """A local archive. `mood` says how it answers."""

    mood = "well"
    asked: list[dict[str, list[str]]]


class _Handler(BaseHTTPRequestHandler):
    server: Archive

    def do_GET(self) -> None:  # noqa: N802 (the library's name)
        asked = parse_qs(urlparse(self.path).query)
        self.server.asked.append(asked)
        start, end = (date.fromisoformat(asked[name][0]) for name in ("start_date", "end_date"))
        days = [start + timedelta(days=n) for n in range((end - start).days + 1)]
        if self.server.mood == "few":
            days = days[:20]
        daily = {
            "time": [d.isoformat() for d in days],
            "temperature_2m_min": [float(d.month) for d in days],
            "temperature_2m_max": [float(d.month + 10) for d in days],
            "precipitation_sum": [None if d.day == 1 else 2.0 for d in days],
        }
        self.send_response(503 if self.server.mood == "broken" else 200)
        self.end_headers()
        self.wfile.write(json.dumps({"daily": daily}).encode())

    def log_message(self, *args: Any) -> None:
        """Keep quiet."""


@pytest.fixture
def server() -> Iterator[Archive]:
    """Run a local archive."""
    archive = Archive(("127.0.0.1", 0), _Handler)
    archive.asked = []
    thread = threading.Thread(target=archive.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    yield archive
    archive.shutdown()
    archive.server_close()


def archive_at(server: Archive) -> OnlineArchive:
    """Return the archive source pointed at the local server."""
    return OnlineArchive(url=f"http://127.0.0.1:{server.server_port}/", clock=lambda: datetime(2026, 6, 1, tzinfo=UTC))


def test_ten_whole_years_become_monthly_means(server: Archive) -> None:
    found = archive_at(server).fetch_normals(45.05, 3.9, 880)
    assert found is not None
    assert found.low == tuple(float(m) for m in range(1, 13))
    assert found.high == tuple(float(m + 10) for m in range(1, 13))
    assert found.rain[0] == pytest.approx(62.0) and found.rain[1] == pytest.approx(56.0)
    assert found.years == "2016-2025"
    assert server.asked[0]["elevation"] == ["880"]
    assert Measured.from_json(json.loads(json.dumps(found.as_json()))) == found


@pytest.mark.parametrize("mood", ["broken", "few"])
def test_trouble_is_one_plain_error(server: Archive, mood: str) -> None:
    server.mood = mood
    with pytest.raises(ForecastError, match="no archive just now"):
        archive_at(server).fetch_normals(45.05, 3.9, None)


@pytest.mark.parametrize(
    "value",
    [
        None,
        {},
        {"low": [1] * 12, "high": [0] * 12, "rain": [1] * 12, "years": "", "source": ""},
        {"low": [1] * 3, "high": [2] * 3, "rain": [1] * 3, "years": "", "source": ""},
    ],
)
def test_spoilt_figures_are_refused(value: Any) -> None:
    with pytest.raises(ForecastError):
        Measured.from_json(value)


def test_measured_normals_pull_towards_the_spot(facts: Facts) -> None:
    without = normals_at(45.05, 3.9, 880, facts.climate)
    mixed = normals_at(45.05, 3.9, 880, facts.climate, measured=COLD)
    assert 0.4 < mixed.measured_share < 0.95  # the stations are a hundred kilometres off
    assert sum(n.share for n in mixed.neighbours) + mixed.measured_share == pytest.approx(1)
    assert np.all(mixed.low < without.low)
    near = next(s for s in facts.climate.stations if s.name == "Clermont-Ferrand")
    assert normals_at(near.lat, near.lon, near.elevation_m, facts.climate, measured=COLD).measured_share < 0.15


def test_the_season_says_so_and_freezes_longer(facts: Facts) -> None:
    usual, cold = season_for(HILLS, facts), season_for(HILLS, facts, measured=COLD)
    assert usual.frost_dates().last.p50 < cold.frost_dates().last.p50  # type: ignore[operator]
    assert any("2016-2025" in note and "an archive" in note for note in cold.notes)
    assert not any("guide only" in note for note in cold.notes)


def test_the_app_asks_once_and_keeps_the_answer(server: Archive, facts: Facts, tmp_path: Path) -> None:
    store = Store.open(f"sqlite:///{tmp_path / 'record.db'}")
    plot = Plot("p", Settings(place=HILLS))
    now = datetime(2026, 6, 1, 9, tzinfo=UTC)
    try:
        for _ in range(2):  # the second stands for a restart: kept in the record
            seasons = Seasons(facts, AppSettings(), store, archive=archive_at(server))
            seasons.freshen(plot, now)
            seasons.freshen(plot, now)
            season = seasons.of(plot)
            assert season is not None and season.normals.measured is not None
        assert len(server.asked) == 1
    finally:
        store.close()


def test_an_archive_in_trouble_is_left_alone_for_a_while(server: Archive, facts: Facts, tmp_path: Path) -> None:
    server.mood = "broken"
    store = Store.open(f"sqlite:///{tmp_path / 'record.db'}")
    plot = Plot("p", Settings(place=HILLS))
    now = datetime(2026, 6, 1, 9, tzinfo=UTC)
    try:
        seasons = Seasons(facts, AppSettings(), store, archive=archive_at(server))
        for minutes in (0, 5, 60):
            seasons.freshen(plot, now + timedelta(minutes=minutes))
        assert len(server.asked) == 1
        season = seasons.of(plot)
        assert season is not None and season.normals.measured is None
    finally:
        store.close()
