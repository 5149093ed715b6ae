"""Call one handler with a plot made for the test, and read what it says."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from bot.facts import Facts
from bot.handlers import handler_for
from bot.handlers.context import Context
from bot.plot.state import Bed, Lot, Plot, PlotPlace, SeedLot, Settings
from bot.reply import Reply, plain_text
from bot.request import Request
from bot.wording import Wording

BEDS = {
    "bed-4": Bed("bed-4", "Bed 4", length_m=4.0, width_m=1.2),
    "wall-bed": Bed("wall-bed", "Wall bed"),
}
SEEDS = (
    SeedLot(1, "parsnip", "White King", 2024),
    SeedLot(2, "tomato", None, 2024),
    SeedLot(3, "lettuce", None, 2025),
)
LOTS = (Lot(1, "apple", "stored", "kg", 10, 8, date(2026, 10, 1)),)


def context(
    facts: Facts,
    *,
    us: bool = False,
    lat: float | None = 45.0,
    today: date = date(2026, 11, 25),
    household: int = 2,
    empty: bool = False,
) -> Context:
    """Return a context without a season: these answers need none."""
    place = PlotPlace(lat, 3.9, 880.0) if lat is not None else None
    settings = Settings(place=place, household=household)
    plot = Plot("p", settings) if empty else Plot("p", settings, beds=BEDS, seeds=SEEDS, lots=LOTS)
    say = Wording("us" if us else "metric", "us" if us else "gb", facts)
    return Context(plot, facts, None, today, datetime(today.year, today.month, today.day, 9), "someone", say)


def answer(intent: str, ctx: Context, **fields: Any) -> Reply:
    """Answer one request."""
    reply = handler_for(intent)(Request(intent, **fields), ctx)
    assert reply.headline and len([reply.headline, *reply.lines]) <= 13
    assert "None" not in plain_text(reply)
    return reply


def text(reply: Reply) -> str:
    """Return everything a phone shows."""
    return plain_text(reply)
