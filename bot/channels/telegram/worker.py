"""Turn stored updates into answers: records, replies and the update's done mark in one transaction."""

from __future__ import annotations

import asyncio
import base64
import logging
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import UTC, datetime
from typing import Any

from telegram import Bot as Api
from telegram import Update
from telegram.error import TelegramError

from bot.app import Bot
from bot.channels.telegram.doorway import CLOSED, Doorway
from bot.channels.telegram.intake import Incoming, read_update
from bot.channels.telegram.render import messages
from bot.clock import local
from bot.conversation import Turn
from bot.plot.errors import AlreadyDone, RecordBroken, RecordError
from bot.plot.events import NewEvent
from bot.plot.mailbox import Incoming as Stored
from bot.plot.store import Turn as Transaction
from bot.plot.turn import Outgoing
from bot.reply import Reply
from bot.request import Request, Spot

log = logging.getLogger(__name__)
#: A stored update that keeps failing for a reason that will not pass is put aside after this many tries.
TRIES = 3
GONE = "That button is too old. Ask me again and I'll offer fresh ones."


class Worker:
    """Deal with the inbox in the order things were sent."""

    def __init__(self, bot: Bot, api: Api, doorway: Doorway, wake_sender: Callable[[], None]) -> None:
        self._bot = bot
        self._api = api
        self._doorway = doorway
        self._wake_sender = wake_sender
        self._failures: dict[int, int] = {}
        self.ticking: set[str] = set()  # plots with a kitchen timer running

    async def run(self, arrived: asyncio.Event) -> None:
        """Work for ever."""
        while True:
            arrived.clear()
            for stored in self._bot.store.mail.waiting():
                await self.deal_with(stored)
            with suppress(TimeoutError):
                async with asyncio.timeout(5.0):
                    await arrived.wait()

    async def deal_with(self, stored: Stored) -> None:
        """Answer one stored update, or put it aside when it cannot be read."""
        mail = self._bot.store.mail
        try:
            update = Update.de_json(stored.raw, self._api)
            incoming = read_update(update, self._api.username)
        except Exception as error:  # the library raises whatever a strange update makes it raise
            log.warning("update %s cannot be read and is put aside: %r", stored.update_id, error)
            mail.park(stored.update_id, repr(error))
            return
        if incoming.callback:
            try:  # the press is answered before any work, or the button would spin
                await self._api.answer_callback_query(incoming.callback)
            except TelegramError as error:
                log.info("a press could not be answered: %s", error)
        try:
            # The work is computing, not waiting: on a thread, so that fetching and sending go on meanwhile.
            await asyncio.to_thread(self._work, stored, incoming)
        except AlreadyDone:
            return
        except RecordBroken:
            raise
        except Exception as error:
            await self._failed(stored, incoming, error)
        self._wake_sender()

    async def _failed(self, stored: Stored, incoming: Incoming, error: Exception) -> None:
        """Leave the update waiting when the fault may pass; else apologise and put it aside."""
        count = self._failures[stored.update_id] = self._failures.get(stored.update_id, 0) + 1
        log.error("update %s failed (%d times)", stored.update_id, count, exc_info=error)
        if isinstance(error, RecordError) and count < TRIES * 20:
            await asyncio.sleep(1.0)
            return
        if count < TRIES:
            return
        self._bot.store.mail.park(stored.update_id, repr(error))
        try:
            await self._api.send_message(incoming.chat, "Something went wrong with that one, and nothing was "
                                         "recorded. Try it in other words, please.")
        except TelegramError as unsent:
            log.info("an apology could not be sent: %s", unsent)

    def _work(self, stored: Stored, incoming: Incoming) -> None:
        bot, now = self._bot, datetime.now(UTC)
        if incoming.kind == "migrated" and incoming.moved_to:
            bot.store.members.moved(incoming.chat, incoming.moved_to)
        if incoming.kind in ("nothing", "migrated"):
            bot.store.mail.done(stored.update_id)
            return
        text = incoming.text
        if incoming.kind == "button":
            button = (incoming.button or "").removeprefix("b:")
            text = bot.store.mail.said_by_button(button, incoming.chat) or ""
        plot_id, line = self._doorway.plot_for(incoming.chat, incoming.user, text, now)
        if incoming.kind == "button" and not text:
            line = line or GONE
        if incoming.kind == "note":
            line = line or text
        if plot_id is None:
            bot.store.mail.answer_outside(stored.update_id, incoming.chat, _payload(Reply(line or CLOSED)))
            return
        person = f"tg:{incoming.user}"
        joined = bot.store.members.join(plot_id, person, incoming.name, now)
        sent_at = local(incoming.at or now, _zone(bot, plot_id))
        bot.freshen(plot_id, now)
        with bot.store.turn(plot_id, now) as transaction:
            transaction.finish_inbox(stored.update_id)
            if joined:
                came = NewEvent("person_added", sent_at.date(), words=incoming.name, data={"person": person})
                transaction.append([came], "riddle", f"joined:{person}:{stored.update_id}", now)
            if line is not None:
                replies: Sequence[Reply] = (Reply(line),)
            else:
                turn = bot.within(transaction, text, person=person, now=sent_at, given=_given(incoming),
                                  message=f"telegram:{incoming.chat}:{stored.update_id}", file_id=incoming.file_id)
                replies = _dated(turn, sent_at, local(now, _zone(bot, plot_id)))
                self._follow_up(plot_id, turn)
            for reply in replies:
                for payload in payload_of(reply, transaction, incoming.chat):
                    transaction.queue(Outgoing(incoming.chat, "reply", payload, reply_to=stored.update_id))

    def _follow_up(self, plot_id: str, turn: Turn) -> None:
        for event in turn.events:
            if event.kind == "timer_set":
                self.ticking.add(plot_id)
            if event.kind == "person_removed" and event.data.get("person"):
                person = str(event.data["person"])
                self._bot.store.members.leave(plot_id, person)
                if person.startswith("tg:"):
                    self._bot.store.members.unlink(int(person[3:]))


