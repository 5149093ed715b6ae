"""The record on disk: one database, many plots, each read and written only by its own id."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import platformdirs
from sqlalchemy import Connection, Engine, select

from bot.plot import upkeep
from bot.plot.connecting import insert_new, open_engine, reading, writing
from bot.plot.errors import RecordError
from bot.plot.events import Event
from bot.plot.folding import Folder
from bot.plot.mailbox import Mailbox
from bot.plot.members import Members
from bot.plot.migrations import migrate
from bot.plot.schema import events, memory, plots
from bot.plot.state import Plot
from bot.plot.turn import Turn, event_of


def usual_url(folder: Path | None = None) -> str:
    """Return the URL of the database in a folder, the user's own data folder when none is given."""
    return f"sqlite:///{(folder or Path(platformdirs.user_data_dir('riddle', appauthor=False))).absolute() / 'riddle.db'}"


class Store:
    """All plots of one installation.

    `mail` is the durable inbox and outbox, `members` says which chat and person belong to which plot.
    """

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self.mail = Mailbox(engine)
        self.members = Members(engine)
        self._kept: dict[str, tuple[datetime, Folder, Plot]] = {}
        self._lock = threading.RLock()

    @classmethod
    def open(cls, url: str | None = None, *, busy_ms: int = 5000) -> Store:
        """Open a database (the user's own by default), bringing its tables up to date. Raises RecordError."""
        engine = open_engine(url or usual_url(), busy_ms)
        try:
            with writing(engine) as connection:
                migrate(connection)
        except BaseException:
            engine.dispose()
            raise
        return cls(engine)

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def plot(self, plot_id: str) -> Plot:
        """Return a plot as it stands now; an empty one when nothing was ever written of it."""
        with self._lock, reading(self.engine) as connection:
            return self._fresh(connection, plot_id)[1]

    def _fresh(self, connection: Connection, plot_id: str) -> tuple[Folder, Plot]:
        """Bring the kept fold of a plot up to what the database holds, reading only what is new."""
        made = connection.execute(select(plots.c.made_at).where(plots.c.plot == plot_id)).scalar()
        if made is None:
            self._kept.pop(plot_id, None)
            return Folder(plot_id), Plot(id=plot_id)
        epoch, folder, plot = self._kept.get(plot_id, (None, Folder(plot_id), Plot(id=plot_id)))
        if epoch != made:  # erased and begun again, or restored, by another process
            folder, plot = Folder(plot_id), Plot(id=plot_id)
        seen = plot.last_seq
        newer = select(events).where(events.c.plot == plot_id, events.c.seq > seen).order_by(events.c.seq)
        rows = [event_of(row) for row in connection.execute(newer)]
        if rows:
            folder.extend(rows)
            plot = folder.plot()
        self._kept[plot_id] = (made, folder, plot)
        return folder, plot

    def events(self, plot_id: str) -> tuple[Event, ...]:
        """Return every event of a plot as written, undone ones too, oldest first."""
        with reading(self.engine) as connection:
            mine = select(events).where(events.c.plot == plot_id).order_by(events.c.seq)
            return tuple(event_of(row) for row in connection.execute(mine))

    @contextmanager
    def turn(self, plot_id: str, now: datetime | None = None) -> Iterator[Turn]:
        """Hold one transaction on a plot, made when new. Anything raised inside undoes the whole of it.

        Raises RecordError (in the words of plot/errors.py) when the database refuses.
        """
        now = now or datetime.now(UTC)
        with self._lock:
            with writing(self.engine) as connection:
                insert_new(connection, plots, {"plot": plot_id, "made_at": now})
                # A server database has no single writer: the plot's row is the lock.
                connection.execute(select(plots.c.plot).where(plots.c.plot == plot_id).with_for_update())
                folder, _ = self._fresh(connection, plot_id)
                turn = Turn(connection, folder, now)
                try:
                    yield turn
                except BaseException:
                    # The kept fold may be of a plot row that is now rolled back.
                    self._kept.pop(plot_id, None)
                    raise
            if turn.erased:
                self._kept.pop(plot_id, None)
        if turn.erased:
            upkeep.wipe_free_space(self.engine)

    def recall(self, plot_id: str, person: str) -> dict[str, object] | None:
        """Return the kept memory of a person's conversation."""
        with reading(self.engine) as connection:
            mine = select(memory.c.data).where(memory.c.plot == plot_id, memory.c.person == person)
            return connection.execute(mine).scalar()

    def backup(self, path: Path) -> None:
        """Copy the whole database to a file while it stays in use."""
        upkeep.backup(self.engine, path)

    def check(self) -> str:
        """Return "ok", or what the database's own check found wrong."""
        return upkeep.check(self.engine)


def clock_trouble(plot: Plot, now: datetime) -> str | None:
    """Say so when this machine's clock stands before the newest record, else None.

    Records keep their order by number, so nothing is lost; but a day taken from a wrong clock is a wrong record.
    """
    newest = plot.written[-1].at if plot.written else None
    if newest is None or now >= newest - timedelta(hours=2):
        return None
    return (
        f"This machine's clock says {now:%Y-%m-%d %H:%M}, but your last record was written "
        f"{newest:%Y-%m-%d %H:%M} (UTC). Check the clock: today's records may carry the wrong day."
    )


__all__ = ["RecordError", "Store", "Turn", "clock_trouble", "usual_url"]
