"""Keeping, ripening, pruning, saving seed, old seed, and how many."""

from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.request import Quantity, When
from tests.handlers.talk import answer, context, text


def test_storage_says_where_how_long_and_with_whom_not(facts: Facts) -> None:
    reply = answer("store", context(facts), crops=("carrot",))
    assert reply.headline == "Carrots keep 7 to 9 months in a box of just-damp sand in a cool, frost-free place."
    assert "Best at 0 °C and 98-100 % humidity (mature root, topped)." in reply.lines
    assert any("Not beside your apples" in line for line in reply.lines)
    assert reply.data["store"]["forms"][0]["temp_c"] == (0, 0)


def test_without_fruit_in_store_the_rule_is_given(facts: Facts) -> None:
    reply = answer("store", context(facts, empty=True), crops=("carrot",))
    assert sum("apples" in line for line in reply.lines) == 1  # once, though two rules tell of them
    assert any("ripe apples" in line for line in answer("store", context(facts, empty=True), crops=("kale",)).lines)


def test_the_form_asked_for_comes_first(facts: Facts) -> None:
    assert "mature green" in answer("store", context(facts), crops=("tomato",), text="store green tomatoes").headline
    assert "ripe)" in answer("store", context(facts), crops=("tomato",), text="store ripe tomatoes").headline


def test_curing_is_given_with_its_warmth(facts: Facts) -> None:
    reply = answer("store", context(facts, us=True), crops=("winter-squash",))
    assert any(line.startswith("Cure first for 10 to 14 days at 81 to 84 °F, 80 % humidity") for line in reply.lines)
    assert any("Colder than 50 °F harms it" in line for line in reply.lines)


def test_green_potatoes_are_warned_of(facts: Facts) -> None:
    assert any("Green" in caution for caution in answer("store", context(facts), crops=("potato",)).cautions)


def test_ripening_tomatoes(facts: Facts) -> None:
    reply = answer("ripen", context(facts), crops=("tomato",), text="how do I ripen green tomatoes")
    assert reply.headline == "Ripen tomatoes at 18 to 21 °C: mature green fruit colour in about two weeks."
    assert any("blossom end" in line for line in reply.lines)


def test_what_may_lie_together_in_a_store(facts: Facts) -> None:
    ask = "can apples and potatoes be stored together"
    assert answer("store", context(facts), crops=("apple", "potato"),
                  text=ask).headline.startswith("No: keep apples and")
    ask = "can carrots and beetroot be stored together"
    assert answer("store", context(facts), crops=("carrot", "beetroot"), text=ask).headline.startswith("Yes, ")
    assert answer("store", context(facts), crops=("garlic",)).headline.startswith("Garlic keeps ")


def test_what_does_not_ripen_is_said(facts: Facts) -> None:
    assert answer("ripen", context(facts), crops=("kale",)).headline == "I know of no way to ripen kale once picked."


@pytest.mark.parametrize(
    ("lat", "today", "head"),
    [
        (45.0, date(2026, 11, 25), "Blackcurrants: now is the time to prune (November to February)."),
        (45.0, date(2026, 7, 1), "Blackcurrants: prune from November to February, not now."),
        (-42.0, date(2026, 7, 1), "Blackcurrants: now is the time to prune (May to August)."),
        (-42.0, date(2026, 11, 25), "Blackcurrants: prune from May to August, not now."),
    ],
)
def test_pruning_by_season_and_half_of_the_world(facts: Facts, lat: float, today: date, head: str) -> None:
    assert answer("prune", context(facts, lat=lat, today=today), crops=("blackcurrant",)).headline == head


def test_plums_are_never_pruned_in_winter(facts: Facts) -> None:
    reply = answer("prune", context(facts), crops=("plum",))
    assert "June to August, not now" in reply.headline
    assert any("silver leaf" in line for line in reply.lines)


def test_dividing_is_heard(facts: Facts) -> None:
    assert "divide" in answer("prune", context(facts), crops=("rhubarb",), text="when do I divide rhubarb").headline


def test_without_a_place_the_season_is_named(facts: Facts) -> None:
    assert answer("prune", context(facts, lat=None), crops=("plum",)).headline == "Plums: prune, summer season."


def test_what_is_to_prune_this_month(facts: Facts) -> None:
    reply = answer("prune", context(facts))
    assert reply.headline.startswith("To prune or divide in November")
    assert any(line.startswith("Blackcurrants: prune") for line in reply.lines)


