"""Blanching, freezing, drying, ferments, jam: whole replies, in metric and US words."""

from __future__ import annotations

import pytest

from bot.handlers.bottling import can
from bot.preserving.measures import liquid, prose, small_length
from bot.reply import plain_text
from bot.request import Request
from bot.wording import Wording
from tests.preserving.kitchen import FACTS, Kitchen


def test_runner_beans_name_the_habit_and_keep_to_the_table() -> None:
    reply = Kitchen(880).ask("blanch", "how long do I blanch runner beans", "runner-bean")
    assert reply.headline == "Runner beans, sliced: 3 minutes in boiling water (5 minutes in steam)."
    assert "Many gardeners give 2; the tested table says 3" in plain_text(reply)
    assert reply.data["blanch"] == {
        "crop": "runner-bean",
        "forms": [{"form": "sliced", "water_min": 3, "steam_min": 5}],
    }
    assert reply.choices[0].says == "start a 3 minute timer for runner beans"
    assert len(reply.lines) <= 11


@pytest.mark.parametrize("metres,minutes", [(0, 3), (880, 3), (1523, 3), (1524, 4), (2000, 4), (None, 3)])
def test_height_adds_a_minute(metres: float | None, minutes: float) -> None:
    reply = Kitchen(metres).ask("blanch", "blanch runner beans", "runner-bean")
    assert reply.data["blanch"]["forms"][0]["water_min"] == minutes
    assert ("Add 1 minute at 1,524 m" in plain_text(reply)) == (metres is None)


def test_water_for_a_weight() -> None:
    """1 US gallon to the pound is 8.35 litres to the kilogram; twice that for leaves (Minnesota)."""
    beans = plain_text(Kitchen().ask("blanch", "blanch 2 kg of beans", "runner-bean", qty=[2, "kg"]))
    assert "2 kg is 4 batches of about 500 g, each in 4.2 l of boiling water" in beans
    leaves = plain_text(Kitchen().ask("blanch", "blanch 2 kg of spinach", "spinach-true", qty=[2, "kg"]))
    assert "8.3 l of boiling water" in leaves


def test_sweetcorn_cools_twice_as_long_and_size_chooses() -> None:
    reply = Kitchen().ask("blanch", "blanch large sweetcorn cobs", "sweetcorn")
    assert reply.headline.startswith("Sweetcorn, on the cob, large ears: 11 minutes")
    assert "twice as long" in plain_text(reply)
    assert len(reply.data["blanch"]["forms"]) == 4


@pytest.mark.parametrize(
    "crop,word",
    [
        ("lettuce", "do not freeze well"),
        ("tomato", "No blanching needed"),
        ("beetroot", "no blanching"),
        ("leek", "no tested blanching time"),
    ],
)
def test_crops_that_are_not_blanched(crop: str, word: str) -> None:
    assert word in plain_text(Kitchen().ask("blanch", "blanch them", crop))


def test_greens_without_a_row_of_their_own() -> None:
    reply = Kitchen().ask("blanch", "blanch choy sum", "choy-sum")
    assert reply.data["blanch"]["forms"][0] == {"form": "leaves (greens)", "water_min": 2, "steam_min": 3}


def test_freeze_says_bags_months_and_room() -> None:
    reply = Kitchen().ask("freeze", "can I freeze 2.3 kg of runner beans", "runner-bean", qty=[2.3, "kg"])
    text = plain_text(reply)
    assert reply.headline == "Yes: blanch runner beans first, then freeze."
    assert "5 to 8 half-litre bags" in text and "8-12 months" in text and "13 mm" in text
    assert reply.data["freeze"]["bags"] == [5, 8]
    us = plain_text(Kitchen(units="us", words="us").ask("freeze", "freeze 5 lb", "runner-bean", qty=[2.268, "kg"]))
    assert "pint bags" in us and "½ in" in us and "0 °F" in us


def test_freeze_refuses_what_goes_limp() -> None:
    assert Kitchen().ask("freeze", "freeze cucumbers", "cucumber").headline.startswith("No")


def test_dry() -> None:
    reply = Kitchen().ask("dry", "dry apples", "apple")
    assert reply.headline == "Dry apples at 60 °C for 6-12 hours, until soft, pliable, no moisture when cut."
    assert reply.data["dry"]["hours"] == [6, 12]
    assert "not dried in the sun" in plain_text(Kitchen().ask("dry", "dry beans", "french-bean"))
    assert "no drying times" in Kitchen().ask("dry", "dry leeks", "leek").headline


