"""A small linear model of intents, learned from the phrases when they are loaded.

Softmax regression by stochastic gradient steps with per-feature step sizes (AdaGrad: Duchi, Hazan and
Singer, Journal of Machine Learning Research 12, 2011), in a fixed order, so the same phrases always give
the same weights. The weights are remembered in the user's cache folder, named by a hash of the phrases.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

_EPOCHS, _STEP, _PULL, _DROP, _SEED = 6, 0.7, 2e-4, 0.3, 7
_FORM = "2"


@dataclass
class Model:
    """Weights by feature and intent, and how common a feature is among the phrases."""

    intents: list[str]
    index: dict[str, int]
    weights: Any  # features x intents, float32
    bias: Any
    scale: float = 4.0

    def scores(self, found: dict[str, float]) -> Any:
        """Return the log odds of each intent for a clause's features."""
        ids = [(self.index[k], v) for k, v in found.items() if k in self.index]
        if not ids:
            return self.bias.copy()
        rows = np.fromiter((i for i, _ in ids), dtype=np.int64, count=len(ids))
        values = np.fromiter((v for _, v in ids), dtype=np.float32, count=len(ids))
        return self.bias + values @ self.weights[rows]

    def because(self, found: dict[str, float], intent: str, most: int = 6) -> list[tuple[str, float]]:
        """Return the features that speak most for an intent."""
        column = self.intents.index(intent)
        parts = [(k, float(v * self.weights[self.index[k], column])) for k, v in found.items() if k in self.index]
        return sorted(parts, key=lambda p: -p[1])[:most]


def learn(rows: list[tuple[str, dict[str, float]]], intents: list[str], least: int = 2) -> Model:
    """Learn weights from (intent, features) rows. Features found in fewer than `least` rows are left out.

    A third of a row's features is hidden at each step, so that no single phrase is learned by heart
    (dropout: Srivastava and others, Journal of Machine Learning Research 15, 2014).
    """
    counts: dict[str, int] = {}
    for _, found in rows:
        for key in found:
            counts[key] = counts.get(key, 0) + 1
    index = {key: i for i, key in enumerate(k for k, n in counts.items() if n >= least)}
    column = {name: i for i, name in enumerate(intents)}
    many = np.zeros(len(intents))
    for name, _ in rows:
        many[column[name]] += 1
    share = (many.mean() / np.maximum(many, 1)) ** 0.5
    packed = []
    for name, found in rows:
        keys = [(index[k], v) for k, v in found.items() if k in index]
        packed.append((np.array([i for i, _ in keys]), np.array([v for _, v in keys], dtype=np.float32)[:, None], column[name]))
    weights = np.zeros((len(index), len(intents)), dtype=np.float32)
    squares = np.full((len(index), len(intents)), 0.05, dtype=np.float32)
    bias = np.zeros(len(intents), dtype=np.float32)
    order = np.random.default_rng(_SEED)
    for epoch in range(_EPOCHS):
        step = _STEP / (1 + 0.3 * epoch)
        for at in order.permutation(len(packed)):
            ids, values, target = packed[at]
            seen = order.random(len(ids)) > _DROP
            ids, values = ids[seen], values[seen] / (1 - _DROP)
            block = weights[ids]
            scores = (values * block).sum(0) + bias
            scores -= scores.max()
            chance = np.exp(scores)
            chance /= chance.sum()
            chance[target] -= 1.0
            chance *= share[target]
            slope = values * chance + _PULL * block
            grown = squares[ids] + slope * slope
            squares[ids] = grown
            weights[ids] = block - step * slope / np.sqrt(grown)
            bias -= 0.02 * step * chance
    return Model(intents, index, weights, bias)


def remembered(folder: Path | None, key: str) -> Model | None:
    """Return the weights kept under a key, or None."""
    if folder is None:
        return None
    try:
        with np.load(folder / f"{key}.npz", allow_pickle=False) as kept:
            names = [str(n) for n in kept["intents"]]
            index = {str(k): i for i, k in enumerate(str(kept["features"]).split("\n"))}
            weights = kept["weights"].astype(np.float32)
            if weights.shape != (len(index), len(names)):
                return None
            return Model(names, index, weights, kept["bias"].astype(np.float32))
    except (OSError, ValueError, KeyError, EOFError):
        return None


def remember(folder: Path | None, key: str, model: Model) -> None:
    """Keep the weights; a folder that cannot be written is no fault."""
    if folder is None:
        return
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        part = folder / f"{key}.part.npz"
        np.savez(part, intents=np.array(model.intents), features=np.array("\n".join(model.index)),
                 weights=model.weights.astype(np.float16), bias=model.bias)
        part.replace(folder / f"{key}.npz")
        for old in sorted(folder.glob("*.npz"), key=lambda p: p.stat().st_mtime)[:-4]:
            old.unlink(missing_ok=True)
    except OSError:
        return


def key_of(parts: list[str]) -> str:
    """Return the name under which weights learned from these texts are kept."""
    digest = hashlib.sha256(_FORM.encode())
    for part in parts:
        digest.update(part.encode() + b"\0")
    return digest.hexdigest()[:32]
