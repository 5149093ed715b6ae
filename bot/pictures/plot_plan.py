"""The plot plan: every bed to scale among its fellows, with what grows or is planned in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bot.pictures.canvas import FAINT, FRUIT, INK, LEAF, MARGIN, ROOF, SOIL, WIDTH, Canvas
from bot.plot.state import Bed

_GAP = 26
_LEAST, _MOST = 96, 240  # height of a bed in pixels
_ROOMS = {"tunnel": ROOF, "greenhouse": ROOF, "frame": ROOF, "fruit": FRUIT}


def plot_plan(
    beds: Sequence[Bed], contents: Mapping[str, Sequence[str]], title: str, sizes: Mapping[str, str] | None = None
) -> bytes:
    """Return a PNG of the beds, two abreast, each as long and wide as it is for its row, with up to four lines in it.

    `contents` maps bed ids to what to write in them, `sizes` to their sizes as said. Beds of unknown size are drawn
    middling.
    """
    rows = [list(beds[i : i + 2]) for i in range(0, len(beds), 2)]
    longest = max((_long(bed) for bed in beds), default=1.0)
    widest = max((_short(bed) for bed in beds), default=1.0)
    heights = [max(max(_LEAST, _MOST * _short(bed) / widest) for bed in row) for row in rows]
    canvas = Canvas(int(100 + sum(h + 44 + _GAP for h in heights) + 20), title)
    y = 96.0
    half = (WIDTH - 2 * MARGIN - _GAP) / 2
    for row, height in zip(rows, heights, strict=True):
        for n, bed in enumerate(row):
            x = MARGIN + n * (half + _GAP)
            length = half * max(0.7, _long(bed) / longest)
            deep = max(_LEAST, _MOST * _short(bed) / widest)
            size = f"  {sizes[bed.id]}" if sizes and bed.id in sizes else ""
            canvas.text(x, y, bed.name, 28, width=half - canvas.measure(size, 22))
            canvas.text(x + canvas.measure(bed.name, 28), y + 5, size, 22, FAINT)
            words = contents.get(bed.id, ())
            canvas.box(x, y + 38, length, deep, _ROOMS.get(bed.kind, LEAF if words else SOIL))
            if bed.light != "sun":
                canvas.box(x + length - 16, y + 38, 16, deep, (120, 120, 128))
            fits = max(1, int((deep - 16) // 32))
            for k, word in enumerate(words[:fits]):
                canvas.text(x + 14, y + 50 + 32 * k, word, 26, INK, width=length - 36)
            if not words:
                canvas.text(x + 14, y + 50, "empty", 26, INK)
        y += height + 44 + _GAP
    return canvas.png()


def _long(bed: Bed) -> float:
    return max(bed.length_m or 3.0, bed.width_m or 1.0)


def _short(bed: Bed) -> float:
    return min(bed.length_m or 3.0, bed.width_m or 1.0)
