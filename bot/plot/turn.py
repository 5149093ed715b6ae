"""One turn's transaction: records, replies to send and the message's done mark are kept together or not at all."""

from __future__ import annotations

import secrets
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, fields
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, delete, func, select, update
from sqlalchemy.exc import IntegrityError

from bot.plot.connecting import insert_new
from bot.plot.errors import AlreadyDone, RecordError
from bot.plot.events import Event, NewEvent
from bot.plot.folding import Folder
from bot.plot.schema import buttons, chats, events, inbox, invites, memory, outbox, plots, summaries
from bot.plot.state import Plot

_NEW_FIELDS = tuple(f.name for f in fields(NewEvent))


@dataclass(frozen=True, slots=True)
class Outgoing:
    """Something to send: to which chat, what kind (reply, summary, timer …), and what it holds."""

    chat: int
    kind: str
    payload: dict[str, Any] = field(default_factory=dict)
    reply_to: int | None = None  # the update it answers
    not_before: datetime | None = None


class Turn:
    """What one message may do to a plot. Got from `Store.turn`, which commits it."""

    def __init__(self, connection: Connection, folder: Folder, now: datetime) -> None:
        self.plot_id = folder.plot_id
        self.now = now
        self.appended: list[Event] = []
        self.erased = False
        self._connection = connection
        self._folder = folder
        self._parts: Counter[int] = Counter()
        self._mine: Counter[str] = Counter()

    @property
    def plot(self) -> Plot:
        """Return the plot as it stood when the turn began: the newest there is, for the turn holds the write lock."""
        return self._folder.plot()

    def append(self, new: Iterable[NewEvent], author: str, message_id: str, at: datetime) -> tuple[Event, ...]:
        """Write events down and return them numbered. A message that was written before appends nothing."""
        new = tuple(new)
        if not message_id:
            raise ValueError("events need the id of the message they came from")
        if not new or (message_id not in self._mine and self._known(message_id)):
            return ()
        seq = self._next_seq()
        written = tuple(
            Event(
                **{**{name: getattr(event, name) for name in _NEW_FIELDS}, "words": event.words.replace("\x00", "")},
                seq=seq + n,
                at=at,
                author=author,
                message=message_id,
            )
            for n, event in enumerate(new)
        )
        part = self._mine[message_id]
        self._connection.execute(
            events.insert(),
            [{"plot": self.plot_id, "part": part + n, **row_of(event)} for n, event in enumerate(written)],
        )
        self._mine[message_id] += len(written)
        self.appended += written
        return written

    def restore(self, record: Iterable[Event]) -> None:
        """Write a whole record as it was kept elsewhere, numbers and all. The plot must have no events yet."""
        record = tuple(record)
        if self._next_seq() != 1:
            raise RecordError("only a plot without records can take in another's")
        parts: Counter[str] = Counter()
        rows = []
        for event in record:
            rows.append({"plot": self.plot_id, "part": parts[event.message], **row_of(event)})
            parts[event.message] += 1
        if rows:
            self._connection.execute(events.insert(), rows)
        self.appended += record

    def _known(self, message_id: str) -> bool:
        found = select(events.c.seq).where(events.c.plot == self.plot_id, events.c.message == message_id).limit(1)
        return self._connection.execute(found).first() is not None

    def _next_seq(self) -> int:
        newest = select(func.max(events.c.seq)).where(events.c.plot == self.plot_id)
        return int(self._connection.execute(newest).scalar() or 0) + 1

    def queue(self, *rows: Outgoing) -> tuple[int, ...]:
        """Put replies in the outbox and return their row ids; they are sent after the turn has been kept."""
        ids = []
        for row in rows:
            part = 0
            if row.reply_to is not None:
                part = self._parts[row.reply_to]
                self._parts[row.reply_to] += 1
            try:
                result = self._connection.execute(
                    outbox.insert().values(
                        plot=None if self.erased else self.plot_id,
                        chat=row.chat,
                        kind=row.kind,
                        payload=row.payload,
                        state="due",
                        tries=0,
                        not_before=row.not_before,
                        reply_to=row.reply_to,
                        part=part,
                    )
                )
            except IntegrityError:
                raise AlreadyDone(f"update {row.reply_to} has its reply") from None
            ids.append(int(result.inserted_primary_key[0]))  # type: ignore[index]
        return tuple(ids)

    def finish_inbox(self, update_id: int) -> None:
        """Mark a waiting message as dealt with. Raises AlreadyDone, undoing the turn, if it was before."""
        done = update(inbox).where(inbox.c.update_id == update_id, inbox.c.state != "done").values(state="done")
        if self._connection.execute(done).rowcount != 1:
            raise AlreadyDone(f"update {update_id}")

    def remember(self, person: str, data: dict[str, Any]) -> None:
        """Keep what this person's conversation is about."""
        mine = (memory.c.plot == self.plot_id, memory.c.person == person)
        changed = self._connection.execute(update(memory).where(*mine).values(data=data, at=self.now))
        if not changed.rowcount:
            self._connection.execute(memory.insert().values(plot=self.plot_id, person=person, data=data, at=self.now))

    def recall(self, person: str) -> dict[str, Any] | None:
        """Return what this person's conversation was about, if kept."""
        found = select(memory.c.data).where(memory.c.plot == self.plot_id, memory.c.person == person)
        return self._connection.execute(found).scalar()

    def button(self, chat: int, says: str) -> str:
        """Keep what a button says and return the short id its press will bring back."""
        made = secrets.token_urlsafe(6)
        self._connection.execute(buttons.insert().values(id=made, chat=chat, says=says, made_at=self.now))
        return made

    def claim_summary(self, week: str, state: str = "queued") -> bool:
        """Claim the plot's summary of a week (2026-W12); False when it was claimed before."""
        return insert_new(
            self._connection, summaries, {"plot": self.plot_id, "week": week, "state": state, "at": self.now}
        )

    def invite(self, until: datetime) -> str:
        """Make an invitation to this plot and return its code, too long to guess."""
        code = secrets.token_hex(5)
        self._connection.execute(invites.insert().values(code=code, plot=self.plot_id, until=until))
        return code

    def erase(self) -> None:
        """Delete everything known of this plot: records, people, chats, their messages, buttons and replies."""
        of_plot = select(chats.c.chat).where(chats.c.plot == self.plot_id)
        ids = [int(chat) for chat in self._connection.execute(of_plot).scalars()]
        for table in (inbox, buttons, outbox):
            column = table.c.chat
            for chat in ids:
                # The message being answered stays, emptied, so that its replay is known.
                if table is inbox:
                    self._connection.execute(
                        update(inbox).where(column == chat).values(raw={}, chat=None, problem=None)
                    )
                else:
                    self._connection.execute(delete(table).where(column == chat))
        self._connection.execute(delete(plots).where(plots.c.plot == self.plot_id))
        self.appended.clear()
        self.erased = True


def row_of(event: Event) -> dict[str, Any]:
    """Return an event as columns of the journal table."""
    return {
        "seq": event.seq,
        "at": event.at,
        "author": event.author,
        "message": event.message,
        "kind": event.kind,
        "day": event.day,
        "crop": event.crop,
        "variety": event.variety,
        "bed": event.bed,
        "amount": event.amount,
        "unit": event.unit,
        "words": event.words,
        "refs": list(event.refs),
        "data": event.data,
    }


def event_of(row: Any) -> Event:
    """Return a row of the journal table as an event."""
    return Event(
        kind=row.kind,
        day=row.day,
        crop=row.crop,
        variety=row.variety,
        bed=row.bed,
        amount=row.amount,
        unit=row.unit,
        words=row.words,
        refs=tuple(row.refs),
        data=row.data,
        seq=row.seq,
        at=row.at,
        author=row.author,
        message=row.message,
    )
