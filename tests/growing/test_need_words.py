"""Which messages are of what a crop needs, whatever they were read as, and which are left to their own handlers."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.facts.needs import row_of
from bot.growing.need_words import crop_said, topic_of
from bot.request import Request

FACTS = Facts()

OURS = [
    ("pots", "store", "will chives do in a window box"), ("pots", "depth", "is 20 cm of soil in a trough enough for beetroot"), ("sun", "daylight", "how many hours of sun do peppers need"),
    ("sun", "plot", "what grows in shade"), ("soil", "why_not", "is clay alright for carrots"), ("partner", "how_many", "do I need two apple trees"),
    ("partner", "save_seed", "how do I hand pollinate courgettes"), ("kinds", "hardy", "which tomato is best outdoors"), ("time", "germination", "how long do potatoes take from planting"),
    ("raising", "glossary", "how do I harden off tomatoes"), ("ease", "crop_info", "is celery difficult"), ("wishes", "none", "which vegetables save most money"),
    ("net", "frost_tonight", "do I cover the strawberries against blackbirds"), ("raised", "none", "how deep must a raised bed be"),
    ("pots", "depth", "how deep a pot for leeks"), ("sun", "fits_bed", "what will grow with only three hours of sun"),
]
THEIRS = [
    ("glossary", "what's hardening off"), ("germination", "how long does parsley take"), ("depth", "How deep for runner beans in pots?"), ("companion", "do onions keep carrot fly off"),
    ("hardy", "and is the bay safe in its tub"), ("spacing", "sweetcorn in a block, what gap?"), ("ripen", "kiwis like stones, do they soften with an apple"), ("water", "how often for tomatoes in pots"),
    ("daylight", "when do I drop under ten hours of light for winter lettuce"), ("protect", "old net curtains over the potatoes any use"), ("plot", "which tomato varieties are in the greenhouse"),
    ("lime_feed", "yellow between the veins on the raspberries and it's chalky here, what do I feed"), ("save_seed", "hand pollinate a squash so it's true, talk me through"), ("crop_info", "tell me about leeks"),
    ("log_sow", "sowed carrots in a pot"), ("when_sow", "when do I sow carrots in a tub"), ("store", "a bucket of hard pears, will they last till Christmas in the garage"),
]


def _request(intent: str, text: str) -> Request:
    crop = crop_said(text, FACTS)
    return Request(intent, text=text, crops=(crop,) if crop else ())


@pytest.mark.parametrize(("topic", "intent", "text"), OURS)
def test_needs_are_heard_whatever_they_were_read_as(topic: str, intent: str, text: str) -> None:
    assert topic_of(_request(intent, text), FACTS) == topic


@pytest.mark.parametrize(("intent", "text"), THEIRS)
def test_what_only_sounds_like_a_need_keeps_its_own_answer(intent: str, text: str) -> None:
    assert topic_of(_request(intent, text), FACTS) is None


def test_an_answer_goes_on_with_another_crop() -> None:
    assert topic_of(_request("store", "and pears?"), FACTS, "partner") == "partner"
    assert topic_of(_request("store", "and pears?"), FACTS) is None


def test_a_crop_is_found_by_its_longest_name() -> None:
    assert crop_said("any good kind of sweet potato", FACTS) == "sweet-potato"
    assert crop_said("the sorry thing", FACTS) is None


@pytest.mark.parametrize("table", ["pots", "soils", "sun"])
def test_every_common_crop_has_its_row(table: str) -> None:
    """Whatever is worth growing can be told about: a pot and a soil, and its hours of sun here or in its own file."""
    rows = {"pots": FACTS.needs.pots.pots, "soils": FACTS.needs.soils.rows, "sun": FACTS.needs.sun.hours}[table]
    for crop_id, worth in FACTS.growing.worth.items():
        crop = FACTS.crops[crop_id]
        own = table == "sun" and crop.light is not None and crop.light.sun_hours is not None
        if worth.worth >= 3 and worth.kind != "green-manure" and crop_id not in ("walnut", "chestnut-sweet", "hazelnut", "elderberry"):
            assert own or row_of(rows, crop_id) is not None, f"{table}: {crop_id}"  # type: ignore[type-var]
