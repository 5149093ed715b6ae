"""How sure a reading is, in the sense of a forecast: of a hundred readings told at 0.9, ninety are right.

The model of intents is surer of itself than it should be of words it has not met. Two logistic scales (Platt, in Advances in
Large Margin Classifiers, 1999), learned from messages of hands it had not seen, mend that: one tells how likely the reading is right,
the other how likely the message is none of the garden's business.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.understanding.lexicon import Lexicon
    from bot.understanding.reader import Clause

_ANCHORS = frozenset(("<crop>", "<bed>", "<pest>", "<material>", "<group>", "<product>", "<cover>"))


def signs(clause: Clause, kind: str, lexicon: Lexicon) -> dict[str, float]:
    """Return what speaks for or against a reading: its lead, how near the nearest phrase is, how many of its words are strange, and what a glance alone says of it."""
    first, second = clause.ranked[0][1], clause.ranked[1][1]
    none = next((chance for name, chance in clause.ranked if name == "none"), 0.0)
    odds, lead = _odds(first), min(math.log(max(first, 1e-6) / max(second, 1e-6)), 12.0)
    stems = [w if w.startswith("<") else lexicon.stem(w) for w in clause.words]
    plain = [s for s in stems if not s.startswith("<")]
    anchored = any(s in _ANCHORS for s in stems)
    strange = sum(s not in lexicon.domain and s not in lexicon.everyday for s in plain)
    foreign = sum(s not in lexicon.domain for s in plain) / max(1, len(plain))
    place = "anchored" if anchored else "adrift"
    glanced: dict[str, float] = {}
    if clause.glanced is not None:
        own, other = (_odds(chance) for chance in clause.glanced)
        glanced = {"glance": own, f"glance {kind}": own, f"glance {place}": own, "glance none": other, f"glance none {place}": other}
    return {**glanced, "": 1.0, "odds": odds, "lead": lead, "near": clause.likeness, "none": _odds(none), f"none {place}": _odds(none), f"near {place}": clause.likeness,
            "foreign": foreign, f"foreign {place}": foreign, f"strange {min(strange, 3)} {place}": 1.0, f"size {min(len(stems), 6)}": 1.0,
            f"size {min(len(stems), 3)} {place}": 1.0, f"is {kind}": 1.0, f"odds {kind}": odds, f"near {kind}": clause.likeness,
            f"{kind} asks {clause.asks}": 1.0, f"{kind} {place}": 1.0}


def sure(found: dict[str, float], weights: dict[str, float]) -> float:
    """Return the chance that the weighed signs give."""
    total = sum(weights.get(key, 0.0) * value for key, value in found.items())
    return 1.0 / (1.0 + math.exp(-max(min(total, 30.0), -30.0)))


def _odds(chance: float) -> float:
    kept = min(max(chance, 1e-4), 1 - 1e-4)
    return math.log(kept / (1 - kept))
