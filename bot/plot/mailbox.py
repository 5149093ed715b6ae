"""The durable inbox and outbox: what arrived and is still to be dealt with, what is still to be sent.

A message is stored before anything is done with it; a send is marked before it is tried. So a kill at any point
leaves a row that says how far it got.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Engine, delete, func, or_, select, update

from bot.plot.connecting import insert_new, reading, writing
from bot.plot.schema import buttons, inbox, outbox

#: Update ids are kept this long, and this many of the newest whatever the clock says, so that replays are known.
KEEP_FOR = timedelta(days=7)
KEEP_NEWEST = 5000


@dataclass(frozen=True, slots=True)
class Incoming:
    """A stored update still to be dealt with."""

    update_id: int
    chat: int | None
    raw: dict[str, Any]
    received_at: datetime


@dataclass(frozen=True, slots=True)
class Due:
    """A row of the outbox."""

    id: int
    chat: int
    kind: str
    payload: dict[str, Any]
    state: str
    tries: int
    reply_to: int | None
    plot: str | None


class Mailbox:
    """Inbox and outbox of one installation."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    # What arrives

    def receive(self, update_id: int, raw: dict[str, Any], chat: int | None, at: datetime) -> bool:
        """Store an update; False when it was stored before."""
        with writing(self._engine) as connection:
            return insert_new(
                connection, inbox, {"update_id": update_id, "raw": raw, "chat": chat, "state": "new", "received_at": at}
            )

    def waiting(self) -> list[Incoming]:
        """Return the updates not dealt with, in the order they were sent."""
        with reading(self._engine) as connection:
            rows = connection.execute(select(inbox).where(inbox.c.state == "new").order_by(inbox.c.update_id))
            return [Incoming(r.update_id, r.chat, r.raw, r.received_at) for r in rows]

    def inbox_state(self, update_id: int) -> str | None:
        """Return new, done or parked, or None for an update never stored."""
        with reading(self._engine) as connection:
            return connection.execute(select(inbox.c.state).where(inbox.c.update_id == update_id)).scalar()

    def park(self, update_id: int, problem: str, raw: dict[str, Any] | None = None, at: datetime | None = None) -> None:
        """Put aside an update nothing can be done with, so that it does not stop the others."""
        with writing(self._engine) as connection:
            if raw is not None and at is not None:
                insert_new(
                    connection,
                    inbox,
                    {"update_id": update_id, "raw": raw, "chat": None, "state": "new", "received_at": at},
                )
            connection.execute(
                update(inbox).where(inbox.c.update_id == update_id).values(state="parked", problem=problem)
            )

    def done(self, update_id: int) -> None:
        """Mark an update as dealt with that asks for no answer."""
        with writing(self._engine) as connection:
            connection.execute(update(inbox).where(inbox.c.update_id == update_id).values(state="done"))

    def answer_outside(self, update_id: int, chat: int, payloads: list[dict[str, Any]]) -> None:
        """Answer an update that belongs to no plot (a stranger at the door) and mark it done, in one transaction."""
        with writing(self._engine) as connection:
            marked = update(inbox).where(inbox.c.update_id == update_id, inbox.c.state == "new").values(state="done")
            if connection.execute(marked).rowcount != 1:
                return
            for part, payload in enumerate(payloads):
                connection.execute(
                    outbox.insert().values(
                        plot=None,
                        chat=chat,
                        kind="reply",
                        payload=payload,
                        state="due",
                        tries=0,
                        not_before=None,
                        reply_to=update_id,
                        part=part,
                    )
                )

    def last_update(self) -> int | None:
        """Return the newest update id stored."""
        with reading(self._engine) as connection:
            return connection.execute(select(func.max(inbox.c.update_id))).scalar()

    # What is sent

    def due(self, now: datetime, limit: int = 30) -> list[Due]:
        """Return rows to send now, oldest first, leaving out those told to wait."""
        ready = or_(outbox.c.not_before.is_(None), outbox.c.not_before <= now)
        with reading(self._engine) as connection:
            rows = connection.execute(
                select(outbox).where(outbox.c.state == "due", ready).order_by(outbox.c.id).limit(limit)
            )
            return [_due(row) for row in rows]

    def sending(self, row_id: int) -> bool:
        """Mark a due row as being sent, before the try; False when it is not due any more."""
        with writing(self._engine) as connection:
            taken = (
                update(outbox)
                .where(outbox.c.id == row_id, outbox.c.state == "due")
                .values(state="sending", tries=outbox.c.tries + 1)
            )
            return connection.execute(taken).rowcount == 1

    def sent(self, row_id: int, at: datetime) -> None:
        """Mark a row as arrived."""
        self._set(row_id, state="sent", sent_at=at, problem=None)

    def retry(self, row_id: int, not_before: datetime, problem: str = "") -> None:
        """Put a row back to be sent later: it surely did not arrive."""
        self._set(row_id, state="due", not_before=not_before, problem=problem)

    def uncertain(self, row_id: int, problem: str = "") -> None:
        """Mark a row that may or may not have arrived."""
        self._set(row_id, state="uncertain", problem=problem)

    def failed(self, row_id: int, problem: str) -> None:
        """Give a row up."""
        self._set(row_id, state="failed", problem=problem)

    def cut_short(self) -> list[Due]:
        """Return rows whose sending was never heard of again, marking them uncertain; called once at start."""
        with writing(self._engine) as connection:
            connection.execute(
                update(outbox)
                .where(outbox.c.state == "sending")
                .values(state="uncertain", problem="stopped while sending")
            )
            rows = connection.execute(select(outbox).where(outbox.c.state == "uncertain").order_by(outbox.c.id))
            return [_due(row) for row in rows]

    def row(self, row_id: int) -> Due | None:
        """Return one row of the outbox."""
        with reading(self._engine) as connection:
            found = connection.execute(select(outbox).where(outbox.c.id == row_id)).first()
            return None if found is None else _due(found)

    def said_by_button(self, button_id: str, chat: int) -> str | None:
        """Return what a button of this chat says; another chat's button says nothing."""
        with reading(self._engine) as connection:
            return connection.execute(
                select(buttons.c.says).where(buttons.c.id == button_id, buttons.c.chat == chat)
            ).scalar()

    def tidy(self, now: datetime) -> None:
        """Forget old dealt-with messages, sent replies and buttons."""
        before = now - KEEP_FOR
        with writing(self._engine) as connection:
            newest = connection.execute(
                select(inbox.c.update_id).order_by(inbox.c.update_id.desc()).offset(KEEP_NEWEST).limit(1)
            ).scalar()
            if newest is not None:
                connection.execute(
                    delete(inbox).where(
                        inbox.c.state != "new", inbox.c.update_id <= newest, inbox.c.received_at < before
                    )
                )
            connection.execute(delete(outbox).where(outbox.c.state == "sent", outbox.c.sent_at < before))
            connection.execute(delete(buttons).where(buttons.c.made_at < now - 12 * KEEP_FOR))

    def _set(self, row_id: int, **values: Any) -> None:
        with writing(self._engine) as connection:
            connection.execute(update(outbox).where(outbox.c.id == row_id).values(**values))


def _due(row: Any) -> Due:
    return Due(row.id, row.chat, row.kind, row.payload, row.state, row.tries, row.reply_to, row.plot)
