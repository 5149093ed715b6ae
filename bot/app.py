"""Settings in, one assembled Bot out. Everything that touches the world (clock, record, forecast) meets here."""

from __future__ import annotations

import getpass
import shutil
import tempfile
import uuid
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from bot.clock import Clock, local, system_clock
from bot.conversation import House, Moment, Turn, take_photo, take_turn
from bot.facts import Facts, KnowledgeError
from bot.handlers.context import Memory
from bot.plot.errors import RecordError
from bot.plot.events import Event
from bot.plot.starting import read_plot_file, starting_events
from bot.plot.state import Plot, PlotPlace, fold
from bot.plot.store import Store, clock_trouble
from bot.plot.store import Turn as Transaction
from bot.remembering import from_plain, to_plain
from bot.request import Request
from bot.seasons import Seasons
from bot.settings import Settings, load_settings

if TYPE_CHECKING:
    from bot.season import Season
    from bot.understanding import Understander

#: Errors whose message is one line for the person at the command line.
USER_ERRORS = (KnowledgeError, RecordError, FileNotFoundError, PermissionError)
INVITATION_LIVES = timedelta(days=7)
#: Where an export asked for in the terminal goes, below the folder one is in.
EXPORT_FOLDER = "riddle-export"
HOME = "home"
DEMO = "demo"


