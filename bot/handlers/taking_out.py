"""Writing down what comes out of the stores: the oldest lot first."""

from __future__ import annotations

from datetime import date

from bot.handlers import answers
from bot.handlers.checking import day_of
from bot.handlers.context import Context
from bot.handlers.seed_records import seed_taken
from bot.handlers.stock_taking import stock_take
from bot.handlers.store_finding import named_lots
from bot.plot.events import NewEvent
from bot.plot.state import Lot
from bot.preserving.ledger import (
    amount_said,
    kept_name,
    lot_name,
    matching,
    take,
)
from bot.preserving.matching import find, keep_words, words_of
from bot.reply import Choice, Reply, ask
from bot.request import Quantity, Request

#: Words that mean everything that is left.


@answers("log_use")
def log_use(request: Request, ctx: Context) -> Reply:
    """Record something taken from the stores: the oldest lot first; ask when there is not that much."""
    return keep_words(_taken_out(request, ctx))


def _taken_out(request: Request, ctx: Context) -> Reply:
    facts, text = ctx.facts.preserving, words_of(request)
    if find(text, facts.words.stocktake) and not find(text, facts.words.taken):
        return stock_take(request, ctx)
    seed = seed_taken(request, ctx)
    if seed is not None:
        return seed
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    if "crops" in request.inherited and not request.quantities and "log_harvest" in request.extra.get("beside", ()) and find(text, ("rest",)):
        return Reply("The rest was eaten fresh, so nothing is taken from the stores.", data={"log_use": {"rows": []}})
    lots = named_lots(request, ctx, text)
    if not lots:
        return _nothing_there(request, ctx, text)
    groups = list(dict.fromkeys((lot.crop, lot.product, lot.unit) for lot in lots))
    wanted = next((q for q in request.quantities if q.unit not in ("day", "c", "percent", "m", "m2")), None)
    if wanted is not None and wanted.value <= 0:
        return Reply(
            f"{wanted.words or amount_said(wanted.value, wanted.unit, ctx.say)} can't be right, so I recorded nothing.",
            lines=("Send it again with the right amount.",),
        )
    if len(groups) > 1:
        fits = [g for g in groups if wanted is not None and g[2] == wanted.unit]
        if len(fits) != 1:
            return _which_lot(request, ctx, lots, fits or groups, wanted)
        lots = [lot for lot in lots if (lot.crop, lot.product, lot.unit) == fits[0]]
    return _take_from(request, ctx, lots, wanted, day, text)


def _nothing_there(request: Request, ctx: Context, text: str) -> Reply:
    if request.unknown_crop and not request.crops:
        return ask(
            f"I don't know {request.unknown_crop}, so I recorded nothing. What did you take?",
            waiting=request,
            wants="crop",
        )
    if not request.crops and not request.crop_choices:
        shown = list(dict.fromkeys(lot_name(lot, ctx.say) for lot in matching(ctx.plot.lots)))[:5]
        return ask(
            "What did you take from the stores?",
            [(n[0].upper() + n[1:], f"used {n}") for n in shown],
            waiting=request,
            wants="crop",
        )
    crop = (request.crops or request.crop_choices)[0]
    name = ctx.say.crop(crop)
    choices = [Choice("What is in store", "what's in the stores", "stores")]
    if ctx.plot.standing(crop=crop):
        amount = f"{request.quantities[0].words} of " if request.quantities and request.quantities[0].unit != "count" else f"{request.quantities[0].value:g} " if request.quantities else ""
        choices.insert(0, Choice("They were fresh: note a picking", f"picked {amount}{name}"))
    return Reply(
        f"I have no {kept_name(crop, request.product, ctx.say) if request.product else name} down in the stores, so I recorded nothing.",
        lines=("If there were some, tell me first what was put away and when.",),
        choices=tuple(choices),
        data={"log_use": {"rows": []}},
    )


