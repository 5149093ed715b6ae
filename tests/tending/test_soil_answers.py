"""Manure and mulch: loads for this bed, the wait of raw manure, and when to say no."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.request import Quantity
from tests.tending.grounds import ask, context, said


def test_manure_for_a_bed_shows_its_arithmetic(facts: Facts) -> None:
    reply = ask("mulch", "how much manure for bed 1", context(facts), beds=("bed-1",))
    found = reply.data["mulch"]
    assert (found["kg"], found["litres"], found["barrows"]) == (48.0, 64.0, 0.75)
    assert "10 kg/m² x 4.8 m² = 48 kg" in " ".join(reply.working)
    assert "Three quarters of a barrow load" in reply.headline
    assert "test it with beans" in said(reply)


def test_the_same_in_american_units(facts: Facts) -> None:
    reply = ask("mulch", "how much manure for bed 1", context(facts, units="us"), beds=("bed-1",))
    assert "lb" in said(reply)
    assert " kg" not in said(reply)


def test_compost_by_depth(facts: Facts) -> None:
    found = ask("mulch", "how much compost for bed 3", context(facts), beds=("bed-3",)).data["mulch"]
    assert found["litres"] == [96.0, 240.0]
    assert found["depth_cm"] == [2.0, 5.0]


def test_a_depth_typed_is_the_depth(facts: Facts) -> None:
    reply = ask("mulch", "5 cm of wood chip on the path, 10 x 0.6", context(facts))
    assert reply.data["mulch"]["litres"] == [300.0, 300.0]
    assert reply.data["mulch"]["material"] == "wood-chip-path"
    assert "do not dig fresh chip in" in said(reply)


def test_how_far_a_load_goes(facts: Facts) -> None:
    reply = ask(
        "mulch",
        "two barrows of leaf mould on bed 3, how deep",
        context(facts),
        beds=("bed-3",),
        materials=("leaves",),
        quantities=(Quantity(2, "barrow"),),
    )
    assert reply.headline == "That makes 3½ cm over Bed 3."


@pytest.mark.parametrize(
    ("text", "crops", "days", "date"),
    [
        ("can I use fresh horse muck on the bed now", (), 120, "2026-10-15"),
        ("is steaming muck too fresh for courgettes", ("courgette",), 120, "2026-10-15"),
        ("fresh manure for the sweetcorn", ("sweetcorn",), 90, "2026-09-15"),
    ],
)
def test_raw_manure_waits(facts: Facts, text: str, crops: tuple[str, ...], days: int, date: str) -> None:
    found = ask("mulch", text, context(facts), crops=crops).data["mulch"]
    assert (found["days"], found["safe_from"]) == (days, date)


@pytest.mark.parametrize(
    ("text", "crop"), [("manure before carrots, no?", "carrot"), ("mushroom compost on the blueberries", "blueberry")]
)
def test_no_manure_for_some(facts: Facts, text: str, crop: str) -> None:
    reply = ask("mulch", text, context(facts), crops=(crop,))
    assert reply.data["mulch"]["manure"] is False
    assert "no" in reply.headline.lower()


def test_the_bean_test(facts: Facts) -> None:
    reply = ask("mulch", "how do I test manure for weedkiller", context(facts))
    assert "beans" in reply.headline
    assert "two to three weeks" in said(reply)


def test_wood_chip_is_not_dug_in(facts: Facts) -> None:
    assert "do not dig it in" in said(ask("mulch", "will bark chippings rob the nitrogen", context(facts)))


def test_which_bed_is_the_one_longest_unfed(facts: Facts) -> None:
    reply = ask("mulch", "I've a barrow of muck going begging, which bed wants it", context(facts))
    assert reply.data["mulch"]["beds"][-1] == "bed-1"  # fed in March


def test_green_manures_are_answered_here_too(facts: Facts) -> None:
    reply = ask("mulch", "green manure for bed 3", context(facts), beds=("bed-3",))
    assert "phacelia" in reply.data["lime_feed"]["green_manures"]


def test_an_empty_plot_gets_a_figure_by_the_square_metre(facts: Facts) -> None:
    reply = ask("mulch", "how much manure should I use", context(facts, empty=True, place=False))
    assert "each square metre" in reply.headline