class Bot:
    """One installation at work: reads messages, answers them, writes down what they tell.

    `today` fixes the day; `place` and `units` stand in for the plot's own without being recorded.
    """

    def __init__(self, settings: Settings, facts: Facts, store: Store, *, plot_id: str = HOME,
                 clock: Clock = system_clock, today: date | None = None,
                 place: PlotPlace | None = None, units: str | None = None,
                 understander: Understander | None = None) -> None:
        from bot.preserving.alarm import alarm
        from bot.understanding import Understander

        self.settings = settings
        self.facts = facts
        self.store = store
        self.plot_id = plot_id
        self.person = _login_name()
        self._clock = clock
        self._today = today
        self._place = place
        self._units = units
        self.seasons = Seasons(facts, settings, store)
        self.house = House(facts, understander or Understander(facts), self._season, alarm)

    # --- talk -----------------------------------------------------------------------------------------------------

    def turn(self, text: str, *, person: str | None = None) -> Turn:
        """Answer one message of the person at the terminal, and record what it tells.

        `person` names the conversation whose memory is used, when there are several; the records are the same person's.
        """
        person = person or self.person
        try:
            now = self.now(self.store.plot(self.plot_id))
            self.freshen(self.plot_id, now)
            with self.store.turn(self.plot_id, now) as transaction:
                turn = self.within(transaction, text, person=person, now=now, author=self.person,
                                   message=f"terminal:{uuid.uuid4().hex}")
            return self._handed_over(turn)
        except RecordError as error:
            return _record_trouble(text, error)

    def _handed_over(self, turn: Turn) -> Turn:
        """Write the record into files when the turn asked for it, and name them."""
        if not any("export" in reply.effects for reply in turn.replies):
            return turn
        files = tuple(self.export(Path(EXPORT_FOLDER)))
        return replace(turn, replies=tuple(
            r.with_(files=files) if "export" in r.effects else r for r in turn.replies))

    def within(self, transaction: Transaction, text: str, *, person: str, now: datetime, message: str,
               file_id: str | None = None, given: tuple[Request, ...] = (), author: str | None = None) -> Turn:
        """Answer one message inside a transaction, which then holds its records and the person's memory.

        The caller adds replies to the outbox of the same transaction, or shows them itself.
        """
        self._set_up(transaction, now)
        plot = self._dressed(transaction.plot)
        moment = Moment(author or person, now, self._day(plot, now), message)
        memory = from_plain(transaction.recall(person))

        def preview(events: Sequence[Event]) -> Plot:
            return self._dressed(fold(plot.id, (*self.store.events(plot.id), *transaction.appended, *events)))

        if file_id is not None:
            turn = take_photo(self.house, plot, preview, memory, text, file_id, moment)
        else:
            turn = take_turn(self.house, plot, preview, memory, text, moment, given)
        effects = {effect for reply in turn.replies for effect in reply.effects}
        if "erase" in effects:
            transaction.erase()
            return turn
        trouble = clock_trouble(transaction.plot, transaction.now) if turn.events and self._today is None else None
        if trouble:
            last = turn.replies[-1]
            turn = replace(turn, replies=(*turn.replies[:-1], last.with_(lines=(*last.lines, trouble))))
        transaction.append(turn.events, moment.author, message, now)
        transaction.remember(person, to_plain(turn.memory))
        return _with_code(turn, transaction.invite(now + INVITATION_LIVES)) if "invite" in effects else turn

    def freshen(self, plot_id: str, now: datetime) -> None:
        """Bring the plot's forecast up to date, before a turn's transaction, which must not wait for a network."""
        if self._today is None:
            self.seasons.freshen(self._dressed(self.store.plot(plot_id)), now)

    def look(self) -> tuple[Plot, tuple[Event, ...], Memory]:
        """Return the plot, its events and an empty memory, for completion and measuring."""
        return self._dressed(self.store.plot(self.plot_id)), self.store.events(self.plot_id), Memory()

    def begin_conversation(self, person: str) -> None:
        """Forget what a person's last conversation was about."""
        now = self.now(self.store.plot(self.plot_id))
        with self.store.turn(self.plot_id, now) as transaction:
            transaction.remember(person, {})

    def summary(self) -> Turn:
        """Return this week's summary of the plot; it records nothing."""
        plot = self._dressed(self.store.plot(self.plot_id))
        now = self.now(plot)
        self.freshen(self.plot_id, now)
        return self.summary_of(plot, now)

    def summary_of(self, plot: Plot, now: datetime) -> Turn:
        """Return the summary of any plot at a moment; it records nothing."""
        moment = Moment(self.person, now, self._day(plot, now), "summary")
        given = (Request("summary", text="summary"),)
        return take_turn(self.house, plot, lambda events: plot, Memory(), "summary", moment, given)

    def completions(self) -> list[str]:
        """Return crop and bed names for the terminal to complete."""
        plot, _, _ = self.look()
        beds = [name for bed in plot.beds.values() for name in (bed.name, *bed.nicknames)]
        crops = [name for crop in self.facts.crops.values() for name in
                 (crop.said("gb"), crop.said("gb", plural=True), crop.said("us"), crop.said("us", plural=True))]
        return sorted(set(beds + crops), key=str.lower)

    def rung_timers(self) -> list[str]:
        """Return a line for each kitchen timer that has come due, and record that it rang."""
        from bot.preserving.timers import due_timers, ring

        plot = self.store.plot(self.plot_id)
        now = self.now(plot) if self._today is None else datetime.now(UTC)
        due = due_timers(plot, now)
        if not due:
            return []
        with self.store.turn(self.plot_id, now) as transaction:
            due = due_timers(transaction.plot, now)
            for timer in due:
                transaction.append(ring(timer, now).events, "riddle", f"timer:{timer.seq}", now)
        return [ring(timer, now).headline for timer in due]

    @property
    def history_file(self) -> Path:
        """Return the file in which the terminal keeps past messages."""
        return Path(platformdirs.user_state_dir("riddle", appauthor=False)) / "terminal-history"

    # --- the record as files --------------------------------------------------------------------------------------

    def export(self, folder: Path) -> list[Path]:
        """Write the whole record into a folder; return the files. Raises RecordError."""
        return self.export_plot(self.plot_id, folder)

    def export_plot(self, plot_id: str, folder: Path) -> list[Path]:
        """Write one plot's whole record into a folder; return the files. Raises RecordError."""
        from bot.plot.export import write_export

        people = self.store.members.of_plot(plot_id)
        return write_export(folder, plot_id, self.store.events(plot_id), people, self._clock())

    def import_record(self, file: Path) -> int:
        """Read an exported record into this plot; return how many events it had. Raises RecordError."""
        from bot.plot.importing import import_record

        return import_record(self.store, self.plot_id, file, self._clock())

    # --- where and when ---------------------------------------------------------------------------------------------

    def now(self, plot: Plot) -> datetime:
        """Return the present moment in the plot's time zone; noon of the fixed day when one is set."""
        place = self._dressed(plot).settings.place
        tz = place.tz if place else "UTC"
        if self._today is not None:
            return local(datetime.combine(self._today, time(12), UTC), tz).replace(
                year=self._today.year, month=self._today.month, day=self._today.day, hour=12)
        return local(self._clock(), tz)

    def move_to(self, day: date) -> None:
        """Fix the day the bot takes as today."""
        self._today = day

    def _day(self, plot: Plot, now: datetime) -> date:
        return self._today or local(now, plot.settings.place.tz if plot.settings.place else "UTC").date()

    def _dressed(self, plot: Plot) -> Plot:
        """Return the plot with the place and units that stand in for its own."""
        if self._place is None and self._units is None:
            return plot
        settings = plot.settings
        if self._place is not None:
            settings = replace(settings, place=self._place, last_frost=None, first_frost=None)
        if self._units is not None:
            settings = replace(settings, units=self._units)
        return replace(plot, settings=settings)

    def _season(self, plot: Plot) -> Season | None:
        return self.seasons.of(plot)

    def _set_up(self, transaction: Transaction, now: datetime) -> None:
        """Write the installation's settings into a plot that has no record yet."""
        if transaction.plot.last_seq:
            return
        day = self._today or now.date()
        first = self.settings.first_events(day)
        if transaction.plot_id == self.plot_id and self.settings.folder is not None:
            # plot.yaml describes the plot of whoever runs this installation, not those of other chats.
            first = starting_events(self.settings, read_plot_file(self.settings.folder), day)
        transaction.append(first, "riddle", "first-settings", now)


