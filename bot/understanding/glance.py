"""Read a whole message at one glance: what each word of it belongs to, where something new begins, and what of it can hurt.

The networks of `model` see the words of one clause as a heap; this one sees every word of the message in its place. Words are cut into pieces,
and every piece learns from all others by attention, layer upon layer (Vaswani and others, NIPS 2017; Devlin and others, BERT, NAACL 2019). What a
slot was recognised as is marked on its pieces. A stretch of words is summed up by attention and by the largest value of each unit. The two
readings err differently, so that they are right more often together.

The layers come from a general-purpose sentence encoder that has read much English (`glance_school` names it), and were taught garden talk by
`python -m bot.understanding.learn --glance`, which needs libraries this reading does without.
"""

from __future__ import annotations

import math
import zipfile
from bisect import bisect_left
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from bot.understanding.found import Sheet
from bot.understanding.marking import shown_by
from bot.understanding.pieces import Pieces

#: What was learned, beside the phrases.
SHIPPED = "glance.npz"
#: Heads of attention, and how many words and pieces of a message are looked at.
HEADS, MOST, MOST_PIECES = 12, 64, 80
#: Of a message of more words fewer pieces are looked at, and of one of more than so many none: reading them as well would take too long.
LONG_PIECES, TOO_LONG = 40, 200
#: What nothing that hurts is called among the dangers.
SAFE = "safe"
_STEPS = 127.0


@dataclass(frozen=True, slots=True)
class Place:
    """What stands in one place of a message: its first token, its words, and the marks of its slot."""

    at: int
    words: str
    marks: tuple[str, ...] = ()


def places_of(sheet: Sheet) -> list[Place]:
    """Return what stands in a message, one entry a word, mark or slot."""
    found: list[Place] = []
    i = 0
    while i < len(sheet.tokens):
        slot, token = sheet.at(i), sheet.tokens[i]
        if slot is None:
            found.append(Place(i, token.word, ("<num>",) if token.kind == "number" else ()))
            i += 1
            continue
        inside = sheet.tokens[slot.start:slot.end]
        if slot.kind in ("method", "thing"):
            found += [Place(slot.start + n, token.word) for n, token in enumerate(inside)]
        else:
            shown, beside = shown_by(slot, [token.word for token in inside if token.kind == "word"])
            found.append(Place(slot.start, " ".join(token.word for token in inside), tuple(mark for mark in (shown, *beside) if mark.startswith("<"))))
        i = max(slot.end, i + 1)
    return found


