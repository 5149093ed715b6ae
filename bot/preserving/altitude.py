"""Height: feet and metres, the band of a table it falls in, and the temperature at which water boils there."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from bot.plot.state import Plot
from bot.request import Request
from bot.wording import M_PER_FOOT

#: Height is known to no better than this, so that 304.8 m is exactly 1,000 ft.
_FOOT_SLACK = 0.01
_NUMBER = r"(\d[\d,]*(?:\.\d+)?)\s*(m|metres?|meters?|ft|feet|foot)(?![a-z0-9])"
#: A figure counts as a height only beside a word that says so: a 12 m row is not one.
_HEIGHTS = (
    re.compile(
        r"(?<![a-z])(?:at|altitude|elevation|height|up at|live at|kitchen at)(?: of| is|:)?(?: about| around)? "
        + _NUMBER
        + r"(?! (?:row|bed|long|wide|apart|by|x))"
    ),
    re.compile(
        _NUMBER + r"(?: (?:of|in))? ?(?:up(?![a-z])|high(?![a-z])|above|altitude|elevation|asl|amsl|over the sea)"
    ),
)
#: Without such a word, only what is higher than any row or bed is long.
_BARE = re.compile(r"(?<![\w.,])" + _NUMBER + r"(?! (?:row|bed|long|wide|apart|by|x|of))")
_NO_ROW_M = 150.0
_SEA_LEVEL = re.compile(r"\bat sea level\b|\bsea level\b|by the sea\b")


def to_feet(metres: float) -> float:
    """Return feet; heights below the sea count as 0.

    >>> to_feet(304.8)
    1000.0
    """
    return max(0.0, round(metres / M_PER_FOOT, 6))


def band_at(
    bands: Sequence[tuple[int, int | None, float, float | None]], metres: float
) -> tuple[float, float | None] | None:
    """Return (minutes, psi) of the band a height falls in, or None above the last published band.

    A height between two printed bands (1,000.4 ft) belongs to the higher one.
    """
    feet = to_feet(metres)
    for _low, high, minutes, psi in bands:
        if high is None or feet <= high + _FOOT_SLACK:
            return minutes, psi
    return None


def boiling_point_c(metres: float) -> float:
    """Return the temperature at which water boils, °C, at a height of -400 to 9,000 m.

    Air pressure by the U.S. Standard Atmosphere, 1976 (NOAA, NASA, USAF), troposphere; the
    temperature of saturation by the Antoine equation with the 344-373 K constants of the NIST
    Chemistry WebBook for water (Bridgeman and Aldrich, 1964).
    """
    bar = 1.01325 * (1 - 2.25577e-5 * metres) ** 5.25588
    return 1663.125 / (5.08354 - math.log10(bar)) + 45.622 - 273.15


def jelly_point_c(metres: float) -> float:
    """Return the set point of jam, °C: 8 °F over boiling water (USDA Complete Guide to Home Canning, guide 7)."""
    return boiling_point_c(metres) + 8 / 1.8


def stated_height(request: Request) -> float | None:
    """Return a height in metres that the message itself gives ('at 880 m', '2,900 ft up', 'sea level'), or None."""
    text = request.text.lower()
    for pattern in (*_HEIGHTS, _BARE):
        match = pattern.search(text)
        if match:
            value = float(match[1].replace(",", "")) * (M_PER_FOOT if match[2].startswith("f") else 1.0)
            if pattern is not _BARE or value >= _NO_ROW_M:
                return value
    return 0.0 if _SEA_LEVEL.search(text) else None


def height_of(request: Request, plot: Plot) -> float | None:
    """Return the height to work with, metres: the message's own, else the plot's, else an amount given in answer."""
    said = stated_height(request)
    if said is not None:
        return said
    if plot.settings.place is not None and plot.settings.place.elevation_m is not None:
        return plot.settings.place.elevation_m
    if request.spot is not None and request.spot.elevation_m is not None:
        return request.spot.elevation_m
    answer = request.amount("m")
    return answer.value if answer is not None and answer.value >= 0 else None
