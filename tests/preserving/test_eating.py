"""What must not be eaten is said first, and only when that is what is asked."""

from __future__ import annotations

import pytest

from bot.preserving.commands import kitchen_request
from bot.preserving.eating import eating_reply, not_to_eat
from bot.request import Request
from tests.preserving.kitchen import FACTS


@pytest.mark.parametrize(
    "text,crops,row",
    [
        ("can i eat green potatoes", (), "green-potatoes"),
        ("are they alright if they've gone green", ("potato",), "green-potatoes"),
        ("are potato berries poisonous", (), "potato-tops"),
        ("can I eat rhubarb leaves", (), "rhubarb-leaves"),
        ("are raw runner beans ok in a salad", (), "raw-beans"),
        ("can you eat kidney beans from the slow cooker uncooked", (), "raw-beans"),
        ("my courgettes taste bitter", (), "bitter-fruit"),
        ("is the apricot kernel edible", (), "fruit-kernels"),
        ("can we eat elderberries raw", (), "elder-raw"),
    ],
)
def test_what_must_not_be_eaten_is_refused(text: str, crops: tuple[str, ...], row: str) -> None:
    found = not_to_eat(text, crops, FACTS.root)
    assert found is not None and found.id == row
    reply = eating_reply(found, "can i eat it", FACTS.root)
    assert reply.headline.startswith(("No", "Do not")) and not reply.events
    kitchen = kitchen_request(text, [Request("crop_info", text=text, crops=crops)], FACTS)
    assert kitchen is not None and kitchen.intent == "use_up"


@pytest.mark.parametrize(
    "text",
    [
        "can I compost rhubarb leaves",
        "what is eating my potato leaves",
        "can I cut the potato tops off now, is that ok",
        "can I eat potatoes now",
        "green beans with the potatoes",
        "slugs ate the potato leaves",
        "will the green tomatoes be ok in the frost",
        "",
    ],
)
def test_other_questions_are_left_alone(text: str) -> None:
    assert not_to_eat(text, (), FACTS.root) is None


@pytest.mark.parametrize(
    ("text", "start"),
    [
        ("is rhubarb leaf poisonous", "Yes: rhubarb leaves are poisonous"),
        ("are the green bits on potatoes toxic", "Yes: green"),
        ("are potato berries bad for the kids", "Yes: the leaves"),
        ("are rhubarb leaves edible or poisonous", "Rhubarb leaves are poisonous"),
        ("can we eat rhubarb leaves", "No: rhubarb leaves"),
        ("is a bitter courgette harmful", "Do not eat it"),
    ],
)
def test_whether_it_harms_is_a_yes_where_whether_it_may_be_eaten_is_a_no(text: str, start: str) -> None:
    found = not_to_eat(text, (), FACTS.root)
    assert found is not None and eating_reply(found, text, FACTS.root).headline.startswith(start)


def test_a_record_stays_a_record() -> None:
    read = [Request("log_harvest", text="picked 2 kg of bitter courgettes", crops=("courgette",))]
    assert kitchen_request("picked 2 kg of bitter courgettes", read, FACTS) is None
