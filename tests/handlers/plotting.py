"""A plot to try handlers on: the demo's, or an empty one, with the events a reply records folded in."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time
from functools import cache
from typing import Any

from bot.facts import Facts
from bot.handlers import handler_for
from bot.handlers.context import Context, Memory
from bot.plot.demo import demo_events
from bot.plot.events import Event, NewEvent
from bot.plot.folding import fold_events
from bot.plot.state import Plot
from bot.reply import Reply
from bot.request import Quantity, Request, When
from bot.wording import Wording

TODAY = date(2026, 9, 25)


@cache
def _demo(day: date) -> tuple[Event, ...]:
    return demo_events(day)


@cache
def _facts() -> Facts:
    return Facts()


class Garden:
    """Ask handlers by hand-made requests, recording what they say to record."""

    def __init__(
        self,
        today: date = TODAY,
        *,
        empty: bool = False,
        units: str = "metric",
        words: str = "gb",
        author: str = "ines",
    ) -> None:
        self.today = today
        self.author = author
        self.units, self.words = units, words
        self.events: list[Event] = [] if empty else list(_demo(today))
        self.memory = Memory()
        self._messages = 0

    @property
    def plot(self) -> Plot:
        """Return the plot as it stands, said in this garden's units."""
        plot = fold_events("garden", self.events)
        return replace(plot, settings=replace(plot.settings, units=self.units, wording=self.words))

    def tell(self, intent: str, text: str = "", **fields: Any) -> Reply:
        """Send one request and record its events as one message."""
        request = Request(intent, text=text or intent, **fields)
        now = datetime.combine(self.today, time(12), UTC)
        ctx = Context(
            plot=self.plot,
            facts=_facts(),
            season=None,
            today=self.today,
            now=now,
            author=self.author,
            say=Wording(self.units, self.words, _facts()),
            memory=self.memory,
        )
        reply = handler_for(intent)(request, ctx)
        self._messages += 1
        self.record(*reply.events)
        self.memory = Memory(requests=(*self.memory.requests, request), reply=reply)
        assert reply.headline and "!" not in reply.headline and "\n" not in reply.headline
        assert 1 + len(reply.lines) <= 12, "a reply fits a phone"
        return reply

    def record(self, *new: NewEvent, author: str | None = None) -> None:
        """Record events as one message."""
        self._messages += 1
        for event in new:
            values = {name: getattr(event, name) for name in NewEvent.__dataclass_fields__}
            self.events.append(
                Event(
                    **values,
                    seq=len(self.events) + 1,
                    author=author or self.author,
                    message=f"msg-{self._messages}",
                    at=datetime.combine(self.today, time(12), UTC),
                )
            )


def kg(value: float, words: str = "") -> tuple[Quantity, ...]:
    """Return one weight."""
    return (Quantity(value, "kg", words or f"{value:g} kg"),)


def n(value: float, unit: str = "count", words: str = "") -> tuple[Quantity, ...]:
    """Return one counted amount."""
    return (Quantity(value, unit, words or f"{value:g}"),)


def on(day: date, end: date | None = None, words: str = "") -> When:
    """Return a day or span as a message names it."""
    return When(day, end or day, words)


def says(reply: Reply) -> list[str]:
    """Return what the choices of a reply say."""
    return [choice.says for choice in reply.choices]
