"""A small model of intents, learned from the phrases: a linear one, and the nearest phrases beside it.

Softmax regression by stochastic gradient steps with per-feature step sizes (AdaGrad: Duchi, Hazan and
Singer, Journal of Machine Learning Research 12, 2011) in a fixed order, so the same phrases always give
the same weights. Beside it the cosine likeness to the nearest phrases by inverse document frequency
(Sparck Jones, Journal of Documentation 28, 1972): the first generalises, the second knows what is strange.
"""

from __future__ import annotations

import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

_EPOCHS, _STEP, _PULL, _DROP, _SEED = 6, 0.7, 2e-4, 0.3, 7
_NEAREST, _COMMON = 12, 0.15


@dataclass
class Model:
    """What was learned. `weights` is features x intents; the phrases of feature i are `rows[starts[i]:starts[i + 1]]`."""

    intents: list[str]
    index: dict[str, int]
    weights: Any  # int8, features x intents
    scale: Any  # float32 per intent: what one step of a weight is worth
    bias: Any
    starts: Any
    rows: Any
    rarity: Any  # idf of each feature
    norms: Any  # length of each phrase's weighted features
    labels: Any  # intent of each phrase

    def scores(self, found: dict[str, float]) -> tuple[Any, Any, float]:
        """Return (linear log odds, share of the nearest phrases, likeness of the nearest) per intent for a clause's features."""
        ids = [(self.index[k], v) for k, v in found.items() if k in self.index]
        if not ids:
            return self.bias.copy(), np.zeros(len(self.intents)), 0.0
        at = np.fromiter((i for i, _ in ids), dtype=np.int64, count=len(ids))
        values = np.fromiter((v for _, v in ids), dtype=np.float32, count=len(ids))
        linear = self.bias + (values @ self.weights[at]) * self.scale
        unseen = sum(v * v for k, v in found.items() if k not in self.index and not k.startswith("~")) * 60.0
        heft = values * self.rarity[at]
        length = float(np.sqrt((heft * heft).sum() + unseen)) or 1.0
        sizes = self.starts[at + 1] - self.starts[at]
        rows = np.concatenate([self.rows[a:b] for a, b in zip(self.starts[at], self.starts[at + 1], strict=True)])
        sums = np.bincount(rows, weights=np.repeat(heft * self.rarity[at], sizes), minlength=len(self.labels))
        likeness = sums * self.norms / length
        best = np.argpartition(-likeness, _NEAREST)[:_NEAREST]
        share = np.bincount(self.labels[best], weights=np.maximum(likeness[best], 0.0) ** 3, minlength=len(self.intents))
        return linear, share, float(likeness[best].max())

    def because(self, found: dict[str, float], intent: str, most: int = 6) -> list[tuple[str, float]]:
        """Return the features that speak most for an intent."""
        column = self.intents.index(intent)
        parts = [(k, float(v * self.weights[self.index[k], column] * self.scale[column])) for k, v in found.items() if k in self.index]
        return sorted(parts, key=lambda p: -p[1])[:most]


