"""The gardener's own frost dates: the nights are moved until they come out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from bot.season.curves import DAYS, Array, place_of
from bot.season.nights import Nights, spring_share

_WIDEST_C = 15.0


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
    spring = _shift_for(nights, own.last, "last") if own.last else None
    autumn = _shift_for(nights, own.first, "first") if own.first else None
    if spring is None or autumn is None:
        return np.full(DAYS, spring if spring is not None else autumn)
    share = spring_share(nights.mean)
    moved: Array = spring * share + autumn * (1 - share)
    return moved


def _shift_for(nights: Nights, text: str, side: str) -> float:
    """Find by bisection the shift that puts the 50 % date on the wanted day."""
    month, day = (int(part) for part in text.split("-"))
    wanted = _from_midsummer(nights, place_of(date(2025, month, min(day, 28) if month == 2 else day)), side)
    cold, warm = -_WIDEST_C, _WIDEST_C
    for _ in range(24):
        middle = (cold + warm) / 2
        dates = replace(nights, mean=nights.mean + middle).dates()
        got = (dates.last if side == "last" else dates.first).p50
        away = DAYS if got is None else _from_midsummer(
            nights, place_of(date(2025, int(got[:2]), int(got[3:]))), side)
        if away > wanted:  # frosts end earlier or begin later than the gardener says
            warm = middle
        else:
            cold = middle
    return (cold + warm) / 2


def _from_midsummer(nights: Nights, place: int, side: str) -> int:
    turn = nights.warmest
    return (turn - place) % DAYS if side == "last" else (place - turn) % DAYS