def test_an_annual_needs_no_pruning(facts: Facts) -> None:
    assert "nothing to prune" in answer("prune", context(facts), crops=("carrot",)).headline


def test_saving_seed(facts: Facts) -> None:
    reply = answer("save_seed", context(facts), crops=("tomato",))
    assert reply.headline == "Save tomato seed when it is ready: fully ripe, soft fruit."
    assert any("jar" in line for line in reply.lines)
    assert reply.data["save_seed"]["pollination"] == "self"


def test_saving_squash_seed_warns_of_poison(facts: Facts) -> None:
    reply = answer("save_seed", context(facts, us=True), crops=("courgette",))
    assert any("poisonous" in caution for caution in reply.cautions)
    assert any("½ mile to be sure" in line for line in reply.lines)


def test_biennials_must_stand_a_winter(facts: Facts) -> None:
    assert any("second year" in line for line in answer("save_seed", context(facts), crops=("carrot",)).lines)


@pytest.mark.parametrize(
    ("fields", "piece"),
    [
        ({"crops": ("parsnip",)}, "Your parsnip 'White King' seed of 2024: past its usual life"),
        ({"crops": ("lettuce",)}, "Your lettuce seed of 2025: should be good"),
        (
            {"crops": ("onion",), "quantities": (Quantity(2019, "count", "2019"),)},
            "Onion seed from 2019: long past its life",
        ),
        ({"crops": ("carrot",)}, "Carrot seed keeps about 3 years."),
    ],
)
def test_old_seed(facts: Facts, fields: dict[str, object], piece: str) -> None:
    reply = answer("seed_life", context(facts), **fields)
    assert reply.headline.startswith(piece)
    assert any(line.startswith("Test:") for line in reply.lines)


def test_the_whole_tin(facts: Facts) -> None:
    reply = answer("seed_life", context(facts))
    assert reply.headline == "3 lots in the tin: 1 past their life, 0 in the last year of it."
    assert reply.table is not None and [row[0] for row in reply.table.rows][0] == "Parsnip White King"
    assert [row["verdict"] for row in reply.data["seed_life"]["rows"]] == ["test", "good", "good"]


def test_an_empty_tin(facts: Facts) -> None:
    assert "empty" in answer("seed_life", context(facts, empty=True)).headline


def test_how_many_for_the_household(facts: Facts) -> None:
    reply = answer("how_many", context(facts, household=4), crops=("tomato",))
    assert reply.headline.startswith("For 4 people, grow 12 to 20 plants")
    assert reply.data["how_many"]["plants"] == [12, 20]


@pytest.mark.parametrize(
    ("words", "people"),
    [
        ("tomatoes for 6", 6),
        ("how many for 3 people", 3),
        ("a family of five", 5),
        ("per person", 1),
        ("for 4 m of row", 2),
    ],
)
def test_how_many_for_those_named(facts: Facts, words: str, people: int) -> None:
    assert answer("how_many", context(facts), crops=("tomato",), text=words).data["how_many"]["people"] == people


def test_how_many_for_a_weight(facts: Facts) -> None:
    reply = answer("how_many", context(facts), crops=("leek",), quantities=(Quantity(10, "kg", "10 kg"),))
    low, high = reply.data["how_many"]["row_m"]
    kg = facts.crops["leek"].yields
    assert kg is not None and kg.kg_per_m_row is not None
    assert low == pytest.approx(10 / kg.kg_per_m_row[1], abs=0.01)
    assert high == pytest.approx(10 / kg.kg_per_m_row[0], abs=0.01)


def test_twice_the_people_want_twice_the_plants(facts: Facts) -> None:
    two = answer("how_many", context(facts, household=2), crops=("tomato",)).data["how_many"]["plants"]
    four = answer("how_many", context(facts, household=4), crops=("tomato",)).data["how_many"]["plants"]
    assert four == [2 * two[0], 2 * two[1]]


def test_no_published_quantity_is_said(facts: Facts) -> None:
    reply = answer("how_many", context(facts), crops=("thyme",))
    assert "no published quantity" in reply.headline and "harvest record" in text(reply)


@pytest.mark.parametrize(
    ("words", "piece"),
    [
        ("how do i test old seed", "Put 10-20 seeds on damp paper"),
        ("how should i store seeds", "Keep seed dry and cold, in a closed jar in the fridge"),
    ],
)
def test_seed_rules_without_a_crop(facts: Facts, words: str, piece: str) -> None:
    assert answer("seed_life", context(facts), text=words).headline.startswith(piece)


