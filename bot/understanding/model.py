"""A small model of intents, learned from the phrases: three networks of one hidden layer each, averaged, and the nearest phrases beside them.

The networks are learned by stochastic gradient steps with a step size of its own for each feature (AdaGrad: Duchi, Hazan and
Singer, Journal of Machine Learning Research 12, 2011) in an order of their own. Several see more than one
as wide as all (averaging: Breiman, Machine Learning 24, 1996). Beside them stands the cosine likeness to the nearest
phrases by inverse document frequency (Sparck Jones, Journal of Documentation 28, 1972): the first generalises, the second
knows what is strange. Yes and no are told apart by softmax regression, learned by the same kind of steps.
"""

from __future__ import annotations

import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

_EPOCHS, _STEP, _PULL, _DROP, _SEED = 6, 0.7, 2e-4, 0.3, 7
#: The networks: how many, their hidden units, rows a step, passes, first step sizes of the features and of the rest, what is hidden of either layer, how far no label is believed.
_NETWORKS, _UNITS, _BATCH, _PASSES, _STRIDE, _REST, _HIDE, _HIDE_UNITS, _DOUBT = 3, 64, 64, 12, 0.15, 2e-3, 0.4, 0.1, 0.05
_NEAREST, _COMMON = 12, 0.01


@dataclass
class Model:
    """What was learned. `weights` is features x units; the phrases of feature i are `rows[starts[i]:starts[i + 1]]`."""

    intents: list[str]
    index: dict[str, int]
    weights: Any  # int8, features x units
    scale: Any  # float32 per unit: what one step of a weight is worth
    bias: Any  # of each unit
    heads: Any  # units x intents
    base: Any  # of each intent
    starts: Any
    rows: Any
    rarity: Any  # idf of each feature
    norms: Any  # length of each phrase's weighted features
    labels: Any  # intent of each phrase

    def seen(self, found: dict[str, float]) -> tuple[Any, Any, float]:
        """Return the features that were learned, as their numbers and values, and the squared length of the strange ones."""
        ids = [(self.index[k], v) for k, v in found.items() if k in self.index]
        at = np.fromiter((i for i, _ in ids), dtype=np.int64, count=len(ids))
        values = np.fromiter((v for _, v in ids), dtype=np.float32, count=len(ids))
        return at, values, sum(v * v for k, v in found.items() if k not in self.index and k[0] != "~")

    def odds(self, at: Any, values: Any) -> Any:
        """Return the log odds of every intent."""
        return np.maximum(self._units(at, values), 0.0) @ self.heads + self.base

    def nearest(self, at: Any, values: Any, strange: float) -> tuple[Any, float]:
        """Return the share of the nearest phrases that each intent has, and the likeness of the nearest."""
        if not len(at):
            return np.zeros(len(self.intents)), 0.0
        heft = values * self.rarity[at]
        length = float(np.sqrt((heft * heft).sum() + strange * 60.0)) or 1.0
        sizes = self.starts[at + 1] - self.starts[at]
        rows = np.concatenate([self.rows[a:b] for a, b in zip(self.starts[at], self.starts[at + 1], strict=True)])
        sums = np.bincount(rows, weights=np.repeat(heft * self.rarity[at], sizes), minlength=len(self.labels))
        live = np.flatnonzero(sums != 0)  # five times faster than of the numbers themselves
        if not len(live):
            return np.zeros(len(self.intents)), 0.0
        likeness = sums[live] * self.norms[live] / length
        best = np.argpartition(-likeness, _NEAREST)[:_NEAREST] if len(live) > _NEAREST else np.arange(len(live))
        share = np.bincount(self.labels[live[best]], weights=likeness[best] ** 3, minlength=len(self.intents))
        return share, float(likeness[best].max())

    def _units(self, at: Any, values: Any) -> Any:
        return self.bias + (values @ self.weights[at]) * self.scale

    def because(self, found: dict[str, float], intent: str, most: int = 6) -> list[tuple[str, float]]:
        """Return the features that speak most for an intent, through the units they wake."""
        at, values, _ = self.seen(found)
        known = [k for k in found if k in self.index]
        awake = (self._units(at, values) > 0) * self.heads[:, self.intents.index(intent)] * self.scale
        worth = values * (self.weights[at] @ awake)
        return sorted(((k, float(w)) for k, w in zip(known, worth, strict=True)), key=lambda p: -p[1])[:most]


