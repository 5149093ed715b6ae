"""Whole conversations over HTTP: the real library against the local Bot API server."""

from __future__ import annotations

import logging
import time
from pathlib import Path

import pytest

from tests.botapi.server import TOKEN, BotApi
from tests.channels.conftest import Serving


async def say(api: BotApi, text: str, chat: int = 7) -> str:
    """Send a message and return the answer."""
    before = len(api.texts(chat))
    api.message(chat, text=text)
    return "\n".join((await api.wait_sent(before + 1, chat))[before:])


async def test_ten_turns_with_buttons_and_a_location(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        assert await say(api, "/start")
        before = len(api.texts())
        api.message(location={"latitude": 45.05, "longitude": 3.9})
        assert "45.05" in (await api.wait_sent(before + 1))[before]
        assert "North bed" in await say(api, "add a bed called North bed, 1.2 x 4 m")
        assert "South bed" in await say(api, "add a bed called South bed, 1.2 x 3 m")
        assert "broad bean" in (await say(api, "sowed broad beans in the north bed today")).lower()
        blanched = await say(api, "how long do I blanch runner beans")
        assert "3 min" in blanched
        picked = await say(api, "picked 2 kg of broad beans from the north bed")
        assert "2 kg" in picked
        offered = await say(api, "what fits the south bed")
        assert "South bed" in offered
        assert "took" in (await say(api, "undo")).lower() or "taken back" in api.texts()[-1].lower()
        assert not bot.store.plot("chat7").harvests
        assert await say(api, "what should I do this week")
        kinds = [e.kind for e in bot.store.plot("chat7").journal]
        assert kinds.count("bed_added") == 2
        assert kinds.count("sown") == 1
    assert {command["command"] for command in api.commands} >= {"help", "undo", "fits_bed"}


async def test_a_button_says_what_its_label_offers(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        for name in ("Left bed", "Right bed"):
            await say(api, f"add a bed called {name}, 1 x 3 m")
        question = await say(api, "sowed peas")
        buttons = api.buttons()
        assert buttons, question
        left = next(data for label, data in buttons if "Left" in label)
        before = len(api.texts())
        api.press(left)
        await api.wait_sent(before + 1)
        assert ("answerCallbackQuery" in [method for method, _ in api.calls])
        sown = [e for e in bot.store.plot("chat7").journal if e.kind == "sown"]
        assert [e.bed for e in sown] == ["left-bed"]


async def test_another_chats_button_and_an_old_button_do_nothing(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        await say(api, "hello")
        before = len(api.texts())
        api.press("b:nonsense")
        assert "too old" in (await api.wait_sent(before + 1))[before]
        kinds = {e.kind for e in bot.store.plot("chat7").journal}
        assert kinds == {"plot_set", "person_added"}


async def test_one_persons_plot_never_shows_in_anothers(api: BotApi, serving: Serving) -> None:
    async with serving():
        await say(api, "add a bed called Secret corner, 1 x 3 m", chat=7)
        await say(api, "picked 3 kg of kale from the secret corner", chat=7)
        for text in ("what is growing where", "history", "what have I picked", "what's in the freezer", "summary"):
            assert "secret" not in (await say(api, text, chat=8)).lower()
            assert "3 kg" not in api.texts(8)[-1]


async def test_the_same_update_twice_is_recorded_once(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        await say(api, "hello")
        body = api.body(7, text="note: first swallow seen")
        api.push({"update_id": 5000, "message": body})
        api.push({"update_id": 5000, "message": body})
        await say(api, "thanks")
        assert [e.kind for e in bot.store.plot("chat7").journal].count("noted") == 1


async def test_one_bad_update_stops_nothing(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        bad = api.push({"message": {"message_id": "x", "date": "never", "chat": 3, "from": []}})
        assert await say(api, "hello")
        assert bot.store.mail.inbox_state(bad) == "parked"


async def test_a_message_that_waited_counts_for_its_own_day(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        await say(api, "hello")
        before = len(api.texts())
        api.message(text="note: hedgehog under the shed", date=int(time.time()) - 3 * 86400)
        answer = (await api.wait_sent(before + 1))[before]
        assert "as of that day" in answer
        noted = next(e for e in bot.store.plot("chat7").journal if e.kind == "noted")
        assert 2 <= (noted.at.date() - noted.day).days + 3 <= 4


async def test_html_in_a_message_comes_back_as_text(api: BotApi, serving: Serving) -> None:
    async with serving():
        assert await say(api, "note: <b>slugs</b> & <script>alert(1)</script>")
        assert all("<script>" not in m["_raw"] for m in api.sent)


async def test_a_photo_is_kept_with_the_bed_its_caption_names(api: BotApi, serving: Serving) -> None:
    async with serving() as bot:
        await say(api, "add a bed called North bed, 1 x 3 m")
        before = len(api.texts())
        size = {"file_id": "pic", "file_unique_id": "p", "width": 9, "height": 9}
        api.message(photo=[size], caption="the north bed")
        answer = (await api.wait_sent(before + 1))[before]
        assert "North bed" in answer
        photo = next(e for e in bot.store.plot("chat7").journal if e.kind == "photo")
        assert (photo.bed, photo.data["file_id"]) == ("north-bed", "pic")


@pytest.mark.parametrize("who", ["invite"])
async def test_a_stranger_waits_at_the_door(api: BotApi, serving: Serving, config: Path, who: str,
                                            capsys: pytest.CaptureFixture[str]) -> None:
    settings = config / "settings.yaml"
    settings.write_text(settings.read_text().replace("who: open", f"who: {who}"))
    async with serving() as bot:
        assert "private" in await say(api, "hello")
        code = capsys.readouterr().out.split("join ")[1].split()[0]
        assert "wrong" in await say(api, "join 0000000000")
        assert "Welcome" in await say(api, f"join {code}")
        assert "private" not in await say(api, "hello")
        assert "wrong" in await say(api, f"/start {code}", chat=8)
        assert bot.store.members.plot_of(8) is None


async def test_export_comes_as_files(api: BotApi, serving: Serving) -> None:
    async with serving():
        await say(api, "add a bed called North bed, 1 x 3 m")
        await say(api, "give me my record")
        await say(api, "hello")
        assert [m for m, _ in api.calls].count("sendDocument") >= 3


async def test_the_token_is_in_no_log_line(api: BotApi, serving: Serving, caplog: pytest.LogCaptureFixture) -> None:
    from bot.channels.telegram.quiet import guard

    root = logging.getLogger()
    caplog.set_level(logging.DEBUG)
    guard(TOKEN)
    lines: list[str] = []

    class Keep(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            lines.append(self.format(record))

    keep = Keep(level=logging.DEBUG)
    root.addHandler(keep)
    try:
        guard(TOKEN)
        logging.getLogger("test").debug("url %s/bot%s/getMe", api.url, TOKEN)
        async with serving():
            await say(api, "hello")
            await say(api, "how long do I blanch peas")
        try:
            raise RuntimeError(f"failed at {TOKEN}")
        except RuntimeError:
            logging.getLogger("test").exception("trouble")
    finally:
        root.removeHandler(keep)
    assert any("<token>" in line for line in lines)
    assert not any(TOKEN in line or TOKEN.split(":")[1] in line for line in lines)
