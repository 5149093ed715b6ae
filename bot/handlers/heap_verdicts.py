"""Whether something may go on the heap: yes, a little, in a hot heap only, or no."""

from __future__ import annotations

from collections.abc import Sequence

from bot.facts.tending_heap import HeapStuff
from bot.handlers.context import Context
from bot.handlers.ground_words import chain, hazards, units
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, number, small

#: Mark of a request whose trouble was found by the turn before, and not named in this one.
JUST_FOUND = "just found"
VERDICT = {"yes": "yes", "little": "a little", "hot": "hot heap only", "no": "no"}


def verdicts(stuff: Sequence[HeapStuff], request: Request, ctx: Context) -> Reply:
    """Tell whether each of some things may go on the heap, the first of them foremost."""
    first, sick = stuff[0], ctx.facts.tending.compost.sick
    if first.id == "x-perennial-weeds" and ctx.facts.asking.ground.dried.search(request.text):
        return Reply(
            "Yes, once they are dead right through: dried to a crisp or drowned for weeks.",
            lines=("Snap one: if it is still pale and bends, it is alive and will root. Leave it longer.",),
            sources=tuple(first.source),
            data={"compost": {"items": [{"id": first.id, "verdict": "yes"}]}},
        )
    if request.pest and "pest" not in request.inherited and first.id in sick:
        pest = ctx.facts.tending.pest(request.pest)
        if pest is not None:
            head = {"yes": "Yes", "hot": "In a hot heap only", "no": "No"}[pest.heap]
            head = f"If that is {pest.said(ctx.say.words, ctx.say.country)}, {small(head)}" if JUST_FOUND in request.extra else head
            return Reply(
                f"{head}: {small(pest.hygiene)}",
                lines=(units(first.say, ctx),),
                sources=chain(pest.source, first.source),
                data={"compost": {"items": [{"id": pest.id, "verdict": VERDICT[pest.heap]}]}},
            )
    shown = [first] if first.id in sick else list(stuff[:4])
    lines = [f"{capital(row.name)}: {small(units(row.say, ctx))}" for row in shown[1:]]
    if first.instead:
        lines.insert(0, first.instead if first.instead.endswith(".") else f"{first.instead}.")
    if first.kind in ("green", "brown") and first.heap in ("yes", "little"):
        ratio = first.c_to_n_usual or (sum(first.c_to_n) / 2 if first.c_to_n else None)
        lines.append(f"It counts as a {first.kind}" + (f" (C:N about {number(ratio, 1)})." if ratio else "."))
    return Reply(
        units(first.say, ctx),
        lines=tuple(lines),
        cautions=hazards(first.hazards, ctx)[:1],
        sources=chain(*(r.source for r in shown)),
        data={
            "compost": {
                "items": [
                    {"id": row.id, "verdict": VERDICT[row.heap], "kind": row.kind, "c_to_n": row.c_to_n_usual}
                    for row in shown
                ]
            }
        },
    )
