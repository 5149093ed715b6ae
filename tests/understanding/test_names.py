"""Crops and beds: every name, plurals and slips, words that only look like one, beds by name, nickname and number."""

from __future__ import annotations

import random
import string
from dataclasses import replace

import pytest

from bot.handlers.context import Memory
from bot.understanding import PlotNames, Understander
from tests.language.rows import DEMO


@pytest.mark.parametrize(
    ("text", "crop"),
    [
        ("when do I sow courgettes", "courgette"), ("when do I sow zucchini", "courgette"),
        ("when do I sow eggplant", "aubergine"), ("when do I sow rocket", "rocket"),
        ("when do I sow arugula", "rocket"), ("when do I sow cilantro", "coriander"),
        ("when do I plant spuds", "potato"), ("when do I plant tatties", "potato"),
        ("when do I sow silverbeet", "chard"), ("when do I sow rutabaga", "swede"),
        ("when do I sow corriander", "coriander"), ("when do i sow brocoli", "broccoli-calabrese"),
        ("when do I sow calliflower", "cauliflower"), ("when do I sow peas please", "pea"),
        ("when do I sow runner beans", "runner-bean"), ("when do I sow sweet corn", "sweetcorn"), ("when do I sow paprika", "pepper-sweet"),
        ("when do I sow springonions", "spring-onion"), ("when do I sow cavolo", "kale-black"),
        ("when do I sow cherry toms", "tomato"), ("when do I sow mange tout", "pea-sugar"), ("when do I sow okras", "okra"), ("when do I sow toatoes", "tomato"), ("when do I sow toato", "tomato"),
        ("when do I sow celeries", "celery"), ("when do I sow red clovers", "red-clover"), ("when do I sow crowders", "cowpea"),
        ("when do I plant patats", "sweet-potato"), ("when do I sow warrigal spinach", "new-zealand-spinach"), ("when do I sow karela", "bitter-gourd"),
        ("when do I sow sponge gourds", "luffa"), ("when do I sow chinese okra", "luffa"), ("when do I sow kamokamo", "winter-squash"),
        ("when do I sow sea beans", "samphire"), ("when do I sow half runners", "french-bean-climbing"), ("when do I plant mouse melons", "cucamelon"),
        ("when do I plant red currents", "redcurrant"),
    ],
)
def test_names_of_many_regions_and_spellings(one, text: str, crop: str) -> None:
    assert one(text).crops == (crop,)


@pytest.mark.parametrize("text", ["there is a leak in the tap", "it's in mint condition", "changed the bed sheets",
                                  "what's the date", "please", "how many should sprout", "washed the onion bags", "mended the potato fork",
                                  "colin and martha came to see the garden", "planted cornflowers in bed 2", "planted hostas in bed 4"])
def test_words_that_only_look_like_crops(read, text: str) -> None:
    assert all(not r.crops for r in read(text).requests)


def test_an_ambiguous_name_is_asked_or_settled_by_the_plot(one) -> None:
    open_ = one("how long do I blanch beans", names=PlotNames())
    assert open_.crops == () and {"runner-bean", "french-bean", "broad-bean"} <= set(open_.crop_choices)
    grown = PlotNames(beds=DEMO.beds, standing=("runner-bean", "kale"))
    assert one("picked 2 kg of beans from the arch bed", names=grown).crops == ("runner-bean",)


def test_an_unknown_crop_is_kept_as_typed(one) -> None:
    assert one("sowed oberonia in bed 2").unknown_crop == "oberonia"


@pytest.mark.parametrize(
    ("text", "bed"),
    [
        ("what is in bed 4", "bed-4"), ("what's in the arch bed", "bed-2"), ("what is in bed four", "bed-4"),
        ("whats in bed no 3", "bed-3"), ("what is in the polytunnel", "tunnel"), ("what's in the tunel", "tunnel"),
        ("what is in the shady bed", "bed-4"), ("what's in the cold frame", "frame"),
        ("whats in the midle bed", "bed-3"), ("what is growing in bed4", "bed-4"),
    ],
)
def test_beds(one, text: str, bed: str) -> None:
    assert one(text).beds == (bed,)


