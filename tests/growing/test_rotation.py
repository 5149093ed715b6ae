from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.growing.rotation import allowed, beds_for, disease_in, gap_for, groups_free, quick_filler
from bot.plot.events import Event
from bot.plot.state import Bed, Plot
from tests.growing.places import grown

DAY = date(2026, 6, 10)
BEDS = {
    "a": Bed("a", "A", length_m=4, width_m=1.2),
    "b": Bed("b", "B", length_m=4, width_m=1.2),
    "fruit": Bed("fruit", "Fruit", kind="fruit"),
}


def plot(*plantings: object, events: tuple[Event, ...] = ()) -> Plot:
    return Plot(beds=BEDS, plantings=tuple(plantings), journal=events)  # type: ignore[arg-type]


def test_a_bed_without_a_past_is_free(facts: Facts) -> None:
    gap = gap_for(facts.crops["kale"], "a", plot(), facts, DAY)
    assert gap.last is None
    assert gap.clear_on(DAY)


def test_the_gap_counts_from_when_the_last_of_the_family_was_cleared(facts: Facts) -> None:
    record = plot(grown("cabbage-winter", "a", date(2024, 6, 1), date(2025, 3, 1)))
    gap = gap_for(facts.crops["kale"], "a", record, facts, DAY)
    assert (gap.group, gap.last, gap.last_crop) == ("brassicas", date(2025, 3, 1), "cabbage-winter")
    assert not gap.clear_on(DAY)
    assert gap.free_from is not None and date(2027, 6, 1) < gap.free_from < date(2028, 3, 2)
    assert gap_for(facts.crops["kale"], "b", record, facts, DAY).clear_on(DAY)
    assert gap_for(facts.crops["leek"], "a", record, facts, DAY).clear_on(DAY)


def test_what_stands_now_counts(facts: Facts) -> None:
    record = plot(grown("onion", "a", date(2026, 4, 1), None))
    gap = gap_for(facts.crops["leek"], "a", record, facts, DAY)
    assert gap.last == DAY
    assert not allowed(facts.crops["leek"], gap, DAY)


def test_long_ago_is_long_enough(facts: Facts) -> None:
    record = plot(grown("onion", "a", date(2022, 4, 1), date(2022, 8, 1)))
    assert gap_for(facts.crops["leek"], "a", record, facts, DAY).clear_on(DAY)


def test_a_soil_disease_lengthens_the_gap(facts: Facts) -> None:
    record = (grown("cabbage-winter", "a", date(2021, 6, 1), date(2022, 3, 1)),)
    seen = Event("pest_seen", date(2021, 9, 1), crop="cabbage-winter", bed="a", data={"pest": "clubroot"}, seq=9)
    assert gap_for(facts.crops["kale"], "a", plot(*record), facts, DAY).clear_on(DAY)
    sick = plot(*record, events=(seen,))
    gap = gap_for(facts.crops["kale"], "a", sick, facts, DAY)
    assert gap.disease == "clubroot"
    assert gap.years_needed >= 7
    assert not gap.clear_on(DAY)
    assert disease_in("b", "brassicas", sick, facts) is None
    assert not allowed(facts.crops["rocket"], gap_for(facts.crops["rocket"], "a", sick, facts, DAY), DAY)


def test_quick_salads_may_fill_in(facts: Facts) -> None:
    record = plot(grown("kale", "a", date(2025, 6, 1), date(2026, 4, 1)))
    rocket, kale = facts.crops["rocket"], facts.crops["kale"]
    assert quick_filler(rocket)
    assert not quick_filler(kale)
    assert allowed(rocket, gap_for(rocket, "a", record, facts, DAY), DAY)


def test_break_crops_share_nothing(facts: Facts) -> None:
    record = plot(grown("phacelia", "a", date(2026, 3, 1), date(2026, 5, 1)))
    assert gap_for(facts.crops["claytonia"], "a", record, facts, DAY).clear_on(DAY)


def test_beds_are_put_best_first(facts: Facts) -> None:
    record = plot(grown("kale", "a", date(2025, 6, 1), date(2026, 4, 1)))
    assert [bed for bed, _ in beds_for(facts.crops["kale"], record, facts, DAY)] == ["b", "a"]


@pytest.mark.parametrize(("crop", "group"), [("kale", "brassicas"), ("pea", "legumes"), ("potato", "potato-family")])
def test_groups_of_a_bed_show_what_is_kept_out(facts: Facts, crop: str, group: str) -> None:
    record = plot(grown(crop, "a", date(2025, 6, 1), date(2026, 4, 1)))
    kept = [name for name, gap in groups_free("a", record, facts, DAY) if not gap.clear_on(DAY)]
    assert kept == [group]
