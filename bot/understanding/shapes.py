"""The shapes that cross the border of understanding."""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.reply import Reply
from bot.request import Request


@dataclass(frozen=True)
class PlotNames:
    """The names a message to a plot may use.

    `beds` maps bed id to (name, *nicknames); `standing` are the crops on the plot, `stored` those in its stores,
    `growing` the crops of each bed where known, which settles what "the beans" of a bed are.
    """

    beds: dict[str, tuple[str, ...]] = field(default_factory=dict)
    standing: tuple[str, ...] = ()
    stores: tuple[str, ...] = ()
    stored: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    growing: dict[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Reading:
    """What a message was understood as. `asked` is a question back when unsure; then no request is acted on, and `unsure` is the likeliest.

    `hurts` names the answer that a danger in the message needs, as "alarm:poison", empty where nothing in it can hurt; `surely` where it is that danger and no other.
    """

    requests: tuple[Request, ...]
    asked: Reply | None = None
    unsure: Request | None = None
    explain: tuple[str, ...] = ()
    hurts: str = ""
    surely: bool = False
