"""Find measures: sizes of beds, temperatures, amounts and counts."""

from __future__ import annotations

from bot.understanding.bed_sizes import find_sizes
from bot.understanding.counts import count_after, count_before, count_in_bed, lone_count
from bot.understanding.found import Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.quantities import mark_quantities
from bot.understanding.temperatures import mark_temperatures


def find_measures(sheet: Sheet, lexicon: Lexicon, region: str) -> None:
    """Mark temperatures and quantities on the sheet, in that order of right; sizes are marked before beds."""
    mark_temperatures(sheet, lexicon, region)
    mark_quantities(sheet, lexicon, region)


__all__ = ["count_after", "count_before", "count_in_bed", "find_measures", "find_sizes", "lone_count"]
