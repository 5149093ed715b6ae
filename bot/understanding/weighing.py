"""The scales of reading: the weights of the signs that a reading is right or none of the garden's, and of what a message says next to the one
before it. The ways to cut a message are learned along with them.

They are kept in a table beside the phrases, and learned from messages cut by hand. Learning reads each third of the hands with
what only the others taught, so that it sees how sure reading is of words it has not met. It takes minutes, and the `learn` extra.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from bot.understanding.cutting import opening
from bot.understanding.following import candidates, next_to
from bot.understanding.spoken import Lesson, Message, lessons, load_spoken
from bot.understanding.sureness import signs
from bot.understanding.ways import Laid, Weigher

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.understanding.reader import Understander

TABLE = "scales.csv"
SCALES = ("right", "apart", "next")
#: One message in so many is also read as if it came after the one before it in its file, with which it has nothing to do.
_STRANGERS = 12
#: Weights as small as this are worth nothing.
_NOTHING = {"next": 0.1}
_FOLDS, _PULL, _STEPS = 3, 1e-4, 200
Row = list[tuple[int, float]]


def read_scales(root: Path) -> dict[str, dict[str, float]]:
    """Return the weight of each feature on each scale."""
    found: dict[str, dict[str, float]] = {scale: {} for scale in SCALES}
    with (root / "phrases" / TABLE).open(encoding="utf-8", newline="") as handle:
        for row in csv.DictReader(handle):
            found[row["scale"]][row["feature"]] = float(row["weight"])
    return found


def write_scales(root: Path, scales: dict[str, dict[str, float]]) -> None:
    """Keep the weights."""
    with (root / "phrases" / TABLE).open("w", encoding="utf-8", newline="") as handle:
        table = csv.writer(handle, lineterminator="\n")
        table.writerow(("scale", "feature", "weight"))
        table.writerows((scale, key, f"{value:.3f}") for scale, weights in scales.items() for key, value in sorted(weights.items()) if abs(value) >= _NOTHING.get(scale, 0.0005))


class _Choices:
    """Examples of choosing: of several rows of features, the one that is right."""

    def __init__(self) -> None:
        self.index: dict[str, int] = {}
        self.rows: list[tuple[list[Row], int]] = []

    def row(self, found: dict[str, float]) -> Row:
        return [(self.index.setdefault(key, len(self.index)), value) for key, value in found.items()]

    def yes_or_no(self, found: dict[str, float], yes: bool) -> None:
        """Add an example of two choices, of which only "yes" has features."""
        self.rows.append(([[], self.row(found)], int(yes)))

    def weights(self) -> dict[str, float]:
        return dict(zip(self.index, (float(w) for w in _fit(self.rows, len(self.index))), strict=True))


@dataclass
class Seen:
    """What was seen of messages not learned from: the examples of each scale, and messages in all their ways with the number of the right one."""

    scales: dict[str, _Choices] = field(default_factory=lambda: {scale: _Choices() for scale in SCALES})
    ways: list[tuple[Laid, int]] = field(default_factory=list)

    def weights(self) -> dict[str, dict[str, float]]:
        """Return the weights that every scale's examples teach."""
        return {scale: choices.weights() for scale, choices in self.scales.items()}


def learn_scales(facts: Facts) -> tuple[dict[str, dict[str, float]], Weigher]:
    """Learn the weights anew, and how ways are weighed."""
    from bot.understanding.glance_school import glance_of
    from bot.understanding.reader import Understander
    from bot.understanding.school import learned
    from bot.understanding.ways_school import learn_ways

    reader, seen = Understander(facts), Seen()
    messages = load_spoken(facts.root, reader.intents)
    hands = sorted({m.hand for m in messages})
    for fold in range(_FOLDS):
        held = {hand for n, hand in enumerate(hands) if n % _FOLDS == fold}
        taught = [m for m in messages if m.hand not in held]
        school = learned("", facts, reader.marker, taught)
        reader.school, reader.model, reader.glance = school, school.model, glance_of(facts, reader.marker, taught)
        see(reader, [m for m in messages if m.hand in held], seen)
    return seen.weights(), learn_ways(seen.ways, reader.model.intents)


