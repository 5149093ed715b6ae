"""What the figures of a crop may be at all: a net for slips of unit and pen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bot.facts.base import Shape, Sourced
from bot.facts.errors import Fault
from bot.facts.loading import line_in

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.facts.crop import Crop


class Range(Sourced):
    """The lowest and highest a field may be; `field` is block.field of a crop file."""

    field: str
    low: float
    high: float
    unit: str


class RangeFacts(Shape):
    """All ranges."""

    ranges: list[Range]


FILES = {"ranges": "ranges.yaml"}


def check(facts: Facts) -> list[Fault]:
    """Return every crop figure outside its range, and every range whose field is no field of a crop."""
    faults: list[Fault] = []
    for index, row in enumerate(facts.ranges.ranges):
        block, _, field = row.field.partition(".")
        for crop in facts.written_crops.values():
            for location, value in _values(crop, block, field):
                if any(not row.low <= number <= row.high for number in _numbers(value)):
                    path = facts.root / "crops" / f"{crop.id}.yaml"
                    faults.append(
                        Fault(
                            f"crops/{crop.id}.yaml",
                            line_in(path, *location),
                            ".".join(str(p) for p in location),
                            f"{value} is outside {row.low:g} to {row.high:g} {row.unit}".rstrip(),
                        )
                    )
        if not _is_field(block, field):
            faults.append(
                Fault("ranges.yaml", line_in(facts.root / "ranges.yaml", index), row.field, "is no field of a crop")
            )
    return faults


def _values(crop: Crop, block: str, field: str) -> list[tuple[tuple[int | str, ...], Any]]:
    held = getattr(crop, block, None)
    if held is None:
        return []
    if isinstance(held, list):
        return [((block, i, field), v) for i, row in enumerate(held) if (v := getattr(row, field, None)) is not None]
    value = getattr(held, field, None)
    return [] if value is None else [((block, field), value)]


def _numbers(value: Any) -> list[float]:
    return [float(v) for v in value] if isinstance(value, tuple | list) else [float(value)]


def _is_field(block: str, field: str) -> bool:
    from bot.facts.crop import Crop
    from bot.facts.explain import model_at

    model = model_at((block, 0), Crop) if block in Crop.model_fields else None
    return model is not None and field in getattr(model, "model_fields", {})
