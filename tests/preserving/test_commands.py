"""Timers, labels, recipes by name and canners are the kitchen's, whatever else their words could mean."""

from __future__ import annotations

import pytest

from bot.preserving.commands import kitchen_request
from bot.request import Request
from tests.preserving.kitchen import FACTS


@pytest.mark.parametrize(
    "text,read,intent",
    [
        ("start a 3 minute timer for runner beans", "log_sow", "blanch"),
        ("start the timer", "log_sow", "blanch"),
        ("stop the timer", "set_summary", "blanch"),
        ("5 min timer", "none", "blanch"),
        ("time it", "none", "blanch"),
        ("label for the runner beans", "companion", "stores"),
        ("stock take: 6 bags of peas", "none", "stores"),
        ("recipe for dilled beans", "use_up", "pickle"),
        ("recipe for mango chutney", "use_up", "can"),
        ("can I water bath green beans for 3 hours", "water", "can"),
        ("asparagus in a steam canner", "log_plant_out", "can"),
        ("boiling water bath for sweetcorn, how many hours", "blanch", "can"),
        ("spinach in pints, how long", "blanch", "can"),
        ("how do I dry beans", "prune", "dry"),
        ("is it ok to reuse old lids", "none", "can"),
    ],
)
def test_kitchen_words_settle_the_intent(text: str, read: str, intent: str) -> None:
    found = kitchen_request(text, [Request(read, text=text, crops=("runner-bean",))], FACTS)
    assert found is not None and found.intent == intent
    assert found.crops == (() if "recipe" in text else ("runner-bean",)) and found.text == text


def test_a_choice_taken_by_number_is_read_in_its_own_words() -> None:
    read = [Request("log_sow", text="start a 2 minute timer for kale", crops=("kale",))]
    found = kitchen_request("1", read, FACTS)
    assert found is not None and (found.intent, found.text) == ("blanch", "start a 2 minute timer for kale")


@pytest.mark.parametrize(
    "text,read",
    [
        ("sowed kale in bed 1", "log_sow"),
        ("started the tomatoes indoors", "log_sow"),
        ("what's the best time for sowing leeks", "when_sow"),
        ("water the bath tub planter", "water"),
        ("how do I pressure can beans", "can"),
        ("pressure canned 6 jars of beans", "log_preserve"),
        ("recipe for compost", "compost"),
        ("how do I dry out a wet bed", "soil"),
        ("seed labels", "none"),
        ("picked strawberries in quart jars", "log_harvest"),
        ("blanch beans in a water bath", "blanch"),
        ("", "none"),
    ],
)
def test_other_talk_is_left_alone(text: str, read: str) -> None:
    assert kitchen_request(text, [Request(read, text=text)], FACTS) is None


def test_a_short_question_is_of_the_crop_before() -> None:
    before = Request("can", crops=("french-bean",))
    read = [Request("can", text="can I just use a water bath")]
    found = kitchen_request("can I just use a water bath", read, FACTS, before)
    assert found is not None and found.crops == ("french-bean",)
    eaten = [Request("none", text="one of them tasted bitter")]
    found = kitchen_request("one of them tasted bitter", eaten, FACTS, Request("use_up", crops=("courgette",)))
    assert found is not None and found.intent == "use_up"


@pytest.mark.parametrize("text", ["counted 4 bags of beans in the freezer", "label please", "what is nearly out"])
def test_counts_and_labels_are_of_the_stores(text: str) -> None:
    found = kitchen_request(text, [Request("log_preserve", text=text)], FACTS)
    assert found is not None and found.intent == "stores"


def test_an_argument_gets_the_same_answer_again() -> None:
    before = Request("can", text="can I water bath green beans", crops=("french-bean",))
    text = "but my grandmother always did it that way"
    found = kitchen_request(text, [Request("none", text=text)], FACTS, before)
    assert found is not None and (found.intent, found.crops) == ("can", ("french-bean",))
    assert kitchen_request("but how far apart", [Request("spacing")], FACTS, before) is None
