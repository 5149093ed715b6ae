"""Weeds and home remedies: every row is reached by a question, and a remedy that harms is refused."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.handlers.weeds import advised

FACTS = Facts().tending
WEEDS = {
    "japanese-knotweed": "is that japanese knotweed by the fence",
    "giant-hogweed": "giant hogweed by the stream, can I strim it",
    "ragwort": "ragwort in the paddock next to the beds",
    "hemlock": "could this be hemlock among the parsley",
    "bindweed": "bind weed all through the beans",
    "couch": "how do I get twitch out of the asparagus",
    "ground-elder": "ground elder from next door again",
    "horsetail": "mares tail everywhere",
    "docks": "what kills docks",
    "buttercup": "creeping buttercup taking over",
    "oxalis": "oxalis in the greenhouse border",
    "annual-weeds": "bittercress seeding itself all over",
    "weeds": "how do I deal with the weeds",
}
REMEDIES = {
    "pellets": "are blue slug pellets safe with hens about",
    "fuels": "would diesel kill the nettles",
    "tobacco": "tobacco water for blackfly",
    "bleach": "bleach on the greenhouse",
    "salt": "salt on slugs",
    "vinegar": "vinegar on the dandelions",
    "washing-up-liquid": "washing up liquid on greenfly",
    "garlic-spray": "does garlic spray keep the fly off",
    "nematodes": "do nematodes work on slugs now",
    "barriers": "do eggshells stop slugs",
    "beer": "beer traps for slugs",
    "weedkiller": "can I use weedkiller near the beans",
    "bordeaux": "bordeaux mixture for blight",
}


def test_every_row_is_asked_for() -> None:
    assert list(WEEDS) == [row.id for row in FACTS.weeds]
    assert list(REMEDIES) == [row.id for row in FACTS.remedies]


@pytest.mark.parametrize(("wanted", "text"), WEEDS.items())
def test_a_weed_is_found(wanted: str, text: str) -> None:
    found = advised(text, FACTS.weeds)
    assert found is not None and found.id == wanted


@pytest.mark.parametrize(("wanted", "text"), REMEDIES.items())
def test_a_remedy_is_judged(wanted: str, text: str) -> None:
    found = advised(text, FACTS.remedies)
    assert found is not None and found.id == wanted


@pytest.mark.parametrize("wanted", ["pellets", "fuels", "tobacco", "bleach", "salt", "washing-up-liquid"])
def test_what_harms_is_refused_first(wanted: str) -> None:
    said = next(row.say for row in FACTS.remedies if row.id == wanted)
    assert said.startswith(("No", "Not", "Better not"))


@pytest.mark.parametrize("text", ["how much salt for sauerkraut", "what vinegar for shallots", "onions to pickle", "when do I sow beetroot", "keep the butter cool", "carrots and dill"])
def test_the_kitchen_and_the_beds_are_left_alone(text: str) -> None:
    assert advised(text, FACTS.remedies) is None and advised(text, FACTS.weeds) is None
