"""Export and import: the whole record goes out and comes back equal, and nothing else gets in."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.plot.demo import demo_events
from bot.plot.errors import ImportFault, RecordReadOnly
from bot.plot.events import KINDS, NewEvent
from bot.plot.export import record_of, write_export
from bot.plot.importing import import_record, read_record
from bot.plot.store import Store

NOW = datetime(2026, 6, 17, 8, tzinfo=UTC)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store.open(f"sqlite:///{tmp_path / 'riddle.db'}")
    yield store
    store.close()


def laid(store: Store, plot: str = "home") -> Path:
    """Lay the demo's record in a plot and return the folder of its export."""
    with store.turn(plot, NOW) as turn:
        turn.restore(demo_events(date(2026, 6, 17)))
    store.members.join(plot, "ines", "Ines", NOW)
    folder = Path(str(store.engine.url.database)).parent / f"export-{plot}"
    write_export(folder, plot, store.events(plot), store.members.of_plot(plot), NOW)
    return folder


def test_the_whole_record_goes_out_and_comes_back_equal(store: Store) -> None:
    folder = laid(store)
    count = import_record(store, "again", folder / "record.json", NOW)
    assert count == len(store.events("home")) > 200
    assert store.events("again") == store.events("home")
    assert store.members.of_plot("again") == {"ines": "Ines"}
    there, here = store.plot("again"), store.plot("home")
    assert (there.beds, there.plantings, there.lots, there.harvests) == (
        here.beds,
        here.plantings,
        here.lots,
        here.harvests,
    )


def test_undone_and_corrected_records_go_out_too(store: Store) -> None:
    with store.turn("home", NOW) as turn:
        turn.append([NewEvent("sown", date(2026, 6, 17), crop="pea")], "ines", "m1", NOW)
        turn.append([NewEvent("undone", date(2026, 6, 17), refs=(1,))], "ines", "m2", NOW)
    folder = Path(str(store.engine.url.database)).parent
    write_export(folder, "home", store.events("home"), {}, NOW)
    import_record(store, "again", folder / "record.json", NOW)
    assert store.events("again") == store.events("home") and store.plot("again").plantings == ()
    rows = list(csv.DictReader((folder / "journal.csv").open(encoding="utf-8")))
    assert [(r["kind"], r["taken_back"]) for r in rows] == [("sown", "yes"), ("undone", "")]


def test_a_record_goes_only_into_an_empty_plot(store: Store) -> None:
    folder = laid(store)
    with pytest.raises(ImportFault, match="has records already"):
        import_record(store, "home", folder / "record.json", NOW)


def test_the_tables_open_in_a_spreadsheet_and_add_up(store: Store) -> None:
    folder = laid(store)
    plot = store.plot("home")
    harvests = list(csv.DictReader((folder / "harvests.csv").open(encoding="utf-8")))
    assert len(harvests) == len(plot.harvests)
    assert sum(float(r["kg"]) for r in harvests if r["kg"]) == pytest.approx(sum(h.kg or 0 for h in plot.harvests))
    stores = list(csv.DictReader((folder / "stores.csv").open(encoding="utf-8")))
    assert {(r["crop"], float(r["left"])) for r in stores} == {(lot.crop, lot.left) for lot in plot.lots}


def test_what_looks_like_a_formula_stays_text(store: Store, tmp_path: Path) -> None:
    with store.turn("home", NOW) as turn:
        turn.append([NewEvent("noted", date(2026, 6, 17), words='=HYPERLINK("http://x")')], "ines", "m1", NOW)
    write_export(tmp_path / "out", "home", store.events("home"), {}, NOW)
    (row,) = csv.DictReader((tmp_path / "out" / "journal.csv").open(encoding="utf-8"))
    assert row["words"].startswith("'=")


