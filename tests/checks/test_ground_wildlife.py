"""Dates of hedges, boxes, ponds and heaps against published guidance.

Sources: RSPB, hedges (main breeding season March to August); RSPB, nest boxes (empty September to January); Wiltshire
Wildlife Trust, ponds (autumn); RSPB Flatford, compost heaps (April to mid May, or October); Sussex Wildlife
Trust, meadows.
"""

from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.facts.tending_heap import WildTask
from bot.tending.wildlife import may, turned


def task(facts: Facts, name: str) -> WildTask:
    return next(t for t in facts.tending.wildlife if t.id == name)


@pytest.mark.parametrize(
    ("month", "day", "allowed"),
    [(2, 28, True), (3, 1, False), (5, 20, False), (8, 31, False), (9, 1, True), (1, 15, True)],
)
def test_hedges_in_the_north(facts: Facts, month: int, day: int, allowed: bool) -> None:
    assert may(task(facts, "hedge-cut"), date(2026, month, day), False) is allowed


@pytest.mark.parametrize(("month", "allowed"), [(3, True), (7, True), (9, False), (12, False), (2, False)])
def test_hedges_in_the_south_are_turned_round(facts: Facts, month: int, allowed: bool) -> None:
    assert may(task(facts, "hedge-cut"), date(2026, month, 10), True) is allowed


@pytest.mark.parametrize(
    ("name", "yes", "no"),
    [
        ("nestbox-clean", (10, 1), (4, 1)),
        ("pond-clear", (10, 15), (4, 15)),
        ("compost-open", (4, 20), (7, 10)),
        ("compost-open", (10, 10), (1, 10)),
        ("meadow-cut-summer", (8, 20), (6, 1)),
        ("tree-work", (12, 1), (6, 1)),
        ("bonfire", (11, 5), (7, 1)),
    ],
)
def test_tasks_have_their_seasons(facts: Facts, name: str, yes: tuple[int, int], no: tuple[int, int]) -> None:
    assert may(task(facts, name), date(2026, *yes), False) is True
    assert may(task(facts, name), date(2026, *no), False) is False


def test_ends_of_months_stay_ends() -> None:
    assert turned([("09-01", "02-28")], True) == [("03-01", "08-31")]
    assert turned([("04-01", "05-15")], True) == [("10-01", "11-15")]


def test_the_law_is_left_to_local_rules(facts: Facts) -> None:
    for row in facts.tending.wildlife:
        if row.law:
            assert any(
                word in row.law
                for word in ("Britain", "countries", "places", "country", "rules", "label", "New Zealand", "Australia")
            )
