"""The winter's lowest night and the hardiness scales."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.facts.climate import ClimateFacts, ScaleStep
from bot.season.curves import DAYS, WHOLE_YEAR, place_of

if TYPE_CHECKING:
    from bot.season.nights import Nights
    from bot.season.season import Season


#: Nearer than this to the warmest day the winter is over: from about the middle of March in the north.
_SPRING_DAYS = 130


@dataclass(frozen=True, slots=True)
class Winter:
    """The lowest night of a winter, °C: half of winters, nine in ten, and one in ten stay above these."""

    usual: float
    hard: float
    mild: float


def winter_of(season: Season) -> Winter:
    """Return how cold the lowest night of a winter gets here, in the open air; worked out once a season."""
    return season.winter


def lowest_nights(nights: Nights) -> Winter:
    """Return how cold the lowest of a year's nights gets."""
    return Winter(*(nights.lowest(WHOLE_YEAR, chance) for chance in (0.5, 0.9, 0.1)))


def winter_span(season: Season, day: date) -> tuple[date, date]:
    """Return the span of the winter that holds `day` or comes next, up to high summer.

    From spring on the coming winter is meant, whole.
    """
    to_warmest = (season.nights.warmest - place_of(day)) % DAYS
    end = day + timedelta(days=to_warmest)
    if to_warmest < _SPRING_DAYS:
        return end, end + timedelta(days=DAYS)
    return day, end


def step_at(climate: ClimateFacts, scale: str, celsius: float) -> ScaleStep | None:
    """Return the step of a scale (RHS, USDA) that holds a temperature."""
    for step in climate.scales:
        if step.scale == scale and (step.min_c is None or celsius >= step.min_c) and (
                step.max_c is None or celsius < step.max_c):
            return step
    return None