@dataclass(frozen=True)
class Glance:
    """What was learned: the names of intents, dangers and marks, `rows` (int8, pieces x units, times `scale`), and the layers above them by name."""

    intents: list[str]
    dangers: list[str]
    marks: dict[str, int]
    pieces: Pieces
    rows: Any
    scale: Any
    layers: dict[str, Any]

    def look(self, sheet: Sheet) -> Seen:
        """Look at the words of a message, as many as are looked at."""
        places = places_of(sheet)
        if len(places) > TOO_LONG:
            return self.see([])
        return self.see(places[:MOST], MOST_PIECES if len(places) <= MOST else LONG_PIECES)

    def see(self, places: list[Place], most: int = MOST_PIECES) -> Seen:
        """Look at what stands in the places of a message, up to so many pieces."""
        w, ids, starts = self.layers, [self.pieces.opens], list[int]()
        marks: list[tuple[int, ...]] = [()]
        for place in places:
            own = self.pieces.of(place.words)
            if len(ids) + len(own) >= most:
                break
            starts.append(len(ids))
            ids += own
            marks += [tuple(self.marks[mark] for mark in place.marks if mark in self.marks)] * len(own)
        ids.append(self.pieces.closes)
        x = self.rows[ids] * self.scale + w["where.weight"][:len(ids)]
        for n, mine in enumerate(marks):
            for known in mine:
                x[n] += w["mark.weight"][known]
        x = _even(x, w, "first")
        turn = 0
        while f"{turn}.all.weight" in w:
            x = self._layer(x, f"{turn}.")
            turn += 1
        if not starts:
            return Seen(self, [], np.zeros((0, x.shape[1]), np.float32))
        sizes = np.diff([*starts, len(ids) - 1]).astype(np.float32)
        return Seen(self, [place.at for place in places[:len(starts)]], np.add.reduceat(x[:-1], starts, axis=0) / sizes[:, None])

    def _layer(self, x: Any, turn: str) -> Any:
        """Return what each piece makes of all of them, by attention, and of that."""
        w, (many, units) = self.layers, x.shape
        asked, offered, given = (x @ w[f"{turn}all.weight"] + w[f"{turn}all.bias"]).reshape(many, 3, HEADS, units // HEADS).transpose(1, 2, 0, 3)
        heads = _shares(asked @ offered.transpose(0, 2, 1) * np.float32((units // HEADS) ** -0.5)) @ given
        x = _even(x + heads.transpose(1, 0, 2).reshape(many, units) @ w[f"{turn}all_out.weight"] + w[f"{turn}all_out.bias"], w, f"{turn}after_all")
        inner = _bend(x @ w[f"{turn}each.weight"] + w[f"{turn}each.bias"])
        return _even(x + inner @ w[f"{turn}each_out.weight"] + w[f"{turn}each_out.bias"], w, f"{turn}after_each")


@dataclass(frozen=True)
class Seen:
    """A message that was looked at: the first token of each place, and its units."""

    by: Glance
    tokens: list[int]
    units: Any

    @property
    def begins(self) -> Any:
        """Return the log odds that something new begins at each place."""
        return self._lone("begin")

    def begin(self, token: int) -> float:
        """Return the log odds that something new begins at a token; there are none where nothing was looked at."""
        at = bisect_left(self.tokens, token)
        if at >= len(self.tokens) or self.tokens[at] != token:
            return -math.inf
        return float(self._lone("begin", slice(at, at + 1))[0])

    def odds(self, start: int, end: int) -> Any:
        """Return the log chance of each intent for the tokens [start, end); all alike where nothing was looked at."""
        return self._told(slice(bisect_left(self.tokens, start), bisect_left(self.tokens, end)), "gate", "out", len(self.by.intents))

    def hurts(self) -> list[tuple[str, float]]:
        """Return the chance of each danger in the whole message, the likeliest first; "safe" stands for none."""
        chances = np.exp(self._told(slice(0, len(self.tokens)), "danger_gate", "danger", len(self.by.dangers)))
        order = np.argsort(-chances)
        return [(self.by.dangers[i], float(chances[i])) for i in order]

    def _lone(self, name: str, part: slice = slice(None)) -> Any:
        w = self.by.layers
        return (self.units[part] @ w[f"{name}.weight"] + w[f"{name}.bias"]).ravel()

    def _told(self, part: slice, gate: str, out: str, many: int) -> Any:
        units = self.units[part]
        if not len(units):
            return np.zeros(many, np.float32)
        w = self.by.layers
        scores = np.concatenate([_shares(self._lone(gate, part)) @ units, units.max(axis=0)]) @ w[f"{out}.weight"] + w[f"{out}.bias"]
        scores = scores - scores.max()
        return scores - np.log(np.exp(scores).sum())


def _even(x: Any, w: dict[str, Any], name: str) -> Any:
    """Layer normalisation (Ba, Kiros and Hinton, arXiv 1607.06450, 2016)."""
    x = x - np.add.reduce(x, axis=1, keepdims=True) / np.float32(x.shape[1])
    spread = np.einsum("ij,ij->i", x, x)[:, None] / np.float32(x.shape[1])
    return x / np.sqrt(spread + np.float32(1e-12)) * w[f"{name}.weight"] + w[f"{name}.bias"]


def _bend(x: Any) -> Any:
    """Gaussian error linear units by their approximation (Hendrycks and Gimpel, arXiv 1606.08415, 2016)."""
    inner = x * x  # in place from here on: these are the largest arrays of a look
    inner *= np.float32(0.044715)
    inner += np.float32(1.0)
    inner *= x
    inner *= np.float32(0.7978845608)
    np.tanh(inner, out=inner)
    inner += np.float32(1.0)
    inner *= x
    inner *= np.float32(0.5)
    return inner


def _shares(x: Any) -> Any:
    grown = np.exp(x - x.max(axis=-1, keepdims=True))
    return grown / grown.sum(axis=-1, keepdims=True)


def in_steps(weights: Any) -> tuple[Any, Any]:
    """Return weights as whole steps of -127 to 127, and what one step of each column is worth."""
    scale = np.maximum(np.abs(weights).max(axis=0), 1e-9) / _STEPS
    return np.rint(weights / scale).astype(np.int8), scale.astype(np.float32)


def load(path: Path, intents: list[str]) -> Glance | None:
    """Return what was learned; None when the file is missing, broken, or of other intents: reading does without it."""
    try:
        with np.load(path, allow_pickle=False) as kept:
            if str(kept["intents"]).split("\n") != intents:
                return None
            dangers, marks, names = (str(kept[name]).split("\n") for name in ("dangers", "marks", "pieces"))
            layers = {name.removeprefix("layer "): kept[name].astype(np.float32) for name in kept.files if name.startswith("layer ")}
            for name in kept.files:
                if name.startswith("step "):
                    layers[name.removeprefix("step ")] *= kept[name]
            return Glance(intents, dangers, {mark: n for n, mark in enumerate(marks)}, Pieces(names), kept["rows"], kept["scale"], layers)
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None


def save(path: Path, glance: Glance) -> None:
    """Keep what was learned: large layers in whole steps, small ones in short floats."""
    kept: dict[str, Any] = {name: np.array("\n".join(lines)) for name, lines in
                            (("intents", glance.intents), ("dangers", glance.dangers), ("marks", glance.marks), ("pieces", glance.pieces.names))}
    kept |= {"rows": glance.rows, "scale": glance.scale}
    for name, layer in glance.layers.items():
        if layer.size > 100_000:
            kept[f"layer {name}"], kept[f"step {name}"] = in_steps(layer)
        else:
            kept[f"layer {name}"] = layer.astype(np.float16)
    part = path.with_suffix(".part.npz")
    np.savez_compressed(part, **kept)
    part.replace(path)
