"""Add growing places: one, or several in one message."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import groupby
from typing import Any

from bot.handlers import answers
from bot.handlers.bed_words import kind_said, light_said, name_said, numbered, sort_said
from bot.handlers.beds_admin import size_said, size_wrong
from bot.handlers.checking import declined
from bot.handlers.context import Context, ask_place
from bot.handlers.naming import slug
from bot.handlers.places_said import MOST, Place, beds_uncounted, names_a_place, places_said
from bot.plot.events import NewEvent
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.wording import listing

#: The bed that stands for an example: four feet by eight, the commonest made.
_USUAL_M = (1.2192, 2.4384)
#: What stands beside a bed is not the bed: "a bed next to the greenhouse".
_BESIDE = re.compile(
    r"\b(?:next to|near|beside|behind|along|against|outside)\s+(?:the|my|our|a)?\s*[\w ]*", re.IGNORECASE)
_LIGHT = {"sun": "in full sun", "part-shade": "half shaded", "shade": "in shade"}
_HOW_MANY = "How many beds are there?"
_LACKS = re.compile(
    r"\b(?:don'?t|do not|haven'?t|have not|hasn'?t|not|no longer) (?:have|got|own|use|get)\b|"
    r"\b(?:have|got|'ve) no\b|\bnot got\b", re.I)



@answers("add_bed")
def add_bed(request: Request, ctx: Context) -> Reply:
    """Add a growing place, named as said or by the next number."""
    no = declined(request, ctx)
    if no:
        return no
    text = request.text
    if _LACKS.search(text):
        return Reply("All right, I added nothing: I go by what the plot has on record.")
    places = places_said(text, [(said, (length, width)) for said, length, width in request.extra.get("sizes", ())])
    uncounted = beds_uncounted(text) and not any(place.base.endswith("ed") for place in places)
    if len(places) > MOST:
        return Reply(f"I add {MOST} places at most in one go, so I added none.",
                     lines=("Tell me of them in two or three messages.",))
    if len(places) > 1 and not any(place.size for place in places) and len({place.base for place in places}) == 1:
        # "two beds 4 ft wide and 10 ft long"
        places = tuple(replace(place, size=size_said(request)) for place in places)
    if len(places) > 1 or (places and uncounted):
        reply = _add_several(places, request, ctx)
        if uncounted and reply.events:
            return reply.with_(lines=(_HOW_MANY,), waiting=request, wants="quantity", choices=())
        return reply
    size = (places[0].size if places else None) or size_said(request)
    if not places:
        several = _how_many(request, size, ctx)
        if several is not None:
            return several
    one = places[0] if places else Place("bed", None, "Bed")
    kind, cover = kind_said(_BESIDE.sub("", text)) if one.kind == "bed" else (one.kind, one.cover)
    wrong = size_wrong(size, kind, request, ctx)
    if wrong:
        return wrong
    sort = one.base if one.base.endswith(("house", "cage", "atch")) and one.base != "Greenhouse" else sort_said(text)
    name = one.name or name_said(text) or numbered(text) or _next_name(kind, ctx, sort)
    same = next(
        (b for b in ctx.plot.beds.values() if name.lower() in (b.name.lower(), *(n.lower() for n in b.nicknames))), None
    )
    if same is not None:
        return ask(
            f"There is a {same.name} already.",
            [
                (f"Add it as {_next_name(kind, ctx)}", f"add a bed called {_next_name(kind, ctx)}"),
                ("Show the plot", "show me the plot"),
            ],
            lines=("Give the new one another name.",),
        )
    data: dict[str, Any] = {"name": name, "kind": kind}
    if size is None and "same size" in text.lower():
        like = next((b for b in ctx.plot.beds.values() if b.kind == kind and b.length_m and b.width_m), None)
        size = (like.length_m or 0, like.width_m or 0) if like else None
    if size is not None:
        data["length_m"], data["width_m"] = max(size), min(size)
    if cover := cover or (None if _BESIDE.search(text) else request.cover):
        data["cover"] = cover
    # A bed called Sunny may lie in the shade.
    light = one.light or light_said(re.sub(re.escape(name), "", text, flags=re.IGNORECASE))
    if light:
        data["light"] = light
    data |= _short_name(name)
    bed_id = _free_id(name, ctx)
    event = NewEvent("bed_added", ctx.today, bed=bed_id, words=text, data=data)
    said = f", {ctx.say.bed_size(*size)}" if size else ""
    head = f"Added {name}{said}{', ' + _LIGHT[light] if light else ''}."
    reply = Reply(
        head,
        events=(event,),
        data={"add_bed": {"rows": [event.as_json()]}},
        choices=(Choice(f"What fits {name}", f"what fits {name}", "fits_bed"),),
    )
    if size is None:
        waiting = Request("set_bed", text=f"{name} is", beds=(bed_id,))
        return reply.with_(
            lines=(f"How big is it? For example: {ctx.say.bed_size(*_USUAL_M)}.",), waiting=waiting, wants="quantity",
            choices=(),
        )
    return reply


def _how_many(request: Request, size: tuple[float, float] | None, ctx: Context) -> Reply | None:
    """Settle a message that names no place, or beds without their number; None when it is one bed all the same."""
    text, answer = request.text, request.amount("count")
    number = answer.value if answer else request.extra.get("number", "")
    if not names_a_place(text) and str(number).removesuffix(".0").isdigit() and 0 < float(number) <= MOST:
        beds = [Place("bed", None, "Bed", size=size)] * int(float(number))
        return _add_several(tuple(beds), request, ctx)
    if beds_uncounted(text):
        return ask(_HOW_MANY, waiting=request, wants="quantity",
                   lines=("I added nothing yet. Their names will do too, for example: beds called North and South.",))
    if names_a_place(text) or size is not None or name_said(text) or numbered(text):
        return None
    if ctx.plot.settings.place is None:
        return ask_place(Request("set_location", text=text))
    return ask("What beds have you?", waiting=request, wants="quantity",
               lines=(f"For example: add 3 beds {ctx.say.bed_size(*_USUAL_M)}.",))


def _add_several(places: tuple[Place, ...], request: Request, ctx: Context) -> Reply:
    """Add several places, named as said or by the next numbers."""
    taken = {form.lower() for bed in ctx.plot.beds.values() for form in (bed.name, *bed.nicknames)}
    named: list[tuple[str, Place]] = []
    for place in places:
        wrong = size_wrong(place.size, place.kind, request, ctx)
        if wrong:
            return wrong
        name = place.name or _free_name(place.base, sum(p.base == place.base and not p.name for p in places) > 1, taken)
        if name.lower() in taken:
            return Reply(f"There is a {name} already, so I added none.", lines=("Give the new ones other names.",))
        taken.add(name.lower())
        named.append((name, place))
    events = []
    for name, place in named:
        data: dict[str, Any] = {"name": name, "kind": place.kind, **_short_name(name)}
        if place.size is not None:
            data["length_m"], data["width_m"] = max(place.size), min(place.size)
        if cover := place.cover or (request.cover if all(p.cover is None for p in places) else None):
            data["cover"] = cover
        if place.light:
            data["light"] = place.light
        events.append(NewEvent("bed_added", ctx.today, bed=_free_id(name, ctx), words=request.text, data=data))
    parts = []
    for (size, light), group in groupby(named, key=lambda pair: (pair[1].size, pair[1].light)):
        names = [name for name, _ in group]
        each = f", {'each ' if len(names) > 1 else ''}{ctx.say.bed_size(*size)}" if size else ""
        each += f", {_LIGHT[light]}" if light else ""
        run = len(names) > 6 and names[-1].startswith(names[0].rstrip("0123456789"))
        parts.append((f"{names[0]} to {names[-1]}" if run else listing(names)) + each)
    reply = Reply(f"Added {'; '.join(parts)}.", events=tuple(events), choices=(Choice("Undo", "undo"),),
                  data={"add_bed": {"rows": [event.as_json() for event in events]}})
    bare = [name for name, place in named if place.size is None and place.kind != "container"]
    if not bare:
        return reply
    whose = "their sizes" if len(bare) > 1 else "its size"
    return reply.with_(lines=(f'Tell me {whose}: "{bare[0]} is {ctx.say.bed_size(*_USUAL_M)}".',))


def _free_name(base: str, numbered_on: bool, taken: set[str]) -> str:
    """Return the next name of a sort of place that nothing has yet: "Greenhouse", "Bed 4"."""
    if not numbered_on and base != "Bed" and base.lower() not in taken:
        return base
    n = 1
    while f"{base} {n}".lower() in taken:
        n += 1
    return f"{base} {n}"


def _short_name(name: str) -> dict[str, list[str]]:
    """Return the other name of a bed with a letter: "A" is found as "Bed A" too, and the other way round."""
    if len(name) == 1:
        return {"nicknames": [f"Bed {name}"]}
    return {"nicknames": [name[-1]]} if re.fullmatch(r"Bed [A-Z]", name) else {}


def _next_name(kind: str, ctx: Context, sort: str | None = None) -> str:
    base = sort if sort and (kind == "bed" or sort.endswith(("house", "cage", "atch"))) else {
        "tunnel": "Tunnel",
        "greenhouse": "Greenhouse",
        "frame": "Cold frame",
        "container": "Pots",
        "border": "Border",
        "fruit": "Fruit bed",
    }.get(kind)
    names = {bed.name.lower() for bed in ctx.plot.beds.values()}
    if base and base.lower() not in names:
        return base
    n = 2 if base else 1
    while f"{base or 'Bed'} {n}".lower() in names:
        n += 1
    return f"{base or 'Bed'} {n}"


def _free_id(name: str, ctx: Context) -> str:
    """Return an id no bed ever had: a bed that was taken away keeps its history to itself."""
    used = {event.bed for event in ctx.plot.journal if event.kind == "bed_added"} | set(ctx.plot.beds)
    base, n = slug(name), 2
    found = base
    while found in used:
        found, n = f"{base}-{n}", n + 1
    return found
