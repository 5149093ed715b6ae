"""Find the dates a message names: an own grammar of spans, resolved when it is known whether past or future is meant.

A free search by a general date library finds dates in "may I sow now" and "sun gold"; so the span is
cut by rules here first, and every rule says what it matched.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from bot.request import When
from bot.understanding import months, relative_days, written_days
from bot.understanding.almanac import Almanac, Moment, Rule, ordinal, read_almanac
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon

#: The first rule that reads a date at a token wins.
_RULES: tuple[Rule, ...] = (
    relative_days.plain_words, written_days.written, relative_days.ago, relative_days.relative, relative_days.weekday,
    written_days.day_month, months.named_month, months.named_season, months.feast_or_year, written_days.bare_ordinal)


class DateFinder:
    """Mark the dates on a sheet. Built once from the calendar words."""

    def __init__(self, root: Path, lexicon: Lexicon) -> None:
        self._almanac = almanac = read_almanac(root, lexicon)
        self.words = set(almanac.months) | set(almanac.weekdays) | set(almanac.seasons) | almanac.feasts.words

    def find(self, sheet: Sheet, region: str, southern: bool) -> None:
        """Mark every date on the sheet; `southern` turns the seasons."""
        almanac = replace(self._almanac, region=region, southern=southern)
        i = 0
        while i < len(sheet.tokens):
            hit = None if sheet.taken[i] else _date_at(sheet, i, almanac)
            if hit and sheet.free(i, hit[0]):
                sheet.mark(Found("date", i, hit[0], hit[1]))
                i = hit[0]
            else:
                i += 1
        _join_ranges(sheet)
        days = [f for f in sheet.found if f.kind == "date"]
        for found in days:  # "last year's beans": their age, where a day is told as well
            if len(days) > 1 and sheet.tokens[found.end - 1].raw.endswith("'s"):
                sheet.unmark(found)


def _date_at(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    for rule in _RULES:
        hit = rule(sheet, i, almanac)
        if hit:
            return hit
    return None


def _join_ranges(sheet: Sheet) -> None:
    """Join "between March and May", "June to August" into one span, and open "since May"."""
    dates = sorted((f for f in sheet.found if f.kind == "date"), key=lambda f: f.start)
    for first, second in zip(dates, dates[1:], strict=False):
        gap = [sheet.word(k) for k in range(first.end, second.start)]
        a, b = first.value.weekday, second.value.weekday
        days_on = gap in (["and"], ["&"]) and a is not None and b == (a + 1) % 7  # "sat and sun"
        if days_on or (gap in (["to"], ["-"], ["until"], ["till"], ["through"], ["and"])
                       and (gap != ["and"] or sheet.word(first.start - 1) == "between")):
            left, right = first.value, second.value
            first.value = Moment(lambda t, past, a=left, b=right: _joined(a, b, t, past))  # type: ignore[misc]
            first.end = second.end
            for k in range(first.start, second.end):
                sheet.taken[k] = True
            sheet.found.remove(second)
            return
    for found in dates:
        if sheet.word(found.start - 1) == "since":
            inner = found.value
            found.value = Moment(lambda t, past, inner=inner: _until_today(inner, t))  # type: ignore[misc]


def _joined(a: Moment, b: Moment, today: date, past: bool) -> tuple[date, date] | None:
    left = a.resolve(today, past)
    right = b.resolve(left[0] if left else today, False)
    return (left[0], right[1]) if left and right else None


def _until_today(inner: Moment, today: date) -> tuple[date, date] | None:
    days = inner.resolve(today, True)
    return (min(days[0], today), today) if days else None


def resolve(found: Found, sheet: Sheet, today: date, past: bool) -> When | None:
    """Return the days a marked date means, looking back (`past`) or ahead."""
    moment: Moment = found.value
    try:
        days = moment.resolve(today, past)
    except (ValueError, OverflowError):
        return None
    return When(days[0], days[1], sheet.said(found.start, found.end)) if days else None


#: Any day will do to tell what lies before it and what after.
_ANY_DAY = date(2023, 6, 14)


def lying(moment: Moment) -> list[str]:
    """Return whether a date as said lies before today ("yesterday") or after it ("next week"), as words of their own.

    Nothing where its words leave that open ("in March").
    """
    try:
        ahead, back = moment.resolve(_ANY_DAY, False), moment.resolve(_ANY_DAY, True)
    except (ValueError, OverflowError):
        return []
    if ahead is None or back is None:
        return []
    return ["<past>"] if ahead[1] < _ANY_DAY else ["<ahead>"] if back[0] > _ANY_DAY else []


__all__ = ["DateFinder", "Moment", "lying", "ordinal", "resolve"]