def test_the_diary_is_a_calendar(store: Store) -> None:
    from icalendar import Calendar

    folder = laid(store)
    diary = Calendar.from_ical((folder / "diary.ics").read_bytes())
    entries = list(diary.walk("VEVENT"))
    assert len(entries) == sum(
        e.kind not in ("plot_set", "bed_added", "bed_set", "person_added", "person_removed", "stock_set")
        for e in store.plot("home").journal
    )
    assert any("runner bean" in str(e["summary"]) and e["dtstart"].dt == date(2026, 5, 31) for e in entries)


def test_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(RecordReadOnly):
        write_export(tmp_path / "file" / "out", "home", (), {}, NOW)


def _with_second_event(**changes: Any) -> dict[str, Any]:
    record = record_of("home", demo_events(date(2026, 6, 17))[:4], {}, NOW)
    record["events"][1].update(changes)
    return record


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"kind": "sowed"}, "events.1.kind", "no such kind"),
        ({"day": "2026-13-01"}, "events.1.day", "valid date"),
        ({"seq": 1}, "events.1.seq", "does not come after"),
        ({"seq": 0}, "events.1.seq", "greater than or equal to 1"),
        ({"at": "2026-06-17T08:00:00"}, "events.1.at", "timezone"),
        ({"refs": [2]}, "events.1.refs", "not before it"),
        ({"amount": "lots"}, "events.1.amount", "valid number"),
        ({"colour": "red"}, "events.1.colour", "Extra inputs"),
        ({"message": ""}, "events.1.message", "at least 1"),
        ({"kind": "plot_set", "data": {"place": {"north": 45}}}, "events.1.data", "does not fit the kind plot_set"),
        ({"kind": "preserved", "data": {"best_before": "soon"}}, "events.1.data", "does not fit the kind preserved"),
    ],
)
def test_a_wrong_record_is_refused_by_file_line_and_field(
    store: Store, tmp_path: Path, changes: dict[str, Any], field: str, said: str
) -> None:
    file = tmp_path / "record.json"
    file.write_text(json.dumps(_with_second_event(**changes), indent=1))
    with pytest.raises(ImportFault) as caught:
        import_record(store, "home", file, NOW)
    assert caught.value.field == field and said in caught.value.problem
    assert str(caught.value).startswith(f"record.json:{caught.value.line}: {field}: ") and "\n" not in str(caught.value)
    lines = file.read_text().splitlines()
    second = [n for n, line in enumerate(lines, 1) if '"seq"' in line][1]
    assert second - 1 <= caught.value.line < second + 14
    assert store.events("home") == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [("", "not valid JSON"), ("{", "not valid JSON"), ("[1]", "record.json"), ('{"format": "other"}', "riddle-record")],
)
def test_a_file_that_is_no_record_is_refused(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "record.json").write_text(text)
    with pytest.raises(ImportFault, match=said):
        read_record(tmp_path / "record.json")
    with pytest.raises(ImportFault, match="cannot be read"):
        read_record(tmp_path / "missing.json")


_text = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\x00"), max_size=30)
_id = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\x00"), min_size=1, max_size=20)
_events = st.builds(
    NewEvent,
    st.sampled_from([kind for kind in KINDS if kind not in ("undone", "corrected", "plot_set")]),
    st.dates(date(2020, 1, 1), date(2030, 1, 1)),
    crop=st.none() | _id,
    bed=st.none() | _id,
    words=_text,
    amount=st.none() | st.floats(-1e6, 1e6),
    data=st.dictionaries(st.sampled_from(["note", "by"]), _text),
)


@settings(max_examples=30)
@given(st.lists(_events, max_size=8))
def test_any_record_comes_back_equal(tmp_path_factory: pytest.TempPathFactory, new: list[NewEvent]) -> None:
    folder = tmp_path_factory.mktemp("round")
    store = Store.open(f"sqlite:///{folder / 'r.db'}")
    with store.turn("home", NOW) as turn:
        turn.append(new, "ines", "m1", NOW)
    write_export(folder, "home", store.events("home"), {}, NOW)
    import_record(store, "again", folder / "record.json", NOW)
    assert store.events("again") == store.events("home")
    store.close()
