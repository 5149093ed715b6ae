"""Answer poisoning, illness and suspect jars before anything else."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from bot.facts.loading import load
from bot.facts.paths import shipped
from bot.facts.preserving import FILES, Alarms
from bot.preserving.matching import find, plain
from bot.preserving.measures import prose
from bot.reply import Reply
from bot.wording import Wording


@lru_cache(maxsize=1)
def _alarms() -> Alarms:
    """Read the alarm words by themselves: this must answer even when nothing else loads."""
    root = shipped("knowledge")
    return load(root / FILES["alarms"], Alarms, root)


def alarm(text: str, say: Wording | None = None, alarms: Alarms | None = None, *,
          after: Reply | None = None) -> Reply | None:
    """Return the emergency reply when a message tells of poisoning, illness or a suspect jar, else None.

    To be called on every message, before understanding. Records nothing. `data` is
    {"alarm": rule id, "answer": answer id}. `after` is the reply before this one: when that was an alarm,
    word of how the person fares ("she is vomiting") raises it again.
    """
    rules = alarms or _alarms()
    flat = plain(text[:4000])
    groups = {group.name: group.words for group in rules.groups}
    found: dict[str, bool] = {}

    def holds(name: str) -> bool:
        if name not in found:
            found[name] = find(flat, groups[name]) is not None
        return found[name]

    for rule in rules.rules:
        if all(holds(name) for name in rule.all) and not any(holds(name) for name in rule.unless):
            return _reply(rules, rule.answer, rule.id, say or Wording())
    if after is not None and "alarm" in after.data and any(holds(name) for name in rules.after):
        return _reply(rules, after.data["answer"], after.data["alarm"], say or Wording())
    return None


def _reply(rules: Alarms, answer_id: str, rule_id: str, say: Wording) -> Reply:
    answer: Any = next(a for a in rules.answers if a.id == answer_id)
    return Reply(
        headline=answer.headline,
        lines=tuple(prose(say, line) for line in answer.lines),
        cautions=tuple(answer.cautions),
        sources=tuple(answer.source),
        data={"alarm": rule_id, "answer": answer_id},
    )
