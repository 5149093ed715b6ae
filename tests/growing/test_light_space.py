from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bot.facts import Facts
from bot.growing.light import enough, light_of, needs_hours, suits_shade
from bot.growing.space import booked, place_in, taken_m2
from bot.plot.state import Bed, Plot
from tests.growing.places import BED, grown

DAY = date(2026, 6, 10)


def test_words_and_hours_of_light(facts: Facts) -> None:
    assert light_of(Bed("b", "B"), (), facts).hours == 8
    assert light_of(Bed("b", "B", light="part-shade"), (), facts).hours == 5
    assert light_of(Bed("b", "B", light="shade"), (), facts).hours == 2.5
    assert light_of(Bed("b", "B", light="shade", sun_hours=3.5), (), facts).hours == 3.5
    assert light_of(None, (), facts).hours == 8


def test_a_tall_neighbour_takes_light_until_it_is_cleared(facts: Facts) -> None:
    corn = grown("sweetcorn", "bed", date(2026, 5, 20), None)
    shaded = light_of(BED, (corn,), facts)
    assert shaded.hours == 6
    assert shaded.shaded_by == ("sweetcorn",)
    assert light_of(BED, (grown("lettuce", "bed", DAY, None),), facts).hours == 8


def test_tomatoes_want_sun_and_lettuce_does_not(facts: Facts) -> None:
    shade = light_of(Bed("b", "B", light="shade"), (), facts)
    assert not enough(facts.crops["tomato"], shade, facts)
    assert enough(facts.crops["lettuce"], shade, facts)
    assert needs_hours(facts.crops["pepper-sweet"], facts) > needs_hours(facts.crops["rocket"], facts)
    assert suits_shade(facts.crops["lettuce"])
    assert not suits_shade(facts.crops["tomato"])


def test_ground_taken_by_area_row_count_or_share(facts: Facts) -> None:
    kale = grown("kale", "bed", DAY, None)
    assert taken_m2(replace(kale, area_m2=2.0), BED, facts) == 2.0
    assert taken_m2(replace(kale, count=4), BED, facts) == pytest.approx(4 * 0.45 * 0.45)
    assert taken_m2(kale, BED, facts, others=1) == pytest.approx(2.4)
    beans = grown("runner-bean", "bed", DAY, None)
    assert 0.5 < taken_m2(replace(beans, row_m=2), BED, facts) < 2


def test_the_free_part_is_what_is_left(facts: Facts) -> None:
    plot = Plot(beds={"bed": BED}, plantings=(replace(grown("kale", "bed", DAY, None), area_m2=2.4),))
    place = place_in(BED, plot, facts, DAY)
    assert place is not None
    assert place.area_m2 == pytest.approx(2.4 * 0.95)
    assert place.width_cm == 120
    assert [p.crop for p in place.neighbours] == ["kale"]


def test_a_full_bed_has_no_place(facts: Facts) -> None:
    plot = Plot(beds={"bed": BED}, plantings=(grown("kale", "bed", DAY, None),))
    assert place_in(BED, plot, facts, DAY) is None
    assert place_in(BED, Plot(beds={"bed": BED}), facts, DAY).area_m2 == pytest.approx(4.8)  # type: ignore[union-attr]


def test_an_unknown_size_is_said_to_be_assumed(facts: Facts) -> None:
    place = place_in(Bed("x", "X"), Plot(), facts, DAY)
    assert place is not None and place.assumed and place.area_m2 == 1


def test_plants_raised_for_a_bed_book_it(facts: Facts) -> None:
    raised = replace(grown("leek", "bed", date(2026, 4, 20), None), method="module")
    plot = Plot(beds={"bed": BED}, plantings=(raised,))
    until, crop = booked(BED, plot, facts, DAY)
    assert crop == "leek"
    assert until is not None and date(2026, 6, 15) <= until <= date(2026, 7, 10)
    place = place_in(BED, plot, facts, DAY)
    assert place is not None and place.until == until and not place.neighbours


def test_a_green_manure_gives_way(facts: Facts) -> None:
    plot = Plot(beds={"bed": BED}, plantings=(grown("phacelia", "bed", DAY, None),))
    place = place_in(BED, plot, facts, DAY)
    assert place is not None and place.area_m2 == pytest.approx(4.8)
