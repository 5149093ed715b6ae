"""Seasons for plots, and the forecast laid over them: fetched before a turn, kept, never waited for inside one."""

from __future__ import annotations

import logging
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import delete, select

from bot.facts import Facts
from bot.plot.connecting import reading, writing
from bot.plot.schema import forecasts
from bot.plot.state import Plot, PlotPlace
from bot.plot.store import Store
from bot.season import Forecast, ForecastError, ForecastSource, Measured, NormalsSource, Season, season_for
from bot.season.archive import OnlineArchive
from bot.season.forecast import FileForecast, NoForecast, as_json, from_json
from bot.settings import Settings

log = logging.getLogger(__name__)

#: A forecast is fetched again after this long; a source that failed is left alone for a while.
FRESH_FOR = timedelta(hours=1)
#: An older one still beats none, until it has nothing left to say of tonight.
STALE_AFTER = timedelta(hours=18)
REST_AFTER_FAILURE = timedelta(minutes=10)
ARCHIVE_REST_AFTER_FAILURE = timedelta(hours=6)
_NORMALS = "normals:"


def source_for(settings: Settings) -> ForecastSource:
    """Return the forecast source the settings name."""
    if settings.forecast.source == "service":
        from bot.season.online import OnlineForecast

        return OnlineForecast()
    file = settings.forecast_file()
    return FileForecast(file) if file else NoForecast()


class Seasons:
    """Give each plot its season."""

    def __init__(self, facts: Facts, settings: Settings, store: Store, source: ForecastSource | None = None,
                 archive: NormalsSource | None = None) -> None:
        self._facts = facts
        self._store = store
        self._source = source or source_for(settings)
        self._kept: dict[str, tuple[datetime, Forecast]] = {}
        self._resting: dict[str, datetime] = {}
        self._archive = archive or (OnlineArchive() if settings.forecast.source == "service" else None)
        self._measured: dict[str, Measured] = {}

    def of(self, plot: Plot) -> Season | None:
        """Return the season of a plot's place; None when it has no place yet."""
        place = plot.settings.place
        if place is None:
            return None
        kept = self._kept.get(_key(place))
        return season_for(place, self._facts, plot.settings, kept[1] if kept else None, self._measured.get(_key(place)))

    def freshen(self, plot: Plot, now: datetime) -> None:
        """Fetch the plot's forecast when the kept one is old. A failure leaves the old one, or none."""
        place = plot.settings.place
        if place is None:
            return
        key = _key(place)
        self._fetch_measured(place, key, now)
        if isinstance(self._source, NoForecast):
            return
        kept = self._kept.get(key) or self._stored(key)
        if kept and now - kept[0] > STALE_AFTER:
            kept = None
        if kept:
            self._kept[key] = kept
        else:
            self._kept.pop(key, None)
        if (kept and now - kept[0] < FRESH_FOR) or now < self._resting.get(key, now):
            return
        try:
            forecast = self._source.fetch(place.lat, place.lon, place.elevation_m, place.tz)
        except ForecastError as error:
            log.warning("no forecast: %s", error)
            self._resting[key] = now + REST_AFTER_FAILURE
            return
        if forecast is not None:
            self._kept[key] = (now, forecast)
            self._keep(key, as_json(forecast), now)

    def _fetch_measured(self, place: PlotPlace, key: str, now: datetime) -> None:
        """Bring in the measured normals of a place: from the record when kept there, else once from the archive."""
        if self._archive is None or key in self._measured:
            return
        with reading(self._store.engine) as connection:
            row = connection.execute(select(forecasts).where(forecasts.c.key == _NORMALS + key)).first()
        try:
            if row is not None:
                self._measured[key] = Measured.from_json(row.data)
                return
            if now < self._resting.get(_NORMALS + key, now):
                return
            found = self._archive.fetch_normals(place.lat, place.lon, place.elevation_m)
        except ForecastError as error:
            log.warning("no measured normals: %s", error)
            self._resting[_NORMALS + key] = now + ARCHIVE_REST_AFTER_FAILURE
            return
        if found is not None:
            self._measured[key] = found
            self._keep(_NORMALS + key, found.as_json(), now)

    def _stored(self, key: str) -> tuple[datetime, Forecast] | None:
        with reading(self._store.engine) as connection:
            row = connection.execute(select(forecasts).where(forecasts.c.key == key)).first()
        if row is None:
            return None
        try:
            return row.fetched_at, from_json(row.data)
        except ForecastError:
            return None

    def _keep(self, key: str, data: dict[str, Any], now: datetime) -> None:
        with writing(self._store.engine) as connection:
            connection.execute(delete(forecasts).where(forecasts.c.key == key))
            connection.execute(forecasts.insert().values(key=key, data=data, fetched_at=now))


def _key(place: PlotPlace) -> str:
    # A tenth of a degree is finer than any forecast grid; it also keeps the exact plot out of the cache key.
    return f"{place.lat:.1f},{place.lon:.1f}"
