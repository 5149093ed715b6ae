"""Find the dates a message names: an own grammar of spans, resolved when it is known whether past or future is meant.

A free search by a general date library finds dates in "may I sow now" and "sun gold"; so the span is
cut by rules here first, and every rule says what it matched.
"""

from __future__ import annotations

import calendar
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from bot.facts.loading import read_yaml
from bot.request import When
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon, Trie
from bot.understanding.numbers import figure, read_number

#: (today, past meant) -> first and last day
Resolver = Callable[[date, bool], tuple[date, date] | None]
_ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8,
             "ninth": 9, "tenth": 10, "eleventh": 11, "twelfth": 12, "thirteenth": 13, "fourteenth": 14,
             "fifteenth": 15, "sixteenth": 16, "seventeenth": 17, "eighteenth": 18, "nineteenth": 19, "twentieth": 20,
             "thirtieth": 30}
_LAST, _NEXT, _THIS = ("last", "past", "previous"), ("next", "coming", "following"), ("this", "current")
_PART = {"early": (1, 10), "mid": (11, 20), "middle": (11, 20), "late": (21, 31), "beginning": (1, 10),
         "start": (1, 10), "end": (21, 31)}
_LEAD = ("in", "on", "of", "last", "next", "this", "since", "until", "till", "by", "from", "for", "before", "after",
         "early", "late", "mid", "end", "during", "through", "to", "between", "around", "about", "every", "middle",
         "start", "beginning", "past", "previous", "coming", "come", "back", "til", "and", "each", "sown", "or", "year")
_UNIT_DAYS = {"day": 1, "days": 1, "week": 7, "weeks": 7, "wk": 7, "wks": 7, "fortnight": 14, "fortnights": 14,
              "night": 1, "nights": 1, "weekends": 7}


@dataclass(frozen=True, slots=True)
class Moment:
    """A date as said; `resolve` gives its days. `plain_today` for words that only mean now.

    `never` marks a date no calendar has, such as 31 February.
    """

    resolve: Resolver
    plain_today: bool = False
    weekday: int | None = None
    never: bool = False


_LEAP = 2024
NO_DAY = Moment(lambda today, past: None, never=True)


