"""Whether what is in store lasts: by the pace it has been taken at, and by how long it keeps."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from bot.handlers.context import Context
from bot.handlers.growing_words import part
from bot.plot.state import Lot
from bot.preserving.ledger import amount_said, lot_name
from bot.request import Request
from bot.wording import capital

_WEEK, _MONTH = 7, 30.4
#: A store younger than this many days tells no pace.
_YOUNG_DAYS = 14


def how_long_left(group: Sequence[Lot], request: Request, ctx: Context) -> list[str]:
    """Answer whether one kind of store lasts till a day, or how long it will: the answer first, then what it rests on."""
    left, unit = sum(lot.left for lot in group), group[0].unit
    name, have = lot_name(group[0], ctx.say), amount_said(sum(lot.left for lot in group), group[0].unit, ctx.say)
    till = request.when.start if request.when is not None and request.when.start > ctx.today else None
    weekly = _said_pace(request, unit) or _a_week(group, ctx.today)
    keeps = max((lot.best_before for lot in group if lot.best_before), default=None)
    lines = []
    spoils = keeps is not None and till is not None and keeps < till
    if weekly:
        out = ctx.today + timedelta(days=round(left / weekly * _WEEK))
        gone = f"would be gone by about {part(out, ctx)}"
        if keeps is not None and out > keeps:
            gone = f"would outlast their keeping, which ends about {part(keeps, ctx)}"
        pace = f"at about {_pace(weekly, unit, ctx)}, the {have} {gone}"
        head = f"{'' if till is None else 'Yes: ' if out >= till and not spoils else 'Not quite: '}{pace if till else capital(pace)}."
    elif till is not None:
        weeks = max(1.0, (till - ctx.today).days / _WEEK)
        share = _pace(left / weeks, unit, ctx)
        head = f"The {have} of {name} make about {share} till {ctx.say.day(till, ctx.today)}: enough if you eat no more."
        lines.append("None is down as taken yet, so I can't tell your pace.")
    else:
        head = f"There {'is' if left == 1 else 'are'} {have} of {name}; none is down as taken yet, so I can't tell how long they will last."
    if keeps is not None and spoils and not weekly:
        lines.append(f"They keep only till about {ctx.say.month(keeps.month)}, so eat or use them sooner.")
    return [head, *lines]


def _said_pace(request: Request, unit: str) -> float | None:
    """Return how much a week a message says is taken: "if we eat 1 kg a week"."""
    amount, days = request.amount(unit), request.amount("day")
    return amount.value / days.value * _WEEK if amount is not None and days is not None and amount.value > 0 < days.value else None


def _pace(weekly: float, unit: str, ctx: Context) -> str:
    """Say an amount a week, or a month where a week takes less than one of a counted thing."""
    if unit == "kg" or weekly >= 1:
        return f"{amount_said(round(weekly, 1), unit, ctx.say)} a week"
    return f"{amount_said(max(1, round(weekly * _MONTH / _WEEK)), unit, ctx.say)} a month"


def _a_week(group: Sequence[Lot], today: date) -> float | None:
    """Return how much of a store was taken each week since it was made; None where nothing was, or it is new."""
    taken = sum((lot.made_count or lot.left) - lot.left for lot in group)
    days = max((today - lot.made).days for lot in group)
    return taken / days * _WEEK if taken > 0 and days >= _YOUNG_DAYS else None
