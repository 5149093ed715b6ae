"""How far apart, how many fit, how deep."""

from __future__ import annotations

import re

import pytest

from bot.facts import Facts
from bot.growing.layout import best_layout
from bot.request import Quantity
from tests.handlers.talk import answer, context, text


def test_distances_are_the_answer(facts: Facts) -> None:
    reply = answer("spacing", context(facts), crops=("carrot",))
    assert reply.headline == "Carrots: 5-10 cm apart in the row, 15-45 cm between rows."
    assert reply.data["spacing"] == {
        "crop": "carrot",
        "in_row_cm": [5, 10],
        "between_rows_cm": [15, 45],
        "depth_cm": [1, 1],
        "count": None,
    }
    assert "umaine-chart" in reply.sources


def test_inches_for_american_plots(facts: Facts) -> None:
    reply = answer("spacing", context(facts, us=True), crops=("beetroot",))
    assert reply.headline == "Beets: 2-4 in apart in the row, 8-18 in between rows."
    assert not re.search(r"\bcm\b", text(reply))


def test_how_many_fit_a_bed(facts: Facts) -> None:
    reply = answer("spacing", context(facts), crops=("lettuce",), beds=("bed-4",))
    expected = best_layout(facts.crops["lettuce"], 400, 120)
    assert expected is not None
    assert reply.data["spacing"]["count"] == expected.count
    assert reply.headline.startswith(f"About {expected.count} lettuces fit Bed 4")
    assert any(line.startswith("Offset") for line in reply.lines)
    assert any("half a spacing" in line for line in reply.working)


def test_how_many_fit_a_size(facts: Facts) -> None:
    small = answer("spacing", context(facts), crops=("lettuce",), size_m=(1.0, 1.0)).data["spacing"]["count"]
    large = answer("spacing", context(facts), crops=("lettuce",), size_m=(2.0, 1.0)).data["spacing"]["count"]
    assert 0 < small < large <= 2 * small + 4


def test_how_many_in_a_row(facts: Facts) -> None:
    reply = answer("spacing", context(facts), crops=("leek",), quantities=(Quantity(3, "m", "3 m"),))
    assert "A row of 3 m takes 11 to 21 plants." in reply.lines


def test_a_bed_of_unknown_size_is_asked_for(facts: Facts) -> None:
    reply = answer("spacing", context(facts), crops=("leek",), beds=("wall-bed",))
    assert any("size of Wall bed" in line for line in reply.lines)


def test_a_green_manure_is_scattered_by_weight(facts: Facts) -> None:
    reply = answer("spacing", context(facts), crops=("phacelia",), size_m=(4.0, 1.2))
    assert "2 g to 1 m²" in reply.headline
    assert any("9½ g of seed" in line for line in reply.lines)


def test_a_group_gets_a_small_table(facts: Facts) -> None:
    group = facts.groups.named("brassicas")
    assert group is not None
    reply = answer("spacing", context(facts), crops=tuple(group.crops), group="brassicas")
    assert reply.headline == "Spacing for brassicas:"
    assert reply.table is not None and len(reply.table.rows) == 9
    assert len(reply.more) > 10
    assert len(reply.data["spacing"]["more"]) >= 20


@pytest.mark.parametrize(
    ("crop", "head"),
    [
        ("carrot", "Sow carrots 1 cm deep."),
        ("celery", "Sow celery on the surface, barely covered."),
        ("garlic", "Plant garlic 2½-7½ cm deep."),
        ("potato", "Plant potatoes 12 cm deep."),
        ("strawberry", "Set strawberries with the crown level with the soil."),
    ],
)
def test_how_deep(facts: Facts, crop: str, head: str) -> None:
    reply = answer("depth", context(facts), crops=(crop,))
    assert reply.headline == head
    assert reply.data["depth"]["crop"] == crop


def test_publications_that_disagree_on_depth_are_both_given(facts: Facts) -> None:
    reply = answer("depth", context(facts), crops=("garlic",))
    assert reply.headline == "Plant garlic 2½-7½ cm deep."
    assert any("5-7.5 cm where the ground freezes hard" in line for line in reply.lines)


def test_no_depth_is_said_plainly(facts: Facts) -> None:
    reply = answer("depth", context(facts), crops=("apple",))
    assert "no depth" in reply.headline


@pytest.mark.parametrize("intent", ["spacing", "depth", "store", "ripen", "save_seed", "how_many", "crop_info"])
def test_an_unknown_crop_gets_its_nearest(facts: Facts, intent: str) -> None:
    reply = answer(intent, context(facts), unknown_crop="parsnup")
    assert "parsnup" in reply.headline and "parsnip" in reply.headline
    assert reply.wants == "crop" and any("parsnip" in choice.says for choice in reply.choices)


