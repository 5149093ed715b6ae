"""What every record is checked for before it is written down: the day, the crop, the bed and the amount.

Each check returns the value, or a Reply that says what is wrong or asks the one thing missing; nothing is then recorded.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rapidfuzz import fuzz, process

from bot.handlers.context import Context
from bot.plot.state import Planting
from bot.reply import Reply, ask
from bot.request import Quantity, Request
from bot.wording import listing, plural

#: A picking heavier than this is asked about once, whatever the bed: no household carries it in at one time.
HEAVY_KG = 80.0
#: More plants, heads or bags than this in one message are asked about once.
MANY = 2000.0
_PLACES = frozenset({"bed", "tunnel", "polytunnel", "frame", "greenhouse", "glasshouse", "border", "patch", "pots", "tubs",
                     "planter", "planters", "orchard", "garden", "plot", "terrace", "arch", "hoophouse"})
#: Nothing older than this is taken for a day meant.
OLD = timedelta(days=366 * 12)


@dataclass(frozen=True, slots=True)
class Doing:
    """One thing gardeners report: how it is said, and the words that join a bed to it."""

    verb: str  # "picked": begins a message
    done: str  # "Picked": begins the echo
    to_bed: str  # "from", "in"


def asked_before(ctx: Context, intent: str) -> bool:
    """Tell whether the last thing said was a question of this intent: an old yes or no means nothing."""
    last = ctx.memory.reply
    return last is not None and last.waiting is not None and last.waiting.intent == intent


def declined(request: Request, ctx: Context, words: str = "All right, nothing is recorded.") -> Reply | None:
    """Return the reply to a plain no after this intent's question, else None."""
    return Reply(words) if "no" in request.flags and asked_before(ctx, request.intent) else None


def day_of(request: Request, ctx: Context) -> date | Reply:
    """Return the day something was done: today unless said; the last day of a span that is past."""
    if request.when is None:
        return ctx.today
    day = request.when.start if request.when.single else min(request.when.end, ctx.today)
    if day > ctx.today or request.when.start > ctx.today:
        ahead = ctx.say.day(request.when.start, ctx.today)
        return Reply(f"{ahead[:1].upper()}{ahead[1:]} is still to come, so I recorded nothing.",
                     lines=("Tell me once it is done, and I'll write it down with its day.",))
    if ctx.today - day > OLD:
        return Reply(f"{ctx.say.day(day, ctx.today)} is very long ago, so I recorded nothing.",
                     lines=("Say the day again with its year if you meant it.",))
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
    for word in ("beans", "peas", "cabbage", "onions", "spinach", "squash", "broccoli", "kale", "potatoes", "cauliflower"):
        if word.rstrip("s") in request.text.lower():
            return word
    return listing([ctx.say.crop(crop) for crop in choices[:4]], "or")


def ask_unknown_crop(request: Request, ctx: Context, doing: Doing) -> Reply:
    """Say that a crop is not known, name the nearest two, and offer to keep the name as typed."""
    name = request.unknown_crop or ""
    offers = [(ctx.say.crop(crop), restate(doing, request, ctx, crop=crop)) for crop in nearest_crops(name, ctx)]
    known = listing([label for label, _ in offers], "or")
    question = f"I don't know {name!r}. Did you mean {known}?" if offers else f"I don't know {name!r}."
    return ask(question, [*offers, (f"Keep {name!r} as typed", "yes")], waiting=request, wants="crop",
               lines=("I can keep it under that name; I have no sowing or keeping facts for it.",))


def nearest_crops(name: str, ctx: Context, limit: int = 2) -> list[str]:
    """Return the ids of the crops whose names are spelt most like `name`."""
    names = {form.lower(): crop.id for crop in ctx.facts.crops.values()
             for n in crop.names for form in (n.name, n.plural) if form}
    found: list[str] = []
    for _, score, form in process.extract(name.lower(), {k: k for k in names}, scorer=fuzz.ratio, limit=12):
        if score >= 68 and names[form] not in found:
            found.append(names[form])
    return found[:limit]


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
        return ask(f"I have no {typed!r}, and no beds at all yet.", [("Add a bed", "add a bed")],
                   lines=("Tell me about it first, for example: add a bed 1.2 x 4 m called Bed 1.",))
    near = near[:2]
    labels = [ctx.plot.beds[bed].name for bed in near]
    offers = [(ctx.plot.beds[bed].name, restate(doing, request, ctx, bed=bed) if doing else ctx.plot.beds[bed].name)
              for bed in near]
    return ask(f"There is no {typed!r} here. Did you mean {listing(labels, 'or')}?", offers,
               waiting=request.with_(unknown_bed=None), wants="bed")


