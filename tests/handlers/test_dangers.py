"""A danger named in passing is cautioned, and ordinary talk is not."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
import yaml

from bot.facts import Facts
from bot.facts.paths import shipped
from bot.handlers.dangers import LEFT, danger_in, minding, told_by_words
from bot.plot.events import NewEvent
from bot.preserving.alarm import alarm
from bot.reply import Reply
from bot.request import Request
from bot.understanding.spoken import load_dangers
from tests.conftest import DemoOn
from tests.handlers.talk import context

CASES: dict[str, list[str]] = yaml.safe_load((Path(__file__).parent / "dangers.yaml").read_text(encoding="utf-8"))
NAMED = [(hazard, text) for hazard, texts in CASES.items() if hazard != "none" for text in texts]
ROOT = shipped("knowledge")


@pytest.mark.parametrize("hazard,text", NAMED, ids=lambda v: v[:45])
def test_a_hazard_is_heard(hazard: str, text: str) -> None:
    row = danger_in(text, ROOT)
    assert row is not None and row.id == hazard


@pytest.mark.parametrize("text", CASES["none"], ids=lambda v: v[:45])
def test_ordinary_talk_names_none_and_raises_no_alarm(text: str) -> None:
    assert danger_in(text, ROOT) is None
    assert alarm(text) is None


PICKED = Reply("Picked 2 kg of potatoes, today.", events=(NewEvent("harvested", date(2026, 6, 17), crop="potato"),))
HARVEST = (Request("log_harvest"),)


def test_every_message_of_harm_needs_an_answer_there_is(facts: Facts) -> None:
    names = {name for name, _ in load_dangers(facts.root)} - {"safe"}
    assert len(names) > 100
    for name in sorted(names):
        replies, first = minding(name, True, "", (Reply("Else."),), (), context(facts))
        assert first or any(reply.cautions for reply in replies), name


def test_an_alarm_is_all_that_is_said_and_a_matter_of_safety_comes_before_what_is_recorded(facts: Facts) -> None:
    alone, first = minding("alarm:poison", True, "", (PICKED,), HARVEST, context(facts))
    assert first and len(alone) == 1 and "poison centre" in alone[0].headline
    both, first = minding("eating:green-potatoes", True, "", (PICKED,), HARVEST, context(facts))
    assert first and len(both) == 2 and both[1] is PICKED and "poisonous" in both[0].headline


def test_what_is_heard_less_surely_stands_beside_the_answer(facts: Facts) -> None:
    replies, first = minding("alarm:poison", False, "", (PICKED,), HARVEST, context(facts))
    assert not first and replies[0].events and "poison centre" in replies[0].cautions[0]


def test_what_must_not_be_eaten_of_other_crops_is_not_said(facts: Facts) -> None:
    """A bitter courgette is poisonous, a bitter lettuce is only old; and what words name goes before what was heard."""
    plain, ctx = (Reply("What do you see?"),), context(facts)
    lettuce, potato = Request("pest", text="why is my lettuce bitter", crops=("lettuce",)), Request("use_up", text="can i eat spuds with blight", crops=("potato",))
    assert minding("eating:bitter-fruit", True, lettuce.text, plain, (lettuce,), ctx) == (plain, False)
    assert minding("eating:bitter-fruit", True, "why is it bitter", plain, (lettuce.with_(crops=("courgette",)),), ctx)[1]
    assert minding("eating:potato-tops", True, potato.text, plain, (potato,), ctx)[0][0].headline.startswith("The sound ones")


def test_a_no_already_said_is_not_said_again(facts: Facts) -> None:
    refused = Reply("No: it must not be bottled in boiling water.", data={"can": {"verdict": "refused"}})
    assert minding("refuse:oven", True, "", (refused,), (Request("can"),), context(facts)) == ((refused,), False)


@pytest.mark.parametrize(("text", "name"), [
    ("my dog ate the slug pellets", "alarm:vet"), ("can I eat green potatoes", "eating:green-potatoes"), ("picked 2 kg of beans", "")])
def test_the_words_alone_name_an_answer(text: str, name: str) -> None:
    assert told_by_words(text, ROOT) == name


@pytest.mark.parametrize(("text", "opening"), [
    ("bottled the runner beans an hour in the big pan, how long do they keep", "Do not eat those"),
    ("the wee one has been chewing yew", "Ring your poison centre"),
])
def test_harm_told_in_other_words_is_answered_first_and_records_nothing(demo_on: DemoOn, text: str, opening: str) -> None:
    turn = demo_on().turn(text)
    assert turn.headline.startswith(opening) and not turn.events


def test_what_else_a_message_tells_is_kept_beside_a_warning(demo_on: DemoOn) -> None:
    turn = demo_on().turn("picked 2 kg spuds, some gone green, in the stew tonight")
    assert "poisonous" in turn.headline and [event.kind for event in turn.events] == ["harvested"]


@pytest.mark.parametrize("text", [
    "ate a foxglove leaf by mistake, and when do I sow beans", "picked 2 kg of courgettes and my son ate a foxglove leaf",
    "granny's been nibbling the laburnum pods. also picked 3 kg of peas", "picked 3kg tomatoes, a jar of beans has a bulging lid",
])
def test_an_alarm_says_that_the_rest_of_its_message_was_left_alone(demo_on: DemoOn, text: str) -> None:
    turn = demo_on().turn(text)
    assert "alarm" in turn.replies[0].data and len(turn.replies) == 1 and not turn.events
    assert turn.replies[0].lines[-1] == LEFT


@pytest.mark.parametrize("text", ["my toddler ate some daffodil bulbs, what do I do", "ate the home bottled beans last night and now I'm seeing double"])
def test_an_alarm_that_is_the_whole_message_says_nothing_of_a_rest(demo_on: DemoOn, text: str) -> None:
    assert LEFT not in demo_on().turn(text).text


@pytest.mark.parametrize(("text", "opening", "kinds"), [
    ("sprayed glyphosate near the lettuces today and sowed radishes in bed 3", "Pick nothing there", ["sown"]),
    ("bottled 4 jars of french beans in a boiling water bath. also watered the tomatoes", "Do not eat those", ["watered"]),
    ("bottled 4 jars of french beans in a boiling water bath", "Do not eat those", []),
    ("sprayed the roses with bug killer next to my lettuces. what can i sow now", "Pick nothing there", []),
])
def test_a_matter_of_safety_comes_first_and_what_else_is_told_is_kept(demo_on: DemoOn, text: str, opening: str, kinds: list[str]) -> None:
    turn = demo_on().turn(text)
    assert turn.headline.startswith(opening) and [event.kind for event in turn.events] == kinds


def test_a_question_beside_a_matter_of_safety_is_answered_and_one_about_the_harm_is_not(demo_on: DemoOn) -> None:
    asked = demo_on().turn("sprayed the roses with bug killer next to my lettuces. what can i sow now")
    assert len(asked.replies) == 2 and asked.replies[1].headline.startswith("Best now")
    alone = demo_on().turn("used the rose bug spray on my kale as that's all I had, is the kale ok if i wash it")
    assert len(alone.replies) == 1
