"""A small knowledge folder to break in many ways."""

from __future__ import annotations

from pathlib import Path

import pytest

LEEK = """\
id: leek
botanical: Allium porrum
use: [vegetable]
names:
- name: leek
  plural: leeks
  kind: standard
  source: [a-book]
family:
  family: Amaryllidaceae
  rotation_group: alliums
  source: [a-book]
germination:
  soil_min_c: 4.4
  soil_best_c: [7, 24]
  soil_max_c: 30
  source: [a-book]
spacing:
  in_row_cm: [15, 30]
  between_rows_cm: [30, 38]
  depth_cm: [1, 1]
  source: [a-book, memory:old-notes]
  memory: [between_rows_cm]
hardiness:
- state: plant
  damage_c: -5
  kill_c: -11
  source: [a-book]
"""
SOURCES = """\
- {id: a-book, title: A book, status: read}
- {id: "memory:old-notes", title: Old notes, status: memory}
- {id: common-practice, title: Usage, status: practice}
- {id: "computed:sum", title: Our sum, status: computed}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a knowledge folder with one sound crop and its sources."""
    (tmp_path / "crops").mkdir()
    (tmp_path / "sources").mkdir()
    (tmp_path / "crops" / "leek.yaml").write_text(LEEK, encoding="utf-8")
    (tmp_path / "sources" / "keeping.yaml").write_text(SOURCES, encoding="utf-8")
    (tmp_path / "groups.yaml").write_text("[]\n", encoding="utf-8")
    (tmp_path / "ranges.yaml").write_text(
        "- {field: spacing.in_row_cm, low: 1, high: 500, unit: cm, source: [common-practice]}\n", encoding="utf-8"
    )
    return tmp_path


def edit(folder: Path, old: str, new: str, file: str = "crops/leek.yaml") -> None:
    """Replace a piece of a file that must be there."""
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
