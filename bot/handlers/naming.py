"""Say amounts, beds and whole requests in the words of the plot."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.handlers.context import Context
from bot.plot.state import Planting
from bot.request import Quantity, Request
from bot.wording import plural, small

_PLACES = frozenset(
    {
        "bed",
        "tunnel",
        "polytunnel",
        "frame",
        "greenhouse",
        "glasshouse",
        "border",
        "patch",
        "pots",
        "tubs",
        "planter",
        "planters",
        "orchard",
        "garden",
        "plot",
        "terrace",
        "arch",
        "hoophouse",
    }
)

_MATERIALS = {
    "leaves": "leaf mould",
    "wood-chip": "wood chip",
    "plant-feed": "feed",
    "manure": "manure",
    "blood-fish-bone": "blood, fish and bone",
    "growmore": "general fertiliser",
    "nitrogen": "a nitrogen feed",
    "mulch": "a mulch",
    "hen-manure": "hen manure",
    "tomato-feed": "tomato feed",
    "comfrey-feed": "comfrey feed",
    "wood-ash": "wood ash",
    "grass-clippings": "grass clippings",
}


@dataclass(frozen=True, slots=True)
class Doing:
    """One thing gardeners report: how it is said, and the words that join a bed to it."""

    verb: str  # "picked": begins a message
    done: str  # "Picked": begins the echo
    to_bed: str  # "from", "in"


def said(quantity: Quantity, ctx: Context) -> str:
    """Say an amount in the plot's units.

    Countable units keep their own word, whole.
    """
    if quantity.unit == "kg":
        return ctx.say.mass(quantity.value)
    if quantity.unit == "l":
        return ctx.say.produce(quantity.value)
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
    """Say a request again as a whole message, with what was unclear made clear.

    It names all its crops, each with its own amount where it has one, unless one is picked out.
    """
    bed = bed or request.bed
    named = request.crop or (request.unknown_crop and slug(request.unknown_crop)) or next(iter(request.crop_choices), None)
    crops = [crop] if crop else list(request.crops) or ([named] if named else [])
    quantities = request.quantities if len(request.quantities) == len(crops) else request.quantities[:1]
    parts = [doing.verb]
    for n in range(max(1, len(crops))):
        parts += ["and"] if n else []
        if n < len(quantities):
            parts += [f"{quantities[n].value:g}"] if quantities[n].unit == "count" else [quantities[n].words or said(quantities[n], ctx), "of"]
        parts += [ctx.say.crop(crops[n])] if n < len(crops) else []
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
        return f"the {small(name)}"
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


def material_said(material: str | None, ctx: Context) -> str:
    """Say a material."""
    if material == "leaves":
        return ctx.say.pick("leaf mould", "leaf mold")
    if material == "growmore":
        return ctx.say.pick("general fertiliser", "general fertilizer")
    return _MATERIALS.get(material or "plant-feed", (material or "feed").replace("-", " "))
