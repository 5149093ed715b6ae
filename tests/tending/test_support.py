"""What a message of supports and earthing up is taken for, and what knowledge check says of its tables."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.facts import Facts
from bot.facts.tending_support import check
from bot.request import Request
from bot.tending.support_words import crops_of, topic_of, unplaced


@pytest.mark.parametrize(("intent", "crop", "text", "topic"), [
    ("prune", "broad-bean", "how do I stake broad beans", "support"),
    ("lime_feed", "pea", "do my peas need sticks", "support"),
    ("prune", "tomato", "what do I tie tomatoes to", "support"),
    ("prune", "pepper-sweet", "do peppers need canes", "support"),
    ("crop_info", "courgette", "do courgettes need staking", "support"),
    ("when_sow", "potato", "when do I earth up the potatoes", "earthing"),
    ("mulch", "leek", "when do I draw soil up round the leeks", "earthing"),
    ("pest", "potato", "hilling potatoes how high", "earthing"),
    ("blanch", "leek", "how do I blanch leeks in the ground", "earthing"),
    ("use_up", "kale", "kale blowing about, what can I do", "rocking"),
    # and what is of something else
    ("prune", "raspberry", "when do I prune the raspberry canes", None),
    ("prune", "raspberry", "how many canes do I keep", None),
    ("blanch", "leek", "blanch leeks for freezing", None),
    ("store", "onion", "how do I tie up onions for storing", None),
    ("log_note", "potato", "earthed up the potatoes today", None),
    ("history", "potato", "when did I earth up the potatoes", None),
    ("mulch", "potato", "should I put straw round the potatoes", None),
])
def test_topic(facts: Facts, intent: str, crop: str, text: str, topic: str | None) -> None:
    assert topic_of(Request(intent, 0.5, text=text, crops=(crop,)), facts) == topic


def test_what_is_surely_of_something_else_keeps_its_answer(facts: Facts) -> None:
    text = "I earthed the spuds up last month and now half the tops have wilted"
    assert topic_of(Request("pest", 0.9, text=text, crops=("potato",)), facts) is None
    assert topic_of(Request("spacing", 0.4, text="how many runner beans round a wigwam", crops=("runner-bean",)), facts) is None


@pytest.mark.parametrize("text", ["the fence panel blew down, who pays", "earthing up an old radio, which wire", "can you stake me for the poker"])
def test_talk_that_is_not_of_plants_is_left_alone(facts: Facts, text: str) -> None:
    assert topic_of(Request("none", text=text), facts) is None


def test_a_word_without_a_crop_is_explained_and_not_taught(facts: Facts) -> None:
    assert topic_of(Request("glossary", text="what does earthing up mean"), facts) is None


@pytest.mark.parametrize(("text", "crops"), [
    ("how tall should bean poles be", ("runner-bean",)), ("how high should pea netting be", ("pea",)),
    ("how do I support climbing french beans", ("french-bean-climbing",)), ("my brassicas rock in the wind", ()),
])
def test_what_the_reader_could_not_place_is_taken_up(facts: Facts, text: str, crops: tuple[str, ...]) -> None:
    request = unplaced(text, facts)
    assert request is not None and request.crops == crops == crops_of(request, facts)


@pytest.mark.parametrize("text", ["tie", "the cat sat on the mat", "I put up bean poles"])
def test_what_asks_nothing_is_left_alone(facts: Facts, text: str) -> None:
    assert unplaced(text, facts) is None


def _with(facts: Facts, rows: dict[str, object], words: dict[str, object]) -> Facts:
    """Return facts whose support tables are changed."""
    other, room = Facts(Path(facts.root)), facts.tending
    other.__dict__["tending"] = room.model_copy(update={
        "support_words": room.support_words.model_copy(update=words), "supports": room.supports.model_copy(update=rows)})
    return other


def test_the_check_finds_what_leads_nowhere(facts: Facts) -> None:
    assert check(facts) == []
    firming = [facts.tending.supports.firming[0].model_copy(update={"crops": ["kale", "kale", "moonflower"]})]
    held = [row for row in facts.tending.supports.supports if "pea" not in row.crops]
    broken = _with(facts, {"firming": firming, "supports": held}, {"rocking": ["("], "read_as": ["dance"]})
    said = " | ".join(fault.message for fault in check(broken))
    assert "'moonflower'" in said and "'kale' stands twice" in said
    assert "says nothing of 'pea'" in said and "is no pattern" in said and "'dance'" in said
