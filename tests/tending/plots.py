"""A small plot for the tending tests: leeks and potatoes in the open, tomatoes under cover, one old sighting."""

from __future__ import annotations

from datetime import date, datetime

from bot.facts import Facts
from bot.handlers.context import Context
from bot.plot.events import Event
from bot.plot.state import Bed, Planting, Plot, PlotPlace, Settings
from bot.season import Forecast, season_for
from bot.wording import Wording

TERRACE = PlotPlace(45.05, 3.9, 880, "Europe/Paris")
HOBART = PlotPlace(-42.9, 147.3, 50, "Australia/Hobart")
OHIO = PlotPlace(40.0, -83.0, 250, "America/New_York")


def context(facts: Facts, *, day: date = date(2026, 6, 20), place: PlotPlace | None = TERRACE, units: str = "metric",
            words: str = "gb", forecast: Forecast | None = None, empty: bool = False) -> Context:
    """Return a context on a day and place."""
    beds = {"bed-1": Bed("bed-1", "Bed 1"), "tunnel": Bed("tunnel", "Tunnel", cover="polytunnel")}
    where = (("leek", "bed-1"), ("tomato", "tunnel"), ("potato", "bed-1"), ("kale", "bed-1"))
    standing = tuple(Planting(n, crop, bed=bed) for n, (crop, bed) in enumerate(where, 1))
    journal = (Event("pest_seen", date(2025, 6, 20), crop="leek", bed="bed-1", data={"pest": "leek-moth"}, seq=1),)
    settings = Settings(place=place, units=units, wording=words)
    plot = Plot("p", settings) if empty else Plot("p", settings, beds, standing, journal=journal)
    season = season_for(place, facts, settings, forecast) if place else None
    nine = datetime(day.year, day.month, day.day, 9)
    return Context(plot, facts, season, day, nine, "ines", Wording(units, words, facts))
