"""A conversation's memory as plain data, to be kept between messages and across restarts."""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from bot.handlers.context import Memory


@cache
def _adapter() -> TypeAdapter[Memory]:
    return TypeAdapter(Memory)


def to_plain(memory: Memory) -> dict[str, Any]:
    """Return the memory as JSON-ready data."""
    return _adapter().dump_python(memory, mode="json")  # type: ignore[no-any-return]


def from_plain(data: dict[str, Any] | None) -> Memory:
    """Return the memory kept in `data`; an empty one when there is none or an older version wrote another shape."""
    if not data:
        return Memory()
    try:
        return _adapter().validate_python(data)
    except ValidationError:
        return Memory()
