"""Which job a gardener says is done, by its own words and the crop: "done the slug patrol", "pruned the currants"."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

from rapidfuzz import fuzz

from bot.facts.tending_jobs import Job
from bot.tending.topics import found_at, plain

if TYPE_CHECKING:
    from bot.facts import Facts

SURE = 62.0
_SLOT = re.compile(r"\{\w+\}")


def speaks_of(text: str, job: Job, crop: str | None, facts: Facts) -> bool:
    """Tell whether words say this job was done for this crop: a word of its own, and the crop's name if it has one."""
    said = plain(text)
    if crop is not None and not _named(crop, said, facts):
        return False
    return any(found_at(plain(word), said) is not None for word in job.words)


def likeness(text: str, job: Job, crops: Iterable[str], facts: Facts) -> float:
    """Return how well words fit a job, 0 to 100: its words, its sentence, and the crop's name."""
    idle = facts.asking.jobs.idle
    said = [word for word in plain(text) if word not in idle]
    if not said:
        return 0.0
    names = [name for crop in crops for name in _names(crop, facts)]
    task = " ".join(w for w in plain(_SLOT.sub(" ", job.task)) if w not in idle)
    best_word = max((len(word) for word in job.words if found_at(plain(word), said) is not None), default=0)
    own = [w for w in said if not any(w == n for n in names)]
    score = float(fuzz.token_set_ratio(" ".join(own) or " ".join(said), task)) * 0.7
    if best_word:
        score = max(score, 62.0 + min(best_word, 16))
    if crops and _any_named(crops, said, facts):
        score += 22
    elif crops and job.crops:
        score -= 12
    return min(100.0, score)


def _any_named(crops: Iterable[str], said: list[str], facts: Facts) -> bool:
    return any(_named(crop, said, facts) for crop in crops)


def _named(crop: str, said: list[str], facts: Facts) -> bool:
    return any(found_at(name.split(), said) is not None for name in _names(crop, facts))


def _names(crop: str, facts: Facts) -> tuple[str, ...]:
    known = facts.crops.get(crop)
    if known is None:
        return (crop.replace("-", " "),)
    forms = [form for n in known.names for form in (n.name, n.plural) if form and n.kind != "botanical"]
    last = [form.split()[-1] for form in forms if len(form.split()) > 1]
    return tuple(dict.fromkeys(" ".join(plain(form)) for form in (*forms, *last)))
