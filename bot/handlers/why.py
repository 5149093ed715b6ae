"""The working and the sources of the last answer, and the rest of a long one."""

from __future__ import annotations

from bot.handlers import answers
from bot.handlers.context import Context
from bot.reply import Reply
from bot.request import Request

_STATUS = {"read": "", "memory": " (from memory, not re-read)", "practice": " (common practice, no source)",
           "computed": " (worked out)"}


@answers("why")
def why(request: Request, ctx: Context) -> Reply:
    """Show the numbers behind the last answer and where they come from, or what waits behind "more"."""
    last = ctx.memory.reply
    if last is None:
        return Reply("Ask me something first, then I can show how I got there.")
    if "more" in request.flags:
        if last.more:
            return Reply(last.more[0], lines=last.more[1:])
        return Reply("That was all of it.")
    lines = list(last.working)
    if not lines:
        lines.append("That answer came straight from the record or the notes; there was no sum behind it.")
    sources = [_cite(source, ctx) for source in dict.fromkeys(last.sources)]
    shown, rest = sources[:4], sources[4:]
    if shown:
        lines += ["Sources:", *shown]
    return Reply("How I got there:", lines=tuple(lines), more=tuple(rest), sources=last.sources,
                 working=last.working, data={"why": {"working": list(last.working), "sources": list(last.sources)}})


def _cite(source_id: str, ctx: Context) -> str:
    source = ctx.facts.sources.get(source_id)
    if source is None:
        return f"- {source_id}"
    parts = [source.title]
    if source.publisher and source.publisher.lower() not in ("not stated", "n.d."):
        parts.append(source.publisher)
    if source.year:
        parts.append(str(source.year))
    return f"- {', '.join(parts)}{_STATUS[source.status]}"
