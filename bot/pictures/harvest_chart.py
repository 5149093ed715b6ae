"""The harvest chart: what each crop gave, as bars, the heaviest first."""

from __future__ import annotations

from collections.abc import Sequence

from bot.pictures.canvas import FAINT, INK, LINE, MARGIN, PICK, WIDTH, Canvas

_ROW = 52
_NAMES = 260
_MOST = 20


def harvest_chart(rows: Sequence[tuple[str, float, str]], title: str) -> bytes:
    """Return a PNG of bars for (name, kg, weight as said), the heaviest `_MOST`, longest first.

    Rows of nothing are left out; no rows give a sheet that says so.
    """
    kept = sorted((row for row in rows if row[1] > 0), key=lambda row: -row[1])[:_MOST]
    canvas = Canvas(120 + _ROW * max(1, len(kept)) + 30, title)
    if not kept:
        canvas.text(MARGIN, 104, "Nothing weighed yet", 28, FAINT)
        return canvas.png()
    room = WIDTH - 2 * MARGIN - _NAMES - 130
    most = kept[0][1]
    canvas.line(MARGIN + _NAMES, 96, MARGIN + _NAMES, 100 + _ROW * len(kept), LINE)
    for n, (name, kg, said) in enumerate(kept):
        y = 100 + _ROW * n
        canvas.text(MARGIN, y + 6, name, 28, INK, width=_NAMES - 14)
        length = max(6.0, room * kg / most)
        canvas.box(MARGIN + _NAMES + 4, y + 8, length, 28, PICK, radius=8)
        canvas.text(MARGIN + _NAMES + length + 14, y + 8, said, 26, FAINT)
    return canvas.png()
