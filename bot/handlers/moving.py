"""Plants told of where they stand: the same planting moved or counted, not a second one."""

from __future__ import annotations

import re
from datetime import date

from bot.handlers.checking import told_of
from bot.handlers.context import Context
from bot.handlers.naming import bed_said, said_of
from bot.handlers.telling import told
from bot.plot.events import Event, NewEvent
from bot.plot.living import corrected
from bot.plot.state import Planting
from bot.reply import Choice, Reply, ask
from bot.request import Quantity, Request
from bot.wording import capital, listing

#: Words of plants that change their place.
MOVED_SAID = re.compile(r"\b(?:moved?|shift(?:ed)?|transplanted|relocated|swapped)\b", re.IGNORECASE)
_STANDS = re.compile(r"\b(?:are|is|live|lives|stand|stands|sit|sits|still|have|has|got)\b|'s\b|'re\b|\bthere(?:'s| are| is)\b", re.IGNORECASE)
#: Plants told of as ones known, "the leeks are in bed 4": not "there are leeks", "I have leeks".
_KNOWN = re.compile(r"\b(?:now|these days|nowadays|the|my|our|those)\b(?!.*\b(?:too|also|as well)\b)", re.IGNORECASE)
_SOME = re.compile(r"\b(?:there(?:'s| are| is)|have|has|got)\b", re.IGNORECASE)
_NOW = re.compile(r"\b(?:now|these days|nowadays)\b", re.IGNORECASE)
#: A part of the plants, or others than those known: that is another planting.
_OTHERS = re.compile(r"\b(?:some|half|part|rest|few) of\b|\banother\b|\d+ of (?:the|my|those)\b|\bthe rest\b|\bmore\b|\bnew\b|\bplanted\b|\bsowed\b|\bput\b", re.IGNORECASE)


def same_plants(request: Request, ctx: Context, crop: str, bed: str, amount: Quantity | None, day: date, size: dict[str, float]) -> NewEvent | Reply | None:
    """Return the move of a planting on record, or what to say of one that stands in the bed already.

    None where the words tell of new plants, or no plants of the crop are on record. Plants in two beds are asked about.
    """
    moved = MOVED_SAID.search(request.text) is not None
    if _OTHERS.search(request.text) or not (moved or _STANDS.search(request.text)):
        return None
    known = [p for p in ctx.plot.standing(crop=crop) if p.bed and (p.began or day) <= day and request.variety in (None, p.variety)]
    here = [] if moved else [p for p in known if p.bed == bed]
    away = [p for p in known if p.bed != bed]
    away = [p for p in away if _left(p.bed or "", request.text, ctx)] or away
    if here and (not away or _SOME.search(request.text) or not _NOW.search(request.text)):
        return _counted(request, ctx, here[-1], amount, size)
    if len(away) == 1 and not here and (moved or (_NOW.search(request.text) and not _SOME.search(request.text))):
        data = {"planting": away[0].id, "from": away[0].bed, **size}
        return told_of("moved", request, day, crop, bed, amount, data)
    asked = moved or (_KNOWN.search(request.text) and not _SOME.search(request.text))
    return _which(request, ctx, crop, bed, amount, here, away) if away and asked else None


def _left(bed: str, text: str, ctx: Context) -> bool:
    """Tell whether a message names a bed as the one the plants left."""
    known = ctx.plot.beds.get(bed)
    names = (known.name, *known.nicknames) if known else (bed,)
    return any(re.search(rf"\b(?:from|out of|off) (?:the |my )?{re.escape(name)}\b", text, re.IGNORECASE) for name in names)


def _counted(request: Request, ctx: Context, planting: Planting, amount: Quantity | None, size: dict[str, float]) -> Reply:
    """Put the number told on the record of plants that stand there; say what it holds when none is told."""
    begun = _begun(planting, ctx)
    changes = {} if amount is None else {"amount": amount.value, "unit": amount.unit, "data": size}
    name = ctx.say.crop(planting.crop)
    if begun is None or amount is None or corrected(begun, changes) == begun:
        lines = (f"{capital(told(begun, ctx))}.",) if begun else ()
        return Reply(f"I have {name} down in {bed_said(planting.bed, ctx)} already, so I changed nothing.", lines=lines)
    event = NewEvent("corrected", ctx.today, words=request.text, refs=(begun.seq,), data={"changes": changes})
    return Reply(f"Changed to: {told(corrected(begun, changes), ctx)}. It said: {told(begun, ctx)}.", events=(event,),
                 choices=(Choice("Undo", "undo"),))


def _begun(planting: Planting, ctx: Context) -> Event | None:
    """Return the newest record of how many plants a planting has: its move, planting out or sowing."""
    def of_it(event: Event) -> bool:
        out = event.kind == "planted_out" and event.crop == planting.crop and (event.bed, event.day) == (planting.bed, planting.planted_out)
        return planting.id in (event.seq, event.data.get("planting")) or out

    return next((e for e in reversed(ctx.plot.events("sown", "planted_out", "moved")) if of_it(e)), None)


def _which(request: Request, ctx: Context, crop: str, bed: str, amount: Quantity | None, here: list[Planting], away: list[Planting]) -> Reply:
    """Ask which of the plantings on record is meant, or whether these are more."""
    name, what, into = ctx.say.crop(crop), said_of(amount, crop, ctx), bed_said(bed, ctx)
    beds = list(dict.fromkeys(p.bed for p in away if p.bed))
    offers = [(f"Moved from {bed_said(b, ctx)}", f"moved {what} from {bed_said(b, ctx)} to {into}") for b in beds[:3]]
    if here:
        offers.append((f"Those in {into}", f"there are {what} in {into}"))
    offers.append((f"More {name}", f"planted {what} in {into}"))
    where = listing([bed_said(b, ctx) for b in dict.fromkeys((*beds, *(p.bed for p in here)))])
    return ask(f"Are those {name} you told me of? I have them down in {where}.", offers, lines=("Nothing is recorded yet.",))
