"""The climate room: shape, meaning, and what is wrong said with file, line and field."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bot.facts import Facts, KnowledgeError
from bot.facts.climate import check


def test_the_shipped_room_is_sound(facts: Facts) -> None:
    assert check(facts) == []


def test_every_cover_of_the_crop_schema_is_a_cover(facts: Facts) -> None:
    for cover in ("none", "fleece", "cloche", "cold-frame", "unheated", "indoors", "heated"):
        assert facts.climate.cover(cover)
    for cover in ("double-fleece", "low-tunnel", "greenhouse", "polytunnel", "polytunnel-fleece", "straw"):
        assert facts.climate.cover_id(cover) == cover
    assert facts.climate.cover_id(None) == "none"
    with pytest.raises(KeyError):
        facts.climate.cover("duvet")


def test_aliases_and_ids_of_covers_never_clash(facts: Facts) -> None:
    names = [name for cover, kind in facts.climate.covers.items() for name in (cover, *kind.aliases)]
    assert len(names) == len(set(names))


def test_figures_of_published_covers(facts: Facts) -> None:
    """Pennsylvania (psu-bosak-2020): light fleece 2 to 3 °F; Savage 1980: a tunnel's nights 1.3 °C warmer."""
    assert facts.climate.cover("fleece").night_c[0] == pytest.approx(2 / 1.8, abs=0.05)
    low, high = facts.climate.cover("polytunnel").night_c
    assert low < 1.3 < high


def test_all_stations_are_read(facts: Facts) -> None:
    stations = facts.climate.stations
    assert len(stations) == 476
    assert sum(s.lat < 0 for s in stations) > 70
    bahia = next(s for s in stations if s.name == "Bahia Blanca")
    assert (
        bahia.low[0] == 16.3 and bahia.high[6] == 13.9 and bahia.frost_days is not None and bahia.frost_days[6] == 8.8
    )


def test_every_coefficient_says_where_it_comes_from(facts: Facts) -> None:
    for name, row in facts.climate.coefficients.items():
        assert row.meaning and row.unit and row.source, name
        if any(source.startswith("computed:") and source != "computed:normals-left-out" for source in row.source):
            assert row.calibrated_on, name


@pytest.fixture
def copy(tmp_path: Path, facts: Facts) -> Path:
    """Return a copy of the climate room to spoil."""
    root = tmp_path / "knowledge"
    for folder in ("climate", "sources"):
        shutil.copytree(facts.root / folder, root / folder)
    return root


def spoil(path: Path, old: str, new: str) -> int:
    """Replace text once; return the line it stands on."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def test_a_word_for_a_number_is_named_with_its_line(copy: Path) -> None:
    line = spoil(copy / "climate/covers.yaml", "night_c: [1.1, 3.0]", "night_c: [warm, 3.0]")
    with pytest.raises(KnowledgeError) as error:
        Facts(copy).climate  # noqa: B018 (reading is the test)
    assert f"climate/covers.yaml:{line}: fleece.night_c.0" in str(error.value)


def test_a_station_at_an_impossible_place_is_named(copy: Path) -> None:
    spoil(copy / "climate/stations.csv", "-38.715", "-138.715")
    with pytest.raises(KnowledgeError, match=r"climate/stations.csv:2: 0.lat"):
        Facts(copy).climate  # noqa: B018


@pytest.mark.parametrize(
    ("file", "old", "new", "says"),
    [
        ("stations.csv", "16.3,15.2,13.4", "46.3,15.2,13.4", "is not under high"),
        ("covers.yaml", "light: [0.85, 0.9]", "light: [0.85, 9.0]", "between 0 and 1"),
        (
            "covers.yaml",
            "source: [mu-season-extension, psu-bosak-2020, garden",
            "source: [nobody, psu-bosak-2020, garden",
            "unknown source 'nobody'",
        ),
        ("scales.yaml", "max_c: -48.3", "max_c: -49.9", "begins at"),
        ("places.csv", "Asia/Dubai", "Asia/Nowhere", "cannot be 'Asia/Nowhere'"),
    ],
)
def test_what_has_no_meaning_is_found(copy: Path, file: str, old: str, new: str, says: str) -> None:
    spoil(copy / "climate" / file, old, new)
    assert any(says in str(fault) for fault in check(Facts(copy)))
