"""Care of the whole database: backup, restore, check, and making erased records unreadable."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from sqlalchemy import Engine

from bot.plot.connecting import reading
from bot.plot.errors import RecordError, RecordMissing, named


def backup(engine: Engine, path: Path) -> None:
    """Copy an SQLite database with its online backup call. Raises RecordError; a server keeps its own backups."""
    if engine.dialect.name != "sqlite":
        raise RecordError("a database server is backed up with the server's own tools")
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_name(path.name + ".part")
    unfinished.unlink(missing_ok=True)
    source = engine.raw_connection()
    try:
        target = sqlite3.connect(unfinished)
        try:
            source.driver_connection.backup(target)  # type: ignore[union-attr]
        finally:
            target.close()
    except sqlite3.Error as error:
        raise named(error) from error
    finally:
        source.close()
    unfinished.replace(path)  # a backup that was cut short never takes the place of a whole one


def restore(backup_path: Path, path: Path) -> None:
    """Put a backup in the place of a database that no process has open. Raises RecordError if it is not whole."""
    if not backup_path.is_file():
        raise RecordMissing(f"no backup at {backup_path}")
    try:
        source = sqlite3.connect(f"file:{backup_path}?mode=ro", uri=True)
        try:
            found = source.execute("PRAGMA quick_check").fetchone()[0]
            if found != "ok":
                raise named(sqlite3.DatabaseError(f"database disk image is malformed: {found}"))
            unfinished = path.with_name(path.name + ".part")
            unfinished.unlink(missing_ok=True)
            target = sqlite3.connect(unfinished)
            try:
                source.backup(target)
            finally:
                target.close()
        finally:
            source.close()
    except sqlite3.Error as error:
        raise named(error) from error
    for suffix in ("-wal", "-shm"):  # they belong to the database that is replaced
        path.with_name(path.name + suffix).unlink(missing_ok=True)
    unfinished.replace(path)


def check(engine: Engine) -> str:
    """Return "ok", or the first fault the database finds in itself."""
    if engine.dialect.name != "sqlite":
        return "ok"
    with reading(engine) as connection:
        found = connection.exec_driver_sql("PRAGMA integrity_check").scalar()
        strays = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
    return str(found) if strays is None else f"a row of {strays[0]} points nowhere"


def wipe_free_space(engine: Engine) -> None:
    """Rewrite an SQLite file without its free pages and empty its log, so that nothing erased can be read back."""
    if engine.dialect.name != "sqlite":
        return
    connection = engine.raw_connection()
    try:
        connection.driver_connection.execute("VACUUM")  # type: ignore[union-attr]
        connection.driver_connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")  # type: ignore[union-attr]
    except sqlite3.Error as error:
        raise named(error) from error
    finally:
        connection.close()
