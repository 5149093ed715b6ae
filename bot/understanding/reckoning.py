"""Reckon days from today: spans of weeks, months, seasons and years, and the nearest day of a name or number."""

from __future__ import annotations

import calendar
from datetime import date, timedelta


def single_day(day: date) -> tuple[date, date]:
    """Return a span of one day."""
    return day, day


def day_if_any(year: int, month: int, day: int) -> date | None:
    """Return a date, or None when the calendar has no such day."""
    try:
        return date(year, month, day)
    except ValueError:
        return None


def days_back(today: date, days: int, months: int) -> date:
    """Return the day some days earlier or, when months are given, some months later."""
    if months:
        y, m = months_on(today, months)
        return date(y, m, min(today.day, calendar.monthrange(y, m)[1]))
    return today - timedelta(days)


def week_of(today: date, way: int) -> tuple[date, date]:
    """Return Monday to Sunday of this week, or of `way` weeks on."""
    monday = today - timedelta(today.weekday()) + timedelta(7 * way)
    return monday, monday + timedelta(6)


def weekend_of(today: date, way: int) -> tuple[date, date]:
    """Return Saturday and Sunday of this week, or of `way` weeks on."""
    saturday = today - timedelta(today.weekday()) + timedelta(5 + 7 * way)
    return saturday, saturday + timedelta(1)


def months_on(today: date, months: int) -> tuple[int, int]:
    """Return the year and month some months on from a day, back when negative."""
    index = today.year * 12 + today.month - 1 + months
    return index // 12, index % 12 + 1


def month_of(today: date, way: int) -> tuple[date, date]:
    """Return the first and last day of the month `way` months on."""
    return part_of_month(*months_on(today, way), None)


def part_of_month(year: int, month: int, part: tuple[int, int] | None) -> tuple[date, date]:
    """Return the days [low, high] of a month, all of it for None; days past its end fall on its last."""
    last = calendar.monthrange(year, month)[1]
    low, high = part or (1, last)
    return date(year, month, min(low, last)), date(year, month, min(high, last))


def whole_year(year: int) -> tuple[date, date]:
    """Return the first and last day of a year."""
    return date(year, 1, 1), date(year, 12, 31)


def year_of_month(today: date, month: int, way: int | None, past: bool) -> int:
    """Return the year of a named month: last (`way` -1), this (0), next (1), or the nearest back or ahead (None)."""
    if way == -1:
        return today.year if month < today.month else today.year - 1
    if way == 1:
        return today.year if month > today.month else today.year + 1
    if way == 0:
        return today.year
    if past:
        return today.year if month <= today.month else today.year - 1
    return today.year if month >= today.month else today.year + 1


def nearest_date(today: date, day: int, month: int, past: bool) -> date:
    """Return the nearest such date, looking back (`past`) or ahead, today included."""
    years = (today.year, today.year - 1) if past else (today.year, today.year + 1)
    for year in years:
        found = day_if_any(year, month, day)
        if found and (found <= today if past else found >= today):
            return found
    return day_if_any(years[-1], month, min(day, 28)) or today


def nearest_day_of_month(today: date, day: int, past: bool) -> date:
    """Return the nearest day with this number in its month, looking back (`past`) or ahead."""
    for shift in (0, -1, -2) if past else (0, 1, 2):
        y, m = months_on(today, shift)
        found = day_if_any(y, m, day)
        if found and (found <= today if past else found >= today):
            return found
    return today


def next_weekday(today: date, day: int) -> date:
    """Return the next such weekday (Monday is 0), today included."""
    return today + timedelta((day - today.weekday()) % 7)


def weekday_date(today: date, day: int, way: int | None, past: bool) -> date:
    """Return a weekday: the last (`way` -1), this (0), the next (1), or the nearest back or ahead (None)."""
    if way == -1 or (way is None and past):
        back = (today.weekday() - day) % 7
        return today - timedelta(back if back or way is None else 7)
    if way == 0 and past:
        return today - timedelta((today.weekday() - day) % 7)
    ahead = (day - today.weekday()) % 7
    return today + timedelta(ahead if ahead or way is None or way == 0 else 7)


def season_days(today: date, months: tuple[int, int], way: int | None, past: bool, half: str) -> tuple[date, date]:
    """Return the days of a season of [first, last] month, or of a third of it (`half`: "early", "mid", "late")."""
    first, last = months
    span = (last - first) % 12

    def starting(year: int) -> tuple[date, date]:
        y, m = months_on(date(year, first, 1), span)
        low, high = date(year, first, 1), part_of_month(y, m, None)[1]
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


_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_WHICH = {"first": 1, "second": 2, "third": 3, "fourth": 4}


def feast_near(today: date, rules: list[str], past: bool) -> date:
    """Return the nearest day of a feast, looking back (`past`) or ahead: a feast of several days a year is the nearest of them."""
    days = sorted(feast_day(year, rule) for year in (today.year - 1, today.year, today.year + 1) for rule in rules)
    return [d for d in days if d <= today][-1] if past else next(d for d in days if d >= today)


def feast_day(year: int, rule: str) -> date:
    """Return the day a rule gives in a year: "12-25", "easter-2", "last monday of 05" or "fourth thursday of 11".

    >>> str(feast_day(2026, "easter-2")), str(feast_day(2026, "last monday of 05"))
    ('2026-04-03', '2026-05-25')
    """
    if rule.startswith("easter"):
        return _easter(year) + timedelta(int(rule.removeprefix("easter") or 0))
    if " " not in rule:
        month, day = (int(x) for x in rule.split("-"))
        return date(year, month, day)
    which, weekday, _, month_ = rule.split()
    days = [d for n in range(1, 32) if (d := day_if_any(year, int(month_), n)) and d.weekday() == _WEEKDAYS.index(weekday)]
    return days[-1] if which == "last" else days[_WHICH[which] - 1]


def long_weekend(feast: date) -> tuple[date, date]:
    """Return the weekend at a feast: from the Saturday before it to the feast or the Sunday; from Good Friday to the Monday at Easter."""
    if feast == _easter(feast.year):
        return feast - timedelta(2), feast + timedelta(1)
    saturday = feast - timedelta((feast.weekday() - 5) % 7)
    return saturday, max(feast, saturday + timedelta(1))


def _easter(year: int) -> date:
    """Return Easter Sunday by the anonymous Gregorian rule (Meeus/Jones/Butcher)."""
    a, b, c = year % 19, year // 100, year % 100
    d, e = divmod(b, 4)
    g = (8 * b + 13) // 25
    h = (19 * a + b - d - g + 15) % 30
    i, k = divmod(c, 4)
    m = (32 + 2 * e + 2 * i - h - k) % 7
    n = (a + 11 * h + 22 * m) // 451
    month, day = divmod(h + m - 7 * n + 114, 31)
    return date(year, month, day + 1)
