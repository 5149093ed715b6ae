"""The season of one place: what every other part of the bot asks about daylight, warmth and frost."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from bot.facts.climate import ClimateFacts, CoverKind
from bot.plot.state import PlotPlace
from bot.season import daylight
from bot.season.covering import covered_high, covered_low, middle, night_gain
from bot.season.curves import DAYS, Array, daily, day_in_year, place_of, places
from bot.season.forecast import Forecast
from bot.season.nights import FrostDates, Nights, any_night, nights_of
from bot.season.normals import Normals
from bot.season.notes import notes_on
from bot.season.own_frosts import OwnFrosts, shifted_by
from bot.season.soil import soil_year
from bot.season.thermal import Reach, effective, light_factor
from bot.season.winter import Winter, lowest_nights

YEARS_AHEAD = 2
#: One year in ten is warmer than this many standard deviations (normal distribution, 90 %).
ONE_IN_TEN = 1.2816


@dataclass(frozen=True)
class SeasonArrays:
    """A year under one cover, 365 places each (1 January first): °C, hours, and light
    as a share of what full growth needs."""

    low: Array
    mean: Array
    high: Array
    soil: Array
    day_length: Array
    light: Array


class Season:
    """Daylight, normals, frost and growing warmth of one place.

    Build it with `season_for`. Temperatures are °C normals; `cover` is an id or alias of the cover table and None
    open ground. Days may be of any year. Nothing here reads a clock, a file or the network.
    """

    def __init__(self, place: PlotPlace, normals: Normals, climate: ClimateFacts, *,
                 own: OwnFrosts | None = None, offset_c: float = 0.0, forecast: Forecast | None = None) -> None:
        self.place = place
        self.normals = normals
        self.climate = climate
        self.own = own or OwnFrosts()
        self.offset_c = offset_c
        self.forecast = forecast
        self._arrays: dict[str, SeasonArrays] = {}
        self._warmth: dict[tuple[float, float | None, str, float], Array] = {}

    @property
    def southern(self) -> bool:
        """Tell whether the place lies south of the equator."""
        return self.place.lat < 0

    @property
    def within_reach(self) -> bool:
        """Tell whether anything is known of the weather here: by a station near enough, or by figures of the spot itself."""
        return self.normals.measured is not None or self.normals.nearest_km <= self.climate.number("normals.reach_km")

    @cached_property
    def _curves(self) -> tuple[Array, Array, Nights]:
        """Return mean lows, mean highs and the nights, moved so that the gardener's own frost dates come out."""
        normals = self.normals
        low, high = daily(normals.low), daily(normals.high)
        means = (normals.low + normals.high) / 2
        nights = nights_of(low, float(means.max() - means.min()), normals.spring, normals.autumn, self.climate)
        move = shifted_by(nights, self.own)
        nights = replace(nights, mean=low + move + self.offset_c)
        return low + move, np.maximum(high, low + move + 0.5), nights

    def with_forecast(self, forecast: Forecast | None) -> Season:
        """Return the same season with a forecast laid over it, sharing what is already worked out."""
        other = copy(self)
        other.forecast = forecast
        other.__dict__.pop("notes", None)
        return other

    @property
    def nights(self) -> Nights:
        """Return the open-air nights, with the plot's frost offset."""
        return self._curves[2]

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """Say what the normals rest on, and how far to trust them."""
        return notes_on(self)

    @cached_property
    def winter(self) -> Winter:
        """Return how cold the lowest night of a winter gets here."""
        return lowest_nights(self.nights)

    # daylight

    def day_length(self, day: date) -> float:
        """Return the hours between sunrise and sunset."""
        return daylight.day_length(self.place.lat, self.place.lon, day)

    def dark_spell(self, day: date) -> tuple[date, date] | None:
        """Return first and last day of the spell under ten hours that holds `day` or comes next; None where none is."""
        return daylight.dark_spell(self.place.lat, self.place.lon, day)

    # normals

    def arrays(self, cover: str | None = None) -> SeasonArrays:
        """Return the whole year under a cover as read-only arrays (index with `place_of(day)`)."""
        cover_id = self.climate.cover_id(cover)
        if cover_id not in self._arrays:
            self._arrays[cover_id] = self._year(self.climate.covers[cover_id])
        return self._arrays[cover_id]

    def _year(self, kind: CoverKind) -> SeasonArrays:
        low, high, _ = self._curves
        hours = daylight.year_of_daylight(self.place.lat, self.place.lon)
        under_low, under_high = covered_low(kind, low), covered_high(kind, high)
        year = SeasonArrays(
            low=under_low,
            mean=(under_low + under_high) / 2,
            high=under_high,
            soil=soil_year((low + high) / 2, kind, self.climate),
            day_length=hours,
            light=light_factor(hours, self.climate, middle(kind.light)),
        )
        for values in (year.low, year.mean, year.high, year.soil, year.light):
            values.setflags(write=False)
        return year

    def low(self, day: date, cover: str | None = None) -> float:
        """Return the normal daily low."""
        return float(self.arrays(cover).low[place_of(day)])

    def mean(self, day: date, cover: str | None = None) -> float:
        """Return the normal daily mean."""
        return float(self.arrays(cover).mean[place_of(day)])

    def high(self, day: date, cover: str | None = None) -> float:
        """Return the normal daily high."""
        return float(self.arrays(cover).high[place_of(day)])

    def soil(self, day: date, cover: str | None = None) -> float:
        """Return the normal soil temperature at seed depth (5 to 10 cm)."""
        return float(self.arrays(cover).soil[place_of(day)])

    @cached_property
    def _rain(self) -> Array | None:
        if self.normals.rain is None:
            return None
        days = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
        return np.maximum(daily(self.normals.rain / days), 0)

    def rain(self, day: date) -> float | None:
        """Return the normal rain in mm a day; None where the stations give none."""
        return None if self._rain is None else float(self._rain[place_of(day)])

    # frost

    def frost_dates(self, threshold_c: float = 0.0) -> FrostDates:
        """Return the 10, 50 and 90 percent dates of the last and first night at or below a temperature."""
        key = round(threshold_c, 3)
        found = self._frosts.get(key)
        if found is None:
            found = self._frosts[key] = self.nights.dates(threshold_c)
        return found

    @cached_property
    def _frosts(self) -> dict[float, FrostDates]:
        return {}

    def next_first_frost(self, day: date, p: int = 50) -> date | None:
        """Return the first frost that ends the growing season holding `day`, or the next one."""
        text = self.frost_dates().first.at(p)
        if text is None:
            return None
        found = day_in_year(day.year, text)
        return found if found >= day else day_in_year(day.year + 1, text)

    def next_last_frost(self, day: date, p: int = 50) -> date | None:
        """Return the last frost that opens the growing season holding `day`, or the next one."""
        text = self.frost_dates().last.at(p)
        if text is None:
            return None
        ends = self.next_first_frost(day, p) or day + timedelta(days=DAYS // 2)
        found = day_in_year(ends.year, text)
        return found if found < ends else day_in_year(ends.year - 1, text)

    def frost_chance(self, start: date, end: date, threshold_c: float = 0.0, cover: str | None = None) -> float:
        """Return the chance of at least one night at or below a temperature from `start` to `end`, both included.

        Nights that the forecast reaches use it; the others the normals.
        """
        at = places(start, end)
        if len(at) == 0:
            return 0.0
        kind = self.climate.cover(cover)
        nights = self.nights
        mean, spread = nights.mean[at], nights.spread[at].copy()
        year_sd = np.full(len(at), nights.year_sd)
        for ahead, row in enumerate(self.forecast.days if self.forecast else ()):
            n = (row.day - start).days
            if 0 <= n < len(at):
                mean[n] = row.low_c + self.offset_c
                spread[n] = (self.climate.number("forecast.error_c")
                             + ahead * self.climate.number("forecast.error_per_day_c"))
                year_sd[n] = 0.0
        warmed = mean + night_gain(kind)
        if kind.low_c is not None and kind.low_c > threshold_c:
            return 0.0
        return any_night(warmed, spread, year_sd, threshold_c, nights.persistence)

    def survival(self, kill_c: float, start: date, end: date, cover: str | None = None) -> float:
        """Return the chance that every night from `start` to `end` stays above a killing temperature."""
        return 1.0 - self.frost_chance(start, end, kill_c, cover)

    # warmth

    def warmth(self, base_c: float, ceiling_c: float | None = None, cover: str | None = None,
               warmer_c: float = 0.0) -> Array:
        """Return effective degree days of each day of the year (365 places), in a year `warmer_c` off the normal."""
        cover_id = self.climate.cover_id(cover)
        key = (base_c, ceiling_c, cover_id, warmer_c)
        found = self._warmth.get(key)
        if found is None:
            year = self.arrays(cover_id)
            found = effective(year.low + warmer_c, year.high + warmer_c, year.light, base_c, ceiling_c, self.climate)
            found.setflags(write=False)
            self._warmth[key] = found
        return found

    def thermal_sum(self, start: date, end: date, base_c: float, ceiling_c: float | None = None,
                    cover: str | None = None) -> float:
        """Return effective degree days from `start` to `end`, both included."""
        at = places(start, end)
        return float(self.warmth(base_c, ceiling_c, cover)[at].sum())

    def reach(self, need: float, start: date, base_c: float, ceiling_c: float | None = None,
              cover: str | None = None) -> Reach:
        """Return the days a sum of effective degree days from `start` is reached: warm, usual and cool year."""
        swing = ONE_IN_TEN * self.climate.number("thermal.year_sd")
        early, likely, late = (self._reached(need, start, self.warmth(base_c, ceiling_c, cover, warmer))
                               for warmer in (swing, 0.0, -swing))
        return Reach(early, likely, late)

    @staticmethod
    def _reached(need: float, start: date, warmth: Array) -> date | None:
        total = np.cumsum(warmth[(place_of(start) + np.arange(YEARS_AHEAD * DAYS)) % DAYS])
        n = int(np.searchsorted(total, need - 1e-9))
        return start + timedelta(days=n) if n < len(total) else None