def test_distances_of_an_ambiguous_name_are_told_of_each_kind(facts: Facts) -> None:
    reply = answer("spacing", context(facts, empty=True), crop_choices=("runner-bean", "french-bean", "broad-bean"))
    assert reply.table is not None and reply.wants is None
    assert [row[0] for row in reply.table.rows] == ["runner beans", "French beans", "broad beans"]


@pytest.mark.parametrize("intent", ["depth", "store", "ripen", "save_seed", "how_many", "crop_info"])
def test_an_ambiguous_name_is_asked_back(facts: Facts, intent: str) -> None:
    reply = answer(intent, context(facts), crop_choices=("runner-bean", "french-bean", "broad-bean"))
    assert reply.wants == "crop"
    assert [choice.label for choice in reply.choices] == ["runner bean", "French bean", "broad bean"]
    assert all(choice.says.endswith(choice.label) for choice in reply.choices)


@pytest.mark.parametrize("intent", ["spacing", "depth", "store", "ripen", "save_seed", "how_many", "crop_info"])
@pytest.mark.parametrize("us", [False, True])
def test_every_crop_is_answered_somehow(facts: Facts, intent: str, us: bool) -> None:
    ctx = context(facts, us=us, empty=True)
    for crop in facts.crops:
        reply = answer(intent, ctx, crops=(crop,))
        assert set(reply.sources) <= set(facts.sources)
        assert "!" not in text(reply) and "  " not in reply.headline, (crop, reply.headline)
        if us:
            assert not re.search(r"\d ?(?:cm|kg|°C)\b", text(reply).replace("per cm", "")), (crop, text(reply))


@pytest.mark.parametrize(
    ("intent", "title"),
    [
        ("depth", "Sowing depth"),
        ("store", "Keeping"),
        ("save_seed", "Saving seed"),
        ("seed_life", "How long seed keeps"),
        ("how_many", "How many to grow"),
        ("crop_info", "In short"),
        ("prune", "Pruning and dividing"),
        ("ripen", "Ripening"),
    ],
)
def test_several_crops_are_each_answered(facts: Facts, intent: str, title: str) -> None:
    ctx = context(facts)
    both = answer(intent, ctx, crops=("carrot", "onion"))
    each = tuple(dict.fromkeys(answer(intent, ctx, crops=(c,)).headline for c in ("carrot", "onion")))
    if len(" ".join(each)) <= 110:  # short enough to be the first line themselves
        assert both.headline == " ".join(each) and not both.lines
    else:
        assert both.headline == f"{title}:" and both.lines == each
    assert both.data[intent]["crop"] == "carrot" and [row["crop"] for row in both.data[intent]["more"]] == ["onion"]


def test_a_whole_group_fits_a_screen_with_the_rest_behind_more(facts: Facts) -> None:
    group = facts.groups.named("alliums")
    assert group is not None
    reply = answer("depth", context(facts), crops=tuple(group.crops), group="alliums")
    assert reply.headline == "Sowing depth of alliums:"
    assert len(reply.lines) == 10 and reply.more


def test_the_empty_bed_is_the_one_with_nothing_in_it(facts: Facts) -> None:
    reply = answer("spacing", context(facts), crops=("lettuce",), flags=frozenset({"empty-bed"}))
    assert "fit Bed 4" in reply.headline


@pytest.mark.parametrize(
    ("crop", "asked", "head"),
    [
        ("asparagus", "how deep do asparagus crowns go", "Set the crowns of asparagus 15-20 cm deep; seed is sown"),
        ("rhubarb", "how deep do I plant rhubarb", "Set the crowns of rhubarb with the buds 2½ cm under the soil."),
        ("leek", "how deep do I plant leeks", "Set young leeks 15-20 cm deep; seed is sown 1 cm deep."),
        ("leek", "how deep to sow leeks", "Sow leeks 1 cm deep; the young plants go in 15-20 cm deep."),
    ],
)
def test_crowns_and_young_plants_go_deeper_than_seed(facts: Facts, crop: str, asked: str, head: str) -> None:
    assert answer("depth", context(facts), crops=(crop,), text=asked).headline.startswith(head)


def test_how_many_fit_a_square_metre(facts: Facts) -> None:
    reply = answer("spacing", context(facts), crops=("carrot",), quantities=(Quantity(1, "m2", "a square metre"),))
    assert reply.headline.startswith("About 105 carrots fit 1 m²")
    assert reply.data["spacing"]["count"] == 105


def test_ground_that_is_walked_on_is_planted_in_rows(facts: Facts) -> None:
    walked = answer("spacing", context(facts), crops=("tomato",), size_m=(6.0, 3.0))
    assert walked.headline.startswith("About 24 tomatoes fit")
    assert any("no paths: 72" in line for line in walked.lines)
    bed = answer("spacing", context(facts), crops=("tomato",), size_m=(6.0, 1.5))
    assert bed.data["spacing"]["count"] > 24