class DateFinder:
    """Mark the dates on a sheet. Built once from the calendar words; `southern` turns the seasons."""

    def __init__(self, root: Path, lexicon: Lexicon) -> None:
        words = read_yaml(root / "phrases" / "words" / "calendar.yaml", root)
        self.lexicon = lexicon
        self.months = {w: int(n) for n, forms in words["months"].items() for w in forms}
        self.weekdays = {w: int(n) for n, forms in words["weekdays"].items() for w in forms}
        self.shy = set(words["shy"])
        self.seasons: dict[str, tuple[int, int]] = {k: (int(v[0]), int(v[1])) for k, v in words["seasons"].items()}
        self.feasts = Trie()
        for name, day in words["feasts"].items():
            self.feasts.add(name, day)
        self.words = set(self.months) | set(self.weekdays) | set(self.seasons) | self.feasts.words

    def find(self, sheet: Sheet, region: str, southern: bool) -> None:
        """Mark every date on the sheet."""
        i = 0
        while i < len(sheet.tokens):
            hit = None if sheet.taken[i] else self._span(sheet, i, region, southern)
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

    def _span(self, sheet: Sheet, i: int, region: str, southern: bool) -> tuple[int, Moment] | None:
        for rule in (_plain_words, _written, _ago, self._relative, self._weekday, self._day_month, self._month,
                     self._season, self._feast, _bare_ordinal):
            hit: tuple[int, Moment] | None
            if rule is _written:
                hit = _written(sheet, i, region, self.lexicon)
            elif rule == self._season:
                hit = self._season(sheet, i, southern)
            elif rule is _ago:
                hit = _ago(sheet, i, self.lexicon)
            else:
                hit = rule(sheet, i)  # type: ignore[call-arg]
            if hit:
                return hit
        return None

    def _relative(self, sheet: Sheet, i: int) -> tuple[int, Moment] | None:
        """Read this/last/next week, month, year, weekend, and "the last 3 weeks"."""
        word, after = sheet.word(i), sheet.word(i + 1)
        if word in ("weekend",) or (word in ("at", "on", "over") and after == "the" and sheet.word(i + 2) == "weekend"):
            end = i + 1 if word == "weekend" else i + 3
            return end, Moment(lambda t, past: _weekend(t, -1 if past and t.weekday() < 5 else 0))
        if word == "week" and after in ("before",) and sheet.word(i + 2) == "last":
            return i + 3, Moment(lambda t, past: _week(t, -2))
        if word == "year" and after == "before" and sheet.word(i + 2) == "last":
            return i + 3, Moment(lambda t, past: _year(t.year - 2))
        way = -1 if word in _LAST else 1 if word in _NEXT else 0 if word in _THIS else None
        if way is None:
            return None
        back = sheet.word(i - 1)
        if after == "week" and way == -1 and sheet.word(i + 2) == "of" and sheet.word(i + 3) in self.months:
            return None
        spans: dict[str, Resolver] = {
            "week": lambda t, past: _week(t, way),
            "month": lambda t, past: _month_of(t, way),
            "year": lambda t, past: _year(t.year + way),
            "season": lambda t, past: _year(t.year + way),
            "weekend": lambda t, past: _weekend(t, way if way else (-1 if past and t.weekday() < 5 else 0)),
            "fortnight": lambda t, past: (t - timedelta(14), t) if way < 0 else (t, t + timedelta(14)),
            "night": lambda t, past: _one(t + timedelta(way)),
            "morning": lambda t, past: _one(t), "afternoon": lambda t, past: _one(t),
            "evening": lambda t, past: _one(t),
        }
        if after in ("morning", "afternoon", "evening") and way:
            return None
        if after in spans and not (after == "season" and way == 0):
            if after == "year" and way == 0 and back in ("time", "same"):
                return None
            return i + 2, Moment(spans[after], plain_today=after in ("morning", "afternoon", "evening"))
        if after == "year's" or (after == "years" and way):
            return i + 2, Moment(spans["year"])
        number = read_number(sheet, i + 1, self.lexicon)
        if number and way:
            days = _days(sheet.word(number.end), number.value)
            if days:
                return number.end + 1, Moment(
                    lambda t, past: (t - timedelta(days), t) if way < 0 else (t, t + timedelta(days)))
        return None

    def _weekday(self, sheet: Sheet, i: int) -> tuple[int, Moment] | None:
        start, word = i, sheet.word(i)
        way = -1 if word in _LAST else 1 if word in _NEXT else 0 if word in _THIS else None
        if way is not None:
            i += 1
            word = sheet.word(i)
        day = self.weekdays.get(word)
        if day is None:
            return None
        noted = start > 0 and (sheet.tokens[start - 1].kind == "mark" or sheet.at(start - 1, "bed") is not None) and (
            start + 1 == len(sheet.tokens) or sheet.tokens[start + 1].kind == "mark")  # "bed 3, sat"
        if (word in self.shy and way is None and not noted
                and sheet.word(start - 1) not in ("on", "since", "by", "every", "till", "until", "for")):
            return None
        end = i + 1
        if sheet.word(end) in ("morning", "afternoon", "evening", "night", "gone", "past"):
            end += 1
        if (sheet.word(end) == "just" and sheet.word(end + 1) == "gone"
                or (sheet.word(end) == "last" and way is None and sheet.word(end + 1) != "year")):
            way, end = -1, end + (2 if sheet.word(end) == "just" else 1)
        if sheet.word(end) == "week" and way is None:
            return end + 1, Moment(lambda t, past: _one(_next_weekday(t, day) + timedelta(7)), weekday=day)
        return end, Moment(lambda t, past: _one(_weekday_date(t, day, way, past)), weekday=day)

    def _day_month(self, sheet: Sheet, i: int) -> tuple[int, Moment] | None:
        """Read "3rd of Sept", "the third of May 2025", "Sept 3rd", "3 sep"."""
        at = i + 1 if sheet.word(i) == "the" else i
        day = ordinal(sheet, at)
        if day is None and sheet.tokens[at:at + 1] and sheet.tokens[at].kind == "number":
            value = figure(sheet.word(at))
            day = (int(value) if value and value == int(value) and 1 <= value <= 31 and "." not in sheet.word(at)
                   else None)
        if day is not None:
            width = 2 if sheet.word(at) == "twenty" and sheet.word(at + 1) in _ORDINALS else 1
            m = at + width + (1 if sheet.word(at + width) == "of" else 0)
            month = self.months.get(sheet.word(m))
            if month:
                return self._with_year(sheet, m + 1, day, month)
        month = self.months.get(sheet.word(i))
        if month:
            j = i + 1 + (1 if sheet.word(i + 1) == "the" else 0)
            day = ordinal(sheet, j)
            if day is None and j < len(sheet.tokens) and sheet.tokens[j].kind == "number":
                value = figure(sheet.word(j))
                if (value and value == int(value) and 1 <= value <= 31
                        and not self.lexicon.unit_trie.longest(sheet.tokens, j + 1)
                        and (sheet.word(i) not in ("may", "march") or sheet.tokens[i].upper
                             or sheet.word(i - 1) in _LEAD)):
                    day = int(value)
            if day is not None:
                return self._with_year(sheet, j + 1, day, month)
        return None

    def _with_year(self, sheet: Sheet, end: int, day: int, month: int) -> tuple[int, Moment] | None:
        at = end + 1 if sheet.word(end) in (",", "of") else end
        value = figure(sheet.word(at))
        if _safe(_LEAP, month, day) is None:
            return end, NO_DAY
        if value and 1990 <= value <= 2100 and value == int(value):
            fixed = _safe(int(value), month, day)
            return at + 1, Moment(lambda t, past: _one(fixed)) if fixed else NO_DAY
        if sheet.word(end) == "last" and sheet.word(end + 1) == "year":
            return end + 2, Moment(lambda t, past: _one(_safe(t.year - 1, month, day) or t))
        return end, Moment(lambda t, past: _one(_day_month_date(t, day, month, past)))

    def _month(self, sheet: Sheet, i: int) -> tuple[int, Moment] | None:
        word = sheet.word(i)
        part: tuple[int, int] | None = None
        way: int | None = None
        if word in _PART and sheet.word(i + 1) == "to" and sheet.word(i + 2) in _PART:
            part, i = (_PART[word][0], _PART[sheet.word(i + 2)][1]), i + 3
        elif word in _PART:
            part, i = _PART[word], i + 1
        elif word in _ORDINALS and sheet.word(i + 1) in ("week", "half"):
            n = _ORDINALS[word]
            part = (7 * n - 6, 7 * n) if sheet.word(i + 1) == "week" else ((1, 15) if n == 1 else (16, 31))
            i += 2
        elif word == "last" and sheet.word(i + 1) == "week" and sheet.word(i + 2) == "of":
            part, i = (25, 31), i + 2
        while part and sheet.word(i) in ("of", "the", "-"):
            i += 1
        word = sheet.word(i)
        if word in _LAST or word in _NEXT or word in _THIS:
            way = -1 if word in _LAST else 1 if word in _NEXT else 0
            i += 1
            word = sheet.word(i)
        if word == "month" and part and way is None:
            return i + 1, Moment(lambda t, past: _part_of(t.year, t.month, part))
        if word == "month" and part:
            shift = way or 0
            return i + 1, Moment(lambda t, past: _part_of(*_shifted(t, shift), part))
        month = self.months.get(word)
        if month is None:
            return None
        if word in self.shy and part is None and way is None and not self._month_meant(sheet, i):
            return None
        end = i + 1
        year = figure(sheet.word(end + 1 if sheet.word(end) in ("of", ",") else end))
        if year and 1990 <= year <= 2100:
            fixed = int(year)
            return (end + (2 if sheet.word(end) in ("of", ",") else 1),
                    Moment(lambda t, past: _part_of(fixed, month, part)))
        if sheet.word(end) in ("last", "next", "this") and sheet.word(end + 1) == "year":
            offset = {"last": -1, "next": 1, "this": 0}[sheet.word(end)]
            return end + 2, Moment(lambda t, past: _part_of(t.year + offset, month, part))
        return end, Moment(lambda t, past: _part_of(_month_year(t, month, way, past), month, part))

    def _month_meant(self, sheet: Sheet, i: int) -> bool:
        """Tell the month May from "may I", March from marching, by its neighbours."""
        before, after, word = sheet.word(i - 1), sheet.word(i + 1), sheet.word(i)
        if word in ("jan", "dec", "apr", "jun", "august", "mar"):
            return before in _LEAD or after in ("", "?", ".", ",") or word == "august" or before in self.months
        if before in ("in", "of", "last", "next", "this", "since", "until", "till", "by", "early", "late", "mid",
                      "during", "from", "between", "before", "after", "and", "to", "or", "for", "through", "end", "-"):
            return after not in ("i", "we", "you", "it", "not", "be")
        if sheet.tokens[i].upper and i > 0 and sheet.word(i - 1) not in ("?", ".", "!"):
            return after not in ("i", "we", "you", "it", "not", "be")
        return (after in ("or", "and", "to", "-") and sheet.word(i + 2) in self.months
                or (after in ("?", "") and i > 0 and word != "march"))

    def _season(self, sheet: Sheet, i: int, southern: bool) -> tuple[int, Moment] | None:
        start, word = i, sheet.word(i)
        way: int | None = None
        if word in _LAST or word in _NEXT or word in _THIS:
            way = -1 if word in _LAST else 1 if word in _NEXT else 0
            i += 1
        elif word in ("early", "late", "mid", "end", "start", "beginning", "middle") :
            way = None
            i += 1
            while sheet.word(i) in ("of", "the", "-", "next", "this", "last"):
                i += 1
        months = self.seasons.get(sheet.word(i))
        if months is None:
            return None
        before = sheet.word(start - 1) if sheet.word(start - 1) != "the" else sheet.word(start - 2)
        if start == i and before not in ("in", "during", "by", "since", "until", "till", "come", "from", "before",
                                         "back", "to", "through"):
            return None
        if southern:
            months = ((months[0] + 5) % 12 + 1, (months[1] + 5) % 12 + 1)
        half = sheet.word(start) if sheet.word(start) in _PART else ""
        end = i + 1
        if sheet.word(end) == "last" and sheet.word(end + 1) == "year":
            way, end = -1, end + 2
        return end, Moment(lambda t, past: _season_days(t, months, way, past, half))

    def _feast(self, sheet: Sheet, i: int) -> tuple[int, Moment] | None:
        hit = self.feasts.longest(sheet.tokens, i)
        if hit and sheet.word(i - 1) == "the" and sheet.word(i - 2) in ("is", "s", "was"):
            return None  # "when is the shortest day" asks for it
        if hit:
            month, day = (int(x) for x in str(hit[1]).split("-"))
            return hit[0], Moment(lambda t, past: _one(_day_month_date(t, day, month, past)))
        if sheet.word(i) == "easter":
            return i + 1, Moment(lambda t, past: _one(_easter_near(t, past)))
        value = figure(sheet.word(i))
        if (value and sheet.tokens[i].kind == "number" and 1990 <= value <= 2100 and value == int(value)
                and sheet.word(i - 1) in ("in", "since", "of", "from", "for", "during", "year", "season")):
            year = int(value)
            return i + 1, Moment(lambda t, past: _year(year))
        return None


