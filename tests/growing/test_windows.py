from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.facts.crop import Anchor, SowingRule
from bot.growing.anchors import closes, need_of, opens
from bot.growing.windows import RAISED, Window, windows
from tests.growing.places import BRISBANE, DEMO, ENGLAND, MINNEAPOLIS, SEVILLE, TASMANIA, here


def dates(facts: Facts, crop: str, method: str, place: object = DEMO, **more: object) -> list[tuple[str, str]]:
    year = here(facts, place, **more)  # type: ignore[arg-type]
    southern = year.season.southern
    return [
        tuple(d.strftime("%m-%d") for d in w.dates(date(2026, 1, 1), southern))  # type: ignore[misc]
        for w in windows(facts.crops[crop], year, roofed=more.get("cover") is not None)
        if w.method == method
    ]


def test_the_latest_figure_opens_and_the_earliest_closes(facts: Facts) -> None:
    year = here(facts)
    frost, warm = opens(Anchor(last_frost_weeks=0), year), opens(Anchor(mean_c=14), year)
    assert opens(Anchor(last_frost_weeks=0, mean_c=14), year) == max(frost, warm)
    early, late = closes(Anchor(first_frost_weeks=-6), year), closes(Anchor(midsummer_weeks=2), year)
    assert closes(Anchor(first_frost_weeks=-6, midsummer_weeks=2), year) == min(early, late)


def test_what_never_comes_never_opens(facts: Facts) -> None:
    year = here(facts)
    assert opens(Anchor(soil_c=60), year) == float("inf")
    assert opens(Anchor(soil_c=-50), year) == float("-inf")


def test_a_sowing_closes_when_it_would_not_be_ready(facts: Facts) -> None:
    year = here(facts)
    need = need_of(facts.crops["french-bean"])
    assert need is not None
    last = closes(Anchor(ready_first_frost_weeks=0), year, need)
    assert year.reach(need.middle, int(last), need.base_c, need.ceiling_c) <= year.first_frost() + 1
    assert year.reach(need.middle, int(last) + 3, need.base_c, need.ceiling_c) > year.first_frost()


def test_spring_figures_mean_the_coming_spring_from_an_autumn_opening(facts: Facts) -> None:
    year = here(facts)
    assert closes(Anchor(last_frost_weeks=-6), year, after=300) == closes(Anchor(last_frost_weeks=-6), year) + 365


@pytest.mark.parametrize(
    ("crop", "method", "months"),
    [
        ("carrot", "direct", {3, 4, 5, 6, 7}),
        ("french-bean", "direct", {5, 6, 7}),
        ("leek", "plants", {5, 6, 7}),
        ("garlic", "cloves", {9, 10, 11, 12, 3}),
        ("tomato", "plants", {5, 6}),
    ],
)
def test_months_at_the_demo_plot_are_a_gardeners(facts: Facts, crop: str, method: str, months: set[int]) -> None:
    found = dates(facts, crop, method)
    assert found
    for first, last in found:
        assert int(first[:2]) in months
        assert int(last[:2]) in months | {12}


def test_mirrored_places_mirror_months(facts: Facts) -> None:
    [(first, _)] = dates(facts, "sweetcorn", "direct", TASMANIA)
    assert first[:2] in ("09", "10", "11")
    [(first, _)] = dates(facts, "sweetcorn", "direct", ENGLAND)
    assert first[:2] in ("04", "05")


def test_a_roof_opens_earlier(facts: Facts) -> None:
    outside, inside = dates(facts, "courgette", "plants"), dates(facts, "courgette", "plants", cover="polytunnel")
    assert inside[0][0] < outside[0][0]


def test_winter_salads_under_cover_need_the_cover(facts: Facts) -> None:
    outside = {w.purpose for w in windows(facts.crops["claytonia"], here(facts))}
    inside = {w.purpose for w in windows(facts.crops["claytonia"], here(facts, cover="polytunnel"), roofed=True)}
    assert "winter-cover" not in outside
    assert "winter-cover" in inside


