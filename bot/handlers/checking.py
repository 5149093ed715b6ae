"""What every record is checked for before it is written down: the day, the crop, the bed and the amount.

Each check returns the value, or a Reply that says what is wrong or asks the one thing missing; then nothing
is recorded.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from rapidfuzz import fuzz, process

from bot.handlers.context import Context
from bot.handlers.naming import Doing, bed_name, restate, said, slug
from bot.plot.events import NewEvent
from bot.reply import Reply, ask
from bot.request import Quantity, Request
from bot.wording import capital, listing

#: A picking heavier than this is asked about once, whatever the bed: no household carries it in at one time.
HEAVY_KG = 80.0
#: More plants, heads or bags than this in one message are asked about once.
MANY = 2000.0
#: A span longer than this tells no day.
A_MONTH = timedelta(days=31)
#: Nothing older than this is taken for a day meant.
OLD = timedelta(days=366 * 12)


def asked_before(ctx: Context, intent: str) -> bool:
    """Tell whether the last thing said was a question of this intent: an old yes or no means nothing."""
    last = ctx.memory.reply
    return last is not None and last.waiting is not None and last.waiting.intent == intent


def declined(request: Request, ctx: Context, words: str = "All right, nothing is recorded.") -> Reply | None:
    """Return the reply to a plain no after this intent's question, else None."""
    return Reply(words) if "no" in request.flags and asked_before(ctx, request.intent) else None


def day_of(request: Request, ctx: Context) -> date | Reply:
    """Return the day something was done: today unless said; the last day of a span that is past, the middle of one longer than a month."""
    if request.when is None:
        return ctx.today
    since = re.search(rf"\bsince (?:the )?{re.escape(request.when.words)}", request.text, re.IGNORECASE)  # "in bed 3 since November": begun then
    day = request.when.start if request.when.single or since else min(request.when.end, ctx.today)
    if not since and day - request.when.start > A_MONTH:
        day = request.when.start + (day - request.when.start) / 2  # "last autumn": as likely before as after
    if day > ctx.today or request.when.start > ctx.today:
        ahead = ctx.say.day(request.when.start, ctx.today)
        return Reply(
            f"{capital(ahead)} is still to come, so I recorded nothing.",
            lines=("Tell me once it is done, and I'll write it down with its day.",),
        )
    if ctx.today - day > OLD:
        return Reply(
            f"{ctx.say.day(day, ctx.today)} is very long ago, so I recorded nothing.",
            lines=("Say the day again with its year if you meant it.",),
        )
    return day


def crops_of(request: Request, ctx: Context, doing: Doing, standing_first: bool = False) -> tuple[str, ...] | Reply:
    """Return the crops a record is about.

    An ambiguous name ("beans") means the one of its crops that stands in the bed named, or anywhere on the plot when
    `standing_first`; otherwise the gardener is asked.
    """
    if request.crops:
        return request.crops
    choices = request.crop_choices
    if choices and standing_first:
        for bed in (request.bed, None) if request.bed else (None,):
            there = [crop for crop in choices if ctx.plot.standing(bed=bed, crop=crop)]
            if len(there) == 1:
                return (there[0],)
            if there:
                choices = tuple(there)
                break
    if choices:
        offers = [(ctx.say.crop(crop), restate(doing, request, ctx, crop=crop)) for crop in choices[:5]]
        return ask(f"Which {_group_word(request, ctx, choices)}?", offers, waiting=request, wants="crop")
    if request.unknown_crop:
        if "yes" in request.flags:
            return (slug(request.unknown_crop),)
        return ask_unknown_crop(request, ctx, doing)
    return ()


def _group_word(request: Request, ctx: Context, choices: Sequence[str]) -> str:
    for word in (
        "beans",
        "peas",
        "cabbage",
        "onions",
        "spinach",
        "squash",
        "broccoli",
        "kale",
        "potatoes",
        "cauliflower",
    ):
        if word.rstrip("s") in request.text.lower():
            return word
    return listing([ctx.say.crop(crop) for crop in choices[:4]], "or")


def ask_unknown_crop(request: Request, ctx: Context, doing: Doing) -> Reply:
    """Say that a crop is not known, name the nearest two, and offer to keep the name as typed."""
    name = request.unknown_crop or ""
    stranger = ctx.facts.groups.stranger(name)
    if stranger is not None:
        return ask(f"Shall I write down {name} under that name?", [("Yes", "yes"), ("No", "no")], waiting=request,
                   wants="crop", lines=(stranger.says,)).with_(sources=tuple(stranger.source))
    offers = [(ctx.say.crop(crop), restate(doing, request, ctx, crop=crop)) for crop in nearest_crops(name, ctx)]
    known = listing([label for label, _ in offers], "or")
    question = f"I don't know {name!r}. Did you mean {known}?" if offers else f"I don't know {name!r}."
    return ask(
        question,
        [*offers, (f"Keep {name!r} as typed", "yes")],
        waiting=request,
        wants="crop",
        lines=("I can keep it under that name; I have no sowing or keeping facts for it.",),
    )


