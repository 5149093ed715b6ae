"""Say the metric measures inside a sentence of knowledge in the plot's own units."""

from __future__ import annotations

import re

from bot.wording import Wording

_MEASURE = re.compile(r"(\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))? ?(mm|cm|m|°C|g|kg)\b")
_TO_CM = {"mm": 0.1, "cm": 1.0, "m": 100.0}


def in_units(text: str, say: Wording) -> str:
    """Return a sentence with its lengths, weights and temperatures in the plot's units, and its crops by their names here.

    >>> in_units("collars 10-15 cm across", Wording(units="us"))
    'collars 4-6 in across'
    """
    text = say.named(text)
    return _MEASURE.sub(lambda m: _said(m, say), text) if say.us else text


def _said(match: re.Match[str], say: Wording) -> str:
    low, high, unit = float(match[1]), float(match[2] or match[1]), match[3]
    if unit == "°C":
        return say.temp(low, high)
    if unit in ("g", "kg"):
        return say.mass(low if unit == "kg" else low / 1000)
    low_cm, high_cm = low * _TO_CM[unit], high * _TO_CM[unit]
    if high_cm < 1.2:  # under half an inch: fractions of an inch as mesh is sold
        return f"1/{max(2, round(2.54 / high_cm))} in"
    return say.length(low_cm, high_cm)
