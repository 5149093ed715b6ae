"""Weeds by name, and the remedies people reach for: what to say before any remedy of ours."""

from __future__ import annotations

from collections.abc import Sequence

from bot.facts.advice import Advice
from bot.handlers.context import Context
from bot.preserving.matching import find, plain
from bot.reply import Reply
from bot.request import Request
from bot.tending.units import in_units
from bot.wording import capital, small


def advised(text: str, rows: Sequence[Advice]) -> Advice | None:
    """Return the first piece of advice whose words a message holds."""
    flat = plain(text)
    return next((row for row in rows if find(flat, row.words) and (not row.only or find(flat, row.only))), None)


def weed_or_remedy(request: Request, ctx: Context) -> Reply | None:
    """Answer about a weed, or judge a remedy that is asked about; None when a message speaks of neither."""
    facts, text = ctx.facts.tending, request.text
    if ctx.facts.asking.ground.these.search(text) and not advised(text, facts.weeds):
        text = f"{text} {request.extra.get('message', '')}"  # "bindweed all over bed 3, how do I get rid of it"
    remedy, weed = advised(text, facts.remedies), advised(text, facts.weeds)
    pest = facts.pest(request.pest) if request.pest and "pest" not in request.inherited else None
    if remedy is None and (weed is None or pest is not None):
        return None
    first = remedy or weed
    assert first is not None
    lines = list(first.lines)
    if remedy is not None and pest is not None:
        name = pest.said(ctx.say.words, ctx.say.country)
        lines.append(f"{capital(name)}: {small(pest.now[0])}")
    elif remedy is not None and weed is not None:
        lines.append(weed.say)
    return Reply(
        in_units(first.say, ctx.say),
        lines=tuple(in_units(line, ctx.say) for line in lines),
        cautions=tuple(first.cautions),
        sources=tuple(dict.fromkeys([*first.source, *(weed.source if weed and remedy else ())])),
        data={"causes": [], "weed": weed.id if weed else None, "remedy": remedy.id if remedy else None},
    )
