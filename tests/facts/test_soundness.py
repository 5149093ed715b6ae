"""What no schema can say is checked too."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.facts import Facts
from bot.facts.cache import Cache
from bot.facts.check import check_all
from bot.facts.ranges import check as check_ranges
from bot.facts.soundness import check
from tests.facts.conftest import LEEK, edit


def faults(folder: Path) -> list[str]:
    return [str(fault) for fault in check(Facts(folder, cache=Cache(None)))]


def second_crop(folder: Path, **changes: str) -> None:
    text = LEEK.replace("leeks", "second ones").replace("leek", "kale")
    for old, new in changes.items():
        text = text.replace(old.replace("_", " "), new)
    (folder / "crops" / "kale.yaml").write_text(text, encoding="utf-8")


def test_a_sound_folder_has_no_faults(folder: Path) -> None:
    assert faults(folder) == []


def test_unknown_sources_are_named_where_they_stand(folder: Path) -> None:
    edit(folder, "source: [a-book, memory:old-notes]", "source: [a-bock]")
    edit(folder, "source: [a-book]\nfamily", "source: [nobody]\nfamily")
    assert faults(folder) == [
        "crops/leek.yaml:22: spacing.source: no source has the id 'a-bock': add it to a file under sources/",
        "crops/leek.yaml:8: names.0.source: no source has the id 'nobody': add it to a file under sources/",
    ]


def test_marks_of_memory_must_name_fields(folder: Path) -> None:
    edit(folder, "memory: [between_rows_cm]", "memory: [between_rows]")
    assert faults(folder) == ["crops/leek.yaml:23: spacing.memory: 'between_rows' is no field of this block"]


def test_one_mark_is_enough(folder: Path) -> None:
    edit(folder, "memory: [between_rows_cm]", "memory: [between_rows_cm]\n  practice: [between_rows_cm]")
    assert "marked both as memory and as practice" in faults(folder)[0]


def test_a_kill_above_the_damage_is_caught(folder: Path) -> None:
    edit(folder, "kill_c: -11", "kill_c: -3")
    assert faults(folder) == [
        "crops/leek.yaml:27: hardiness.0.kill_c: -3 °C kills, yet -5 °C only damages: the kill is the colder"
    ]


def test_soil_limits_rise(folder: Path) -> None:
    edit(folder, "soil_max_c: 30", "soil_max_c: 20")
    assert faults(folder) == [
        "crops/leek.yaml:13: germination: soil_min_c, soil_best_c and soil_max_c must rise in that order"
    ]


def test_a_shared_name_needs_may_mean(folder: Path) -> None:
    second_crop(folder)
    edit(folder, "- name: kale\n", "- name: leek\n", "crops/kale.yaml")
    found = faults(folder)
    assert any("'leek' is also a name of" in fault for fault in found)
    edit(folder, "  kind: standard", "  kind: standard\n  may_mean: [leek]", "crops/kale.yaml")
    assert faults(folder) == []


def test_a_slip_that_is_another_crops_name_is_caught(folder: Path) -> None:
    second_crop(folder)
    edit(folder, "family:\n", "misspellings: [leeke, kale]\nfamily:\n")
    assert faults(folder) == [
        "crops/leek.yaml:9: misspellings.1: 'kale' is a name of kale: move it to misheard"]


def test_cautions_need_their_sources(folder: Path) -> None:
    edit(folder, "family:\n", "cautions: [Never eat the roof.]\nfamily:\n")
    assert "needs cautions_from" in faults(folder)[0]
    edit(folder, "family:\n", "cautions_from: [nobody]\nfamily:\n")
    assert "no source has the id 'nobody'" in faults(folder)[0]


def test_unknown_crops_and_rings_are_caught(folder: Path) -> None:
    edit(folder, "use: [vegetable]", "use: [vegetable]\nlike: kale")
    assert faults(folder) == ["crops/leek.yaml:4: like: no crop has the id 'kale'"]
    second_crop(folder)
    edit(folder, "use: [vegetable]", "use: [vegetable]\nlike: leek", "crops/kale.yaml")
    assert all("goes round in a ring" in fault for fault in faults(folder)) and len(faults(folder)) == 2


def test_a_figure_out_of_range_is_a_slip_of_unit(folder: Path) -> None:
    edit(folder, "in_row_cm: [15, 30]", "in_row_cm: [0.15, 0.3]")
    assert [str(f) for f in check_ranges(Facts(folder, cache=Cache(None)))] == [
        "crops/leek.yaml:19: spacing.in_row_cm: (0.15, 0.3) is outside 1 to 500 cm"
    ]


def test_a_range_for_no_field_is_caught(folder: Path) -> None:
    (folder / "ranges.yaml").write_text(
        "- {field: spacing.width, low: 1, high: 2, unit: cm, source: [common-practice]}\n", encoding="utf-8"
    )
    assert [str(f) for f in check_ranges(Facts(folder, cache=Cache(None)))] == [
        "ranges.yaml:1: spacing.width: is no field of a crop"
    ]


def test_one_broken_file_does_not_hide_the_faults_of_others(folder: Path) -> None:
    (folder / "crops" / "kale.yaml").write_text("id: kale\n", encoding="utf-8")
    edit(folder, "kill_c: -11", "kill_c: -3")
    found = [str(fault) for fault in check_all(Facts(folder, cache=Cache(None)))]
    assert any(fault.startswith("crops/kale.yaml:1: botanical") for fault in found)
    assert any(fault.startswith("crops/leek.yaml:27: hardiness.0.kill_c") for fault in found)


@pytest.mark.parametrize("table", ["groups.yaml", "ranges.yaml"])
def test_a_missing_table_is_a_fault_not_a_crash(folder: Path, table: str) -> None:
    (folder / table).unlink()
    assert any(str(f).startswith(f"{table}: cannot be read") for f in check_all(Facts(folder, cache=Cache(None))))
