"""The growing room: it loads, it is sound, and its check finds what is wrong."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bot.facts import Facts
from bot.facts.growing import FILES, check


@pytest.fixture
def broken(tmp_path: Path, facts: Facts) -> Path:
    """Return a copy of the knowledge folder to spoil."""
    shutil.copytree(facts.root, tmp_path / "knowledge")
    return tmp_path / "knowledge"


def spoil(root: Path, file: str, old: str, new: str) -> None:
    path = root / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_the_shipped_room_is_sound(facts: Facts) -> None:
    assert check(facts) == []


def test_every_crop_that_can_be_sown_has_its_worth(facts: Facts) -> None:
    assert {c.id for c in facts.crops.values() if c.sowing} - {*facts.growing.worth} == set()


def test_every_coefficient_says_what_it_means(facts: Facts) -> None:
    for name, row in facts.growing.coefficients.items():
        assert "." in name and len(row.meaning) > 15 and row.unit, name


def test_every_sowing_rule_can_close(facts: Facts) -> None:
    for crop in facts.crops.values():
        for rule in crop.sowing.rules if crop.sowing else ():
            assert rule.closes or rule.plant_out_closes, crop.id


def test_needs_are_in_proportion_to_days(facts: Facts) -> None:
    """A crop of twice the days may not need less warmth: a slip of the pen in a need shows here."""
    for crop in facts.crops.values():
        growth = crop.growth
        if growth and growth.need_c_days and growth.days_to_maturity:
            per_day = growth.need_c_days[1] / growth.days_to_maturity[1]
            assert 2.0 <= per_day <= 16, (crop.id, per_day)
            assert growth.base_c is not None and growth.ceiling_c is not None and growth.base_c < growth.ceiling_c


@pytest.mark.parametrize(
    ("file", "old", "new", "word"),
    [
        ("growing/worth.yaml", "kale:", "kail:", "is not a crop"),
        ("growing/companions.yaml", "crops_a: [carrot, parsnip]", "crops_a: [carot, parsnip]", "which is not a crop"),
        ("growing/followers.yaml", "good: [brassicas", "good: [brasicas", "no crop is of the rotation group"),
        ("growing/coefficients.yaml", "source: [computed:calendar-fit]", "source: [nobody]", "unknown source"),
        ("crops/carrot.yaml", "opens: {last_frost_weeks: -5, soil_c: 8.2}", "opens: {}", "always met"),
    ],
)
def test_a_slip_is_found(broken: Path, file: str, old: str, new: str, word: str) -> None:
    spoil(broken, file, old, new)
    assert any(word in str(fault) for fault in check(Facts(broken)))


def test_files_of_the_room_are_all_there(facts: Facts) -> None:
    assert all((facts.root / file).is_file() for file in FILES.values())