def test_overwintering_is_not_named_where_it_dies(facts: Facts) -> None:
    peas = facts.crops["pea"]
    assert not [w for w in windows(peas, here(facts)) if w.purpose == "overwinter"]
    assert [w for w in windows(peas, here(facts, ENGLAND)) if w.purpose == "overwinter"]


def test_raised_plants_are_sown_their_weeks_before(facts: Facts) -> None:
    found = windows(facts.crops["leek"], here(facts))
    sow = next(w for w in found if w.method in RAISED)
    out = next(w for w in found if w.method == "plants")
    assert 7 * 7 <= out.opens - sow.opens <= 11 * 7


def test_a_window_over_midwinter_holds_both_years() -> None:
    rule = SowingRule(method="cloves", source=["common-practice"])
    window = Window("garlic", "cloves", False, -70, 20, rule)
    assert window.holds(300) == -65
    assert window.holds(5) == 5
    assert window.holds(100) is None
    assert window.ahead(100) == 365 - 70 - 100
    assert window.dates(date(2026, 11, 1), False)[0].year == 2026


def test_every_window_of_every_crop_makes_sense(facts: Facts) -> None:
    for place in (DEMO, ENGLAND, SEVILLE, TASMANIA):
        for cover in (None, "polytunnel"):
            year = here(facts, place, cover)
            for crop in facts.crops.values():
                for window in windows(crop, year, roofed=cover is not None):
                    assert -150 <= window.opens <= 365, (crop.id, window)
                    assert 5 <= window.closes - window.opens <= 351, (crop.id, window)


def test_sources_and_rules_stand_in_every_block(facts: Facts) -> None:
    for crop in facts.crops.values():
        if crop.sowing:
            assert all(rule.source for rule in crop.sowing.rules)


@pytest.mark.parametrize("crop", ["pea", "cauliflower", "broccoli-calabrese", "carrot", "lettuce"])
def test_hardy_crops_are_begun_for_the_cool_season_where_summer_is_hot(facts: Facts, crop: str) -> None:
    for method in ("direct", "plants"):
        for opens_on, closes_on in dates(facts, crop, method, BRISBANE):
            assert "01-15" < opens_on < "04-01" and "07-01" < closes_on < "10-01", (crop, method)


def test_what_heads_after_a_cold_winter_has_no_season_where_there_is_none(facts: Facts) -> None:
    assert not windows(facts.crops["broccoli-sprouting"], here(facts, BRISBANE))
    assert not windows(facts.crops["broccoli-sprouting"], here(facts, BRISBANE, "polytunnel"), roofed=True)
    assert windows(facts.crops["broccoli-sprouting"], here(facts, ENGLAND))


def test_garlic_goes_in_as_the_heat_ends_and_not_by_frost(facts: Facts) -> None:
    """Mid March to the end of April and on into June (sources with the crop)."""
    ((opens_on, closes_on),) = dates(facts, "garlic", "cloves", BRISBANE)
    assert opens_on.startswith("03") and closes_on.startswith("06")
    assert dates(facts, "garlic", "cloves", ENGLAND) and not any(w.rule.hot for w in windows(facts.crops["garlic"], here(facts, ENGLAND)))


def test_tall_crops_are_raised_in_a_frame_and_not_grown_on_in_it(facts: Facts) -> None:
    frame = here(facts, MINNEAPOLIS, "cold-frame")
    assert {w.method for w in windows(facts.crops["sweetcorn"], frame, roofed=True)} <= set(RAISED)
    assert "direct" in {w.method for w in windows(facts.crops["lettuce"], frame, roofed=True)}


def test_no_winter_crop_is_sown_under_a_cover_that_does_not_spare_it(facts: Facts) -> None:
    winter = [w for w in windows(facts.crops["pea"], here(facts, MINNEAPOLIS, "cold-frame"), roofed=True) if w.purpose == "winter-cover"]
    assert not winter
    assert [w for w in windows(facts.crops["pea"], here(facts, ENGLAND, "cold-frame"), roofed=True) if w.purpose == "winter-cover"]
