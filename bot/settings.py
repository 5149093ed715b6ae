"""The settings of one installation: `settings.yaml` in its folder, or nothing at all.

A broken file is refused with its file, line and field. What a plot itself is set to (units, frost dates …)
lives in its record; the figures here are what a new plot starts with.
"""

from __future__ import annotations

import logging
import os
import re
from datetime import date
from pathlib import Path
from typing import Annotated, Any, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import platformdirs
from pydantic import AfterValidator, Field, PrivateAttr, model_validator

from bot.facts import Facts
from bot.facts.base import Shape
from bot.facts.errors import Fault, KnowledgeError
from bot.facts.loading import load
from bot.plot.events import NewEvent
from bot.plot.store import usual_url

FILE = "settings.yaml"
log = logging.getLogger(__name__)


def _zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise ValueError(f"{name!r} is no time zone: write one such as Europe/Paris") from None
    return name


def _clock(text: str) -> str:
    if not re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", text):
        raise ValueError("a time is written in quotes as hours and minutes, such as '08:00'")
    return text


def _month_day(text: str) -> str:
    try:
        date.fromisoformat(f"2024-{text}")
    except ValueError:
        raise ValueError("a date in the year is written in quotes as month-day, such as '05-20'") from None
    return text


Zone = Annotated[str, AfterValidator(_zone)]
Clock = Annotated[str, AfterValidator(_clock)]
MonthDay = Annotated[str, AfterValidator(_month_day)]
Weekday = Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "never"]
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


class PlaceSetting(Shape):
    """Where a new plot is: degrees, metres, time zone."""

    lat: float = Field(ge=-90, le=90)
    lon: float = Field(ge=-180, le=180)
    elevation_m: float | None = Field(default=None, ge=-430, le=6000)
    tz: Zone = "UTC"
    name: str = ""


class Summary(Shape):
    """When the weekly summary comes, in the plot's own time."""

    day: Weekday = "saturday"
    time: Clock = "08:00"


class Telegram(Shape):
    """Who is let in: anyone (each with a plot of their own), people with an invitation, or listed chat ids."""

    who: Literal["open", "invite", "ids"] = "invite"
    ids: list[int] = Field(default_factory=list)

    @model_validator(mode="after")
    def _ids_listed(self) -> Telegram:
        if self.who == "ids" and not self.ids:
            raise ValueError("'who: ids' needs at least one chat id under 'ids'")
        return self


class Forecast(Shape):
    """Where a weather forecast comes from; with none, answers rest on the normals and say so."""

    source: Literal["none", "file", "service"] = "none"
    file: str | None = None

    @model_validator(mode="after")
    def _file_named(self) -> Forecast:
        if self.source == "file" and not self.file:
            raise ValueError("'source: file' needs the name of the file under 'file'")
        return self


class Settings(Shape):
    """All settings, each with a default."""

    name: str = "My plot"
    place: PlaceSetting | None = None
    units: Literal["metric", "us"] = "metric"
    wording: Literal["gb", "us"] = "gb"
    household: int = Field(default=2, ge=1, le=40)
    last_frost: MonthDay | None = None
    first_frost: MonthDay | None = None
    summary: Summary = Summary()
    telegram: Telegram = Telegram()
    database: str | None = None
    forecast: Forecast = Forecast()
    skip_bad_crops: bool = False
    _folder: Path | None = PrivateAttr(default=None)

    @property
    def folder(self) -> Path | None:
        """Return the folder the settings were read from."""
        return self._folder

    def facts(self, root: Path | None = None) -> Facts:
        """Return the knowledge as these settings want it (`root`: another folder than the shipped one).

        With `skip_bad_crops` a crop file that cannot be used is left out, each fault a line of the log; otherwise the
        first use of the crops raises KnowledgeError.
        """
        facts = Facts(root, skip_bad_crops=self.skip_bad_crops)
        if self.skip_bad_crops and facts.written_crops:
            for fault in facts.skipped:
                log.warning("left out a crop: %s", fault)
        return facts

    def first_events(self, day: date) -> tuple[NewEvent, ...]:
        """Return the events that set up a new plot as these settings say."""
        data: dict[str, Any] = {
            "name": self.name,
            "units": self.units,
            "wording": self.wording,
            "household": self.household,
            "summary_day": None if self.summary.day == "never" else _WEEKDAYS.index(self.summary.day),
            "summary_time": self.summary.time,
        }
        if self.place is not None:
            data["place"] = self.place.model_dump()
        for name in ("last_frost", "first_frost"):
            if getattr(self, name):
                data[name] = getattr(self, name)
        return (NewEvent("plot_set", day, data=data),)

    def forecast_file(self) -> Path | None:
        """Return the forecast file, found beside the settings when its name is relative."""
        if self.forecast.source != "file" or not self.forecast.file:
            return None
        path = Path(self.forecast.file).expanduser()
        return path if path.is_absolute() or self.folder is None else self.folder / path


def usual_folder() -> Path:
    """Return the user's own settings folder."""
    return Path(platformdirs.user_config_dir("riddle", appauthor=False))


def load_settings(folder: Path | None = None) -> Settings:
    """Read the settings in a folder (the user's own by default); the defaults where there are none.

    RIDDLE_DATABASE wins over the file; with neither, the record lies in a folder that was given, so that two folders
    are two plots. Raises KnowledgeError with each fault's file, line and field.
    """
    chosen = folder or usual_folder()
    path = chosen / FILE
    if folder is not None and not folder.is_dir():
        raise KnowledgeError([Fault(str(folder), 0, "", "there is no such folder")])
    settings = load(path, Settings, chosen) if path.is_file() else Settings()
    database = os.environ.get("RIDDLE_DATABASE") or settings.database or (usual_url(folder) if folder else None)
    settings = settings.model_copy(update={"database": database})
    settings._folder = chosen
    return settings
