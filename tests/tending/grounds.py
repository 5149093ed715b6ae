"""A plot, its facts and its season for the ground tests, without the conversation around them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from bot.facts import Facts
from bot.handlers import handler_for
from bot.handlers.context import Context
from bot.plot.demo import demo_events
from bot.plot.events import NewEvent
from bot.plot.state import Plot, PlotPlace, fold
from bot.reply import Reply
from bot.request import Request
from bot.season import Forecast, season_for
from bot.wording import Wording

TERRACE = (45.05, 3.9, 880.0)
HOBART = (-42.9, 147.3, 50.0)


def context(
    facts: Facts,
    day: str = "2026-06-17",
    *,
    at: tuple[float, float, float] | None = None,
    units: str = "metric",
    empty: bool = False,
    forecast: Forecast | None = None,
    place: bool = True,
    **settings: object,
) -> Context:
    """Return the demo plot (or an empty one) on a day, at its own place or another."""
    today = date.fromisoformat(day)
    plot = Plot() if empty else fold("demo", demo_events(today, southern=at is not None and at[0] < 0))
    where = PlotPlace(*(at or TERRACE), tz="Europe/Paris" if at is None else "UTC")
    plot = replace(plot, settings=replace(plot.settings, place=where if place else None, units=units, **settings))
    season = season_for(where, facts, plot.settings, forecast) if place else None
    words = "us" if units == "us" else "gb"
    return Context(
        plot,
        facts,
        season,
        today,
        datetime(today.year, today.month, today.day, 9, tzinfo=UTC),
        "ines",
        Wording(units, words, facts),
    )


def ask(intent: str, text: str, ctx: Context, **slots: object) -> Reply:
    """Return a handler's reply to a message."""
    return handler_for(intent)(Request(intent, text=text, **slots), ctx)


def after(ctx: Context, *events: NewEvent) -> Context:
    """Return the context with events recorded on top of the demo's."""
    from bot.plot.events import Event

    base = demo_events(ctx.today)
    more = [
        Event(
            e.kind,
            e.day,
            e.crop,
            e.variety,
            e.bed,
            e.amount,
            e.unit,
            e.words,
            e.refs,
            e.data,
            seq=base[-1].seq + n,
            author="ines",
        )
        for n, e in enumerate(events, 1)
    ]
    plot = fold("demo", (*base, *more))
    return replace(ctx, plot=replace(plot, settings=ctx.plot.settings))


def said(reply: Reply) -> str:
    """Return everything a phone shows of a reply, lower case."""
    return "\n".join((reply.headline, *reply.lines, *reply.cautions)).lower()
