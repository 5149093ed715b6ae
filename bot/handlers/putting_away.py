"""Writing down what goes into the stores: frozen, bottled, pickled, dried, put by."""

from __future__ import annotations

from datetime import date

from bot.handlers import answers
from bot.handlers.checking import Doing, amount_of, crops_of, day_of
from bot.handlers.context import Context
from bot.handlers.seed_records import seed_record
from bot.handlers.stock_taking import stock_take
from bot.handlers.store_finding import named_lots, where_in
from bot.plot.events import NewEvent
from bot.plot.state import Lot
from bot.preserving.canning import candidates
from bot.preserving.ledger import (
    amount_said,
    best_before,
    in_place,
    life_of,
    lot_name,
    matching,
    product_in,
)
from bot.preserving.matching import find, keep_words, plain, words_of
from bot.reply import Choice, Reply, ask
from bot.request import Quantity, Request

_CONTAINERS = (
    "bag",
    "jar",
    "tub",
    "bottle",
    "box",
    "punnet",
    "portion",
    "string",
    "packet",
    "tray",
    "bucket",
    "basket",
    "bunch",
    "head",
    "cob",
    "count",
    "kg",
    "l",
)


@answers("log_preserve")
def log_preserve(request: Request, ctx: Context) -> Reply:
    """Record something frozen, bottled, pickled, dried or put in store, with its best-before date."""
    seed = seed_record(request, ctx)
    return seed if seed is not None else keep_words(_put_away(request, ctx))


def _put_away(request: Request, ctx: Context) -> Reply:
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    facts, text = ctx.facts.preserving, words_of(request)
    if find(text, facts.words.counted) and named_lots(request, ctx, text):
        return stock_take(request, ctx)
    crops = crops_of(request, ctx, _doing(request, ctx, text), standing_first=True)
    if isinstance(crops, Reply):
        return crops
    containers = next(
        (q for q in request.quantities if q.unit in _CONTAINERS and q.unit not in ("kg", "l", "count")), None
    )
    checked = amount_of(request, ctx, ctx.say.crop(crops[0]) if crops else "that")
    if isinstance(checked, Reply):
        return checked
    amount = containers or checked
    product = product_in(text, request.product, amount.unit if amount else None, facts)
    if not crops:
        if product is None or life_of(product, facts) is None:
            return ask(
                "What did you put away?",
                waiting=request,
                wants="crop",
                lines=["For example: froze 4 bags of runner beans."],
            )
        way = {"frozen": "froze"}.get(product, product)
        kept = product in ("frozen", "bottled", "pickled", "dried", "fermented", "stored")
        what = f"What was it you {way}?" if kept else f"What is the {product} made of?"
        return ask(what, waiting=request, wants="crop")
    if product is None:
        name = ctx.say.crop(crops[0])
        said = checked.words if checked and checked.words else "some"
        return ask(
            f"How did you keep the {name}?",
            [
                ("Frozen", f"froze {said} of {name}"),
                ("Bottled", f"bottled {said} of {name}"),
                ("Pickled", f"pickled {said} of {name}"),
                ("In store", f"stored {said} of {name}"),
            ],
            waiting=request,
            wants="choice",
        )
    if amount is None:
        life = life_of(product, facts)
        unit = life.unit if life else "jar"
        return ask(
            f"How many {'kilos' if unit == 'kg' else unit + 's'} of {ctx.say.crop(crops[0])}?",
            waiting=request,
            wants="quantity",
            lines=("Nothing is recorded yet.",),
        )
    events = tuple(_preserved(request, ctx, crop, product, amount, day) for crop in crops)
    return _echo_preserved(request, ctx, events, product)


def _doing(request: Request, ctx: Context, text: str) -> Doing:
    """Return how this keeping is told again in a choice: 'froze 4 bags of …'."""
    product = product_in(text, request.product, None, ctx.facts.preserving)
    life = life_of(product, ctx.facts.preserving) if product else None
    return Doing(life.past if life else "put away", "Put away", "in")


