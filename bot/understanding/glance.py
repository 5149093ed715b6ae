"""Read a whole message at one glance: what each word of it belongs to, and where something new begins.

The networks of `model` see the words of one clause as a heap; this one sees every word of the message in its place. A convolution over
neighbouring words (Collobert and others, Journal of Machine Learning Research 12, 2011) is followed by attention over all of them, twice (Vaswani
and others, NIPS 2017) with a bias for how far apart two words stand (Shaw and others, NAACL 2018). A stretch of words is summed up by
attention and by the largest value of each unit. The two readings err differently, so that they are right more often together.

Learned by `python -m bot.understanding.learn --glance` (`glance_school`), which needs a library this reading does without.
"""

from __future__ import annotations

import math
import zipfile
from bisect import bisect_left
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from bot.understanding.found import Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.marking import shown_by

#: What was learned, beside the phrases.
SHIPPED = "glance.npz"
#: Heads of attention, how often all words are attended to, how far apart two may stand to be told apart, what the words of a message are made
#: larger by, and how many are looked at.
HEADS, LAYERS, REACH, BRIGHT, MOST = 6, 2, 12, 8.0, 96
#: Messages of more words are looked at by one network only.
LONG = 60
#: So many words are remembered.
_REMEMBERED = 4096
#: What stands for a word that was not learned.
STRANGE = "<?>"


def words_at(sheet: Sheet) -> list[tuple[int, list[str]]]:
    """Return what stands in a message, one entry a word, mark or slot: its first token, and its words (a slot first by its kind)."""
    found: list[tuple[int, list[str]]] = []
    i = 0
    while i < len(sheet.tokens):
        slot, token = sheet.at(i), sheet.tokens[i]
        if slot is None:
            found.append((i, ["<num>" if token.kind == "number" else token.word]))
            i += 1
            continue
        shown, beside = shown_by(slot, [t.word for t in sheet.tokens[slot.start:slot.end] if t.kind == "word"])
        if slot.kind in ("method", "thing"):
            found += [(k, [sheet.tokens[k].word]) for k in range(slot.start, slot.end)]
        elif shown:
            found.append((slot.start, [shown, *beside]))
        i = max(slot.end, i + 1)
    return found


def keys_of(word: str, lexicon: Lexicon) -> tuple[list[str], list[str]]:
    """Return the features of a word: itself and its stem, and its pieces of three to five letters."""
    if word.startswith("<"):
        return [word], []
    edged = f" {word} "
    return [f"={word}", lexicon.stem(word)], sorted({f"~{edged[i:i + size]}" for size in (3, 4, 5) for i in range(len(edged) - size + 1)})


