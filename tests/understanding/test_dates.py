"""Dates: 17 June 2026 is a Wednesday."""

from __future__ import annotations

from datetime import date

import pytest

from bot.understanding.reckoning import feast_day

D = date


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [
        ("picked 2 kg of peas yesterday", D(2026, 6, 16), D(2026, 6, 16)),
        ("picked 2 kg of peas last Sunday", D(2026, 6, 14), D(2026, 6, 14)),
        ("picked 2 kg of peas on Monday", D(2026, 6, 15), D(2026, 6, 15)),
        ("picked 2 kg of peas last Wednesday", D(2026, 6, 10), D(2026, 6, 10)),
        ("sowed carrots on the 3rd of Sept", D(2025, 9, 3), D(2025, 9, 3)),
        ("sowed carrots on 3 May", D(2026, 5, 3), D(2026, 5, 3)),
        ("sowed carrots May 3rd", D(2026, 5, 3), D(2026, 5, 3)),
        ("sowed carrots on the twenty first of April", D(2026, 4, 21), D(2026, 4, 21)),
        ("sowed carrots two weeks ago", D(2026, 6, 3), D(2026, 6, 3)),
        ("sowed carrots a fortnight ago", D(2026, 6, 3), D(2026, 6, 3)),
        ("sowed carrots 3 days ago", D(2026, 6, 14), D(2026, 6, 14)),
        ("sowed carrots the day before yesterday", D(2026, 6, 15), D(2026, 6, 15)),
        ("sowed carrots 2026-05-01", D(2026, 5, 1), D(2026, 5, 1)),
        ("sowed carrots on 1/5/26", D(2026, 5, 1), D(2026, 5, 1)),
        ("what can I sow in October", D(2026, 10, 1), D(2026, 10, 31)),
        ("what can I sow next month", D(2026, 7, 1), D(2026, 7, 31)),
        ("what can I sow this week", D(2026, 6, 15), D(2026, 6, 21)),
        ("what can I sow in March", D(2027, 3, 1), D(2027, 3, 31)),
        ("what can I sow in early May", D(2027, 5, 1), D(2027, 5, 10)),
        ("what did I pick last month", D(2026, 5, 1), D(2026, 5, 31)),
        ("how much did we pick in August", D(2025, 8, 1), D(2025, 8, 31)),
        ("how many beans did we pick last year", D(2025, 1, 1), D(2025, 12, 31)),
        ("what jobs are there this weekend", D(2026, 6, 20), D(2026, 6, 21)),
        ("what can I sow between September and November", D(2026, 9, 1), D(2026, 11, 30)),
        ("sowed carrots a week last Tuesday", D(2026, 6, 9), D(2026, 6, 9)),
        ("sowed carrots three weeks ago last Saturday", D(2026, 5, 23), D(2026, 5, 23)),
        ("sowed carrots a week ago yesterday", D(2026, 6, 9), D(2026, 6, 9)),
        ("sowed carrots Friday week gone", D(2026, 6, 5), D(2026, 6, 5)),
        ("what can I sow a week on Friday", D(2026, 6, 26), D(2026, 6, 26)),
        ("sowed carrots Tuesday last week", D(2026, 6, 9), D(2026, 6, 9)),
        ("sowed carrots the Saturday before last", D(2026, 6, 6), D(2026, 6, 6)),
        ("sowed carrots Sunday 7th June", D(2026, 6, 7), D(2026, 6, 7)),
        ("sowed carrots on Monday the 8th", D(2026, 6, 8), D(2026, 6, 8)),
        ("sowed carrots on the third", D(2026, 6, 3), D(2026, 6, 3)),
        ("sowed carrots second week in may", D(2026, 5, 8), D(2026, 5, 14)),
        ("sowed carrots sat just gone", D(2026, 6, 13), D(2026, 6, 13)),
        ("sowed carrots bed 1 mon", D(2026, 6, 15), D(2026, 6, 15)),
        ("sat picked 2 kg of peas", D(2026, 6, 13), D(2026, 6, 13)),
        ("picked 3 lettuces sat and sun", D(2026, 6, 13), D(2026, 6, 14)),
        ("planted leeks 4 days since", D(2026, 6, 13), D(2026, 6, 13)),
        ("sowed carrots this time last week", D(2026, 6, 10), D(2026, 6, 10)),
        ("sowed carrots 04.06.", D(2026, 6, 4), D(2026, 6, 4)),
        ("sat 2kg peas picked", D(2026, 6, 13), D(2026, 6, 13)),
        ("sowed peas on the last day of may", D(2026, 5, 31), D(2026, 5, 31)),
        ("sowed carrots the day after the bank holiday", D(2026, 5, 26), D(2026, 5, 26)),
        ("sowed carrots the day before Good Friday", D(2026, 4, 2), D(2026, 4, 2)),
        ("sowed carrots on Good Friday", D(2026, 4, 3), D(2026, 4, 3)),
        ("sowed carrots at the bank holiday weekend", D(2026, 5, 23), D(2026, 5, 25)),
        ("sowed broad beans last back end in bed 2", D(2025, 9, 1), D(2025, 11, 30)),
        ("sowed peas last sunday week", D(2026, 6, 7), D(2026, 6, 7)),
        ("sowed onions on lady day", D(2026, 3, 25), D(2026, 3, 25)),
        ("when do I sow kale, come the weekend", D(2026, 6, 20), D(2026, 6, 21)),
    ],
)
def test_dates(one, text: str, start: date, end: date) -> None:
    when = one(text).when
    assert when is not None
    assert (when.start, when.end) == (start, end)