def _preserved(request: Request, ctx: Context, crop: str, product: str, amount: Quantity, day: date) -> NewEvent:
    facts = ctx.facts.preserving
    weight = next((q for q in request.quantities if q.unit == "kg"), None)
    best, _ = best_before(crop, product, day, ctx.facts.crops, facts)
    life = life_of(product, facts)
    data: dict[str, object] = {"product": product}
    kg = weight.value if weight else None
    if kg is not None and amount.unit != "kg":
        data["kg"] = round(kg, 4)
    elif amount.unit == "kg":
        data["kg"] = round(amount.value, 4)
    data["where"] = where_in(plain(request.text), ctx) or (life.where if life else None)
    if request.method:
        data["method"] = request.method
    if best is not None:
        data["best_before"] = best.isoformat()
    return NewEvent(
        "preserved",
        day,
        crop=crop,
        variety=request.variety,
        amount=round(amount.value, 4),
        unit=amount.unit,
        words=request.text,
        data={k: v for k, v in data.items() if v is not None},
    )


def _echo_preserved(request: Request, ctx: Context, events: tuple[NewEvent, ...], product: str) -> Reply:
    first = events[0]
    lots = [as_lot(e) for e in events]
    said = " and ".join(f"{amount_said(lot.left, lot.unit, ctx.say)} {'' if lot.unit == 'count' else 'of '}{lot_name(lot, ctx.say)}" for lot in lots)
    where = in_place(lots[0].where)
    best = (
        f", best before {ctx.say.month(lots[0].best_before.month)} {lots[0].best_before.year}"
        if lots[0].best_before
        else ""
    )
    lines, cautions = [], []
    before = sum(
        lot.left
        for lot in matching(ctx.plot.lots, (first.crop or "",), product, None, first.unit, ctx.facts.preserving)
    )
    if before and len(events) == 1:
        lines.append(f"That makes {amount_said(before + (first.amount or 0), first.unit or '', ctx.say)} in all.")
    cautions += _making_cautions(first, product, request, ctx)
    choices = [
        Choice("Label", f"label for {lot_name(lots[0], ctx.say)}"),
        Choice("What is in store", "what's in the stores", "stores"),
    ]
    return Reply(
        f"Put away {said}{where}{best}.",
        lines=tuple(lines),
        cautions=tuple(cautions),
        events=events,
        choices=tuple(choices),
        sources=best_before(first.crop or "", product, first.day, ctx.facts.crops, ctx.facts.preserving)[1],
        data={"log_preserve": {"rows": [e.as_json() for e in events]}},
    )


def _making_cautions(event: NewEvent, product: str, request: Request, ctx: Context) -> list[str]:
    """Say what must be true of jars of low-acid food before they stand on a shelf, and where no tested recipe covers what is in them."""
    facts, text = ctx.facts.preserving, words_of(request)
    crop = event.crop or ""
    if product == "bottled" and crop in facts.words.low_acid:
        tested = any(p.acid in ("low", "jar") for p in candidates(crop, facts))
        if not tested:
            return [
                f"There is no tested way to {ctx.say.pick('bottle', 'can')} {ctx.say.crop(crop)}: "
                "keep these jars in the freezer or "
                "fridge, not on a shelf, and do not taste any that stood warm."
            ]
        if "pressure" not in text or find(text, facts.words.methods["boiling-water"]):
            return [
                "Low in acid: safe on a shelf only if done in a pressure canner for the tested time. If "
                "not, do not taste them: into the bin."
            ]
    life = life_of(product, facts)
    fruit = product == "jam" and crop in facts.words.high_acid
    untested = product == "bottled" and not candidates(crop, facts)
    if untested or life and life.kinds and not fruit and not any(p.kind in life.kinds for p in candidates(crop, facts)):
        lot = lot_name(as_lot(event), ctx.say)
        return [f"No tested recipe covers {lot}: keep it in the fridge and eat it within a month, or freeze it."]
    return []


def as_lot(event: NewEvent, lot_id: int = 0) -> Lot:
    """Return the lot a 'preserved' event makes, before it is recorded."""
    best = event.data.get("best_before")
    return Lot(
        id=lot_id,
        crop=event.crop or "",
        product=event.data.get("product", "stored"),
        unit=event.unit or "lot",
        made_count=event.amount or 1.0,
        left=event.amount or 1.0,
        made=event.day,
        kg=event.data.get("kg"),
        where=event.data.get("where"),
        best_before=date.fromisoformat(best) if best else None,
        method=event.data.get("method"),
    )
