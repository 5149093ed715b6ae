"""A lasting plant that has given its crop: what is done with it now.

"The strawberries are finished" comes as clearing them, though the plants stay; what to do next comes as ripening, filling the bed
and more. So such words of one lasting plant are answered here whatever they were read as.
"""

from __future__ import annotations

from bot.handlers import handler_for
from bot.handlers.cold import is_many
from bot.handlers.context import Context
from bot.handlers.renewing import years_said
from bot.reply import Choice, Reply
from bot.request import Request


def aftercare_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer what is done with one lasting plant once it has fruited; None when the request is of something else."""
    asks = ctx.facts.asking.tending
    leans = not request.crops and asks.bare_next.search(request.text) is not None  # "they are finished, what now" comes in two
    crops = tuple(request.extra.get("cleared", ())) if leans else request.crops
    crop = ctx.facts.crops.get(crops[0]) if len(crops) == 1 else None
    if crop is None or not crop.lasting or request.intent not in asks.over_as:
        return None
    done = request.intent == "log_clear" and asks.over.search(request.text) and not asks.rooted_out.search(request.text)
    if asks.pinching.search(request.text) and any(t.asked is not None and t.asked.search(request.text) for t in ctx.facts.keeping.tasks(crop.id)):
        return handler_for("prune")(request.with_(intent="prune", method=None), ctx)
    if not done and not leans and not asks.after(request.text):
        return None
    reply = handler_for("prune")(request.with_(intent="prune", method="after", crops=crops), ctx)
    named = any(row.says.search(request.text) for row in asks.tasks)  # of one task, and not of all that comes next
    lines = reply.lines if named else (*reply.lines, *years_said(crop, ctx))
    if not done:
        return reply.with_(lines=lines)
    name = ctx.say.crop(crop.id)
    stay = f"The plants stay, so I have left {'them' if is_many(crop, ctx.say.words) else 'it'} down as growing."
    return reply.with_(lines=(*lines, stay), choices=(Choice("They are out", f"cleared the {name}"),))
