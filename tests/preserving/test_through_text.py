"""The same safety through the front door: no typed message gets an unsafe time out of the demo plot."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.app import Bot, open_bot
from bot.reply import plain_text
from tests.preserving.kitchen import FACTS
from tests.preserving.test_never_unsafe import PRODUCTS, check_row

QUESTIONS = yaml.safe_load((Path(__file__).parent / "questions.yaml").read_text(encoding="utf-8"))
UNSAFE = [q["say"] for q in QUESTIONS if q["verdict"] == "refused"]
_LOW = [
    "green beans",
    "runner beans",
    "sweetcorn",
    "peas",
    "carrots",
    "beetroot",
    "pumpkin",
    "leeks",
    "courgettes",
    "mushrooms",
    "asparagus",
    "spinach",
    "potatoes",
    "peppers",
    "broad beans",
    "vegetable soup",
    "bean soup",
]
_HOW = [
    "in a water bath",
    "in boiling water",
    "for 3 hours",
    "in the oven",
    "in a pressure canner",
    "with half the vinegar",
    "thickened with flour",
    "in 2 litre jars",
    "at sea level",
    "at 2000 m",
    "in pints",
    "in quarts",
    "raw pack",
    "how long",
    "",
    "please",
    "like gran did",
    "in a steam canner",
    "and carrots?",
    "with vinegar",
    "dilled",
    "pickled",
    "in oil",
]
_LEAD = [
    "can I bottle",
    "can I can",
    "how long do I process",
    "water bath",
    "bottling",
    "jars of",
    "how do I can",
    "pickle",
    "what about",
    "is it safe to bottle",
    "how do I bottle",
    "recipe for",
    "boil jars of",
    "and",
    "no,",
    "why not",
]


@pytest.fixture(scope="module")
def bot() -> Iterator[Bot]:
    with open_bot(demo=True, today=date(2026, 9, 1)) as opened:
        yield opened


def check(turn: Any) -> None:
    for reply in turn.replies:
        for intent in ("can", "pickle"):
            data = reply.data.get(intent) or {}
            if data.get("verdict") != "tested" or data.get("minutes") is None:
                continue
            product = PRODUCTS[data["product"]]
            for row in data["rows"]:
                check_row(product, row, data["altitude_m"])
            if product.acid == "low":
                assert "oiling water:" not in plain_text(reply)


@pytest.mark.parametrize("text", UNSAFE, ids=lambda t: t[:50])
def test_unsafe_questions_never_get_a_time(bot: Bot, text: str) -> None:
    """Whatever an unsafe question is taken to mean, it is not given a time for jars."""
    turn = bot.turn(text)
    check(turn)
    for reply in turn.replies:
        for intent in ("can", "pickle"):
            assert (reply.data.get(intent) or {}).get("verdict") != "tested", plain_text(reply)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(_LEAD), st.sampled_from(_LOW), st.lists(st.sampled_from(_HOW), max_size=3)),
        min_size=1,
        max_size=3,
    )
)
def test_no_talk_gets_an_unsafe_time(bot: Bot, talk: list[tuple[str, str, list[str]]]) -> None:
    for lead, crop, how in talk:
        check(bot.turn(" ".join([lead, crop, *how])))


def test_choices_on_offer_are_safe_too(bot: Bot) -> None:
    """Every choice offered under a refusal is itself answered safely when it is taken."""
    for text in UNSAFE[:12]:
        for choice in bot.turn(text).replies[0].choices:
            check(bot.turn(choice.says))


def test_facts_are_the_shipped_ones() -> None:
    assert len(FACTS.preserving.canning) == 107
