"""How much water a bed wants: evaporation times the crop's coefficient, less rain, against what its soil holds.

Method: FAO Irrigation and Drainage Paper 56 (Allen and others 1998): ETc = Kc x ET0 (equation 58), Kc by stage with a
straight line between initial and middle and from middle to end (figure 34), readily available water
RAW = p x TAW, TAW = available water per metre x rooting depth (equations 82 and 83). ET0 is the forecast's own, or
Hargreaves (equation 52) from the forecast's or the normal day's lowest and highest temperature.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.facts.crop import Crop
from bot.facts.tending_heap import Watering, WaterSoil
from bot.season.water import hargreaves
from bot.tending.topics import plain

if TYPE_CHECKING:
    from bot.season import Season


@dataclass(frozen=True, slots=True)
class Day:
    """One day's evaporation from well-watered grass and its rain, mm. `known` says it is forecast, else normals."""

    day: date
    et0_mm: float
    rain_mm: float
    known: bool


@dataclass(frozen=True, slots=True)
class Budget:
    """A bed's water over some days, mm (the same as litres per m²).

    `need` is what must be given in all (never below 0), `holds` what the roots' soil gives up before growth suffers,
    `every` the days between soaks, `dose` one soak.
    """

    days: int
    et0_mm: float
    kc: float
    etc_mm: float
    rain_mm: float
    need: float
    holds: float
    every: int
    dose: float
    young: bool
    covered: bool

    @property
    def per_day(self) -> float:
        """Return the crop's use a day, mm."""
        return self.etc_mm / self.days


def weather(season: Season, start: date, days: int, *, high_c: float | None = None) -> list[Day]:
    """Return evaporation and rain of some days; `high_c` says how hot it is said to get."""
    out = []
    for n in range(days):
        day = start + timedelta(days=n)
        row = season.forecast.on(day) if season.forecast else None
        low, high = (row.low_c, row.high_c) if row else (season.low(day), season.high(day))
        if high_c is not None:
            high = max(high_c, low + 1.0)
        et0 = (
            row.et0_mm
            if row is not None and row.et0_mm is not None and high_c is None
            else hargreaves(low, high, season.place.lat, day.timetuple().tm_yday)
        )
        rain = row.rain_mm if row is not None and row.rain_mm is not None else season.rain(day) or 0.0
        out.append(Day(day, et0, rain, row is not None))
    return out


def kc_at(crop: Crop | None, share: float | None, water: Watering) -> float:
    """Return the crop coefficient at a share (0 to 1) of the crop's season, the middle one when that is unknown."""
    own = crop.water if crop else None
    if own is None or own.kc_mid is None:
        return water.number("kc.unknown")
    first, middle, last = own.kc_ini or own.kc_mid, own.kc_mid, own.kc_end or own.kc_mid
    if share is None:
        return middle
    initial = water.number("stage.initial")
    grown = initial + water.number("stage.development")
    ageing = grown + water.number("stage.middle")
    if share <= initial:
        return first
    if share < grown:
        return first + (middle - first) * (share - initial) / (grown - initial)
    if share <= ageing:
        return middle
    return middle + (last - middle) * min(1.0, (share - ageing) / (1 - ageing))


def soil_of(words: str | None, water: Watering) -> WaterSoil:
    """Return the soil that words name, loam when they name none."""
    said = " " + " ".join(plain(words or "")) + " "
    found = [
        (len(word), row)
        for row in water.soils
        for word in (*row.words, row.id.replace("-", " "))
        if f" {' '.join(plain(word))} " in said
    ]
    return max(found, key=lambda pair: pair[0])[1] if found else next(row for row in water.soils if row.id == "loam")


def holds_mm(crop: Crop | None, soil: WaterSoil, young: bool, water: Watering, share: float | None = None) -> float:
    """Return the water the roots may draw before growth suffers: p x available water x rooting depth, mm.

    Roots go down in step with the crop's season (`share`, 0 to 1) until the ground is covered.
    """
    own = crop.water if crop else None
    depth = sum(own.root_depth_m) / 2 if own and own.root_depth_m else water.number("root.unknown_m")
    part = own.depletion if own and own.depletion else water.number("depletion.unknown")
    least = min(depth, water.number("root.young_m"))
    if young:
        depth = least
    elif share is not None:
        grown = water.number("stage.initial") + water.number("stage.development")
        depth = least + (depth - least) * min(1.0, share / grown)
    return readily_available(part, sum(soil.mm_per_m) / 2, depth)


def readily_available(part: float, mm_per_m: float, depth_m: float) -> float:
    """Return RAW = p x available water per metre x rooting depth, mm (FAO-56 equations 82 and 83)."""
    return part * mm_per_m * depth_m


def budget(
    days: Sequence[Day],
    kc: float,
    holds: float,
    water: Watering,
    *,
    covered: bool = False,
    young: bool = False,
    owed_mm: float = 0.0,
    most_days: int | None = None,
) -> Budget:
    """Return what a bed needs over some days.

    Under a roof no rain counts and evaporation is less. `owed_mm` is the use of dry days gone by, less what was
    given: no more than the soil can be short of. `most_days` is the longest gap between soaks.
    """
    et0 = sum(day.et0_mm for day in days)
    if covered:
        et0 *= water.number("tunnel.evaporation")
    rain = 0.0 if covered else sum(day.rain_mm for day in days) * water.number("rain.effective")
    use = et0 * kc
    need = max(0.0, use - rain + min(owed_mm, holds))
    if need < water.number("need.worth_mm") * len(days) / 7:
        need = 0.0
    least, most = water.number("soak.least_mm"), water.number("soak.most_mm")
    pace = max(0.05, (use - rain) / len(days)) if use > rain else 0.05
    dose = min(most, max(least, holds))
    every = max(1, int(dose / pace)) if need > 0 else 0
    if most_days is not None and every > most_days:
        every, dose = most_days, min(dose, max(pace * most_days, least * 0.8))
    return Budget(len(days), et0, kc, use, rain, need, holds, every, min(dose, need) if need else 0.0, young, covered)
