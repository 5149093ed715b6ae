"""Change growing places and take them away."""

from __future__ import annotations

import re
from typing import Any

from bot.handlers import answers, handler_for
from bot.handlers.bed_words import SIDE, light_said, metres, new_name
from bot.handlers.checking import declined, unknown_bed
from bot.handlers.context import Context
from bot.plot.events import NewEvent
from bot.plot.state import Bed
from bot.reply import Choice, Reply, ask
from bot.request import Request

#: A bed longer or wider than this is asked about once. Metres, (length, width): of a bed, of a roofed place.
BED_M, ROOFED_M = (30.0, 5.0), (60.0, 15.0)
SHORT_M = 0.1
_GONE = re.compile(
    r"\b(?:delete|remove|take away|get rid of|gave up|dismantled|no longer|it'?s a path|is a path|is gone)\b",
    re.IGNORECASE,
)
_COVER_OFF = re.compile(
    r"\b(?:take|took|taken|pull(?:ed)?)\b.*\boff\b|\buncover|\bremove[d]? the (?:fleece|cover|net|cloche)",
    re.IGNORECASE,
)
_BARE_GROUND = ("none", None)


def _side(request: Request) -> tuple[str, float] | None:
    """Return the one side a message gives ("the nursery is 3.5 m long"), as a bed's field and metres."""
    amount, text = request.amount("m"), request.text.lower()
    if amount is None or not amount.value > 0:
        return None
    if re.search(r"\b(?:long|length)\b", text):
        return "length_m", amount.value
    return ("width_m", amount.value) if re.search(r"\b(?:wide|width|across)\b", text) else None


@answers("set_bed")
def set_bed(request: Request, ctx: Context) -> Reply:
    """Change a bed's size, light, cover or name, or take it away."""
    no = declined(request, ctx, "All right, nothing is changed.")
    if no:
        return no
    if request.bed and request.unknown_bed and re.search(r"\b(?:re)?(?:call|name)\b", request.text, re.IGNORECASE):
        # "call bed 1 the rondavel bed": the one that is not known is the new name.
        request = request.with_(text=f"{request.text}, called {request.unknown_bed}", unknown_bed=None)
    if not ctx.plot.beds and size_said(request) is not None:
        # "bed 1 is 1.2 x 3" is the first word of it.
        return handler_for("add_bed")(request.with_(intent="add_bed"), ctx)
    stray = unknown_bed(request, ctx)
    if stray:
        return stray
    if not request.bed or request.bed not in ctx.plot.beds:
        offers = [(bed.name, f"{request.text.rstrip('.')}, {bed.name}") for bed in list(ctx.plot.beds.values())[:5]]
        if not offers:
            return ask("You have no beds yet.", [("Add a bed", "add a bed")])
        return ask("Which bed?", offers, waiting=request, wants="bed")
    bed = ctx.plot.beds[request.bed]
    if _GONE.search(request.text) and not _COVER_OFF.search(request.text):
        return _take_away(bed, request, ctx)
    size = size_said(request)
    wrong = size_wrong(size, bed.kind, request, ctx)
    if wrong:
        return wrong
    data: dict[str, Any] = {}
    said = []
    if size is not None:
        data["length_m"], data["width_m"] = max(size), min(size)
        said.append(f"it is {ctx.say.bed_size(*size)} now")
    elif (side := _side(request)) is not None:
        field, metres = side
        other = bed.width_m if field == "length_m" else bed.length_m
        wrong = size_wrong((metres, other or 1.0), bed.kind, request, ctx)
        if wrong:
            return wrong
        data[field] = metres
        way = "long" if field == "length_m" else "wide"
        whole = ctx.say.bed_size(metres, other) if other else f"{ctx.say.length(metres * 100)} {way}"
        said.append(f"it is {whole} now")
    light = light_said(request.text)
    if light:
        data["light"] = light
        said.append(
            {"sun": "it is down as sunny", "part-shade": "it is down as half shaded", "shade": "it is down as shady"}[
                light
            ]
        )
    hours = re.search(r"(\d{1,2}(?:\.\d)?) ?h(?:ou)?rs?\b.*\bsun|sun .*?(\d{1,2}) ?h(?:ou)?rs?", request.text.lower())
    if hours:
        data["sun_hours"] = float(hours.group(1) or hours.group(2))
        said.append(f"it gets {data['sun_hours']:g} hours of sun")
    if _COVER_OFF.search(request.text):
        data["cover"] = None
        said.append("its cover is off")
    elif request.cover and request.cover not in _BARE_GROUND:
        data["cover"] = request.cover
        said.append(f"it is under {request.cover.replace('-', ' ')}")
    name = new_name(request.text, bed)
    if name:
        taken = next((b for b in ctx.plot.beds.values() if b.id != bed.id and name.lower() == b.name.lower()), None)
        if taken:
            return Reply(f"Another bed is called {taken.name} already, so I changed nothing.")
        data["name"] = name
        # The old name still finds it.
        data["nicknames"] = list(dict.fromkeys([*bed.nicknames, bed.name]))
        said.append(f"it is called {name} now; {bed.name} still finds it")
    if not data:
        return ask(
            f"What shall I change about {bed.name}?",
            [
                ("Size", f"{bed.name} is {ctx.say.bed_example}"),
                ("Light", f"{bed.name} is half shaded"),
                ("Name", f"rename {bed.name} to New bed"),
            ],
            waiting=request,
            wants="quantity",
            lines=("Its size, its light, its cover or its name.",),
        )
    event = NewEvent("bed_set", ctx.today, bed=bed.id, words=request.text, data=data)
    return Reply(
        f"{bed.name}: {'; '.join(said)}.",
        events=(event,),
        choices=(Choice("Undo", "undo"),),
        data={"set_bed": {"rows": [event.as_json()]}},
    )