@pytest.mark.parametrize("text", ["may I sow carrots now", "picked the sun gold tomatoes, 2 kg", "how do I march on",
                                  "when do I sow dates", "sowed carrots in full sun", "bed 3 gets morning sun",
                                  "what can I sow in the third row", "sowed chard the other day", "sowed carrots the other night", "sowed radish at the back end of bed 2"])
def test_words_that_are_no_dates(read, text: str) -> None:
    assert all(r.when is None for r in read(text).requests)


def test_figures_are_read_as_the_place_writes_them(one) -> None:
    assert one("sowed carrots on 4/5/26", region="GB").when.start == D(2026, 5, 4)
    assert one("sowed carrots on 4/5/26", region="US").when.start == D(2026, 4, 5)


def test_a_feast_falls_where_the_place_keeps_it(one) -> None:
    assert one("planted 4 tomatoes on mothers day", region="US").when.start == D(2026, 5, 10)
    assert one("planted 4 tomatoes on mothers day", region="GB").when.start == D(2026, 3, 15)


def test_figures_after_a_bed_are_a_day(one) -> None:
    assert one("planted 3 tomatoes in bed 1 5/20", region="US").when.start == D(2026, 5, 20)


@pytest.mark.parametrize(("year", "rule", "day"), [
    (2026, "easter", D(2026, 4, 5)), (2027, "easter-2", D(2027, 3, 26)), (2025, "last monday of 05", D(2025, 5, 26)),
    (2025, "fourth thursday of 11", D(2025, 11, 27)), (2024, "12-25", D(2024, 12, 25)),
])
def test_feasts_that_move(year: int, rule: str, day: date) -> None:
    assert feast_day(year, rule) == day


def test_a_year_may_be_the_age_of_what_is_used(one) -> None:
    assert one("used 500g of last years frozen raspberries").when is None
    assert one("how many potatoes did we pick last year").when is not None


def test_seasons_turn_over_in_the_south(one) -> None:
    assert one("what can I sow in spring", region="AU").when.start == D(2026, 9, 1)
    assert one("what can I sow in spring", region="GB").when.start == D(2027, 3, 1)


@pytest.mark.parametrize("text", ["sowed turnips in bed 3 on 31 February", "picked 2 kg of peas on 31st of June",
                                  "sowed peas on april 31"])
def test_a_day_no_calendar_has_records_nothing(read, text: str) -> None:
    found = read(text)
    assert found.asked is not None and "There is no" in found.asked.headline
    assert [r.intent for r in found.requests] == ["none"]
