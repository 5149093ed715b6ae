"""Write a plot's whole record in open formats: JSON (all), CSV (journal, harvests, stores), iCalendar (the diary).

The JSON form, version 1, is our own and holds one object:
    format     "riddle-record"
    version    1
    written    when it was written, ISO time with zone
    plot       the plot's id
    people     names by person id
    events     every event as it was written, undone ones too, oldest first. Each has seq, at, author, message, kind and
               day; crop, variety, bed, amount, unit, words, refs and data where they say something. Masses are in kg,
               volumes in litres, lengths in metres; `data` keys are those of plot/folding.py.
The CSV files and the calendar are for reading elsewhere; only the JSON is read back.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from bot.plot.errors import RecordReadOnly
from bot.plot.events import KINDS, Event
from bot.plot.folding import fold_events
from bot.plot.state import Plot

FORMAT, VERSION = "riddle-record", 1
RECORD_FILE = "record.json"


def record_of(plot_id: str, events: Iterable[Event], people: Mapping[str, str], written: datetime) -> dict[str, Any]:
    """Return the whole record as plain values."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "written": written.isoformat(),
        "plot": plot_id,
        "people": dict(people),
        "events": [_event(event) for event in events],
    }


def _event(event: Event) -> dict[str, Any]:
    return {
        "seq": event.seq,
        "at": event.at.isoformat() if event.at else None,
        "author": event.author,
        "message": event.message,
        **event.as_json(),
    }


def write_export(
    folder: Path, plot_id: str, events: Sequence[Event], people: Mapping[str, str], written: datetime
) -> list[Path]:
    """Write all files of an export into a folder and return their paths. Raises RecordReadOnly."""
    plot = fold_events(plot_id, events)
    record = record_of(plot_id, events, people, written)
    contents = {
        # One event a line, so that a fault can be found by its line and two exports compared.
        RECORD_FILE: _lines(record),
        "journal.csv": _csv(journal_rows(plot, events)),
        "harvests.csv": _csv(harvest_rows(plot)),
        "stores.csv": _csv(store_rows(plot)),
        "diary.ics": calendar(plot, written),
    }
    try:
        folder.mkdir(parents=True, exist_ok=True)
        paths = []
        for name, text in contents.items():
            path = folder / name
            path.write_text(text, encoding="utf-8", newline="")
            paths.append(path)
    except OSError as error:
        raise RecordReadOnly(f"{folder}: {error.strerror or error}") from None
    return paths


def _lines(record: dict[str, Any]) -> str:
    head = {key: value for key, value in record.items() if key != "events"}
    start = json.dumps(head, ensure_ascii=False, indent=1)[:-2]
    rows = ",\n".join("  " + json.dumps(row, ensure_ascii=False) for row in record["events"])
    return f'{start},\n "events": [\n{rows}\n ]\n}}\n'


def journal_rows(plot: Plot, events: Sequence[Event]) -> list[list[Any]]:
    """Return the journal as rows under a heading; what was taken back is marked."""
    live = {event.seq for event in plot.written}
    rows: list[list[Any]] = [
        [
            "seq",
            "day",
            "kind",
            "crop",
            "variety",
            "bed",
            "amount",
            "unit",
            "words",
            "author",
            "written_at",
            "about",
            "data",
            "taken_back",
        ]
    ]
    for e in events:
        taken_back = "" if e.seq in live or e.kind == "undone" else "yes"
        rows.append(
            [
                e.seq,
                e.day.isoformat(),
                e.kind,
                e.crop,
                e.variety,
                e.bed,
                e.amount,
                e.unit,
                e.words,
                e.author,
                e.at.isoformat() if e.at else "",
                " ".join(map(str, e.refs)),
                json.dumps(e.data, ensure_ascii=False) if e.data else "",
                taken_back,
            ]
        )
    return rows


def harvest_rows(plot: Plot) -> list[list[Any]]:
    """Return every picking as rows under a heading."""
    varieties = {planting.id: planting.variety for planting in plot.plantings}
    rows: list[list[Any]] = [["day", "crop", "variety", "bed", "kg", "amount", "unit", "words"]]
    for h in sorted(plot.harvests, key=lambda harvest: (harvest.day, harvest.seq)):
        rows.append([h.day.isoformat(), h.crop, varieties.get(h.planting or 0), h.bed, h.kg, h.amount, h.unit, h.words])
    return rows


def store_rows(plot: Plot) -> list[list[Any]]:
    """Return every lot of the stores, used-up ones too, as rows under a heading."""
    rows: list[list[Any]] = [
        ["made", "crop", "product", "method", "made_count", "left", "unit", "kg", "where", "best_before", "words"]
    ]
    for lot in plot.lots:
        rows.append(
            [
                lot.made.isoformat(),
                lot.crop,
                lot.product,
                lot.method,
                lot.made_count,
                lot.left,
                lot.unit,
                lot.kg,
                lot.where,
                lot.best_before.isoformat() if lot.best_before else "",
                lot.words,
            ]
        )
    return rows


def _csv(rows: list[list[Any]]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows([[_cell(value) for value in row] for row in rows])
    return out.getvalue()


def _cell(value: Any) -> Any:
    """Keep a spreadsheet from running what a gardener typed: text that starts as a formula gets an apostrophe."""
    if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return "'" + value
    return "" if value is None else value


def calendar(plot: Plot, written: datetime) -> str:
    """Return the diary as an iCalendar file: one all-day entry a record."""
    from icalendar import Calendar
    from icalendar import Event as Entry

    diary = Calendar()
    diary.add("prodid", "-//Riddle//garden diary//EN")
    diary.add("version", "2.0")
    for event in plot.journal:
        if event.kind in ("plot_set", "bed_added", "bed_set", "person_added", "person_removed", "stock_set"):
            continue
        entry = Entry()
        entry.add("uid", f"{plot.id}-{event.seq}@riddle")
        entry.add("dtstamp", event.at or written)
        entry.add("dtstart", event.day)
        entry.add("dtend", event.day + timedelta(days=1))
        crop = event.crop.replace("-", " ") if event.crop else ""
        bed = plot.beds[event.bed].name if event.bed in plot.beds else event.bed or ""
        entry.add("summary", ", ".join(part for part in (event.kind.replace("_", " "), crop, bed) if part))
        entry.add("description", event.words or KINDS[event.kind])
        entry.add("transp", "TRANSPARENT")
        diary.add_component(entry)
    return bytes(diary.to_ical()).decode("utf-8")
