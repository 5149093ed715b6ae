"""What may lie beside what in a store: ripe fruit gives off ethylene, and other crops are hurt by it."""

from __future__ import annotations

from collections.abc import Iterable

from bot.facts.crop import Crop, Storage

_STRONG = ("high", "very-high")
_FEELING = ("medium", "high", "very-high")


def gives(crop: Crop) -> bool:
    """Tell whether a crop in store gives off enough ethylene to matter."""
    return any(kept.ethylene_gives in _STRONG for kept in crop.storage)


def feels(kept: Storage) -> bool:
    """Tell whether a crop kept this way is hurt by ethylene."""
    return kept.ethylene_feels in _FEELING


def clashes(crop: Crop, kept: Storage, others: Iterable[Crop]) -> list[str]:
    """Return the ids of the other crops in store that should not lie beside this one."""
    found = []
    for other in others:
        if other.id == crop.id:
            continue
        harmed = feels(kept) and gives(other)
        harms = kept.ethylene_gives in _STRONG and any(feels(row) for row in other.storage)
        if harmed or harms:
            found.append(other.id)
    return found


def longest(rows: Iterable[Storage]) -> list[Storage]:
    """Order ways of keeping by how long they keep, longest first; unknown lives last."""
    return sorted(rows, key=lambda row: -(row.weeks[1] if row.weeks else 0.0))