def _plain_words(sheet: Sheet, i: int) -> tuple[int, Moment] | None:
    word, after, third = sheet.word(i), sheet.word(i + 1), sheet.word(i + 2)
    if word == "the" and after in ("day", "other"):
        i, word, after, third = i + 1, after, third, sheet.word(i + 3)
    if word == "day" and after in ("before", "after") and third in ("yesterday", "tomorrow"):
        gap = -2 if third == "yesterday" else 2
        return i + 3, Moment(lambda t, past: _one(t + timedelta(gap)))
    if word == "other" and after == "day":
        return i + 2, Moment(lambda t, past: _one(t - timedelta(2)))
    if word in ("today", "tonight"):
        return i + 1, Moment(lambda t, past: _one(t), plain_today=True)
    if word == "earlier" and after == "today":
        return i + 2, Moment(lambda t, past: _one(t), plain_today=True)
    if word == "yesterday":
        end = i + (2 if after in ("morning", "afternoon", "evening") else 1)
        return end, Moment(lambda t, past: _one(t - timedelta(1)))
    if word == "tomorrow":
        end = i + (2 if after in ("morning", "afternoon", "evening", "night") else 1)
        return end, Moment(lambda t, past: _one(t + timedelta(1)))
    if word == "last" and after == "night":
        return i + 2, Moment(lambda t, past: _one(t - timedelta(1)))
    if word == "overnight" and after == "last":
        return i + 2, Moment(lambda t, past: _one(t - timedelta(1)))
    return None


