"""Wishes and group words followed: salads, children, shade, the hungry gap, roots, greens; and no others offered."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from bot.facts import Facts
from bot.growing.light import suits_shade
from bot.growing.wishes import meant
from bot.reply import Reply
from bot.request import Request
from tests.handlers.test_growing import Garden

JUNE = date(2026, 6, 20)


def offered(reply: Reply, intent: str) -> list[str]:
    return [offer["crop"] for offer in reply.data[intent]["offers"]]


@pytest.mark.parametrize("text", ["which salads can I sow", "something for salads in bed 3"])
@pytest.mark.parametrize("intent", ["sow_now", "fits_bed"])
def test_salads_are_a_wish_even_where_the_word_means_lettuce(facts: Facts, text: str, intent: str) -> None:
    reply = Garden(facts, JUNE).ask(intent, text, crops=("lettuce",), wishes=("salads",))
    crops = offered(reply, intent)
    group = facts.groups.named("salads")
    assert group is not None
    assert len(crops) >= 4 and set(crops) <= set(group.crops)


def test_lettuce_named_beside_the_wish_is_lettuce(facts: Facts) -> None:
    asked = Request("sow_now", text="can I sow lettuce for salads", crops=("lettuce",), wishes=("salads",))
    assert meant(asked, facts).crops == ("lettuce",)


@pytest.mark.parametrize(("word", "group"), [("roots", "roots"), ("leafy veg", "leafy-greens"), ("alliums", "alliums")])
def test_a_group_word_in_the_text_is_followed(facts: Facts, word: str, group: str) -> None:
    reply = Garden(facts, date(2026, 4, 15)).ask("sow_now", f"what {word} can I sow now")
    members = facts.groups.named(group)
    assert members is not None
    assert offered(reply, "sow_now") and set(offered(reply, "sow_now")) <= set(members.crops)


def test_a_word_of_several_crops_in_an_open_question_means_all_of_them(facts: Facts) -> None:
    beans = ("french-bean", "runner-bean", "broad-bean")
    reply = Garden(facts, JUNE).ask("sow_now", "what beans can I sow now", crop_choices=beans)
    members = facts.groups.named("beans")
    assert members is not None
    assert {"french-bean", "runner-bean"} <= set(offered(reply, "sow_now")) <= set(members.crops)
    asked = Request("fits_bed", text="can beans go in bed 3", crop_choices=beans)
    assert meant(asked, facts) == asked  # one of them is meant: which is asked


@pytest.mark.parametrize(
    ("intent", "text", "fields"),
    [
        ("sow_now", "what can I plant in the shade", {"wishes": ("shade",)}),
        ("fits_bed", "something for the shady bed", {"wishes": ("shade",), "beds": ("bed-4",)}),
    ],
)
def test_shade(facts: Facts, intent: str, text: str, fields: dict[str, Any]) -> None:
    crops = offered(Garden(facts, JUNE).ask(intent, text, **fields), intent)
    assert crops and all(suits_shade(facts.crops[c]) for c in crops)


def test_children(facts: Facts) -> None:
    crops = offered(Garden(facts, JUNE).ask("sow_now", "something for the children", wishes=("kids",)), "sow_now")
    assert "carrot" in crops and "french-bean" in crops and not {"leek", "chilli-hot", "celeriac"} & set(crops)


def test_the_hungry_gap_looks_months_ahead_and_is_no_gap_in_a_bed(facts: Facts) -> None:
    garden = Garden(facts, JUNE)
    reply = garden.ask(
        "fits_bed", "what can I grow for the hungry gap", wishes=("hungry-gap",), flags=frozenset({"gap"})
    )
    data = reply.data["fits_bed"]
    assert data["bed"] == "bed-3" and "best for the hungry gap" in reply.headline
    assert "claytonia" in offered(reply, "fits_bed")
    for offer in data["offers"]:  # in the ground through the bare weeks of spring
        assert date.fromisoformat(offer["last_harvest"]) >= date(2027, 4, 1)
    assert not {miss["crop"] for miss in data["near_misses"]} & {"french-bean", "potato-new", "tomato"}


def test_what_would_do_is_no_near_miss(facts: Facts) -> None:
    data = Garden(facts, JUNE).ask("fits_bed", "something for the hungry gap", wishes=("hungry-gap",)).data["fits_bed"]
    assert "leek" not in {miss["crop"] for miss in data["near_misses"]}


def test_nothing_of_a_kind_tells_when_that_kind_comes(facts: Facts) -> None:
    fruit = facts.groups.named("soft fruit")
    assert fruit is not None
    reply = Garden(facts, date(2026, 1, 10)).ask(
        "sow_now", "what soft fruit can I sow", crops=tuple(fruit.crops), group="soft-fruit"
    )
    assert not any(name in " ".join([reply.headline, *reply.lines]) for name in ("peas", "courgette", "beans"))


def test_radishes_go_in_rows_one_can_weed(facts: Facts) -> None:
    reply = Garden(facts, JUNE).ask("fits_bed", "something for salads", crops=("lettuce",), wishes=("salads",))
    radish = next(o for o in reply.data["fits_bed"]["offers"] if o["crop"] == "radish")
    assert radish["between_rows_cm"] >= 10
