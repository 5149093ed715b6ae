"""Walk over everything in the knowledge that carries sources: one `Place` per block or row."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from dataclasses import dataclass
from types import ModuleType
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel

from bot.facts.base import Sourced
from bot.facts.errors import KnowledgeError

if TYPE_CHECKING:
    from bot.facts import Facts

#: Fields of a sourced block that are not statements of fact.
NOT_FACTS = {
    "source",
    "memory",
    "practice",
    "note",
    "id",
    "crop",
    "crops",
    "state",
    "form",
    "method",
    "cover",
    "purpose",
    "grows_on_under",
    "words",
    "see",
    "term",
    "name",
    "kind",
    "rules",
}


@dataclass(frozen=True)
class Place:
    """A sourced block or row: its file, the path to it inside the file, a name for its block, and itself."""

    file: str
    location: tuple[int | str, ...]
    block: str
    value: Sourced


def rooms() -> dict[str, ModuleType]:
    """Return every module of bot.facts that holds tables (it has FILES) or checks (it has check), by name."""
    import bot.facts

    found = {}
    for info in pkgutil.iter_modules(bot.facts.__path__):
        module = importlib.import_module(f"bot.facts.{info.name}")
        if hasattr(module, "FILES") or callable(getattr(module, "check", None)):
            found[info.name] = module
    return found


def tables(facts: Facts) -> Iterator[tuple[str, dict[str, str], Any]]:
    """Yield every room that can be read: its name, its tables as field -> file, and itself."""
    for name, module in rooms().items():
        if not hasattr(module, "FILES"):
            continue
        try:
            room = getattr(facts, name)
        except (KnowledgeError, AttributeError):
            continue  # its faults are reported by the check itself
        yield name, module.FILES, room


def sourced_places(facts: Facts) -> Iterator[Place]:
    """Yield every sourced block of every crop, then every sourced row of every room that can be read."""
    for crop_id, crop in facts.written_crops.items():
        yield from _inside(crop, f"crops/{crop_id}.yaml", ())
    for name, files, room in tables(facts):
        for field, file in files.items():
            yield from _inside_value(getattr(room, field), file, (), f"{name}.{field}")


def figures(block: Sourced) -> Iterator[tuple[str, Any]]:
    """Yield the filled fact fields of one block: (field, value). Nested blocks are not among them."""
    for name in type(block).model_fields:
        value = getattr(block, name)
        if name in NOT_FACTS or value in (None, [], "", {}, False) or _holds_blocks(value):
            continue
        if name == "life_cycle" and value == "annual":
            continue  # the default, said by nobody
        yield name, value


def is_number(value: Any) -> bool:
    """Tell whether a fact is a figure and not words: a number, a span, a table of numbers, or a moment of numbers."""
    if isinstance(value, bool):
        return False
    if isinstance(value, int | float):
        return True
    if isinstance(value, tuple | list):
        return bool(value) and all(v is None or is_number(v) for v in value)
    if isinstance(value, BaseModel):
        parts = list(value.model_dump(exclude_none=True).values())
        return bool(parts) and all(is_number(v) for v in parts)
    return False


def _holds_blocks(value: Any) -> bool:
    if isinstance(value, Sourced):
        return True
    return isinstance(value, list) and any(isinstance(item, Sourced) for item in value)


def _inside(model: BaseModel, file: str, location: tuple[int | str, ...], block: str = "") -> Iterator[Place]:
    for name in type(model).model_fields:
        yield from _inside_value(getattr(model, name), file, (*location, name), block or name)


def _inside_value(value: Any, file: str, location: tuple[int | str, ...], block: str) -> Iterator[Place]:
    if isinstance(value, Sourced):
        yield Place(file, location, block, value)
    if isinstance(value, BaseModel):
        yield from _inside(value, file, location, block)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            if isinstance(item, BaseModel):
                yield from _inside_value(item, file, (*location, index), block)
    elif isinstance(value, dict):
        for key, item in value.items():
            if isinstance(item, BaseModel):
                yield from _inside_value(item, file, (*location, str(key)), block)