def test_a_bed_that_does_not_exist_is_said(one) -> None:
    assert one("sowed carrots in bed 9").unknown_bed == "bed 9"
    assert one("sowed carrots in the herb bed").beds == ()


def _slips(word: str, rng: random.Random) -> str:
    at = rng.choice([i for i in range(1, len(word)) if word[i - 1:i + 2].isalpha()] or [1])
    kind = rng.choice(("drop", "double", "swap", "change"))
    if kind == "drop":
        return word[:at] + word[at + 1:]
    if kind == "double":
        return word[:at] + word[at] + word[at:]
    if kind == "swap" and at + 1 < len(word):
        return word[:at] + word[at + 1] + word[at] + word[at + 2:]
    return word[:at] + rng.choice(string.ascii_lowercase) + word[at + 1:]


def _answers(reader: Understander, name: str, crop: str) -> bool:
    """Tell whether "when do I sow <name>" finds the crop, or asks back naming it."""
    from datetime import date

    reading = reader.read(f"when do I sow {name}", DEMO, Memory(), date(2026, 6, 17))
    if reading.asked is not None:
        return True
    request = reading.requests[0]
    return (crop in request.crops or crop in request.crop_choices
            or (not request.crops and (request.unknown_crop is not None or request.intent == "none")))


def _named(reader: Understander) -> list[tuple[str, str]]:
    rows = []
    for crop in reader.facts.crops.values():
        for name in crop.names:
            if name.kind in ("botanical", "part-or-stage"):
                continue
            for form in sorted({name.name, name.plural or name.name}):
                rows.append((form, crop.id))
    return rows


def test_every_name_and_plural_finds_its_crop(reader: Understander) -> None:
    rows = _named(reader)
    missed = []
    for form, crop in rows:
        sense = reader.crops.trie.get(tuple(w for w in form.lower().replace("-", " ").split()))
        others = (sense.crop, *sense.others) if sense else ()
        if not _answers(reader, form, crop) and crop not in others:
            missed.append(form)
    assert len(missed) <= 0.02 * len(rows), f"{len(missed)} of {len(rows)}: {missed[:40]}"


def test_one_letter_slips_find_the_crop_or_ask(reader: Understander) -> None:
    rng = random.Random(11)
    rows = [(f, c) for f, c in _named(reader) if len(f) >= 5]
    missed = []
    for form, crop in rows:
        slip = _slips(form.lower(), rng)
        if not _answers(reader, slip, crop):
            missed.append((form, slip))
    assert len(missed) <= 0.02 * len(rows), f"{len(missed)} of {len(rows)}: {missed[:40]}"


@pytest.mark.parametrize("text", ["when do I sow sweet peas", "tell me about horse chestnuts",
                                  "can I store ornamental gourds", "when do I sow pigeon peas", "when do I sow mung beans",
                                  "when do I plant water chestnuts", "when do I plant goji berries"])
def test_a_plant_whose_name_holds_a_crops_is_not_taken_for_it(one, text: str) -> None:
    request = one(text)
    assert request.crops == () and request.crop_choices == ()
    assert request.unknown_crop is not None and request.unknown_crop in text


