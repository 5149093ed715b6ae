"""What a message says next to the one before it: what its words say alone, or what was asked or told last."""

from __future__ import annotations

import pytest

from bot.handlers.context import Memory
from bot.reply import Reply
from bot.request import Quantity, Request
from bot.understanding import Understander
from bot.understanding.following import candidates, chosen, next_to
from tests.language.rows import DEMO

CAN = Request("can", crops=("tomato",))
SPACING = Request("spacing", crops=("kale",))
SOWN = Request("log_sow", crops=("leek",), beds=("bed-1",), quantities=(Quantity(12.0, "count", "12"),))


def _clause(reader: Understander, text: str):
    sheet, _ = reader.marker.sheet(text, DEMO, "GB")
    return reader.clause(sheet, 0, len(sheet.tokens))


def test_what_was_asked_last_and_a_correction_are_always_among_the_choices(reader: Understander) -> None:
    names = candidates(_clause(reader, "how deep"), "can")
    assert names[0] == "depth" and {"can", "correct_last"} <= set(names) and len(names) == len(set(names))


def test_the_same_reading_has_other_features_as_the_last_one_and_as_its_own(reader: Understander) -> None:
    clause = _clause(reader, "how deep")
    assert next_to(reader, clause, "depth", "depth")["same"] == 1.0
    assert next_to(reader, clause, "can", "depth")["own"] == 1.0
    assert next_to(reader, clause, "can", "correct_last")["fix"] == 1.0


def test_a_chance_is_one_of_several(reader: Understander) -> None:
    intent, chance = chosen(reader, _clause(reader, "how deep do they go"), "when_sow")
    assert intent == "depth" and 0.5 < chance <= 1.0


@pytest.mark.parametrize(("last", "text", "intent"), [
    (SPACING, "how deep", "depth"), (SPACING, "any frost tonight?", "frost_tonight"),
    (CAN, "what should I do this week", "jobs"), (SOWN, "when will they be up", "germination"),
])
def test_a_question_of_its_own_stays_its_own(one, last: Request, text: str, intent: str) -> None:
    assert one(text, memory=Memory((last,), Reply("done"))).intent == intent


@pytest.mark.parametrize(("last", "text"), [(CAN, "and the plums"), (SPACING, "and the leeks?"),
                                            (SPACING, "what about in the tunnel")])
def test_a_few_words_ask_the_last_question_again(one, last: Request, text: str) -> None:
    assert one(text, memory=Memory((last,), Reply("done"))).intent == last.intent


def test_same_again_says_nothing_of_a_question(read) -> None:
    reading = read("same again", memory=Memory((CAN,), Reply("done")))
    assert [r.intent for r in reading.requests] != ["can"]
