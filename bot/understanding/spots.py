"""Find the place on earth a message names: coordinates or a town."""

from __future__ import annotations

import re

from bot.request import Spot
from bot.understanding.found import Sheet

COORDINATES = re.compile(
    r"(?<![\d.])([+-]?\d{1,2}(?:\.\d+))\s*\u00b0?\s*([NnSs])?\s*[,;/ ]\s*"
    r"([+-]?\d{1,3}(?:\.\d+)?)\s*\u00b0?\s*([EeWwOo])?(?![\d.])")
_NAMED = re.compile(
    r"lat(?:itude)?\W{0,3}([+-]?\d{1,2}(?:\.\d+)?)\D{1,12}lon(?:g|gitude)?\W{0,3}([+-]?\d{1,3}(?:\.\d+)?)",
    re.IGNORECASE)
_HEIGHT = re.compile(
    r"(?:height|elev(?:ation)?|alt(?:itude)?|at(?= (?:about )?[\d,]+\s*(?:m\b|met|ft|feet)))\W{0,4}(?:is |about |of )?"
    r"(\d{1,2},\d{3}|\d{1,5})\s*(m\b|metres|meters|ft|feet)?"
    r"|(\d{1,2},\d{3}|\d{1,5})\s*(m|metres|meters|ft|feet)\s+(?:above|asl|up|high|altitude|elevation)",
    re.IGNORECASE)
_LEAD = re.compile(
    r"(?:\b(?:live|living|based|located|garden|gardening|plot|allotment|moved|move|location|place|town|village|city"
    r"|near|outside|from|down|up|me|it|house|now|I'm|im|am|we're|are|is|one)\b"
    r"[\w' ]{0,18}?\s(?:in|near|at|to|outside|is|by|from|round|of)"
    r"|^(?:near|in|outside|location|place|town)|\blocation(?: is| to)?|\bplace(?: is| to)?)\s+"
    r"(?P<name>[^\W\d_][^\d?!;:()]{1,40})", re.IGNORECASE)
_STOP = re.compile(
    r"\b(?:and|please|now|since|at|with|which|where|but|so|if|because|then|thanks|about|on|for|as|use|instead|save"
    r"|when|what|how|who|why|is|are|am|was|do|does|did|can|could|should|shall|will|would|have|has|had|it|i|we|my|our|there|this|that|by the way)"
    r"\b.*$|(?<!\bst)(?<!\bmt)\.\s.*$", re.IGNORECASE | re.DOTALL)

_MEASURES = re.compile(r"\b(?:units?|metric|imperial|measures?|pounds?|ounces?|inches|feet|grams?|kilos?|litres?|celsius|fahrenheit)\b", re.IGNORECASE)


def read_spot(sheet: Sheet, start: int = 0, end: int | None = None, whole: bool = False) -> Spot | None:
    """Return the place named in a clause. `whole` takes the whole clause as a town when nothing else fits."""
    text = sheet.said(start, len(sheet.tokens) if end is None else end) if sheet.tokens else ""
    height = _HEIGHT.search(text)
    elevation = None
    if height:
        figure, unit = (height.group(1), height.group(2)) if height.group(1) else (height.group(3), height.group(4))
        elevation = float(figure.replace(",", "")) * (0.3048 if unit and unit.lower() in ("ft", "feet") else 1.0)
    pair = _NAMED.search(text)
    if pair:
        return _checked(float(pair.group(1)), float(pair.group(2)), elevation)
    loose = COORDINATES.search(text)
    if loose and ("." in loose.group(1) or loose.group(2) or "." in loose.group(3)):
        lat = float(loose.group(1)) * (-1 if (loose.group(2) or "n").lower() == "s" else 1)
        lon = float(loose.group(3)) * (-1 if (loose.group(4) or "e").lower() in ("w", "o") else 1)
        return _checked(lat, lon, elevation)
    named = _LEAD.search(text)
    name = named.group("name") if named else text if whole else ""
    name = _STOP.sub("", name).strip(" ,.'-\"")
    name = re.sub(r"^(?:the|a|my)\s+", "", name, flags=re.IGNORECASE)
    return (Spot(name=name, elevation_m=elevation) if len(name) > 1
            else (Spot(elevation_m=elevation) if elevation else None))


def named_spot(text: str) -> tuple[int, int] | None:
    """Return where in a text a town seems to be named."""
    named = _LEAD.search(text)
    if named is None:
        return None
    name = _STOP.sub("", named.group("name")).rstrip(" ,.'-\"")
    if _MEASURES.search(name):  # "put me in US units"
        return None
    return (named.start("name"), named.start("name") + len(name)) if len(name) > 1 else None


def _checked(lat: float, lon: float, elevation: float | None) -> Spot | None:
    return Spot(lat=lat, lon=lon, elevation_m=elevation) if -90 <= lat <= 90 and -180 <= lon <= 180 else None
