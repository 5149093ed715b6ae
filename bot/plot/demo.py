"""The demo plot: an invented record, moved by whole years so that it is always this season's.

The records cover one growing year, at every point of which about five months or more lie behind. They are moved so that
`today` falls in that year, and what would lie ahead is left out: whatever the day, the plot has just been worked in.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from pydantic import Field

from bot.facts.base import Id, Shape
from bot.facts.errors import Fault, KnowledgeError
from bot.facts.loading import load
from bot.facts.paths import shipped
from bot.plot.events import KINDS, Event, NewEvent
from bot.plot.starting import PlotFile, read_plot_file, starting_events
from bot.settings import Settings, load_settings

FILE = "records.yaml"
#: The last day of the year of records that `today` is made to fall in, month and day; records end about here.
TURN = (10, 10)
HALF_YEAR = timedelta(weeks=26)


class Record(Shape):
    """One line of records.yaml."""

    day: date
    kind: str
    crop: Id | None = None
    variety: str | None = None
    bed: Id | None = None
    method: str | None = None
    count: int | None = Field(default=None, gt=0)
    row_m: float | None = Field(default=None, gt=0)
    area_m2: float | None = Field(default=None, gt=0)
    kg: float | None = Field(default=None, gt=0)
    amount: float | None = None
    unit: str | None = None
    product: str | None = None
    where: str | None = None
    best_before: date | None = None
    year: int | None = None
    source: str | None = None
    pest: str | None = None
    material: str | None = None
    lots: list[tuple[str, float]] = Field(default_factory=list)
    label: str | None = None
    words: str = ""
    by: Id


def demo_folder() -> Path:
    """Return the folder of the shipped demo."""
    return shipped("demo_config")


def demo_settings() -> Settings:
    """Return the demo's settings."""
    return load_settings(demo_folder())


def demo_events(today: date, folder: Path | None = None, *, southern: bool = False) -> tuple[Event, ...]:
    """Return the demo's whole record as it stands on the morning of `today`, ready for `Turn.restore`.

    South of the equator everything stands half a year later, so that beans are still picked in autumn.
    Raises KnowledgeError naming file, line and field when the files are broken.
    """
    if southern:
        return tuple(_later(event) for event in demo_events(today - HALF_YEAR, folder))
    folder = folder or demo_folder()
    settings, file = load_settings(folder), read_plot_file(folder)
    records: list[Record] = load(folder / FILE, list[Record], folder)
    _check(records, file)
    years = years_to_move(records[-1].day.year if records else today.year, today)
    moved = sorted((moved_by(record, years) for record in records), key=lambda record: record.day)
    moved = [record for record in moved if record.day < today]
    first_day = moved[0].day if moved else today
    author = file.people[0].id if file.people else "me"
    numbered = [
        _event(new, seq, author, f"demo-start-{seq}")
        for seq, new in enumerate(starting_events(settings, file, first_day), 1)
    ]
    labels: dict[str, int] = {}
    for seq, record in enumerate(moved, len(numbered) + 1):
        if record.label:
            labels[record.label] = seq
        numbered.append(_event(_new(record, labels), seq, record.by, f"demo-{seq}"))
    return tuple(numbered)


def years_to_move(last_year: int, today: date) -> int:
    """Return by how many years records ending in `last_year` move for `today` to fall into their last growing year.

    >>> years_to_move(2025, date(2026, 3, 20)), years_to_move(2025, date(2026, 11, 1))
    (1, 2)
    """
    ends = today.year if (today.month, today.day) <= TURN else today.year + 1
    return ends - last_year


def moved_by(record: Record, years: int) -> Record:
    """Return a record with all its days and years moved."""
    changes: dict[str, Any] = {"day": _moved(record.day, years)}
    if record.best_before:
        changes["best_before"] = _moved(record.best_before, years)
    if record.year:
        changes["year"] = record.year + years
    return record.model_copy(update=changes)


def _moved(day: date, years: int) -> date:
    return day.replace(year=day.year + years)  # no record stands on 29 February: _check sees to it


def _new(record: Record, labels: dict[str, int]) -> NewEvent:
    data: dict[str, Any] = {
        name: getattr(record, name)
        for name in ("method", "count", "row_m", "area_m2", "product", "where", "year", "source", "pest", "material")
        if getattr(record, name) is not None
    }
    amount, unit = record.amount, record.unit
    if record.best_before:
        data["best_before"] = record.best_before.isoformat()
    if record.lots:
        data["lots"] = [[labels[label], taken] for label, taken in record.lots]
    if record.kg is not None and record.kind == "harvested":
        amount, unit = record.kg, "kg"
    elif record.kg is not None:
        data["kg"] = record.kg
    return NewEvent(
        record.kind,
        record.day,
        crop=record.crop,
        variety=record.variety,
        bed=record.bed,
        amount=amount,
        unit=unit,
        words=record.words,
        data=data,
    )


def _later(event: Event) -> Event:
    data = event.data
    if "best_before" in data:
        data = {**data, "best_before": (date.fromisoformat(data["best_before"]) + HALF_YEAR).isoformat()}
    return replace(event, day=event.day + HALF_YEAR, at=event.at + HALF_YEAR if event.at else None, data=data)


def _event(new: NewEvent, seq: int, author: str, message: str) -> Event:
    at = datetime.combine(new.day, time(6), UTC)
    return Event(
        new.kind,
        new.day,
        new.crop,
        new.variety,
        new.bed,
        new.amount,
        new.unit,
        new.words,
        new.refs,
        new.data,
        seq=seq,
        at=at,
        author=author,
        message=message,
    )


def _check(records: list[Record], file: PlotFile) -> None:
    """Check what the shape cannot: kinds, beds, people and lots exist, days run on, none is 29 February."""
    beds, people = {bed.id for bed in file.beds}, {person.id for person in file.people}
    labels: set[str] = set()
    faults = []
    for n, record in enumerate(records):
        wrong = ""
        if record.kind not in KINDS:
            wrong = f"kind: no such kind {record.kind!r}"
        elif record.bed and record.bed not in beds:
            wrong = f"bed: {record.bed!r} is not in plot.yaml"
        elif record.by not in people:
            wrong = f"by: {record.by!r} is not in plot.yaml"
        elif (record.day.month, record.day.day) == (2, 29):
            wrong = "day: 29 February cannot be moved by a year"
        elif strays := [label for label, _ in record.lots if label not in labels]:
            wrong = f"lots: {strays[0]!r} was not made before"
        if record.label:
            labels.add(record.label)
        if wrong:
            faults.append(Fault(FILE, 0, f"{n}", wrong))
    if faults:
        raise KnowledgeError(faults)
