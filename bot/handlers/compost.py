"""What may go on the heap, how to mix it, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence

from bot.facts.tending_heap import HeapStuff, Topic
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.ground_words import hazards, material_words, topic_lines
from bot.handlers.heap_mixes import amounts_of, kg_water, mix_reply, pair_reply
from bot.handlers.heap_verdicts import JUST_FOUND, VERDICT, verdicts
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.compost import (
    joined,
    stuff_named,
)
from bot.tending.materials import heaped, mentions
from bot.tending.topics import best, plain, score
from bot.wording import capital, listing, small


@answers("compost")
def compost(request: Request, ctx: Context) -> Reply:
    """Answer whether something may be composted, work a mix out, or say what to do about a heap."""
    room, asks = ctx.facts.tending.compost, ctx.facts.asking.ground
    request = _with_trouble(request, ctx)
    parts = [p for p in heaped(request.text, material_words(ctx)) if stuff_named(p.material, room)] or amounts_of(
        request, ctx
    )
    if parts and not all(p.vague for p in parts):
        return mix_reply(parts, request, ctx)
    stuff = _asked_about(request, ctx)
    topic = best(request.text, room.topics)
    weight = score(topic, plain(request.text)) if topic else 0.0
    if len(stuff) >= 2 and asks.mix.search(request.text):
        return pair_reply(stuff, ctx)
    may_go = asks.may_go.search(request.text) and not asks.ails.search(request.text)
    wanted = topic is not None and topic.id in room.about_heap and not may_go
    if topic is not None and (
        not stuff or (wanted and (weight >= 8 or topic.id in room.troubles)) or topic.id == "only-leaves"
    ):
        return _topic(topic, ctx, request.text)
    if stuff:
        return verdicts(stuff, request, ctx)
    if asks.kept_out.search(request.text):
        return _list(("no",), "Keep these out of the heap:", ctx)
    if request.crops:
        return _crop_waste(request, ctx)
    if asks.goes_in.search(request.text):
        return _list(("yes", "little"), "Into the heap:", ctx)
    start = next(t for t in room.topics if t.id == "start")
    return _topic(start, ctx)


# --- may it go in --------------------------------------------------------------------------------------------------


def _with_trouble(request: Request, ctx: Context) -> Request:
    """Give "can the tops go on the heap" the trouble that was just found on them."""
    if not ctx.facts.asking.ground.remains.search(request.text) or (request.pest and "pest" not in request.inherited) or ctx.memory.reply is None:
        return request
    causes = ctx.memory.reply.data.get("causes", [])
    found = causes[0]["id"] if causes else None
    if found is None:
        return request
    return request.with_(pest=found, inherited=tuple(name for name in request.inherited if name != "pest"), extra={**request.extra, JUST_FOUND: True})


def _asked_about(request: Request, ctx: Context) -> list[HeapStuff]:
    """Return the rows a message names, sickness first; by its words and by the materials understanding found."""
    room = ctx.facts.tending.compost
    words = {**ctx.facts.tending.material_words.words}
    for row in room.stuff:
        words[row.id] = [*words.get(row.id, ()), *row.words]
    rows: list[HeapStuff] = []
    for material in (*(m.material for m in mentions(request.text, words)), *request.materials):
        found = stuff_named(material, room)
        if found is not None and found not in rows:
            rows.append(found)
    if request.pest and "pest" not in request.inherited:
        pest = ctx.facts.tending.pest(request.pest)
        if pest is not None and not any(r.id in room.sick for r in rows):
            wanted = {"yes": "x-powdery-mildew", "hot": "x-virus", "no": "x-diseased-general"}[pest.heap]
            rows.insert(0, next(r for r in room.stuff if r.id == wanted))
    sick = [row for row in rows if row.id in room.sick]
    specific = [row for row in rows if row.id not in ("veg-produce", "weeds")] or rows
    return [*sick, *(row for row in specific if row not in sick)]


def _crop_waste(request: Request, ctx: Context) -> Reply:
    """Answer for what is left of a crop, from its own page."""
    crop = ctx.facts.crops[request.crops[0]]
    name, end = capital(ctx.say.crop(crop.id)), crop.end_of_crop
    lines = []
    if end and end.roots:
        lines.append(f"Roots: {end.roots}.")
    if end and end.if_diseased:
        lines.append(f"If sick: {end.if_diseased}.")
    head = (
        f"{name}: {small(end.tops)}."
        if end and end.tops
        else f"{name}: yes, what is healthy may go on the heap, chopped."
    )
    return Reply(
        head,
        lines=tuple(lines),
        sources=tuple(end.source) if end else ("common-practice",),
        cautions=tuple(c for c in crop.cautions[:1] if "leaves" in c),
        data={"compost": {"items": [{"id": crop.id, "verdict": "yes"}]}},
    )


def _list(verdicts: Sequence[str], head: str, ctx: Context) -> Reply:
    rows = [row for row in ctx.facts.tending.compost.stuff if row.heap in verdicts]
    if "yes" in verdicts:
        greens = listing([r.name for r in rows if r.kind == "green" and r.heap == "yes"][:9])
        browns = listing([r.name for r in rows if r.kind == "brown" and r.heap == "yes"][:9])
        little = listing([r.name for r in rows if r.heap == "little"][:8])
        lines = [
            f"Greens: {greens}.",
            f"Browns: {browns}.",
            f"A little: {little}.",
            "Ask about any one thing and I'll say what to mind.",
        ]
    else:
        lines = [f"{capital(r.name)}." for r in rows[:9]]
    return Reply(
        head,
        lines=tuple(lines),
        sources=("memory:rhs-composting", "memory:us-extension-compost"),
        choices=(Choice("What may not go in?", "what can't go in the compost"),) if "yes" in verdicts else (),
        data={"compost": {"items": [{"id": r.id, "verdict": VERDICT[r.heap]} for r in rows]}},
    )


def _topic(topic: Topic, ctx: Context, text: str = "") -> Reply:
    said, words, room = topic_lines(topic, ctx), plain(text), ctx.facts.tending.compost
    others = [t for t in room.topics if t.id in room.troubles and t.id not in (topic.id, "smells")] if topic.id in room.troubles else []
    also = next((t for t in others if score(t, words) >= 8), None)
    said += topic_lines(also, ctx)[:1] if also else []
    return Reply(
        said[0],
        lines=tuple(said[1:]),
        cautions=hazards(topic.hazards, ctx)[:2],
        sources=tuple(topic.source),
        choices=(Choice("Work out a mix", "2 barrows of grass and 1 of cardboard in the compost"),)
        if topic.id == "ratio"
        else (),
        data={"compost": {"topic": topic.id}},
    )


# --- mixes ---------------------------------------------------------------------------------------------------------


__all__ = ["compost", "joined", "kg_water"]
