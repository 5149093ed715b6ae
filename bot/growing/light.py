"""Whether a bed has light enough for a crop, with the shade of tall neighbours still standing in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bot.facts.crop import Crop
from bot.plot.state import Bed, Planting

if TYPE_CHECKING:
    from bot.facts import Facts

#: Crops with no figure: what the words of the shade column ask for, as keys of the light coefficients.
_WORDS = {"full-sun": "light.sun", "part-shade": "light.part-shade", "shade": "light.shade"}


@dataclass(frozen=True, slots=True)
class Light:
    """Hours of direct sun in summer, and the neighbours that take some of it."""

    hours: float
    shaded_by: tuple[str, ...] = ()


def light_of(bed: Bed | None, neighbours: tuple[Planting, ...], facts: Facts) -> Light:
    """Return the light of a bed given what stands in it; a bed unknown counts as sunny."""
    number = facts.growing.number
    hours = number("light.sun")
    if bed is not None:
        hours = bed.sun_hours if bed.sun_hours is not None else number(f"light.{bed.light}")
    tall = []
    for planting in neighbours:
        crop = facts.crops.get(planting.crop)
        height = crop.light.height_cm if crop and crop.light else None
        if height and (height[0] + height[1]) / 2 >= number("light.tall_cm"):
            tall.append(planting.crop)
    if tall:
        hours = max(1.5, hours - number("light.neighbour_takes_hours"))
    return Light(hours, tuple(dict.fromkeys(tall)))


def needs_hours(crop: Crop, facts: Facts) -> float:
    """Return the hours of direct sun a crop asks for."""
    if crop.light and crop.light.sun_hours is not None:
        return crop.light.sun_hours
    word = crop.light.shade if crop.light else None
    return facts.growing.number(_WORDS[word]) - 2.0 if word else 5.0


def enough(crop: Crop, light: Light, facts: Facts) -> bool:
    """Tell whether a crop does in this light, with the grace that hours vary."""
    return light.hours + facts.growing.number("light.grace_hours") >= needs_hours(crop, facts)


def suits_shade(crop: Crop) -> bool:
    """Tell whether a crop is one for part shade or shade."""
    return crop.light is not None and crop.light.shade in ("part-shade", "shade") and (crop.light.sun_hours or 5) <= 4
