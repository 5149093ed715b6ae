"""Read a bare number as a count of plants, seeds or jars."""

from __future__ import annotations

from bot.request import Quantity
from bot.understanding.found import Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.numbers import Number, figure, read_number

_NO_COUNTS = frozenset(("am", "pm", "week", "weeks", "days", "hours", "hour", "minutes", "month", "months", "years",
                        "degrees", "times", "of", "year", "old", "miles", "people", "o'clock", "th", "euro", "pounds",
                        "quid", "%", "deg", "c", "f", "/"))


def count_before(sheet: Sheet, start: int, lexicon: Lexicon) -> tuple[int, Quantity] | None:
    """Read the bare number just before token `start` ("12 leeks", "a dozen big cabbages") as a count."""
    for back in range(1, 6):
        at = start - back
        if at < 0 or sheet.taken[at]:
            return None
        number = read_number(sheet, at, lexicon)
        if number and not number.article and number.end <= start:
            if at > 0 and read_number(sheet, at - 1, lexicon) and sheet.tokens[at - 1].kind != "mark":
                continue
            # "dozen and a half leeks", "2 lots of 6 leeks": the number begins further back
            for earlier in range(max(0, at - 4), at):
                longer = read_number(sheet, earlier, lexicon) if sheet.free(earlier, at) else None
                if longer is not None and not longer.article and longer.end == number.end:
                    at, number = earlier, longer
                    break
            between = [sheet.word(i) for i in range(number.end, start)]
            if all(w.isalpha() and w not in ("in", "and", "at", "on", "for", "to", "or", "the", "with", "from")
                   for w in between):
                value = number.value
                year = figure(sheet.word(at)) is not None and 1990 <= value <= 2060  # "the last of the 2023 seed"
                if sheet.word(at - 1) in ("x",) or year or (figure(sheet.word(at)) is not None and value > 5000):
                    return None
                if sheet.word(at - 1) in ("a", "an") and not sheet.taken[at - 1]:
                    at -= 1
                return at, Quantity(value, "count", sheet.said(at, number.end), number.vague)
            return None
    return None


def count_after(sheet: Sheet, end: int, lexicon: Lexicon) -> tuple[int, int, Quantity] | None:
    """Read the bare number that follows a name ("tomatoes 20, peppers 12", "kale out at last, twelve") as a count."""
    at = end
    while sheet.word(at) in (",", ":", "-", "about", "x", "approx", "roughly", "around", "out", "in", "count", "today",
                             "seed", "seeds", "plants", "now", "~"):
        at += 1
    if at >= len(sheet.tokens) or sheet.taken[at]:
        return None
    number = read_number(sheet, at, lexicon)
    if (number is None or number.article or any(sheet.taken[at:number.end])
            or lexicon.unit_trie.longest(sheet.tokens, number.end)):
        return None
    follows = sheet.word(number.end)
    if (follows and sheet.tokens[number.end].kind != "mark"
            and follows not in ("of", "in", "and", "today", "all", "from", "to", "bulbs", "plants", "heads")):
        return None
    if sheet.at(number.end, "crop", "bed", "date") is not None and follows not in ("today",):
        return None
    return at, number.end, Quantity(number.value, "count", sheet.said(at, number.end), number.vague)


def lone_count(sheet: Sheet, start: int, end: int, lexicon: Lexicon, jars: bool) -> tuple[Quantity, ...]:
    """Read the one bare number of a record as its count: "garlic cloves in, 60", "six of them today"; or as jars."""
    found: list[tuple[int, Number]] = []
    i = start
    while i < end:
        number = read_number(sheet, i, lexicon) if sheet.at(i) is None else None
        if number is None or number.article:
            i += 1
            continue
        found.append((i, number))
        i = max(number.end, i + 1)
    if len(found) != 1:
        return ()
    at, number = found[0]
    follows, before = sheet.word(number.end), sheet.word(at - 1)
    wee = follows == "of" and sheet.word(number.end + 1) in ("the", "them", "those", "my", "our", "each")
    if (number.value < 2 or number.value != int(number.value) or number.value > 2000
            or (follows in _NO_COUNTS and not wee) or before in ("at", "by", "past", "#", "number")):
        return ()
    return (Quantity(number.value, "jar" if jars else "count", sheet.said(at, number.end), number.vague),)
