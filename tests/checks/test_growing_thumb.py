"""Trade rules of thumb the arithmetic must hold (common practice, no source)."""

from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.growing.maturity import Picking, picking
from bot.growing.windows import windows
from bot.plot.state import PlotPlace
from bot.season import season_for

FACTS = Facts()
ENGLAND, DEMO = PlotPlace(51.56, -0.71, 30.0), PlotPlace(45.05, 3.90, 880.0)


def picked(place: PlotPlace, crop: str, method: str, day: date, cover: str | None = None) -> tuple[Picking, GardenYear]:
    season = season_for(place, FACTS)
    year = GardenYear.around(day, season.southern)
    found = picking(FACTS.crops[crop], method, year.count(day), curves(season, cover, FACTS))
    assert found is not None
    return found, year


def open_on(place: PlotPlace, crop: str, method: str, day: date, cover: str | None = None) -> bool:
    season = season_for(place, FACTS)
    year = GardenYear.around(day, season.southern)
    here = curves(season, cover, FACTS)
    return any(
        w.method == method and w.holds(year.count(day)) is not None
        for w in windows(FACTS.crops[crop], here, roofed=cover is not None)
    )


@pytest.mark.parametrize("day", [date(2026, 6, 5), date(2026, 6, 20), date(2026, 7, 5), date(2026, 7, 14)])
def test_leeks_go_out_in_early_summer_and_thicken_when_a_few_weeks_late(day: date) -> None:
    assert open_on(DEMO, "leek", "plants", day)
    found, year = picked(DEMO, "leek", "plants", day)
    assert date(2026, 8, 1) <= year.day(found.first) <= date(2026, 11, 15)


def test_spring_cabbage_planted_in_early_autumn_crops_next_spring() -> None:
    assert open_on(ENGLAND, "cabbage-spring", "plants", date(2026, 9, 15))
    found, year = picked(ENGLAND, "cabbage-spring", "plants", date(2026, 9, 15))
    assert date(2027, 3, 1) <= year.day(found.first) <= date(2027, 5, 31)
    assert year.day(found.last) <= date(2027, 7, 1)


@pytest.mark.parametrize("day", [date(2026, 7, 5), date(2026, 7, 25), date(2026, 8, 8)])
def test_kale_set_out_in_summer_gives_leaves_about_two_months_on(day: date) -> None:
    found, year = picked(ENGLAND, "kale", "plants", day)
    assert 25 <= (year.day(found.first) - day).days <= 75


@pytest.mark.parametrize("day", [date(2026, 6, 1), date(2026, 7, 20)])
def test_sprouting_broccoli_of_summer_is_picked_in_late_winter_and_spring(day: date) -> None:
    assert open_on(ENGLAND, "broccoli-sprouting", "plants", day)
    found, year = picked(ENGLAND, "broccoli-sprouting", "plants", day)
    assert date(2027, 1, 15) <= year.day(found.first) <= date(2027, 4, 15)
    assert year.day(found.last) <= date(2027, 6, 15)


@pytest.mark.parametrize("crop", ["claytonia", "lambs-lettuce", "lettuce-winter", "mizuna", "mustard-salad", "rocket"])
def test_winter_salads_follow_tomatoes_under_cover_and_stand(crop: str) -> None:
    day = date(2026, 9, 28)
    methods = [m for m in ("plants", "direct") if open_on(DEMO, crop, m, day, "polytunnel")]
    assert methods, f"{crop} has no way in after the tomatoes"
    found, year = picked(DEMO, crop, methods[0], day, "polytunnel")
    assert year.day(found.first) < date(2027, 3, 15)
    assert year.day(found.last) > date(2027, 3, 15)
    assert found.chance > 0.6


@pytest.mark.parametrize("crop", ["french-bean", "courgette", "tomato", "sweetcorn", "runner-bean", "winter-squash"])
def test_tender_crops_stop_at_the_first_air_frost(crop: str) -> None:
    season = season_for(DEMO, FACTS)
    here = curves(season, None, FACTS)
    method = "plants" if crop in ("tomato", "courgette", "winter-squash") else "direct"
    found, year = picked(DEMO, crop, method, date(2026, 6, 5))
    assert found.last <= here.first_frost() + 1
    assert not open_on(DEMO, crop, method, date(2026, 11, 5))
    assert not open_on(DEMO, crop, method, date(2026, 3, 20))


@pytest.mark.parametrize(
    ("crop", "method"),
    [
        ("parsnip", "direct"),
        ("carrot", "direct"),
        ("tomato", "plants"),
        ("potato", "tubers"),
        ("sweetcorn", "direct"),
        ("leek", "plants"),
        ("beetroot", "direct"),
    ],
)
def test_nothing_silly_in_december(crop: str, method: str) -> None:
    for place in (DEMO, ENGLAND):
        assert not open_on(place, crop, method, date(2026, 12, 10))


def test_south_is_half_a_year_from_north() -> None:
    """The same rule at mirrored places opens in mirrored months."""
    south = PlotPlace(-42.9, 147.3, 50.0)
    assert open_on(south, "french-bean", "direct", date(2026, 12, 1))
    assert not open_on(south, "french-bean", "direct", date(2026, 6, 1))
