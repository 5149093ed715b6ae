"""Cut a message into clauses: one thing asked or told each."""

from __future__ import annotations

from bot.understanding.found import Sheet
from bot.understanding.lexicon import Lexicon

_ENDS = {".", "?", "!", ";", "\n"}
_JOINS = {"and", "then", "also", "plus", "&", "+", ",", "but", "-", "so", "or", "because"}
_LEADS = {"then", "also", "i", "we", "just", "have", "has", "already", "and", "now", "so", "but", "later", "the", "please", "ve", "next", "finally",
          "can", "oh", "ps", "after", "that", "afterwards", "too", "well", "as", "today", "this", "morning", "um", "er", "uh"}


_STATES = {"have", "has", "had", "are", "is", "look", "looks", "keep", "keeps", "need", "needs", "seem", "got", "smell", "taste"}
_NO_SUBJECTS = {"ready", "fine", "ok", "over", "finished", "done", "not", "now", "in", "out", "up", "all", "nearly", "still", "very", "so", "too"}


def clauses(sheet: Sheet, lexicon: Lexicon) -> list[tuple[int, int]]:
    """Return the token spans of the clauses, in order.

    A clause ends at a full stop or question mark, and before "and", "then" or a comma when what
    follows begins with a verb of its own or opens a question, and both sides say something.
    """
    tokens, told = sheet.tokens, _told(lexicon)
    question = lexicon.sets["question_words"]
    asking = {"can", "do", "does", "should", "is", "are", "will", "did", "could", "shall", "would"}
    cuts: list[tuple[int, int]] = []
    start = 0
    i = 0
    while i < len(tokens):
        word = tokens[i].word
        if word == ")" and i > 0 and (tokens[i - 1].kind == "number" or len(tokens[i - 1].word) == 1):
            if i - 1 > start and _says(sheet, start, i - 1, told, question, asking, lexicon):
                cuts.append((start, i - 1))
            start = i + 1
            i += 1
            continue
        if sheet.taken[i] and word in _JOINS | _ENDS:
            i += 1
            continue
        if word in _ENDS and tokens[i].kind == "mark":
            cuts.append((start, i + (word == "?")))
            start = i + 1
        elif word in _JOINS and i > start:
            j = i + 1
            while j < len(tokens) and tokens[j].word in _JOINS:
                j += 1
            if _begins(sheet, j, told, question, asking, lexicon) and _says(sheet, start, i, told, question, asking, lexicon):
                cuts.append((start, i))
                start = j
                i = j
                continue
        i += 1
    cuts.append((start, len(tokens)))
    return _tidy([(a, b) for a, b in cuts if any(t.kind != "mark" for t in tokens[a:b])])


def _tidy(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    return spans or [(0, 0)]


def _told(lexicon: Lexicon) -> set[str]:
    return {w for key, words in lexicon.sets.items() if key.startswith("log_") for w in words}


def _begins(sheet: Sheet, at: int, told: set[str], question: set[str], asking: set[str], lexicon: Lexicon) -> bool:
    """Tell whether a clause of its own begins at a token."""
    i = at
    while i < len(sheet.tokens) and sheet.tokens[i].word in _LEADS and i - at < 4 and sheet.tokens[i].word not in asking:
        i += 1
    word = sheet.word(i)
    if not word:
        return False
    if word in told and sheet.at(i, "crop", "bed", "date") is None:
        return True
    subject = sheet.at(i, "crop", "group")
    if subject is not None and subject.end < len(sheet.tokens) and sheet.tokens[subject.end].word in _STATES:
        return True  # "and the leeks have rust": a crop with something to be said of it
    if word in ("put", "gave", "got", "took", "sent", "set", "add", "undo", "remove", "delete", "record", "log", "note", "pulled", "moved",
                "started", "popped", "left", "had", "topped", "turned", "blanch", "freeze"):
        return word not in ("got", "had", "left", "set", "note", "blanch", "freeze") or i > at or word in ("note",) or sheet.word(i + 1) in ("the", "some", "a") \
            or sheet.at(i + 1) is not None
    if word in ("what", "when", "where", "how", "which", "why", "who"):
        return True
    return word in asking and i + 1 < len(sheet.tokens) and sheet.tokens[i + 1].kind != "mark" and sheet.word(i + 1) not in _NO_SUBJECTS


def _says(sheet: Sheet, start: int, end: int, told: set[str], question: set[str], asking: set[str], lexicon: Lexicon) -> bool:
    """Tell whether the left side is enough to stand alone: it names something, or asks a whole question."""
    has_slot = any(f.start >= start and f.end <= end and f.kind in ("crop", "bed", "qty", "group", "variety", "pest", "temp", "product", "material", "date")
                   for f in sheet.found)
    words = [t for t in sheet.tokens[start:end] if t.kind == "word"]
    if has_slot:
        return len(words) > 1 or any(f.kind in ("qty", "crop") for f in sheet.found if start <= f.start < end)
    return len(words) >= 3