def test_sauerkraut_salt_by_weight() -> None:
    reply = Kitchen().ask("ferment", "sauerkraut from 4 kg", "cabbage-winter", qty=[4, "kg"])
    assert reply.data["ferment"]["salt_g"] == [90, 100]
    assert "3-4 weeks" in plain_text(reply) and "21 to 24 °C" in plain_text(reply)
    assert "no tested salt figure" in Kitchen().ask("ferment", "ferment carrots", "carrot").headline
    assert Kitchen().ask("ferment", "kraut with less salt", "cabbage-winter").headline.startswith("No")


def test_fridge_pickle_may_be_weak_but_stays_cold() -> None:
    reply = Kitchen().ask("pickle", "fridge pickle of cucumbers with 4 % vinegar", "cucumber")
    assert "Never on a shelf" in plain_text(reply)


def test_berry_jam_from_jars() -> None:
    reply = Kitchen(0).ask("pickle", "strawberry jam", "strawberry")
    assert reply.data["pickle"]["minutes"] == 5 and "boiled empty 10 minutes first" in plain_text(reply)
    assert "Must not change: the sugar" in plain_text(reply)


def test_pickle_rounds_vinegar_up_and_water_down() -> None:
    reply = Kitchen().ask("pickle", "pickle 1 kg of beetroot", "beetroot", qty=[1, "kg"])
    acid, water = 1 / (7 * 0.45359237) * 4 * 236.588, 1 / (7 * 0.45359237) * 2 * 236.588
    assert f"{acid:.0f}" == "298" and "300 ml vinegar 5 %" in reply.headline
    assert f"{water:.0f}" == "149" and "145 ml" in plain_text(reply)


@pytest.mark.parametrize("qty", [[0, "kg"], [-2, "kg"], [1e9, "kg"], [0.0001, "jar"]])
def test_batches_that_make_no_sense(qty: list) -> None:
    reply = Kitchen().ask("pickle", "pickle beetroot", "beetroot", qty=qty)
    assert reply.data["pickle"]["verdict"] == "ask" and reply.wants == "quantity"


def test_no_place_and_no_crop_ask_one_thing() -> None:
    k = Kitchen(None)
    for intent in ("blanch", "freeze", "dry", "can", "pickle", "ferment"):
        reply = k.ask(intent, "how long")
        assert reply.waiting is not None and reply.wants == "crop"


def test_unknown_crop_gives_no_time() -> None:
    reply = Kitchen().ask("can", "can I bottle quandongs", unknown_crop="quandongs")
    assert reply.data["can"]["verdict"] == "ask" and "quandongs" in reply.headline


def test_ambiguous_beans_in_a_water_bath_are_refused_at_once() -> None:
    reply = Kitchen().ask("can", "water bath beans 3 hours", crop_choices=("runner-bean", "french-bean", "broad-bean"))
    assert reply.data["can"]["verdict"] == "refused" and reply.data["can"]["reason"] == "low-acid"


def test_height_answers_the_question_asked() -> None:
    k = Kitchen(None)
    waiting = k.ask("can", "pressure can green beans", "french-bean").waiting
    assert isinstance(waiting, Request)
    answered = k.ask("can", waiting.text + " at 880 m", "french-bean")
    assert answered.data["can"]["psi"] == 12
    by_number = k.ask("can", waiting.text, "french-bean", qty=[880, "m"])
    assert by_number.data["can"]["psi"] == 12


def test_a_row_length_is_no_height() -> None:
    reply = Kitchen(2000).ask("can", "crushed tomatoes from a 12 m row, 40 m of plants", "tomato", qty=[12, "m"])
    assert reply.data["can"]["altitude_m"] == 2000


@pytest.mark.parametrize(
    "litres,rounding,metric,us",
    [
        (0.946, "up", "950 ml", "4 cups"),
        (0.0049, "near", "1 tsp", "1 tsp"),
        (0.0148, "near", "1 tbsp", "1 tbsp"),
        (0.118, "near", "120 ml", "½ cup"),
        (7.57, "near", "7.55 l", "8 qt"),
        (1.001, "down", "1 l", "4 cups"),
    ],
)
def test_measures(litres: float, rounding: str, metric: str, us: str) -> None:
    assert liquid(Wording(), litres, rounding) == metric
    assert liquid(Wording("us", "us"), litres, rounding) == us


def test_prose_figures() -> None:
    assert prose(Wording(), "[2.5-5 cm] bits at [4 C]") == "2½-5 cm bits at 4 °C"
    assert prose(Wording("us", "us"), "[1.3 cm] bits at [4 C]") == "½ in bits at 39 °F"
    assert small_length(Wording(), 0.6) == "6 mm"


