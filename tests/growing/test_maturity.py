from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.growing.hardiness import kill_c
from bot.growing.maturity import picking
from tests.growing.places import DEMO, ENGLAND, here


def pick(facts: Facts, crop: str, method: str, day: date, place: object = DEMO, cover: str | None = None):  # type: ignore[no-untyped-def]
    year = here(facts, place, cover)  # type: ignore[arg-type]
    count = (day - year.year.start).days
    count -= 365 * (count // 365)
    return picking(facts.crops[crop], method, count, year), count


@pytest.mark.parametrize(
    ("crop", "method", "day", "low", "high"),
    [
        ("radish", "direct", date(2026, 5, 1), 25, 50),
        ("lettuce", "direct", date(2026, 5, 1), 45, 85),
        ("french-bean", "direct", date(2026, 6, 1), 55, 90),
        ("courgette", "plants", date(2026, 6, 5), 35, 65),
        ("potato-early", "tubers", date(2026, 4, 20), 80, 120),
        ("carrot", "direct", date(2026, 5, 1), 70, 110),
        ("garlic", "cloves", date(2026, 10, 15), 230, 310),
        ("onion", "sets", date(2026, 4, 1), 110, 160),
    ],
)
def test_days_are_what_packets_say(facts: Facts, crop: str, method: str, day: date, low: int, high: int) -> None:
    found, count = pick(facts, crop, method, day)
    assert found is not None
    assert low <= found.first - count <= high


def test_a_warm_year_is_earlier_and_a_cool_one_later(facts: Facts) -> None:
    found, _ = pick(facts, "sweetcorn", "direct", date(2026, 6, 1))
    assert found is not None
    assert found.early < found.first < found.late


def test_each_august_day_costs_more_than_a_day(facts: Facts) -> None:
    """Delay in late summer delays harvest by more than itself (growers' rule of thumb)."""
    one, a = pick(facts, "komatsuna", "direct", date(2026, 8, 20), ENGLAND)
    two, b = pick(facts, "komatsuna", "direct", date(2026, 9, 5), ENGLAND)
    assert one is not None and two is not None
    assert two.first - one.first > b - a


def test_overwintered_greens_end_by_bolting_or_cold(facts: Facts) -> None:
    found, count = pick(facts, "kale", "plants", date(2026, 7, 10), ENGLAND)
    assert found is not None
    assert found.ends == "bolting"
    assert found.last - count > 240


def test_spring_sown_spinach_does_not_stand_the_winter(facts: Facts) -> None:
    found, _ = pick(facts, "spinach-true", "direct", date(2026, 4, 10))
    assert found is not None
    assert found.last - found.first < 40


def test_perennials_wait_their_years(facts: Facts) -> None:
    found, count = pick(facts, "asparagus", "crowns", date(2026, 4, 10))
    assert found is not None
    assert found.first - count > 365


def test_killing_figures_stay_within_their_class(facts: Facts) -> None:
    for crop in facts.crops.values():
        if crop.sowing:
            figure = kill_c(crop, facts)
            low, high = {"tender": (0, 1.7), "half-hardy": (-8, -3), "hardy": (-15, -8), "very-hardy": (-35, -15)}[
                crop.sowing.hardiness_class
            ]
            assert low <= figure <= high or figure == facts.growing.number(f"{crop.sowing.hardiness_class}.kill_c"), (
                crop.id
            )