def _written(sheet: Sheet, i: int, region: str, lexicon: Lexicon) -> tuple[int, Moment] | None:
    """Read figures: 2025-09-03, 3/9/25, 3.9.2025, 3/9."""
    word = sheet.word(i)
    if len(word) >= 8 and word[4:5] == "-" and word[:4].isdigit():
        try:
            y, m, d = (int(x) for x in word.split("-"))
            fixed = date(y, m, d)
        except ValueError:
            return None
        return i + 1, Moment(lambda t, past: _one(fixed))
    parts = word.replace(".", "/").split("/")
    if len(parts) == 3 and all(p.isdigit() for p in parts):
        a, b, y = (int(p) for p in parts)
        fixed_ = _safe(y + 2000 if y < 100 else y, *_day_first(a, b, region))
        return (i + 1, Moment(lambda t, past: _one(fixed_))) if fixed_ else None
    if (word.isdigit() and sheet.word(i + 1) == "/" and sheet.word(i + 2).isdigit()
            and len(word) <= 2 and len(sheet.word(i + 2)) <= 2
            and (sheet.word(i - 1) in _BEFORE_FIGURES or _no_fraction(sheet, i, lexicon))):
        month, day = _day_first(int(word), int(sheet.word(i + 2)), region)
        if _safe(2024, month, day):
            return i + 3, Moment(lambda t, past: _one(_day_month_date(t, day, month, past)))
    return None


