"""Places that many season tests stand in."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.plot.state import PlotPlace
from bot.season import Season, season_for

HILLS = PlotPlace(45.05, 3.90, 880, "Europe/Paris", "the hills")
TASMANIA = PlotPlace(-42.9, 147.3, 50, "Australia/Hobart", "Tasmania")
CANTERBURY = PlotPlace(-43.5, 172.6, 20, "Pacific/Auckland", "Canterbury")
ANDALUSIA = PlotPlace(37.4, -6.0, 20, "Europe/Madrid", "Andalusia")


@pytest.fixture
def hills(facts: Facts) -> Season:
    """Return the season of the demo plot's place."""
    return season_for(HILLS, facts)


@pytest.fixture
def canterbury(facts: Facts) -> Season:
    """Return the season of a southern place with frosts."""
    return season_for(CANTERBURY, facts)


@pytest.fixture
def andalusia(facts: Facts) -> Season:
    """Return the season of a place where frost is rare."""
    return season_for(ANDALUSIA, facts)
