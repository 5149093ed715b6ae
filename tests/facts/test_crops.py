"""The shipped crops: names, lending, blocks, and everything a gardener hears said aloud."""

from __future__ import annotations

import re

import pytest

from bot.facts import Crop, Facts
from bot.facts.crop import with_lent
from bot.wording import Wording


@pytest.mark.parametrize(
    ("crop", "gb", "us"),
    [
        ("courgette", "courgettes", "zucchini"),
        ("swede", "swedes", "rutabagas"),
        ("rocket", "rocket", "arugula"),
        ("aubergine", "aubergines", "eggplants"),
        ("broad-bean", "broad beans", "fava beans"),
        ("beetroot", "beetroot", "beets"),
        ("coriander", "coriander", "cilantro"),
        ("spring-onion", "spring onions", "scallions"),
        ("pepper-sweet", "sweet peppers", "bell peppers"),
        ("french-bean", "French beans", "green beans"),
        ("sweetcorn", "sweetcorn", "sweet corn"),
        ("pea-sugar", "mangetout", "snow peas"),
        ("broccoli-calabrese", "calabrese", "broccoli"),
        ("celeriac", "celeriac", "celery roots"),
        ("chicory-witloof", "witloof chicory", "Belgian endives"),
        ("lambs-lettuce", "lamb's lettuce", "mâche"),
        ("globe-artichoke", "globe artichokes", "artichokes"),
        ("tomato", "tomatoes", "tomatoes"),
        ("blackcurrant", "blackcurrants", "black currants"),
        ("lucerne", "lucerne", "alfalfa"),
        ("chard", "chard", "Swiss chard"),
    ],
)
def test_a_crop_is_said_as_its_gardener_says_it(facts: Facts, crop: str, gb: str, us: str) -> None:
    assert facts.crops[crop].said("gb", plural=True) == gb
    assert facts.crops[crop].said("us", plural=True) == us


def test_there_are_a_hundred_crops_that_can_be_grown_from_the_notes(facts: Facts) -> None:
    grown = [c for c in facts.crops.values() if c.sowing and c.spacing and c.growth and c.harvest]
    assert len(grown) >= 100


@pytest.mark.parametrize(
    "block",
    [
        "names",
        "family",
        "sowing",
        "spacing",
        "growth",
        "hardiness",
        "light",
        "yields",
        "harvest",
        "storage",
        "seed_saving",
        "seed_life",
        "feeding",
        "water",
        "end_of_crop",
        "pests",
        "preserving",
    ],
)
def test_the_everyday_crops_have_every_block(facts: Facts, block: str) -> None:
    for crop in (
        "tomato",
        "carrot",
        "onion",
        "leek",
        "pea",
        "french-bean",
        "courgette",
        "lettuce",
        "beetroot",
        "kale",
        "cabbage-winter",
        "pepper-sweet",
        "cucumber",
        "sweetcorn",
        "parsnip",
        "turnip",
        "broad-bean",
        "spinach-true",
    ):
        if (crop, block) == ("lettuce", "preserving"):
            continue  # there is no good way to put lettuce by
        assert getattr(facts.crops[crop], block), f"{crop} has no {block}"


def test_every_crop_says_how_to_grow_it_in_whole_sentences(facts: Facts) -> None:
    for crop in facts.crops.values():
        assert 1 <= len(crop.growing_well) <= 3, crop.id
        for sentence in crop.growing_well:
            assert sentence[0].isupper() and sentence.endswith("."), (crop.id, sentence)
            assert "!" not in sentence and len(sentence) < 220, (crop.id, sentence)


def test_no_name_and_no_word_is_a_value_yaml_turned_into_something_else(facts: Facts) -> None:
    for crop in facts.crops.values():
        for name in crop.names:
            assert re.search(r"[^\W\d]", name.name), (crop.id, name.name)


def test_lent_blocks_come_from_the_other_crop_and_own_blocks_stay(facts: Facts) -> None:
    black, plain = facts.crops["kale-black"], facts.crops["kale"]
    assert black.like == "kale" and "spacing" in black.lent
    assert black.spacing == plain.spacing
    assert black.names != plain.names and black.growing_well != plain.growing_well
    assert facts.written_crops["kale-black"].spacing is None
    assert plain.lent == []


def test_lending_follows_the_chain_and_never_overwrites(facts: Facts) -> None:
    base = facts.written_crops["leek"]
    first = base.model_copy(update={"id": "one", "like": "two", "spacing": None})
    second = base.model_copy(update={"id": "two", "like": "three", "spacing": None, "germination": None})
    third = base.model_copy(update={"id": "three", "like": None})
    crops: dict[str, Crop] = {"one": first, "two": second, "three": third}
    whole = with_lent(first, crops)
    assert whole.spacing == third.spacing and whole.germination == base.germination
    assert "spacing" in whole.lent and "germination" not in whole.lent


@pytest.mark.parametrize(
    ("crop", "word"),
    [
        ("rhubarb", "leaves are poisonous"),
        ("runner-bean", "raw"),
        ("shell-bean-dried", "boil hard"),
        ("potato", "Green"),
        ("courgette", "bitter"),
        ("winter-squash", "bitter"),
        ("parsnip", "sap"),
        ("celery", "sap"),
        ("elderberry", "raw"),
        ("garlic", "oil"),
        ("lupin-bitter", "poisonous"),
        ("watercress", "streams"),
    ],
)
def test_what_can_hurt_is_said_with_the_crop(facts: Facts, crop: str, word: str) -> None:
    assert any(word in caution for caution in facts.crops[crop].cautions)


def test_sentences_of_the_knowledge_lose_no_figure_in_us_units(facts: Facts) -> None:
    us = Wording("us", "us", facts)
    for crop in facts.crops.values():
        for sentence in crop.growing_well:
            assert not re.search(r"\d ?(cm|mm|kg|°C)\b", us.prose(sentence)), sentence


def test_groups_stand_for_known_crops_and_can_be_found_by_any_word(facts: Facts) -> None:
    groups = facts.groups
    assert len(groups.groups) >= 60
    for word, member in (
        ("salads", "lettuce"),
        ("salad leaves", "rocket"),
        ("brassicas", "swede"),
        ("alliums", "leek"),
        ("roots", "carrot"),
        ("greens", "kale"),
        ("soft fruit", "raspberry"),
        ("oriental leaves", "mizuna"),
        ("Asian greens", "pak-choi"),
        ("green manures", "phacelia"),
        ("cover crops", "winter-rye"),
        ("things for children", "radish"),
        ("Hungry Gap", "rhubarb"),
    ):
        found = groups.named(word)
        assert found is not None and member in found.crops, word
    assert groups.named("nonsense") is None
    assert "alliums" in {group.id for group in groups.of("leek")}


def test_the_glossary_is_wide_and_plain(facts: Facts) -> None:
    terms = facts.glossary.terms
    assert len(terms) >= 120
    for word in (
        "chitting",
        "heeling in",
        "hardening off",
        "bolting",
        "station sowing",
        "catch crop",
        "hungry gap",
        "tilth",
        "hoop house",
        "side dressing",
        "Cut and come again",
        "pH",
    ):
        assert facts.glossary.find(word) is not None, word
    assert facts.glossary.find("quantum") is None
    for term in terms:
        assert term.meaning.endswith(".") and 20 < len(term.meaning) < 330, term.id
