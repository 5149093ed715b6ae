"""The harvest chart: what each crop gave, as bars, the heaviest first."""

from __future__ import annotations

from collections.abc import Sequence

from bot.pictures.canvas import FAINT, INK, LINE, MARGIN, PICK, WIDTH, Canvas

_ROW = 52
_NAMES = 260
_MOST = 20


def harvest_chart(rows: Sequence[tuple[str, float, str]], title: str, *, in_order: bool = False) -> bytes:
    """Return a PNG of bars for (name, kg, weight as said), the heaviest `_MOST`, longest first.

    With `in_order` the rows stand as given (months of a year), the last `_MOST` of them. Rows of nothing are left out;
    no rows give a sheet that says so.
    """
    some = [row for row in rows if row[1] > 0]
    kept = some[-_MOST:] if in_order else sorted(some, key=lambda row: -row[1])[:_MOST]
    canvas = Canvas(120 + _ROW * max(1, len(kept)) + 30, title)
    if not kept:
        canvas.text(MARGIN, 104, "Nothing weighed yet", 28, FAINT)
        return canvas.png()
    room = WIDTH - 2 * MARGIN - _NAMES - 130
    most = max(row[1] for row in kept)
    canvas.line(MARGIN + _NAMES, 96, MARGIN + _NAMES, 100 + _ROW * len(kept), LINE)
    for n, (name, kg, said) in enumerate(kept):
        y = 100 + _ROW * n
        canvas.text(MARGIN, y + 6, name, 28, INK, width=_NAMES - 14)
        length = max(6.0, room * kg / most)
        canvas.box(MARGIN + _NAMES + 4, y + 8, length, 28, PICK, radius=8)
        canvas.text(MARGIN + _NAMES + length + 14, y + 8, said, 26, FAINT)
    return canvas.png()
