"""Find the lots a message about the stores means."""

from __future__ import annotations

from bot.handlers.context import Context
from bot.plot.state import Lot
from bot.preserving.ledger import matching, product_in
from bot.preserving.matching import find, plain
from bot.request import Request

#: Places things are kept besides those the record and the product table name.
_PLACES = frozenset(
    {
        "freezer",
        "fridge",
        "cellar",
        "cellar shelf",
        "shed",
        "larder",
        "pantry",
        "garage",
        "loft",
        "clamp",
        "sand box",
        "cupboard",
        "attic",
    }
)


def where_in(text: str, ctx: Context) -> str | None:
    """Return the store a message names: one the record already knows, or a common one."""
    known = {lot.where for lot in ctx.plot.lots if lot.where} | {life.where for life in ctx.facts.preserving.lives}
    named = [place for place in known | _PLACES if find(text, [place.lower()])]
    return max(named, key=len) if named else None


def named_lots(request: Request, ctx: Context, text: str) -> list[Lot]:
    """Return the lots in store that a message may mean, oldest first."""
    facts = ctx.facts.preserving
    crops = request.crops or request.crop_choices
    product = product_in(text, request.product, None, facts)
    where = where_in(plain(request.text), ctx)
    for by_product, by_where in ((product, where), (product, None), (None, where), (None, None)):
        found = matching(ctx.plot.lots, crops, by_product, by_where, None, facts)
        if found and (crops or product or where):
            return found
        if not crops and by_product is None:
            break
    return []
