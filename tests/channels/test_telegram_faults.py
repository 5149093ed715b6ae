"""What happens when sending or fetching goes wrong."""

from __future__ import annotations

import asyncio
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.app import open_bot
from bot.channels.telegram.service import CannotRun, serve
from bot.plot.turn import Outgoing
from tests.botapi.server import TOKEN, BotApi, Fault
from tests.channels.conftest import Serving
from tests.channels.test_telegram_talk import say

TOO_FAST = Fault(429, "Too Many Requests: retry after 1", {"retry_after": 1})


async def test_too_many_requests_waits_and_loses_nothing(api: BotApi, serving: Serving) -> None:
    async with serving():
        api.fail("sendMessage", TOO_FAST)
        assert await say(api, "hello")
        assert len(api.texts()) == 1


async def test_replies_keep_their_order_past_a_wait(api: BotApi, serving: Serving) -> None:
    async with serving():
        await say(api, "hello")
        api.fail("sendMessage", TOO_FAST)
        api.message(text="how long do I blanch peas")
        api.message(text="how long do I blanch spinach")
        texts = await api.wait_sent(3)
        assert "pea" in texts[1].lower()
        assert "spinach" in texts[2].lower()


async def test_refused_markup_goes_once_as_plain_text(api: BotApi, serving: Serving) -> None:
    async with serving():
        api.fail("sendMessage", Fault(400, "Bad Request: can't parse entities: x"))
        assert "<b>" not in await say(api, "hello")
        assert [m for m, _ in api.calls].count("sendMessage") == 2


async def test_a_refused_message_is_not_repeated(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        api.fail("sendMessage", Fault(400, "Bad Request: chat not found"))
        api.message(text="hello")
        await say(api, "thanks")
        assert len(api.texts()) == 1
        assert bot.store.mail.row(1).state == "failed"  # type: ignore[union-attr]


async def test_a_closed_chat_gets_no_more_summaries(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        api.fail("sendMessage", Fault(403, "Forbidden: bot was blocked by the user"))
        api.message(text="hello")
        async with asyncio.timeout(10):
            while not bot.store.mail.row(1) or bot.store.mail.row(1).state != "failed":  # type: ignore[union-attr]
                await asyncio.sleep(0.02)
        assert bot.store.members.chats_for_summary() == []


async def test_a_chat_that_moved_is_followed(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        api.fail("sendMessage", Fault(400, "Bad Request: group chat was upgraded",
                                      {"migrate_to_chat_id": -1001234567890}))
        api.message(-5, kind="group", text="hello", user=7)
        await api.wait_sent(1, chat=-1001234567890)
        assert bot.store.members.plot_of(-1001234567890) == "chat-5"
        assert bot.store.members.plot_of(-5) is None


@pytest.mark.parametrize("fault", [Fault(drop="after"), Fault(500, "Internal Server Error")])
async def test_an_uncertain_reply_goes_once_more_and_no_more(api: BotApi, serving: Serving, fault: Fault) -> None:
    async with serving() as bot:
        api.fail("sendMessage", fault, fault)
        api.message(text="hello")
        async with asyncio.timeout(10):
            while not bot.store.mail.row(1) or bot.store.mail.row(1).state != "uncertain":  # type: ignore[union-attr]
                await asyncio.sleep(0.02)
        await say(api, "thanks")
        assert [m for m, _ in api.calls].count("sendMessage") == 3


async def test_an_uncertain_summary_is_not_repeated(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        await say(api, "hello")
        api.fail("sendMessage", Fault(drop="after"))
        with bot.store.turn("chat7", datetime.now(UTC)) as turn:
            row, = turn.queue(Outgoing(7, "summary", {"text": "This week", "html": True}))
        async with asyncio.timeout(10):
            while bot.store.mail.row(row).state != "uncertain":  # type: ignore[union-attr]
                await asyncio.sleep(0.02)
        await say(api, "thanks")
        assert api.texts().count("This week") == 1


async def test_fetching_survives_a_server_in_trouble(api: BotApi, serving: Serving) -> None:
    api.fail("getUpdates", Fault(502, "Bad Gateway"), Fault(drop="before"))
    async with serving():
        assert await say(api, "hello")


async def test_a_webhook_is_not_removed_unasked(api: BotApi, config: Path) -> None:
    api.webhook = "https://elsewhere.example/hook"
    with open_bot(config=config) as bot:
        with pytest.raises(CannotRun, match="--force"):
            await serve(bot, TOKEN, base=api.url)
        assert api.webhook
        task = asyncio.create_task(serve(bot, TOKEN, base=api.url, force=True, pace=0, long_poll_s=1))
        assert await say(api, "hello")
        assert not api.webhook
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)


async def test_a_second_poller_leaves_the_field(api: BotApi, config: Path) -> None:
    api.fail("getUpdates", *[Fault(409, "Conflict: terminated by other getUpdates request")] * 5)
    with open_bot(config=config) as bot, pytest.raises(CannotRun, match="same token"):
        async with asyncio.timeout(20):
            await serve(bot, TOKEN, base=api.url, pace=0.01)


async def test_a_refused_token_is_one_line(api: BotApi, config: Path) -> None:
    with open_bot(config=config) as bot, pytest.raises(CannotRun, match="RIDDLE_TELEGRAM_TOKEN") as caught:
        await serve(bot, "1:wrong", base=api.url)
    assert "1:wrong" not in str(caught.value)
