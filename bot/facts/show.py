"""Show one thing of the knowledge as a readable card: a crop, a row of any table, a group, a term, a source."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel

from bot.facts.base import Source, Sourced
from bot.facts.report import kind_of
from bot.facts.walking import tables

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.facts.crop import Crop

_UNITS = {
    "_cm": "cm",
    "_c": "°C",
    "_pct": "%",
    "_m": "m",
    "_kg": "kg",
    "_days": "days",
    "_weeks": "weeks",
    "_in": "in",
    "_per_g": "per g",
    "_per_m2": "per m²",
    "_hours": "hours",
}
_SIDE = {"source", "memory", "practice", "note"}


def show_text(facts: Facts, wanted: str) -> str | None:
    """Return the card of the thing with this id (or a crop's name), or None when there is none."""
    crop = facts.crops.get(wanted) or _named(facts, wanted)
    if crop is not None:
        return _crop_card(facts, crop)
    source = facts.sources.get(wanted)
    if source is not None:
        return _source_card(source)
    rows = _rows(facts, wanted)
    if not rows:
        return None
    used: dict[str, None] = {}
    parts = []
    for place, row in rows:
        parts.append("\n".join([f"{wanted} ({place})", *_block_lines(facts, row, used)]))
    return "\n\n".join([*parts, *_source_lines(facts, used)])


def nearest_ids(facts: Facts, wanted: str) -> list[str]:
    """Return up to three ids that look like the one asked for."""
    known = [*facts.crops, *facts.sources, *(key for key, _, _ in _all_rows(facts))]
    return difflib.get_close_matches(wanted, list(dict.fromkeys(known)), n=3, cutoff=0.6)


def _named(facts: Facts, wanted: str) -> Crop | None:
    word = wanted.strip().lower()
    for crop in facts.crops.values():
        if word in (crop.said("gb").lower(), crop.said("us").lower(), crop.said("gb", plural=True).lower()):
            return crop
    return None


def _crop_card(facts: Facts, crop: Crop) -> str:
    used: dict[str, None] = {}
    said = crop.said("gb") if crop.said("gb") == crop.said("us") else f"{crop.said('gb')} / {crop.said('us')} (US)"
    lines = [f"{said}: {crop.botanical}, {crop.family.family} ({crop.id})"]
    lines += [f"  {sentence}" for sentence in crop.growing_well]
    lines += [f"  Caution: {caution}" for caution in crop.cautions]
    others = [n.name for n in crop.names if n.kind != "botanical"][2:]
    if others:
        lines.append(f"  also called: {', '.join(others)}")
    for name in type(crop).model_fields:
        value = getattr(crop, name)
        blocks = value if isinstance(value, list) else [value]
        if not blocks or not all(isinstance(block, Sourced) for block in blocks):
            continue
        lent = f" (as {crop.like})" if name in crop.lent else ""
        lines += ["", f"{name.replace('_', ' ')}{lent}"]
        for index, block in enumerate(blocks):
            if index:
                lines.append("  -")
            lines += _block_lines(facts, block, used)
    for label, words in (("pests and diseases", crop.pests), ("preserving", crop.preserving)):
        if words:
            lines += ["", f"{label}: {', '.join(words)}"]
    return "\n".join([*lines, *_source_lines(facts, used)])


def _block_lines(facts: Facts, block: BaseModel, used: dict[str, None], indent: str = "  ") -> list[str]:
    lines = []
    for name in type(block).model_fields:
        value = getattr(block, name)
        if name in _SIDE or value in (None, [], "", False, {}):
            continue
        mark = ""
        if isinstance(block, Sourced):
            kind = kind_of(block, name, facts)
            mark = {"memory": " (recalled)", "practice": " (common practice)"}.get(kind, "")
        if isinstance(value, list) and value and all(isinstance(item, BaseModel) for item in value):
            lines.append(f"{indent}{name.replace('_', ' ')}:")
            for item in value:
                inner = _block_lines(facts, item, used, indent + "    ")
                if inner:
                    lines.append(indent + "  - " + inner[0].strip())
                    lines += inner[1:]
        else:
            lines.append(f"{indent}{_label(name)}: {_said(value, _unit(name))}{mark}")
    if isinstance(block, Sourced):
        if block.note:
            lines.append(f"{indent}note: {block.note}")
        lines.append(f"{indent}from: {', '.join(block.source)}")
        used.update(dict.fromkeys(block.source))
    return lines


def _label(name: str) -> str:
    for ending in _UNITS:
        if name.endswith(ending):
            return name.removesuffix(ending).replace("_", " ")
    return name.replace("_", " ")


def _unit(name: str) -> str:
    return next((unit for ending, unit in _UNITS.items() if name.endswith(ending)), "")


def _said(value: Any, unit: str) -> str:
    if isinstance(value, tuple) and len(value) == 2 and all(isinstance(v, int | float) for v in value):
        text = f"{value[0]:g}" if value[0] == value[1] else f"{value[0]:g} to {value[1]:g}"
        return f"{text} {unit}".rstrip()
    if isinstance(value, list) and value and isinstance(value[0], tuple):
        return ", ".join(f"{a:g}: {'none' if b is None else format(b, 'g')}" for a, b in value)
    if isinstance(value, list):
        return ", ".join(str(item) for item in value)
    if isinstance(value, BaseModel):
        return ", ".join(
            f"{k.replace('_', ' ')} {v:g}" if isinstance(v, float) else f"{k} {v}"
            for k, v in value.model_dump(exclude_none=True).items()
        )
    if isinstance(value, bool):
        return "yes"
    return f"{value:g} {unit}".rstrip() if isinstance(value, int | float) else str(value)


def _all_rows(facts: Facts) -> list[tuple[str, str, BaseModel]]:
    """Return (id, table, row) of every table row that has an id."""
    found: list[tuple[str, str, BaseModel]] = []
    for name, files, room in tables(facts):
        for field in files:
            table = getattr(room, field)
            if isinstance(table, dict):
                found += [(str(k), f"{name}.{field}", row) for k, row in table.items() if isinstance(row, BaseModel)]
            elif isinstance(table, list):
                found += [(str(row.id), f"{name}.{field}", row) for row in table if hasattr(row, "id")]
    return found


def _rows(facts: Facts, wanted: str) -> list[tuple[str, BaseModel]]:
    return [(place, row) for key, place, row in _all_rows(facts) if key == wanted]


def _source_card(source: Source) -> str:
    lines = [f"{source.id}: {source.title}"]
    lines += [
        f"  {name}: {getattr(source, name)}"
        for name in ("publisher", "year", "url", "status", "note")
        if getattr(source, name)
    ]
    return "\n".join(lines)


def _source_lines(facts: Facts, used: dict[str, None]) -> list[str]:
    if not used:
        return []
    lines = ["", "sources"]
    for source_id in used:
        source = facts.sources.get(source_id)
        if source is None:
            lines.append(f"  {source_id}: not in sources/")
            continue
        who = ", ".join(part for part in (source.publisher, source.year) if part)
        how = {"memory": " [recalled, not read]", "practice": " [common practice]", "computed": " [worked out]"}.get(
            source.status, ""
        )
        lines.append(f"  {source_id}: {source.title}{f' ({who})' if who else ''}{how}")
    return lines
