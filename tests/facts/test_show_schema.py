"""Cards, schemas for editors and the commands around them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from bot.facts import Facts
from bot.facts.commands import check_command, show_command
from bot.facts.schema import export_schema, schemas, text_of
from bot.facts.show import show_text
from tests.facts.conftest import edit


def test_a_crop_card_reads_well_and_names_its_sources(facts: Facts) -> None:
    card = show_text(facts, "leek")
    assert card is not None
    assert card.splitlines()[0].startswith("leek: Allium")
    for piece in ("in row: 15 to 30 cm", "between rows: 30 to 38 cm", "(recalled)", "sources", "nsalg-leek:"):
        assert piece in card
    assert "None" not in card and "Span" not in card and "(15.0" not in card


@pytest.mark.parametrize("wanted", ["courgette", "zucchini", "Zucchini", "courgettes"])
def test_a_crop_can_be_asked_for_by_its_names(facts: Facts, wanted: str) -> None:
    card = show_text(facts, wanted)
    assert card is not None and "Cucurbita pepo" in card


@pytest.mark.parametrize(
    ("wanted", "piece"),
    [
        ("rhubarb-divide", "divide"),
        ("chitting", "seed potatoes"),
        ("soft-fruit", "raspberry"),
        ("cfr-201-31", "Federal"),
        ("germination-test", "damp paper"),
    ],
)
def test_any_row_and_source_can_be_shown(facts: Facts, wanted: str, piece: str) -> None:
    card = show_text(facts, wanted)
    assert card is not None and piece in card


def test_an_unknown_id_names_its_neighbours(facts: Facts) -> None:
    text, status = show_command("courget", facts)
    assert status == 2
    assert "courgette" in text


def test_every_crop_has_a_card(facts: Facts) -> None:
    for crop_id, crop in facts.crops.items():
        card = show_text(facts, crop_id)
        assert card is not None and crop.botanical in card.splitlines()[0]


def test_the_kept_schemas_are_current(facts: Facts) -> None:
    kept = {path.name: path.read_text(encoding="utf-8") for path in (facts.root / "schema").glob("*.json")}
    made = {name: text_of(schema) for name, schema in schemas().items()}
    assert kept.keys() == made.keys(), "run `riddle knowledge schema knowledge/schema`"
    assert [name for name in made if made[name] != kept[name]] == [], "run `riddle knowledge schema knowledge/schema`"


def test_export_writes_json_and_clears_old_files(tmp_path: Path) -> None:
    (tmp_path / "stale.json").write_text("{}", encoding="utf-8")
    written = export_schema(tmp_path)
    assert "crop.json" in {path.name for path in written}
    assert not (tmp_path / "stale.json").exists()
    crop = json.loads((tmp_path / "crop.json").read_text(encoding="utf-8"))
    assert crop["$defs"]["Spacing"]["additionalProperties"] is False


def test_the_shipped_knowledge_is_sound() -> None:
    text, status = check_command()
    assert (text.splitlines()[-1][:9], status) == ("The knowl", 0), text


def test_the_check_fails_with_a_count(folder: Path) -> None:
    edit(folder, "kill_c: -11", "kill_c: -3")
    text, status = check_command(folder)
    assert status == 2
    assert "crops/leek.yaml:27" in text
    assert "Each line names the file" in text.splitlines()[-1]
