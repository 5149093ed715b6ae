"""What a cover does to a year of temperatures."""

from __future__ import annotations

import numpy as np

from bot.facts.climate import CoverKind
from bot.season.curves import Array


def middle(span: tuple[float, float]) -> float:
    """Return the middle of a span."""
    return (span[0] + span[1]) / 2


def night_gain(kind: CoverKind) -> float:
    """Return the gain in a night's low, °C: the middle of the published range; none where heat holds it."""
    return middle(kind.night_c) if kind.low_c is None else 0.0


def covered_low(kind: CoverKind, low: Array) -> Array:
    """Return daily lows under the cover, °C; heat holds the low where there is any."""
    warmed = low + night_gain(kind)
    return warmed if kind.low_c is None else np.maximum(warmed, kind.low_c)


def covered_high(kind: CoverKind, high: Array) -> Array:
    """Return daily highs under the cover, °C: opened in time, so not pushed past the venting point."""
    warmed = high + middle(kind.day_c)
    if kind.vents_at_c is not None:
        warmed = np.maximum(high, np.minimum(warmed, kind.vents_at_c))
    return warmed if kind.high_c is None else np.maximum(warmed, kind.high_c)
