"""The record on disk: one turn is kept whole or not at all, and no plot sees another's."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import select
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable

from bot.plot.connecting import reading
from bot.plot.errors import AlreadyDone, RecordError
from bot.plot.events import NewEvent
from bot.plot.folding import fold_events
from bot.plot.migrations import VERSION, migrate, version_of
from bot.plot.schema import events as events_table
from bot.plot.schema import tables
from bot.plot.store import Store, clock_trouble
from bot.plot.turn import Outgoing

NOW = datetime(2026, 6, 17, 8, tzinfo=UTC)
SOWN = NewEvent(
    "sown", date(2026, 6, 17), crop="pea", bed="bed-1", amount=2, unit="row", words="sowed peas", data={"rows": 2}
)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store.open(f"sqlite:///{tmp_path / 'riddle.db'}")
    yield store
    store.close()


def write(store: Store, plot: str, *events: NewEvent, message: str = "m1", author: str = "ines") -> None:
    with store.turn(plot, NOW) as turn:
        turn.append(events, author, message, NOW)


def test_what_is_written_is_read_back_the_same(store: Store) -> None:
    write(store, "home", SOWN, NewEvent("noted", date(2026, 6, 17), words="“ünïcode” 🌱 \n second line"))
    first, second = store.events("home")
    assert (
        first.kind,
        first.crop,
        first.bed,
        first.amount,
        first.unit,
        first.data,
        first.seq,
        first.at,
        first.author,
        first.message,
    ) == ("sown", "pea", "bed-1", 2, "row", {"rows": 2}, 1, NOW, "ines", "m1")
    assert second.words == "“ünïcode” 🌱 \n second line"
    assert store.plot("home") == fold_events("home", store.events("home"))


def test_a_turn_that_fails_keeps_nothing(store: Store) -> None:
    store.mail.receive(7, {"update_id": 7}, 1, NOW)
    with pytest.raises(ZeroDivisionError), store.turn("home", NOW) as turn:
        turn.append([SOWN], "ines", "m1", NOW)
        turn.queue(Outgoing(1, "reply", {"text": "x"}, reply_to=7))
        turn.remember("ines", {"a": 1})
        turn.finish_inbox(7)
        raise ZeroDivisionError
    assert store.events("home") == () and store.plot("home").last_seq == 0
    assert store.mail.due(NOW) == [] and store.mail.inbox_state(7) == "new" and store.recall("home", "ines") is None


def test_events_replies_and_done_mark_are_kept_together(store: Store) -> None:
    store.mail.receive(7, {"update_id": 7}, 1, NOW)
    with store.turn("home", NOW) as turn:
        turn.append([SOWN], "ines", "m1", NOW)
        turn.queue(Outgoing(1, "reply", {"text": "a"}, reply_to=7), Outgoing(1, "reply", {"text": "b"}, reply_to=7))
        turn.finish_inbox(7)
    assert [row.payload["text"] for row in store.mail.due(NOW)] == ["a", "b"]
    assert store.mail.inbox_state(7) == "done" and len(store.events("home")) == 1


def test_an_update_dealt_with_twice_has_one_effect(store: Store) -> None:
    store.mail.receive(7, {"update_id": 7}, 1, NOW)
    for attempt in range(2):
        try:
            with store.turn("home", NOW) as turn:
                turn.append([SOWN], "ines", f"other-{attempt}", NOW)
                turn.queue(Outgoing(1, "reply", {}, reply_to=7))
                turn.finish_inbox(7)
        except AlreadyDone:
            assert attempt == 1
    assert len(store.events("home")) == 1 and len(store.mail.due(NOW)) == 1


def test_two_statements_of_one_message_are_both_kept_and_its_replay_is_not(store: Store) -> None:
    with store.turn("home", NOW) as turn:
        turn.append([SOWN], "ines", "m1", NOW)
        turn.append([replace(SOWN, crop="kale")], "ines", "m1", NOW)
    with store.turn("home", NOW) as turn:
        assert turn.append([SOWN], "ines", "m1", NOW) == ()
    assert [e.crop for e in store.events("home")] == ["pea", "kale"]


@given(st.lists(st.tuples(st.sampled_from(["m1", "m2", "m3", "m4"]), st.integers(0, 3)), max_size=14))
def test_replaying_any_message_any_time_appends_nothing_twice(
    tmp_path_factory: pytest.TempPathFactory, arrivals: list[tuple[str, int]]
) -> None:
    store = Store.open(f"sqlite:///{tmp_path_factory.mktemp('replay') / 'r.db'}")
    first: dict[str, int] = {}
    for message, size in arrivals:
        write(store, "home", *[replace(SOWN, words=f"{message}.{n}") for n in range(size)], message=message)
        if size:
            first.setdefault(message, size)
    written = store.events("home")
    assert [e.seq for e in written] == list(range(1, len(written) + 1))
    assert {m: sum(e.message == m for e in written) for m in first} == first
    store.close()


def test_plots_never_see_each_other(store: Store) -> None:
    write(store, "ours", SOWN)
    write(store, "theirs", replace(SOWN, crop="kale", words="their secret"))
    assert [p.crop for p in store.plot("ours").plantings] == ["pea"]
    assert [e.crop for e in store.events("theirs")] == ["kale"]
    with store.turn("ours", NOW) as turn:
        turn.remember("ines", {"about": "ours"})
        button = turn.button(11, "bed 4")
    assert store.recall("theirs", "ines") is None
    assert store.mail.said_by_button(button, 11) == "bed 4" and store.mail.said_by_button(button, 12) is None


def test_a_second_process_is_seen(store: Store, tmp_path: Path) -> None:
    write(store, "home", SOWN)
    assert len(store.plot("home").plantings) == 1
    other = Store.open(f"sqlite:///{tmp_path / 'riddle.db'}")
    write(other, "home", replace(SOWN, crop="kale"), message="m2")
    assert [p.crop for p in store.plot("home").plantings] == ["pea", "kale"]
    with other.turn("home", NOW) as turn:
        turn.erase()
    assert store.plot("home").plantings == ()
    write(other, "home", replace(SOWN, crop="leek"), message="m3")
    assert [p.crop for p in store.plot("home").plantings] == ["leek"]
    other.close()


def test_the_promises_of_the_connection_hold(store: Store, tmp_path: Path) -> None:
    with reading(store.engine) as connection:
        found = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout", "secure_delete")
        }
    assert found == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "busy_timeout": 5000,
        "secure_delete": 1,
    }
    with store.turn("home", NOW):
        # The write lock is taken when the turn begins, before anything is written.
        other = sqlite3.connect(tmp_path / "riddle.db", timeout=0)
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("BEGIN IMMEDIATE")
        other.close()


def test_erasing_leaves_no_trace_on_the_disk_and_nothing_of_others_is_lost(store: Store, tmp_path: Path) -> None:
    secret = "quincunx-hedge-passage"
    store.members.link(5, "home", NOW)
    store.members.join("home", "tg:5", secret, NOW)
    store.mail.receive(9, {"text": secret}, 5, NOW)
    with store.turn("home", NOW) as turn:
        turn.append([replace(SOWN, words=secret)], "ines", "m1", NOW)
        turn.queue(Outgoing(5, "reply", {"text": secret}, reply_to=9))
        turn.remember("ines", {"said": secret})
        turn.button(5, secret)
        turn.finish_inbox(9)
    write(store, "other", replace(SOWN, crop="kale"))
    assert _on_disk(tmp_path, secret)
    with store.turn("home", NOW) as turn:
        turn.erase()
        turn.queue(Outgoing(5, "reply", {"text": "erased"}))
    assert not _on_disk(tmp_path, secret)
    assert store.events("home") == () and store.members.plot_of(5) is None and store.members.of_plot("home") == {}
    assert store.mail.inbox_state(9) == "done"  # so that its replay still does nothing
    assert [row.payload for row in store.mail.due(NOW)] == [{"text": "erased"}]
    assert len(store.events("other")) == 1


def _on_disk(folder: Path, text: str) -> bool:
    return any(text.encode() in path.read_bytes() for path in folder.iterdir() if path.is_file())


def test_backup_is_whole_and_can_be_restored(store: Store, tmp_path: Path) -> None:
    from bot.plot.upkeep import restore

    write(store, "home", SOWN)
    store.backup(tmp_path / "kept" / "backup.db")
    write(store, "home", replace(SOWN, crop="kale"), message="m2")
    store.close()
    restore(tmp_path / "kept" / "backup.db", tmp_path / "riddle.db")
    again = Store.open(f"sqlite:///{tmp_path / 'riddle.db'}")
    assert [e.crop for e in again.events("home")] == ["pea"] and again.check() == "ok"
    again.close()


def test_a_broken_backup_is_not_restored(store: Store, tmp_path: Path) -> None:
    from bot.plot.upkeep import restore

    write(store, "home", SOWN)
    store.close()
    bad = tmp_path / "bad.db"
    bad.write_bytes(b"no database at all" * 100)
    with pytest.raises(RecordError):
        restore(bad, tmp_path / "riddle.db")
    again = Store.open(f"sqlite:///{tmp_path / 'riddle.db'}")
    assert len(again.events("home")) == 1
    again.close()


def test_migrations_run_once_and_a_newer_record_is_left_alone(store: Store, tmp_path: Path) -> None:
    with store.engine.begin() as connection:
        assert version_of(connection) == VERSION and migrate(connection) == VERSION
        connection.exec_driver_sql("UPDATE about SET value = '99' WHERE key = 'schema_version'")
    with pytest.raises(RecordError, match="99") as caught:
        Store.open(f"sqlite:///{tmp_path / 'riddle.db'}")
    assert "newer Riddle" in caught.value.says


def test_the_tables_and_statements_are_good_postgresql_too() -> None:
    dialect = postgresql.dialect()
    made = {table.name: str(CreateTable(table).compile(dialect=dialect)) for table in tables.sorted_tables}
    assert "BIGINT" in made["chats"] and "BIGSERIAL" in made["outbox"] and "JSON" in made["events"]
    lock = select(events_table.c.seq).where(events_table.c.plot == "home").with_for_update()
    assert "FOR UPDATE" in str(lock.compile(dialect=dialect))


def test_a_clock_that_stands_before_the_last_record_is_said(store: Store) -> None:
    write(store, "home", SOWN)
    plot = store.plot("home")
    assert clock_trouble(plot, NOW + timedelta(days=400)) is None
    trouble = clock_trouble(plot, NOW - timedelta(days=3))
    assert trouble is not None and "2026-06-14" in trouble and "2026-06-17" in trouble and "Check the clock" in trouble


def test_records_keep_their_order_when_the_clock_jumps(store: Store) -> None:
    for n, at in enumerate((NOW, NOW - timedelta(days=400), NOW + timedelta(days=400))):
        with store.turn("home", at) as turn:
            turn.append([replace(SOWN, words=str(n))], "ines", f"m{n}", at)
    assert [e.words for e in store.events("home")] == ["0", "1", "2"]
    assert store.plot("home").written[-1].words == "2"


def test_a_time_without_a_zone_is_refused(store: Store) -> None:
    with pytest.raises(Exception, match="zone"), store.turn("home", NOW) as turn:
        turn.append([SOWN], "ines", "m1", datetime(2026, 6, 17, 8))
    assert store.events("home") == ()
