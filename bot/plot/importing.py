"""Read a record written by export, refusing anything that is not one with its file, line and field."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any, Literal

import yaml
from pydantic import AwareDatetime, ConfigDict, Field, TypeAdapter, ValidationError

from bot.facts.base import Shape
from bot.facts.loading import line_of
from bot.plot.errors import ImportFault
from bot.plot.events import KINDS, Event
from bot.plot.folding import Folder
from bot.plot.store import Store


class _Event(Shape):
    model_config = ConfigDict(str_strip_whitespace=False)  # what was typed comes back as it was typed

    seq: int = Field(ge=1)
    at: AwareDatetime
    author: str = Field(max_length=64)
    message: str = Field(min_length=1, max_length=96)
    kind: str
    day: date
    crop: str | None = None
    variety: str | None = None
    bed: str | None = None
    amount: float | None = None
    unit: str | None = Field(default=None, max_length=32)
    words: str = ""
    refs: list[int] = Field(default_factory=list)
    data: dict[str, Any] = Field(default_factory=dict)

    def event(self) -> Event:
        """Return it as an event."""
        values = {name: getattr(self, name) for name in type(self).model_fields}
        return Event(**{**values, "refs": tuple(self.refs)})


class _Record(Shape):
    format: Literal["riddle-record"]
    version: Literal[1]
    written: AwareDatetime
    plot: str
    people: dict[str, str]
    events: list[_Event]


@dataclass(frozen=True, slots=True)
class ReadRecord:
    """A record read from a file."""

    plot_id: str
    people: dict[str, str]
    events: tuple[Event, ...]


def read_record(path: Path) -> ReadRecord:
    """Read a record file. Raises ImportFault."""
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise ImportFault(path.name, 0, "", f"cannot be read: {getattr(error, 'strerror', None) or error}") from None
    try:
        value = json.loads(text)
    except (json.JSONDecodeError, RecursionError) as error:
        line = getattr(error, "lineno", 0)
        raise ImportFault(path.name, line, "", f"not valid JSON: {getattr(error, 'msg', error)}") from None
    try:
        record: _Record = TypeAdapter(_Record).validate_python(value)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        raise _fault(path, text, first["loc"], first["msg"]) from None
    events = tuple(row.event() for row in record.events) if _kinds_known(path, text, record) else ()
    _check_order(path, text, events)
    _check_folds(path, text, events)
    return ReadRecord(record.plot, record.people, events)


def import_record(store: Store, plot_id: str, path: Path, now: datetime) -> int:
    """Put a record file into an empty plot; return how many events it had. Raises ImportFault, changing nothing."""
    record = read_record(path)
    with store.turn(plot_id, now) as turn:
        if turn.plot.last_seq:
            raise ImportFault(
                path.name, 0, "", "this plot has records already; only an empty one can take in another's"
            )
        turn.restore(record.events)
    for person, name in record.people.items():
        store.members.join(plot_id, person, name, now)
    return len(record.events)


def _kinds_known(path: Path, text: str, record: _Record) -> bool:
    for n, row in enumerate(record.events):
        if row.kind not in KINDS:
            raise _fault(path, text, ("events", n, "kind"), f"no such kind of event: {row.kind!r}")
        if row.amount is not None and not math.isfinite(row.amount):
            raise _fault(path, text, ("events", n, "amount"), "not a number")
    return True


def _check_order(path: Path, text: str, events: tuple[Event, ...]) -> None:
    last = 0
    for n, event in enumerate(events):
        if event.seq <= last:
            raise _fault(path, text, ("events", n, "seq"), f"{event.seq} does not come after {last}")
        if any(not 0 < ref < event.seq for ref in event.refs):
            raise _fault(path, text, ("events", n, "refs"), "points at an event that is not before it")
        last = event.seq


def _check_folds(path: Path, text: str, events: tuple[Event, ...]) -> None:
    """Find the first event whose data the record cannot be built from."""
    try:
        whole = Folder("check")
        whole.extend(events)
        return
    except (TypeError, ValueError, KeyError, AttributeError):
        pass
    folder = Folder("check")
    for n, event in enumerate(events):
        try:
            folder.extend((event,))
        except (TypeError, ValueError, KeyError, AttributeError) as error:
            raise _fault(path, text, ("events", n, "data"), f"does not fit the kind {event.kind}: {error}") from None


def _fault(path: Path, text: str, location: tuple[int | str, ...], problem: str) -> ImportFault:
    try:
        tree = yaml.compose(text, Loader=yaml.CSafeLoader)  # JSON is YAML too, and YAML knows its lines
        line = line_of(tree, location)
    except yaml.YAMLError:
        line = 0
    return ImportFault(path.name, line, ".".join(str(part) for part in location), problem)
