"""File the weekly summaries that are due, and kitchen timers that have run out.

Whether a week's summary was filed is a row of the record, not a timer: it is filed once across restarts, up to
36 hours late, by the plot's own local day and time (daylight saving included, because the moment is worked out
anew each time).
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.app import Bot
from bot.channels.telegram.worker import Worker, payload_of
from bot.plot.state import Plot, Settings
from bot.plot.turn import Outgoing

log = logging.getLogger(__name__)
LATE_AT_MOST = timedelta(hours=36)


def last_slot(settings: Settings, now: datetime) -> datetime | None:
    """Return the newest moment at or before `now` when this plot's summary should have come; None when stopped."""
    if settings.summary_day is None:
        return None
    try:
        zone = ZoneInfo(settings.place.tz if settings.place else "UTC")
    except (ZoneInfoNotFoundError, ValueError):
        zone = ZoneInfo("UTC")
    here = now.astimezone(zone)
    hour, minute = (int(part) for part in settings.summary_time.split(":"))
    day = here.date() - timedelta(days=(here.weekday() - settings.summary_day) % 7)
    slot = datetime.combine(day, time(hour, minute), zone)
    if slot > here:
        slot = datetime.combine(day - timedelta(days=7), time(hour, minute), zone)
    return slot


def week_of(slot: datetime) -> str:
    """Return the ISO week a slot belongs to: 2026-W12."""
    year, week, _ = slot.isocalendar()
    return f"{year}-W{week:02d}"


class Weekly:
    """File what is due in the outbox, once."""

    def __init__(self, bot: Bot, worker: Worker, wake_sender: Callable[[], None],
                 clock: Callable[[], datetime] = lambda: datetime.now(UTC)) -> None:
        self._bot = bot
        self._worker = worker
        self._wake_sender = wake_sender
        self._clock = clock
        self._seen: set[tuple[str, str]] = set()  # saves asking the record again each minute; the record decides

    async def run(self, *, every_s: float = 60.0) -> None:
        """Look each minute for summaries, each second for timers."""
        self._worker.ticking |= {plot for _, plot in self._bot.store.members.chats_for_summary()}
        waited = every_s
        while True:
            try:
                if waited >= every_s:
                    waited = 0.0
                    await asyncio.to_thread(self.file_summaries)
                    await asyncio.to_thread(self._bot.store.mail.tidy, self._clock())
                await asyncio.to_thread(self.file_timers)
            except Exception:  # one plot's trouble must not stop the answering of all
                log.exception("summaries and timers must wait")
            await asyncio.sleep(1.0)
            waited += 1.0

    def file_summaries(self) -> int:
        """File every summary that is due; return how many plots got one."""
        filed = 0
        chats: dict[str, list[int]] = {}
        for chat, plot_id in self._bot.store.members.chats_for_summary():
            chats.setdefault(plot_id, []).append(chat)
        for number, (plot_id, listeners) in enumerate(chats.items()):
            filed += self._file_one(plot_id, listeners, number)
        if filed:
            self._wake_sender()
        return filed

    def _file_one(self, plot_id: str, chats: list[int], number: int) -> bool:
        now = self._clock()
        slot = last_slot(self._bot.store.plot(plot_id).settings, now)
        if slot is None or (plot_id, week_of(slot)) in self._seen:
            return False
        self._bot.freshen(plot_id, now)
        filed = self._claim_and_file(plot_id, slot, chats, now + timedelta(seconds=number * 0.5))
        self._seen.add((plot_id, week_of(slot)))
        return filed

    def _claim_and_file(self, plot_id: str, slot: datetime, chats: list[int], start: datetime) -> bool:
        """File one week's summary, if not filed yet, to go out at `start`: plots with the same hour are spread."""
        now = self._clock()
        with self._bot.store.turn(plot_id, now) as transaction:
            plot = transaction.plot
            too_late = now - slot > LATE_AT_MOST or not _older_than(plot, slot)
            if not transaction.claim_summary(week_of(slot), "skipped" if too_late else "queued") or too_late:
                return False
            turn = self._bot.summary_of(plot, now)
            for chat in chats:
                for reply in turn.replies:
                    for payload in payload_of(reply, transaction, chat):
                        transaction.queue(Outgoing(chat, "summary", payload, not_before=start))
        return True

    def file_timers(self) -> None:
        """File a call for each kitchen timer that has run out, in the chat that set it."""
        from bot.preserving.timers import due_timers, ring, running

        now = self._clock()
        for plot_id in tuple(self._worker.ticking):
            plot = self._bot.store.plot(plot_id)
            if due_timers(plot, now):
                with self._bot.store.turn(plot_id, now) as transaction:
                    for timer in due_timers(transaction.plot, now):
                        for chat in self._chats(transaction.plot, timer.seq, plot_id):
                            for payload in payload_of(ring(timer, now), transaction, chat):
                                transaction.queue(Outgoing(chat, "timer", payload))
                        transaction.append(ring(timer, now).events, "riddle", f"timer:{timer.seq}", now)
                self._wake_sender()
            if not running(self._bot.store.plot(plot_id)):
                self._worker.ticking.discard(plot_id)

    def _chats(self, plot: Plot, seq: int, plot_id: str) -> list[int]:
        event = next((e for e in plot.journal if e.seq == seq), None)
        parts = event.message.split(":") if event else []
        if len(parts) == 3 and parts[0] == "telegram":
            return [int(parts[1])]
        return [chat for chat, _ in self._bot.store.members.chats_for_summary(plot_id)]


def _older_than(plot: Plot, slot: datetime) -> bool:
    """Tell whether the plot was there when the slot came: a new gardener is not sent last week's summary."""
    first = plot.journal[0].at if plot.journal else None
    return first is not None and first <= slot
