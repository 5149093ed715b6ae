"""Messages in which a wrong reading would give too short a time, and questions about jars that ask for none."""

from __future__ import annotations

import re

import pytest

from bot.reply import plain_text
from tests.preserving.kitchen import Kitchen


def can(text: str, *crops: str, metres: float | None = 0, **fields: object) -> dict:
    return Kitchen(metres).ask("can", text, *crops, **fields).data["can"]


@pytest.mark.parametrize(
    "text",
    [
        "whole tomatoes in tomato juice, quarts",
        "tomatoes in their own juice in quarts",
        "tomatoes packed in juice, quarts",
    ],
)
def test_tomatoes_in_juice_take_85_minutes_not_the_juice_time(text: str) -> None:
    """Pages 3-6 and 3-11: juice in quarts 40 minutes, whole tomatoes in juice 85."""
    data = can(text, "tomato")
    assert (data["product"], data["minutes"]) == ("tomatoes-whole-or-halved-in-tomato-juice", 85)


def test_lemon_juice_does_not_make_it_juice() -> None:
    data = can("crushed tomatoes with bottled lemon juice in quarts", "tomato")
    assert (data["product"], data["minutes"]) == ("tomatoes-crushed", 45)


def test_two_products_in_one_breath_are_asked_about() -> None:
    data = can("crushed tomato sauce in quarts", "tomato")
    assert data["verdict"] == "ask" and data["minutes"] is None


@pytest.mark.parametrize(
    "crops", [("tomato", "onion"), ("tomato", "pepper-sweet"), ("tomato", "garlic"), ("tomato", "courgette")]
)
def test_vegetables_beside_tomatoes_are_refused(crops: tuple[str, ...]) -> None:
    data = can("crushed tomatoes with them in a water bath", *crops)
    assert data["verdict"] == "refused" and data["minutes"] is None


@pytest.mark.parametrize(
    "text",
    [
        "squash butter in half pints",
        "mango salsa in pints",
        "banana ketchup, pints",
        "goat stew in jars",
        "butter",
        "relish",
        "juice",
    ],
)
def test_a_word_without_a_crop_is_no_product(text: str) -> None:
    assert can(text)["minutes"] is None
    assert can(text, unknown_crop="banana")["minutes"] is None


def test_an_unknown_crop_has_no_recipe() -> None:
    data = Kitchen().ask("pickle", "mango relish", unknown_crop="mango").data["pickle"]
    assert data["verdict"] == "ask" and data["minutes"] is None


def test_carrot_soup_is_not_vegetable_soup() -> None:
    assert can("carrot soup in pints", "carrot")["verdict"] == "refused"
    assert can("vegetable soup of carrots and beans in pints", "carrot", "french-bean")["product"] == "vegetable-soup"


def test_butter_beans_are_no_butter() -> None:
    assert can("pressure can butter beans in pints", "lima-bean")["product"] == "lima-beans-fresh-shelled"


def test_preserve_as_a_verb_is_no_jam() -> None:
    assert can("preserve carrots in jars", "carrot")["product"] == "carrots"


def test_less_sugar_in_jam_is_refused_but_not_in_pickles() -> None:
    assert can("strawberry jam with half the sugar", "strawberry")["reason"] == "jam-sugar"
    assert Kitchen().ask("pickle", "pickled beetroot with less sugar", "beetroot").data["pickle"]["verdict"] == "tested"


@pytest.mark.parametrize(
    "text", ["my jar of beans didn't seal", "lid not sealed on the jar", "the seal has failed", "two jars are unsealed"]
)
def test_unsealed_jars(text: str) -> None:
    reply = Kitchen().ask("can", text, "french-bean")
    assert "24 hours" in reply.headline and reply.data["can"]["minutes"] is None


def test_acid_in_tomatoes() -> None:
    reply = Kitchen().ask("can", "do I need to add lemon juice to bottled tomatoes", "tomato")
    assert reply.headline.startswith("Yes") and "2 tbsp" in plain_text(reply)
    assert "30 ml" not in plain_text(reply) and reply.data["can"]["minutes"] is None


def test_old_jars() -> None:
    reply = Kitchen().ask("can", "are my bottled beans from 2024 still safe to eat", "french-bean")
    assert "pressure canner" in plain_text(reply) and not re.search(r"\d+ min", plain_text(reply))


def test_height_above_the_dial_table_is_refused() -> None:
    """The dial-gauge table of guide 4 ends at 8,000 ft (2,438.4 m); the weighted gauge has no upper end."""
    assert can("green beans dial gauge", "french-bean", metres=2438.4)["psi"] == 14
    above = can("green beans dial gauge", "french-bean", metres=2440)
    assert above["verdict"] == "refused" and above["reason"] == "height"
    assert can("green beans in a pressure canner", "french-bean", metres=2600)["method"] == "pressure-weighted"


def test_steam_canner_limits() -> None:
    """National Center for Home Food Preservation: 45 minutes at most, height included, and acid food only."""
    assert can("plums in a steam canner, pints", "plum")["minutes"] == 20
    late = can("whole tomatoes in tomato juice in a steam canner", "tomato")
    assert late["verdict"] == "refused" and late["reason"] == "steam"


@pytest.mark.parametrize("metres,expected", [(-400, 0), (-5, 0), (5600, None), (float("nan"), None)])
def test_heights_out_of_this_world(metres: float, expected: float | None) -> None:
    data = can("crushed tomatoes", "tomato", metres=metres)
    assert data["altitude_m"] == expected
    assert data["verdict"] == ("tested" if expected is not None else "ask")


def test_metric_jars_go_up_a_size_and_never_down() -> None:
    small = can("crushed tomatoes in 250 ml jars", "tomato")
    assert small["jar"] == "pint"
    half = can("crushed tomatoes in 500 ml jars", "tomato")
    assert (half["jar"], half["minutes"]) == ("quart", 45)
    assert can("crushed tomatoes in 1 litre jars", "tomato")["verdict"] == "refused"
    assert can("dilled beans in 500 ml jars", "french-bean")["verdict"] == "refused"


def test_runner_beans_and_other_words_of_the_plot() -> None:
    reply = Kitchen(880).ask("can", "bottle runner beans", "runner-bean")
    assert "names green (French) beans and not runners" in plain_text(reply)


def test_american_words() -> None:
    reply = Kitchen(0, units="us", words="us").ask("can", "can leeks", "leek")
    assert "way to can" in reply.headline
