"""Chitting: whether, when and how seed potatoes are stood to sprout, and what of shoots grown long."""

from __future__ import annotations

from datetime import date, timedelta

from bot.facts.crop import Crop, Sprouting
from bot.growing.curves import curves
from bot.growing.windows import windows
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.handlers.growing_words import part
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import small

#: Who says "chitting" and no crop speaks of these most often.
_PLAIN = "potato-early"


def sprouting_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer a message about chitting; None when it is of something else or asks what the word means."""
    crop = ctx.facts.crops.get(request.crop or _PLAIN)
    if crop is None or crop.sprouting is None:
        return None
    asks = ctx.facts.asking.sowing
    seed_shoots = request.crop is not None and asks.seed_shoots.search(request.text)
    if not (asks.chits.search(request.text) or seed_shoots) or (asks.meaning.search(request.text) and not request.crop):
        return None
    if request.intent in ("spacing", "depth") and not asks.shoots.search(request.text):
        return None  # "how deep do chitted potatoes go" is of their depth
    return _answer(crop, crop.sprouting, request.text, ctx)


def _answer(crop: Crop, found: Sprouting, text: str, ctx: Context) -> Reply:
    (low, high), asks = found.weeks, ctx.facts.asking.sowing
    ready = f"They are ready to plant when the shoots are {ctx.say.length(*found.shoots_cm)} long, stout and dark."
    place = f"{ctx.say.prose(found.how)} About {ctx.say.temp(*found.at_c)} is right."
    begins = _begins(crop, found, ctx)
    start = f"Start {low:g} to {high:g} weeks before planting{f', here from about {part(begins, ctx)}' if begins else ''}."
    if begins and asks.chit_now.search(text):
        start = f"{'Yes' if begins <= ctx.today else 'Not yet'}: {small(start)}"
    if asks.shoots.search(text):
        lines = [ready, ctx.say.prose(found.long)]
        head = lines.pop(1 if asks.long_shoots.search(text) else 0)
    elif asks.chit_when.search(text):
        head, lines = start, [place, ready]
    elif asks.chit_how.search(text):
        head, lines = place, [start, ready]
    else:
        head, lines = ctx.say.prose(found.worth), [start, place, ready]
    name = ctx.say.crop(crop.id)
    return Reply(head, lines=tuple(lines), sources=cited(found), choices=(Choice("When to plant", f"when do I plant {name}"),),
                 data={"when_sow": {"crop": crop.id, "sprout_weeks": [low, high], "at_c": list(found.at_c), "windows": []}})


def _begins(crop: Crop, found: Sprouting, ctx: Context) -> date | None:
    """Return from when that is here: so many weeks before the next opening of planting; None without a place."""
    if ctx.season is None:
        return None
    spans = [w.dates(ctx.today, ctx.season.southern) for w in windows(crop, curves(ctx.season, None, ctx.facts)) if w.purpose != "late"]
    first = next((opens for opens, closes in sorted(spans) if closes >= ctx.today), None)
    return first - timedelta(weeks=found.weeks[1]) if first is not None else None
