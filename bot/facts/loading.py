"""Read YAML and CSV files of knowledge into models, collecting every fault with its file and line."""

from __future__ import annotations

import csv
import io
from collections.abc import Hashable
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar, cast

import yaml
from pydantic import TypeAdapter, ValidationError

from bot.facts.cache import Cache
from bot.facts.errors import Fault, KnowledgeError
from bot.facts.explain import plain_message

T = TypeVar("T")
_BaseLoader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _StrictLoader(_BaseLoader):  # type: ignore[misc]
    """The safe C loader, refusing duplicate and non-text keys: both hide mistakes in hand-kept files."""


def _mapping(loader: Any, node: yaml.MappingNode) -> dict[str, Any]:
    result: dict[str, Any] = {}
    for key_node, value_node in node.value:
        key: Hashable = loader.construct_object(key_node, deep=True)
        if not isinstance(key, str):
            raise yaml.constructor.ConstructorError(
                None, None, f"the key {key!r} is not text: put it in quotes", key_node.start_mark
            )
        if key in result:
            raise yaml.constructor.ConstructorError(None, None, f"the key {key!r} stands twice", key_node.start_mark)
        result[key] = loader.construct_object(value_node, deep=True)
    return result


_StrictLoader.add_constructor(yaml.resolver.BaseResolver.DEFAULT_MAPPING_TAG, _mapping)


def read_yaml(path: Path, root: Path) -> Any:
    """Return the plain value of a YAML file. Raises KnowledgeError naming file and line."""
    return _parse(_name(path, root), _bytes(path, root))


def read_all(paths: list[Path], root: Path, cache: Cache | None = None) -> tuple[dict[Path, Any], list[Fault]]:
    """Return the plain values of several YAML files, remembered together, and the faults of the unreadable ones."""
    cache = cache or Cache(None)
    faults: list[Fault] = []
    contents: dict[Path, bytes] = {}
    for path in paths:
        try:
            contents[path] = _bytes(path, root)
        except KnowledgeError as error:
            faults += error.faults
    key = cache.key([(_name(path, root), content) for path, content in contents.items()])
    known = cache.get(key)
    if isinstance(known, list) and len(known) == len(contents):
        return dict(zip(contents, known, strict=True)), faults
    values: dict[Path, Any] = {}
    for path, content in contents.items():
        try:
            values[path] = _parse(_name(path, root), content)
        except KnowledgeError as error:
            faults += error.faults
    if len(values) == len(paths):
        cache.put(key, list(values.values()))
    return values, faults


def load(path: Path, shape: type[T] | Any, root: Path) -> T:
    """Load one YAML file (or a CSV, as a list of rows) as `shape`: a model, or list[Model], or dict[str, Model]."""
    value = read_csv(path, root) if path.suffix == ".csv" else read_yaml(path, root)
    fitted: T = shaped(value, path, shape, root)
    return fitted


def shaped(value: Any, path: Path, shape: type[T] | Any, root: Path) -> T:
    """Validate the plain value of a file. Raises KnowledgeError with file, line, field and what is allowed."""
    try:
        checked: Any = TypeAdapter(shape).validate_python(value)
        return cast(T, checked)
    except ValidationError as error:
        raise KnowledgeError(_faults(error, path, shape, root)) from None


def line_in(path: Path, *location: int | str) -> int:
    """Return the line of a field in a YAML file, 0 when the file cannot be read."""
    try:
        tree = _tree(path, path.stat().st_mtime_ns)
    except (OSError, UnicodeDecodeError, yaml.YAMLError):
        return 0
    return line_of(tree, location) if tree is not None else 0


@lru_cache(maxsize=8)
def _tree(path: Path, _changed: int) -> Any:
    return yaml.compose(path.read_text(encoding="utf-8"), Loader=_BaseLoader)


def _bytes(path: Path, root: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise KnowledgeError([Fault(_name(path, root), 0, "", f"cannot be read: {error.strerror or error}")]) from None


def _decoded(name: str, content: bytes) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise KnowledgeError([Fault(name, line, "", "is not UTF-8 text: save the file as UTF-8")]) from None


def _parse(name: str, content: bytes) -> Any:
    text = _decoded(name, content)
    try:
        return yaml.load(text, Loader=_StrictLoader)  # noqa: S506 (a SafeLoader subclass)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        line = mark.line + 1 if mark else 0
        problem = getattr(error, "problem", None) or str(error)
        raise KnowledgeError([Fault(name, line, "", f"not valid YAML: {problem}")]) from None


def read_csv(path: Path, root: Path) -> list[dict[str, str | None]]:
    """Return the rows of a CSV file; empty cells are None. Raises KnowledgeError naming the file."""
    text = _decoded(_name(path, root), _bytes(path, root))
    return [
        {k: (v if v != "" else None) for k, v in row.items()} for row in csv.DictReader(io.StringIO(text, newline=""))
    ]


def _faults(error: ValidationError, path: Path, shape: Any, root: Path) -> list[Fault]:
    faults = []
    tree = _tree(path, path.stat().st_mtime_ns) if path.suffix != ".csv" else None
    for item in error.errors(include_url=False):
        line = line_of(tree, item["loc"]) if tree is not None else csv_line(item["loc"])
        field = ".".join(str(part) for part in item["loc"])
        faults.append(Fault(_name(path, root), line, field, plain_message(dict(item), shape)))
    return faults


def line_of(node: Any, location: tuple[int | str, ...]) -> int:
    """Find the line of the deepest part of `location` that the file has."""
    line: int = node.start_mark.line + 1
    for part in location:
        if isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                if key.value == str(part):
                    line, node = key.start_mark.line + 1, value
                    break
            else:
                break
        elif isinstance(node, yaml.SequenceNode) and isinstance(part, int) and part < len(node.value):
            node = node.value[part]
            line = node.start_mark.line + 1
        else:
            continue
    return line


def csv_line(location: tuple[int | str, ...]) -> int:
    """Return the line of a row of a CSV file, its head being line 1; 0 when the place is no row."""
    return location[0] + 2 if location and isinstance(location[0], int) else 0


def _name(path: Path, root: Path) -> str:
    try:
        return path.relative_to(root).as_posix()
    except ValueError:
        return path.name
