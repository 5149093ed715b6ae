"""The paper all pictures are drawn on: our colours, letters and PNG bytes."""

from __future__ import annotations

import io
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

#: Our own colours: warm paper, dark soil ink, and one tint for each kind of thing.
PAPER, INK, FAINT, LINE = (250, 247, 240), (54, 47, 40), (140, 130, 118), (206, 198, 184)
SOIL, LEAF, SEED, PICK, ROOF, FRUIT = (
    (196, 170, 139),
    (118, 150, 92),
    (226, 180, 88),
    (196, 98, 72),
    (176, 200, 212),
    (166, 128, 150),
)
WIDTH = 1000
MARGIN = 40


@lru_cache(maxsize=16)
def letters(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    """Return the letters at a size in pixels; Pillow's own typeface, so that no file is needed."""
    return ImageFont.load_default(size)


class Canvas:
    """A sheet of `WIDTH` pixels and a height, with a title at its head."""

    def __init__(self, height: int, title: str) -> None:
        self.image = Image.new("RGB", (WIDTH, height), PAPER)
        self.draw = ImageDraw.Draw(self.image)
        self.text(MARGIN, 26, title, 40)

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: int = 28,
        colour: tuple[int, int, int] = INK,
        *,
        anchor: str = "la",
        width: float | None = None,
    ) -> None:
        """Write words, cut with an ellipsis when wider than `width` pixels."""
        font = letters(size)
        if width is not None:
            while words and self.measure(words, size) > width:
                words = words[:-2].rstrip() + "…" if len(words) > 2 else ""
        self.draw.text((x, y), words, fill=colour, font=font, anchor=anchor)

    def measure(self, words: str, size: int) -> float:
        """Return the width of words in pixels."""
        return float(self.draw.textlength(words, font=letters(size)))

    def box(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        colour: tuple[int, int, int],
        *,
        radius: int = 10,
        edge: tuple[int, int, int] | None = None,
    ) -> None:
        """Draw a filled box with round corners."""
        self.draw.rounded_rectangle(
            (x, y, x + max(w, 2), y + max(h, 2)),
            radius=min(radius, int(max(w, 2) // 2), int(max(h, 2) // 2)),
            fill=colour,
            outline=edge,
            width=2,
        )

    def line(
        self, x1: float, y1: float, x2: float, y2: float, colour: tuple[int, int, int] = LINE, width: int = 2
    ) -> None:
        """Draw a straight line."""
        self.draw.line((x1, y1, x2, y2), fill=colour, width=width)

    def png(self) -> bytes:
        """Return the sheet as PNG."""
        out = io.BytesIO()
        self.image.save(out, "PNG", optimize=False, compress_level=6)
        return out.getvalue()
