"""Chitting: whether, when and how seed potatoes are stood to sprout, and what of shoots grown long."""

from __future__ import annotations

import re
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

_CHIT = re.compile(r"\b(?:green)?(?:chit(?:s|t?ed|t?ing)?|sprouting)\b", re.I)
_MEANING = re.compile(r"\b(?:what(?:'?s| is| does| do)|mean(?:s|ing)?|define|explain)\b", re.I)
_SHOOTS = re.compile(r"\b(?:shoots?|sprouts?|chits|long|lengths?|leggy|white|broke\w*|snap\w*)\b", re.I)
_OF_SEED = re.compile(r"(?=.*\bseed (?:potato|spud|tatt?ie|tuber))(?=.*\b(?:shoots|sprouts)\b)", re.I)
_WHEN = re.compile(r"\b(?:when|what (?:month|date|time)|too (?:early|late|soon)|how (?:early|soon)|yet|now|start)\b", re.I)
_NOW = re.compile(r"\b(?:now|yet|already|today|time (?:to|for))\b", re.I)
_HOW = re.compile(r"\b(?:how|where|light|dark|warm|cold|temp\w*|egg|windowsill|shed|greenhouse)\b", re.I)
#: Who says "chitting" and no crop speaks of these most often.
_PLAIN = "potato-early"


def sprouting_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer a message about chitting; None when it is of something else or asks what the word means."""
    crop = ctx.facts.crops.get(request.crop or _PLAIN)
    if crop is None or crop.sprouting is None:
        return None
    seed_shoots = request.crop is not None and _OF_SEED.search(request.text)
    if not (_CHIT.search(request.text) or seed_shoots) or (_MEANING.search(request.text) and not request.crop):
        return None
    return _answer(crop, crop.sprouting, request.text, ctx)


def _answer(crop: Crop, found: Sprouting, text: str, ctx: Context) -> Reply:
    low, high = found.weeks
    ready = f"They are ready to plant when the shoots are {ctx.say.length(*found.shoots_cm)} long, stout and dark."
    place = f"{ctx.say.prose(found.how)} About {ctx.say.temp(*found.at_c)} is right."
    begins = _begins(crop, found, ctx)
    start = f"Start {low:g} to {high:g} weeks before planting{f', here from about {part(begins, ctx)}' if begins else ''}."
    if begins and _NOW.search(text):
        start = f"{'Yes' if begins <= ctx.today else 'Not yet'}: {small(start)}"
    if _SHOOTS.search(text):
        lines = [ready, ctx.say.prose(found.long)]
        head = lines.pop(1) if re.search(r"\d|long|leggy|white|broke|snap", text, re.I) and not re.search(r"how long", text, re.I) else lines.pop(0)
    elif _WHEN.search(text):
        head, lines = start, [place, ready]
    elif _HOW.search(text):
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
