"""How long soil troubles keep a family off a bed, against published intervals.

Sources: University of Connecticut, "Crop rotation in the home garden" (clubroot 7 years, verticillium 4,
blackleg 3 to 4, beet leaf spot 3); RHS, potato cyst nematode (5 to 6 years), onion white rot (8 years or more).
"""

from __future__ import annotations

import pytest

from bot.facts import Facts


@pytest.mark.parametrize(
    ("pest", "group", "least", "most"),
    [
        ("clubroot", "brassicas", 7, 20),
        ("white-rot", "alliums", 8, 20),
        ("potato-eelworm", "potato-family", 5, 10),
        ("fusarium-verticillium", "potato-family", 4, 6),
        ("onion-downy", "alliums", 3, 3),
    ],
)
def test_soil_diseases_lengthen_the_gap(facts: Facts, pest: str, group: str, least: float, most: float) -> None:
    rows = [r for r in facts.growing.soil_diseases if pest in r.pests and group in r.groups]
    assert rows
    assert least <= rows[0].years <= most


@pytest.mark.parametrize(
    ("rule", "years"),
    [
        ("rot-general", "3"),
        ("rot-brassica-clubroot", "7"),
        ("rot-white-rot", "8+"),
        ("rot-pcn", "5-6"),
        ("rot-verticillium", "4"),
        ("rot-brassica-blackleg", "3-4"),
        ("rot-onion-downy", "3"),
        ("rot-beet", "3"),
        ("rot-cucurbit", "2"),
        ("rot-corn", "3"),
        ("rot-strawberry-solanum", "4"),
    ],
)
def test_rules_as_printed(facts: Facts, rule: str, years: str) -> None:
    row = next(r for r in facts.growing.rotation if r.id == rule)
    assert row.years == years


@pytest.mark.parametrize("crop", ["cabbage-winter", "potato", "onion", "carrot", "pea"])
def test_a_family_stays_away_two_full_seasons_at_least(facts: Facts, crop: str) -> None:
    assert (facts.crops[crop].family.years_between or 0) >= 2


def test_green_manures_lie_two_to_four_weeks(facts: Facts) -> None:
    lead = next(r for r in facts.tending.green_manures.rules if r.id == "gm-lead")
    assert lead.value == (14.0, 28.0)
