"""Say what can hurt where a message tells of it or names it in passing, whatever else it tells or asks."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
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
#: Intents that name no business of their own.
_TALK = ("none", "help", "greeting", "thanks", "why", "undo", "correct_last")
#: Intents that ask something whole without a name in it.
_WHOLE = ("sow_now", "plot", "stores", "summary", "frost_tonight", "blight_risk", "daylight", "frost_dates", "plan", "seed_order")
#: What a matter of safety in the kitchen is often read as: no business of its own beside one, and nothing to write down.
_KITCHEN = ("can", "store", "use_up", "freeze", "pickle", "ferment", "dry", "blanch", "crop_info", "log_preserve", "log_use")
_ASKS = re.compile(r"\?|\b(?:when|how|what|which|where|should|shall|can|could|is|are|do|does|will|anything|any)\b", re.IGNORECASE)
#: Said below an alarm whose message told or asked more.
LEFT = "Nothing else in your message is written down or answered: send it again once this is seen to."
#: Where one breath of a message ends and the next begins.
_BREATHS = re.compile(r"[.;,!?]+|\b(?:and|but|also)\b", re.IGNORECASE)
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


def by_words(text: str) -> bool:
    """Tell whether words alone raise the alarm or tell of a matter of safety."""
    return alarm.alarm(text) is not None


def left_over(requests: Sequence[Request], harm: Callable[[str], bool]) -> list[Request]:
    """Return the requests of a message that are no part of the harm it tells of.

    `harm` tells whether words by themselves tell of it. Where no part does, the harm is told by several together, and those are its parts without
    which the others tell of none. What shares a crop with them, or names nothing of its own ("what do I do"), is of the harm as well.
    """
    hurt = [request for request in requests if harm(request.text)]
    if not hurt:
        hurt = [request for request in requests if not harm(" ".join(other.text for other in requests if other is not request))]
    crops = {crop for request in hurt if "crops" not in request.inherited for crop in request.crops}
    rest = [request for request in requests if request not in hurt and request.intent not in _TALK and _names(request)]
    return [request for request in rest if not crops & set(request.crops)]


def safely_told(requests: Sequence[Request]) -> list[Request]:
    """Return those of the requests left over from a matter of safety that are surely something else: records of the garden, and questions not of the kitchen."""
    return [r for r in requests if r.intent not in _KITCHEN and (r.intent.startswith(_RECORDS) or _ASKS.search(r.text))]


def with_left(reply: Reply, text: str, read: Callable[[str], Sequence[Request]], harm: Callable[[str], bool] = by_words) -> Reply:
    """Return an alarm, saying that the rest of its message was left alone where it told or asked more.

    A record in one breath with the harm ("picked 2 kg of peas and the dog ate a slug pellet") is read as one with it: then what the message says without
    the words of harm is read by itself, and what was eaten is taken for the harm's.
    """
    if not left_over(read(text), harm):
        pieces = [piece for piece in _BREATHS.split(text) if piece.strip()]
        calm = [piece.strip() for piece in pieces if not harm(piece)]
        records = read(". ".join(calm)) if 0 < len(calm) < len(pieces) else ()
        if not any(r.intent.startswith("log_") and r.intent != "log_use" and _names(r) for r in records):
            return reply
    return replace(reply, lines=(*reply.lines, LEFT))


def _names(request: Request) -> bool:
    """Tell whether a request names something itself: a crop, a bed, an amount, a day, how cold it was; or needs to name nothing."""
    own = request.intent in _WHOLE or request.crops and "crops" not in request.inherited
    return bool(own or request.crop_choices or request.unknown_crop or request.beds or request.quantities or request.when or request.temperature_c is not None)


def minding(heard: str, sure: bool, text: str, replies: Sequence[Reply], requests: Sequence[Request], ctx: Context) -> tuple[tuple[Reply, ...], bool]:
    """Return the replies to a message with what is to be said of the danger in it, and whether that is now the answer.

    `heard` is the answer the danger needs, as "alarm:poison", empty where none was heard, and `sure` whether it comes first; words that name a hazard
    are looked for as well. A warning also comes first where nothing was known to answer but a question back. What is recorded, or asked beside, stays
    told, but where the alarm is raised. Nothing is added to replies that have said it already.
    """
    kind = heard.partition(":")[0]
    worded = told_by_words(text, ctx.facts.root) if kind == "eating" else ""
    if worded.startswith("eating:"):
        heard = worded  # of two parts not to be eaten, the one that words name
    elif kind == "eating" and _of_other_crops(heard, requests, ctx.facts.root):
        heard, kind = "", ""
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
        beside = [reply for reply, request in zip(replies, requests, strict=False)
                  if reply.events or len(replies) > 1 and (request.intent.startswith(_RECORDS) or reply.data and _names(request))]
        return (warning.reply, *beside), True
    last = replies[-1]
    return (*replies[:-1], replace(last, cautions=(*last.cautions, warning.reply.headline), sources=(*last.sources, *warning.reply.sources))), False


def _of_other_crops(heard: str, requests: Sequence[Request], root: Path) -> bool:
    """Tell whether a message names crops, and none that what must not be eaten is a part of: a bitter lettuce is no bitter courgette."""
    named = {crop for request in requests if "crops" not in request.inherited for crop in (*request.crops, *request.crop_choices)}
    crops = eating_row(heard.partition(":")[2], root).crops
    return bool(named and crops) and not named & set(crops)


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
