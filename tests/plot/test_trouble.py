"""What goes wrong with a disk, and the words the gardener sees. Each trouble is a real one, none is pretended."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from sqlalchemy import event

from bot.plot.errors import (
    RecordBroken,
    RecordBusy,
    RecordError,
    RecordFull,
    RecordMissing,
    RecordReadOnly,
    named,
)
from bot.plot.events import NewEvent
from bot.plot.store import Store

NOW = datetime(2026, 6, 17, 8, tzinfo=UTC)
NOTE = NewEvent("noted", date(2026, 6, 17), words="x")


def write(store: Store, words: str, message: str) -> None:
    with store.turn("home", NOW) as turn:
        turn.append([replace(NOTE, words=words)], "ines", message, NOW)


def test_disk_full(tmp_path: Path) -> None:
    store = Store.open(f"sqlite:///{tmp_path / 'r.db'}")
    write(store, "before", "m0")
    store.engine.dispose()

    def small_disk(connection: sqlite3.Connection, _record: object) -> None:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count={pages + 2}")

    event.listen(store.engine, "connect", small_disk)
    with pytest.raises(RecordFull) as caught:
        write(store, "a long note " * 20_000, "m1")
    assert (
        "disk" in caught.value.says and "full" in caught.value.says and "nothing was written down" in caught.value.says
    )
    assert [e.words for e in store.events("home")] == ["before"] and store.check() == "ok"
    store.close()


def test_locked_by_another_program(tmp_path: Path) -> None:
    store = Store.open(f"sqlite:///{tmp_path / 'r.db'}", busy_ms=50)
    other = sqlite3.connect(tmp_path / "r.db")
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(RecordBusy) as caught:
        write(store, "x", "m1")
    assert "in use by another program" in caught.value.says and "again" in caught.value.says
    assert store.plot("home").last_seq == 0  # reading goes on meanwhile
    other.rollback()
    write(store, "x", "m1")
    assert len(store.events("home")) == 1
    other.close()
    store.close()


def test_a_database_that_may_only_be_read(tmp_path: Path) -> None:
    store = Store.open(f"sqlite:///{tmp_path / 'r.db'}")
    write(store, "kept", "m0")
    store.close()
    store = Store.open(f"sqlite:///file:{tmp_path / 'r.db'}?mode=ro&uri=true")
    with pytest.raises(RecordReadOnly) as caught:
        write(store, "x", "m1")
    assert [e.words for e in store.events("home")] == ["kept"]  # looking things up still works
    store.close()
    assert "not write" in caught.value.says and "Nothing was written down" in caught.value.says


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs another user's rights")
def test_a_folder_that_may_only_be_read() -> None:
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o555)
    receive, send = os.pipe()
    child = os.fork()
    if child == 0:  # pragma: no cover
        said = "opened"
        try:
            if os.getuid() == 0:
                os.setuid(65534)  # the superuser may write anywhere: be nobody
            Store.open(f"sqlite:///{folder / 'deeper' / 'r.db'}")
        except RecordError as error:
            said = f"{type(error).__name__}: {error.says}"
        finally:
            os.write(send, said.encode())
            os._exit(0)
    os.close(send)
    os.waitpid(child, 0)
    said = os.read(receive, 4000).decode()
    folder.chmod(0o755)
    folder.rmdir()
    assert said.startswith("RecordReadOnly: ") and "check who may write in its folder" in said


def test_a_damaged_file(tmp_path: Path) -> None:
    path = tmp_path / "r.db"
    path.write_bytes(b"this was a garden record once " * 200)
    before = path.read_bytes()
    with pytest.raises(RecordBroken) as caught:
        Store.open(f"sqlite:///{path}")
    assert "damaged" in caught.value.says and "backup" in caught.value.says
    assert path.read_bytes() == before  # it is not touched


def test_damage_found_later_is_named_too(tmp_path: Path) -> None:
    path = tmp_path / "r.db"
    store = Store.open(f"sqlite:///{path}")
    for n in range(40):
        write(store, "words " * 300, f"m{n}")
    store.close()
    raw = bytearray(path.read_bytes())
    for at in range(4096 * 3, len(raw), 4096):
        raw[at : at + 600] = os.urandom(600)
    path.write_bytes(raw)
    with pytest.raises(RecordBroken):
        damaged = Store.open(f"sqlite:///{path}")
        damaged.events("home")


def test_a_folder_that_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(RecordMissing) as caught:
        Store.open(f"sqlite:///{tmp_path / 'file' / 'r.db'}")
    assert "cannot open your record" in caught.value.says


@pytest.mark.parametrize("url", ["", "nonsense", "sqlite://", "sqlite:///:memory:", "nosuchdb://host/x"])
def test_a_database_url_that_is_none(url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    if not url:
        Store.open(url).close()  # none given: the user's own data folder
        assert (tmp_path / "riddle" / "riddle.db").is_file()
        return
    with pytest.raises(RecordMissing):
        Store.open(url)


def test_every_trouble_has_calm_words_of_its_own() -> None:
    kinds = [RecordError, *RecordError.__subclasses__()]
    said = [kind.says for kind in kinds if kind.__name__ != "ImportFault"]
    assert len(set(said)) == len(said)
    for words in said:
        assert "!" not in words and len(words) < 180 and words.endswith(".")
    assert type(named(sqlite3.OperationalError("something nobody has seen"))) is RecordError