def learn(rows: list[tuple[str, dict[str, float]]], intents: list[str], least: int = 3) -> Model:
    """Learn from (intent, features) rows. Features found in fewer than `least` rows are left out.

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
        packed.append((np.array([i for i, _ in keys], dtype=np.int64), np.array([v for _, v in keys], dtype=np.float32), column[name]))
    weights, bias = _descend(packed, len(index), len(intents), share)
    scale = np.maximum(np.abs(weights).max(axis=0), 1e-6) / 127.0
    return Model(intents, index, np.rint(weights / scale).astype(np.int8), scale.astype(np.float32), bias, *_postings(packed, len(index), np.array([k.startswith("~") for k in index])))


def weigh(rows: list[tuple[bool, dict[str, float]]], least: int = 4) -> dict[str, float]:
    """Learn to tell yes from no by the same steps; return the log odds each feature is worth, "" being what stands for none."""
    counts: dict[str, int] = {}
    for _, found in rows:
        for key in found:
            counts[key] = counts.get(key, 0) + 1
    index = {key: i for i, key in enumerate(k for k, n in counts.items() if n >= least)}
    packed = [(np.array([index[k] for k in found if k in index], dtype=np.int64), np.array([v for k, v in found.items() if k in index], dtype=np.float32), int(yes))
              for yes, found in rows]
    if not packed:
        return {}
    weights, bias = _descend(packed, len(index), 2, np.ones(2))
    worth = weights[:, 1] - weights[:, 0]
    return {"": round(float(bias[1] - bias[0]), 3), **{key: round(float(worth[i]), 3) for key, i in index.items() if abs(worth[i]) > 0.03}}


def _descend(packed: list[tuple[Any, Any, int]], features: int, intents: int, share: Any) -> tuple[Any, Any]:
    weights = np.zeros((features, intents), dtype=np.float32)
    squares = np.full((features, intents), 0.05, dtype=np.float32)
    bias = np.zeros(intents, dtype=np.float32)
    order = np.random.default_rng(_SEED)
    for epoch in range(_EPOCHS):
        step = _STEP / (1 + 0.3 * epoch)
        for at in order.permutation(len(packed)):
            ids, values, target = packed[at]
            seen = order.random(len(ids)) > _DROP
            ids, column = ids[seen], (values[seen] / (1 - _DROP))[:, None]
            block = weights[ids]
            scores = (column * block).sum(0) + bias
            scores -= scores.max()
            chance = np.exp(scores)
            chance /= chance.sum()
            chance[target] -= 1.0
            chance *= share[target]
            slope = column * chance + _PULL * block
            grown = squares[ids] + slope * slope
            squares[ids] = grown
            weights[ids] = block - step * slope / np.sqrt(grown)
            bias -= 0.02 * step * chance
    return weights, bias


def _postings(packed: list[tuple[Any, Any, int]], features: int, pieces: Any) -> tuple[Any, Any, Any, Any, Any]:
    """Return starts, rows, rarity, norms and labels for the nearest phrases; very common features are left out."""
    many = len(packed)
    counts = np.bincount(np.concatenate([ids for ids, _, _ in packed]), minlength=features)
    rarity = np.log(many / np.maximum(counts, 1)).astype(np.float32)
    rarity[counts > many * _COMMON] = 0.0
    rarity[pieces] = 0.0  # whole words say better what is near; pieces would treble the size
    pairs_feature = np.concatenate([ids for ids, _, _ in packed])
    pairs_row = np.repeat(np.arange(many), [len(ids) for ids, _, _ in packed])
    kept = rarity[pairs_feature] > 0
    pairs_feature, pairs_row = pairs_feature[kept], pairs_row[kept]
    order = np.argsort(pairs_feature, kind="stable")
    starts = np.searchsorted(pairs_feature[order], np.arange(features + 1))
    norms = np.array([1.0 / max(1e-6, float(np.sqrt(((rarity[ids]) ** 2).sum()))) for ids, _, _ in packed], dtype=np.float32)
    labels = np.array([target for _, _, target in packed], dtype=np.int64)
    return starts.astype(np.int64), pairs_row[order].astype(np.int32), rarity, norms, labels


def load(path: Path, key: str) -> tuple[Model, str] | None:
    """Return the model kept under a key and the note beside it; None when the file is missing, broken, or of other phrases."""
    try:
        with np.load(path, allow_pickle=False) as kept:
            if str(kept["key"]) != key:
                return None
            names = [str(n) for n in kept["intents"]]
            index = {k: i for i, k in enumerate(str(kept["features"]).split("\n"))}
            model = Model(names, index, kept["weights"], kept["scale"], kept["bias"], kept["starts"].astype(np.int64),
                          kept["rows"].astype(np.int32), kept["rarity"], kept["norms"], kept["labels"].astype(np.int64))
            return model, str(kept["about"])
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None


def save(path: Path, key: str, model: Model, about: str) -> None:
    """Keep a model and a note beside it; a folder that cannot be written is no fault."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        part = path.with_suffix(".part.npz")
        np.savez_compressed(
            part, key=np.array(key), about=np.array(about), intents=np.array(model.intents), features=np.array("\n".join(model.index)), weights=model.weights,
            scale=model.scale, bias=model.bias.astype(np.float32), starts=model.starts.astype(np.int32), rows=model.rows.astype(np.uint32),
            rarity=model.rarity, norms=model.norms, labels=model.labels.astype(np.uint8))
        part.replace(path)
    except OSError:
        return
