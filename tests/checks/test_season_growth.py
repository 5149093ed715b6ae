"""The autumn slow-down against growers' published allowances and multipliers.

Each check takes a leaf crop of 45 days (base 3.3 °C, ceiling 21 °C), its need counted under the reference conditions.
"""

from __future__ import annotations

from datetime import date
from statistics import mean

import pytest

from bot.facts import Facts
from bot.plot.state import PlotPlace
from bot.season import season_for
from bot.season.thermal import need_from_days

BASE, CEILING = 3.3, 21.0
VIRGINIA = PlotPlace(37.5, -78.5, 150)
NEW_HAMPSHIRE = PlotPlace(43.1, -70.9, 20)
FORTY_TO_FORTY_FOUR = (NEW_HAMPSHIRE, PlotPlace(40.5, -76.0, 120), PlotPlace(44.0, -123.1, 110))


def days_from(place: PlotPlace, month: int, day: int, usual: float, facts: Facts, cover: str | None = None) -> int:
    """Return the days a crop of `usual` days takes when begun on a day at a place."""
    season = season_for(place, facts)
    begun = date(2026, month, day)
    reached = season.reach(need_from_days(usual, BASE, CEILING, facts.climate), begun, BASE, CEILING, cover).likely
    assert reached is not None
    return (reached - begun).days


def tunnel_factor(month: int, day: int, facts: Facts) -> float:
    """Return the mean factor on days to maturity in an unheated tunnel over three places of 40 to 44 N."""
    return mean(days_from(place, month, day, 45, facts, "polytunnel") for place in FORTY_TO_FORTY_FOUR) / 45


def test_a_fortnight_is_added_to_autumn_crops_in_virginia(facts: Facts) -> None:
    """Virginia Cooperative Extension (vce-fall-garden): add 14 days to days to maturity for an autumn crop."""
    for month, day in ((8, 20), (8, 25), (8, 30)):
        extra = days_from(VIRGINIA, month, day, 50, facts) - 50
        print(f"Virginia, {day}/{month}: {extra:+d} days")
        assert 0 <= extra <= 28


@pytest.mark.parametrize(
    ("month", "day", "low", "high"),
    [(9, 1, 1.25, 2.0), (9, 8, 1.5, 2.2), (9, 15, 1.5, 2.5), (9, 25, 2.0, 3.3), (10, 5, 2.0, 3.6)],
)
def test_tunnel_sowings_take_as_many_times_longer_as_growers_say(
    month: int, day: int, low: float, high: float, facts: Facts
) -> None:
    """Winter growers (memory:winter-harvest): 1.5 to 2 times for early to mid September, 2 to 3 from late on."""
    factor = tunnel_factor(month, day, facts)
    print(f"tunnel, {day}/{month}: {factor:.2f} times")
    assert low <= factor <= high


def test_a_days_delay_in_mid_september_costs_two_or_three(facts: Facts) -> None:
    """memory:winter-harvest, two_day_rule; a little more is allowed for the colder of the places."""
    cost = mean(
        (days_from(p, 9, 16, 45, facts, "polytunnel") + 8 - days_from(p, 9, 8, 45, facts, "polytunnel")) / 8
        for p in FORTY_TO_FORTY_FOUR
    )
    print(f"one day's delay costs {cost:.1f} days")
    assert 1.5 <= cost <= 5


def test_spinach_in_a_new_hampshire_tunnel(facts: Facts) -> None:
    """University of New Hampshire trial (unh-spinach): planted 20 to 30 September it is picked from late autumn,
    planted from mid October to early November not before spring."""
    planted_early = days_from(NEW_HAMPSHIRE, 9, 22, 30, facts, "polytunnel")
    planted_late = days_from(NEW_HAMPSHIRE, 10, 22, 30, facts, "polytunnel")
    assert 40 <= planted_early <= 90  # November to before Christmas
    assert planted_late >= 115  # the middle of February or later


def test_growth_in_the_darkest_weeks_is_a_small_part_of_midsummers(facts: Facts) -> None:
    """The ten-hour rule (ccene-winter, ucanr-winter): under ten hours leafy growth nearly stops."""
    for place in (PlotPlace(45.05, 3.9, 880), PlotPlace(55.9, -3.2, 50), PlotPlace(52.0, 0.0, 60)):
        warmth = season_for(place, facts).warmth(BASE, CEILING)
        assert warmth[354] < 0.12 * warmth[172]


def test_a_cover_warms_spring_and_shades_midwinter(facts: Facts) -> None:
    season = season_for(PlotPlace(52.0, 0.0, 60), facts)
    outside, tunnel = season.warmth(BASE, CEILING), season.warmth(BASE, CEILING, "polytunnel")
    assert tunnel[90] > outside[90] * 1.3  # 1 April
    assert season.arrays("polytunnel").light[354] < season.arrays().light[354]