def _with_code(turn: Turn, code: str) -> Turn:
    line = f"They send me: join {code}. It works once, within {INVITATION_LIVES.days} days."
    return replace(turn, replies=tuple(
        r.with_(lines=(*r.lines, line)) if "invite" in r.effects else r for r in turn.replies))


def _record_trouble(text: str, error: RecordError) -> Turn:
    from bot.reply import Reply

    return Turn(text, (), (Reply(error.says),), Memory())


def _login_name() -> str:
    try:
        return getpass.getuser() or "you"
    except (OSError, KeyError, ImportError):
        return "you"


@contextmanager
def open_bot(*, config: Path | None = None, demo: bool = False, today: date | None = None,
             at: tuple[float, float, float | None] | None = None, units: str | None = None,
             understander: Understander | None = None) -> Iterator[Bot]:
    """Open a Bot on the user's own plot, or on a throw-away copy of the demo plot. Raises USER_ERRORS.

    `understander`, with the facts it was made from, is taken over instead of being made anew when several are opened.
    """
    from bot.facts.paths import shipped
    from bot.season.place import place_at

    settings = load_settings(shipped("demo_config") if demo and config is None else config)
    facts = understander.facts if understander else settings.facts()
    place = place_at(facts.climate, *at) if at else None
    scratch = Path(tempfile.mkdtemp(prefix="riddle-demo-")) if demo else None
    store = Store.open(f"sqlite:///{scratch / 'demo.db'}" if scratch else settings.database)
    try:
        bot = Bot(settings, facts, store, plot_id=DEMO if demo else HOME, today=today, place=place, units=units,
                  understander=understander)
        if demo:
            _lay_out_demo(bot, today)
        yield bot
    finally:
        store.close()
        if scratch:
            shutil.rmtree(scratch, ignore_errors=True)


def _lay_out_demo(bot: Bot, today: date | None) -> None:
    from bot.plot.demo import demo_events

    now = bot.now(Plot())
    with bot.store.turn(DEMO, now) as transaction:
        place = bot._dressed(Plot()).settings.place
        transaction.restore(demo_events(today or now.date(), southern=place is not None and place.lat < 0))


__all__ = ["USER_ERRORS", "Bot", "open_bot"]
