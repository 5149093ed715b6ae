"""Read days of the calendar: "3rd of Sept", "Sept 3rd 2025", "3/9/25", "on the 3rd"."""

from __future__ import annotations

from datetime import date

from bot.understanding.almanac import LEADS, NO_DAY, ORDINALS, Almanac, Moment, ordinal
from bot.understanding.found import Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.numbers import figure
from bot.understanding.reckoning import day_if_any, nearest_date, nearest_day_of_month, single_day

_BEFORE_FIGURES = ("on", "by", "since", "from", "until", "till", "date", "frost", "dated", "was", "is", "to")
#: Fractions that are measures before they are days.
_FRACTIONS = frozenset(("1/2", "1/3", "2/3", "1/4", "3/4", "1/5", "1/8", "3/8", "5/8", "7/8"))
#: Who "may", and where "march" is told of: no month stands after these.
_MAY_DO = ("i", "we", "you", "they", "he", "she", "it", "and", "that", "which", "to", "or")
#: A year that has every day a year can have.
_LEAP = 2024


def written(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read figures: 2025-09-03, 3/9/25, 3.9.2025, 3/9."""
    word = sheet.word(i)
    if len(word) >= 8 and word[4:5] == "-" and word[:4].isdigit():
        try:
            y, m, d = (int(x) for x in word.split("-"))
            fixed = date(y, m, d)
        except ValueError:
            return None
        return i + 1, Moment(lambda t, past: single_day(fixed))
    parts = word.replace(".", "/").split("/")
    if len(parts) == 3 and all(p.isdigit() for p in parts):
        a, b, y = (int(p) for p in parts)
        fixed_ = day_if_any(y + 2000 if y < 100 else y, *_day_first(a, b, almanac.region))
        return (i + 1, Moment(lambda t, past: single_day(fixed_))) if fixed_ else None
    if (word.isdigit() and sheet.word(i + 1) == "/" and sheet.word(i + 2).isdigit()
            and len(word) <= 2 and len(sheet.word(i + 2)) <= 2
            and (sheet.word(i - 1) in _BEFORE_FIGURES or _no_fraction(sheet, i, almanac.lexicon))):
        month, day = _day_first(int(word), int(sheet.word(i + 2)), almanac.region)
        if day_if_any(_LEAP, month, day):
            return i + 3, Moment(lambda t, past: single_day(nearest_date(t, day, month, past)))
    return None


def _no_fraction(sheet: Sheet, i: int, lexicon: Lexicon) -> bool:
    """Tell whether "3/6" stands alone as a day, and measures nothing that follows."""
    if (f"{sheet.word(i)}/{sheet.word(i + 2)}" in _FRACTIONS or (i > 0 and sheet.tokens[i - 1].kind == "number" and sheet.at(i - 1, "bed", "unknown_bed") is None)
            or sheet.word(i - 1) in ("bed", "a", "of")):
        return False
    return (sheet.word(i + 3) not in ("of", "/", "x", "by", "-")
            and lexicon.unit_trie.longest(sheet.tokens, i + 3) is None or sheet.word(i + 3) == "in")


def _day_first(a: int, b: int, region: str) -> tuple[int, int]:
    """Return (month, day) of a/b: day first outside the United States, unless only one order is a date."""
    if (region == "US" and a <= 12) or b > 12:
        return a, b
    return b, a


def day_month(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read "3rd of Sept", "the third of May 2025", "Sept 3rd", "3 sep"."""
    at = i + 1 if sheet.word(i) == "the" else i
    day = ordinal(sheet, at)
    if day is None and sheet.tokens[at:at + 1] and sheet.tokens[at].kind == "number":
        value = figure(sheet.word(at))
        day = (int(value) if value and value == int(value) and 1 <= value <= 31 and "." not in sheet.word(at)
               else None)
    if day is not None:
        width = 2 if sheet.word(at) == "twenty" and sheet.word(at + 1) in ORDINALS else 1
        m = at + width + (1 if sheet.word(at + width) == "of" else 0)
        month = almanac.months.get(sheet.word(m))
        if month:
            return _with_year(sheet, m + 1, day, month)
    month = almanac.months.get(sheet.word(i))
    if month:
        j = i + 1 + (1 if sheet.word(i + 1) == "the" else 0)
        day = ordinal(sheet, j)
        if day is None and j < len(sheet.tokens) and sheet.tokens[j].kind == "number":
            value = figure(sheet.word(j))
            if (value and value == int(value) and 1 <= value <= 31
                    and (not almanac.lexicon.unit_trie.longest(sheet.tokens, j + 1) or (sheet.word(j + 1) == "in" and sheet.word(j + 2) in ("the", "bed", "my")))
                    and (sheet.word(i) not in ("may", "march") or sheet.tokens[i].upper
                         or sheet.word(i - 1) in LEADS
                         or (i > 0 and sheet.word(i - 1) not in _MAY_DO and (sheet.word(j + 1) in ("", "in", "at") or sheet.tokens[j + 1].kind == "mark")))):
                day = int(value)
        if day is not None:
            return _with_year(sheet, j + 1, day, month)
    return None


def _with_year(sheet: Sheet, end: int, day: int, month: int) -> tuple[int, Moment] | None:
    at = end + 1 if sheet.word(end) in (",", "of") else end
    value = figure(sheet.word(at))
    if day_if_any(_LEAP, month, day) is None:
        return end, NO_DAY
    if value and 1990 <= value <= 2100 and value == int(value):
        fixed = day_if_any(int(value), month, day)
        return at + 1, Moment(lambda t, past: single_day(fixed)) if fixed else NO_DAY
    if sheet.word(end) == "last" and sheet.word(end + 1) == "year":
        return end + 2, Moment(lambda t, past: single_day(day_if_any(t.year - 1, month, day) or t))
    return end, Moment(lambda t, past: single_day(nearest_date(t, day, month, past)))


def bare_ordinal(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read "on the 3rd" as the nearest such day."""
    figures = sheet.word(i)[:1].isdigit() and sheet.word(i).endswith(("st", "nd", "rd", "th"))
    width = 2 if not figures and sheet.word(i) in ("twenty", "thirty") else 1
    closes = (i + width >= len(sheet.tokens) or sheet.tokens[i + width].kind == "mark" or sheet.word(i + width) in ("in", "at", "from", "we", "i")
              or sheet.at(i + width, "crop", "bed", "qty") is not None)
    spelled = sheet.word(i - 1) == "the" and sheet.word(i - 2) == "on" and closes  # "on the third", and no third of something
    if sheet.word(i - 1) not in ("the", "on") or not (figures or spelled):
        return None
    day = ordinal(sheet, i)
    if day is None or sheet.word(i + 1) in ("bed", "row", "year", "week", "time", "batch", "one", "crop", "sowing"):
        return None
    return i + width, Moment(lambda t, past: single_day(nearest_day_of_month(t, day, past)))