def _which_lot(
    request: Request, ctx: Context, lots: list[Lot], groups: list[tuple[str, str, str]], wanted: Quantity | None
) -> Reply:
    offers = []
    for crop, product, unit in groups[:6]:
        lot = next(x for x in lots if (x.crop, x.product, x.unit) == (crop, product, unit))
        amount = amount_said(wanted.value if wanted else 1, unit, ctx.say)
        left = sum(x.left for x in lots if (x.crop, x.product, x.unit) == (crop, product, unit))
        name = lot_name(lot, ctx.say)
        offers.append((f"{name[0].upper()}{name[1:]} ({amount_said(left, unit, ctx.say)})", f"used {amount} of {name}"))
    return ask("Which of these?", offers, waiting=request, wants="choice", lines=("Nothing is recorded yet.",))


def _take_from(request: Request, ctx: Context, lots: list[Lot], wanted: Quantity | None, day: date, text: str) -> Reply:
    unit, name = lots[0].unit, lot_name(lots[0], ctx.say)
    there = sum(lot.left for lot in lots)
    if find(text, ctx.facts.preserving.words.all_of_it) and (wanted is None or wanted.unit != unit or wanted.value >= there):
        amount = there
    elif wanted is None:
        return ask(
            f"How many {'kilos' if unit == 'kg' else unit + 's'} of {name}?",
            [
                (amount_said(n, unit, ctx.say), f"used {amount_said(n, unit, ctx.say)} of {name}")
                for n in (1, 2)
                if n <= there
            ],
            waiting=request,
            wants="quantity",
            lines=(f"There {'is' if there == 1 else 'are'} {amount_said(there, unit, ctx.say)}.",),
        )
    elif wanted.unit == unit:
        amount = wanted.value
    elif wanted.unit == "kg" and all(lot.kg and lot.made_count for lot in lots):
        each = sum(lot.kg or 0 for lot in lots) / sum(lot.made_count for lot in lots)
        amount = round(wanted.value / each * 2) / 2
    else:
        n = wanted.value
        return ask(
            f"They are down in {'kilos' if unit == 'kg' else f'{unit}s'}, {amount_said(there, unit, ctx.say)} in all. How many did you take?",
            [(amount_said(n, unit, ctx.say), f"used {amount_said(n, unit, ctx.say)} of {name}")] if n <= there else [],
            waiting=request.with_(quantities=()),
            wants="quantity",
            lines=("Nothing is recorded yet.",),
        )
    taken = take(lots, amount)
    if taken.short > 0:
        have = amount_said(there, unit, ctx.say)
        return ask(
            f"There {'is' if there == 1 else 'are'} only {have} of {name} down, not "
            f"{amount_said(amount, unit, ctx.say)}. Did you take {'it' if there == 1 else 'all of them'}?",
            [
                (f"Yes, all {have}", f"used {have} of {name}"),
                ("My count is wrong", "the count is wrong"),
            ],
            waiting=request.with_(quantities=()),
            wants="quantity",
            lines=("Nothing is recorded yet.",),
        )
    first = lots[0]
    event = NewEvent(
        "used",
        day,
        crop=first.crop or None,
        amount=round(amount, 4),
        unit=unit,
        words=request.text,
        data={
            "product": first.product,
            "lots": [list(x) for x in taken.lots],
            **({"where": first.where} if first.where else {}),
        },
    )
    left = there - amount
    tail = f"; {amount_said(left, unit, ctx.say)} left" if left > 1e-6 else "; that was the last"
    made = ", ".join(ctx.say.day(lot.made, ctx.today) for lot in lots if lot.id in dict(taken.lots))
    lines = [f"Oldest first: made {made}."] if len(lots) > 1 else []
    if left > 1e-6 and find(text, ("last",)):
        lines.insert(0, f'By my count it was not the last: say "used all the {name}" if the rest is gone too.')
    return Reply(
        f"Used {amount_said(amount, unit, ctx.say)}{'' if unit == 'count' else ' of'} {name}{tail}.",
        lines=tuple(lines),
        events=(event,),
        data={"log_use": {"rows": [event.as_json()], "left": round(left, 4), "unit": unit}},
    )
