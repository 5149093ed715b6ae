"""Open a database so that a committed turn is on the disk, and prove it at every connect.

SQLite: write-ahead log, a flush at each commit, foreign keys on, secure delete, a wait for other writers, and
transactions that take the write lock when they begin, so that a turn never fails half way for want of it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, Table, create_engine, event
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, DBAPIError

from bot.plot.errors import RecordError, RecordMissing, RecordReadOnly, named

_READ = "riddle_read"


def open_engine(url: str, busy_ms: int = 5000) -> Engine:
    """Return an engine for a database URL, making the folder of an SQLite file. Raises RecordError."""
    try:
        parsed = make_url(url)
    except ArgumentError:
        raise RecordMissing(f"not a database URL: {url!r}") from None
    if parsed.get_backend_name() != "sqlite":
        try:
            return create_engine(parsed, pool_pre_ping=True)
        except (ImportError, ArgumentError) as error:
            raise RecordMissing(f"the driver of {parsed.get_backend_name()} is not installed: {error}") from None
    if not parsed.database or parsed.database == ":memory:":
        raise RecordMissing("the record needs a file: sqlite:///path/to/riddle.db")
    try:
        if not parsed.database.startswith("file:"):
            Path(parsed.database).parent.mkdir(parents=True, exist_ok=True)
    except PermissionError as error:
        raise RecordReadOnly(str(error)) from None
    except OSError as error:
        raise RecordMissing(str(error)) from None
    engine = create_engine(parsed, connect_args={"timeout": busy_ms / 1000})
    event.listen(engine, "connect", lambda connection, _record: _prepare(connection, busy_ms))
    event.listen(engine, "begin", _begin)
    return engine


def _prepare(connection: sqlite3.Connection, busy_ms: int) -> None:
    connection.isolation_level = None  # we say BEGIN ourselves, see _begin
    wanted: dict[str, Any] = {
        "busy_timeout": busy_ms,
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "secure_delete": 1,
    }
    for pragma, value in wanted.items():
        connection.execute(f"PRAGMA {pragma}={value}")
        found = connection.execute(f"PRAGMA {pragma}").fetchone()[0]
        if found != value:
            raise RecordError(f"SQLite keeps {pragma} at {found!r}, not {value!r}")


def _begin(connection: Connection) -> None:
    reading = connection.get_execution_options().get(_READ)
    connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """Hold one write transaction; database errors come out as RecordError, with everything rolled back."""
    try:
        with engine.begin() as connection:
            yield connection
    except (DBAPIError, sqlite3.Error) as error:
        raise named(error) from error


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """Hold one read transaction: what it sees does not change while it reads."""
    try:
        with engine.connect().execution_options(**{_READ: True}) as connection, connection.begin():
            yield connection
    except (DBAPIError, sqlite3.Error) as error:
        raise named(error) from error


def insert_new(connection: Connection, table: Table, values: dict[str, Any]) -> bool:
    """Insert a row unless one with its key is there; tell whether it was inserted."""
    maker = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
    return connection.execute(maker(table).values(**values).on_conflict_do_nothing()).rowcount == 1
