"""The Hutton criteria and the Smith period on constructed hours.

Hutton criteria (AHDB and James Hutton Institute, 2017): two days in a row, each with a lowest temperature of at
least 10 °C and at least six hours of relative humidity at or above 90 %.
Smith period (L. P. Smith, Plant Pathology 5, 1956): the same with eleven hours.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from bot.facts import Facts
from bot.tending.blight import HourOfAir, periods

FIRST = date(2026, 7, 1)
HUTTON, SMITH = "hutton", "smith"


def days(*rows: tuple[float, float, int]) -> list[HourOfAir]:
    """Build whole days of (lowest °C, humidity % of the damp hours, damp hours); other hours stand at 60 %."""
    hours = []
    for n, (low, humidity, damp) in enumerate(rows):
        start = datetime.combine(FIRST + timedelta(days=n), datetime.min.time())
        hours += [HourOfAir(start + timedelta(hours=h), low + (0 if h == 5 else 4), humidity if h < damp else 60.0)
                  for h in range(24)]
    return hours


@pytest.mark.parametrize(("what", "rows", "hutton", "smith"), [
    ("exactly on every limit", [(10.0, 90.0, 6), (10.0, 90.0, 6)], True, False),
    ("both rules met", [(10.0, 90.0, 11), (10.0, 90.0, 11)], True, True),
    ("a tenth of a degree too cold on day two", [(12.0, 95.0, 12), (9.9, 95.0, 12)], False, False),
    ("five damp hours on day one", [(12.0, 95.0, 5), (12.0, 95.0, 12)], False, False),
    ("89 % is not 90 %", [(12.0, 89.9, 24), (12.0, 89.9, 24)], False, False),
    ("one day alone", [(12.0, 95.0, 24), (12.0, 60.0, 0)], False, False),
    ("ten damp hours: Hutton, not Smith", [(12.0, 95.0, 10), (12.0, 95.0, 10)], True, False),
    ("two good days parted by a dry one", [(12.0, 95.0, 12), (12.0, 95.0, 0), (12.0, 95.0, 12)], False, False),
    ("the second and third day", [(12.0, 95.0, 0), (12.0, 95.0, 7), (12.0, 95.0, 7)], True, False),
])
def test_criteria(facts: Facts, what: str, rows: list[tuple[float, float, int]], hutton: bool, smith: bool) -> None:
    rules = {rule.id: rule for rule in facts.tending.blight.rules}
    hours = days(*rows)
    assert bool(periods(hours, rules[HUTTON])) is hutton, what
    assert bool(periods(hours, rules[SMITH])) is smith, what


def test_published_limits(facts: Facts) -> None:
    rules = {r.id: (r.days, r.min_c, r.humidity_pct, r.hours) for r in facts.tending.blight.rules}
    assert rules == {HUTTON: (2, 10, 90, 6), SMITH: (2, 10, 90, 11)}
