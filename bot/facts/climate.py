"""The climate room: stations, covers, hardiness scales, frost terms, weather rules and coefficients.

The gazetteer of towns (climate/places.csv) is long and only needed to look a town up, so it is read
by `bot.season.place` and not held here.
"""

from __future__ import annotations

import csv
from functools import cached_property
from typing import TYPE_CHECKING, Annotated, Any
from zoneinfo import available_timezones

from pydantic import BeforeValidator, ConfigDict, Field, model_validator

from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
FILES = {
    "stations": "climate/stations.csv",
    "covers": "climate/covers.yaml",
    "scales": "climate/scales.yaml",
    "frost_terms": "climate/frost_terms.yaml",
    "weather_rules": "climate/weather_rules.yaml",
    "coefficients": "climate/coefficients.yaml",
}

PLACES = "climate/places.csv"

Twelve = tuple[float, float, float, float, float, float, float, float, float, float, float, float]
SourceList = Annotated[list[str], BeforeValidator(lambda v: v.split(";") if isinstance(v, str) else v)]


class Station(Shape):
    """Monthly normals of one station: mean daily minimum and maximum (°C), rain (mm), days of frost.

    `low`, `high`, `rain` and `frost_days` run January to December; `rain` and `frost_days` are None where
    the station publishes none. `frost_day_rule` says whether a frost day is a minimum under 0 °C or at most 0 °C.
    `spread_spring` and `spread_autumn` scale the general spread of nights so that the station's own frost days come
    out (worked out by `bot.season.calibrate`).
    """

    name: str
    country: str
    region: str | None = None
    lat: float = Field(ge=-90, le=90)
    lon: float = Field(ge=-180, le=180)
    elevation_m: float = Field(ge=-430, le=6000)
    low: Twelve
    high: Twelve
    rain: Twelve | None = None
    frost_days: Twelve | None = None
    frost_day_rule: str | None = None
    spread_spring: float | None = None
    spread_autumn: float | None = None
    period: str
    source: SourceList = Field(min_length=1)
    note: str | None = None

    @model_validator(mode="before")
    @classmethod
    def _from_columns(cls, row: Any) -> Any:
        """Gather the month columns of the CSV into tuples."""
        if not isinstance(row, dict) or "low_jan" not in row:
            return row
        row = dict(row)
        for field, prefix in (("low", "low"), ("high", "high"), ("rain", "rain_mm"), ("frost_days", "frost_days")):
            months = [row.pop(f"{prefix}_{month}", None) for month in MONTHS]
            row[field] = None if any(m is None for m in months) else tuple(float(m) for m in months)
        return row


class CoverKind(Sourced):
    """A cover: what it adds on a cold night and by day (°C), and the share of light it lets through.

    `night_c` is the gain in the night's lowest air temperature, `day_c` the gain in the day's highest;
    `vents_at_c` is where a gardener opens it, so that the day's high is not pushed past it. `low_c` and
    `high_c` are held by heating. `soil_c` is the gain at seed depth.
    """

    gb: str
    us: str
    aliases: list[str] = Field(default_factory=list)
    night_c: Span
    day_c: Span
    soil_c: Span
    light: Span
    vents_at_c: float | None = None
    low_c: float | None = None
    high_c: float | None = None
    can_be_laid: bool = False  # something a gardener can put on tonight
    rainproof: bool = False  # keeps rain and blown spores off what stands under it
    within: bool = False  # plants are said to stand in it, and not under it
    advice: str | None = None


class ScaleStep(Sourced):
    """One step of a hardiness scale, in °C of the winter's lowest night."""

    scale: str
    code: str
    min_c: float | None = None
    max_c: float | None = None
    meaning: str


class FrostTerm(Sourced):
    """A trade word for a frost or a rule about frost, with its band in °C."""

    topic: str
    term: str
    lower_c: float | None = None
    upper_c: float | None = None
    value: str | None = None
    unit: str | None = None
    rule: str | None = None


class WeatherRule(Sourced):
    """One published criterion, formula or worked example about weather, water or warmth."""

    rule: str
    parameter: str
    applies_to: str
    value: float | None = None
    span: Span | None = None
    unit: str | None = None
    formula: str | None = None


