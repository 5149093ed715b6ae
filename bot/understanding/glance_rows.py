"""Messages as rows of numbers, as a glance learns from them: some joined to one, some words with a slip of the hand, some hidden."""

from __future__ import annotations

import random
from dataclasses import dataclass

import torch
from torch import Tensor

from bot.understanding.cutting import opening
from bot.understanding.found import Sheet
from bot.understanding.glance import MOST, MOST_PIECES, Place, places_of
from bot.understanding.marking import Marker
from bot.understanding.phrases import Template
from bot.understanding.pieces import Pieces
from bot.understanding.shapes import PlotNames
from bot.understanding.spoken import USUAL_BEDS, Lesson
from bot.understanding.text import clean

#: Rows a step.
BATCH = 64
#: The share of slots whose words are hidden, of slots whose marks are, and of words; and the share of words with a slip of the hand.
_HIDE_SLOT, _HIDE_MARK, _HIDE_WORD, _SLIP = 0.10, 0.03, 0.04, 0.04
#: The letters beside each on the keys of an English keyboard.
_KEYS = {key: left + right for row in ("qwertyuiop", "asdfghjkl", "zxcvbnm") for left, key, right in zip(" " + row, row, row[1:] + " ", strict=False)}
#: What stands between messages that are joined.
_JOINS = (".", ".", ".", ",", ",", "and", "and", ";", "then", "also", "-", "?", "", "", "")
NONE = -1


@dataclass(frozen=True)
class Row:
    """One message: its places, the parts as (intent, first place, place after the last), which places begin a part, and its danger, if that is learned."""

    places: list[Place]
    parts: list[tuple[int, int, int]]
    begins: list[float]
    danger: int = NONE


@dataclass(frozen=True)
class Step:
    """Some rows as numbers: the pieces, whether there is one, the place each belongs to (-1: none), the marks of each and where they start, and the most places."""

    ids: Tensor
    mask: Tensor
    owners: Tensor
    marks: Tensor
    mark_starts: Tensor
    places: int


def marked(text: str, marker: Marker) -> list[Place]:
    """Return the places of a message."""
    sheet: Sheet = marker.sheet(clean(text), PlotNames(beds=USUAL_BEDS), "GB")[0]
    return places_of(sheet)[:MOST]


def row_of(lesson: Lesson, column: dict[str, int]) -> Row:
    """Return a message cut by hand; `column` numbers the intents."""
    places, size = places_of(lesson.sheet), len(lesson.sheet.tokens)
    starts = {opening(lesson.sheet, cut, size) for cut in lesson.cuts}
    parts = []
    for (intent, _), low, high in zip(lesson.message.parts, (0, *lesson.cuts), (*lesson.cuts, size), strict=True):
        inside = [n for n, place in enumerate(places) if low <= place.at < high]
        if inside:
            parts.append((column[intent], inside[0], inside[-1] + 1))
    return Row(places, parts, [float(n > 0 and place.at in starts) for n, place in enumerate(places)], 0)


def phrase_of(template: Template, column: dict[str, int], marker: Marker) -> Row:
    """Return a phrase, its slots by their marks."""
    plain, _ = marker.template_words(template.text)
    places = [Place(n, "", (word,)) if word.startswith("<") else Place(n, word) for n, word in enumerate(plain[:24])]
    return Row(places, [(column[template.intent], 0, len(places))], [0.0] * len(places))


def joined(rows: list[Row], order: random.Random) -> Row:
    """Return several messages as one."""
    places, parts, begins = list(rows[0].places), list(rows[0].parts), list(rows[0].begins)
    for row in rows[1:]:
        between = order.choice(_JOINS)
        if between and places[-1].words not in ("?", "."):
            places.append(Place(len(places), between))
            begins.append(0.0)
            parts[-1] = (parts[-1][0], parts[-1][1], len(places))
        at = len(places)
        parts += [(intent, low + at, high + at) for intent, low, high in row.parts]
        places += row.places
        begins += [1.0, *row.begins[1:]]
    return Row(places, parts, begins)


def slipped(words: str, order: random.Random) -> str:
    """Return words with a slip of the hand: a letter left out, struck twice, struck beside its key, or two changed about; short words as they are."""
    at = order.randrange(max(1, len(words) - 1))
    if len(words) < 4 or not words[at:at + 2].isalpha():
        return words
    a, b = words[at], words[at + 1]
    return words[:at] + order.choice((b, a + a + b, b + a, b + a, order.choice(_KEYS.get(a, a)) + b)) + words[at + 2:]


def batches(rows: list[Row], order: random.Random) -> list[list[Row]]:
    """Return the rows in steps of rows about as long as each other."""
    order.shuffle(rows)
    found = []
    for low in range(0, len(rows), BATCH * 40):
        alike = sorted(rows[low:low + BATCH * 40], key=lambda r: len(r.places))
        found += [alike[i:i + BATCH] for i in range(0, len(alike), BATCH)]
    order.shuffle(found)
    return found


def numbers(rows: list[Row], pieces: Pieces, known: dict[str, int], order: random.Random | None = None) -> Step:
    """Return rows as numbers; with `order`, some words have a slip of the hand, and some slots, marks and words are hidden."""
    ids, owners, marked = [], [], []
    for row in rows:
        own, owner = [pieces.opens], [NONE]
        marks: list[tuple[int, ...]] = [()]
        for n, place in enumerate(row.places):
            here, mine = pieces.of(place.words), tuple(known[mark] for mark in place.marks if mark in known)
            chance = order.random() if order else 1.0
            if order and order.random() < _SLIP:
                here = pieces.of(slipped(place.words, order)) or here
            if chance < (_HIDE_SLOT if mine else _HIDE_WORD):
                here = [pieces.hidden]
            elif mine and chance < _HIDE_SLOT + _HIDE_MARK:
                mine = ()
            if len(own) + len(here) >= MOST_PIECES:
                break
            own, owner, marks = own + here, owner + [n] * len(here), marks + [mine] * len(here)
        ids.append([*own, pieces.closes])
        owners.append([*owner, NONE])
        marked.append([*marks, ()])
    long = max(map(len, ids))
    starts, flat = list[int](), list[int]()
    for marks in marked:
        for n in range(long):
            starts.append(len(flat))
            flat += marks[n] if n < len(marks) else ()
    filled = torch.tensor([row + [0] * (long - len(row)) for row in ids])
    there = torch.tensor([[n < len(row) for n in range(long)] for row in ids])
    belongs = torch.tensor([row + [NONE] * (long - len(row)) for row in owners])
    return Step(filled, there, belongs, torch.tensor(flat, dtype=torch.long), torch.tensor(starts), max(len(row.places) for row in rows))
