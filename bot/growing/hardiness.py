"""How much cold ends a crop: one figure chosen from what the publications say of its states of growth."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

from bot.facts.crop import Crop

if TYPE_CHECKING:
    from bot.facts import Facts


def kill_c(crop: Crop, facts: Facts) -> float:
    """Return the air temperature (°C) that ends a standing crop.

    The middle of the published killing figures for the plant, held within what its hardiness class can mean:
    published rows disagree, some tell of the tops alone and some of the one hardiest variety, and a tender crop
    stops at the first air frost whatever a list says.
    """
    klass = crop.sowing.hardiness_class if crop.sowing else None
    rows = [row for row in crop.hardiness if row.kill_c is not None and row.state != "flower"]
    kills = [row.kill_c for row in rows if row.state == "plant"] or [row.kill_c for row in rows]
    number = facts.growing.number
    if not kills:
        return number(f"{klass or 'hardy'}.kill_c")
    middle = median(kill for kill in kills if kill is not None)
    if klass is None:  # of a crop without sowing times the figures alone are known
        return middle
    return max(number(f"{klass}.kill_lowest_c"), min(middle, number(f"{klass}.kill_highest_c")))
