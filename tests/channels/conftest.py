"""A local Bot API server and Riddle serving against it, both real and over HTTP on loopback."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager, suppress
from pathlib import Path

import pytest

from bot.app import Bot, open_bot
from bot.channels.telegram.service import serve
from tests.botapi.server import TOKEN, BotApi

SETTINGS = """\
name: Test plot
place: {lat: 45.05, lon: 3.90, elevation_m: 880, tz: Europe/Paris, name: here}
telegram: {who: open}
"""

Serving = Callable[[], AbstractAsyncContextManager[Bot]]


@pytest.fixture
async def api() -> AsyncIterator[BotApi]:
    server = await BotApi().start()
    yield server
    await server.stop()


@pytest.fixture
def config(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "settings.yaml").write_text(SETTINGS, encoding="utf-8")
    monkeypatch.setenv("RIDDLE_DATABASE", f"sqlite:///{tmp_path / 'riddle.db'}")
    return tmp_path


@pytest.fixture
def serving(api: BotApi, config: Path) -> Serving:
    """Return a context manager that serves until left, and can be entered again on the same record."""

    @asynccontextmanager
    async def run() -> AsyncIterator[Bot]:
        with open_bot(config=config) as bot:
            task = asyncio.create_task(serve(bot, TOKEN, base=api.url, pace=0.0, long_poll_s=2))
            try:
                yield bot
                if task.done():
                    task.result()
            finally:
                task.cancel()
                with suppress(asyncio.CancelledError):
                    await task

    return run
