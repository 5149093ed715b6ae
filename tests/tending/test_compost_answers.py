"""What may go on the heap, and mixes worked out."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from tests.tending.grounds import ask, context, said

VERDICTS = [
    ("can I compost cardboard", "yes"),
    ("bindweed roots - compost?", "no"),
    ("blighted potato haulm, heap or bin?", "no"),
    ("can I put dog poo in the heap", "no"),
    ("bread? cooked rice?", "no"),
    ("weeds gone to seed, can I still put them in", "hot"),
    ("mildewed courgette leaves compost?", "yes"),
    ("onion skins with white rot", "no"),
    ("can woodash go on teh compost heep", "a little"),
    ("coffee grounds how much is too much", "a little"),
    ("can I compost rhubarb leaves", "yes"),
    ("can I compost tomato leaves", "yes"),
    ("walnut leaves compost yes no", "a little"),
    ("sawdust from the workshop, treated timber", "no"),
    ("do I chuck eggshells in", "yes"),
    ("are citrus peels bad for the heap", "yes"),
    ("couch grass roots dried in the sun safe to put in?", "yes"),
    ("coal ash", "no"),
    ("clubroot cabbage stumps in the compost, any harm", "no"),
    ("chicken bones in the compost?", "no"),
    ("is it ok to put cat litter in compost", "no"),
    ("horse manure in the compost", "yes"),
]


@pytest.mark.parametrize(("text", "verdict"), [(t, "hot heap only" if v == "hot" else v) for t, v in VERDICTS])
def test_may_it_go_in(facts: Facts, text: str, verdict: str) -> None:
    assert ask("compost", text, context(facts)).data["compost"]["items"][0]["verdict"] == verdict


@pytest.mark.parametrize(
    ("text", "topic"),
    [
        ("compost heap to wet help", "too-wet"),
        ("my compost stinks of ammonia", "ammonia"),
        ("bay 2's dry as dust, what do I add", "too-dry"),
        ("the heap won't heat up", "cold"),
        ("rats in my compost", "rats"),
        ("when is compost finished", "how-long"),
        ("how often should I turn it, the heap", "turning"),
        ("how much brown to green", "ratio"),
        ("grass clippings all slimy, what now", "too-wet"),
        ("bokashi?", "bokashi"),
        ("how do I start a compost heap", "start"),
        ("what about a worm bin", "wormery"),
        ("hot or cold composting", "hot-or-cold"),
    ],
)
def test_what_ails_a_heap(facts: Facts, text: str, topic: str) -> None:
    reply = ask("compost", text, context(facts))
    assert reply.data["compost"]["topic"] == topic
    assert reply.sources


def test_the_mix_of_the_brief(facts: Facts) -> None:
    reply = ask("compost", "2 barrows of grass, 1 of shredded paper, some manure", context(facts))
    found = reply.data["compost"]
    assert found["c_to_n"] == pytest.approx(24.6, abs=0.1)
    assert found["moisture_pct"] == pytest.approx(73.2, abs=0.1)
    assert found["add"]["id"] == "cardboard"
    assert any("C:N = (" in line for line in reply.working)
    assert "half a barrow" in said(reply)


def test_a_good_mix_needs_nothing(facts: Facts) -> None:
    reply = ask("compost", "4 barrows horse manure", context(facts))
    assert reply.data["compost"]["c_to_n"] == 30.0
    assert reply.data["compost"]["add"] is None
    assert "a good mix" in reply.headline


def test_leaves_alone_want_grass_and_water(facts: Facts) -> None:
    reply = ask("compost", "i have only leaves, four bags. what I must mix", context(facts))
    assert reply.data["compost"]["add"]["id"] == "grass-clippings"
    assert "water as you build it" in said(reply)


def test_a_mix_with_what_may_not_go_in(facts: Facts) -> None:
    reply = ask("compost", "1 barrow of grass and a bag of cooked food", context(facts))
    assert reply.data["compost"]["items"][0]["verdict"] == "no"


def test_two_things_balanced(facts: Facts) -> None:
    reply = ask("compost", "how much cardboard to mix with grass", context(facts))
    assert reply.data["compost"]["c_to_n"] == 30.0
    assert "bucket" in reply.headline
    assert "30 - 17.0" in reply.working[0]


def test_american_barrows_are_bigger(facts: Facts) -> None:
    small = ask("compost", "2 barrows of grass and 1 of leaves", context(facts)).data["compost"]
    big = ask("compost", "2 barrows of grass and 1 of leaves", context(facts, units="us")).data["compost"]
    assert big["parts"][0]["litres"] == 2 * small["parts"][0]["litres"]
    assert big["c_to_n"] == small["c_to_n"]


def test_lists(facts: Facts) -> None:
    assert all(
        i["verdict"] == "no"
        for i in ask("compost", "what can't go in the compost", context(facts)).data["compost"]["items"]
    )
    assert {"yes", "a little"} == {
        i["verdict"] for i in ask("compost", "what can I compost", context(facts)).data["compost"]["items"]
    }


def test_a_crop_is_answered_from_its_page(facts: Facts) -> None:
    reply = ask("compost", "can I compost the courgettes", context(facts), crops=("courgette",))
    assert reply.data["compost"]["items"][0]["id"] == "courgette"


@pytest.mark.parametrize("text", ["can I put a banana skin in the compost", "can one tea bag go in"])
def test_one_of_something_is_no_mix(facts: Facts, text: str) -> None:
    assert ask("compost", text, context(facts)).data["compost"]["items"][0]["verdict"] == "yes"
