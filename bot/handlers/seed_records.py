"""Writing down seed that comes into the tin, bought, given or saved, and seed that is used up."""

from __future__ import annotations

import re

from bot.handlers.checking import Doing, crops_of, day_of
from bot.handlers.context import Context
from bot.keeping.seedage import judge
from bot.plot.events import NewEvent
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, number, plural

_YEAR = re.compile(r"\b(?:from|of|packed(?: in| for)?|dated)?\s*((?:19|20)\d\d)\b")
_UNITS = {"count": "seed", "packet": "packet", "kg": "kg"}
_SAID = {"good": "It should be good", "last": "It is in the last year of its usual life",
         "test": "It is past its usual life: test a few", "spent": "It is long past its life: sow thickly"}


def seed_record(request: Request, ctx: Context) -> Reply | None:
    """Return the record of seed that came into the tin, or None when the message tells of none."""
    text, asks = request.text, ctx.facts.asking.keeping
    if not asks.seed.search(text) or not asks.got.search(text) or asks.eaten.search(text):
        return None
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    crops = crops_of(request, ctx, Doing("bought seed of", "Put in the tin", "in"))
    if isinstance(crops, Reply) or not crops:
        return crops if isinstance(crops, Reply) else None
    saved = asks.saved.search(text) is not None
    written = _YEAR.search(text)
    year = int(written[1]) if written and int(written[1]) <= ctx.today.year else day.year
    amount = next((q for q in request.quantities if q.unit in _UNITS and q.value != year), None)
    if amount is not None and amount.value <= 0:
        return Reply(f"{amount.words} can't be right, so I recorded nothing.",
                     lines=("Send it again with the right amount.",))
    data: dict[str, object] = {"year": year, **({"source": "saved"} if saved else {})}
    events = tuple(
        NewEvent("seed_added", day, crop=crop, variety=request.variety, amount=amount.value if amount else None,
                 unit=_UNITS[amount.unit] if amount else None, words=text, data=data)
        for crop in crops)
    unit = _UNITS[amount.unit] if amount else ""
    much = "" if amount is None else ctx.say.mass(amount.value) if unit == "kg" else plural(amount.value, unit)
    name = ctx.say.crop(crops[0], 1) + (f" ({request.variety})" if request.variety else "")
    seed = f"{much} of {name}" if unit == "packet" else f"{much.split(' ')[0]} {name} seeds" if much else f"{name} seed"
    head = f"Put in the seed tin: {seed}, {'saved' if saved else 'of'} {year}."
    known = ctx.facts.crops.get(crops[0])
    age = judge(known, year, ctx.today.year) if known and year < ctx.today.year else None
    lines = (f"{_SAID[age.verdict]}.",) if age and age.verdict in _SAID else ()
    return Reply(head, lines=lines, events=events,
                 choices=(Choice("How long it keeps", f"how long does {ctx.say.crop(crops[0], 1)} seed keep"),),
                 data={"log_preserve": {"rows": [event.as_json() for event in events]}})


def seed_taken(request: Request, ctx: Context) -> Reply | None:
    """Return the record of seed taken from the tin, the oldest first; None when the message tells of none that is there."""
    asks = ctx.facts.asking.keeping
    crops = request.crops if asks.all_gone.search(request.text) else request.crops[:1]
    lots = sorted((lot for lot in ctx.plot.seeds if not lot.used_up and lot.crop in crops and request.variety in (None, lot.variety)),
                  key=lambda lot: lot.year or 0)
    if not asks.seed.search(request.text) or not lots:
        return None
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    amount = next((q for q in request.quantities if q.unit in _UNITS), None)
    if asks.all_gone.search(request.text):
        taken: list[tuple[int, float | None]] = [(lot.id, None) for lot in lots]
    elif amount is not None and amount.value > 0:
        taken, wanted = [], amount.value
        for lot in (lot for lot in lots if lot.amount and lot.unit == _UNITS[amount.unit]):
            take = min(wanted, lot.amount or 0.0)
            taken, wanted = [*taken, (lot.id, take)] if take > 0 else taken, wanted - take
        if wanted > 0:
            return Reply(f"There is not so much {ctx.say.crop(lots[0].crop, 1)} seed down in the tin, so I recorded nothing.",
                         lines=(f'If it is all gone, say "used the last of the {ctx.say.crop(lots[0].crop, 1)} seed".',))
    else:
        return None
    spent = dict(taken)
    left = sum((lot.amount or 0.0) - (spent.get(lot.id) or 0.0) for lot in lots if spent.get(lot.id, 0.0) is not None)
    name = f"{listing([ctx.say.crop(crop, 1) for crop in dict.fromkeys(lot.crop for lot in lots)])} seed"
    unit = lots[0].unit or "seed"
    much = f"{number(amount.value, 0.5)} {plural(amount.value, unit).split(' ')[-1]} of {name}" if amount and left > 0 else ""
    head = f"Used {much}; {plural(left, unit)} left." if much else f"{capital(name)}: noted as all used."
    kinds = {lot.id: lot.crop for lot in lots}
    events = tuple(NewEvent("seed_used", day, crop=crop, words=request.text, data={"seeds": [list(pair) for pair in taken if kinds[pair[0]] == crop]})
                   for crop in dict.fromkeys(kinds[pair[0]] for pair in taken))
    return Reply(head, events=events, choices=(Choice("What seed do I need", "what seed do I need to order", "seed_order"),),
                 data={"log_use": {"rows": [event.as_json() for event in events]}})
