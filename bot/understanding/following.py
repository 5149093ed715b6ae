"""Tell what a message says next to the one before it: the same question of something else, a slip put right, or something of its own.

A log-linear choice among the readings a message could have, learned from pairs of messages labelled by hand
(`python -m bot.understanding.learn --scales`): what the words say alone counts beside what was asked or told last.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander

#: How many readings of its own a message may have beside the two that lean on what was said last.
_OWN = 4
_SHORT = 12


def candidates(clause: Clause, last: str) -> list[str]:
    """Return the intents a message may have after one of intent `last`."""
    return list(dict.fromkeys((*(name for name, _ in clause.ranked[:_OWN]), last, "correct_last")))


def next_to(reader: Understander, clause: Clause, last: str, intent: str) -> dict[str, float]:
    """Return the features of reading a clause as `intent` after a request of intent `last`."""
    role = "same" if intent == last else "fix" if intent == "correct_last" else "own"
    kind = reader.intents[last].kind
    chance = next((p for name, p in clause.ranked if name == intent), 0.0)
    words = [w if w.startswith("<") else reader.lexicon.stem(w) for w in clause.words]
    plain = [w for w in words if not w.startswith("<") and w not in reader.lexicon.fillers]
    small = set(reader.lexicon.language["small_words"])
    rest = sum(w not in small for w in plain)
    log = math.log(max(chance, 1e-4))
    found = {"chance": log, f"chance {role}": log, role: 1.0, f"{role} near": clause.likeness, f"{role} {kind}": 1.0, f"{role} after {last}": 1.0,
             f"{role} rest {min(rest, 4)}": 1.0, f"{role} {kind} rest {min(rest, 4)}": 1.0, f"{role} size {min(len(words), _SHORT) // 2}": 1.0,
             f"{role} asks {clause.asks} {kind}": 1.0, f"{role} top {clause.ranked[0][0] == intent}": 1.0, f"{last} > {intent}": 1.0}
    for slot in sorted({w for w in words if w.startswith("<")}):
        found[f"{role} {slot} {kind}"] = 1.0
        found[f"{role} {slot} rest {min(rest, 3)}"] = 1.0
    for word in dict.fromkeys(plain):
        found[f"{role} w {word}"] = 1.0
    if words:
        found[f"{role} opens {words[0]}"] = 1.0
        found[f"{role} opens {' '.join(words[:2])}"] = 1.0
        found[f"{role} ends {words[-1]}"] = 1.0
    if len(words) <= 4:
        found[f"{role} whole {' '.join(words)}"] = 1.0
    return found


def chosen(reader: Understander, clause: Clause, last: str) -> tuple[str, float]:
    """Return the likeliest intent of a clause after a request of intent `last`, and its chance among the readings it could have."""
    weights, names = reader.scales["next"], candidates(clause, last)
    worth = [sum(weights.get(key, 0.0) * value for key, value in next_to(reader, clause, last, name).items()) for name in names]
    grown = [math.exp(w - max(worth)) for w in worth]
    best = max(range(len(names)), key=lambda n: worth[n])
    return names[best], grown[best] / sum(grown)
