"""Understanding: words in, requests out. One public face: `Understander`, with `PlotNames` and `Reading`."""

from __future__ import annotations

from bot.understanding.reader import Understander
from bot.understanding.shapes import PlotNames, Reading

__all__ = ["PlotNames", "Reading", "Understander"]
