"""Count where the figures come from: read in a publication, worked out, common practice, or recalled.

The counting rule: every filled field of a sourced block or row is one statement, except its id, links and labels.
It is a figure when it holds numbers only (a number, a span, a table of numbers), else words. A figure is *recalled*
when the block lists it under `memory:` or has no source but memory; *practice* likewise; *worked out* when all its
sources are computed; otherwise *read*. Blocks lent to a crop by another are counted once, where they are written.
Settings of our own growth model (when a window opens, the warmth a crop needs, …) are no figures of a publication:
they are fitted to published calendars and counted apart, as settings.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from bot.facts.walking import figures, is_number, sourced_places

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.facts.base import Sourced

KINDS = ("read", "computed", "practice", "memory")

#: Fields of crops and tables that are settings of our own arithmetic.
SETTINGS = {
    "opens",
    "closes",
    "plant_out_opens",
    "plant_out_closes",
    "crops_from",
    "crops_until",
    "need_c_days",
    "leaves_c_days",
    "base_c",
    "ceiling_c",
    "weeks_as_seedling",
}
#: Tables that hold nothing but settings.
_SETTING_TABLES = {"ranges.ranges", "growing.worth", "growing.coefficients", "climate.coefficients"}


@dataclass
class Share:
    """How many statements of one block are of each kind, figures and words apart."""

    figures: Counter[str] = field(default_factory=Counter)
    words: Counter[str] = field(default_factory=Counter)
    settings: int = 0

    @property
    def read_share(self) -> float:
        """Return the share of figures read in a publication, 0 to 1; 1 when there are none."""
        total = sum(self.figures.values())
        return self.figures["read"] / total if total else 1.0


def shares(facts: Facts, *, crops_only: bool = False) -> dict[str, Share]:
    """Return the count of each block of the crops (`crop.spacing`) and of each table (`climate.stations`)."""
    found: dict[str, Share] = {}
    for place in sourced_places(facts):
        in_crop = place.file.startswith("crops/")
        if crops_only and not in_crop:
            continue
        share = found.setdefault(f"crop.{place.block}" if in_crop else place.block, Share())
        for name, value in figures(place.value):
            if is_number(value) and (name in SETTINGS or place.block in _SETTING_TABLES):
                share.settings += 1
                continue
            counter = share.figures if is_number(value) else share.words
            counter[kind_of(place.value, name, facts)] += 1
    return found


def kind_of(block: Sourced, name: str, facts: Facts) -> str:
    """Return how a field of a block is known: read, computed, practice or memory."""
    if name in block.memory:
        return "memory"
    if name in block.practice:
        return "practice"
    kinds = {facts.sources[s].status for s in block.source if s in facts.sources}
    for kind in KINDS:
        if kind in kinds:
            return kind
    return "memory"


def total(parts: dict[str, Share]) -> Share:
    """Add the counts of several blocks."""
    whole = Share()
    for share in parts.values():
        whole.figures += share.figures
        whole.words += share.words
        whole.settings += share.settings
    return whole


def report_text(facts: Facts) -> str:
    """Render the shares as a plain table, the crops' blocks first, then the other tables, then the crops' total."""
    parts = shares(facts)
    crop_parts = {name: share for name, share in parts.items() if name.startswith("crop.")}
    table_parts = {name: share for name, share in parts.items() if name not in crop_parts}
    head = _columns("", "figures", ["read", "worked", "usage", "recalled"], "words", "read", "settings")
    lines = [f"{len(facts.written_crops)} crops, {len(facts.sources)} sources", head]
    lines += [_row(name, share) for name, share in sorted(crop_parts.items())]
    lines += [_row("all crop blocks", total(crop_parts)), ""]
    lines += [_row(name, share) for name, share in sorted(table_parts.items())]
    lines += [_row("everything", total(parts))]
    return "\n".join(lines)


def _row(name: str, share: Share) -> str:
    count, words = sum(share.figures.values()), sum(share.words.values())
    cells = [f"{share.figures[kind] / count:.0%}" if count else "" for kind in KINDS]
    word_share = f"{share.words['read'] / words:.0%}" if words else ""
    return _columns(name, str(count), cells, str(words), word_share, str(share.settings or ""))


def _columns(name: str, count: str, cells: list[str], words: str, word_share: str, settings: str) -> str:
    kinds = "".join(cell.rjust(width) for cell, width in zip(cells, (7, 8, 7, 10), strict=True))
    return f"{name:34}{count:>8}{kinds}   {words:>6}{word_share:>6}{settings:>10}".rstrip()