_BEFORE_FIGURES = ("on", "by", "since", "from", "until", "till", "date", "frost", "dated", "was", "is", "to")
#: Fractions that are measures before they are days.
_FRACTIONS = frozenset(("1/2", "1/3", "2/3", "1/4", "3/4", "1/5", "1/8", "3/8", "5/8", "7/8"))


def _no_fraction(sheet: Sheet, i: int, lexicon: Lexicon) -> bool:
    """Tell whether "3/6" stands alone as a day, and measures nothing that follows."""
    if (f"{sheet.word(i)}/{sheet.word(i + 2)}" in _FRACTIONS or (i > 0 and sheet.tokens[i - 1].kind == "number")
            or sheet.word(i - 1) in ("bed", "a", "of")):
        return False
    return (sheet.word(i + 3) not in ("of", "/", "x", "by", "-")
            and lexicon.unit_trie.longest(sheet.tokens, i + 3) is None or sheet.word(i + 3) == "in")


def _day_first(a: int, b: int, region: str) -> tuple[int, int]:
    """Return (month, day) of a/b: day first outside the United States, unless only one order is a date."""
    if (region == "US" and a <= 12) or b > 12:
        return a, b
    return b, a


def _ago(sheet: Sheet, i: int, lexicon: Lexicon) -> tuple[int, Moment] | None:
    """Read "two weeks ago", "in 3 weeks", "a fortnight from now", "3 weeks time"."""
    if sheet.word(i - 1) in ("many", "long"):
        return None
    lead = sheet.word(i) in ("in", "within")
    at = i + 1 if lead else i
    while lead and sheet.word(at) in ("about", "around", "roughly", "another", "the", "next"):
        at += 1
    number = read_number(sheet, at, lexicon)
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
        return back + 1, Moment(lambda t, past: _one(_back(t, days, -months)))
    if sheet.word(back) in ("time",):
        return back + 1, Moment(lambda t, past: _one(_back(t, -days, months)))
    if sheet.word(back) == "from" and sheet.word(back + 1) in ("now", "today"):
        return back + 2, Moment(lambda t, past: _one(_back(t, -days, months)))
    if lead and number and sheet.word(i) == "in":
        return back, Moment(lambda t, past: _one(_back(t, -days, months)))
    return None