def learn(rows: list[tuple[str, dict[str, float]]], intents: list[str], least: int = 4) -> Model:
    """Learn from (intent, features) rows. Features found in fewer than `least` rows are left out.

    A part of a row's features is hidden at each step, so that no single phrase is learned by heart
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
    nets = [_network(packed, len(index), len(intents), share, _SEED + n) for n in range(_NETWORKS)]
    weights, bias = np.hstack([n[0] for n in nets]), np.concatenate([n[1] for n in nets])
    heads, base = np.vstack([n[2] for n in nets]) / np.float32(_NETWORKS), np.mean([n[3] for n in nets], axis=0)
    scale = np.maximum(np.abs(weights).max(axis=0), 1e-6) / 127.0
    return Model(intents, index, np.rint(weights / scale).astype(np.int8), scale.astype(np.float32), bias, heads, base, *_postings(packed, len(index), np.array([k.startswith("~") for k in index])))


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


def _network(packed: list[tuple[Any, Any, int]], features: int, intents: int, share: Any, seed: int) -> tuple[Any, Any, Any, Any]:
    """Return the weights and bias of the hidden units, and of the intents behind them.

    The steps of the later layer are Adam's (Kingma and Ba, ICLR 2015); labels are believed but for a part spread over all
    (label smoothing: Szegedy and others, CVPR 2016).
    """
    order = np.random.default_rng(seed)
    weights = (order.standard_normal((features, _UNITS)) * 0.01).astype(np.float32)
    rest = [np.zeros(_UNITS, np.float32), (order.standard_normal((_UNITS, intents)) / np.sqrt(_UNITS)).astype(np.float32), np.zeros(intents, np.float32)]
    squares, first, second = np.full(features, 1e-8, np.float32), [np.zeros_like(r) for r in rest], [np.zeros_like(r) for r in rest]
    targets = np.array([target for _, _, target in packed])
    steps, done = _PASSES * -(-len(packed) // _BATCH), 0
    for _ in range(_PASSES):
        shuffled = order.permutation(len(packed))
        for low in range(0, len(packed), _BATCH):
            at = shuffled[low:low + _BATCH]
            ids, values = np.concatenate([packed[i][0] for i in at]), np.concatenate([packed[i][1] for i in at])
            seen = order.random(len(ids)) > _HIDE
            columns, place = np.unique(ids[seen], return_inverse=True)
            batch = np.zeros((len(at), len(columns)), np.float32)
            batch[np.repeat(np.arange(len(at)), [len(packed[i][0]) for i in at])[seen], place] = values[seen] / (1 - _HIDE)
            bias, heads, base = rest
            raw = batch @ weights[columns] + bias
            shown = (order.random(raw.shape, dtype=np.float32) > _HIDE_UNITS) / np.float32(1 - _HIDE_UNITS)
            units = np.maximum(raw, 0.0) * shown
            scores = units @ heads + base
            chance = np.exp(scores - scores.max(1, keepdims=True))
            chance /= chance.sum(1, keepdims=True)
            chance -= _DOUBT / intents
            chance[np.arange(len(at)), targets[at]] -= 1 - _DOUBT
            chance = (chance * (share[targets[at]] / len(at))[:, None]).astype(np.float32)
            back = (chance @ heads.T) * shown * (raw > 0)
            pace, done = 1 - 0.95 * done / steps, done + 1
            for n, slope in enumerate((back.sum(0), units.T @ chance, chance.sum(0))):
                first[n] = 0.9 * first[n] + 0.1 * slope
                second[n] = 0.999 * second[n] + 0.001 * slope * slope
                rest[n] = rest[n] - _REST * pace * (first[n] / (1 - 0.9**done)) / (np.sqrt(second[n] / (1 - 0.999**done)) + 1e-8)
            slope = batch.T @ back
            squares[columns] += (slope * slope).mean(1)
            weights[columns] -= _STRIDE * pace * slope / np.sqrt(squares[columns])[:, None]
    return weights, *rest


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
            model = Model(names, index, kept["weights"], kept["scale"], kept["bias"], kept["heads"], kept["base"], kept["starts"].astype(np.int64),
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
            scale=model.scale, bias=model.bias, heads=model.heads, base=model.base, starts=model.starts.astype(np.int32), rows=model.rows.astype(np.uint32),
            rarity=model.rarity, norms=model.norms, labels=model.labels.astype(np.uint8))
        part.replace(path)
    except OSError:
        return