@dataclass(frozen=True)
class Glance:
    """What was learned: `rows` (int8, features x units, times `scale`) of the words, and the layers above them by name."""

    intents: list[str]
    index: dict[str, int]
    rows: Any
    scale: Any
    layers: dict[str, Any]
    met: dict[str, Any] = field(default_factory=dict, compare=False)

    def look(self, said: list[tuple[int, list[str]]], lexicon: Lexicon) -> Seen:
        """Look at the words of a message."""
        w = self.layers
        x = np.zeros((max(len(said), 1), len(self.scale)), np.float32)
        for n, (_, words) in enumerate(said):
            for word in words:
                x[n] += self._word(word, lexicon)
        x *= self.scale * BRIGHT
        x = x + self._near(_even(x, w, "before_near"))
        apart = np.clip(np.arange(len(x))[None] - np.arange(len(x))[:, None], -REACH, REACH) + REACH
        for turn in range(LAYERS):
            x = x + self._all(_even(x, w, f"{turn}.before_all"), turn, apart)
            inner = _bend(_even(x, w, f"{turn}.before_each") @ w[f"{turn}.each.weight"] + w[f"{turn}.each.bias"])
            x = x + inner @ w[f"{turn}.each_out.weight"] + w[f"{turn}.each_out.bias"]
        x = _even(x, w, "last")
        begins = (x @ w["begin.weight"] + w["begin.bias"]).ravel()
        return Seen(self, [at for at, _ in said], x, begins, (x @ w["gate.weight"] + w["gate.bias"]).ravel())

    def _near(self, x: Any) -> Any:
        """Return what each word learns from its neighbours, by a convolution."""
        w, (many, units) = self.layers, x.shape
        reach = w["near.weight"].shape[0] // units
        padded = np.zeros((many + reach - 1, units), np.float32)
        padded[reach // 2:reach // 2 + many] = x
        near = np.lib.stride_tricks.sliding_window_view(padded, reach, axis=0).transpose(0, 2, 1).reshape(many, -1)
        return _bend(near @ w["near.weight"] + w["near.bias"]) @ w["near_out.weight"] + w["near_out.bias"]

    def _all(self, x: Any, turn: int, apart: Any) -> Any:
        """Return what each word learns from all of them, by attention; `apart` numbers how far apart two stand."""
        w, (many, units) = self.layers, x.shape
        said = (x @ w[f"{turn}.all.weight"] + w[f"{turn}.all.bias"]).reshape(many, 3, HEADS, units // HEADS).transpose(1, 2, 0, 3)
        asked, offered, given = said
        heads = _shares(asked @ offered.transpose(0, 2, 1) / np.float32((units // HEADS) ** 0.5) + w[f"{turn}.apart"][:, apart]) @ given
        return heads.transpose(1, 0, 2).reshape(many, units) @ w[f"{turn}.all_out.weight"] + w[f"{turn}.all_out.bias"]

    def _word(self, word: str, lexicon: Lexicon) -> Any:
        """Return the units of one word; the last ones are remembered."""
        if word not in self.met:
            keys, pieces = keys_of(word, lexicon)
            own = [self.index[k] for k in keys if k in self.index]
            if keys[0] not in self.index:
                own.append(self.index[STRANGE])
            small = [self.index[p] for p in pieces if p in self.index]
            heft = np.array([1.0] * len(own) + [max(len(small), 1) ** -0.5] * len(small), np.float32)
            if len(self.met) >= _REMEMBERED:
                self.met.clear()
            self.met[word] = heft @ self.rows[own + small]
        return self.met[word]


@dataclass(frozen=True)
class Seen:
    """A message that was looked at: the first token of each word, its units, the log odds that something new begins there, and how much it counts."""

    by: Glance
    tokens: list[int]
    units: Any
    begins: Any
    counts: Any

    def begin(self, token: int) -> float:
        """Return the log odds that something new begins at a token; there are none where nothing was looked at."""
        at = bisect_left(self.tokens, token)
        return float(self.begins[at]) if at < len(self.tokens) and self.tokens[at] == token else -math.inf

    def odds(self, start: int, end: int) -> Any:
        """Return the log chance of each intent for the tokens [start, end); all alike where nothing was looked at."""
        part = slice(bisect_left(self.tokens, start), bisect_left(self.tokens, end))
        if part.start >= part.stop:
            return np.zeros(len(self.by.intents), np.float32)
        w, units = self.by.layers, self.units[part]
        scores = np.concatenate([_shares(self.counts[part]) @ units, units.max(axis=0)]) @ w["out.weight"] + w["out.bias"]
        scores = scores - scores.max()
        return scores - np.log(np.exp(scores).sum())


def _even(x: Any, w: dict[str, Any], name: str) -> Any:
    """Layer normalisation (Ba, Kiros and Hinton, arXiv 1607.06450, 2016)."""
    x = x - np.add.reduce(x, axis=1, keepdims=True) / np.float32(x.shape[1])
    spread = np.einsum("ij,ij->i", x, x)[:, None] / np.float32(x.shape[1])
    return x / np.sqrt(spread + np.float32(1e-5)) * w[f"{name}.weight"] + w[f"{name}.bias"]


def _bend(x: Any) -> Any:
    """Gaussian error linear units by their approximation (Hendrycks and Gimpel, arXiv 1606.08415, 2016)."""
    return 0.5 * x * (1.0 + np.tanh(0.7978845608 * (x + 0.044715 * x * x * x)))


def _shares(x: Any) -> Any:
    grown = np.exp(x - x.max(axis=-1, keepdims=True))
    return grown / grown.sum(axis=-1, keepdims=True)


@dataclass(frozen=True)
class Glances:
    """Several networks that learned in an order of their own. They err differently, and are right more often together (Breiman, Machine Learning 24, 1996)."""

    each: tuple[Glance, ...]

    @property
    def intents(self) -> list[str]:
        """Return the names of the intents."""
        return self.each[0].intents

    def look(self, sheet: Sheet, lexicon: Lexicon) -> SeenByAll:
        """Look at a message with all of them; at a long one with the first alone, since two would take too long."""
        said = words_at(sheet)[:MOST]
        return SeenByAll(tuple(glance.look(said, lexicon) for glance in self.each[:len(self.each) if len(said) <= LONG else 1]))


@dataclass(frozen=True)
class SeenByAll:
    """What several saw of one message, in the mean."""

    each: tuple[Seen, ...]

    @property
    def tokens(self) -> list[int]:
        """Return the first token of each word that was looked at."""
        return self.each[0].tokens

    @property
    def begins(self) -> Any:
        """Return the log odds that something new begins at each word."""
        return sum(seen.begins for seen in self.each) / np.float32(len(self.each))

    def begin(self, token: int) -> float:
        """Return the log odds that something new begins at a token; there are none where nothing was looked at."""
        return sum(seen.begin(token) for seen in self.each) / len(self.each)

    def odds(self, start: int, end: int) -> Any:
        """Return the log chance of each intent for the tokens [start, end); all alike where nothing was looked at."""
        odds = sum(seen.odds(start, end) for seen in self.each) / np.float32(len(self.each))
        return odds - np.log(np.exp(odds).sum()) if odds.any() else odds


def load(path: Path, intents: list[str]) -> Glances | None:
    """Return what was learned; None when the file is missing, broken, or of other intents: reading does without it."""
    try:
        with np.load(path, allow_pickle=False) as kept:
            if [str(n) for n in kept["intents"]] != intents:
                return None
            return Glances(tuple(_one(kept, n, intents) for n in range(int(kept["many"]))))
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None


def _one(kept: Any, n: int, intents: list[str]) -> Glance:
    index = {k: i for i, k in enumerate(str(kept[f"{n} features"]).split("\n"))}
    layers = {name.removeprefix(f"{n} layer "): kept[name].astype(np.float32) for name in kept.files if name.startswith(f"{n} layer ")}
    return Glance(intents, index, kept[f"{n} rows"], kept[f"{n} scale"], layers)


def save(path: Path, glances: Glances) -> None:
    """Keep what was learned."""
    part = path.with_suffix(".part.npz")
    kept: dict[str, Any] = {"intents": np.array(glances.intents), "many": np.array(len(glances.each))}
    for n, one in enumerate(glances.each):
        kept |= {f"{n} features": np.array("\n".join(one.index)), f"{n} rows": one.rows, f"{n} scale": one.scale,
                 **{f"{n} layer {name}": layer.astype(np.float16) for name, layer in one.layers.items()}}
    np.savez_compressed(part, **kept)
    part.replace(path)
