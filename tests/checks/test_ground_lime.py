"""Lime rates against two published tables and a farm's printed figures.

Sources: American home garden lime table (lb of ground limestone per 100 sq ft to reach pH 6.5); RB209 lime rule,
factors 6, 7 and 8 t/ha, whose farm table prints 3.0, 4.2 and 7.2 t/ha on sands at pH 6.2, 6.0 and 5.5; Penn State,
splitting; Oregon State, strength of hydrated lime.
"""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.tending.soil import LB_PER_100_SQ_FT, dressings, farm_lime, garden_lime, lime_need

GARDEN = {
    ("sands", 4.0): 11.5,
    ("sands", 5.0): 8,
    ("sands", 5.5): 6,
    ("sands", 6.0): 3,
    ("sandy", 4.5): 13.5,
    ("sandy", 5.0): 10.5,
    ("sandy", 5.5): 8,
    ("sandy", 6.0): 4,
    ("clay", 4.0): 23,
    ("clay", 5.0): 15,
    ("clay", 5.5): 10.5,
    ("clay", 6.0): 5.5,
}


@pytest.mark.parametrize(("row", "lb"), GARDEN.items())
def test_garden_table_as_printed(facts: Facts, row: tuple[str, float], lb: float) -> None:
    lime = facts.tending.lime
    soil = next(s for s in lime.soils if s.id == row[0])
    found = garden_lime(row[1], soil, lime)
    assert found is not None
    assert found / LB_PER_100_SQ_FT == pytest.approx(lb, abs=0.01)


@pytest.mark.parametrize(("ph", "tonnes"), [(6.2, 3.0), (6.0, 4.2), (5.5, 7.2)])
def test_farm_figures_on_sand_to_the_digit(facts: Facts, ph: float, tonnes: float) -> None:
    sands = next(s for s in facts.tending.lime.soils if s.id == "sands")
    assert farm_lime(ph, sands, 6.7) / 100 == pytest.approx(tonnes)


def test_the_rule_lies_within_half_a_tonne_of_the_table(facts: Facts) -> None:
    lime = facts.tending.lime
    rows = [r for r in lime.table if r.table == "rb209" and r.soil in ("sands", "sandy", "clay")]
    assert len(rows) == 12
    for row in rows:
        soil = next(s for s in lime.soils if s.id == row.soil)
        assert abs(farm_lime(row.ph, soil, 6.7) - row.g_per_m2) <= 50


def test_the_garden_table_gives_less_than_the_farm_rule(facts: Facts) -> None:
    lime = facts.tending.lime
    for soil in lime.soils[:3]:
        for ph in (5.0, 5.5, 6.0):
            need = lime_need(ph, soil, lime)
            assert need.garden is not None
            assert 0.4 <= need.garden / need.farm <= 0.75
            assert need.first == need.garden


@pytest.mark.parametrize(("lb", "parts"), [(10, 1), (11, 2), (20, 2), (21, 3)])
def test_big_dressings_are_split(facts: Facts, lb: float, parts: int) -> None:
    assert dressings(lb * LB_PER_100_SQ_FT + 0.4, facts.tending.lime) == parts


def test_hydrated_lime_is_stronger(facts: Facts) -> None:
    span = facts.tending.lime.rule("lime-hydrated").value
    assert span is not None
    assert span[0] <= 1 / 1.4 <= span[1]
