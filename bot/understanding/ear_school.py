"""Learn only to hear dangers, on the layers of a glance that stay as they are: five minutes where the whole takes two hours. Needs the `learn` extra."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import torch
from torch import nn
from torch.nn import functional

from bot.understanding.glance import SAFE, Glance
from bot.understanding.glance_rows import marked
from bot.understanding.glance_school import DOUBT, UNSAFE, told_of
from bot.understanding.marking import Marker

#: Passes, messages a step, the first step size, what is hidden of the units, and how many ordinary messages are heard.
_PASSES, _BATCH, _STEP, _DROP, _EVERYDAY = 10, 64, 2e-3, 0.2, 20_000


def hearing(glance: Glance, dangers: list[tuple[str, str]], ordinary: list[str], marker: Marker, seed: int = 1) -> Glance:
    """Return what was learned with its ear for dangers learned anew, from those messages and from ordinary ones; the layers below stay as they are."""
    order = random.Random(seed)
    torch.manual_seed(seed)
    names = [SAFE, *sorted({name for name, _ in dangers} - {SAFE})]
    heard = [(torch.tensor(glance.see(marked(text, marker)).units), names.index(name), True) for name, text in dangers]
    heard += [(torch.tensor(glance.see(marked(text, marker)).units), 0, False) for text in order.sample(ordinary, min(_EVERYDAY, len(ordinary)))]
    heard = [row for row in heard if len(row[0])]
    units = len(glance.scale)
    gate, out = nn.Linear(units, 1), nn.Linear(2 * units, len(names))
    steps = torch.optim.AdamW([*gate.parameters(), *out.parameters()], lr=_STEP, weight_decay=0.05)
    done, last = 0, _PASSES * math.ceil(len(heard) / _BATCH)
    for turn in range(_PASSES):
        order.shuffle(heard)
        for low in range(0, len(heard), _BATCH):
            rows = heard[low:low + _BATCH]
            x = functional.dropout(nn.utils.rnn.pad_sequence([row[0] for row in rows], batch_first=True), _DROP)
            odds = told_of(x, torch.tensor([len(row[0]) for row in rows])[:, None] > torch.arange(x.shape[1]), gate, out)
            wanted = torch.tensor([row[1] for row in rows])
            believed = torch.tensor([row[2] for row in rows]) | (odds.detach().softmax(-1)[:, 0] > UNSAFE) if turn > 0 else wanted >= 0
            loss = functional.cross_entropy(odds[believed], wanted[believed], label_smoothing=DOUBT)
            for group in steps.param_groups:
                group["lr"] = _STEP * (0.5 * (1 + math.cos(math.pi * done / last)) + 0.02)
            steps.zero_grad()
            loss.backward()
            steps.step()
            done += 1
    ear = {f"{name}.{kind}": np.ascontiguousarray(value.detach().numpy().T, np.float32)
           for name, layer in (("danger_gate", gate), ("danger", out)) for kind, value in layer.named_parameters()}
    return replace(glance, dangers=names, layers={**glance.layers, **ear})
