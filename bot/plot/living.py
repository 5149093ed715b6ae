"""Which events still hold: undone ones gone, corrected ones as corrected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from bot.plot.events import Event

_CORRECTABLE = frozenset({"day", "crop", "variety", "bed", "amount", "unit", "words"})


def live_events(events: Sequence[Event]) -> tuple[tuple[Event, ...], tuple[Event, ...]]:
    """Return (journal, written): live events as corrected, and as first written with the corrections among them.

    Read newest first, so that taking back an undo brings back what it took.
    """
    dead: set[int] = set()
    written: list[Event] = []
    for event in reversed(events):
        if event.seq in dead:
            continue
        if event.kind == "undone":
            dead.update(event.refs)
        else:
            written.append(event)
    written.reverse()
    changes: dict[int, list[dict[str, Any]]] = {}
    for event in written:
        if event.kind == "corrected":
            for ref in event.refs:
                changes.setdefault(ref, []).append(event.data.get("changes", {}))
    journal = []
    for event in written:
        if event.kind == "corrected":
            continue
        for change in changes.get(event.seq, ()):
            event = corrected(event, change)
        journal.append(event)
    return tuple(journal), tuple(written)


def corrected(event: Event, change: dict[str, Any]) -> Event:
    """Return the event with some fields changed; `data` in the change is merged into the event's own."""
    plain: dict[str, Any] = {key: value for key, value in change.items() if key in _CORRECTABLE}
    if isinstance(plain.get("day"), str):
        plain["day"] = date.fromisoformat(plain["day"])
    data = {**event.data, **change.get("data", {})}
    # A new bed, crop or day may belong to another planting than the one first meant; what was moved stays the same plants.
    if plain.keys() & {"bed", "crop", "day"} and event.kind != "moved":
        data = {k: v for k, v in data.items() if k not in ("planting", "plantings")}
    return replace(event, **plain, data=data)
