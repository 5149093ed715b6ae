"""Say what can hurt where a message tells of it or names it in passing, whatever else it tells or asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from bot.facts.loading import load
from bot.facts.tending import FILES
from bot.facts.tending_heap import Hazard
from bot.handlers.context import Context
from bot.handlers.ground_words import hazards, units
from bot.preserving import alarm
from bot.preserving.eating import eating_reply, eating_row, not_to_eat
from bot.preserving.matching import find, plain
from bot.reply import Reply, plain_text
from bot.request import Request

#: Intents that write something down: a question back about one of them stays asked.
_RECORDS = ("log_", "add_", "set_", "correct_")
#: What a reply's figures say where it has said no by itself.
_NO = ("refused", "no")


@dataclass(frozen=True, slots=True)
class Warned:
    """What is said of a danger: the reply, whether it comes before the answer, whether it is all that is said, and words by which it was said already."""

    reply: Reply
    first: bool
    alone: bool
    told: tuple[str, ...]


@lru_cache(maxsize=4)
def _hazards(root: Path) -> list[Hazard]:
    """Read the hazards that messages may name: every message is looked over, and most need none of the other tables."""
    rows: list[Hazard] = load(root / FILES["hazards"], list[Hazard], root)
    return [row for row in rows if row.named]


def danger_in(text: str, root: Path) -> Hazard | None:
    """Return the first hazard a message names, those said first before those said beside, or None."""
    flat = plain(text[:4000])
    named = (row for row in sorted(_hazards(root), key=lambda row: not row.first)
             if all(find(flat, words) for words in row.named) and not find(flat, row.unless))
    return next(named, None)


def told_by_words(text: str, root: Path) -> str:
    """Return the answer that a message needs by its words alone, as "alarm:poison"; empty where they tell of no danger."""
    raised = alarm.alarm(text)
    if raised is not None:
        kind = "alarm" if "alarm" in raised.data else "safety"
        return f"{kind}:{raised.data['answer']}"
    uneaten, named = not_to_eat(text, (), root), danger_in(text, root)
    return f"eating:{uneaten.id}" if uneaten is not None else f"hazard:{named.id}" if named is not None else ""


def minding(heard: str, sure: bool, text: str, replies: Sequence[Reply], requests: Sequence[Request], ctx: Context) -> tuple[tuple[Reply, ...], bool]:
    """Return the replies to a message with what is to be said of the danger in it, and whether that is now the answer.

    `heard` is the answer the danger needs, as "alarm:poison", empty where none was heard, and `sure` whether it comes first; words that name a hazard
    are looked for as well. A warning also comes first where nothing was known to answer but a question back. What is recorded, or asked beside, stays
    told, but where the alarm is raised. Nothing is added to replies that have said it already.
    """
    kind = heard.partition(":")[0]
    named = None if heard and kind != "hazard" and sure else danger_in(text, ctx.facts.root)
    if named is None and not heard:
        return tuple(replies), False
    warning = _of_hazard(named, ctx) if named is not None else _heard(heard, sure, text, ctx)
    if warning.alone:
        return (warning.reply,), True
    if any(phrase.lower() in plain_text(reply).lower() for reply in replies for phrase in warning.told) or ("hazard" not in warning.reply.data and any(map(_warns, replies))):
        return tuple(replies), False
    lost = not any(reply.data or reply.events for reply in replies) and not any(r.intent.startswith(_RECORDS) for r in requests)
    if warning.first or lost:
        return (warning.reply, *(reply for reply in replies if reply.events or len(replies) > 1)), True
    last = replies[-1]
    return (*replies[:-1], replace(last, cautions=(*last.cautions, warning.reply.headline), sources=(*last.sources, *warning.reply.sources))), False


def _of_hazard(row: Hazard, ctx: Context) -> Warned:
    caution = hazards([row.id], ctx)[0]
    more = (row.do, f"Get help: {row.help_if}" if row.help_if else "")
    said = Reply(
        caution,
        lines=tuple(f"{units(line, ctx).rstrip('.')}." for line in more if line and line.rstrip(".") not in caution),
        sources=tuple(row.source),
        data={"hazard": row.id},
    )
    return Warned(said, row.first, False, (caution, caution.split(":")[0], *row.told))


def _heard(name: str, sure: bool, text: str, ctx: Context) -> Warned:
    """Return what is said of a danger by the name of the answer it needs: the alarm, a matter of safety, what must not be eaten, a way of keeping food that is refused, a hazard."""
    kind, _, answer = name.partition(":")
    if kind == "hazard":
        return _of_hazard(ctx.facts.tending.hazard(answer), ctx)
    if kind == "eating":
        said = eating_reply(eating_row(answer, ctx.facts.root), text, ctx.facts.root)
    elif kind == "refuse":
        from bot.handlers.bottling_refusals import refused_reply  # the tables of preserving are needed for these alone
        from bot.preserving.canning import Verdict

        row = next(row for row in ctx.facts.preserving.refusals if row.id == answer)
        said = refused_reply(Verdict("refused", row.id, refusal=row), Request("can", text=text), ctx, None)
    else:
        place = ctx.plot.settings.place
        said = alarm.told(kind, answer, ctx.say, place.tz if place else None)
    return Warned(said, sure, sure and kind == "alarm", (said.headline,))


def _warns(reply: Reply) -> bool:
    """Tell whether a reply says no by itself, or is a warning."""
    return "safety" in reply.data or any(isinstance(figures, dict) and figures.get("verdict") in _NO for figures in reply.data.values())
