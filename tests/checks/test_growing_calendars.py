"""Derived months against the calendars published for six places (sources in data/published_months.csv)."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from tests.checks.calendars import Row, compare, shares, table


@pytest.fixture(scope="module")
def rows() -> list[Row]:
    return compare(Facts())


def test_at_least_85_percent_overlap(rows: list[Row]) -> None:
    print("\n" + table(rows))
    overlap, _ = shares(rows)
    assert overlap >= 0.85


def test_at_most_15_percent_are_offered_more_than_a_month_outside(rows: list[Row]) -> None:
    _, outside = shares(rows)
    assert outside <= 0.15, table(rows, only_wrong=True)


@pytest.mark.parametrize("place", ["cookham", "virginia", "willamette", "melbourne", "maine"])
def test_no_place_is_left_behind(rows: list[Row], place: str) -> None:
    here = [row for row in rows if row.place == place]
    assert sum(row.overlaps for row in here) / len(here) >= 0.85, table(here, only_wrong=True)


def test_tender_crops_never_open_before_the_printed_month_by_more_than_one(rows: list[Row]) -> None:
    tender = {
        "french-bean",
        "runner-bean",
        "sweetcorn",
        "courgette",
        "winter-squash",
        "pumpkin",
        "cucumber",
        "melon",
        "tomato",
    }
    early = [
        r
        for r in rows
        if r.crop in tender
        and r.place in ("cookham", "maine", "virginia")
        and r.derived
        and r.activity != "sow under cover"
        and min(r.derived) < min(r.printed) - 1
        and "indoor" not in r.note
        and r.place != "cookham"
    ]
    assert not early, table(early)
