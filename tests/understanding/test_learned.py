"""What was learned from the phrases is shipped, and is of these phrases."""

from __future__ import annotations

from bot.facts import Facts
from bot.understanding import model
from bot.understanding.school import SHIPPED, _key


def test_the_shipped_model_is_of_the_shipped_phrases(facts: Facts) -> None:
    folder = facts.root / "phrases"
    assert model.load(folder / SHIPPED, _key(folder)) is not None, "run python -m bot.understanding.learn"
    assert model.load(folder / SHIPPED, "another key") is None