def see(reader: Understander, messages: list[Message], seen: Seen) -> None:
    """Read messages of hands the reader was not taught by, and add what it makes of them to what was seen."""
    from bot.understanding.parting import in_turn

    before: tuple[str, str] = ("none", "")
    for n, lesson in enumerate(lessons(messages, reader.marker)):
        size, message = len(lesson.sheet.tokens), lesson.message
        after, before = message.after or (before if n % _STRANGERS == 0 else None), message.parts[-1]
        spans = [s for s in zip(lesson.parts, (0, *lesson.cuts), (*lesson.cuts, size), strict=True) if s[0].words]
        alone = [reader.clause(lesson.sheet, opening(lesson.sheet, start, end), end, near=False) for _, start, end in spans]
        for (part, start, _), clause in zip(spans, in_turn(reader, lesson.sheet, alone), strict=True):
            name = clause.ranked[0][0]
            if start == 0 and after is not None and after[0] != "none":
                choice = candidates(clause, after[0])
                if part.intent in choice:
                    row = seen.scales["next"].row
                    seen.scales["next"].rows.append(([row(next_to(reader, clause, after[0], c)) for c in choice], choice.index(part.intent)))
            if start == 0 and message.leans:
                continue
            found = signs(clause, reader.intents[name].kind if name != "none" else "none", reader.lexicon)
            if part.intent != "none":
                seen.scales["right"].yes_or_no(found, name == part.intent)
            seen.scales["apart"].yes_or_no(found, part.intent == "none")
        if not message.leans:
            _see_ways(reader, lesson, seen)


def _see_ways(reader: Understander, lesson: Lesson, seen: Seen) -> None:
    """Add a message in all its ways, if it has several and the right one is among them."""
    from bot.understanding.parting import Ways

    ways, size = Ways(reader, lesson.sheet), len(lesson.sheet.tokens)
    cuts = {opening(lesson.sheet, at, size) for at in lesson.cuts}
    right = tuple(n for n, gap in enumerate(ways.gaps) if gap.start in cuts)
    if not ways.gaps or len(right) < len(cuts):
        return
    known, laid = ways.laid()
    if len(known) > 1 and right in known:
        seen.ways.append((laid, known.index(right)))


def _fit(examples: list[tuple[list[list[tuple[int, float]]], int]], size: int) -> Any:
    """Return the weights under which the right ways are likeliest, held back by their squares."""
    from scipy.optimize import minimize  # only learning needs it
    from scipy.sparse import csr_matrix

    rows = [row for ways, _ in examples for row in ways]
    starts = np.cumsum([0, *(len(ways) for ways, _ in examples)])[:-1]
    own = np.repeat(np.arange(len(examples)), [len(ways) for ways, _ in examples])
    gold = starts + np.array([g for _, g in examples])
    table = csr_matrix((np.array([v for row in rows for _, v in row]), np.array([i for row in rows for i, _ in row]),
                        np.cumsum([0, *(len(row) for row in rows)])), shape=(len(rows), size))
    turned, right = table.T.tocsr(), np.asarray(table[gold].sum(0)).ravel()

    def loss(weights: Any) -> tuple[float, Any]:
        scores = table @ weights
        scores -= np.maximum.reduceat(scores, starts)[own]
        grown = np.exp(scores)
        sums = np.add.reduceat(grown, starts)
        slope = (turned @ (grown / sums[own]) - right) / len(examples) + 2 * _PULL * weights
        return float(-(scores[gold] - np.log(sums)).mean() + _PULL * (weights @ weights)), slope

    return minimize(loss, np.zeros(size), jac=True, method="L-BFGS-B", options={"maxiter": _STEPS}).x
