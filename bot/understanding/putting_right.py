"""What a message puts right of the records told before it: "I meant 30", "the courgettes were 6", "no, bed 2"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.request import Quantity, Request
from bot.understanding.inheriting import bare_number
from bot.understanding.numbers import read_number
from bot.understanding.quantities import typed_size

if TYPE_CHECKING:
    from bot.understanding.memory import Recall
    from bot.understanding.reader import Clause

#: What a record is told with, and seldom put right in a few words.
THINGS = {"product", "method", "material", "pest"}


def weighed(recall: Recall, clause: Clause) -> Request | None:
    """Return the last picking with the weight told of it afterwards ("they weighed 800 g"); None when the message tells of something else."""
    words = [recall.sheet.word(i) for i in range(clause.start, clause.end)]
    if recall.last is None or recall.last.intent != "log_harvest" or any(f.kind != "qty" for f in recall.slots()) or not recall.slots():
        return None
    said = f" {' '.join(words)} "
    if not any(f" {phrase} " in said for phrase in recall.reader.lexicon.language["weighed"]) or any(w in ("another", "more") for w in words):
        return None
    fixed = recall.merged(recall.last)
    return fixed.with_(intent="correct_last", extra={**fixed.extra, "of": recall.last.intent})


def named_before(recall: Recall, residue: list[str]) -> Request | None:
    """Read "the courgettes were 6" or "change the courgettes to 8" as the amount put right of one of several things just recorded."""
    crops = {f.value.crop for f in recall.slots() if f.kind == "crop"}
    told = next((r for r in reversed(recall.memory.requests) if recall.recording(r) and r.crops and set(r.crops) == crops), None)
    words = {t.word for t in recall.sheet.tokens}
    figure = {w for w in residue if w[0].isdigit() or w in recall.reader.lexicon.numbers}
    right = recall.beside["puts_amount_right"]
    if told is None or not words & right or set(residue) - figure - right or any(f.kind not in ("crop", "qty") for f in recall.slots()):
        return None
    amount = next((f.value for f in recall.slots() if f.kind == "qty"), None)
    number = bare_number(recall.sheet, 0, len(recall.sheet.tokens), recall.reader)
    if amount is None and number is not None:
        amount = Quantity(number, "count", recall.sheet.text)
    if amount is None:
        return None
    return Request("correct_last", 0.95, recall.sheet.text, crops=told.crops, quantities=(amount,), flags=frozenset({"named"}), extra={"of": told.intent})


def number_fixed(recall: Recall, last: Request, residue: list[str]) -> Request | None:
    """Read "I meant 30" or "not 5, six" after a record as its amount corrected."""
    number, i = None, 0
    while i < len(recall.sheet.tokens):
        found = read_number(recall.sheet, i, recall.reader.lexicon)
        if found is not None and not found.article:
            if number is None or recall.sheet.word(i - 1) != "not":  # "4 not 3"
                number = found
            i = found.end
        else:
            i += 1
    numeric = set(recall.reader.lexicon.numbers) | {"fourteen", "fifteen", "twenty", "thirty", "forty", "fifty", "hundred"}
    if number is None or [w for w in residue if w not in numeric and not w[0].isdigit()]:
        return None
    old = last.quantities[0] if last.quantities else None
    amount = Quantity(number.value, "count", recall.sheet.text)
    if old is not None and old.unit not in ("count",):
        said = Quantity(number.value * typed_size(recall.reader.lexicon, old), old.unit, recall.sheet.text)
        amount = said
    return last.with_(intent="correct_last", quantities=(amount,), text=recall.sheet.text, confidence=0.95, extra={"of": last.intent, **last.extra},
                      inherited=("crops", "beds"))


def corrected(recall: Recall, kinds: set[str]) -> Request | None:
    """Return the record that "no, bed 2" corrects although a question stood between them.

    Only when the question took nothing of the kind that is put right: else it is the question that is changed.
    """
    last = recall.last
    if last is None or recall.recording(last) or not recall.starts("correct") or not kinds <= {"bed", "date", "qty"}:
        return None
    if (last.beds and "bed" in kinds) or (last.when and "date" in kinds) or (last.quantities and "qty" in kinds):
        return None
    if "bed" in kinds and last.intent in recall.reader.rules["takes_bed"]:
        return None
    return next((r for r in reversed(recall.memory.requests[-3:]) if recall.recording(r)), None)


def tells_anew(recall: Recall) -> bool:
    """Tell whether the message asks, or names a pest, a product or a material, with no word that puts anything right.

    "Blackfly on the runner beans" after slugs on the lettuces is another record, and changes nothing in the first; nor does "garlic scapes?".
    """
    named = {f.kind for f in recall.slots()} & THINGS
    tokens = [t for t in recall.sheet.tokens if t.kind != "mark"]
    asks = any(t.word == "?" for t in recall.sheet.tokens)
    return (asks or bool(named - {"method"})) and not any(recall.reader.lexicon.follow["correct"].longest(tokens, i) for i in range(len(tokens)))


def puts_right(recall: Recall) -> bool:
    """Tell whether the message names another material for a feeding and tells of no doing: "sorry, chicken pellets"."""
    told = set().union(*(forms for name, forms in recall.reader.lexicon.sets.items() if name.startswith("log_")))
    named = any(f.kind == "material" for f in recall.slots())
    return named and recall.starts("correct") and not told & {t.word for t in recall.sheet.tokens} and not recall.adds()
