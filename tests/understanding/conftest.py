"""One reader for all tests here: it is built once and has no state of its own."""

from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.handlers.context import Memory
from bot.understanding import PlotNames, Reading, Understander
from tests.language.rows import DEMO

TODAY = date(2026, 6, 17)


@pytest.fixture(scope="session")
def reader() -> Understander:
    """Return a reader over the shipped knowledge."""
    return Understander(Facts())


@pytest.fixture
def read(reader: Understander):
    """Return a function that reads one message on the demo plot."""

    def run(text: str, memory: Memory | None = None, region: str = "GB", names: PlotNames = DEMO,
            today: date = TODAY) -> Reading:
        return reader.read(text, names, memory or Memory(), today, region)

    return run


@pytest.fixture
def one(read):
    """Return a function that reads a message of one request."""

    def run(text: str, **kwargs):
        reading = read(text, **kwargs)
        assert len(reading.requests) == 1, f"{text!r} read as {[r.intent for r in reading.requests]}"
        return reading.requests[0]

    return run