def _bare_ordinal(sheet: Sheet, i: int) -> tuple[int, Moment] | None:
    """Read "on the 3rd" as the nearest such day."""
    if (sheet.word(i - 1) not in ("the", "on") or not sheet.word(i)[:1].isdigit()
            or not sheet.word(i).endswith(("st", "nd", "rd", "th"))):
        return None
    day = ordinal(sheet, i)
    if day is None or sheet.word(i + 1) in ("bed", "row", "year", "week", "time", "batch", "one", "crop", "sowing"):
        return None
    return i + 1, Moment(lambda t, past: _one(_day_only(t, day, past)))


def _join_ranges(sheet: Sheet) -> None:
    """Join "between March and May", "June to August" into one span, and open "since May"."""
    dates = sorted((f for f in sheet.found if f.kind == "date"), key=lambda f: f.start)
    for first, second in zip(dates, dates[1:], strict=False):
        gap = [sheet.word(k) for k in range(first.end, second.start)]
        if (gap in (["to"], ["-"], ["until"], ["till"], ["through"], ["and"])
                and (gap != ["and"] or sheet.word(first.start - 1) == "between")):
            a, b = first.value, second.value
            first.value = Moment(lambda t, past, a=a, b=b: _joined(a, b, t, past))  # type: ignore[misc]
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


def ordinal(sheet: Sheet, at: int) -> int | None:
    word = sheet.word(at)
    if word in _ORDINALS:
        return _ORDINALS[word]
    if word in ("twenty", "thirty") and sheet.word(at + 1) in _ORDINALS:
        return {"twenty": 20, "thirty": 30}[word] + _ORDINALS[sheet.word(at + 1)]
    if word[:1].isdigit() and word[-2:] in ("st", "nd", "rd", "th") and word[:-2].isdigit():
        value = int(word[:-2])
        return value if 1 <= value <= 31 else None
    return None


def _days(unit: str, value: float) -> int:
    return round(_UNIT_DAYS[unit] * value) if unit in _UNIT_DAYS and value < 2000 else 0


def _back(today: date, days: int, months: int) -> date:
    if months:
        y, m = _shifted(today, months)
        return date(y, m, min(today.day, calendar.monthrange(y, m)[1]))
    return today - timedelta(days)


def _one(day: date) -> tuple[date, date]:
    return day, day


