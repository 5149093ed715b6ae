"""Numbered steps that bring a record's tables from any earlier version to this one.

A step is never changed once released: a later need is a later step. All steps of one upgrade run in one transaction.
"""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import Connection, inspect, select

from bot.plot.errors import RecordNewer
from bot.plot.schema import about, tables


def _first(connection: Connection) -> None:
    tables.create_all(connection, checkfirst=True)


STEPS: tuple[Callable[[Connection], None], ...] = (_first,)
VERSION = len(STEPS)


def version_of(connection: Connection) -> int:
    """Return the version the record's tables are at; 0 for an empty database."""
    if not inspect(connection).has_table(about.name):
        return 0
    found = connection.execute(select(about.c.value).where(about.c.key == "schema_version")).scalar()
    return int(found) if found is not None else 0


def migrate(connection: Connection) -> int:
    """Run the steps still to do, inside the caller's transaction, and return the version reached.

    Raises RecordNewer when the record is ahead of this program.
    """
    version = version_of(connection)
    if version > VERSION:
        raise RecordNewer(f"record at version {version}, program at {VERSION}")
    for step in STEPS[version:]:
        step(connection)
    if version < VERSION:
        connection.execute(about.delete().where(about.c.key == "schema_version"))
        connection.execute(about.insert().values(key="schema_version", value=str(VERSION)))
    return VERSION
