"""Soil temperature at seed depth: the air's yearly wave, damped and a few days late.

After the damped-wave solution of heat conduction (Campbell and Norman, An Introduction to Environmental
Biophysics): at depth z the swing shrinks by exp(-z/D) and lags by z/D radians, D the damping depth.
"""

from __future__ import annotations

import numpy as np

from bot.facts.climate import ClimateFacts, CoverKind
from bot.season.covering import middle
from bot.season.curves import Array


def soil_year(mean: Array, kind: CoverKind, climate: ClimateFacts) -> Array:
    """Return the daily mean soil temperature at 5 to 10 cm, °C, from the open-air daily mean."""
    number = climate.number
    yearly = float(mean.mean())
    late = np.roll(mean, round(number("soil.lag_days")))
    soil = yearly + number("soil.warmer_c") + number("soil.damping") * (late - yearly)
    soil = np.where(soil < 0, soil * number("soil.frozen_share"), soil) + middle(kind.soil_c)
    if kind.low_c is not None and kind.high_c is not None:
        soil = np.maximum(soil, (kind.low_c + kind.high_c) / 2)
    year: Array = soil
    return year
