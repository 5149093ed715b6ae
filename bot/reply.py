"""The shape that carries an answer from a handler to a channel."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from bot.plot.events import NewEvent
from bot.request import Request


@dataclass(frozen=True, slots=True)
class Choice:
    """A short follow-up offered as a button or a number: what it shows, and what it says when taken.

    `asks` is the intent it asks for, where its message may well ask for that itself; it is then left out.
    """

    label: str
    says: str
    asks: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A small table: a heading row and rows of text, all the same length."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Reply:
    """One answer.

    `headline` is the answer itself, readable alone. `lines` are what a phone shows below it,
    `more` what waits behind "more", `working` the numbers behind "why?". `sources` are source
    ids. `events` are to be recorded when the turn commits. `waiting` is a request that lacks one
    thing (`wants`: crop, bed, quantity, when, place, jar, choice …), to be completed by the next message.
    `data` holds the figures for scripts, SI units. `draw` makes a picture (PNG bytes) when the channel
    can show one. `effects` are what the caller must do besides recording: "erase" (delete the plot),
    "export" (hand over the record), "invite" (make an invitation code and say it).
    """

    headline: str
    lines: tuple[str, ...] = ()
    table: Table | None = None
    cautions: tuple[str, ...] = ()
    working: tuple[str, ...] = ()
    more: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    picture: Path | None = None
    files: tuple[Path, ...] = ()
    events: tuple[NewEvent, ...] = ()
    waiting: Request | None = None
    wants: str | None = None
    effects: tuple[str, ...] = ()
    draw: Callable[[], bytes] | None = None
    data: dict[str, Any] = field(default_factory=dict)

    def with_(self, **changes: Any) -> Reply:
        """Return a copy with some fields changed."""
        return replace(self, **changes)


def ask(question: str, choices: Sequence[tuple[str, str]] = (), *, waiting: Request | None = None,
        wants: str | None = None, lines: Sequence[str] = ()) -> Reply:
    """Build a reply that asks one short question, with (label, says) choices.

    >>> ask("Which bed?", [("Bed 4", "bed 4")]).choices[0].says
    'bed 4'
    """
    return Reply(
        headline=question,
        lines=tuple(lines),
        choices=tuple(Choice(label, says) for label, says in choices),
        waiting=waiting,
        wants=wants,
    )


def plain_text(reply: Reply) -> str:
    """Render a reply as plain text: headline, lines, table, cautions."""
    parts = [reply.headline, *reply.lines]
    if reply.table:
        parts += table_lines(reply.table)
    parts += [f"Caution: {text}" for text in reply.cautions]
    if reply.more:
        parts.append('(Say "more" for the rest.)')
    return "\n".join(part for part in parts if part)


def table_lines(table: Table) -> list[str]:
    """Lay a table out in columns of plain text."""
    rows = [table.head, *table.rows] if any(table.head) else list(table.rows)
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))] if rows else []
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
