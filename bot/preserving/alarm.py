"""Answer poisoning, illness and suspect jars before anything else."""

from __future__ import annotations

from functools import lru_cache

from bot.facts.loading import load
from bot.facts.paths import shipped
from bot.facts.preserving import FILES, AlarmAnswer, AlarmHelp, AlarmRule, Alarms, Safety
from bot.preserving.matching import find, plain
from bot.preserving.measures import prose
from bot.reply import Reply
from bot.wording import Wording


@lru_cache(maxsize=1)
def _alarms() -> Alarms:
    """Read the alarm words by themselves: this must answer even when nothing else loads."""
    root = shipped("knowledge")
    return load(root / FILES["alarms"], Alarms, root)


@lru_cache(maxsize=1)
def _safety() -> Safety:
    root = shipped("knowledge")
    return load(root / FILES["safety"], Safety, root)


def alarm(text: str, say: Wording | None = None, alarms: Alarms | None = None, *,
          after: Reply | None = None, zone: str | None = None) -> Reply | None:
    """Return the reply when a message tells of poisoning, illness or a suspect jar, or is a matter of safety, else None.

    To be called on every message, before understanding. Records nothing. `data` is
    {"alarm": rule id, "answer": answer id}, or {"safety": ..., "answer": ...} where nobody is ill. `after` is the reply
    before this one: when that was an alarm, word of how the person fares ("she is vomiting") raises it again. `zone` is the plot's time zone: the numbers to ring are those of its country.
    """
    rules = alarms or _alarms()
    words = _Words(plain(text[:4000]), {group.name: group.words for group in rules.groups})
    for rule in rules.rules:
        if words.fires(rule):
            return _reply(rules.answers, "alarm", rule.answer, rule.id, say or Wording(), _help(rules, zone))
    if after is not None and "alarm" in after.data and any(words.holds(name) for name in rules.after):
        return _reply(rules.answers, "alarm", after.data["answer"], after.data["alarm"], say or Wording(), _help(rules, zone))
    cares = _safety()
    words.groups |= {group.name: group.words for group in cares.groups}
    for rule in cares.rules:
        if words.fires(rule):
            return _reply(cares.answers, "safety", rule.answer, rule.id, say or Wording())
    return None


def told(kind: str, answer: str, say: Wording, zone: str | None) -> Reply:
    """Return an answer by its id, as `alarm` does where words tell: of the alarm, or of what is a matter of safety. `data` names it."""
    if kind == "alarm":
        return _reply(_alarms().answers, kind, answer, answer, say, _help(_alarms(), zone))
    return _reply(_safety().answers, kind, answer, answer, say)


class _Words:
    """The word groups a message holds, each looked for once."""

    def __init__(self, flat: str, groups: dict[str, list[str]]) -> None:
        self.flat, self.groups = flat, groups
        self._found: dict[str, bool] = {}

    def holds(self, name: str) -> bool:
        if name not in self._found:
            self._found[name] = find(self.flat, self.groups[name]) is not None
        return self._found[name]

    def fires(self, rule: AlarmRule) -> bool:
        return all(self.holds(name) for name in rule.all) and not any(self.holds(name) for name in rule.unless)


def _help(rules: Alarms, zone: str | None) -> AlarmHelp:
    """Return whom to ring in a time zone: the last row, of the whole world, where no other fits."""
    return next((row for row in rules.help if zone and row.fits(zone)), rules.help[-1])


def _reply(answers: list[AlarmAnswer], kind: str, answer_id: str, rule_id: str, say: Wording, ring: AlarmHelp | None = None) -> Reply:
    answer = next(a for a in answers if a.id == answer_id)
    lines, sources = answer.lines, answer.source
    if ring is not None:
        numbers = {"{poison}": ring.poison, "{where}": ring.where or f"Here that is {ring.emergency}.", "{emergency}": ring.emergency}
        for slot, said in numbers.items():
            sources = [*sources, *ring.source] if any(slot in line for line in lines) else sources
            lines = [line.replace(slot, said) for line in lines]
    return Reply(
        headline=answer.headline,
        lines=tuple(prose(say, line) for line in lines),
        cautions=tuple(answer.cautions),
        sources=tuple(dict.fromkeys(sources)),
        data={kind: rule_id, "answer": answer_id},
    )
