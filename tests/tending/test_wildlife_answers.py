"""Meadow, hedge, pond, piles and creatures: when, how, and the law deferred to local rules."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from tests.tending.grounds import HOBART, ask, context, said


@pytest.mark.parametrize(
    ("text", "task"),
    [
        ("when can I cut the hedge", "hedge-cut"),
        ("when can I cut the meadow", "meadow-cut-summer"),
        ("bird box cleaning time of year", "nestbox-clean"),
        ("there's a blackbird nest in the blackcurrants, what do I do", "nest-found"),
        ("newts under the slab, what do I do", "toads"),
        ("toads in the tunnel, leave them?", "toads"),
        ("found a bumblebee nest under the shed", "bumble-nest"),
        ("is it allowed to move a wasp nest", "wasp-nest"),
        ("how do I make a wee pond for frogs", "pond-make"),
        ("the pond's turned to soup in the heat, change it?", "pond-green"),
        ("when to clean the pond out", "pond-clear"),
        ("where should a log pile go", "log-pile"),
        ("slug pellets ok?", "slug-bait"),
        ("bats in the tunnel at dusk, is that ok", "bats"),
        ("hedgehog in the compost heap", "hedgehog-disturb"),
        ("ladybirds, how do I get more", "ladybirds"),
        ("insect hotel facing which way", "insect-hotel"),
        ("when's best for sowing yellow rattle", "meadow-sow"),
        ("can I light the bonfire", "bonfire"),
        ("planting a native hedge, which month", "hedge-plant"),
        ("swifts, do they need a box", "nestbox-put"),
    ],
)
def test_the_right_thing_is_spoken_of(facts: Facts, text: str, task: str) -> None:
    assert ask("wildlife", text, context(facts)).data["wildlife"]["task"] == task


def test_hedges_not_in_june_and_yes_in_january(facts: Facts) -> None:
    assert ask("wildlife", "can I cut the hedge", context(facts)).headline.startswith("Not now")
    assert ask("wildlife", "can I cut the hedge", context(facts, "2026-01-20")).headline.startswith("Yes")


def test_the_south_has_its_own_months(facts: Facts) -> None:
    winter = ask("wildlife", "can I cut the hedge", context(facts, "2026-06-17", at=HOBART))
    assert winter.data["wildlife"]["now"] is True
    assert "March to August" in winter.headline


def test_law_is_left_to_local_rules(facts: Facts) -> None:
    reply = ask("wildlife", "when can I cut the hedge", context(facts))
    assert "check yours" in said(reply) or "local rules" in said(reply)


def test_how_is_answered_with_how(facts: Facts) -> None:
    reply = ask("wildlife", "insect hotel facing which way", context(facts))
    assert reply.headline.startswith("Facing the midday sun")


def test_no_poison_doses(facts: Facts) -> None:
    reply = ask("wildlife", "slug pellets ok?", context(facts))
    assert "no metaldehyde" in said(reply)
    assert "g per" not in said(reply)


def test_an_unknown_subject_lists_what_is_in_season(facts: Facts) -> None:
    reply = ask("wildlife", "tell me about wildlife", context(facts))
    assert reply.choices
    assert reply.data["wildlife"]["task"] is None


def test_without_a_place_no_month_is_claimed_as_now(facts: Facts) -> None:
    assert ask("wildlife", "when can I cut the hedge", context(facts, place=False)).data["wildlife"]["now"] is None
