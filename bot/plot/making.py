"""Make the parts of a plot's state out of single events."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from typing import Any

from bot.plot.events import Event
from bot.plot.state import Bed, Lot, Planting, PlotPlace, SeedLot, Settings

_SETTING_NAMES = frozenset(f.name for f in fields(Settings)) - {"place"}
_BED_NAMES = frozenset(f.name for f in fields(Bed)) - {"id"}


def changed_settings(settings: Settings, data: dict[str, Any]) -> tuple[Settings, dict[str, Any]]:
    """Return the settings with what `data` changes, and what of it is no setting."""
    known: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in data.items() if k in _SETTING_NAMES}
    if "place" in data:
        known["place"] = PlotPlace(**data["place"]) if data["place"] else None
    other = {k: v for k, v in data.items() if k not in _SETTING_NAMES and k != "place"}
    return replace(settings, **known), other


def bed_values(data: dict[str, Any]) -> dict[str, Any]:
    """Return the fields of a bed that `data` gives."""
    return {k: tuple(v) if isinstance(v, list) else v for k, v in data.items() if k in _BED_NAMES}


def planting_of(event: Event) -> Planting:
    """Return the planting a sowing or planting out begins."""
    out = event.kind == "planted_out"
    return Planting(
        id=event.seq,
        crop=event.crop or "",
        crop_words=event.words,
        variety=event.variety,
        bed=event.bed,
        method=event.data.get("method", "plants" if out else None),
        sown=None if out else event.day,
        planted_out=event.day if out else None,
        **extent(event),
    )


def extent(event: Event) -> dict[str, Any]:
    """Return how much was put in: plants, square metres, metres of row."""
    data = event.data
    count = data.get("count")
    if count is None and event.unit in ("count", "plant", "seed") and event.amount:
        count = int(event.amount)
    row = data.get("row_m")
    if row is None and event.unit == "m":
        row = event.amount
    area = data.get("area_m2")
    if area is None and event.unit == "m2":
        area = event.amount
    return {"count": count, "row_m": row, "area_m2": area}


def lot_of(event: Event) -> Lot:
    """Return the lot of the stores a making adds."""
    data, amount = event.data, event.amount if event.amount is not None else 1.0
    best = data.get("best_before")
    return Lot(
        id=event.seq,
        crop=event.crop or "",
        product=data.get("product", "stored"),
        unit=event.unit or "lot",
        made_count=amount,
        left=amount,
        made=event.day,
        kg=data.get("kg"),
        where=data.get("where"),
        best_before=date.fromisoformat(best) if isinstance(best, str) else best,
        words=event.words,
        method=data.get("method"),
    )


def seed_of(event: Event) -> SeedLot:
    """Return the lot of seed that was added."""
    return SeedLot(
        id=event.seq,
        crop=event.crop or "",
        variety=event.variety,
        year=event.data.get("year"),
        amount=event.amount,
        unit=event.unit,
        source=event.data.get("source"),
    )


def seed_left(seed: SeedLot, amount: float | None) -> SeedLot:
    """Return a lot of seed after `amount` of it was used; None uses it up."""
    left = None if amount is None or seed.amount is None else max(0.0, seed.amount - amount)
    return replace(seed, amount=left, used_up=left is None or left == 0)
