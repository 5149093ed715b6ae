"""The same store on a PostgreSQL server, where one is installed: a throw-away cluster, talked to over its socket."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from bot.plot.demo import demo_events
from bot.plot.errors import AlreadyDone, RecordMissing
from bot.plot.events import NewEvent
from bot.plot.export import write_export
from bot.plot.importing import import_record
from bot.plot.store import Store
from bot.plot.turn import Outgoing

pytest.importorskip("psycopg")
pytestmark = pytest.mark.skipif(shutil.which("initdb") is None, reason="no PostgreSQL server is installed")

NOW = datetime(2026, 6, 17, 8, tzinfo=UTC)
NOTE = NewEvent("noted", date(2026, 6, 17), words="rain")


@pytest.fixture(scope="module")
def url() -> Iterator[str]:
    """Start a server of our own in a new folder, and stop it again."""
    folder = Path(tempfile.mkdtemp(prefix="riddle-pg-"))
    # The server refuses to run as the superuser.
    user = _someone_else() if os.getuid() == 0 else None
    if user is not None:
        os.chown(folder, user, -1)

    def run(*command: str) -> None:
        subprocess.run(command, check=True, capture_output=True, user=user, cwd=folder)

    run("initdb", "-D", str(folder / "data"), "-U", "riddle", "-A", "trust", "--no-sync")
    try:
        run(
            "pg_ctl",
            "-D",
            str(folder / "data"),
            "-w",
            "-l",
            str(folder / "log"),
            "-o",
            f"-k {folder} -h '' -p 54331",
            "start",
        )
        yield f"postgresql+psycopg://riddle@/postgres?host={folder}&port=54331"
    finally:
        subprocess.run(
            ["pg_ctl", "-D", str(folder / "data"), "-m", "immediate", "stop"],
            user=user,
            cwd=folder,
            capture_output=True,
            check=False,
        )
        shutil.rmtree(folder, ignore_errors=True)


def _someone_else() -> int:
    names = {entry.pw_name: entry.pw_uid for entry in pwd.getpwall()}
    return names.get("postgres", names.get("nobody", 65534))


@pytest.fixture
def store(url: str) -> Iterator[Store]:
    store = Store.open(url)
    yield store
    with store.engine.begin() as connection:
        connection.exec_driver_sql("TRUNCATE plots, inbox, outbox, buttons, forecasts CASCADE")
    store.close()


def test_a_turn_is_kept_whole_and_its_replay_does_nothing(store: Store) -> None:
    big = -1_001_234_567_890_123
    store.mail.receive(7, {"update_id": 7}, big, NOW)
    assert not store.mail.receive(7, {}, big, NOW)
    for attempt in range(2):
        try:
            with store.turn("home", NOW) as turn:
                turn.append([replace(NOTE, words="“ünïcode” 🌱 \x00")], "ines", f"m{attempt}", NOW)
                turn.queue(Outgoing(big, "reply", {"text": "kept"}, reply_to=7))
                turn.remember("ines", {"about": attempt})
                turn.finish_inbox(7)
        except AlreadyDone:
            assert attempt == 1
    assert [(e.seq, e.words, e.at) for e in store.events("home")] == [(1, "“ünïcode” 🌱 ", NOW)]
    (due,) = store.mail.due(NOW)
    assert due.chat == big and store.mail.sending(due.id) and not store.mail.sending(due.id)
    assert store.recall("home", "ines") == {"about": 0} and store.mail.inbox_state(7) == "done"


def test_turns_at_once_on_one_plot_queue_up(url: str, store: Store) -> None:
    other = Store.open(url)

    def write(where: Store, name: str) -> None:
        for n in range(20):
            with where.turn("home", NOW) as turn:
                turn.append([NOTE], name, f"{name}-{n}", NOW)

    threads = [threading.Thread(target=write, args=(where, name)) for where, name in ((store, "a"), (other, "b"))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [e.seq for e in store.events("home")] == list(range(1, 41))
    other.close()


def test_the_whole_record_goes_out_comes_back_and_is_erased(store: Store, tmp_path: Path) -> None:
    with store.turn("home", NOW) as turn:
        turn.restore(demo_events(date(2026, 6, 17)))
    write_export(tmp_path, "home", store.events("home"), {"ines": "Ines"}, NOW)
    assert import_record(store, "again", tmp_path / "record.json", NOW) == len(store.events("home"))
    assert store.events("again") == store.events("home") and store.plot("again").beds == store.plot("home").beds
    with store.turn("home", NOW) as turn:
        turn.erase()
    assert store.events("home") == () and store.plot("again").plantings


def test_a_server_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(RecordMissing):
        Store.open(f"postgresql+psycopg://riddle@/postgres?host={tmp_path}&port=1")
