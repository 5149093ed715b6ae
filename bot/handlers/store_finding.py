"""Find the lots a message about the stores means."""

from __future__ import annotations

from bot.handlers.context import Context
from bot.plot.state import Lot
from bot.preserving.ledger import matching, product_in
from bot.preserving.matching import find, plain
from bot.request import Request

#: Products that a made dish may be down as.
_PLAIN = ("stored", "frozen", "bottled")


def where_in(text: str, ctx: Context) -> str | None:
    """Return the store a message names: one the record already knows, or a common one.

    "The cellar" is the record's "cellar shelf" when it knows no other cellar.
    """
    known = {lot.where for lot in ctx.plot.lots if lot.where} | {life.where for life in ctx.facts.preserving.lives}
    named = [place for place in known.union(ctx.facts.preserving.words.places) if find(text, [place.lower()])]
    if not named:
        return None
    said = max(named, key=len)
    return said if said in known else next((place for place in sorted(known) if place.lower().startswith(said)), said)


def named_lots(request: Request, ctx: Context, text: str) -> list[Lot]:
    """Return the lots in store that a message may mean, oldest first."""
    facts = ctx.facts.preserving
    # "2 jars of chutney left" after talk of peas is of whatever chutney there is.
    crops = () if request.product and "crops" in request.inherited else request.crops or request.crop_choices
    product = product_in(text, request.product, None, facts)
    where = where_in(plain(request.text), ctx)
    if product == "stored" and where and not crops:
        # "in the cellar" is a place
        product = product_in(_without_place(plain(request.text), where), None, None, facts)
    for by_product, by_where in ((product, where), (product, None), (None, where), (None, None)):
        found = matching(ctx.plot.lots, crops, by_product, by_where, None, facts)
        if product and by_product is None and product not in _PLAIN:
            found = [lot for lot in found if lot.product in _PLAIN]  # passata is no tomato chutney, but may be down as bottled tomatoes
        if found and (crops or by_product or by_where):
            return found
    return []


def _without_place(text: str, where: str) -> str:
    """Return a plain text without the words of a place."""
    for word in where.lower().split():
        text = text.replace(word, " ")
    return text
