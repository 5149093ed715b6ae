"""What a handler is given besides the request."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

from bot.plot.state import Plot
from bot.reply import Reply, ask
from bot.request import Request
from bot.wording import Wording

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.season import Season


@dataclass(frozen=True)
class Memory:
    """What earlier turns of this person's conversation left behind, newest last."""

    requests: tuple[Request, ...] = ()
    reply: Reply | None = None
    shown: tuple[str, ...] = ()  # choice texts on offer
    at: datetime | None = None


@dataclass(frozen=True)
class Context:
    """Plot, facts, season, day and manner of speaking. Everything is read-only.

    `season` is None when the plot has no place yet; `today` is the plot's local day.
    """

    plot: Plot
    facts: Facts
    season: Season | None
    today: date
    now: datetime
    author: str
    say: Wording
    memory: Memory = field(default_factory=Memory)


def ask_place(request: Request) -> Reply:
    """Ask where the plot is: the reply of every handler that needs a season and has none."""
    return ask(
        "Where is your plot?",
        waiting=request,
        wants="place",
        lines=("Send a location, type a town, or give coordinates such as 45.05, 3.90.",),
    )
