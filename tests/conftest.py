"""What many tests need: the knowledge base read once, and the demo plot on a fixed day."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import date

import pytest
from hypothesis import HealthCheck, settings

from bot.app import Bot, open_bot
from bot.facts import Facts

settings.register_profile("suite", deadline=None, max_examples=60,
                          suppress_health_check=[HealthCheck.function_scoped_fixture])
settings.load_profile("suite")

DemoOn = Callable[..., Bot]


@pytest.fixture(scope="session")
def facts() -> Facts:
    """Return the shipped knowledge base."""
    return Facts()


@pytest.fixture
def demo_on() -> Iterator[DemoOn]:
    """Return a function that opens the demo plot on a day (and place, and units) as a throw-away copy."""
    with ExitStack() as stack:
        def opened(day: str = "2026-06-17", *, at: tuple[float, float, float | None] | None = None,
                   units: str | None = None) -> Bot:
            return stack.enter_context(open_bot(demo=True, today=date.fromisoformat(day), at=at, units=units))

        yield opened


@pytest.fixture(autouse=True)
def _no_users_own_settings(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Keep every test away from the settings, record and tokens of whoever runs it."""
    home = tmp_path_factory.getbasetemp() / "home"
    home.mkdir(exist_ok=True)
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "HOME"):
        monkeypatch.setenv(name, str(home))
    for name in list(os.environ):
        if name.startswith("RIDDLE_"):
            monkeypatch.delenv(name)
