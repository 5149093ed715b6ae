"""Run Riddle on Telegram: fetch, work, send and file summaries side by side until told to stop."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import os
import signal
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from telegram import Bot as Api
from telegram import BotCommand
from telegram.error import InvalidToken, TelegramError
from telegram.request import HTTPXRequest

from bot.app import Bot
from bot.channels.telegram.doorway import Doorway
from bot.channels.telegram.poller import LONG_POLL_S, Ousted, poll
from bot.channels.telegram.quiet import guard
from bot.channels.telegram.sender import Sender
from bot.channels.telegram.weekly import Weekly
from bot.channels.telegram.worker import Worker

log = logging.getLogger(__name__)
TOKEN = "RIDDLE_TELEGRAM_TOKEN"
API = "RIDDLE_TELEGRAM_API"
PACE = "RIDDLE_TELEGRAM_PACE"

#: The command menu: (command, what it does). A command is the same words typed with a slash.
MENU = (
    ("help", "What can you do"),
    ("sow_now", "What can I sow or plant now"),
    ("fits_bed", "What fits the empty bed"),
    ("blanch", "Blanching times, e.g. /blanch peas"),
    ("jobs", "What should be done this week"),
    ("summary", "The weekly summary, now"),
    ("plot", "What is growing where"),
    ("stores", "What is in the freezer and on the shelf"),
    ("frost_tonight", "Frost risk, and what to cover"),
    ("undo", "Take back the last record"),
)


class CannotRun(Exception):
    """Telegram cannot be served; the message is one line for the person who started it."""


def run(bot: Bot, *, force: bool = False) -> None:
    """Serve until interrupted. Raises CannotRun."""
    token = os.environ.get(TOKEN, "").strip()
    if not token:
        raise CannotRun(f"Set {TOKEN} to your bot's token. To try Riddle without one: riddle chat --demo")
    logging.basicConfig(level=logging.INFO)
    guard(token)
    with contextlib.suppress(KeyboardInterrupt):
        asyncio.run(serve(bot, token, force=force, base=os.environ.get(API, ""),
                          pace=float(os.environ.get(PACE, "1"))))


async def serve(bot: Bot, token: str, *, force: bool = False, base: str = "", pace: float = 1.0,
                long_poll_s: int = LONG_POLL_S) -> None:
    """Serve until cancelled. `base` is another Bot API server's address; `pace` scales the pauses between sends."""
    base = base.rstrip("/")
    addresses: dict[str, Any] = {"base_url": f"{base}/bot", "base_file_url": f"{base}/file/bot"} if base else {}
    api = Api(token, request=HTTPXRequest(connect_timeout=5, read_timeout=15),
              get_updates_request=HTTPXRequest(connect_timeout=5), **addresses)
    try:
        await _introduce(api, force)
        await _work(bot, api, pace, long_poll_s)
    except InvalidToken:
        raise CannotRun(f"Telegram refused the token. Check {TOKEN}.") from None
    except Ousted as error:
        raise CannotRun(f"Stopped: {error}.") from None
    finally:
        with contextlib.suppress(TelegramError, RuntimeError):
            await api.shutdown()


async def _introduce(api: Api, force: bool) -> None:
    """Check the token, refuse to oust a webhook unasked, and set the command menu."""
    for attempt in range(5):
        try:
            await api.initialize()
            webhook = (await api.get_webhook_info()).url
            break
        except InvalidToken:
            raise
        except TelegramError as error:
            if attempt == 4:
                raise CannotRun(f"Telegram cannot be reached: {error}. Check the connection and start again.") from None
            await asyncio.sleep(0.5 * 2**attempt)
    if webhook and not force:
        raise CannotRun("This token serves a webhook elsewhere. "
                        "Start with --force to remove it and fetch messages here.")
    if webhook:
        await api.delete_webhook()
    with contextlib.suppress(TelegramError):  # a missing menu stops nothing
        await api.set_my_commands([BotCommand(name, text) for name, text in MENU])


async def _work(bot: Bot, api: Api, pace: float, long_poll_s: int) -> None:
    arrived, wake = asyncio.Event(), asyncio.Event()
    loop = asyncio.get_running_loop()
    doorway = Doorway(bot.settings, bot.store)
    code = doorway.first_code(datetime.now(UTC))
    if code:
        print(f"Nobody is let in yet. Send your bot this message: join {code}", flush=True)
    sender = Sender(api, bot.store, pace=pace, export=lambda plot: _files(bot, plot))
    sender.recover()

    def wake_sender() -> None:
        loop.call_soon_threadsafe(wake.set)

    worker = Worker(bot, api, doorway, wake_sender)
    weekly = Weekly(bot, worker, wake_sender)
    arrived.set()  # what was left undone comes first
    tasks = [asyncio.create_task(job) for job in (
        poll(api, bot.store.mail, arrived, long_poll_s=long_poll_s, pause_s=2 * pace), worker.run(arrived),
        sender.run(wake), weekly.run())]
    for name in (signal.SIGINT, signal.SIGTERM):
        with contextlib.suppress(NotImplementedError):
            loop.add_signal_handler(name, lambda: [task.cancel() for task in tasks])
    log.info("listening as @%s", api.username)
    try:
        done, _ = await asyncio.wait(tasks, return_when=asyncio.FIRST_EXCEPTION)
        for task in done:
            if not task.cancelled():
                task.result()
    finally:
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)


def _files(bot: Bot, plot_id: str) -> list[tuple[str, bytes]]:
    with TemporaryDirectory() as folder:
        return [(path.name, path.read_bytes()) for path in bot.export_plot(plot_id, Path(folder))]