def _take_away(bed: Bed, request: Request, ctx: Context) -> Reply:
    standing = ctx.plot.standing(bed=bed.id)
    if "yes" not in request.flags:
        holds = (
            f" {len(standing)} crops down as standing in it will count as cleared."
            if len(standing) > 1
            else (f" The {ctx.say.crop(standing[0].crop)} in it will count as cleared." if standing else "")
        )
        return ask(
            f"Take {bed.name} away?{holds}",
            [("Yes, take it away", "yes"), ("No", "no")],
            waiting=request,
            wants="choice",
            lines=("What grew there stays in the record.",),
        )
    event = NewEvent("bed_removed", ctx.today, bed=bed.id, words=bed.name)
    return Reply(
        f"{bed.name} is taken away.",
        events=(event,),
        choices=(Choice("Undo", "undo"),),
        data={"set_bed": {"rows": [event.as_json()]}},
    )


def size_said(request: Request) -> tuple[float, float] | None:
    """Return the size a message gives a growing place, metres; None when it gives none."""
    if request.size_m is not None:
        return request.size_m
    sides = [metres(found) for found in SIDE.finditer(request.text)]
    lengths = sides or [q.value for q in request.quantities if q.unit == "m"]
    if len(lengths) >= 2:
        return lengths[0], lengths[1]
    area = request.amount("m2")
    if area is not None and area.value > 0:
        # Only the ground counts for what fits; a square of that area stands for it.
        return area.value**0.5, area.value**0.5
    # One side alone is enough to see that it cannot be meant.
    return (lengths[0], lengths[0]) if lengths and not SHORT_M <= lengths[0] <= BED_M[0] else None


def size_wrong(size: tuple[float, float] | None, kind: str, request: Request, ctx: Context) -> Reply | None:
    """Return the reply to a size (metres) that cannot be, or asks whether it is meant; None when it may stand."""
    if size is None:
        return None
    low, high = sorted(size)
    if low < SHORT_M:
        shown = ctx.say.bed_size(high, low) if low > 0 else "without a width"
        return Reply(
            f"A bed {shown} can't be right, so I changed nothing.",
            lines=(f"Say its length and width, for example: {ctx.say.bed_example}.",),
        )
    long_m, wide_m = ROOFED_M if kind in ("tunnel", "greenhouse", "border", "fruit") else BED_M
    if (low > wide_m or high > long_m) and "yes" not in request.flags:
        return ask(
            f"{ctx.say.bed_size(high, low)} is very large for a bed. Is it right?",
            [("Yes, it is right", "yes"), ("No", "no")],
            waiting=request,
            wants="choice",
            lines=("Nothing is changed yet.",),
        )
    return None
