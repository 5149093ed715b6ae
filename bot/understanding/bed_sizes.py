"""Find the sizes of beds: "1.2 x 4 m", "4ft by 8ft"."""

from __future__ import annotations

from bot.request import Quantity
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.numbers import Number, read_number
from bot.understanding.quantities import inches

_BY = ("x", "by")
#: What so many plants by so many stand in.
_PLANTED = ("block", "blocks", "grid", "square", "plants")


def find_sizes(sheet: Sheet, lexicon: Lexicon, region: str) -> None:
    """Mark sizes such as "1.2 x 4 m" and "4ft by 8ft"."""
    for at in range(len(sheet.tokens)):
        first = read_number(sheet, at, lexicon)
        if not first or first.article or sheet.taken[at]:
            continue
        unit_a = _length_unit(sheet, first, lexicon)
        join = unit_a[0] if unit_a else first.end
        while sheet.word(join) in ("long", "wide", "in", "length"):
            join += 1
        if sheet.word(join) not in _BY:
            continue
        second = read_number(sheet, join + 1, lexicon)
        if not second or second.article:
            continue
        unit_b = _length_unit(sheet, second, lexicon)
        weighed = lexicon.unit_trie.longest(sheet.tokens, second.end)
        if weighed and weighed[1].unit in ("kg", "l"):
            continue  # "2 x 500 g" is no bed
        end = unit_b[0] if unit_b else second.end
        if not unit_a and not unit_b and sheet.word(end) in _PLANTED:
            many = round(first.value * second.value)
            sheet.mark(Found("qty", at, end, Quantity(float(many), "count", sheet.said(at, end))))  # "a 6 x 4 block"
            continue
        size_b = unit_b[1] if unit_b else unit_a[1] if unit_a else _guess_unit(sheet, first.value, second.value, region)
        size_a = unit_a[1] if unit_a else size_b
        pair = (round(first.value * size_a, 4), round(second.value * size_b, 4))
        sheet.mark(Found("size", at, end, pair))


def _length_unit(sheet: Sheet, number: Number, lexicon: Lexicon) -> tuple[int, float] | None:
    """Return the end and the size of the unit of length after a number; the "in" of "in part shade" is none."""
    at = number.end
    if sheet.word(at) == "'":
        return at + 1, 0.3048
    hit = lexicon.unit_trie.longest(sheet.tokens, at)
    if hit is None or hit[1].unit != "m":
        return None
    if sheet.word(at) == "in" and not inches(sheet, hit[0], number, lexicon) and not _of_a_bed(sheet, hit[0], lexicon):
        return None
    return hit[0], hit[1].size


def _of_a_bed(sheet: Sheet, at: int, lexicon: Lexicon) -> bool:
    """Tell whether what was measured follows the size, as in "a 24 x 48 in planter", and no place, as in "in bed 2"."""
    return sheet.word(at) in lexicon.beside["after_a_bed_in_inches"] and read_number(sheet, at + 1, lexicon) is None


def _guess_unit(sheet: Sheet, a: float, b: float, region: str) -> float:
    """Take feet in America, and elsewhere when a bed of that many metres would be absurd."""
    under_cover = any(t.word in ("tunnel", "polytunnel", "greenhouse") for t in sheet.tokens)
    smallest = min(a, b)
    if region in ("US", "CA") or smallest >= 4 or (smallest > 2 and not under_cover):
        return 0.3048
    return 1.0
