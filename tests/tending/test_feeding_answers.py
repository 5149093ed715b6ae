"""Lime by soil and pH, feeding crop by crop, green manures by date here."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from tests.tending.grounds import HOBART, ask, context, said


def test_lime_for_a_bed(facts: Facts) -> None:
    reply = ask("lime_feed", "ph is 5.8, loam, how much lime for bed 1", context(facts), beds=("bed-1",))
    found = reply.data["lime_feed"]
    assert found["g_per_m2"] == [273, 490]
    assert found["kg"] == [1.31, 2.35]
    assert "(6.5 - 5.8) x 7 = 4.9 t/ha" in " ".join(reply.working)
    assert "goggles" in said(reply)


def test_without_a_soil_it_asks_and_says_what_each_would_take(facts: Facts) -> None:
    reply = ask("lime_feed", "the soil test came back at 5.4, now what", context(facts))
    assert reply.waiting is not None
    assert [c.label for c in reply.choices] == ["Sandy", "Loam", "Clay"]
    assert reply.data["lime_feed"]["by_soil"] == {"sands": 313, "sandy": 415, "clay": 557}


def test_the_plots_own_soil_is_used(facts: Facts) -> None:
    reply = ask("lime_feed", "how much lime for bed 2", context(facts, soil="clay", soil_ph=5.5), beds=("bed-2",))
    assert reply.data["lime_feed"]["g_per_m2"] == [513, 800]


def test_untested_soil_is_tested_first(facts: Facts) -> None:
    reply = ask("lime_feed", "how much lime does bed 1 need", context(facts), beds=("bed-1",))
    assert reply.headline.startswith("Test first")
    assert reply.data["lime_feed"]["ph"] is None


@pytest.mark.parametrize(
    ("text", "crops"), [("lime for potatoes", ("potato",)), ("my blueberries are yellow, is it lime", ("blueberry",))]
)
def test_never_for_some(facts: Facts, text: str, crops: tuple[str, ...]) -> None:
    assert ask("lime_feed", text, context(facts), crops=crops).data["lime_feed"]["lime"] is False


def test_clubroot_wants_more(facts: Facts) -> None:
    reply = ask(
        "lime_feed",
        "clubroot, pH 6.2 sandy loam, lime for cabbages in bed 1",
        context(facts),
        crops=("cabbage-winter",),
        beds=("bed-1",),
    )
    assert reply.data["lime_feed"]["target_ph"] == 7.0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("ph 7.4 lime?", "no lime"),
        ("ph 12 how much lime", "can't be right"),
        ("can I put lime and manure on together", "ammonia"),
        ("wood ash instead of lime?", "mild lime"),
        ("when to put lime on", "winter"),
    ],
)
def test_lime_asked_other_ways(facts: Facts, text: str, words: str) -> None:
    reply = ask("lime_feed", text, context(facts))
    assert words in said(reply)
    assert not reply.events


@pytest.mark.parametrize(
    ("text", "crops", "words"),
    [
        ("when do I feed tomatoes", ("tomato",), "weekly"),
        ("do beans need fertilizer", ("french-bean",), "no feed"),
        ("are onions greedy", ("onion",), "hungry"),
        ("side dress corn with what", ("sweetcorn",), "knee-high"),
        ("epsom salts on the peppers worth it?", ("pepper-sweet",), "magnesium"),
        ("comfrey tea dilution", ("comfrey",), "10 of water"),
        ("nettle feed recipe", (), "10 of water"),
        ("chicken manure pellets rate per square metre", (), "100 to 200 g per m²"),
    ],
)
def test_feeds(facts: Facts, text: str, crops: tuple[str, ...], words: str) -> None:
    assert words in said(ask("lime_feed", text, context(facts), crops=crops))


def test_green_manures_follow_the_season_here(facts: Facts) -> None:
    summer = ask("lime_feed", "which green manure now", context(facts)).data["lime_feed"]["green_manures"]
    autumn = ask("lime_feed", "which green manure now", context(facts, "2026-10-05")).data["lime_feed"]["green_manures"]
    assert "phacelia" in summer
    assert "winter-rye" not in summer
    assert "winter-rye" in autumn
    assert "buckwheat" not in autumn
    southern = ask("lime_feed", "which green manure now", context(facts, "2026-12-17", at=HOBART)).data["lime_feed"][
        "green_manures"
    ]
    assert "buckwheat" in southern


def test_green_manure_seed_for_the_bed(facts: Facts) -> None:
    reply = ask("lime_feed", "green manure for bed 3", context(facts), beds=("bed-3",))
    assert any("phacelia: 1 to 3 g/m² x 4.8 m²" in w for w in reply.working)


def test_without_a_place_green_manures_ask_for_it(facts: Facts) -> None:
    assert ask("lime_feed", "which cover crop now", context(facts, place=False)).wants == "place"


def test_rates_keep_one_unit_in_american_words(facts: Facts) -> None:
    reply = ask("lime_feed", "potash rate for the gooseberries", context(facts, units="us"), crops=("gooseberry",))
    assert "5 to 10 oz per 100 sq ft" in reply.headline


def test_liming_between_two_crops_is_about_the_order(facts: Facts) -> None:
    crops = ("potato", "cabbage-winter")
    reply = ask("lime_feed", "liming after spuds or before cabbages", context(facts), crops=crops)
    assert reply.data["lime_feed"]["topic"] == "when-lime"
