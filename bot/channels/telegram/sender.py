"""Deliver what is due in the outbox.

A send has no key that would make it safe to repeat, so each row's state says what is known: a failed connection or a
429 surely did not arrive and is tried again; a time-out may have arrived: a direct reply is sent once more, a weekly
summary is not. A 400 is final, except that a reply whose markup was refused goes once as plain text. A 403 means the
chat is closed to us and gets no more summaries.
"""

from __future__ import annotations

import asyncio
import base64
import io
import logging
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
from telegram import Bot as Api
from telegram import InlineKeyboardButton, InlineKeyboardMarkup, InputFile
from telegram.error import BadRequest, ChatMigrated, Forbidden, InvalidToken, NetworkError, RetryAfter, TelegramError

from bot.channels.telegram.poller import seconds_of
from bot.channels.telegram.render import CAPTION_LIMIT, plain, utf16_length
from bot.plot.mailbox import Due
from bot.plot.store import Store

log = logging.getLogger(__name__)

#: Published limits: about a message a second in one chat, 20 a minute in a group, 30 a second in all.
CHAT_PAUSE_S, GROUP_PAUSE_S, ALL_PAUSE_S = 1.0, 3.0, 1 / 30
#: A direct reply of unknown fate is sent this often at the most.
TRIES_WHEN_UNSURE = 2
#: A message that cannot be sent is given up after this many tries, hours later; by then the gardener has asked again.
GIVE_UP_AFTER = 120


class Sender:
    """Send rows of the outbox in order, chat by chat."""

    def __init__(self, api: Api, store: Store, *, pace: float = 1.0,
                 export: Callable[[str], list[tuple[str, bytes]]] | None = None) -> None:
        self._api = api
        self._store = store
        self._pace = pace
        self._export = export
        self._free_at: dict[int, float] = {}

    def recover(self) -> None:
        """Decide what to do with rows whose sending was cut short by a stop."""
        for row in self._store.mail.cut_short():
            self._unsure(row, "stopped while sending")

    async def run(self, wake: asyncio.Event) -> None:
        """Send for ever."""
        while True:
            wake.clear()
            waiting = await self.send_due()
            with suppress(TimeoutError):
                async with asyncio.timeout(0.05 if waiting else 1.0):
                    await wake.wait()

    async def send_due(self) -> bool:
        """Send what may go now; tell whether anything is left that only waits for its chat's turn."""
        left = False
        held: set[int] = set()
        for row in self._store.mail.due(datetime.now(UTC), limit=100):
            if row.chat in held or time.monotonic() < self._free_at.get(row.chat, 0.0):
                held.add(row.chat)  # what follows in the same chat must not overtake
                left = True
                continue
            if not self._store.mail.sending(row.id):
                continue
            if await self._send(replace(row, tries=row.tries + 1)):
                pause = CHAT_PAUSE_S if row.chat > 0 else GROUP_PAUSE_S
                self._free_at[row.chat] = time.monotonic() + pause * self._pace
            else:
                held.add(row.chat)
            await asyncio.sleep(ALL_PAUSE_S * self._pace)
        return left

    async def _send(self, row: Due) -> bool:
        """Try one row and note how it went; False when it stays due, so that later rows of its chat wait."""
        mail = self._store.mail
        try:
            await self._deliver(row.chat, row.plot, row.payload)
        except RetryAfter as error:
            return self._later(row, seconds_of(error.retry_after), "429")
        except ChatMigrated as error:
            self._store.members.moved(row.chat, error.new_chat_id)
            return self._later(row, 0, "chat moved")
        except Forbidden as error:
            mail.failed(row.id, str(error))
            self._store.members.pause(row.chat)
        except InvalidToken:
            mail.retry(row.id, datetime.now(UTC), "token refused")
            raise
        except BadRequest as error:
            if "parse entities" in str(error) and row.payload.get("html"):
                return await self._send_plain(row)
            mail.failed(row.id, str(error))
            log.warning("a message was refused: %s", error)
        except NetworkError as error:
            if _never_left(error):
                return self._later(row, min(60.0, 2.0**row.tries), str(error))
            self._unsure(row, str(error))
        except TelegramError as error:
            mail.failed(row.id, str(error))
            log.warning("a message could not be sent: %s", error)
        else:
            mail.sent(row.id, datetime.now(UTC))
        return True

    async def _send_plain(self, row: Due) -> bool:
        try:
            await self._deliver(row.chat, row.plot, {**row.payload, "text": plain(row.payload["text"]), "html": False})
        except TelegramError as error:
            self._store.mail.failed(row.id, str(error))
        else:
            self._store.mail.sent(row.id, datetime.now(UTC))
        return True

    def _later(self, row: Due, seconds: float, problem: str) -> bool:
        if row.tries >= GIVE_UP_AFTER:
            self._store.mail.failed(row.id, problem)
            return True
        self._store.mail.retry(row.id, datetime.now(UTC) + timedelta(seconds=seconds), problem)
        self._free_at[row.chat] = time.monotonic() + seconds
        return False

    def _unsure(self, row: Due, problem: str) -> None:
        if row.kind != "summary" and row.tries < TRIES_WHEN_UNSURE:
            self._store.mail.retry(row.id, datetime.now(UTC), problem)
        else:
            self._store.mail.uncertain(row.id, problem)

    async def _deliver(self, chat: int, plot: str | None, payload: dict[str, Any]) -> None:
        mode = "HTML" if payload.get("html") else None
        markup = _keyboard(payload.get("buttons") or [])
        text = payload.get("text", "")
        if payload.get("export") and plot and self._export:
            for name, content in self._export(plot):
                await self._api.send_document(chat, InputFile(io.BytesIO(content), filename=name))
        if payload.get("picture"):
            image = InputFile(io.BytesIO(base64.b64decode(payload["picture"])), filename="plot.png")
            fits = utf16_length(plain(text)) <= CAPTION_LIMIT
            await self._api.send_photo(chat, image, caption=text if fits else None, parse_mode=mode,
                                       reply_markup=markup if fits else None)
            if fits:
                return
        if text:
            await self._api.send_message(chat, text, parse_mode=mode, reply_markup=markup)


def _keyboard(buttons: list[list[str]]) -> InlineKeyboardMarkup | None:
    """Lay buttons out two a row when their labels are short, one a row when not."""
    if not buttons:
        return None
    made = [InlineKeyboardButton(label[:60], callback_data=f"b:{ident}") for label, ident in buttons]
    width = 2 if all(len(label) <= 18 for label, _ in buttons) else 1
    return InlineKeyboardMarkup([made[i:i + width] for i in range(0, len(made), width)])


def _never_left(error: NetworkError) -> bool:
    """Tell whether the request surely never reached the server: the connection itself was not made."""
    return isinstance(error.__cause__, httpx.ConnectError | httpx.ConnectTimeout | httpx.PoolTimeout)
