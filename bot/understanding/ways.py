"""Weigh the ways to cut a message: by what each stretch of it is taken for, and by what stands beside what.

A way is worth the sum of what its stretches, its cuts and its gaps left whole are worth, and the likeliest way is the one worth most, as in a
conditional random field (Lafferty, McCallum and Pereira, ICML 2001) whose potentials are small networks (Peng, Bo and Xu, Conditional
neural fields, NIPS 2009). Learned by `python -m bot.understanding.learn --scales` (`ways_school`) from messages cut by hand.
"""

from __future__ import annotations

import math
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

#: What was learned, beside the phrases.
SHIPPED = "ways.npz"
_KINDS = ("ask", "record", "set", "talk", "small", "none")
_SLOTS = ("crop", "qty", "bed", "date", "product", "pest", "material", "temp", "group", "variety", "stranger", "cover", "method")
_JOINS = ("none", ",", ".", "?", ";", "!", "-", "and", ", and", ". and", "then", ". then", "also", ". also", "but", ", but", "so", ", so")
#: Sizes told apart, in words; what log odds are made smaller by.
_SIZES, _PLAIN = 8, 4.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """What is known of a stretch of words that may be one thing said: its likeliest intent and the kind of that, how likely it is and the next
    likeliest, how likely that intent and "none" at a glance, the log odds that it says several things, the kinds of its slots, its length in
    words, whether it asks, and whether it opens with a word of asking, with a pronoun, with a slot, or holds the first two."""

    intent: str
    kind: str
    chance: float
    second: float
    glanced: tuple[float, float]
    many: float
    slots: frozenset[str]
    size: int
    signs: tuple[bool, ...]

    def row(self) -> list[float]:
        """Return it as numbers."""
        odds = [math.log(max(chance, 1e-4)) / _PLAIN for chance in (self.chance, self.second, *self.glanced)]
        return [*odds, max(min(self.many, 8.0), -8.0) / _PLAIN, _soft(self.many) / _PLAIN, _soft(-self.many) / _PLAIN, self.size / 10,
                *(float(sign) for sign in self.signs), *(float(slot in self.slots) for slot in _SLOTS),
                *(float(min(self.size, _SIZES - 1) == n) for n in range(_SIZES)), *(float(self.kind == kind) for kind in _KINDS)]


def gap_row(odds: float, begins: float, between: list[str]) -> list[float]:
    """Return a gap as numbers: the log odds that something new begins after it, by the words around it and at a glance, and what stands in it."""
    joined = " ".join(between) or "none"
    soft = [value / _PLAIN for value in (odds, begins, _soft(odds), _soft(begins), _soft(-odds), _soft(-begins))]
    return [*soft, *(float(joined == known) for known in _JOINS), float(joined not in _JOINS)]


def _soft(value: float) -> float:
    return math.log1p(math.exp(min(value, 30.0)))


@dataclass(frozen=True, slots=True)
class Laid:
    """All ways to cut one message: `rows` (stretches x numbers) and `intents` of its stretches, `gaps` (gaps x numbers), `pairs` (gap, left, right
    and both as one), and each way as its stretches, its pairs and the gaps it leaves whole."""

    rows: Any
    intents: Any
    gaps: Any
    pairs: Any
    ways: list[tuple[list[int], list[int], list[int]]]


@dataclass(frozen=True)
class Weigher:
    """What was learned: the names of the intents, and the layers by name."""

    names: list[str]
    layers: dict[str, Any]

    def worth(self, laid: Laid) -> list[float]:
        """Return what each way is worth."""
        w = self.layers
        known = np.concatenate([laid.rows, w["intent.weight"][laid.intents]], axis=1)
        lone = self._two_layers("lone", known)
        pairs = laid.pairs
        beside = self._two_layers("beside", np.concatenate([known[pairs[:, 1]], known[pairs[:, 2]], known[pairs[:, 3]], laid.gaps[pairs[:, 0]]], axis=1))
        whole = (laid.gaps @ w["whole.weight"] + w["whole.bias"]).ravel().tolist()
        return [sum(lone[n] for n in stretches) + sum(beside[n] for n in cuts) + sum(whole[n] for n in left) for stretches, cuts, left in laid.ways]

    def _two_layers(self, name: str, rows: Any) -> list[float]:
        w = self.layers
        found: list[float] = (np.maximum(rows @ w[f"{name}.weight"] + w[f"{name}.bias"], 0.0) @ w[f"{name}_out.weight"] + w[f"{name}_out.bias"]).ravel().tolist()
        return found


def load(path: Path, names: list[str]) -> Weigher | None:
    """Return what was learned; None when the file is missing, broken, or of other intents: messages are then cut gap by gap."""
    try:
        with np.load(path, allow_pickle=False) as kept:
            if [str(n) for n in kept["names"]] != names:
                return None
            return Weigher(names, {name.removeprefix("layer "): kept[name] for name in kept.files if name.startswith("layer ")})
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None


def save(path: Path, weigher: Weigher) -> None:
    """Keep what was learned."""
    part = path.with_suffix(".part.npz")
    np.savez_compressed(part, names=np.array(weigher.names), **{f"layer {name}": layer.astype(np.float32) for name, layer in weigher.layers.items()})
    part.replace(path)
