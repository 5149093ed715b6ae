"""Every kind of update means something definite to the house."""

from __future__ import annotations

from typing import Any

import pytest
from telegram import Update

from bot.channels.telegram.intake import Incoming, read_update
from tests.botapi.server import BotApi


def parsed(**update: Any) -> Incoming:
    found = Update.de_json({"update_id": 1, **update}, None)
    assert found is not None
    return read_update(found, "riddle_test_bot")


def of(**content: Any) -> Incoming:
    return parsed(message=BotApi().body(7, **content))


def test_a_text_is_answered_as_written() -> None:
    found = of(text="how long do I blanch peas")
    assert (found.kind, found.text, found.chat, found.user) == ("text", "how long do I blanch peas", 7, 7)


@pytest.mark.parametrize(("sent", "heard"), [
    ("/blanch peas", "blanch peas"),
    ("/frost_dates", "frost dates"),
    ("/help@riddle_test_bot", "help"),
    ("@riddle_test_bot what can I sow", "what can I sow"),
])
def test_commands_and_the_bots_name_become_plain_words(sent: str, heard: str) -> None:
    assert of(text=sent).text.replace("  ", " ") == heard


def test_a_location_is_a_place() -> None:
    found = of(location={"latitude": 45.05, "longitude": 3.9})
    assert (found.kind, found.lat, found.lon) == ("location", 45.05, 3.9)


def test_a_live_location_is_not_kept() -> None:
    assert of(location={"latitude": 1, "longitude": 2, "live_period": 900}).kind == "note"
    assert parsed(edited_message=BotApi().body(7, location={"latitude": 1, "longitude": 2})).kind == "nothing"


def test_a_forward_is_never_recorded() -> None:
    found = of(text="picked 3 kg of beans", forward_origin={
        "type": "hidden_user", "date": 1, "sender_user_name": "Someone"})
    assert found.kind == "note"
    assert "recorded nothing" in found.text


def test_an_edit_offers_to_correct() -> None:
    found = parsed(edited_message=BotApi().body(7, text="picked 3 kg"))
    assert found.kind == "note"
    assert "I meant 3 kg" in found.text


@pytest.mark.parametrize("content", [
    {"voice": {"file_id": "v", "file_unique_id": "v", "duration": 1}},
    {"sticker": {"file_id": "s", "file_unique_id": "s", "type": "regular", "width": 1, "height": 1,
                 "is_animated": False, "is_video": False}},
    {"contact": {"phone_number": "0", "first_name": "A"}},
    {"video": {"file_id": "v", "file_unique_id": "v", "width": 1, "height": 1, "duration": 1}},
    {"document": {"file_id": "d", "file_unique_id": "d"}},
    {"dice": {"emoji": "🎲", "value": 3}},
])
def test_what_cannot_be_read_gets_a_helpful_line(content: dict[str, Any]) -> None:
    found = of(**content)
    assert found.kind == "note"
    assert found.text.endswith(".")


def test_a_photo_speaks_by_its_caption() -> None:
    size = {"file_id": "big", "file_unique_id": "b", "width": 10, "height": 10}
    found = of(photo=[{**size, "file_id": "small"}, size], caption="holes in the kale, bed 1")
    assert (found.kind, found.file_id, found.text) == ("photo", "big", "holes in the kale, bed 1")


def test_a_group_turned_supergroup_moves() -> None:
    found = of(kind="group", migrate_to_chat_id=-1001234567890)
    assert (found.kind, found.moved_to) == ("migrated", -1001234567890)


def test_a_service_message_means_nothing() -> None:
    assert of(kind="group", new_chat_title="Plot").kind == "nothing"