def amount_of(request: Request, ctx: Context, what: str) -> Quantity | Reply | None:
    """Return the amount said, or None; a weight wins over a count. Says so when it cannot be meant."""
    usable = [q for q in request.quantities if q.unit not in ("day", "c", "percent")]
    for quantity in usable:
        if quantity.value <= 0:
            return Reply(f"{quantity.words or said(quantity, ctx)} of {what} can't be right, so I recorded nothing.",
                         lines=("Send it again with the right amount.",))
    chosen = next((q for q in usable if q.unit == "kg"), usable[0] if usable else None)
    if chosen is not None and "yes" not in request.flags:
        limit = HEAVY_KG if chosen.unit == "kg" else MANY
        if chosen.value > limit:
            return ask(f"{said(chosen, ctx)} of {what}? That is a great deal for one garden. Is it right?",
                       [("Yes, it is right", "yes"), ("No", "no")], waiting=request, wants="choice",
                       lines=("Nothing is recorded yet.",))
    return chosen


def said(quantity: Quantity, ctx: Context) -> str:
    """Say an amount in the plot's units.

    Countable units keep their own word, whole.
    """
    if quantity.unit == "kg":
        return ctx.say.mass(quantity.value)
    if quantity.unit == "l":
        return ctx.say.volume(quantity.value)
    if quantity.unit == "m":
        return ctx.say.length(quantity.value * 100)
    if quantity.unit == "m2":
        return ctx.say.area(quantity.value)
    if quantity.unit == "count":
        return f"{quantity.value:g}"
    return plural(quantity.value, quantity.unit)


def said_of(quantity: Quantity | None, crop: str, ctx: Context) -> str:
    """Say an amount of a crop: '2.3 kg of runner beans', '6 courgettes', 'runner beans'."""
    if quantity is None:
        return ctx.say.crop(crop)
    if quantity.unit in ("count", "plant", "head", "fruit"):
        name = ctx.say.crop(crop, count=1 if quantity.value == 1 else None)
        return f"{quantity.value:g} {name}"
    return f"{said(quantity, ctx)} of {ctx.say.crop(crop)}"


def restate(doing: Doing, request: Request, ctx: Context, *, crop: str | None = None, bed: str | None = None) -> str:
    """Say a request again as a whole message, with what was unclear made clear."""
    crop = crop or request.crop or (request.unknown_crop and slug(request.unknown_crop)) or None
    bed = bed or request.bed
    quantity = next(iter(request.quantities), None)
    parts = [doing.verb]
    if quantity is not None:
        parts += [quantity.words or said(quantity, ctx), "of"] if quantity.unit != "count" else [f"{quantity.value:g}"]
    if crop:
        parts.append(ctx.say.crop(crop))
    elif request.crop_choices:
        parts.append(ctx.say.crop(request.crop_choices[0]))
    if request.method:
        parts += ["in modules"] if request.method == "module" else [request.method]
    if bed:
        parts += [doing.to_bed, ctx.plot.beds[bed].name if bed in ctx.plot.beds else bed]
    if request.when is not None:
        parts.append("on " + request.when.start.isoformat() if not request.when.words else request.when.words)
    return " ".join(parts)


def bed_name(bed: str | None, ctx: Context) -> str:
    """Return what a bed is called."""
    if bed is None:
        return "no bed"
    return ctx.plot.beds[bed].name if bed in ctx.plot.beds else bed


def bed_said(bed: str | None, ctx: Context) -> str:
    """Return a bed as it is said within a sentence: 'Bed 2', 'the wall bed', 'Jim'.

    A name that ends in a common word for a growing place takes its article; any other is a name.
    """
    name = bed_name(bed, ctx)
    if name.split(" ")[-1].lower() in _PLACES and not any(ch.isdigit() for ch in name):
        return f"the {name[:1].lower()}{name[1:]}"
    return name


def place_said(planting: Planting, ctx: Context) -> str:
    """Return where a planting stands, in words."""
    return bed_name(planting.bed, ctx) if planting.bed else "indoors" if planting.method == "indoors" else "no bed"


def slug(name: str) -> str:
    """Return a name as an id.

    >>> slug("Sea Holly ")
    'sea-holly'
    """
    return re.sub(r"[^a-z0-9]+", "-", name.strip().lower()).strip("-") or "unnamed"


def note_no_facts(crop: str, ctx: Context) -> tuple[str, ...]:
    """Return the line that says no facts are held for a crop kept as typed."""
    if crop in ctx.facts.crops:
        return ()
    return (f"I have no facts about {ctx.say.crop(crop)}, so I can only keep your records of it.",)


__all__ = ["Doing", "amount_of", "bed_name", "bed_said", "crops_of", "day_of", "nearest_crops", "place_said", "restate", "said",
           "said_of", "unknown_bed"]
