"""Read months and parts of them, seasons, feasts and years: "late May", "the first week of June", "last winter"."""

from __future__ import annotations

from datetime import date, timedelta

from bot.understanding.almanac import LEADS, ORDINALS, PARTS, Almanac, Moment, way_of
from bot.understanding.found import Sheet
from bot.understanding.numbers import figure
from bot.understanding.reckoning import (
    feast_near,
    long_weekend,
    months_on,
    part_of_month,
    season_days,
    single_day,
    whole_year,
    year_of_month,
)


def named_month(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read "May", "late last July", "the first week of June 2025", "end of next month"."""
    word = sheet.word(i)
    part: tuple[int, int] | None = None
    if word in PARTS and sheet.word(i + 1) == "to" and sheet.word(i + 2) in PARTS:
        part, i = (PARTS[word][0], PARTS[sheet.word(i + 2)][1]), i + 3
    elif word in PARTS:
        part, i = PARTS[word], i + 1
    elif word in ORDINALS and sheet.word(i + 1) in ("week", "half"):
        n = ORDINALS[word]
        part = (7 * n - 6, 7 * n) if sheet.word(i + 1) == "week" else ((1, 15) if n == 1 else (16, 31))
        i += 2
    elif word == "last" and sheet.word(i + 1) == "day" and sheet.word(i + 2) == "of":
        part, i = (31, 31), i + 2
    elif word == "last" and sheet.word(i + 1) == "week" and sheet.word(i + 2) == "of":
        part, i = (25, 31), i + 2
    while part and sheet.word(i) in ("of", "in", "the", "-"):
        i += 1
    way = way_of(sheet.word(i))
    if way is not None:
        i += 1
    word = sheet.word(i)
    if word == "month" and part and way is None:
        return i + 1, Moment(lambda t, past: part_of_month(t.year, t.month, part))
    if word == "month" and part:
        shift = way or 0
        return i + 1, Moment(lambda t, past: part_of_month(*months_on(t, shift), part))
    month = almanac.months.get(word)
    if month is None:
        return None
    if word in almanac.shy and part is None and way is None and not _month_meant(sheet, i, almanac):
        return None
    end = i + 1
    year = figure(sheet.word(end + 1 if sheet.word(end) in ("of", ",") else end))
    if year and 1990 <= year <= 2100:
        fixed = int(year)
        return (end + (2 if sheet.word(end) in ("of", ",") else 1),
                Moment(lambda t, past: part_of_month(fixed, month, part)))
    if sheet.word(end) in ("last", "next", "this") and sheet.word(end + 1) == "year":
        offset = {"last": -1, "next": 1, "this": 0}[sheet.word(end)]
        return end + 2, Moment(lambda t, past: part_of_month(t.year + offset, month, part))
    return end, Moment(lambda t, past: part_of_month(year_of_month(t, month, way, past), month, part))


def _month_meant(sheet: Sheet, i: int, almanac: Almanac) -> bool:
    """Tell the month May from "may I", March from marching, by its neighbours."""
    before, after, word = sheet.word(i - 1), sheet.word(i + 1), sheet.word(i)
    if word in ("jan", "dec", "apr", "jun", "august", "mar"):
        return before in LEADS or after in ("", "?", ".", ",") or word == "august" or before in almanac.months
    if before in ("in", "of", "last", "next", "this", "since", "until", "till", "by", "early", "late", "mid",
                  "during", "from", "between", "before", "after", "and", "to", "or", "for", "through", "end", "-"):
        return after not in ("i", "we", "you", "it", "not", "be")
    if sheet.tokens[i].upper and i > 0 and sheet.word(i - 1) not in ("?", ".", "!"):
        return after not in ("i", "we", "you", "it", "not", "be")
    return (after in ("or", "and", "to", "-") and sheet.word(i + 2) in almanac.months
            or (after in ("?", "") and i > 0 and word != "march"))


def named_season(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read "in spring", "last winter", "the end of next summer"."""
    start, word = i, sheet.word(i)
    way = way_of(word)
    if way is not None:
        i += 1
    elif word in ("early", "late", "mid", "end", "start", "beginning", "middle"):
        i += 1
        while sheet.word(i) in ("of", "the", "-", "next", "this", "last"):
            i += 1
    joined = f"{sheet.word(i)}{sheet.word(i + 1)}"
    months, wide = almanac.seasons.get(sheet.word(i)), 1
    if months is None and joined in almanac.seasons and (way is not None or sheet.word(i - 1) in ("since", "come")):
        months, wide = almanac.seasons[joined], 2  # "last back end"; the back end of a bed is none
    if months is None:
        return None
    before = sheet.word(start - 1) if sheet.word(start - 1) != "the" else sheet.word(start - 2)
    if start == i and before not in ("in", "during", "by", "since", "until", "till", "come", "from", "before",
                                     "back", "to", "through"):
        return None
    if almanac.southern:
        months = ((months[0] + 5) % 12 + 1, (months[1] + 5) % 12 + 1)
    half = sheet.word(start) if sheet.word(start) in PARTS else ""
    end = i + wide
    if sheet.word(end) == "last" and sheet.word(end + 1) == "year":
        way, end = -1, end + 2
    return end, Moment(lambda t, past: season_days(t, months, way, past, half))


def feast_or_year(sheet: Sheet, i: int, almanac: Almanac) -> tuple[int, Moment] | None:
    """Read "Christmas", "Easter", "the day after Easter", "in 2024"."""
    if sheet.word(i) == "day" and (shift := {"before": -1, "after": 1}.get(sheet.word(i + 1))):
        at = i + 3 if sheet.word(i + 2) == "the" else i + 2
        feast = feast_or_year(sheet, at, almanac) if almanac.feasts.longest(sheet.tokens, at) else None
        return (feast[0], Moment(lambda t, past: _beside(feast[1], shift, t, past))) if feast else None
    hit = almanac.feasts.longest(sheet.tokens, i)
    if hit and sheet.word(i - 1) == "the" and sheet.word(i - 2) in ("is", "s", "was"):
        return None  # "when is the shortest day" asks for it
    if hit:
        named = " ".join(sheet.word(k) for k in range(i, hit[0]))
        rules = str(almanac.elsewhere.get(almanac.region, {}).get(named, hit[1])).split(", ")
        if sheet.word(hit[0]) == "weekend":
            return hit[0] + 1, Moment(lambda t, past: long_weekend(feast_near(t, rules, past)))
        return hit[0], Moment(lambda t, past: single_day(feast_near(t, rules, past)))
    value = figure(sheet.word(i))
    if (value and sheet.tokens[i].kind == "number" and 1990 <= value <= 2100 and value == int(value)
            and sheet.word(i - 1) in ("in", "since", "of", "from", "for", "during", "year", "season")):
        year = int(value)
        return i + 1, Moment(lambda t, past: whole_year(year))
    return None


def _beside(feast: Moment, shift: int, today: date, past: bool) -> tuple[date, date] | None:
    """Return the day before (-1) or after (1) a feast of one day or more."""
    days = feast.resolve(today, past)
    return single_day(days[0 if shift < 0 else 1] + timedelta(shift)) if days else None
