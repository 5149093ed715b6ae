"""Where a plot is: coordinates as people write them, and towns from a small gazetteer.

The gazetteer is made of GeoNames rows (CC BY), read once when first asked for.
"""

from __future__ import annotations

import csv
import math
import re
import unicodedata
from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

import numpy as np
from rapidfuzz import fuzz, process

from bot.facts.climate import ClimateFacts
from bot.facts.loading import read_yaml
from bot.facts.paths import shipped
from bot.plot.state import PlotPlace

SURE_BY = 3  # a town this many times larger than its next namesake is meant
HEIGHT_FROM_KM = 30.0
KM_PER_DEGREE = 111.2
_LEADING = frozenset(("to", "in", "near", "at", "for", "is", "use", "outside", "from", "area's", "now", "called"))
_CLOSE = frozenset(("near", "outside"))
#: Words between a town and the region it is in: "Cork in Ireland", "Ennis, co Clare".
_BEFORE_REGION = frozenset(("in", "co", "county", "the"))


class PlaceError(ValueError):
    """Raised for a place that cannot be; the message is one plain line."""


@dataclass(frozen=True, slots=True)
class Town:
    """One row of the gazetteer; `elevation_m` is None where it is not known."""

    name: str
    country: str
    admin: str
    lat: float
    lon: float
    elevation_m: float | None
    population: int
    tz: str
    also: tuple[str, ...] = ()

    def place(self, name: str) -> PlotPlace:
        """Return this town as a plot's place."""
        return PlotPlace(self.lat, self.lon, self.elevation_m, self.tz, name)


@dataclass(frozen=True, slots=True)
class Found:
    """What a search for a town gave: best first; `sure` when the first is meant; `exact` when the name was known."""

    towns: tuple[Town, ...]
    sure: bool = False
    exact: bool = True


