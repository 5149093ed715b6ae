"""The tables of the record. The same statements run on SQLite and PostgreSQL.

Moments are stored as UTC text in ISO form, so that they sort as they passed on both. Chat and update ids are 64-bit.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import (
    JSON,
    BigInteger,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)
from sqlalchemy.types import TypeDecorator


class Moment(TypeDecorator[datetime]):
    """A point in time, kept as ISO text in UTC."""

    impl = String(32)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Any) -> str | None:
        """Write UTC; refuse a time without a zone, which would mean another moment on another machine."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment needs a time zone")
        return value.astimezone(UTC).isoformat(timespec="microseconds")

    def process_result_value(self, value: str | None, dialect: Any) -> datetime | None:
        """Read the moment back, in UTC."""
        return None if value is None else datetime.fromisoformat(value)


class Day(TypeDecorator[date]):
    """A calendar day, kept as ISO text."""

    impl = String(10)
    cache_ok = True

    def process_bind_param(self, value: date | None, dialect: Any) -> str | None:
        """Write the day."""
        return None if value is None else value.isoformat()

    def process_result_value(self, value: str | None, dialect: Any) -> date | None:
        """Read the day back."""
        return None if value is None else date.fromisoformat(value)


# SQLite counts rows by itself only in a column of its own INTEGER type.
_Row = BigInteger().with_variant(Integer, "sqlite")
tables = MetaData()

plots = Table(
    "plots",
    tables,
    Column("plot", String(64), primary_key=True),
    Column("made_at", Moment, nullable=False),
)
events = Table(
    "events",
    tables,
    Column("plot", ForeignKey("plots.plot", ondelete="CASCADE"), primary_key=True),
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("at", Moment, nullable=False),
    Column("author", String(64), nullable=False),
    Column("message", String(96), nullable=False),
    Column("part", Integer, nullable=False),
    Column("kind", String(32), nullable=False),
    Column("day", Day, nullable=False),
    Column("crop", Text),
    Column("variety", Text),
    Column("bed", Text),
    Column("amount", Float),
    Column("unit", String(32)),
    Column("words", Text, nullable=False, server_default=""),
    Column("refs", JSON, nullable=False),
    Column("data", JSON, nullable=False),
    # One message writes each of its parts once, however often it arrives.
    UniqueConstraint("plot", "message", "part"),
)
members = Table(
    "members",
    tables,
    Column("plot", ForeignKey("plots.plot", ondelete="CASCADE"), primary_key=True),
    Column("person", String(64), primary_key=True),
    Column("name", Text, nullable=False, server_default=""),
    Column("joined_at", Moment, nullable=False),
)
invites = Table(
    "invites",
    tables,
    Column("code", String(32), primary_key=True),
    Column("plot", ForeignKey("plots.plot", ondelete="CASCADE"), nullable=False),
    Column("until", Moment, nullable=False),
)
chats = Table(
    "chats",
    tables,
    Column("chat", BigInteger, primary_key=True, autoincrement=False),
    Column("plot", ForeignKey("plots.plot", ondelete="CASCADE"), nullable=False),
    Column("summaries", Integer, nullable=False, server_default="1"),  # 0 once the chat refused us
    Index("chats_of_plot", "plot"),
)
inbox = Table(
    "inbox",
    tables,
    Column("update_id", BigInteger, primary_key=True, autoincrement=False),
    Column("chat", BigInteger),
    Column("raw", JSON, nullable=False),
    Column("state", String(8), nullable=False),  # new | done | parked
    Column("received_at", Moment, nullable=False),
    Column("problem", Text),
    Index("inbox_by_state", "state", "update_id"),
)
outbox = Table(
    "outbox",
    tables,
    Column("id", _Row, primary_key=True, autoincrement=True),
    Column("plot", ForeignKey("plots.plot", ondelete="CASCADE")),
    Column("chat", BigInteger, nullable=False),
    Column("kind", String(16), nullable=False),
    Column("payload", JSON, nullable=False),
    Column("state", String(10), nullable=False),  # due | sending | sent | failed | uncertain
    Column("tries", Integer, nullable=False),
    Column("not_before", Moment),
    Column("reply_to", BigInteger),  # the update it answers
    Column("part", Integer, nullable=False),
    Column("sent_at", Moment),
    Column("problem", Text),
    UniqueConstraint("reply_to", "part"),
    Index("outbox_by_state", "state", "id"),
)
summaries = Table(
    "summaries",
    tables,
    Column("plot", ForeignKey("plots.plot", ondelete="CASCADE"), primary_key=True),
    Column("week", String(8), primary_key=True),  # 2026-W12
    Column("state", String(8), nullable=False),  # queued | skipped
    Column("at", Moment, nullable=False),
)
buttons = Table(
    "buttons",
    tables,
    Column("id", String(16), primary_key=True),
    Column("chat", BigInteger, nullable=False),
    Column("says", Text, nullable=False),
    Column("made_at", Moment, nullable=False),
    Index("buttons_of_chat", "chat"),
)
memory = Table(
    "memory",
    tables,
    Column("plot", ForeignKey("plots.plot", ondelete="CASCADE"), primary_key=True),
    Column("person", String(64), primary_key=True),
    Column("data", JSON, nullable=False),
    Column("at", Moment, nullable=False),
)
forecasts = Table(
    "forecasts",
    tables,
    Column("key", String(96), primary_key=True),
    Column("data", JSON, nullable=False),
    Column("fetched_at", Moment, nullable=False),
)
about = Table(
    "about",
    tables,
    Column("key", String(32), primary_key=True),
    Column("value", Text, nullable=False),
)
