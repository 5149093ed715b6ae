"""Learn to weigh the ways to cut a message. Needs the `learn` extra; reading with what was learned does without it."""

from __future__ import annotations

import math
import random

import numpy as np
import torch
from torch import Tensor, nn

from bot.understanding.ways import Laid, Weigher

#: Units of a layer and of an intent, passes, messages a step, the first step size, what is hidden, and how far weights are held back.
_UNITS, _OF_INTENT, _PASSES, _BATCH, _STEP, _DROP, _PULL = 64, 12, 10, 64, 2e-3, 0.2, 1e-3
_SEED = 1


class _Net(nn.Module):
    """The layers that `Weigher.worth` runs through."""

    def __init__(self, numbers: int, of_gap: int, intents: int) -> None:
        super().__init__()
        known = numbers + _OF_INTENT
        self.intent = nn.Embedding(intents, _OF_INTENT)
        self.lone, self.lone_out = nn.Linear(known, _UNITS), nn.Linear(_UNITS, 1)
        self.beside, self.beside_out = nn.Linear(3 * known + of_gap, _UNITS), nn.Linear(_UNITS, 1)
        self.whole = nn.Linear(of_gap, 1)
        self.drop = nn.Dropout(_DROP)

    def worth(self, batch: list[Laid]) -> tuple[Tensor, list[int]]:
        """Return what every way of some messages is worth, and how many ways each message has."""
        rows, gaps = (torch.tensor(np.concatenate([getattr(laid, name) for laid in batch])) for name in ("rows", "gaps"))
        known = torch.cat([rows, self.intent(torch.tensor(np.concatenate([laid.intents for laid in batch])))], 1)
        pairs, ways = [], []
        at = np.zeros(4, int)  # of stretches, gaps, pairs and ways, how many there were before
        for laid in batch:
            pairs.append(laid.pairs + np.array([at[1], at[0], at[0], at[0]]))
            ways += [([at[0] + n for n in a], [at[2] + n for n in b], [at[1] + n for n in c]) for a, b, c in laid.ways]
            at += np.array([len(laid.rows), len(laid.gaps), len(laid.pairs), len(laid.ways)])
        pair = torch.tensor(np.concatenate(pairs))
        lone = self.lone_out(self.drop(self.lone(known).relu())).squeeze(1)
        beside = self.beside_out(self.drop(self.beside(torch.cat([known[pair[:, 1]], known[pair[:, 2]], known[pair[:, 3]], gaps[pair[:, 0]]], 1)).relu())).squeeze(1)
        total = torch.zeros(len(ways))
        for which, values in enumerate((lone, beside, self.whole(gaps).squeeze(1))):
            own = [n for n, way in enumerate(ways) for _ in way[which]]
            if own:
                total = total.index_add(0, torch.tensor(own), values[torch.tensor([n for way in ways for n in way[which]])])
        return total, [len(laid.ways) for laid in batch]


def learn_ways(examples: list[tuple[Laid, int]], names: list[str]) -> Weigher:
    """Learn from messages laid out in all their ways, each with the number of the right one."""
    torch.manual_seed(_SEED)
    order = random.Random(_SEED)
    laid = examples[0][0]
    net = _Net(laid.rows.shape[1], laid.gaps.shape[1], len(names))
    steps = torch.optim.AdamW(net.parameters(), lr=_STEP, weight_decay=_PULL)
    many = len(examples) // _BATCH
    net.train()
    for turn in range(_PASSES):
        order.shuffle(examples)
        for n in range(many):
            part = examples[n * _BATCH:(n + 1) * _BATCH]
            total, sizes = net.worth([laid for laid, _ in part])
            loss = torch.stack([-ways.log_softmax(0)[right] for ways, (_, right) in zip(total.split(sizes), part, strict=True)]).mean()
            for group in steps.param_groups:
                group["lr"] = _STEP * 0.5 * (1 + math.cos(math.pi * (turn * many + n) / (_PASSES * many)))
            steps.zero_grad()
            loss.backward()
            steps.step()
        print(f"ways: pass {turn + 1} of {_PASSES}", flush=True)
    plain = {name: value.detach().numpy() for name, value in net.state_dict().items()}
    return Weigher(names, {name: np.ascontiguousarray(value if name == "intent.weight" or value.ndim == 1 else value.T, np.float32) for name, value in plain.items()})