def _given(incoming: Incoming) -> tuple[Request, ...]:
    if incoming.kind != "location":
        return ()
    return (Request("set_location", text="shared location", spot=Spot(lat=incoming.lat, lon=incoming.lon)),)


def _zone(bot: Bot, plot_id: str) -> str:
    place = bot.store.plot(plot_id).settings.place
    return place.tz if place else "UTC"


def _dated(turn: Turn, sent_at: datetime, now: datetime) -> tuple[Reply, ...]:
    """Say which day was taken when a message waited while the bot was away."""
    if sent_at.date() == now.date() or not turn.replies:
        return turn.replies
    note = f"(You sent this on {sent_at.day} {sent_at:%B}; I took it as of that day.)"
    return (*turn.replies[:-1], turn.replies[-1].with_(lines=(*turn.replies[-1].lines, note)))


def payload_of(reply: Reply, transaction: Transaction, chat: int) -> list[dict[str, Any]]:
    """Return the messages of one reply to a chat, its choices kept as buttons of the transaction."""
    buttons = [] if transaction.erased else [
        [choice.label, transaction.button(chat, choice.says)] for choice in reply.choices]
    return _payload(reply, buttons)


def _payload(reply: Reply, buttons: Sequence[Sequence[str]] = ()) -> list[dict[str, Any]]:
    """Return the messages of one reply: buttons under the last, a picture and files with the first."""
    parts: list[dict[str, Any]] = [{"text": text, "html": True} for text in messages(reply)]
    parts[-1]["buttons"] = [list(button) for button in buttons]
    if reply.draw is not None:
        parts[0]["picture"] = base64.b64encode(reply.draw()).decode("ascii")
    if "export" in reply.effects:
        parts[0]["export"] = True
    return parts
