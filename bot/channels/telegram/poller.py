"""Fetch updates and store each one before it is confirmed.

Updates are fetched raw and stored unparsed: one that the library cannot parse then stops nothing, and a kill between
two fetches loses nothing, because only the next fetch confirms what was stored.
"""

from __future__ import annotations

import asyncio
import logging
import warnings
from datetime import UTC, datetime
from typing import Any

from telegram import Bot as Api
from telegram.error import Conflict, InvalidToken, RetryAfter, TelegramError

from bot.plot.mailbox import Mailbox

log = logging.getLogger(__name__)
# The raw call is meant: the parsed one would let one strange update stop all fetching.
warnings.filterwarnings("ignore", message="Please use 'Bot.getUpdates'")

#: The kinds of update we act on; always passed, because the server remembers an earlier choice.
ALLOWED = ["message", "edited_message", "callback_query"]
LONG_POLL_S = 25
#: Another poller on the same token answers 409 for as long as it runs; after this many we leave it the field.
CONFLICTS_BORNE = 5


class Ousted(Exception):
    """Another process polls with the same token."""


async def poll(api: Api, mail: Mailbox, arrived: asyncio.Event, *, long_poll_s: int = LONG_POLL_S,
               pause_s: float = 2.0) -> None:
    """Fetch for ever; set `arrived` when something new was stored. Raises Ousted and InvalidToken."""
    last = mail.last_update()
    offset = last + 1 if last is not None else None
    conflicts = failures = 0
    while True:
        try:
            raws = await api.do_api_request(
                "getUpdates",
                api_kwargs={"timeout": long_poll_s, "allowed_updates": ALLOWED,
                            **({"offset": offset} if offset is not None else {})},
                read_timeout=long_poll_s + 10)
        except InvalidToken:
            raise
        except Conflict:
            conflicts += 1
            if conflicts >= CONFLICTS_BORNE:
                raise Ousted("another program is fetching messages with the same token; stop it first") from None
            await asyncio.sleep(pause_s)
            continue
        except RetryAfter as error:
            await asyncio.sleep(seconds_of(error.retry_after))
            continue
        except TelegramError as error:
            failures += 1
            if failures in (1, 10, 100):
                log.warning("cannot fetch messages (%d times): %s", failures, error)
            await asyncio.sleep(min(60.0, pause_s * 2 ** min(failures, 5)))
            continue
        conflicts = failures = 0
        for raw in raws:
            offset = max(offset or 0, _store(mail, raw) + 1)
        if raws:
            arrived.set()


def _store(mail: Mailbox, raw: dict[str, Any]) -> int:
    update_id = int(raw["update_id"])
    mail.receive(update_id, raw, _chat(raw), datetime.now(UTC))
    return update_id


def _chat(raw: dict[str, Any]) -> int | None:
    """Find the chat of a raw update, if it has one where it should be."""
    pressed = raw.get("callback_query")
    parts = (raw.get("message"), raw.get("edited_message"), pressed.get("message") if isinstance(pressed, dict)
             else None)
    for part in parts:
        chat = part.get("chat") if isinstance(part, dict) else None
        if isinstance(chat, dict) and isinstance(chat.get("id"), int):
            return int(chat["id"])
    return None


def seconds_of(value: object) -> float:
    """Return a retry_after in seconds; the library gives a number or a timedelta."""
    return float(value.total_seconds()) if hasattr(value, "total_seconds") else float(value)  # type: ignore[arg-type]
