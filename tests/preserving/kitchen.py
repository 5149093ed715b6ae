"""A kitchen for the tests: a plot of events at a height, asked directly, without understanding."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import Any

from bot.facts import Facts
from bot.handlers import handler_for
from bot.handlers.context import Context, Memory
from bot.plot.events import Event, NewEvent
from bot.plot.state import Plot, PlotPlace, Settings, fold
from bot.reply import Reply
from bot.request import Quantity, Request
from bot.wording import Wording

FACTS = Facts()


def settings(metres: float | None, units: str = "metric", words: str = "gb", **more: Any) -> Settings:
    """Return settings of a plot at a height; None leaves the place unknown."""
    place = None if metres is None else PlotPlace(45.05, 3.90, metres, "Europe/Paris")
    return Settings(place=place, units=units, wording=words, **more)


def quantity(pair: Any) -> tuple[Quantity, ...]:
    """Return [value, unit] as quantities."""
    return () if pair is None else (Quantity(float(pair[0]), pair[1], f"{pair[0]} {pair[1]}"),)


class Kitchen:
    """A plot record that handlers are asked about; what a reply records is appended."""

    def __init__(
        self,
        metres: float | None = 880,
        today: date = date(2026, 9, 1),
        units: str = "metric",
        words: str = "gb",
        **more: Any,
    ) -> None:
        self.today = today
        self.settings = settings(metres, units, words, **more)
        self.say = Wording(units, words, FACTS)
        self.events: list[Event] = []
        self.reply: Reply | None = None
        self.now = datetime(2026, 9, 1, 18, 0)

    @property
    def plot(self) -> Plot:
        """Return the plot as its events leave it."""
        return replace(fold("p", tuple(self.events)), settings=self.settings)

    def record(self, *new: NewEvent) -> None:
        """Append events, each its own message."""
        for event in new:
            seq = len(self.events) + 1
            self.events.append(
                Event(
                    kind=event.kind,
                    day=event.day,
                    crop=event.crop,
                    variety=event.variety,
                    bed=event.bed,
                    amount=event.amount,
                    unit=event.unit,
                    words=event.words,
                    refs=event.refs,
                    data=event.data,
                    seq=seq,
                    at=self.now,
                    author="a",
                    message=f"m{seq}",
                )
            )

    def ask(self, intent: str, text: str, *crops: str, qty: Any = None, **fields: Any) -> Reply:
        """Ask a handler, record what it wants recorded, and return its reply."""
        request = Request(intent, text=text, crops=crops, quantities=fields.pop("quantities", quantity(qty)), **fields)
        context = Context(
            plot=self.plot,
            facts=FACTS,
            season=None,
            today=self.today,
            now=self.now,
            author="a",
            say=self.say,
            memory=Memory(reply=self.reply),
        )
        self.reply = handler_for(intent)(request, context)
        self.record(*self.reply.events)
        return self.reply
