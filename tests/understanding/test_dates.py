"""Dates: 17 June 2026 is a Wednesday."""

from __future__ import annotations

from datetime import date

import pytest

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
    ],
)
def test_dates(one, text: str, start: date, end: date) -> None:
    when = one(text).when
    assert when is not None
    assert (when.start, when.end) == (start, end)


@pytest.mark.parametrize("text", ["may I sow carrots now", "picked the sun gold tomatoes, 2 kg", "how do I march on",
                                  "when do I sow dates"])
def test_words_that_are_no_dates(read, text: str) -> None:
    assert all(r.when is None for r in read(text).requests)


def test_figures_are_read_as_the_place_writes_them(one) -> None:
    assert one("sowed carrots on 4/5/26", region="GB").when.start == D(2026, 5, 4)
    assert one("sowed carrots on 4/5/26", region="US").when.start == D(2026, 4, 5)


def test_seasons_turn_over_in_the_south(one) -> None:
    assert one("what can I sow in spring", region="AU").when.start == D(2026, 9, 1)
    assert one("what can I sow in spring", region="GB").when.start == D(2027, 3, 1)


@pytest.mark.parametrize("text", ["sowed turnips in bed 3 on 31 February", "picked 2 kg of peas on 31st of June",
                                  "sowed peas on april 31"])
def test_a_day_no_calendar_has_records_nothing(read, text: str) -> None:
    found = read(text)
    assert found.asked is not None and "There is no" in found.asked.headline
    assert [r.intent for r in found.requests] == ["none"]