def test_a_year_named_is_the_year_of_the_packet(facts: Facts) -> None:
    when = When(date(2022, 1, 1), date(2022, 12, 31), "2022")
    assert answer("seed_life", context(facts), crops=("carrot",), when=when).headline.startswith(
        "Carrot seed from 2022: past"
    )


def test_pears_ripen_in_the_warm_after_the_cold(facts: Facts) -> None:
    assert answer("ripen", context(facts), crops=("pear",),
                  text="ripen pears").headline.startswith("Ripen pears at 15 to 22 °C")


@pytest.mark.parametrize(
    ("crop", "asked", "head"),
    [
        ("courgette", "cure squash", "Cure winter squash for 10 to 14 days at 27 to 29 °C"),
        ("courgette", "do I cure the courgettes", "Courgettes need no curing."),
        ("garlic", "how do I cure garlic", "Cure garlic for 14 to 28 days."),
    ],
)
def test_curing_is_the_answer_when_asked(facts: Facts, crop: str, asked: str, head: str) -> None:
    assert answer("store", context(facts), crops=(crop,), text=asked).headline.startswith(head)


def test_how_old_seed_is_tested_is_the_answer_when_asked(facts: Facts) -> None:
    reply = answer("seed_life", context(facts), crops=("parsnip",), text="how do I test parsnip seed")
    assert reply.headline.startswith("Put 10-20 seeds on damp paper")
    assert any("Your parsnip" in line for line in reply.lines)


@pytest.mark.parametrize(
    ("crop", "asked", "head"),
    [
        ("carrot", "how much seed for 10 m of carrots", "For 10 m of carrots, about 800 seeds"),
        ("leek", "how many leeks for 10 m", "For 10 m of leeks, about 45 plants."),
        ("garlic", "how many cloves for 10 m", "For 10 m of garlic, about 80 plants."),
    ],
)
def test_how_much_for_a_length_of_row(facts: Facts, crop: str, asked: str, head: str) -> None:
    reply = answer("how_many", context(facts), crops=(crop,), text=asked, quantities=(Quantity(10, "m", "10 m"),))
    assert reply.headline.startswith(head)


def test_people_given_win_over_the_households_own(facts: Facts) -> None:
    reply = answer("how_many", context(facts, household=2), crops=("beetroot",),
                   quantities=(Quantity(4, "person", "four"),))
    assert reply.headline.startswith("For 4 people")
    assert answer("how_many", context(facts, household=2), crops=("beetroot",)).headline.startswith("For 2 people")


def test_what_a_household_may_expect_is_no_wider_than_the_plants_told(facts: Facts) -> None:
    for crop in facts.crops.values():
        if crop.yields is None:
            continue
        told = answer("how_many", context(facts, household=4), crops=(crop.id,)).data["how_many"]
        kg, plants = told.get("kg"), told.get("plants")
        if kg and plants:
            assert kg[1] / kg[0] == pytest.approx(plants[1] / plants[0], rel=0.1), crop.id
        if plants and told["row_m"] and crop.spacing and crop.spacing.in_row_cm:
            gap = sum(crop.spacing.in_row_cm) / 200
            assert told["row_m"][1] == pytest.approx(plants[1] * gap, abs=gap), crop.id


def test_a_yield_published_far_apart_is_told_by_its_middle(facts: Facts) -> None:
    reply = answer("how_many", context(facts, household=4), crops=("tomato",))
    assert "Expect about 23 kg to 38 kg in a fair year." in reply.lines
    assert any(line.startswith("A plant gives 800 g to 4.5 kg") for line in reply.lines)


def test_what_is_published_by_the_row_is_told_by_the_row(facts: Facts) -> None:
    assert answer("how_many", context(facts, household=4), crops=("carrot",)).headline == (
        "For 4 people, grow 6-12 m of row (about 80 to 160 plants) of carrots to eat fresh.")


def test_seed_potatoes_by_weight(facts: Facts) -> None:
    reply = answer("how_many", context(facts), crops=("potato",), text="what will i get from 3 kg of seed", quantities=(Quantity(3, "kg", "3 kg"),))
    assert reply.headline == "Expect about 30 kg of potatoes from 3 kg of seed in a fair year."
