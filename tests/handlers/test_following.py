"""What follows what: in the bed named, after the crop that stands there, and of a name that means several crops."""

from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from tests.handlers.test_growing import Garden

JUNE = date(2026, 6, 20)


@pytest.mark.parametrize("text", ["what can I plant after the garlic comes out", "what could I sow after the garlic"])
def test_what_to_plant_after_a_standing_crop_is_worked_out_for_its_ground(facts: Facts, text: str) -> None:
    garden = Garden(facts, JUNE)
    reply = garden.ask("rotation", text, crops=("garlic",))
    data = reply.data["fits_bed"]
    assert data["bed"] == "bed-4" and data["offers"]
    assert any("garlic" in line and "out by" in line for line in reply.lines)
    for offer in data["offers"]:
        assert date.fromisoformat(offer["begin"]) > JUNE
        assert facts.crops[offer["crop"]].family.rotation_group != "alliums"


def test_what_follows_says_the_bed_and_leaves_out_what_it_is_not_free_for(facts: Facts) -> None:
    reply = Garden(facts, JUNE).ask("rotation", "what can follow potatoes in bed 3", crops=("potato",), beds=("bed-3",))
    assert reply.headline.startswith("After potatoes in Bed 3: ")
    assert "legumes" not in reply.data["rotation"]["good"]  # French beans stood there last year
    elsewhere = Garden(facts, JUNE).ask("rotation", "what can follow potatoes", crops=("potato",))
    assert "legumes" in elsewhere.data["rotation"]["good"]


def test_a_name_of_several_crops_beside_one_that_is_settled(facts: Facts) -> None:
    reply = Garden(facts, JUNE).ask("rotation", "can cabbage follow kale in bed 4", crops=("kale",), beds=("bed-4",))
    assert reply.headline.startswith("Better not: ") and "one family" in reply.headline
    assert reply.data["rotation"]["after"] == "kale" and reply.data["rotation"]["allowed"] is False


def test_where_a_crop_may_go_is_still_about_beds(facts: Facts) -> None:
    reply = Garden(facts, JUNE).ask("rotation", "which bed can the garlic go in after this year", crops=("garlic",))
    assert "beds" in reply.data["rotation"]
