"""A first-time contributor is told the file, the line, the field and what may stand there."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.facts import Facts, KnowledgeError
from bot.facts.cache import Cache
from tests.facts.conftest import edit

NO_CACHE = Cache(None)


def faults_of(folder: Path) -> list[str]:
    with pytest.raises(KnowledgeError) as raised:
        _ = Facts(folder, cache=NO_CACHE).crops
    return [str(fault) for fault in raised.value.faults]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "state: plant",
            "state: sprout",
            "crops/leek.yaml:25: hardiness.0.state: must be one of 'plant', 'seedling', 'head', 'flower' or 'dormant'",
        ),
        ("depth_cm:", "deep_cm:", "crops/leek.yaml:21: spacing.deep_cm: is no field here: did you mean 'depth_cm'?"),
        (
            "in_row_cm: [15, 30]",
            "in_row_cm: [30, 15]",
            "crops/leek.yaml:19: spacing.in_row_cm: the lower figure comes first: [30.0, 15.0]",
        ),
        ("in_row_cm: [15, 30]", "in_row_cm: [15]", "crops/leek.yaml:19: spacing.in_row_cm"),
        (
            "in_row_cm: [15, 30]",
            "in_row_cm: wide",
            "crops/leek.yaml:19: spacing.in_row_cm: must be two figures, low then high, such as [10, 15]",
        ),
        (
            "soil_min_c: 4.4",
            "soil_min_c: cold",
            "crops/leek.yaml:14: germination.soil_min_c: must be a number (found 'cold')",
        ),
        ("botanical: Allium porrum\n", "", "crops/leek.yaml:1: botanical: is missing here: every such block needs it"),
        ("plural: leeks", "plural: no", "crops/leek.yaml:6: names.0.plural: must be text: put it in quotes, 'no'"),
        (
            "use: [vegetable]",
            "use: vegetable",
            "crops/leek.yaml:3: use: must be a list, such as [one, two] (found 'vegetable')",
        ),
        (
            "id: leek",
            "id: Leek Two",
            "crops/leek.yaml:1: id: must be an id: small letters, figures and dashes only (found 'Leek Two')",
        ),
        ("source: [a-book]\nfamily", "source: []\nfamily", "crops/leek.yaml:8: names.0.source: needs at least 1 entry"),
        ("id: leek", "id: leak", "crops/leek.yaml:1: id: is 'leak' but the file is 'leek'"),
    ],
)
def test_a_slip_is_named_with_its_line_and_what_is_wanted(folder: Path, old: str, new: str, said: str) -> None:
    edit(folder, old, new)
    faults = faults_of(folder)
    assert len(faults) == 1
    assert faults[0].startswith(said)


def test_broken_yaml_names_the_line(folder: Path) -> None:
    edit(folder, "use: [vegetable]", "use: [vegetable")
    assert faults_of(folder)[0].startswith("crops/leek.yaml:4: not valid YAML")


def test_a_key_twice_is_refused(folder: Path) -> None:
    edit(folder, "use: [vegetable]", "use: [vegetable]\nid: leek")
    assert faults_of(folder) == ["crops/leek.yaml:4: not valid YAML: the key 'id' stands twice"]


def test_text_that_is_not_utf8_is_said_so(folder: Path) -> None:
    (folder / "crops" / "leek.yaml").write_bytes(b"id: leek\nbotanical: caf\xe9\n")
    assert faults_of(folder) == ["crops/leek.yaml:2: is not UTF-8 text: save the file as UTF-8"]


def test_every_fault_of_every_file_is_told_at_once(folder: Path) -> None:
    (folder / "crops" / "kale.yaml").write_text("id: kale\n", encoding="utf-8")
    edit(folder, "kill_c: -11", "kill_c: cold")
    faults = faults_of(folder)
    assert sum("crops/kale.yaml" in fault for fault in faults) >= 4
    assert any("crops/leek.yaml:27: hardiness.0.kill_c: must be a number" in fault for fault in faults)


def test_a_bad_crop_is_left_out_only_when_told(folder: Path) -> None:
    (folder / "crops" / "kale.yaml").write_text("id: kale\n", encoding="utf-8")
    with pytest.raises(KnowledgeError):
        _ = Facts(folder, cache=NO_CACHE).crops
    lenient = Facts(folder, cache=NO_CACHE, skip_bad_crops=True)
    assert list(lenient.crops) == ["leek"]
    assert {fault.file for fault in lenient.skipped} == {"crops/kale.yaml"}
