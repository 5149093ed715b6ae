"""Say how long something keeps, in the unit a gardener would use."""

from __future__ import annotations

from bot.wording import number

_WEEKS_A_MONTH = 365.25 / 12 / 7


def how_long(weeks: tuple[float, float]) -> str:
    """Say a keeping life given in weeks: days when short, months when long.

    >>> how_long((0.5, 1)), how_long((2, 3)), how_long((30, 39))
    ('4 to 7 days', '2 to 3 weeks', '7 to 9 months')
    """
    low, high = weeks
    if high < 2.5:
        return _said(round(low * 7), round(high * 7), "day")
    if low >= 9 or (low >= 4 and high >= 18):
        return _said(low / _WEEKS_A_MONTH, high / _WEEKS_A_MONTH, "month")
    return _said(low, high, "week")


def _said(low: float, high: float, unit: str) -> str:
    a, b = number(low, 1), number(high, 1)
    if a == b:
        return f"about {a} {unit}" + ("" if a == "1" else "s")
    return f"{a} to {b} {unit}s"
