"""Take a slot that its own message puts right for what was meant: "wall bed, no sorry, bed 2", "2 kg of beans, sorry, 3 kg"."""

from __future__ import annotations

from dataclasses import replace

from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.numbers import read_number
from bot.understanding.quantities import typed_size
from bot.understanding.text import Token

#: What an amount is said of.
_COUNTED = ("crop", "variety", "stranger", "product")
#: What may stand before the bed or day of a record.
_BEFORE_A_PLACE = frozenset(("from", "in", "into", "on", "off", "out", "of", "the"))


def take_back(sheet: Sheet, lexicon: Lexicon) -> None:
    """Make one slot of what a message puts right itself: "wall bed, no sorry, bed 2" is bed 2, "2 kg not 3 kg" is 2 kg."""
    said = sorted((f for f in sheet.found if f.kind in ("bed", "unknown_bed", "crop", "date", "qty")), key=lambda f: f.start)
    right = lexicon.follow["mended"]
    for first, second in zip(said, said[1:], strict=False):
        between = [t for t in sheet.tokens[first.end:second.start] if t.kind != "mark"]
        if not between and first.kind != "qty" and _family(first) == _family(second) and "not" in (sheet.word(first.start - 1), sheet.word(first.start - 2)):
            first.start = first.start - (1 if sheet.word(first.start - 1) == "not" else 2)
            between = [Token("no", "no", 0, 0, "word")]  # "not the shady bed, the middle one"
        while len(between) > 1 and between[-1].word in ("the", "my", "in", "on", "it", "was"):
            between.pop()
        if not between or _family(first) != _family(second) or any(f not in (first, second) and first.end <= f.start < second.start for f in sheet.found):
            continue
        i = 0
        while i < len(between) and (hit := right.longest(between, i)):
            i = hit[0]
        meant = first if [t.word for t in between] == ["not"] else second if i == len(between) else None
        if meant is not None:
            sheet.unmark(first)
            sheet.unmark(second)
            first.end, second.start = second.end, first.start
            sheet.mark(meant)
    _amounts(sheet, lexicon)


def _amounts(sheet: Sheet, lexicon: Lexicon) -> None:
    """Let a second amount stand for the first where it puts it right further on: "2 kg of beans, sorry, 3 kg", "5 kg of peas from bed 1. No, 6",
    "2 kilos of beans. Sorry, pounds", "3 lettuces, or rather 2 lettuces"."""
    for first in [f for f in sheet.found if f.kind == "qty"]:
        named = next((f for f in sheet.found if f.kind in _COUNTED and first.end <= f.start <= first.end + 1), None)
        at = _mending(sheet, named.end, lexicon) if named is not None else None
        if named is None or at is None:
            continue
        second, number = sheet.at(at, "qty"), read_number(sheet, at, lexicon)
        end = second.end if second is not None else number.end if number is not None and not number.article else at
        again = sheet.at(end + (sheet.word(end) == "of"), *_COUNTED)
        if again is not None and again.value != named.value:
            continue  # another thing with an amount of its own
        closed = again is not None or end >= len(sheet.tokens) or sheet.tokens[end].kind == "mark"
        unit = lexicon.units.get(sheet.word(at)) if end == at else None
        if second is not None:
            first.value = second.value
        elif number is not None and end > at and closed:
            first.value = replace(first.value, value=number.value * typed_size(lexicon, first.value))
        elif unit is not None and unit.unit == first.value.unit:
            first.value = replace(first.value, value=first.value.value / typed_size(lexicon, first.value) * unit.size, words=sheet.word(at))
        else:
            continue
        for said in (second, again):
            if said is not None:
                sheet.unmark(said)


def _mending(sheet: Sheet, start: int, lexicon: Lexicon) -> int | None:
    """Return the token after the words that put something right, where only a bed, a day and small words stand before them."""
    i, taken_back = start, False
    while i < len(sheet.tokens):
        hit = lexicon.follow["mended"].longest(sheet.tokens, i) if sheet.at(i, "bed", "unknown_bed") is None else None  # "from no 3"
        passed = sheet.at(i, "bed", "unknown_bed", "date") if not taken_back else None
        if hit is None and passed is None and sheet.tokens[i].kind != "mark" and (taken_back or sheet.word(i) not in _BEFORE_A_PLACE):
            break
        i, taken_back = (hit[0], True) if hit else (passed.end if passed else i + 1, taken_back)
    return i if taken_back else None


def _family(found: Found) -> str:
    return found.value.unit if found.kind == "qty" else found.kind.removeprefix("unknown_")