def _safe(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _week(today: date, way: int) -> tuple[date, date]:
    monday = today - timedelta(today.weekday()) + timedelta(7 * way)
    return monday, monday + timedelta(6)


def _weekend(today: date, way: int) -> tuple[date, date]:
    saturday = today - timedelta(today.weekday()) + timedelta(5 + 7 * way)
    return saturday, saturday + timedelta(1)


def _shifted(today: date, months: int) -> tuple[int, int]:
    index = today.year * 12 + today.month - 1 + months
    return index // 12, index % 12 + 1


def _month_of(today: date, way: int) -> tuple[date, date]:
    return _part_of(*_shifted(today, way), None)


def _part_of(year: int, month: int, part: tuple[int, int] | None) -> tuple[date, date]:
    last = calendar.monthrange(year, month)[1]
    low, high = part or (1, last)
    return date(year, month, min(low, last)), date(year, month, min(high, last))


def _year(year: int) -> tuple[date, date]:
    return date(year, 1, 1), date(year, 12, 31)


def _month_year(today: date, month: int, way: int | None, past: bool) -> int:
    if way == -1:
        return today.year if month < today.month else today.year - 1
    if way == 1:
        return today.year if month > today.month else today.year + 1
    if way == 0:
        return today.year
    if past:
        return today.year if month <= today.month else today.year - 1
    return today.year if month >= today.month else today.year + 1


def _day_month_date(today: date, day: int, month: int, past: bool) -> date:
    years = (today.year, today.year - 1) if past else (today.year, today.year + 1)
    for year in years:
        found = _safe(year, month, day)
        if found and (found <= today if past else found >= today):
            return found
    return _safe(years[-1], month, min(day, 28)) or today


def _day_only(today: date, day: int, past: bool) -> date:
    for shift in (0, -1, -2) if past else (0, 1, 2):
        y, m = _shifted(today, shift)
        found = _safe(y, m, day)
        if found and (found <= today if past else found >= today):
            return found
    return today


def _next_weekday(today: date, day: int) -> date:
    return today + timedelta((day - today.weekday()) % 7)


def _weekday_date(today: date, day: int, way: int | None, past: bool) -> date:
    if way == -1 or (way is None and past):
        back = (today.weekday() - day) % 7
        return today - timedelta(back if back or way is None else 7)
    if way == 0 and past:
        return today - timedelta((today.weekday() - day) % 7)
    ahead = (day - today.weekday()) % 7
    return today + timedelta(ahead if ahead or way is None or way == 0 else 7)


def _season_days(today: date, months: tuple[int, int], way: int | None, past: bool, half: str) -> tuple[date, date]:
    first, last = months
    span = (last - first) % 12

    def starting(year: int) -> tuple[date, date]:
        y, m = _shifted(date(year, first, 1), span)
        low, high = date(year, first, 1), _part_of(y, m, None)[1]
        third = (high - low).days // 3
        if half in ("early", "start", "beginning"):
            return low, low + timedelta(third)
        if half in ("mid", "middle"):
            return low + timedelta(third), high - timedelta(third)
        if half in ("late", "end"):
            return high - timedelta(third), high
        return low, high

    spans = [starting(today.year + k) for k in (-2, -1, 0, 1, 2)]
    if way == -1 or (way is None and past):
        done = [s for s in spans if (s[1] < today if way == -1 else s[0] <= today)]
        return done[-1]
    if way == 1:
        return next(s for s in spans if s[0] > today)
    return next(s for s in spans if s[1] >= today)


def _easter_near(today: date, past: bool) -> date:
    """Return Easter Sunday by the anonymous Gregorian rule (Meeus/Jones/Butcher)."""
    days = [_easter(today.year + k) for k in (-1, 0, 1)]
    return [d for d in days if d <= today][-1] if past else next(d for d in days if d >= today)


def _easter(year: int) -> date:
    a, b, c = year % 19, year // 100, year % 100
    d, e = divmod(b, 4)
    g = (8 * b + 13) // 25
    h = (19 * a + b - d - g + 15) % 30
    i, k = divmod(c, 4)
    m = (32 + 2 * e + 2 * i - h - k) % 7
    n = (a + 11 * h + 22 * m) // 451
    month, day = divmod(h + m - 7 * n + 114, 31)
    return date(year, month, day + 1)


__all__: list[Any] = ["DateFinder", "Moment", "resolve"]
