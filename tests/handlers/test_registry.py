"""Every intent has one handler, found without importing the others."""

from __future__ import annotations

import importlib
import pkgutil

import bot.handlers
from bot.handlers import _modules, registry


def test_reading_the_decorations_finds_what_importing_finds() -> None:
    for module in pkgutil.iter_modules(bot.handlers.__path__):
        importlib.import_module(f"bot.handlers.{module.name}")
    assert set(registry()) == set(_modules()) == set(bot.handlers._REGISTRY)


def test_every_intent_of_the_phrases_has_a_handler_and_the_reverse(facts) -> None:  # type: ignore[no-untyped-def]
    phrases = {path.stem for path in (facts.root / "phrases" / "intents").glob("*.yaml")}
    assert phrases == set(registry())
