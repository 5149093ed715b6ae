"""Where something put up is kept, in the fridge or not, and how long it is good for, sealed and opened."""

from __future__ import annotations

from bot.facts.preserving import Life
from bot.handlers.context import Context
from bot.plot.state import Lot
from bot.preserving.canning import candidates
from bot.preserving.ledger import kept_name, life_of
from bot.preserving.matching import find, plain
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital


def asks_of_keeping(request: Request, ctx: Context) -> bool:
    """Tell whether a message asks where a jar is kept, how long an opened one is good for, or when it may be eaten."""
    words = ctx.facts.preserving.words
    return find(plain(request.text), (*words.kept_how, *words.once_opened, *words.when_ready)) is not None


def kept_jars(product: str, crop: str | None, lot: Lot | None, request: Request, ctx: Context) -> Reply | None:
    """Answer how a product is kept: opened, where, or until when, whichever is asked first; None where that is not known.

    `lot` is the one in store that is meant, if any.
    """
    facts, data = ctx.facts.preserving, {"crop": crop, "product": product, "lot": lot.id if lot else None}
    life = life_of(product, facts)
    if life is None or not life.keep:
        return None
    doubts = shelf_doubts(product, crop, plain(f"{request.text} {lot.method if lot else ''}"), ctx) if crop else []
    after = once_opened(life, crop, ctx)
    until = f"best before {lot.best_before:%B %Y}" if lot is not None and lot.best_before is not None else f"at its best for {life.months[0]:g} months"
    best = f"{capital(kept_name(crop, product, ctx.say))}: {until}{', unopened' if after else ''}."
    keep = f"{ctx.say.prose(life.keep)}."
    if life.ready and find(plain(request.text), facts.words.when_ready):
        lines = [f"{ctx.say.prose(life.ready)}.", best, after]
    elif after and of_an_opened_one(request, ctx):
        lines = [after, keep]
    elif find(plain(request.text), facts.words.kept_how):
        lines = [keep, after, best]
    else:
        lines = [best, keep, after]
    if doubts and not _tested(product, crop, ctx):  # no shelf is safe for it: that is the whole answer
        lines, doubts = doubts, []
    return Reply(lines[0], tuple(line for line in lines[1:] if line), cautions=tuple(doubts), sources=tuple(life.source),
                 choices=(Choice("What is in store", "what's in the stores"),) if lot is not None else (), data={"store": data})


def once_opened(life: Life, crop: str | None, ctx: Context) -> str:
    """Say how long an opened one keeps, and where: food low in acid, or of unknown kind, the shorter; '' where it is not known."""
    low = crop is None or crop in ctx.facts.preserving.words.low_acid
    said = life.opened_low if low and life.opened_low else life.opened
    return f"{ctx.say.prose(said)}." if said else ""


def of_an_opened_one(request: Request, ctx: Context) -> bool:
    """Tell whether an opened jar is asked of, in these words, beside them in the message or just before."""
    last = ctx.memory.requests[-1] if ctx.memory.requests else None
    before = last.text if last is not None and last.intent == "log_use" else ""
    said = plain(f"{before} {request.extra.get('message', '')} {request.text}")
    return find(said, ctx.facts.preserving.words.once_opened) is not None


def shelf_doubts(product: str, crop: str | None, text: str, ctx: Context) -> list[str]:
    """Say what must be true of jars before they stand on a shelf: no tested way, or low in acid. `text` is what was said of them."""
    facts = ctx.facts.preserving
    if product == "bottled" and crop in facts.words.low_acid:
        if not _tested(product, crop, ctx):
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
    if not _tested(product, crop, ctx):
        return [f"No tested recipe covers {kept_name(crop, product, ctx.say)}: keep it in the fridge and eat it within a month, or freeze it."]
    return []


def _tested(product: str, crop: str | None, ctx: Context) -> bool:
    """Tell whether some tested way covers a crop kept so; what needs none is covered."""
    facts = ctx.facts.preserving
    if product == "bottled" and crop is not None:
        return any(p.acid in ("low", "jar") or crop not in facts.words.low_acid for p in candidates(crop, facts))
    life = life_of(product, facts)
    fruit = product == "jam" and crop in facts.words.high_acid
    return life is None or not life.kinds or fruit or (crop is not None and any(p.kind in life.kinds for p in candidates(crop, facts)))