@pytest.mark.parametrize(("text", "beds"), [
    ("sowed peas in the wall bed no sorry bed 2", ("bed-2",)), ("sowed peas in bed 2, not bed 3", ("bed-2",)),
    ("picked 3 lb of runners off the arch this morning", ("bed-2",)), ("what fits the shady one", ("bed-4",)),
    ("sowed peas in bed 1 and bed 2", ("bed-1", "bed-2")),
    ("planted lettuces 12 in bed to on sunday", ("bed-2",)), ("100 onion sets in no. 1 bed", ("bed-1",)),
    ("put the leeks out in numbers 1 and 3", ("bed-1", "bed-3")), ("sowed beets in #2 and #3", ("bed-2", "bed-3")),
    ("sowed kale bed no.3", ("bed-3",)), ("sowed 2 rows of kale, Bed No. 3", ("bed-3",)), ("planted 6 kale in bed IV", ("bed-4",)),
    ("Bed III is in carrots, sown today", ("bed-3",)), ("the arch has 16 french beans in it, planted today", ("bed-2",)),
    ("sowed turnips in the shady end at last", ("bed-4",)), ("dug 2 kg of spuds from no 3", ("bed-3",)), ("arch: 10 runner beans planted", ("bed-2",)),
    ("from 2 picked 400g french beans", ("bed-2",)), ("did I put the swedes in 3 or in 4", ("bed-3", "bed-4")),
])
def test_a_bed_put_right_or_half_named(one, text: str, beds: tuple[str, ...]) -> None:
    assert one(text).beds == beds


@pytest.mark.parametrize(("text", "value"), [("picked 2 kg no wait 3 kg of carrots", 3.0),
                                             ("picked 2 kg not 3 kg of carrots", 2.0)])
def test_an_amount_put_right_in_the_same_breath(one, text: str, value: float) -> None:
    assert [(q.value, q.unit) for q in one(text).quantities] == [(value, "kg")]


@pytest.mark.parametrize(("text", "crop"), [
    ("shallots, 250g of sets, bed 2", "shallot"), ("planted strawberries, 12 runners, in the wall bed", "strawberry"),
    ("planted gooseberries, 3 canes", "gooseberry"), ("put in 50 sets in bed 1", "onion"),
])
def test_what_a_crop_is_grown_from_is_no_crop_beside_it(one, text: str, crop: str) -> None:
    assert one(text).crops == (crop,)


def test_a_trouble_names_a_crop_only_where_it_is_called_after_one(one) -> None:
    assert one("carrot fly in bed 1").crops == ("carrot",)
    assert one("spotted vine weevil in the frame last night").crops == ()
    assert one("my zucchini has squash bugs all over").crops == ("courgette",)


def test_a_herb_bed_is_no_list_of_herbs(one) -> None:
    request = one("add a herb bed, 2 square metres")
    assert request.intent == "add_bed" and request.crops == () and request.group is None


def test_a_product_names_its_crop_and_counts_in_jars_only_where_it_comes_in_them(one) -> None:
    assert one("what is the processing time for applesauce").crops == ("apple",)
    assert [(q.value, q.unit) for q in one("ate two of the stored pumpkins").quantities] == [(2.0, "count")]


@pytest.mark.parametrize(("text", "crop"), [
    ("picked core jets out of the tunnel", "courgette"), ("planted 12 leaks in bed 2", "leek"), ("sowed let us in bed one", "lettuce"),
    ("when do i sow coal rabi", "kohlrabi"), ("picked a pound of run a beans", "runner-bean"),
])
def test_what_dictation_hears_for_a_crop_is_that_crop_after_a_crop_verb(one, text: str, crop: str) -> None:
    assert one(text).crops == (crop,)


@pytest.mark.parametrize("text", ["lifted the letters off the mat", "pulled the current out of the pump", "dug coral out of the sand",
                                  "2 friends came to see the beds", "dug a narrow trench"])
def test_what_dictation_hears_for_a_crop_is_none_elsewhere(read, text: str) -> None:
    assert not any(r.crops or r.crop_choices for r in read(text).requests)


def test_what_dictation_hears_stands_beside_a_crop_only_in_several_words(read) -> None:
    assert [r.crops for r in read("picked carrots and turn ip from bed 3").requests if r.crops] in ([("carrot",), ("turnip",)], [("carrot", "turnip")])
    assert {c for r in read("picked carrots, turn up at mine later").requests for c in r.crops} == {"carrot"}


