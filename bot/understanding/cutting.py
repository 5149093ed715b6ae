"""Cut a message into clauses, one thing asked or told each, where messages cut by hand teach that people cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from bot.understanding.features import concepts_of
from bot.understanding.found import Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.model import weigh

if TYPE_CHECKING:
    from bot.understanding.spoken import Lesson

#: Marks and words that stand between two things said; they open no clause themselves.
_BETWEEN = frozenset((".", ",", ";", "!", "?", "\n", "-", "+", "&", "/", ":", ")", "(", "and", "then", "also", "plus", "but", "so"))
_ENDS = frozenset((".", "?", "!", ";", "\n"))
_SLOTS = ("crop", "variety", "group", "bed", "qty", "date", "pest", "product", "material", "temp", "cover", "stranger", "unknown_bed")
_SHOWN = {"variety": "crop", "stranger": "crop", "unknown_bed": "bed"}
#: How many tokens after a gap, and before it, are looked through for verbs, question words and slots.
_AHEAD, _BACK = 7, 12


def gaps(sheet: Sheet, openers: Collection[str] | None = None, begun: Collection[int] = ()) -> list[tuple[int, int]]:
    """Return the places where a clause may end: (tokens before it, first token after the words that only join).

    A gap never cuts a slot in two, and has a word on either side. Where nothing joins, what follows must be one of `openers`,
    or at a token of `begun`.
    """
    row = _shown(sheet) if openers is not None else []
    tokens, found = sheet.tokens, []
    inside = [False] * (len(tokens) + 1)
    for slot in sheet.found:
        for i in range(slot.start + 1, slot.end):
            inside[i] = True
    i = 1
    while i < len(tokens):
        if inside[i]:
            i += 1
            continue
        after = i
        while after < len(tokens) and tokens[after].word in _BETWEEN and not sheet.taken[after] and not _hyphen(sheet, after):
            after += 1
        if after < len(tokens) and not _hyphen(sheet, after) and not _hyphen(sheet, after - 1) and (after > i or openers is None or row[after] in openers or after in begun):
            found.append((i, after))
        i = max(after, i) + 1
    return found


def _hyphen(sheet: Sheet, at: int) -> bool:
    """Tell whether a token is the hyphen of one word: "1-litre", not "done - now what"."""
    tokens = sheet.tokens
    return tokens[at].word == "-" and tokens[at].glued and at + 1 < len(tokens) and tokens[at + 1].glued


def gap_features(row: list[str], end: int, start: int, lexicon: Lexicon) -> dict[str, float]:
    """Return the features of the gap between tokens [.., end) and [start, ..): the words around it, and what either side has."""
    before, after = row[:end], row[start:]
    between = " ".join(row[k] for k in range(end, start)) or "none"
    b1, b2 = _last(before, 1), _last(before, 2)
    a1, a2, a3 = (after + ["$", "$", "$"])[:3]
    told = lexicon.told
    left, right = before[-_BACK:], after[:_AHEAD]
    sides = {"L": _has(left, lexicon, told), "R": _has(right, lexicon, told)}
    found = {f"j {between}": 1.0, f"a1 {a1}": 1.0, f"a12 {a1} {a2}": 1.0, f"a123 {a1} {a2} {a3}": 0.6, f"b1 {b1}": 0.7, f"b21 {b2} {b1}": 0.5,
             f"j {between} a1 {a1}": 1.0, f"j {between} a12 {a1} {a2}": 0.7, f"b1 {b1} a1 {a1}": 0.6}
    kind = _join_kind(between)
    found[f"k {kind}"] = 1.0
    for side, has in sides.items():
        for what in has:
            found[f"{side} {what}"] = 0.5
            found[f"k {kind} {side} {what}"] = 0.5
    for what in sides["L"] & sides["R"]:
        found[f"LR {what}"] = 0.5
        found[f"k {kind} LR {what}"] = 0.5
    for a in sides["L"] & _TELLING:
        for b in sides["R"] & _TELLING:
            found[f"L {a} R {b} k {kind}"] = 0.8
    near = [w for w in left if w], [w for w in after[:_AHEAD + 1] if w]
    concepts = [concepts_of(words, [], lexicon) for words in near]
    for a in concepts[0]:
        found[f"L@{a}"] = 0.4
        for b in concepts[1]:
            found[f"L@{a} R@{b}"] = 0.3
    for b in concepts[1]:
        found[f"R@{b}"] = 0.4
    for word in near[0]:
        found[f"Lw {word}"] = 0.3
    for word in near[1]:
        found[f"Rw {word}"] = 0.4
    found[f"n {min(len(before), 6)}"] = 0.5
    found[f"m {min(len(after), 6)}"] = 0.5
    found[f"m {min(len(after), 6)} k {kind}"] = 0.5
    return found


_TELLING = frozenset(("told", "question", "asking", "crop", "bed", "qty", "nothing"))


def _shown(sheet: Sheet) -> list[str]:
    """Return the tokens with slots in their place; the later tokens of a slot are empty."""
    row = ["#" if t.kind == "number" else t.word for t in sheet.tokens]
    for slot in sheet.found:
        if slot.kind in _SLOTS:
            row[slot.start] = f"<{_SHOWN.get(slot.kind, slot.kind)}>"
            for i in range(slot.start + 1, slot.end):
                row[i] = ""
    return row


def _last(words: list[str], n: int) -> str:
    kept = [w for w in words[-8:] if w]
    return kept[-n] if len(kept) >= n else "^"


def _join_kind(between: str) -> str:
    """Return what kind of words or marks stand in a gap."""
    parts = between.split(" ")
    if between == "none":
        return "none"
    if any(p in _ENDS or not p for p in parts):
        return "end" if all(p in _ENDS or not p or p == "," for p in parts) else "end+"
    return "comma" if parts == [","] else "mark" if all(not p.isalpha() for p in parts) else "and" if parts == ["and"] else "join"


def _has(words: list[str], lexicon: Lexicon, told: set[str]) -> set[str]:
    found = {w[1:-1] for w in words if w.startswith("<")}
    if any(w in told for w in words):
        found.add("told")
    if any(w in lexicon.sets["question_words"] for w in words):
        found.add("question")
    if any(a in lexicon.sets["asking_verbs"] and (b in _SUBJECTS or b.startswith("<")) for a, b in zip(words, words[1:], strict=False)):
        found.add("asking")
    if "?" in words:
        found.add("?")
    if "i" in words or "we" in words:
        found.add("self")
    return found or {"nothing"}


_SUBJECTS = frozenset(("i", "we", "you", "it", "they", "there", "the", "these", "those", "this", "that", "my", "anything", "any"))


def opening(sheet: Sheet, start: int, end: int) -> int:
    """Return the first token of a clause that does not only join it to what stands before."""
    i = start
    while i < end and sheet.tokens[i].word in _BETWEEN and not sheet.taken[i]:
        i += 1
    return i if i < end else start


def learn_cuts(lessons: list[Lesson], lexicon: Lexicon) -> tuple[dict[str, float], set[str]]:
    """Learn from messages cut by hand; return the weight of each feature of a gap, and the words that open a part with nothing before them that joins."""
    opened = Counter(_shown(lesson.sheet)[at] for lesson in lessons for at in lesson.cuts if opening(lesson.sheet, at, len(lesson.sheet.tokens)) == at)
    openers = {word for word, many in opened.items() if many >= 2}
    rows = []
    for lesson in lessons:
        cuts = {opening(lesson.sheet, at, len(lesson.sheet.tokens)) for at in lesson.cuts}
        shown = _shown(lesson.sheet)
        rows += [(start in cuts, gap_features(shown, end, start, lexicon)) for end, start in gaps(lesson.sheet, openers)]
    return weigh(rows), openers


def chances(sheet: Sheet, places: Iterable[tuple[int, int]], weights: dict[str, float], lexicon: Lexicon) -> list[tuple[int, int, float]]:
    """Return each of some gaps as (end, start, log odds that something new begins there)."""
    row = _shown(sheet)
    return [(end, start, weights.get("", 0.0) + sum(v * weights.get(k, 0.0) for k, v in gap_features(row, end, start, lexicon).items()))
            for end, start in places]