def nearest_crops(name: str, ctx: Context, limit: int = 2) -> list[str]:
    """Return the ids of the crops whose names are spelt most like `name`."""
    names = {
        form.lower(): crop.id
        for crop in ctx.facts.crops.values()
        for n in crop.names
        for form in (n.name, n.plural)
        if form
    }
    found: list[str] = []
    for _, score, form in process.extract(name.lower(), {k: k for k in names}, scorer=fuzz.ratio, limit=12):
        if score >= 68 and names[form] not in found:
            found.append(names[form])
    return found[:limit]


def day_and_crops(
    request: Request, ctx: Context, doing: Doing, *, standing_first: bool
) -> tuple[date, tuple[str, ...]] | Reply:
    """Return the day and the crops of a record, or the reply to give instead.

    That is when the gardener said no, or the day, the bed or the crop is still to be settled.
    """
    no = declined(request, ctx)
    if no:
        return no
    day = day_of(request, ctx)
    if isinstance(day, Reply):
        return day
    stray = unknown_bed(request, ctx, doing)
    if stray:
        return stray
    crops = crops_of(request, ctx, doing, standing_first=standing_first)
    if isinstance(crops, Reply):
        return crops
    return day, crops


def unknown_bed(request: Request, ctx: Context, doing: Doing | None = None) -> Reply | None:
    """Say that a bed is not known and name the nearest two; None when the bed is known or none was named."""
    if not request.unknown_bed:
        return None
    names = {form.lower(): bed.id for bed in ctx.plot.beds.values() for form in (bed.name, *bed.nicknames)}
    typed = request.unknown_bed
    near: list[str] = []
    for _, _, form in process.extract(typed.lower(), {k: k for k in names}, scorer=fuzz.ratio, limit=8):
        if names[form] not in near:
            near.append(names[form])
    if not near:
        return ask(
            f"I have no {typed!r}, and no beds at all yet.",
            [("Add a bed", "add a bed")],
            lines=(f"Tell me about it first, for example: add a bed {ctx.say.bed_example} called Bed 1.",),
        )
    near = near[:2]
    labels = [ctx.plot.beds[bed].name for bed in near]
    offers = [
        (ctx.plot.beds[bed].name, restate(doing, request, ctx, bed=bed) if doing else ctx.plot.beds[bed].name)
        for bed in near
    ]
    return ask(
        f"There is no {typed!r} here. Did you mean {listing(labels, 'or')}?",
        offers,
        waiting=request.with_(unknown_bed=None),
        wants="bed",
    )


def amount_of(request: Request, ctx: Context, what: str) -> Quantity | Reply | None:
    """Return the amount said, or None; a weight wins over a count. Says so when it cannot be meant."""
    usable = [q for q in request.quantities if q.unit not in ("day", "c", "percent")]
    for quantity in usable:
        if quantity.value <= 0:
            return Reply(
                f"{quantity.words or said(quantity, ctx)} of {what} can't be right, so I recorded nothing.",
                lines=("Send it again with the right amount.",),
            )
    chosen = next((q for q in usable if q.unit == "kg"), usable[0] if usable else None)
    if chosen is not None and "yes" not in request.flags:
        limit = HEAVY_KG if chosen.unit == "kg" else MANY
        if chosen.value > limit:
            return ask(
                f"{said(chosen, ctx)} of {what}? That is a great deal for one garden. Is it right?",
                [("Yes, it is right", "yes"), ("No", "no")],
                waiting=request,
                wants="choice",
                lines=("Nothing is recorded yet.",),
            )
    return chosen


def note_no_facts(crop: str, ctx: Context) -> tuple[str, ...]:
    """Return the line that says no facts are held for a crop kept as typed."""
    if crop in ctx.facts.crops:
        return ()
    return (f"I have no facts about {ctx.say.crop(crop)}, so I can only keep your records of it.",)


__all__ = [
    "Doing",
    "amount_of",
    "asked_before",
    "bed_name",
    "crops_of",
    "day_of",
    "declined",
    "nearest_crops",
    "note_no_facts",
    "unknown_bed",
]


def told_of(kind: str, request: Request, day: date, crop: str, bed: str | None, amount: Quantity | None, data: dict[str, Any]) -> NewEvent:
    """Return the event of a crop a request tells of, in its words and of its variety."""
    return NewEvent(kind, day, crop=crop, variety=request.variety, bed=bed, amount=amount.value if amount else None,
                    unit=amount.unit if amount else None, words=request.text, data=data)
