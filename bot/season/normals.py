"""Monthly normals of any place, from the stations round it.

Inverse-distance weighting in which height counts as distance (after Daly and others 2002, who weight
stations by distance and elevation), with every station first moved to the place's height and latitude
by a lapse rate; within the tropics latitude counts no more. Coefficients and how they were calibrated: knowledge/climate/coefficients.yaml.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from bot.facts.climate import ClimateFacts, Station
from bot.season.archive import Measured
from bot.season.curves import Array

EARTH_DIAMETER_KM = 12742.0


@dataclass(frozen=True)
class Neighbour:
    """A station used: how far away, how much higher than the place (m), and its share of the weight."""

    station: Station
    km: float
    higher_m: float
    share: float


@dataclass(frozen=True)
class Normals:
    """Normals of one place. `low`, `high` °C and `rain` mm, twelve months; `spring`, `autumn` night-spread factors.

    `doubt_c` is how far the stations used disagree about the mean daily low (one standard deviation, °C).
    `height_guessed` tells that the place's elevation was unknown and taken from the stations.
    """

    low: Array
    high: Array
    rain: Array | None
    spring: float
    autumn: float
    elevation_m: float
    height_guessed: bool
    doubt_c: float
    neighbours: tuple[Neighbour, ...]
    measured: Measured | None = None
    measured_share: float = 0.0

    @property
    def nearest_km(self) -> float:
        """Return the distance of the nearest station used."""
        return min(n.km for n in self.neighbours)


@dataclass(frozen=True)
class _Grid:
    lat: Array
    lon: Array
    height: Array
    low: Array
    high: Array
    rain: Array  # nan where unknown
    spring: Array  # nan where unknown
    autumn: Array


class Held:
    """A climate room as a cache key: the same object is the same key, and it lives as long as the cache."""

    def __init__(self, climate: ClimateFacts) -> None:
        self.climate = climate

    def __hash__(self) -> int:
        return id(self.climate)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Held) and other.climate is self.climate


@lru_cache(maxsize=4)
def _grid_of(held: Held) -> _Grid:
    stations = held.climate.stations
    blank = (np.nan,) * 12
    return _Grid(
        lat=np.array([s.lat for s in stations]),
        lon=np.array([s.lon for s in stations]),
        height=np.array([s.elevation_m for s in stations]),
        low=np.array([s.low for s in stations]),
        high=np.array([s.high for s in stations]),
        rain=np.array([s.rain or blank for s in stations], dtype=float),
        spring=np.array([np.nan if s.spread_spring is None else s.spread_spring for s in stations]),
        autumn=np.array([np.nan if s.spread_autumn is None else s.spread_autumn for s in stations]),
    )


def normals_at(lat: float, lon: float, elevation_m: float | None, climate: ClimateFacts,
               without: frozenset[str] = frozenset(), measured: Measured | None = None) -> Normals:
    """Work out the normals of a place. `without` names stations to leave out (for checking).

    Without a height the place is taken to lie as high as the stations round it do. Measured normals of the spot count
    like one more station, some way off because an archive is a model's view of the spot.
    """
    stations, grid = climate.stations, _grid_of(Held(climate))
    number = climate.number
    count = int(number("normals.stations"))
    km = _distance_km(lat, lon, grid)
    if without:
        km[[n for n, station in enumerate(stations) if station.name in without]] = np.inf
    flat = (km / number("normals.distance_km")) ** 2 + number("normals.nearness")
    height = elevation_m
    if height is None:
        near = np.argsort(flat)[:count]
        height = float(np.average(grid.height[near], weights=1 / flat[near]))
    higher = grid.height - height
    apart = flat + (higher / number("normals.height_m")) ** 2
    near = np.argsort(apart)[:count]
    weight = 1 / apart[near]
    flat_to = number("normals.flat_within_degrees")
    north = number("normals.per_degree_latitude") * (np.maximum(np.abs(grid.lat[near]), flat_to) - max(abs(lat), flat_to))[:, None]
    lows = grid.low[near] + number("normals.lapse_low") * higher[near, None] / 1000 + north
    highs = grid.high[near] + number("normals.lapse_high") * higher[near, None] / 1000 + north
    rain = grid.rain[near]
    if measured is not None:
        lows, highs = np.vstack([lows, measured.low]), np.vstack([highs, measured.high])
        rain = np.vstack([rain, measured.rain])
        weight = np.append(weight, 1 / number("normals.archive_apart"))
    share = weight / weight.sum()
    means = lows.mean(axis=1)
    doubt = float(np.sqrt(np.average((means - np.average(means, weights=share)) ** 2, weights=share)))
    return Normals(
        low=share @ lows,
        high=share @ highs,
        rain=_rain(rain, share),
        spring=_factor(grid.spring, apart, count),
        autumn=_factor(grid.autumn, apart, count),
        elevation_m=height,
        height_guessed=elevation_m is None,
        doubt_c=doubt,
        neighbours=tuple(Neighbour(stations[i], float(km[i]), float(higher[i]), float(s))
                         for i, s in zip(near, share[:len(near)], strict=True)),
        measured=measured,
        measured_share=float(share[-1]) if measured is not None else 0.0,
    )


def _distance_km(lat: float, lon: float, grid: _Grid) -> Array:
    """Return great-circle distances by the haversine formula."""
    here, there = np.radians(lat), np.radians(grid.lat)
    half = np.sin((there - here) / 2) ** 2 + np.cos(here) * np.cos(there) * np.sin(np.radians(grid.lon - lon) / 2) ** 2
    km: Array = EARTH_DIAMETER_KM * np.arcsin(np.sqrt(np.clip(half, 0, 1)))
    return km


def _rain(rain: Array, share: Array) -> Array | None:
    known = ~np.isnan(rain).any(axis=1)
    if not known.any():
        return None
    mixed: Array = np.average(rain[known], axis=0, weights=share[known])
    return mixed


def _factor(values: Array, apart: Array, count: int) -> float:
    """Mix the nearest known factors, drawn towards 1 where all of them are far."""
    distance = np.where(np.isnan(values), np.inf, apart)
    near = np.argsort(distance)[:count]
    weight = 1 / distance[near]
    doubt = 0.012  # as if one station of factor 1 stood about nine scaled distances away
    total = float(np.nansum(weight * np.nan_to_num(values[near], nan=1.0)) + doubt)
    return total / float(weight.sum() + doubt)
