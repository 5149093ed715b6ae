"""Feeding, mulching, liming and watering written down."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bot.facts import Facts
from bot.plot.events import NewEvent
from bot.request import Quantity, When
from tests.tending.grounds import after, ask, context, said


def test_compost_with_its_depth(facts: Facts) -> None:
    reply = ask(
        "log_fed_mulched",
        "two barrows of compost on bed 1",
        context(facts),
        beds=("bed-1",),
        quantities=(Quantity(2, "barrow", "two barrows"),),
    )
    event = reply.events[0]
    assert (event.kind, event.bed, event.amount, event.unit) == ("fed", "bed-1", 2, "barrow")
    assert event.data == {"what": "mulched", "material": "compost", "litres": 170.0, "depth_cm": 3.5}
    assert reply.headline == "Noted: 2 barrows of compost on Bed 1, today."


def test_water_is_its_own_kind(facts: Facts) -> None:
    reply = ask(
        "log_fed_mulched",
        "gave the tunnel 40 litres",
        context(facts),
        beds=("tunnel",),
        quantities=(Quantity(40, "l"),),
    )
    assert (reply.events[0].kind, reply.events[0].amount, reply.events[0].unit) == ("watered", 40, "l")


def test_several_beds_share_the_load(facts: Facts) -> None:
    reply = ask(
        "log_fed_mulched",
        "watered beds 1 and 2, 30 litres",
        context(facts),
        beds=("bed-1", "bed-2"),
        quantities=(Quantity(30, "l"),),
    )
    assert [(e.bed, e.amount) for e in reply.events] == [("bed-1", 15.0), ("bed-2", 15.0)]


@pytest.mark.parametrize(
    ("text", "material", "what"),
    [
        ("limed the middle bed", "lime", "limed"),
        ("comfrey feed on bed 3", "comfrey-feed", "fed"),
        ("chippings on bed 3", "wood-chip", "mulched"),
        ("manured bed 3", "manure", "mulched"),
        ("composted bed 3", "compost", "mulched"),
        ("leaf mould on bed 3", "leaves", "mulched"),
        ("newspaper on bed 3", "newsprint", "mulched"),
        ("pig muck on bed 3", "pig-manure", "mulched"),
        ("seaweed on bed 3", "seaweed", "mulched"),
        ("fed bed 3 with seaweed", "seaweed", "fed"),
    ],
)
def test_what_was_given(facts: Facts, text: str, material: str, what: str) -> None:
    data = ask("log_fed_mulched", text, context(facts), beds=("bed-3",)).events[0].data
    assert (data["material"], data["what"]) == (material, what)


def test_a_crop_takes_its_bed(facts: Facts) -> None:
    event = ask("log_fed_mulched", "fed the tomatoes", context(facts), crops=("tomato",)).events[0]
    assert (event.crop, event.bed, event.kind) == ("tomato", "tunnel", "fed")


def test_raw_manure_says_how_long_to_wait(facts: Facts) -> None:
    reply = ask("log_fed_mulched", "fresh horse manure on bed 3", context(facts), beds=("bed-3",))
    assert reply.events[0].data["fresh"] is True
    assert reply.data["log_fed_mulched"]["safe_from"] == "2026-10-15"
    assert "15 october" in said(reply)


def test_lime_too_near_manure_is_said(facts: Facts) -> None:
    ctx = context(facts)
    manured = after(ctx, NewEvent("fed", ctx.today - timedelta(days=10), bed="bed-3", data={"material": "manure"}))
    assert "ammonia" in said(ask("log_fed_mulched", "limed bed 3", manured, beds=("bed-3",)))
    assert "ammonia" not in said(ask("log_fed_mulched", "limed bed 3", ctx, beds=("bed-3",)))


@pytest.mark.parametrize(
    ("quantities", "when", "words"),
    [
        ((Quantity(-3, "barrow", "-3 barrows"),), None, "can't be right"),
        ((), When(date(2026, 6, 18), date(2026, 6, 18)), "still to come"),
        ((Quantity(500, "barrow", "500 barrows"),), None, "great deal"),
    ],
)
def test_nonsense_is_not_recorded(
    facts: Facts, quantities: tuple[Quantity, ...], when: When | None, words: str
) -> None:
    reply = ask(
        "log_fed_mulched", "compost on bed 1", context(facts), beds=("bed-1",), quantities=quantities, when=when
    )
    assert not reply.events
    assert words in said(reply)


def test_a_mix_for_the_heap_is_no_feed(facts: Facts) -> None:
    reply = ask("log_fed_mulched", "2 barrows of grass, 1 of paper for the compost", context(facts))
    assert not reply.events
    assert "C:N" in reply.headline


def test_an_unknown_bed_is_asked_about(facts: Facts) -> None:
    reply = ask("log_fed_mulched", "watered bed 9", context(facts), unknown_bed="bed 9")
    assert not reply.events
    assert len(reply.choices) == 2


def test_a_question_between_two_things_records_nothing(facts: Facts) -> None:
    reply = ask("log_fed_mulched", "mulch or feed the rhubarb", context(facts), crops=("rhubarb",))
    assert not reply.events
    assert "rhubarb" in said(reply)


def test_a_bare_list_of_materials_is_a_mix(facts: Facts) -> None:
    text = "2 barrows of grass, 1 of shredded paper, some manure"
    reply = ask("log_fed_mulched", text, context(facts), materials=("paper",), quantities=(Quantity(2, "barrow"),))
    assert not reply.events
    assert reply.data["compost"]["c_to_n"] == pytest.approx(24.6, abs=0.1)
    told = ask(
        "log_fed_mulched", "spread 2 barrows of compost and 1 of straw on bed 1", context(facts), beds=("bed-1",)
    )
    assert told.events