@pytest.mark.parametrize(("text", "crop"), [
    ("sowed zanahoria bed 4", "carrot"), ("harvested 3 kg of kartoffeln", "potato"), ("sowed carottes in bed 2", "carrot"),
    ("dug patatas, three kilos", "potato"), ("planted 20 oignons", "onion"), ("sowed Bohnen in bed 1", "french-bean"), ("pink fir apples lifted, 5 kg", "potato"),
])
def test_names_of_other_languages(one, text: str, crop: str) -> None:
    assert one(text).crops == (crop,)


@pytest.mark.parametrize(("text", "crop"), [
    ("sowed carrots where the spuds were", "carrot"), ("planted leeks where we had the early potatoes, bed 3", "leek"),
    ("cleared the last of the broad beans to make way for leeks", "broad-bean"), ("sowed phacelia in the pea bed", "phacelia"),
    ("put kale in after the broad beans, bed 1", "kale"), ("picked radishes for a salad", "radish"),
    ("sowed radish between the rows of parsnips, bed 1", "radish"), ("sowed chard instead of the spinach in bed 3", "chard"),
    ("sowed kale because the cabbages failed, bed 2", "kale"), ("picked 2 kg of plums while the pears are still hard", "plum"),
    ("planted garlic chives as a companion to the carrots in bed 1", "garlic-chives"), ("picked mint for the new potatoes", "mint"),
    ("picked 500 g of strawberries to go with the apple juice", "strawberry"), ("picked 1 kg of rhubarb for a crumble with apple custard", "rhubarb"),
])
def test_a_crop_that_only_says_where_is_not_recorded(one, text: str, crop: str) -> None:
    assert one(text).crops == (crop,)


@pytest.mark.parametrize(("text", "crops"), [
    ("our daughter rosemary picked 3 lettuces from bed 3", ("lettuce",)), ("basil gave me 6 leek plants, put them in bed 4", ("leek",)),
    ("hazel picked a kilo of strawberries", ("strawberry",)), ("rosemary picked, 2 bunches", ("rosemary",)), ("basil picked today", ("basil",)),
])
def test_a_person_with_the_name_of_a_crop_is_none(read, text: str, crops: tuple[str, ...]) -> None:
    assert read(text).requests[0].crops == crops


def test_a_bed_cleared_for_a_crop_held_none_of_it(one) -> None:
    assert one("cleared bed 3 for the leeks").crops == ()
    assert one("cleared the leeks from bed 3").crops == ("leek",)


def test_a_variety_of_several_words_is_no_crop_that_it_begins_with(one) -> None:
    assert one("planted crown prince in bed 3").crops == ("winter-squash",)
    assert one("sowed cherry belle in the frame").crops == ("radish",)
    assert one("planted kestrels in bed 1").crops == ("potato-early",)


@pytest.mark.parametrize(("text", "beds"), [
    ("sowed phacelia in the pea bed", ("bed-1",)), ("planted leeks where the garlic is", ("bed-4",)), ("mulched the garlic bed", ("bed-4",)),
    ("mulched the garlic", ()), ("sowed phacelia in the onion bed", ()), ("weeded the kale bed", ()),
])
def test_a_bed_is_called_after_what_grows_only_there(one, text: str, beds: tuple[str, ...]) -> None:
    growing = {"bed-1": ("pea", "kale"), "bed-4": ("garlic",), "frame": ("kale",)}
    assert one(text, names=replace(DEMO, growing=growing, standing=("pea", "kale", "garlic"))).beds == beds


def test_a_number_after_a_named_bed_is_no_bed(one) -> None:
    assert one("picked cucumbers from the tunnel, 3").beds == ("tunnel",)
    assert one("sowed carrots in bed 1, 3").beds == ("bed-1", "bed-3")


def test_what_is_sown_after_a_clearing_stands_where_it_was_cleared(read) -> None:
    assert [r.beds for r in read("cleared bed 2 and sowed mustard").requests] == [("bed-2",), ("bed-2",)]
    assert [r.beds for r in read("cleared bed 1, sowed a tray of lettuce").requests] == [("bed-1",), ()]


