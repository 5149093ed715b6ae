"""The season strip: a row for each crop with bars for sowing, planting and picking along the months."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from bot.pictures.canvas import FAINT, INK, LEAF, LINE, MARGIN, PICK, SEED, WIDTH, Canvas

_ROW = 58
_NAMES = 250
_COLOURS = {"sow": SEED, "plant": LEAF, "pick": PICK}
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True, slots=True)
class Bar:
    """One span on a row: `what` is sow, plant or pick."""

    what: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Row:
    """A crop's row."""

    name: str
    bars: tuple[Bar, ...]


def season_strip(rows: Sequence[Row], first: date, title: str, *, today: date | None = None) -> bytes:
    """Return a PNG of twelve months from the month of `first`, a row per crop (24 at most), with a key."""
    start = date(first.year, first.month, 1)
    end = date(start.year + 1, start.month, 1)
    rows = rows[:24]
    canvas = Canvas(150 + _ROW * len(rows) + 60, title)
    left, right = MARGIN + _NAMES, WIDTH - MARGIN
    days = (end - start).days

    def x_of(day: date) -> float:
        return left + (right - left) * min(max((day - start).days, 0), days) / days

    top = 104
    month = start
    while month < end:
        x = x_of(month)
        canvas.line(x, top + 30, x, top + 36 + _ROW * len(rows))
        canvas.text(x + 4, top, _MONTHS[month.month - 1], 24, FAINT)
        month = date(month.year + month.month // 12, month.month % 12 + 1, 1)
    for n, row in enumerate(rows):
        y = top + 40 + _ROW * n
        canvas.text(MARGIN, y + 8, row.name, 28, INK, width=_NAMES - 12)
        for bar in row.bars:
            for shift in (0, 365):  # a bar of the year before shows as next year's too
                a, b = bar.first + timedelta(days=shift), bar.last + timedelta(days=shift)
                if b < start or a >= end:
                    continue
                low = {"sow": 2, "plant": 18, "pick": 34}[bar.what]
                canvas.box(x_of(a), y + low, x_of(b) - x_of(a), 13, _COLOURS[bar.what], radius=6)
        canvas.line(MARGIN, y + _ROW - 6, right, y + _ROW - 6, LINE, 1)
    if today is not None and start <= today < end:
        canvas.line(x_of(today), top + 30, x_of(today), top + 36 + _ROW * len(rows), INK, 3)
    x = float(MARGIN)
    y = top + 56 + _ROW * len(rows)
    for what in ("sow", "plant", "pick"):
        canvas.box(x, y + 6, 34, 16, _COLOURS[what], radius=6)
        canvas.text(x + 44, y, what, 24)
        x += 70 + canvas.measure(what, 24) + 20
    return canvas.png()
