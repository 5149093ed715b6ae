"""Learn to read a whole message at one glance. Needs the `learn` extra; reading with what was learned does without it.

Messages said by hand are learned from, phrases, and single messages of several people joined to one, so that what begins anew is seen
in more ways than were written. Some words are hidden but for their pieces, as a slip or a strange word would be.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from bot.understanding.cutting import opening
from bot.understanding.glance import BRIGHT, HEADS, LAYERS, MOST, REACH, STRANGE, Glance, Glances, keys_of, words_at
from bot.understanding.marking import Marker
from bot.understanding.phrases import Template, load_intents, templates
from bot.understanding.spoken import Lesson, Message, lessons, load_spoken

if TYPE_CHECKING:
    from bot.facts import Facts

#: Units of a word, words a convolution sees, passes, messages a step, the first step size, and what is hidden: of the units, of the attention, of the words.
_UNITS, _WIDE, _PASSES, _BATCH, _STEP, _DROP, _DROP_ALL, _HIDE = 192, 5, 11, 64, 2e-3, 0.2, 0.1, 0.08
#: The least rows that a word and a piece of one is met in to be learned; how far no label is believed; the share of rare intents; a message in so many is joined to others.
_LEAST_WORD, _LEAST_PIECE, _DOUBT, _RARE, _JOINED = 3, 4, 0.05, 0.35, 10
#: What stands between messages that are joined.
_JOINS = (".", ".", ".", ",", ",", "and", "and", ";", "then", "also", "-", "?", "", "", "")
_SHORT, _LONG, _SEEDS = 16, 70, (1, 2)


@dataclass(frozen=True)
class _Row:
    """One message: the words of each place, the parts as (intent, first place, place after the last), and which places begin a part."""

    words: list[list[str]]
    parts: list[tuple[int, int, int]]
    begins: list[float]


class _Words:
    """The features of words, as numbers."""

    def __init__(self, rows: list[_Row], marker: Marker) -> None:
        self.lexicon = marker.lexicon
        said = Counter(w for row in rows for words in row.words for w in words)
        whole: Counter[str] = Counter()
        pieces: Counter[str] = Counter()
        for word, many in said.items():
            keys, small = keys_of(word, self.lexicon)
            for key in keys:
                whole[key] += many
            pieces.update(small)
        names = [STRANGE, *sorted(k for k, n in whole.items() if n >= _LEAST_WORD), *sorted(k for k, n in pieces.items() if n >= _LEAST_PIECE)]
        self.index = {name: i for i, name in enumerate(names)}
        self._kept: dict[str, tuple[list[int], list[int]]] = {}

    def of(self, word: str) -> tuple[list[int], list[int]]:
        if word not in self._kept:
            keys, pieces = keys_of(word, self.lexicon)
            own = [self.index[k] for k in keys if k in self.index]
            if keys[0] not in self.index:
                own.append(0)
            self._kept[word] = own, [self.index[p] for p in pieces if p in self.index]
        return self._kept[word]


class _Layer(nn.Module):
    """Attention over all words, and what each makes of it."""

    def __init__(self) -> None:
        super().__init__()
        d = _UNITS
        self.before_all, self.before_each = nn.LayerNorm(d), nn.LayerNorm(d)
        self.all, self.all_out = nn.Linear(d, 3 * d), nn.Linear(d, d)
        self.apart = nn.Parameter(torch.zeros(HEADS, 2 * REACH + 1))
        self.each, self.each_out = nn.Linear(d, 2 * d), nn.Linear(2 * d, d)

    def forward(self, x: Tensor, mask: Tensor) -> Tensor:
        many, long = mask.shape
        asked, offered, given = self.all(self.before_all(x)).view(many, long, 3, HEADS, _UNITS // HEADS).permute(2, 0, 3, 1, 4)
        places = torch.arange(long)
        apart = (places[None] - places[:, None]).clamp(-REACH, REACH) + REACH
        scores = asked @ offered.transpose(-1, -2) / math.sqrt(_UNITS // HEADS) + self.apart[:, apart][None] - (~mask)[:, None, None, :] * 1e4
        heads = functional.dropout(scores.softmax(-1), _DROP_ALL, self.training) @ given
        x = x + functional.dropout(self.all_out(heads.transpose(1, 2).reshape(many, long, _UNITS)), _DROP, self.training)
        return x + functional.dropout(self.each_out(_bend(self.each(self.before_each(x)))), _DROP, self.training)


class _Net(nn.Module):
    """The layers that `Glance.look` runs through."""

    def __init__(self, features: int, intents: int) -> None:
        super().__init__()
        d = _UNITS
        self.rows = nn.EmbeddingBag(features, d, mode="sum")
        nn.init.normal_(self.rows.weight, 0, 0.05)
        self.before_near, self.last = nn.LayerNorm(d), nn.LayerNorm(d)
        self.near, self.near_out = nn.Conv1d(d, 2 * d, _WIDE, padding=_WIDE // 2), nn.Linear(2 * d, d)
        self.layers = nn.ModuleList(_Layer() for _ in range(LAYERS))
        self.begin, self.gate, self.out = nn.Linear(d, 1), nn.Linear(d, 1), nn.Linear(2 * d, intents)

    def look(self, ids: Tensor, starts: Tensor, heft: Tensor, mask: Tensor) -> Tensor:
        """Return the units of every place (rows x places x units)."""
        x = functional.dropout(self.rows(ids, starts, per_sample_weights=heft).view(*mask.shape, _UNITS) * BRIGHT, _DROP, self.training)
        near = self.near((self.before_near(x) * mask[..., None]).transpose(1, 2)).transpose(1, 2)
        x = x + functional.dropout(self.near_out(_bend(near)), _DROP, self.training)
        for layer in self.layers:
            x = layer(x, mask)
        return self.last(x)

    def odds(self, x: Tensor, row: Tensor, low: Tensor, high: Tensor) -> Tensor:
        places = torch.arange(x.shape[1])
        inside = (places[None] >= low[:, None]) & (places[None] < high[:, None])
        units = x[row]
        shares = self.gate(x).squeeze(-1)[row].masked_fill(~inside, -1e4).softmax(-1)
        most = units.masked_fill(~inside[..., None], -1e4).max(1).values
        return self.out(torch.cat([(shares[..., None] * units).sum(1), most], -1))


def _bend(x: Tensor) -> Tensor:
    return functional.gelu(x, approximate="tanh")


def learn_glance(heard: list[Lesson], spread: list[Template], marker: Marker, intents: list[str], seed: int) -> Glance:
    """Learn one network from messages cut by hand and from phrases, in an order of its own."""
    column = {name: i for i, name in enumerate(intents)}
    order = random.Random(seed)
    torch.manual_seed(seed)
    said = [_row(lesson, column) for lesson in heard if not lesson.message.leans]
    phrases = []
    for template in spread:
        plain, extra = marker.template_words(template.text)
        places = [[w] for w in [*plain, *extra]][:24]
        if places:
            phrases.append(_Row(places, [(column[template.intent], 0, len(places))], [0.0] * len(places)))
    words = _Words([*said, *phrases], marker)
    said = [row for row in said if 0 < len(row.words) <= _LONG]
    single = [row for row in said if len(row.parts) == 1 and len(row.words) <= _SHORT]
    many = Counter(part[0] for row in (*said, *phrases) for part in row.parts)
    mean = sum(many.values()) / max(1, len(many))
    share = torch.tensor([(mean / max(many[i], 1)) ** _RARE for i in range(len(intents))])
    net = _Net(len(words.index), len(intents))
    steps = torch.optim.AdamW(net.parameters(), lr=_STEP, weight_decay=0.01, betas=(0.9, 0.98))
    net.train()
    done = 0
    for turn in range(_PASSES):
        joined = [_join(order.sample(single, order.choice((2, 2, 3))), order) for _ in range(len(said) // _JOINED)]
        batches = _batches([*said, *joined, *order.sample(phrases, len(phrases) // 3)], order)
        last = _PASSES * len(batches)
        for rows in batches:
            pace = min(1.0, done / 400) * (0.5 * (1 + math.cos(math.pi * min(1.0, done / last))) + 0.02)
            for group in steps.param_groups:
                group["lr"] = _STEP * pace
            loss = _loss(net, rows, words, share, order)
            steps.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(net.parameters(), 1.0)
            steps.step()
            done += 1
        print(f"glance: pass {turn + 1} of {_PASSES}", flush=True)
    return _kept(net, intents, words.index)


def glance_of(facts: Facts, marker: Marker, messages: list[Message] | None = None, seeds: tuple[int, ...] = _SEEDS) -> Glances:
    """Learn from the phrases and from messages: all there are, or those given."""
    intents = load_intents(facts.root)
    heard = lessons(load_spoken(facts.root, intents) if messages is None else messages, marker)
    return Glances(tuple(learn_glance(heard, templates(intents), marker, list(intents), seed) for seed in seeds))


def _row(lesson: Lesson, column: dict[str, int]) -> _Row:
    places = words_at(lesson.sheet)[:MOST]
    starts = {opening(lesson.sheet, cut, len(lesson.sheet.tokens)) for cut in lesson.cuts}
    parts = []
    for (intent, _), low, high in zip(lesson.message.parts, (0, *lesson.cuts), (*lesson.cuts, len(lesson.sheet.tokens)), strict=True):
        inside = [n for n, (at, _) in enumerate(places) if low <= at < high]
        if inside:
            parts.append((column[intent], inside[0], inside[-1] + 1))
    return _Row([words for _, words in places], parts, [float(n > 0 and at in starts) for n, (at, _) in enumerate(places)])


def _join(rows: list[_Row], order: random.Random) -> _Row:
    words, parts, begins = list(rows[0].words), list(rows[0].parts), list(rows[0].begins)
    for row in rows[1:]:
        between = order.choice(_JOINS)
        if between and words[-1][0] not in "?.":
            words.append([between])
            begins.append(0.0)
            parts[-1] = (parts[-1][0], parts[-1][1], len(words))
        at = len(words)
        parts += [(intent, low + at, high + at) for intent, low, high in row.parts]
        words += row.words
        begins += [1.0, *row.begins[1:]]
    return _Row(words, parts, begins)


def _batches(rows: list[_Row], order: random.Random) -> list[list[_Row]]:
    """Return the rows in steps of rows about as long as each other."""
    order.shuffle(rows)
    found = []
    for low in range(0, len(rows), _BATCH * 40):
        alike = sorted(rows[low:low + _BATCH * 40], key=lambda r: len(r.words))
        found += [alike[i:i + _BATCH] for i in range(0, len(alike), _BATCH)]
    order.shuffle(found)
    return found


def _loss(net: _Net, rows: list[_Row], words: _Words, share: Tensor, order: random.Random) -> Tensor:
    long = max(len(row.words) for row in rows)
    mask = torch.zeros(len(rows), long, dtype=torch.bool)
    news, start = torch.zeros(len(rows), long), torch.zeros(len(rows), long, dtype=torch.bool)
    for n, row in enumerate(rows):
        mask[n, :len(row.words)] = True
        start[n, 1:len(row.words)] = True
        news[n, :len(row.begins)] = torch.tensor(row.begins)
    ids, heft, starts = _ids(rows, long, words, order)
    with torch.autocast("cpu", dtype=torch.bfloat16):  # short floats halve the time on processors that have them
        x = net.look(torch.tensor(ids), torch.tensor(starts), torch.tensor(heft), mask)
    x = x.float()
    spans = torch.tensor([(n, *part) for n, row in enumerate(rows) for part in row.parts])
    odds = net.odds(x, spans[:, 0], spans[:, 2], spans[:, 3])
    loss = functional.cross_entropy(odds, spans[:, 1], weight=share, label_smoothing=_DOUBT)
    if start.any():
        loss = loss + 2 * functional.binary_cross_entropy_with_logits(net.begin(x).squeeze(-1)[start], news[start])
    return loss


def _ids(rows: list[_Row], long: int, words: _Words, order: random.Random | None = None) -> tuple[list[int], list[float], list[int]]:
    """Return the features of every word of some rows, what each weighs, and where those of each place start; with `order`, some are hidden."""
    ids: list[int] = []
    heft: list[float] = []
    starts: list[int] = []
    for row in rows:
        for place in range(long):
            starts.append(len(ids))
            for word in row.words[place] if place < len(row.words) else ():
                own, pieces = words.of(word)
                chance = order.random() if order else 1.0
                if chance < _HIDE / 2:
                    continue
                if chance < _HIDE * 1.5 and pieces:
                    own = [0]  # a word not met before is known by its pieces alone
                ids += own
                heft += [1.0] * len(own)
                ids += pieces
                heft += [max(len(pieces), 1) ** -0.5] * len(pieces)
    return ids, heft, starts


def _kept(net: _Net, intents: list[str], index: dict[str, int]) -> Glance:
    """Return the layers as reading runs through them: each as features x units, the convolution flat, the rows in whole steps."""
    plain = {name: value.detach().numpy() for name, value in net.state_dict().items()}
    rows = plain.pop("rows.weight")
    scale = np.maximum(np.abs(rows).max(axis=0), 1e-9) / 127.0
    layers: dict[str, Any] = {}
    for name, value in plain.items():
        name = name.removeprefix("layers.")
        if name == "near.weight":
            value = value.transpose(2, 1, 0).reshape(-1, value.shape[0])
        elif name.endswith(".weight") and value.ndim == 2:
            value = value.T
        layers[name] = np.ascontiguousarray(value, np.float32)
    return Glance(intents, index, np.rint(rows / scale).astype(np.int8), scale.astype(np.float32), layers)
