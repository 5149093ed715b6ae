"""When a task near wildlife may be done: spans of the year, turned round for the southern half of the world."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from bot.facts.tending_heap import WildTask

Span = tuple[str, str]
HALF_YEAR = 182


def turned(spans: Sequence[Span], southern: bool, own: Sequence[Span] | None = None) -> list[Span]:
    """Return spans for a half of the world: half a year on in the south, unless `own` names them.

    >>> turned([("09-01", "02-28")], True)
    [('03-01', '08-31')]
    """
    if not southern:
        return list(spans)
    if own is not None:
        return list(own)
    return [(_later(a), _later(b, end=True)) for a, b in spans]


def _later(text: str, *, end: bool = False) -> str:
    """Return a month-day six months on; the end of a month stays its end."""
    month, day = int(text[:2]), int(text[3:])
    later = (month + 5) % 12 + 1
    last = (date(2025, later % 12 + 1, 1) - timedelta(days=1)).day
    was_last = day == (date(2025, month % 12 + 1, 1) - timedelta(days=1)).day
    return f"{later:02d}-{last if end and was_last else min(day, last):02d}"


def within(day: date, spans: Sequence[Span]) -> bool:
    """Tell whether a day lies in one of the spans, which may pass the new year."""
    key = day.strftime("%m-%d")
    return any(a <= key <= b if a <= b else key >= a or key <= b for a, b in spans)


def opens_next(day: date, spans: Sequence[Span]) -> date | None:
    """Return the next first day of a span after `day`, or None without spans."""
    found = []
    for first, _ in spans:
        month, n = int(first[:2]), int(first[3:])
        this = date(day.year, month, n)
        found.append(this if this > day else date(day.year + 1, month, n))
    return min(found, default=None)


def may(task: WildTask, day: date, southern: bool) -> bool | None:
    """Tell whether a task may be done on a day: None when it has no season."""
    if task.not_in and within(day, turned(task.not_in, southern)) and not (task.south and southern):
        return False
    if not task.months:
        return None
    return within(day, turned(task.months, southern, task.south))