class Gazetteer:
    """Towns of the temperate world, by name and by position."""

    def __init__(self, root: Path) -> None:
        with (root / "climate" / "places.csv").open(encoding="utf-8", newline="") as handle:
            rows = csv.reader(handle)
            next(rows)
            self.towns = tuple(
                Town(name, country, admin, float(lat), float(lon), float(height) if height else None, int(people), tz,
                     tuple(also.split("|")) if also else ())
                for name, country, admin, lat, lon, height, people, tz, also in rows
            )
        self._root = root

    @cached_property
    def _regions(self) -> dict[str, dict[str, list[str]]]:
        regions: dict[str, dict[str, list[str]]] = read_yaml(self._root / "climate" / "regions.yaml", self._root)
        return regions

    @cached_property
    def _by_name(self) -> dict[str, list[Town]]:
        found: dict[str, list[Town]] = defaultdict(list)
        for town in self.towns:
            for name in (town.name, *town.also):
                found[folded(name)].append(town)
        return found

    @cached_property
    def _points(self) -> tuple[np.ndarray, np.ndarray]:
        return np.array([t.lat for t in self.towns]), np.array([t.lon for t in self.towns])

    def label(self, town: Town) -> str:
        """Say a town with its region where that helps, else with its country: 'York, England'."""
        names = self._regions["regions"].get(f"{town.country}.{town.admin}")
        if names is None or names[0] == town.name or town.country not in ("GB", "US", "CA", "AU", "NZ", "ZA"):
            names = self._regions["countries"].get(town.country, [town.country])
        return f"{town.name}, {names[0]}"

    def find(self, text: str, most: int = 3) -> Found:
        """Look a typed town up: 'York', 'Perth, Scotland', 'Portland OR'. Best first, by hints and size."""
        for name, hint in _name_and_hint(text):
            towns = self._by_name.get(folded(name), [])
            if hint:
                towns = [t for t in towns if self._fits(t, hint)]
            if towns:
                ranked = _without_twins(sorted(towns, key=lambda t: -t.population))
                sure = len(ranked) == 1 or ranked[0].population >= SURE_BY * ranked[1].population
                return Found(tuple(ranked[:most]), sure)
        return Found(self._like(text.split(",")[0], most), exact=False)

    def named_in(self, text: str) -> str | None:
        """Return the town a sentence names, with the region said after it: "near Cork in Ireland" is "Cork, Ireland".

        A town is told by a region after it, a word such as "near" or "in" before it, or its capital.
        """
        words = re.findall(r"[^\W\d_][\w'’.-]*,?|,", text)
        best: tuple[float, str | None] = (0.0, None)
        for start, word in enumerate(words):
            lead = words[start - 1].lower() if start else ""
            for length in range(min(4, len(words) - start), 0, -1):
                run = " ".join(words[start:start + length]).rstrip(",")
                towns = [] if "," in run else self._by_name.get(folded(run), [])
                region = self._region_after(words[start + length:], towns) if towns else None
                sure = (4 * bool(region) + (lead in _LEADING) + 2 * (lead in _CLOSE) + (start > 0 and word[0].isupper())
                        + 0.1 * length)
                if towns and sure >= 1 and sure > best[0]:
                    best = sure, f"{run}, {region}" if region else run
        return best[1]

    def _region_after(self, words: list[str], towns: list[Town]) -> str | None:
        """Return the region or country a few words begin with, when one of some towns lies in it."""
        while words and words[0].lower() in _BEFORE_REGION:
            words = words[1:]
        for length in range(min(3, len(words)), 0, -1):
            region = " ".join(words[:length]).rstrip(",")
            # "in" and "hi" are no Indiana and no Hawaii unless written as those are.
            if (len(region) > 2 or region.isupper()) and any(self._fits(town, region) for town in towns):
                return region
        return None

    def area(self, name: str) -> str | None:
        """Return a county, region or country by its name, when it is too wide to be a plot's place; else None."""
        wanted = folded(re.sub(r"^(?:(?:in|near|the|co|county)\s+)+", "", name.strip(), flags=re.IGNORECASE))
        wide = [n for names in self._regions["wide"].values() for n in names]
        if not self.find(name).exact:
            tables = ("regions", "countries")
            wide += [n for table in tables for names in self._regions[table].values() for n in names if len(n) > 3]
        return next((n for n in wide if folded(n) == wanted), None)

    def _fits(self, town: Town, hint: str) -> bool:
        names = [town.country, *self._regions["countries"].get(town.country, []),
                 *self._regions["regions"].get(f"{town.country}.{town.admin}", []),
                 *self._regions["wide"].get(town.country, [])]
        return folded(hint) in {folded(name) for name in names}

    def _like(self, text: str, most: int) -> tuple[Town, ...]:
        """Return the largest towns whose names are nearly the one typed."""
        near = process.extract(folded(text), self._by_name.keys(), scorer=fuzz.ratio, limit=8, score_cutoff=80)
        towns = [(score, max(self._by_name[name], key=lambda t: t.population)) for name, score, _ in near]
        ranked = sorted(towns, key=lambda pair: (-round(pair[0] / 8), -pair[1].population))
        return tuple(_without_twins([town for _, town in ranked])[:most])

    def nearest(self, lat: float, lon: float, count: int = 1) -> list[tuple[float, Town]]:
        """Return the nearest towns with their distance in km (flat-earth, good enough at this scale)."""
        lats, lons = self._points
        east = (lons - lon + 180) % 360 - 180
        km = np.hypot(lats - lat, east * math.cos(math.radians(lat))) * KM_PER_DEGREE
        return [(float(km[i]), self.towns[i]) for i in np.argsort(km)[:count]]

    def names_of(self, tz: str) -> str | None:
        """Return the country whose own crop names are said in a time zone, for those that have names of their own."""
        return next((country for country, zones in self._regions["crop_names"].items() if tz.startswith(tuple(zones))), None)

    def american(self, lat: float, lon: float) -> bool:
        """Tell whether the gardeners round a spot use American names."""
        return self.nearest(lat, lon)[0][1].country in self._regions["american_words"]["countries"]

    def height(self, lat: float, lon: float) -> float | None:
        """Guess a height from the towns around, m; None where none is near."""
        near = [(km, t.elevation_m) for km, t in self.nearest(lat, lon, 8)
                if t.elevation_m is not None and km <= HEIGHT_FROM_KM]
        if not near:
            return None
        weights = [1 / (km + 0.5) ** 2 for km, _ in near]
        return sum(w * h for w, (_, h) in zip(weights, near, strict=True)) / sum(weights)


@lru_cache(maxsize=2)
def gazetteer(root: Path | None = None) -> Gazetteer:
    """Return the gazetteer under a knowledge folder, read once."""
    return Gazetteer(root or shipped("knowledge"))


def place_at(climate: ClimateFacts, lat: float, lon: float, elevation_m: float | None = None,
             name: str = "", root: Path | None = None) -> PlotPlace:
    """Return the place of a pair of coordinates: time zone from the nearest town, height guessed when not given.

    `climate` guesses the height by its stations where no town is near. Raises PlaceError for impossible figures.
    """
    check_coordinates(lat, lon, elevation_m)
    towns = gazetteer(root)
    _, nearest = towns.nearest(lat, lon)[0]
    if elevation_m is None:
        elevation_m = towns.height(lat, lon)
    if elevation_m is None:
        from bot.season.normals import normals_at

        elevation_m = round(normals_at(lat, lon, None, climate).elevation_m)
    return PlotPlace(lat, lon, round(elevation_m), nearest.tz, name)


def check_coordinates(lat: float, lon: float, elevation_m: float | None = None) -> None:
    """Raise PlaceError when these cannot be a garden's coordinates."""
    if not (math.isfinite(lat) and -90 <= lat <= 90):
        raise PlaceError(f"{lat:g} cannot be a latitude: it runs from -90 to 90.")
    if not (math.isfinite(lon) and -180 <= lon <= 180):
        raise PlaceError(f"{lon:g} cannot be a longitude: it runs from -180 to 180.")
    if elevation_m is not None and not (math.isfinite(elevation_m) and -430 <= elevation_m <= 5000):
        raise PlaceError(f"{elevation_m:g} m cannot be the height of a garden.")


