"""Derived months against the calendars published for six places (sources in data/published_months.csv)."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from tests.checks.calendars import HOT, LATE, Row, compare, shares, table


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


@pytest.fixture(scope="module")
def hot() -> list[Row]:
    return compare(Facts(), HOT)


def test_hot_places_keep_the_printed_seasons(hot: list[Row]) -> None:
    """Florida (IFAS SP 103), Phoenix, Darwin and Brisbane: sources in data/published_hot_months.csv."""
    print("\n" + table(hot))
    overlap, _ = shares(hot)
    assert overlap >= 0.9


def test_no_cool_crop_is_sown_into_a_hot_summer(hot: list[Row]) -> None:
    tender = {"french-bean", "french-bean-climbing", "lima-bean", "melon", "sweetcorn", "cucumber", "aubergine", "okra", "tomato"}
    cool = [r for r in hot if r.place in ("tampa", "miami", "phoenix") and r.crop not in tender and r.derived and r.crop != "pepper-sweet"]
    assert len(cool) > 20
    assert not [r for r in cool if r.outside], table([r for r in cool if r.outside])


@pytest.mark.parametrize(("place", "never"), [("tampa", {5, 6, 7, 11}), ("phoenix", {5, 6, 7}), ("darwin", {10, 11, 12, 1})])
def test_tomatoes_skip_the_hottest_months(hot: list[Row], place: str, never: set[int]) -> None:
    rows = [r for r in hot if r.place == place and r.crop == "tomato"]
    assert rows and not any(r.derived & never for r in rows), table(rows)


def test_what_is_begun_late_in_mild_autumns_and_long_summers_is_offered() -> None:
    """Melbourne, Sydney and the Waikato in May; Georgia in July and August: sources in data/published_late_months.csv."""
    late = compare(Facts(), LATE)
    overlap, _ = shares(late)
    assert overlap >= 0.9, table(late, only_wrong=True)
    tomato = next(r for r in late if r.place == "middle-georgia" and r.crop == "tomato")
    assert tomato.derived == {4, 5, 6, 7}
