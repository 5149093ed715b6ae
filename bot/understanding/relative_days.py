"""Read days told from today: "yesterday", "last week", "two weeks ago", "next Saturday"."""

from __future__ import annotations

from datetime import timedelta

from bot.understanding.almanac import Almanac, Moment, Resolver, way_of
from bot.understanding.found import Sheet
from bot.understanding.numbers import read_number
from bot.understanding.reckoning import (
    days_back,
    month_of,
    next_weekday,
    single_day,
    week_of,
    weekday_date,
    weekend_of,
    whole_year,
)

_UNIT_DAYS = {"day": 1, "days": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7, "fortnight": 14, "fortnights": 14,
              "night": 1, "nights": 1, "weekends": 7}


def plain_words(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read "today", "yesterday", "tomorrow night", "the other day", "last night"."""
    word, after, third = sheet.word(i), sheet.word(i + 1), sheet.word(i + 2)
    if word == "the" and after in ("day", "other"):
        i, word, after, third = i + 1, after, third, sheet.word(i + 3)
    if word == "day" and after in ("before", "after") and third in ("yesterday", "tomorrow"):
        gap = -2 if third == "yesterday" else 2
        return i + 3, Moment(lambda t, past: single_day(t + timedelta(gap)))
    if word == "other" and after == "day":
        return i + 2, Moment(lambda t, past: single_day(t - timedelta(2)))
    if word in ("today", "tonight"):
        return i + 1, Moment(lambda t, past: single_day(t), plain_today=True)
    if word == "earlier" and after == "today":
        return i + 2, Moment(lambda t, past: single_day(t), plain_today=True)
    if word == "yesterday":
        end = i + (2 if after in ("morning", "afternoon", "evening") else 1)
        return end, Moment(lambda t, past: single_day(t - timedelta(1)))
    if word == "tomorrow":
        end = i + (2 if after in ("morning", "afternoon", "evening", "night") else 1)
        return end, Moment(lambda t, past: single_day(t + timedelta(1)))
    if word == "last" and after == "night":
        return i + 2, Moment(lambda t, past: single_day(t - timedelta(1)))
    if word == "overnight" and after == "last":
        return i + 2, Moment(lambda t, past: single_day(t - timedelta(1)))
    return None


def relative(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read this/last/next week, month, year, weekend, and "the last 3 weeks"."""
    word, after = sheet.word(i), sheet.word(i + 1)
    if after == "before" and sheet.word(i + 2) == "last" and word in ("weekend", "night", "month"):
        further: dict[str, Resolver] = {
            "weekend": lambda t, past: weekend_of(t, -2), "night": lambda t, past: single_day(t - timedelta(2)), "month": lambda t, past: month_of(t, -2)}
        return i + 3, Moment(further[word])
    if word in ("weekend",) or (word in ("at", "on", "over") and after == "the" and sheet.word(i + 2) == "weekend"):
        end = i + 1 if word == "weekend" else i + 3
        return end, Moment(lambda t, past: weekend_of(t, -1 if past and t.weekday() < 5 else 0))
    if word == "week" and after in ("before",) and sheet.word(i + 2) == "last":
        return i + 3, Moment(lambda t, past: week_of(t, -2))
    if word == "year" and after == "before" and sheet.word(i + 2) == "last":
        return i + 3, Moment(lambda t, past: whole_year(t.year - 2))
    way = way_of(word)
    if way is None:
        return None
    back = sheet.word(i - 1)
    if after == "week" and way == -1 and sheet.word(i + 2) == "of" and sheet.word(i + 3) in almanac.months:
        return None
    spans: dict[str, Resolver] = {
        "week": lambda t, past: week_of(t, way),
        "month": lambda t, past: month_of(t, way),
        "year": lambda t, past: whole_year(t.year + way),
        "season": lambda t, past: whole_year(t.year + way),
        "weekend": lambda t, past: weekend_of(t, way if way else (-1 if past and t.weekday() < 5 else 0)),
        "fortnight": lambda t, past: (t - timedelta(14), t) if way < 0 else (t, t + timedelta(14)),
        "night": lambda t, past: single_day(t + timedelta(way)),
        "morning": lambda t, past: single_day(t), "afternoon": lambda t, past: single_day(t),
        "evening": lambda t, past: single_day(t),
    }
    if after in ("morning", "afternoon", "evening") and way:
        return None
    if after in spans and not (after == "season" and way == 0):
        if after == "year" and way == 0 and back in ("time", "same"):
            return None
        return i + 2, Moment(spans[after], plain_today=after in ("morning", "afternoon", "evening"))
    if after == "year's" or (after == "years" and way):
        return i + 2, Moment(spans["year"])
    number = read_number(sheet, i + 1, almanac.lexicon)
    if number and way:
        days = _days(sheet.word(number.end), number.value)
        if days:
            return number.end + 1, Moment(
                lambda t, past: (t - timedelta(days), t) if way < 0 else (t, t + timedelta(days)))
    return None


def weekday(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read "Saturday", "last Monday", "Friday just gone", "Tuesday week"."""
    start, word = i, sheet.word(i)
    way = way_of(word)
    if way is not None:
        i += 1
        word = sheet.word(i)
    day = almanac.weekdays.get(word)
    if day is None:
        return None
    noted = start > 0 and (sheet.tokens[start - 1].kind == "mark" or sheet.at(start - 1, "bed") is not None) and (
        start + 1 == len(sheet.tokens) or sheet.tokens[start + 1].kind == "mark")  # "bed 3, sat"
    if (word in almanac.shy and way is None and not noted
            and sheet.word(start - 1) not in ("on", "since", "by", "every", "till", "until", "for")):
        return None
    end = i + 1
    if sheet.word(end) in ("morning", "afternoon", "evening", "night", "gone", "past"):
        end += 1
    if (sheet.word(end) == "just" and sheet.word(end + 1) == "gone"
            or (sheet.word(end) == "last" and way is None and sheet.word(end + 1) != "year")):
        way, end = -1, end + (2 if sheet.word(end) == "just" else 1)
    if sheet.word(end) == "week" and way is None:
        return end + 1, Moment(lambda t, past: single_day(next_weekday(t, day) + timedelta(7)), weekday=day)
    return end, Moment(lambda t, past: single_day(weekday_date(t, day, way, past)), weekday=day)


def ago(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read "two weeks ago", "in 3 weeks", "a fortnight from now", "3 weeks time"."""
    if sheet.word(i - 1) in ("many", "long"):
        return None
    lead = sheet.word(i) in ("in", "within")
    at = i + 1 if lead else i
    while lead and sheet.word(at) in ("about", "around", "roughly", "another", "the", "next"):
        at += 1
    number = read_number(sheet, at, almanac.lexicon)
    unit_at, value = (number.end, number.value) if number else (at, 1.0)
    unit = sheet.word(unit_at)
    if unit in ("or",):
        return None
    back = unit_at + 1
    if unit in ("week", "weeks") and sheet.word(back) in ("or",) and sheet.word(back + 1) in ("so", "two"):
        back += 2
    days = _days(unit, value)
    months = int(value) if unit in ("month", "months", "mths", "year", "years", "yr", "yrs") else 0
    if unit in ("year", "years", "yr", "yrs"):
        months *= 12
    if not days and not months:
        return None
    if number is None and not (unit in ("fortnight",) or sheet.word(back) in ("ago", "back")):
        return None
    if sheet.word(back) in ("ago", "back", "since") and sheet.word(back) != "since":
        if sheet.word(back) == "back" and lead:
            return None
        return back + 1, Moment(lambda t, past: single_day(days_back(t, days, -months)))
    if sheet.word(back) in ("time",):
        return back + 1, Moment(lambda t, past: single_day(days_back(t, -days, months)))
    if sheet.word(back) == "from" and sheet.word(back + 1) in ("now", "today"):
        return back + 2, Moment(lambda t, past: single_day(days_back(t, -days, months)))
    if lead and number and sheet.word(i) == "in":
        return back, Moment(lambda t, past: single_day(days_back(t, -days, months)))
    return None


def _days(unit: str, value: float) -> int:
    return round(_UNIT_DAYS[unit] * value) if unit in _UNIT_DAYS and value < 2000 else 0
