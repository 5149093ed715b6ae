"""Which chat talks about which plot, who belongs to it, and by which invitation they came."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Engine, delete, select, update

from bot.plot.connecting import insert_new, reading, writing
from bot.plot.schema import buttons, chats, inbox, invites, members, outbox, plots


class Members:
    """Chats, people and invitations of one installation."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def plot_of(self, chat: int) -> str | None:
        """Return the plot a chat talks about, or None for a chat never let in."""
        with reading(self._engine) as connection:
            return connection.execute(select(chats.c.plot).where(chats.c.chat == chat)).scalar()

    def link(self, chat: int, plot_id: str, now: datetime) -> None:
        """Let a chat talk about a plot, and about no other."""
        with writing(self._engine) as connection:
            insert_new(connection, plots, {"plot": plot_id, "made_at": now})
            if not insert_new(connection, chats, {"chat": chat, "plot": plot_id, "summaries": 1}):
                connection.execute(update(chats).where(chats.c.chat == chat).values(plot=plot_id))

    def unlink(self, chat: int) -> None:
        """Stop a chat from talking about its plot."""
        with writing(self._engine) as connection:
            connection.execute(delete(chats).where(chats.c.chat == chat))

    def moved(self, old: int, new: int) -> None:
        """Follow a chat whose id changed, with what is still to be sent to it."""
        with writing(self._engine) as connection:
            connection.execute(delete(chats).where(chats.c.chat == new))
            for table in (chats, inbox, outbox, buttons):
                connection.execute(update(table).where(table.c.chat == old).values(chat=new))

    def pause(self, chat: int, paused: bool = True) -> None:
        """Send a chat no more summaries, or send them again."""
        with writing(self._engine) as connection:
            connection.execute(update(chats).where(chats.c.chat == chat).values(summaries=0 if paused else 1))

    def chats_for_summary(self, plot_id: str | None = None) -> list[tuple[int, str]]:
        """Return (chat, plot) of every chat that gets summaries, or of one plot's."""
        wanted = select(chats.c.chat, chats.c.plot).where(chats.c.summaries == 1).order_by(chats.c.chat)
        if plot_id is not None:
            wanted = wanted.where(chats.c.plot == plot_id)
        with reading(self._engine) as connection:
            return [(int(row.chat), str(row.plot)) for row in connection.execute(wanted)]

    def join(self, plot_id: str, person: str, name: str, now: datetime) -> bool:
        """Make a person a member of a plot, or give them their new name; tell whether they are new to it."""
        with writing(self._engine) as connection:
            insert_new(connection, plots, {"plot": plot_id, "made_at": now})
            row = {"plot": plot_id, "person": person, "name": name, "joined_at": now}
            new = insert_new(connection, members, row)
            if not new:
                connection.execute(
                    update(members).where(members.c.plot == plot_id, members.c.person == person).values(name=name)
                )
            return new

    def leave(self, plot_id: str, person: str) -> bool:
        """Take a person off a plot; False when they were not on it."""
        with writing(self._engine) as connection:
            gone = delete(members).where(members.c.plot == plot_id, members.c.person == person)
            return connection.execute(gone).rowcount == 1

    def of_plot(self, plot_id: str) -> dict[str, str]:
        """Return the names of a plot's people by their id."""
        with reading(self._engine) as connection:
            rows = connection.execute(
                select(members.c.person, members.c.name).where(members.c.plot == plot_id).order_by(members.c.joined_at)
            )
            return {row.person: row.name for row in rows}

    def accept(self, code: str, chat: int, now: datetime) -> str | None:
        """Use an invitation up for a chat; returns the plot, or None when the code is wrong, used or too old."""
        with writing(self._engine) as connection:
            plot = connection.execute(
                select(invites.c.plot).where(invites.c.code == code.strip().lower(), invites.c.until > now)
            ).scalar()
            if plot is None:
                return None
            connection.execute(delete(invites).where(invites.c.code == code.strip().lower()))
            if not insert_new(connection, chats, {"chat": chat, "plot": plot, "summaries": 1}):
                connection.execute(update(chats).where(chats.c.chat == chat).values(plot=plot))
            return str(plot)
