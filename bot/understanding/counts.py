"""Read a bare number as a count of plants, seeds or jars."""

from __future__ import annotations

from bot.request import Quantity
from bot.understanding.found import Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.numbers import Number, figure, lone_numbers, read_number


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
    while sheet.word(at) in lexicon.beside["before_counts"]:
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


def _counts(sheet: Sheet, at: int, number: Number, lexicon: Lexicon) -> bool:
    """Tell whether a bare number may be a count: not "6 o'clock", "at 5" or "my 3 year old"; one only as "just the one"."""
    follows, before = sheet.word(number.end), sheet.word(at - 1)
    wee = follows == "of" and sheet.word(number.end + 1) in ("the", "them", "those", "my", "our", "each", "'em", "em")
    made = follows == "of" and sheet.at(number.end + 1, "product") is not None  # "ate one of chutney"
    alone = before in ("just", "only") or (before == "the" and sheet.word(at - 2) in ("just", "only"))
    closes = number.end >= len(sheet.tokens) or sheet.tokens[number.end].kind == "mark"
    return (number.value == int(number.value) and (2 <= number.value <= 2000 or (number.value == 1 and (made or (alone and closes) or follows in ("each", "apiece"))))
            and (follows not in lexicon.beside["after_no_counts"] or wee or made) and before not in ("at", "by", "past", "#", "number"))


def count_of_made(sheet: Sheet, product: int, lexicon: Lexicon) -> tuple[int, Quantity] | None:
    """Read the bare number before "of" and a product as its count: "2 jars of jam and 1 of chutney"."""
    at = product - 2
    number = read_number(sheet, at, lexicon) if at >= 0 and sheet.word(product - 1) == "of" and not sheet.taken[at] else None
    return (at, Quantity(number.value, "count", sheet.said(at, number.end))) if number is not None and number.end == product - 1 else None


def _put_right(sheet: Sheet, start: int, end: int, lexicon: Lexicon) -> bool:
    """Tell whether nothing but words that take back what was said stand between two numbers."""
    words = [t for t in sheet.tokens[start:end] if t.kind != "mark"]
    i = 0
    while i < len(words) and (hit := lexicon.follow["mended"].longest(words, i)):
        i = hit[0]
    return bool(words) and i == len(words)


def count_in_bed(sheet: Sheet, bed: int, lexicon: Lexicon) -> tuple[int, int, Quantity] | None:
    """Read the bare number just before a bed as what stands or was picked there: "12 leeks in bed 1 and ten in bed 3"."""
    at = bed - 1
    while sheet.word(at) in ("the", "my", "our"):
        at -= 1
    if sheet.word(at) not in lexicon.beside["placed"]:
        return None
    while sheet.word(at) in lexicon.beside["placed"]:
        at -= 1
    for start in range(max(0, at - 2), at + 1):
        number = read_number(sheet, start, lexicon) if sheet.free(start, at + 1) else None
        if number is not None and not number.article and number.end == at + 1 and number.value == int(number.value) and number.value < 5000:
            return start, number.end, Quantity(number.value, "count", sheet.said(start, number.end), number.vague)
    return None


def lone_count(sheet: Sheet, start: int, end: int, lexicon: Lexicon, jars: bool) -> tuple[Quantity, ...]:
    """Read the one bare number of a record as its count: "garlic cloves in, 60", "six of them today"; or as jars."""
    found = [(at, number) for at, number in lone_numbers(sheet, start, end, lexicon) if _counts(sheet, at, number, lexicon)]
    while len(found) > 1 and _put_right(sheet, found[-2][1].end, found[-1][0], lexicon):
        del found[-2]  # "12, no make that 14"
    if len(found) != 1:
        return ()
    at, number = found[0]
    return (Quantity(number.value, "jar" if jars else "count", sheet.said(at, number.end), number.vague),)
