"""A danger named in passing is cautioned, and ordinary talk is not."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from bot.facts.paths import shipped
from bot.handlers.dangers import danger_in
from bot.preserving.alarm import alarm

CASES: dict[str, list[str]] = yaml.safe_load((Path(__file__).parent / "dangers.yaml").read_text(encoding="utf-8"))
NAMED = [(hazard, text) for hazard, texts in CASES.items() if hazard != "none" for text in texts]
ROOT = shipped("knowledge")


@pytest.mark.parametrize("hazard,text", NAMED, ids=lambda v: v[:45])
def test_a_hazard_is_heard(hazard: str, text: str) -> None:
    row = danger_in(text, ROOT)
    assert row is not None and row.id == hazard


@pytest.mark.parametrize("text", CASES["none"], ids=lambda v: v[:45])
def test_ordinary_talk_names_none_and_raises_no_alarm(text: str) -> None:
    assert danger_in(text, ROOT) is None
    assert alarm(text) is None
