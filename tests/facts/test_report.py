"""The report counts by its stated rule."""

from __future__ import annotations

from pathlib import Path

from bot.facts import Facts
from bot.facts.cache import Cache
from bot.facts.report import report_text, shares, total
from tests.facts.conftest import edit


def test_figures_are_counted_by_how_they_are_known(folder: Path) -> None:
    facts = Facts(folder, cache=Cache(None))
    found = shares(facts, crops_only=True)
    assert dict(found["crop.spacing"].figures) == {"read": 2, "memory": 1}
    assert dict(found["crop.germination"].figures) == {"read": 3}
    assert dict(found["crop.hardiness"].figures) == {"read": 2}
    assert dict(found["crop.family"].words) == {"read": 2}
    assert total(found).read_share == 7 / 8


def test_a_block_without_a_read_source_has_no_read_figures(folder: Path) -> None:
    edit(folder, "source: [a-book, memory:old-notes]\n  memory: [between_rows_cm]", "source: [memory:old-notes]")
    found = shares(Facts(folder, cache=Cache(None)), crops_only=True)
    assert dict(found["crop.spacing"].figures) == {"memory": 3}


def test_computed_and_practice_are_kept_apart(folder: Path) -> None:
    edit(
        folder,
        "source: [a-book, memory:old-notes]\n  memory: [between_rows_cm]",
        "source: ['computed:sum', common-practice]\n  practice: [depth_cm]",
    )
    found = shares(Facts(folder, cache=Cache(None)), crops_only=True)
    assert dict(found["crop.spacing"].figures) == {"computed": 2, "practice": 1}


def test_settings_of_our_own_growth_model_are_no_published_figures(folder: Path) -> None:
    path = folder / "crops" / "leek.yaml"
    path.write_text(
        path.read_text(encoding="utf-8") + "growth:\n  base_c: 4\n  days_to_maturity: [120, 150]\n  source: [a-book]\n",
        encoding="utf-8",
    )
    found = shares(Facts(folder, cache=Cache(None)), crops_only=True)["crop.growth"]
    assert found.settings == 1
    assert dict(found.figures) == {"read": 1}


def test_at_least_seven_in_ten_crop_figures_were_read(facts: Facts) -> None:
    assert total(shares(facts, crops_only=True)).read_share >= READ_AIM


def test_the_report_names_every_block_and_the_whole(facts: Facts) -> None:
    text = report_text(facts)
    for block in (
        "crop.spacing",
        "crop.storage",
        "crop.seed_saving",
        "keeping.perennials",
        "all crop blocks",
        "everything",
    ):
        assert block in text
    assert text.startswith(f"{len(facts.written_crops)} crops")


#: The aim for the share of crop figures read in a publication.
READ_AIM = 0.7
