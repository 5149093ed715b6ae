"""What was put up, used and finished: the stores looked back on."""

from __future__ import annotations

from collections import defaultdict

from bot.handlers.context import Context
from bot.handlers.harvest_sums import crops_asked, span_said, within
from bot.handlers.telling import sentence, told
from bot.preserving.ledger import amount_said, kept_name, lot_name
from bot.preserving.matching import find
from bot.reply import Reply
from bot.request import Request
from bot.wording import listing

_ROWS = 9


def stores_past(request: Request, ctx: Context) -> Reply:
    """Add up what was put up or used in a span, or name what is finished."""
    words = ctx.facts.asking.records
    if words.gone.search(request.text):
        return _finished(ctx)
    kind, verb = ("used", "used") if words.used.search(request.text) else ("preserved", "put up")
    text = request.text.lower()
    # "how much jam did we make", after talk of beans, is of every jam.
    crops = () if request.product and "crops" in request.inherited else crops_asked(request)
    product = request.product or ("frozen" if find(text, ["freeze", "froze", "frozen"]) else None)
    found = [
        e
        for e in ctx.plot.journal
        if e.kind == kind
        and (not crops or e.crop in crops)
        and (product is None or e.data.get("product") == product)
        and within(e.day, request)
    ]
    span = span_said(request, ctx)
    data = {"history": {"rows": [e.as_json() for e in found]}}
    if not found:
        name = listing([ctx.say.crop(crop) for crop in crops[:2]], "or") or product or "anything"
        return Reply(f"I have no record of {name} {verb}{span}.", data=data)
    sums: dict[str, float] = defaultdict(float)
    for e in found:
        if e.amount:
            sums[e.unit or "count"] += e.amount
    total = listing(
        [
            amount_said(amount, unit, ctx.say) + " by the piece" * (unit == "count" and len(sums) > 1)
            for unit, amount in sums.items()
        ]
    )
    lines = [sentence(told(e, ctx)) for e in found[::-1]]
    if len({(e.crop, e.data.get("product")) for e in found}) == 1:
        what = kept_name(found[0].crop, str(found[0].data.get("product") or ""), ctx.say).strip()
        head = f"{total} of {what} {verb}{span}." if total else f"{what} {verb}{span}."
    else:
        head = f"{total} {verb}{span or ' in all'}."
    return Reply(sentence(head), lines=tuple(lines[:_ROWS]), more=tuple(lines[_ROWS:29]), data=data)


def _finished(ctx: Context) -> Reply:
    left = {(lot.crop, lot.product) for lot in ctx.plot.lots if lot.left > 0}
    gone = {
        (lot.crop, lot.product): lot
        for lot in sorted(ctx.plot.lots, key=lambda lot: lot.made)
        if (lot.crop, lot.product) not in left
    }
    if not gone:
        return Reply("Nothing has run out, of what I was told of.", data={"stores": {"rows": []}})
    last = sorted(gone.values(), key=lambda lot: lot.made, reverse=True)
    names = [lot_name(lot, ctx.say) for lot in last]
    lines = [
        sentence(
            f"{lot_name(lot, ctx.say)}: {amount_said(lot.made_count, lot.unit, ctx.say)}, "
            f"put away {ctx.say.day(lot.made, ctx.today)}"
        )
        for lot in last
    ]
    return Reply(f"All gone: {listing(names[:6])}.", lines=tuple(lines[:_ROWS]), more=tuple(lines[_ROWS:]),
                 data={"stores": {"rows": [lot.id for lot in last]}})