_ANGLE = (r"(?P<{n}sign>[-+−]?)\s*(?P<{n}d>\d{{1,3}}(?:\.\d+)?)\s*(?:°|deg(?:rees)?)?\s*"
          r"(?:(?P<{n}m>\d{{1,2}}(?:\.\d+)?)\s*['′]\s*)?(?:(?P<{n}s>\d{{1,2}}(?:\.\d+)?)\s*(?:\"|″|'')\s*)?"
          r"(?P<{n}h>[NSEWnsew]?)")
_COORDINATES = re.compile(
    r"^\s*" + _ANGLE.format(n="a") + r"\s*[,;\s]\s*" + _ANGLE.format(n="b")
    + r"(?:\s*[,;\s]\s*(?P<up>-?\d{1,4}(?:\.\d+)?)\s*(?P<unit>m|metres|meters|ft|feet)?)?\s*$", re.IGNORECASE)


def parse_coordinates(text: str) -> tuple[float, float, float | None] | None:
    """Read '45.05, 3.90', '45°03'N 3°54'E', '-42.9 147.3 50 m' as latitude, longitude, height.

    None when the text is not coordinates. Raises PlaceError when they are out of range.

    >>> parse_coordinates("42.9 S, 147.3 E, 50 m"), parse_coordinates("Hobart")
    ((-42.9, 147.3, 50.0), None)
    """
    match = _COORDINATES.match(text)
    if not match:
        return None
    first, second = _angle(match, "a"), _angle(match, "b")
    if (match["ah"] or "").upper() in ("E", "W") and (match["bh"] or "").upper() in ("N", "S", ""):
        first, second = second, first
    up = float(match["up"]) if match["up"] else None
    if up is not None and (match["unit"] or "").lower() in ("ft", "feet"):
        up *= 0.3048
    check_coordinates(first, second, up)
    return first, second, up


_SAID = re.compile(r"\b(?P<name>lat|lon|lng)(?:g|itude|gitude)?\W{0,3}(?:of |is )?(?P<v>-?\d{1,3}(?:\.\d+)?)\b(?!\s*[nsew]\b)|(?P<d>\d{1,3}(?:\.\d+)?)\s*(?:°|deg(?:rees?)?)?\s*(?P<h>north|south|east|west|[nsew])\b(?!\s+of\b)", re.IGNORECASE)


def angles_said(text: str) -> tuple[float | None, float | None]:
    """Read the latitude and the longitude said by their name or their quarter of the sky, wherever they stand in a sentence.

    >>> angles_said("we're at 53.2 north, 1.4 west, on a hill"), angles_said("about 45 S"), angles_said("5 m north of the wall")
    ((53.2, -1.4), (-45.0, None), (None, None))
    """
    found: dict[bool, float] = {}
    for match in _SAID.finditer(text):
        quarter = (match["h"] or "n")[0].lower()
        upright = match["name"].lower() == "lat" if match["name"] else quarter in "ns"
        found.setdefault(upright, float(match["v"] or match["d"]) * (-1 if quarter in "sw" else 1))
    return found.get(True), found.get(False)


def _angle(match: re.Match[str], n: str) -> float:
    value = float(match[f"{n}d"]) + float(match[f"{n}m"] or 0) / 60 + float(match[f"{n}s"] or 0) / 3600
    negative = match[f"{n}sign"] in ("-", "−") or (match[f"{n}h"] or "").upper() in ("S", "W")
    return -value if negative else value


#: Letters that do not come apart into a plain one and a mark.
_LETTERS = str.maketrans({"ø": "o", "Ø": "O", "ß": "ss", "ł": "l", "Ł": "L"})


def folded(text: str) -> str:
    """Return a name in plain lower-case letters, for comparing: accents, hyphens and full stops gone."""
    if not text.isascii():
        text = unicodedata.normalize("NFKD", text.translate(_LETTERS))
        text = "".join(c for c in text if not unicodedata.combining(c))
    text = re.sub(r"[-.'’,]+", " ", text.lower())
    return re.sub(r"\bst\b", "saint", " ".join(text.split()))


def _name_and_hint(text: str) -> list[tuple[str, str]]:
    """Return the ways to split what was typed into a town and a hint, likeliest first."""
    whole = " ".join(re.sub(r"^(?:near|in|at|close to)\s+", "", text.strip(), flags=re.IGNORECASE).split())
    if "," in whole:
        name, hint = (part.strip() for part in whole.split(",", 1))
        last = hint.split(",")[-1].strip()
        return [(name, hint), (name, last), (name, "")]
    words = whole.split()
    ways = [(whole, "")]
    ways += [(" ".join(words[:-n]), " ".join(words[-n:])) for n in (1, 2, 3) if len(words) > n]
    return ways


def _without_twins(towns: list[Town]) -> list[Town]:
    """Drop rows that are the same place twice (same name and region within a few tenths of a degree)."""
    kept: list[Town] = []
    for town in towns:
        if not any(k.name == town.name and abs(k.lat - town.lat) + abs(k.lon - town.lon) < 0.6 for k in kept):
            kept.append(town)
    return kept
