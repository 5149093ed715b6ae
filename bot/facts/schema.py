"""JSON Schema of the knowledge files, for editors that complete and check YAML while one types."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from bot.facts.base import Source
from bot.facts.crop import Crop
from bot.facts.walking import rooms


def schemas() -> dict[str, dict[str, Any]]:
    """Return every schema by file name: crop.json, sources.json, and one per table such as keeping-perennials.json."""
    found = {
        "crop.json": _schema(Crop, "A crop: knowledge/crops/<id>.yaml"),
        "sources.json": _schema(list[Source], "Sources: knowledge/sources/<room>.yaml"),
    }
    for module in rooms().values():
        for field, file in getattr(module, "FILES", {}).items():
            if not file.endswith(".yaml"):
                continue
            shape = next(s for s in vars(module).values() if _holds(s, module.FILES))
            name = file.removesuffix(".yaml").replace("/", "-") + ".json"
            found[name] = _schema(shape.model_fields[field].annotation, f"knowledge/{file}")
    return found


def export_schema(folder: Path) -> list[Path]:
    """Write every schema into `folder` and return the files written; files that are no longer made are removed."""
    folder.mkdir(parents=True, exist_ok=True)
    wanted = {folder / name: text_of(schema) for name, schema in schemas().items()}
    for old in folder.glob("*.json"):
        if old not in wanted:
            old.unlink()
    for path, text in wanted.items():
        path.write_text(text, encoding="utf-8")
    return sorted(wanted)


def text_of(schema: dict[str, Any]) -> str:
    """Return a schema as the text it is kept in."""
    return json.dumps(schema, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


def _schema(shape: Any, title: str) -> dict[str, Any]:
    schema = TypeAdapter(shape).json_schema()
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = title
    return schema


def _holds(candidate: Any, files: dict[str, str]) -> bool:
    fields = getattr(candidate, "model_fields", None)
    return isinstance(candidate, type) and fields is not None and set(fields) == set(files)
