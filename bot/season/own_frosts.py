"""The gardener's own frost dates: the nights are moved until they come out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from bot.season.curves import DAYS, Array, place_of
from bot.season.nights import Nights, spring_share

_WIDEST_C = 15.0
_ROUNDS, _STEPS = 3, 16
_SPRING, _AUTUMN = -1, 1


@dataclass(frozen=True, slots=True)
class OwnFrosts:
    """Last and first frost dates (MM-DD) that the gardener goes by, at the 50 percent level."""

    last: str | None = None
    first: str | None = None

    def __bool__(self) -> bool:
        return bool(self.last or self.first)


def shifted_by(nights: Nights, own: OwnFrosts) -> Array:
    """Return how much colder or warmer each night of the year is than the stations say, °C (365 places).

    The shift in spring makes the 50 % last date the gardener's, the one in autumn the first date; between
    them it runs smoothly. A single date moves the whole year. A date no shift can give moves it as far as allowed.
    """
    if not own:
        return np.zeros(DAYS)
    if own.last is None or own.first is None:
        text, way = (own.last, _SPRING) if own.last else (own.first or "", _AUTUMN)
        return np.full(DAYS, _shift_for(nights, text, way, 0.0, np.ones(DAYS)))
    share = spring_share(nights.mean)
    spring = autumn = 0.0
    for _ in range(_ROUNDS):  # each date feels the other's shift a little
        spring = _shift_for(nights, own.last, _SPRING, autumn, share)
        autumn = _shift_for(nights, own.first, _AUTUMN, spring, 1 - share)
    moved: Array = spring * share + autumn * (1 - share)
    return moved


def _shift_for(nights: Nights, text: str, way: int, other: float, share: Array) -> float:
    """Find by bisection the warmest shift, over its share of the year, that puts the 50 % date on the wanted day.

    `other` is the shift over the rest of the year.
    """
    month, day = (int(part) for part in text.split("-"))
    place = place_of(date(2025, month, min(day, 28) if month == 2 else day))
    turn = nights.warmest
    wanted = (way * (place - turn)) % DAYS
    cold, warm = -_WIDEST_C, _WIDEST_C
    for _ in range(_STEPS):
        middle = (cold + warm) / 2
        mean = nights.mean + middle * share + other * (1 - share)
        moved = replace(nights, mean=mean)
        # Counted from this place's own warmest day, which the shift may move a little.
        drift = (moved.warmest - turn + DAYS // 2) % DAYS - DAYS // 2
        away = moved.days_from_summer(way) + way * drift
        if away > wanted:  # frosts end earlier or begin later than the gardener says
            warm = middle
        else:
            cold = middle
    return cold
