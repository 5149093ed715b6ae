from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bot.facts import Facts
from bot.growing.expecting import Expected, expected, killed
from bot.plot.state import Harvest, Planting, Plot
from bot.season import season_for
from tests.growing.places import BED, DEMO, MINNEAPOLIS, grown

TODAY = date(2026, 7, 20)


def look(facts: Facts, planting: Planting, today: date = TODAY) -> Expected:
    plot = Plot(beds={"bed": BED}, plantings=(planting,))
    found = expected(planting, plot, facts, season_for(DEMO, facts), today)
    assert found is not None
    return found


def test_a_sowing_is_dated_from_its_day(facts: Facts) -> None:
    early = look(facts, grown("carrot", "bed", date(2026, 4, 10), None))
    late = look(facts, grown("carrot", "bed", date(2026, 5, 10), None))
    assert early.first < late.first
    assert (late.first - early.first).days < 30  # the later sowing meets more warmth


def test_plants_in_a_tray_are_dated_as_planted_out_at_the_usual_age(facts: Facts) -> None:
    raised = replace(grown("leek", "bed", date(2026, 4, 1), None), method="module")
    out = replace(raised, planted_out=date(2026, 6, 5))
    assert abs((look(facts, raised).first - look(facts, out).first).days) < 25


def test_ready_once_picked_from(facts: Facts) -> None:
    beans = grown("runner-bean", "bed", date(2026, 5, 25), None)
    harvest = Harvest(date(2026, 7, 18), 1.0, "kg", 1.0, "1 kg", 9)
    assert not look(facts, beans).ready(TODAY)
    assert look(facts, replace(beans, harvests=(harvest,))).ready(TODAY)


def test_lasting_crops_come_round_every_year(facts: Facts) -> None:
    bush = replace(
        grown("blackcurrant", "bed", date(2020, 11, 14), None), method="bare-root", planted_out=date(2020, 11, 14)
    )
    found = look(facts, bush, date(2026, 9, 1))
    assert found.first.year == 2027
    assert found.first.month in (6, 7, 8)


def test_what_stands_through_the_cold_is_ready_till_it_bolts(facts: Facts) -> None:
    leeks = replace(grown("leek", "bed", date(2025, 4, 1), None), method="module", planted_out=date(2025, 6, 10))
    assert look(facts, leeks, date(2026, 2, 20)).ready(date(2026, 2, 20))


@pytest.mark.parametrize("planting", [grown("dragonfruit", "bed", TODAY, None), Planting(1, "kale")])
def test_what_is_not_known_is_not_guessed(facts: Facts, planting: Planting) -> None:
    assert expected(planting, Plot(), facts, season_for(DEMO, facts), TODAY) is None


def test_what_the_winter_has_surely_killed_is_dead_and_what_rests_is_not(facts: Facts) -> None:
    season = season_for(MINNEAPOLIS, facts)
    tomato, garlic = grown("tomato", "bed", date(2026, 5, 20), None), grown("garlic", "bed", date(2026, 10, 12), None)
    assert not killed(tomato, None, facts, season, date(2026, 9, 1))
    assert killed(tomato, None, facts, season, date(2026, 11, 20))
    assert not killed(garlic, None, facts, season, date(2027, 3, 1))