def test_peas_and_beans_are_told_one_by_one_and_asked_of_together(read) -> None:
    told = read("picked peas and runner beans").requests, read("picked peas and beans").requests
    assert all(requests[0].crops[:1] == ("pea",) and requests[0].group is None for requests in told)
    assert "runner-bean" in told[1][-1].crop_choices
    assert read("when do I sow peas and beans").requests[0].group == "peas-and-beans"


@pytest.mark.parametrize(("text", "beds"), [
    ("sowed lettuce beside the tunnel", ()), ("sowed peas in bed 3 next to the tunnel", ("bed-3",)), ("planted garlic under the arch", ("bed-2",)),
    ("moved three leeks out of the frame and into the shady bed", ("bed-4",)), ("planted strawberries in front of the wall bed", ()),
    ("sowed 3 trays of kale in the frame for bed 2 later on", ("frame",)), ("sowed carrots in bed 2 instead of bed 1", ("bed-2",)),
    ("sowed 12 fennel in the frame for planting in bed 2", ("frame",)), ("planted 12 kale for bed 2", ("bed-2",)),
    ("moved the 8 celery outta the tunnel and into bed 3", ("bed-3",)), ("note: rats near the tunnel", ("tunnel",)),
])
def test_a_bed_that_something_stands_next_to_or_came_out_of_is_not_where_it_stands(one, text: str, beds: tuple[str, ...]) -> None:
    assert one(text).beds == beds


@pytest.mark.parametrize(("text", "beds"), [("and 4", ("bed-4",)), ("same for 4", ("bed-4",)), ("did 3 too", ("bed-3",)), ("and 3 and 4 as well", ("bed-3", "bed-4"))])
def test_the_number_of_a_bed_goes_on_with_what_was_done_to_one(one, read, text: str, beds: tuple[str, ...]) -> None:
    request = one(text, memory=Memory(requests=read("watered bed 2").requests))
    assert (request.intent, request.beds, request.quantities) == ("log_fed_mulched", beds, ())


def test_a_number_after_an_amount_told_is_no_bed(one, read) -> None:
    assert one("and 4", memory=Memory(requests=read("picked 3 lettuces from bed 2").requests)).beds == ("bed-2",)


@pytest.mark.parametrize(("text", "beds"), [
    ("watered 1, 2 and the tunnel", [("bed-1", "bed-2", "tunnel")]), ("weeded 3 rows of carrots", [()]), ("sowed peas up the bean frame in bed 2", [("bed-2",)]),
    ("mulched beds one and two plus the wall bed", [("bed-1", "bed-2", "wall-bed")]), ("sowed lettuce outside the tunnel", [()]),
    ("bed 3: onions weeded, beetroot thinned", [("bed-3",), ("bed-3",)]),
    ("sowed lettuce and radish in the frame, carrots in the top bed", [("frame",), ("frame",), ("bed-1",)]),
    ("bed 1 carrots sown, bed 2 - beetroot sown", [("bed-1",), ("bed-2",)]),
])
def test_beds_of_lists(read, text: str, beds: list[tuple[str, ...]]) -> None:
    assert [r.beds for r in read(text).requests] == beds


def test_the_other_one_is_not_the_bed_before_it(one, read) -> None:
    assert one("and beetroot in the other one", memory=Memory(requests=read("sowed carrots in bed 1").requests)).beds == ()


@pytest.mark.parametrize(("text", "beds"), [("fed it too", ("bed-2",)), ("fed the other beds", ()), ("feed the other beds too", ()), ("limed another bed", ())])
def test_the_other_beds_are_not_the_one_spoken_of(one, read, text: str, beds: tuple[str, ...]) -> None:
    assert one(text, memory=Memory(requests=read("mulched bed 2").requests)).beds == beds


def test_the_bottom_one_is_not_the_bed_named_before(read) -> None:
    told = read("planted 5 leeks in the top bed and 3 pumpkins in the bottom one").requests
    assert [(r.beds, r.unknown_bed) for r in told] == [(("bed-1",), None), ((), "the bottom one")]
