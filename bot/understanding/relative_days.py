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
from bot.understanding.written_days import bare_ordinal, day_month, written

_UNIT_DAYS = {"day": 1, "days": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7, "fortnight": 14, "fortnights": 14,
              "night": 1, "nights": 1, "weekends": 7}


_PARTS_OF_DAY = ("morning", "afternoon", "evening", "night", "lunchtime", "arvo")


def plain_words(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read "today", "yesterday", "tomorrow night", "last night"; "the other day" is no day that could be written down."""
    word, after, third = sheet.word(i), sheet.word(i + 1), sheet.word(i + 2)
    if word == "the" and after == "day":
        i, word, after, third = i + 1, after, third, sheet.word(i + 3)
    if word == "day" and after in ("before", "after") and third in ("yesterday", "tomorrow"):
        gap = -2 if third == "yesterday" else 2
        return i + 3, Moment(lambda t, past: single_day(t + timedelta(gap)))
    if word in ("today", "tonight"):
        return i + 1, Moment(lambda t, past: single_day(t), plain_today=True)
    if word == "earlier" and after == "today":
        return i + 2, Moment(lambda t, past: single_day(t), plain_today=True)
    if word == "yesterday":
        end = i + (2 if after in _PARTS_OF_DAY else 1)
        return end, Moment(lambda t, past: single_day(t - timedelta(1)))
    if word == "tomorrow":
        end = i + (2 if after in _PARTS_OF_DAY else 1)
        return end, Moment(lambda t, past: single_day(t + timedelta(1)))
    if word == "this" and after == "time" and third == "last" and sheet.word(i + 3) == "week":
        return i + 4, Moment(lambda t, past: single_day(t - timedelta(7)))
    if word == "last" and after in ("night", "evening"):
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
        if "come" in (sheet.word(i - 1), sheet.word(i - 2) if sheet.word(i - 1) == "the" else ""):
            return end, Moment(lambda t, past: weekend_of(t, 0))  # "come the weekend"
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
    """Read "Saturday", "last Monday", "Friday just gone", "Tuesday week", "Friday before last", "Sunday 7 June", "Monday last week"."""
    word = sheet.word(i)
    way = way_of(word)
    if way is not None:
        i += 1
        word = sheet.word(i)
    day = almanac.weekdays.get(word)
    if day is None or (word in almanac.shy and way is None and not _day_meant(sheet, i, almanac)):
        return None
    end = i + 1
    dated = _dated(sheet, end, almanac) if way is None else None
    if dated is not None:
        return dated
    if sheet.word(end) in _PARTS_OF_DAY:
        end += 1
    if sheet.word(end) == "before" and sheet.word(end + 1) == "last" and way is None:
        return end + 2, Moment(lambda t, past: single_day(weekday_date(t, day, -1, True) - timedelta(7)), weekday=day)
    of = end + 1 if sheet.word(end) == "of" else end
    weeks = way_of(sheet.word(of)) if sheet.word(of + 1) == "week" and way is None else None
    if weeks is not None:
        return of + 2, Moment(lambda t, past: single_day(week_of(t, weeks)[0] + timedelta(day)), weekday=day)
    if sheet.word(end) == "week" and way is None and sheet.word(end + 1) in ("gone", "past", "ago", "last", "back"):
        return end + 2, Moment(lambda t, past: single_day(weekday_date(t, day, -1, True) - timedelta(7)), weekday=day)
    if sheet.word(end) in ("gone", "past"):
        end += 1
    if (sheet.word(end) == "just" and sheet.word(end + 1) in ("gone", "past")
            or (sheet.word(end) == "last" and way is None and sheet.word(end + 1) != "year")):
        way, end = -1, end + (2 if sheet.word(end) == "just" else 1)
    if sheet.word(end) == "week" and way == -1:
        return end + 1, Moment(lambda t, past: single_day(weekday_date(t, day, -1, True) - timedelta(7)), weekday=day)  # "last Sunday week"
    if sheet.word(end) == "week" and way is None:
        return end + 1, Moment(lambda t, past: single_day(next_weekday(t, day) + timedelta(7)), weekday=day)
    return end, Moment(lambda t, past: single_day(weekday_date(t, day, way, past)), weekday=day)


#: Words before a short day's name that make it one, before which "sun" shines, and after which "wed" and "sat" are none.
_DAY_LEADS = ("on", "since", "by", "every", "till", "until", "for")
_SHINES = ("the", "in", "full", "gets", "of", "no", "some", "more", "morning", "afternoon", "evening", "to")
#: Little words that end what was done, before the day it was done.
_DONE_WITH = ("out", "off", "up", "down", "in", "away", "done", "again")
_NAMED = ("bed", "unknown_bed", "crop", "variety", "qty", "product", "group", "material")


def _day_meant(sheet: Sheet, i: int, almanac: Almanac) -> bool:
    """Tell whether "sat", "sun", "mon" or "wed" is a day: by the words around it, or standing alone after what was done."""
    word, before, after = sheet.word(i), sheet.word(i - 1), sheet.word(i + 1)
    if before in _DAY_LEADS:
        return True
    if word == "sun" and before in _SHINES:
        return False
    if before not in ("the", "it") and (after in _PARTS_OF_DAY or after in ("just", "gone", "week", "before") and sheet.word(i + 2) in ("gone", "past", "last", "")):
        return True
    joined = ("and", "or", "to", "-", "&", "/")
    if any(beside in joined and almanac.weekdays.get(sheet.word(k)) is not None for beside, k in ((before, i - 2), (after, i + 2))):
        return True
    told = almanac.lexicon.told
    opens = i == 0 or sheet.tokens[i - 1].kind == "mark"
    ends = i + 1 >= len(sheet.tokens) or sheet.tokens[i + 1].kind == "mark" or sheet.at(i + 1, *_NAMED) is not None or (opens and sheet.tokens[i + 1].kind == "number")
    amount = before in almanac.lexicon.unit_trie.words and read_number(sheet, i - 2, almanac.lexicon) is not None
    named = sheet.at(i - 1, *_NAMED) is not None or amount or before in told or before in _DONE_WITH
    return (opens and (ends or after in told)) or (named and ends)


def _dated(sheet: Sheet, at: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read the date that follows its weekday: "Sunday 7th June", "monday the 8th"; the date tells the day."""
    while sheet.word(at) in (",", "the") and at < len(sheet.tokens):
        at += 1
    for rule in (day_month, written, bare_ordinal):
        hit = rule(sheet, at, almanac) if at < len(sheet.tokens) and (rule is not bare_ordinal or sheet.word(at - 1) == "the") else None
        if hit is not None:
            return hit
    return None


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
    if number is None and not (unit in ("fortnight",) or sheet.word(back) in ("ago", "back", "last", "past")):
        return None
    weeks_before = None if lead or months or unit in ("day", "days", "night", "nights") else _before_a_day(sheet, back, days, almanac)
    if weeks_before is not None:
        return weeks_before
    closes = back + 1 >= len(sheet.tokens) or sheet.tokens[back + 1].kind == "mark"
    if sheet.word(back) in ("ago", "back") or (sheet.word(back) == "since" and closes and number is not None):
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


def _before_a_day(sheet: Sheet, at: int, days: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read on after "a week" or "two weeks": "a week last Tuesday", "three weeks ago on Saturday", "a fortnight ago yesterday", "a week on Friday"."""
    start = at
    while sheet.word(at) in ("ago", "back", "last", "past", "on", "gone", "from"):
        at += 1
    word, lead = sheet.word(at), [sheet.word(k) for k in range(start, at)]
    if word == "yesterday" and (not lead or lead[0] in ("ago", "past")):
        return at + 1, Moment(lambda t, past: single_day(t - timedelta(days + 1)))
    if word == "today" and lead and lead[0] in ("ago", "past"):
        return at + 1, Moment(lambda t, past: single_day(t - timedelta(days)))
    day = almanac.weekdays.get(word)
    if day is None or not lead:
        return None
    if lead in (["on"], ["from"]):
        return at + 1, Moment(lambda t, past: single_day(next_weekday(t, day) + timedelta(days)), weekday=day)
    return at + 1, Moment(lambda t, past: single_day(weekday_date(t, day, -1, True) - timedelta(days)), weekday=day)


def _days(unit: str, value: float) -> int:
    return round(_UNIT_DAYS[unit] * value) if unit in _UNIT_DAYS and value < 2000 else 0
