"""Counting a store: what is really there wins over what the record thought."""

from __future__ import annotations

from bot.handlers.context import Context
from bot.handlers.store_finding import named_lots
from bot.plot.events import NewEvent
from bot.preserving.ledger import amount_said, count_to, lot_name
from bot.preserving.matching import find, words_of
from bot.reply import Reply, ask
from bot.request import Request


def stock_take(request: Request, ctx: Context) -> Reply:
    """Set what is really there of one store: the oldest lot is taken to have gone first."""
    text = words_of(request)
    words = ctx.facts.preserving.words
    lots = named_lots(request, ctx, text)
    if not lots:
        return Reply(
            "I have none of that down in the stores, so there is nothing to set.",
            lines=(f"Tell me what was put away and when, for example: froze 4 bags of {ctx.say.bean} in {ctx.say.month(2 if ctx.season and ctx.season.southern else 8)}.",),
        )
    wanted = next((q for q in request.quantities if q.unit not in ("day", "c", "percent", "m", "m2")), None)
    if wanted is None and not find(text, words.emptied):
        return ask(
            f"How many {lots[0].unit}s of {lot_name(lots[0], ctx.say)} are there?", waiting=request, wants="quantity"
        )
    if wanted is not None and (wanted.value < 0 or wanted.value > 2000):
        return Reply(
            "That count can't be right, so I changed nothing.", lines=("Send it again with the right amount.",)
        )
    if wanted is not None and wanted.unit != "count":
        fits = [lot for lot in lots if lot.unit == wanted.unit]
        if not fits:
            return ask(
                f"They are down in {lots[0].unit}s. How many {lots[0].unit}s are there?",
                waiting=request.with_(quantities=()),
                wants="quantity",
            )
        lots = fits
    groups = list(dict.fromkeys((lot.crop, lot.product, lot.unit) for lot in lots))
    if len(groups) > 1:
        return ask(
            "Which of these did you count?",
            [
                (
                    lot_name(next(x for x in lots if (x.crop, x.product, x.unit) == g), ctx.say),
                    f"there are {amount_said(wanted.value if wanted else 0, g[2], ctx.say)} of "
                    f"{lot_name(next(x for x in lots if (x.crop, x.product, x.unit) == g), ctx.say)} left",
                )
                for g in groups[:6]
            ],
            waiting=request,
            wants="choice",
            lines=("Nothing is changed yet.",),
        )
    total = wanted.value if wanted is not None else 0.0
    before = sum(lot.left for lot in lots)
    first = lots[0]
    name = lot_name(first, ctx.say)
    if abs(before - total) < 1e-6:
        return Reply(f"That is what I have: {amount_said(total, first.unit, ctx.say)} of {name}.")
    event = NewEvent(
        "stock_set",
        ctx.today,
        crop=first.crop or None,
        amount=round(total, 4),
        unit=first.unit,
        words=request.text,
        data={"product": first.product, "lots": [list(x) for x in count_to(lots, total)]},
    )
    return Reply(
        f"Counted: {amount_said(total, first.unit, ctx.say)} of {name}, where I had "
        f"{amount_said(before, first.unit, ctx.say)}.",
        events=(event,),
        data={"stores": {"rows": [{"crop": first.crop, "product": first.product, "left": total, "unit": first.unit}]}},
    )