class Coefficient(Sourced):
    """One number of the season arithmetic: what it means, and the tables it was calibrated on if any."""

    value: float
    unit: str
    meaning: str
    calibrated_on: str | None = None


class ClimateFacts(Shape):
    """The climate room."""

    model_config = ConfigDict(frozen=True, extra="forbid", ignored_types=(cached_property,))

    stations: list[Station]
    covers: dict[Id, CoverKind]
    scales: list[ScaleStep]
    frost_terms: list[FrostTerm]
    weather_rules: list[WeatherRule]
    coefficients: dict[str, Coefficient]

    def cover(self, name: str | None) -> CoverKind:
        """Return a cover by id or alias; None is open ground. Raises KeyError for an unknown one."""
        return self.covers[self.cover_id(name)]

    def cover_id(self, name: str | None) -> str:
        """Return the id of a cover given by id or alias; None is "none". Raises KeyError for an unknown one."""
        wanted = name or "none"
        if wanted in self.covers:
            return wanted
        for cover_id, kind in self.covers.items():
            if wanted in kind.aliases:
                return cover_id
        raise KeyError(f"unknown cover {name!r}")

    def rainproof(self, cover: str | None) -> bool:
        """Tell whether a cover, by its id, keeps rain and blown spores off what stands under it."""
        return cover in self.covers and self.covers[cover].rainproof

    def number(self, name: str) -> float:
        """Return a coefficient's value. Raises KeyError for an unknown one."""
        return self.coefficients[name].value


def check(facts: Facts) -> list[Fault]:
    """Check meaning: lows under highs, scales without gaps, known sources, covers in order."""
    climate = facts.climate
    faults = []
    for row, station in enumerate(climate.stations, start=2):
        for month, low, high in zip(MONTHS, station.low, station.high, strict=True):
            if low >= high:
                faults.append(Fault(FILES["stations"], row, month,
                                    f"{station.name}: low {low} is not under high {high}"))
    for cover_id, kind in climate.covers.items():
        if not 0 <= kind.light[0] <= kind.light[1] <= 1:
            faults.append(Fault(FILES["covers"], 0, f"{cover_id}.light", "the share of light is between 0 and 1"))
    faults += _place_faults(facts)
    for scale in ("RHS", "USDA"):
        faults += _scale_gaps([s for s in climate.scales if s.scale == scale])
    for field in FILES:
        table = getattr(climate, field)
        for key, item in table.items() if isinstance(table, dict) else enumerate(table):
            for source in item.source:
                if source not in facts.sources:
                    faults.append(Fault(FILES[field], 0, f"{key}.source", f"unknown source {source!r}"))
    return faults


def _place_faults(facts: Facts) -> list[Fault]:
    """Check the gazetteer row by row: coordinates, heights, known zones and countries."""
    from bot.facts.loading import read_yaml

    countries = read_yaml(facts.root / "climate/regions.yaml", facts.root)["countries"]
    zones = available_timezones()
    faults = []
    with (facts.root / PLACES).open(encoding="utf-8", newline="") as handle:
        for line, row in enumerate(csv.DictReader(handle), start=2):
            for field, wrong in (
                ("lat", not -90 <= float(row["lat"]) <= 90), ("lon", not -180 <= float(row["lon"]) <= 180),
                ("elevation_m", bool(row["elevation_m"]) and not -430 <= float(row["elevation_m"]) <= 5000),
                ("tz", row["tz"] not in zones), ("country", row["country"] not in countries), ("name", not row["name"]),
            ):
                if wrong:
                    faults.append(Fault(PLACES, line, field, f"cannot be {row[field]!r}"))
    return faults


def _scale_gaps(steps: list[ScaleStep]) -> list[Fault]:
    edges = sorted((s.min_c if s.min_c is not None else -99.0, s.max_c if s.max_c is not None else 99.0, s.code)
                   for s in steps)
    return [Fault(FILES["scales"], 0, b[2], f"begins at {b[0]} but {a[2]} ends at {a[1]}")
            for a, b in zip(edges, edges[1:], strict=False) if abs(a[1] - b[0]) > 0.15]