def test_no_bracket_is_left_unsaid() -> None:
    for row in FACTS.preserving.blanching:
        for text in (row.preparation, row.size, row.note):
            assert "[" not in prose(Wording(), text or "")
    for rule in FACTS.preserving.rules:
        assert "[" not in prose(Wording(), rule.rule + (rule.instead or ""))


def test_handler_is_registered() -> None:
    assert can.__name__ == "can"


def test_lemon_juice_is_acid_and_no_product() -> None:
    """Whole or crushed tomatoes take longer than juice: the acid in the jar must not choose juice's time."""
    reply = Kitchen().ask("can", "bottling tomatoes with lemon juice", "tomato", product="juice")
    assert "Which way" in reply.headline
    assert not any("Tomato juice" in line for line in reply.lines)
    juice = Kitchen().ask("can", "bottling tomato juice with lemon juice", "tomato", product="juice")
    assert juice.headline.startswith("Tomato juice: jars up to 473 ml")


def test_a_named_recipe_wins_over_the_crop_of_the_question_before() -> None:
    reply = Kitchen().ask("pickle", "bread and butter pickles", "onion", inherited=("crops",))
    assert reply.headline.startswith("Bread-and-butter pickles")


def test_how_long_frozen_food_lasts_is_the_answer_when_asked() -> None:
    reply = Kitchen().ask("freeze", "how long do frozen peas last", "pea")
    assert reply.headline == "Frozen peas are at their best for 8-12 months at -18 °C or colder."
    assert Kitchen().ask("freeze", "how do I freeze peas", "pea").headline.startswith("Blanch peas first")


def test_what_is_said_holds_no_remark_on_the_copy_read() -> None:
    assert not any("copy" in (p.note or "") for p in FACTS.preserving.canning)


def test_how_many_jars_is_the_answer_when_asked() -> None:
    reply = Kitchen().ask("can", "how many jars will 4 kg of plums fill", "plum", qty=[4, "kg"])
    assert reply.headline == "4 kg of plums fills about 4 quart jars or 9 pints."
    assert any("25 minutes" in line for line in reply.lines)


def test_flat_lids_are_used_once() -> None:
    reply = Kitchen().ask("can", "is it ok to reuse old lids")
    assert reply.headline.startswith("No: a new flat lid") and reply.data["can"]["minutes"] is None


def test_green_tomatoes_get_ideas_of_their_own_and_ripe_ones_do_not() -> None:
    green = Kitchen().ask("use_up", "what can I do with green tomatoes", "tomato")
    assert green.data["use_up"]["ideas"][0].startswith("Green")
    assert "green" not in Kitchen().ask("use_up", "a glut of tomatoes", "tomato").headline.lower()


@pytest.mark.parametrize(("intent", "crops"), [("dry", ("basil", "mint")), ("freeze", ("raspberry", "pea")),
                                               ("blanch", ("kale", "pea"))])
def test_several_crops_are_each_answered(intent: str, crops: tuple[str, ...]) -> None:
    reply = Kitchen().ask(intent, f"{intent} them", *crops)
    assert len(reply.lines) == 2 and reply.headline.endswith(":")
    assert reply.data[intent]["crop"] == crops[0] and reply.data[intent]["more"][0]["crop"] == crops[1]


@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("my sauerkraut has a white film", "Skim it off"),  # Oregon State University Extension, SP 50-745
        ("the kraut is slimy", "Into the bin"),
        ("kraut's gone pink", "Pink kraut is safe to eat unless"),
        ("black mould on my kraut", "Into the bin"),
    ],
)
def test_a_ferment_that_went_wrong_is_judged(text: str, begins: str) -> None:
    reply = Kitchen().ask("ferment", text)
    assert reply.headline.startswith(begins) and reply.sources


def test_plum_jam_keeps_its_sugar_to_the_fruit() -> None:
    """4 lb of plums to 6 cups of sugar (National Center for Home Food Preservation, So Easy to Preserve)."""
    assert "1.2 kg sugar to 1.8 kg of fruit" in Kitchen(0).ask("pickle", "plum jam", "plum").headline
    assert "6 cups sugar to 4 lb of fruit" in Kitchen(0, units="us").ask("pickle", "plum jam", "plum").headline


@pytest.mark.parametrize(("text", "begins"), [("how can I tell if the jars sealed", "Sealed, if the lid is drawn down"), ("the lid popped up", "Not for the shelf")])
def test_seals(text: str, begins: str) -> None:
    assert Kitchen(0).ask("can", text).headline.startswith(begins)
