"""Find amounts with a unit: weights, volumes, lengths, holders and times.

Sizes of units come from knowledge/phrases/words/units.yaml (NIST SP 811).
"""

from __future__ import annotations

from dataclasses import replace

from bot.request import Quantity, Request
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon, Unit
from bot.understanding.numbers import Number, read_number

_HOLDERS = ("tub", "tray", "bag", "box", "bucket", "basket", "jar", "bottle", "bowl", "can", "row")


def unit_at(sheet: Sheet, at: int, lexicon: Lexicon) -> tuple[int, Unit] | None:
    """Return the end and the unit of the unit that starts at a token, None when there is none or it is taken."""
    if at < len(sheet.tokens) and sheet.tokens[at].word == "%":
        return at + 1, lexicon.units["%"]
    hit = lexicon.unit_trie.longest(sheet.tokens, at)
    return hit if hit and not any(sheet.taken[at:hit[0]]) else None




def tells_a_size(sheet: Sheet, found: Found, lexicon: Lexicon) -> bool:
    """Tell whether an amount says how far apart, how deep, how big, how old or how long: "15 cm apart", "in 30 litre pots", "3 years old", "on a 3 year rotation"."""
    at = found.end + 1 if sheet.word(found.end) == "-" else found.end
    unit, beside = found.value.unit, lexicon.beside
    return unit == "m" and sheet.word(at) in beside["after_a_size"] or unit == "l" and sheet.word(at) in beside["after_a_filling"] or unit == "day"


def mark_quantities(sheet: Sheet, lexicon: Lexicon, region: str) -> None:
    """Mark every amount with a unit, in the size its unit has in the region."""
    at = 0
    while at < len(sheet.tokens):
        step = _quantity_at(sheet, at, lexicon, region)
        at = step if step else at + 1


def _quantity_at(sheet: Sheet, at: int, lexicon: Lexicon, region: str) -> int | None:
    if sheet.taken[at]:
        return None
    start, minus = at, sheet.word(at) in ("-", "minus") and at + 1 < len(sheet.tokens) and not (
        at > 0 and sheet.tokens[at].word == "-" and (sheet.tokens[at].glued or not sheet.tokens[at + 1].glued))
    number = read_number(sheet, at + 1 if minus else at, lexicon)
    if number is None:
        return _bare_unit(sheet, at, lexicon, region)
    if minus and not (number.digits or sheet.word(at) == "minus"):
        return None
    value, end, vague = number.value, number.end, number.vague
    spanned = sheet.word(end) == "and" and sheet.word(start - 1) == "between"  # "between 2 and 3 kilos"
    if (sheet.word(end) in ("-", "or", "to") or spanned) and not number.article:
        other = read_number(sheet, end + 1, lexicon)
        if other and not other.article and other.digits == number.digits and other.value > value and unit_at(sheet, other.end, lexicon):
            value, end, vague = (value + other.value) / 2, other.end, True
    times = read_number(sheet, end + 1, lexicon) if sheet.word(end) == "x" and number.digits else None
    if times is not None and times.digits and unit_at(sheet, times.end, lexicon):
        if _sized(sheet, end + 1, lexicon):
            end += 1  # "5 x 250 g bags" are five bags
        else:
            value, end = value * times.value, times.end  # "2 x 500 g"
    adjectives = end
    if number.digits and value < 1:  # "1/2 a packet", "3/4 of a kilo"
        of = end + 1 if sheet.word(end) == "of" else end
        adjectives = of + 1 if sheet.word(of) in ("a", "an") else end
    while sheet.word(adjectives) in lexicon.beside["before_units"]:
        adjectives += 1
    hit = _sized(sheet, adjectives, lexicon) or unit_at(sheet, adjectives, lexicon)
    if hit is None:
        return None
    end, unit = hit
    holder = unit_at(sheet, end, lexicon) if unit.unit == "l" and not sheet.word(end - 1).endswith("s") else None
    if holder and holder[1].unit in _HOLDERS and sheet.word(holder[0] - 1).endswith("s") and (
            start == 0 or sheet.tokens[start - 1].kind != "number"):
        end, unit = holder  # "4 quart bags" are four bags
    if sheet.word(end - 1) == "in" and not inches(sheet, end, number, lexicon):
        return None
    if sheet.word(end - 1) == "l" and number.article:
        return None
    pressure = any(t.word in ("pressure", "canner", "psi") for t in sheet.tokens)
    if unit.unit == "kg" and pressure and sheet.word(start - 1) in lexicon.beside["before_a_pressure"]:
        return None  # "pressure canner at 11 lb" tells the pressure
    if unit.unit == "m" and sheet.word(end - 1) == "m" and sheet.word(end) == "2":
        end, unit = end + 1, lexicon.units["m2"]
    if (number.article and unit.size == 1.0 and unit.unit in _HOLDERS
            and sheet.word(start - 1) in ("in", "into", "from", "on", "per", "under")):
        return None
    size = unit.us if region in ("US", "CA") and unit.us else unit.size
    total = value * size
    if sheet.word(end) == "and" and sheet.word(end + 1) == "a" and sheet.word(end + 2) in ("half", "quarter", "bit"):
        total += {"half": 0.5, "quarter": 0.25, "bit": 0.0}[sheet.word(end + 2)] * size
        end += 3
    else:
        end, total = _smaller_unit(sheet, end, unit, total, lexicon, region)
    if minus:
        total = -total
    words = sheet.said(start, end)
    sheet.mark(Found("qty", start, end, Quantity(round(total, 6), unit.unit, words, vague or number.article)))
    return end


def _sized(sheet: Sheet, at: int, lexicon: Lexicon) -> tuple[int, Unit] | None:
    """Read "one-pound jars" or "500 ml bottles" after their number: the holder counts, and not its size."""
    size = read_number(sheet, at, lexicon)
    if size is None or size.article or any(sheet.taken[at:size.end]):
        return None
    joined = size.end + 1 if sheet.word(size.end) == "-" else size.end
    unit = unit_at(sheet, joined, lexicon)
    holder = unit_at(sheet, unit[0], lexicon) if unit and unit[1].unit in ("kg", "l") else None
    return holder if holder and holder[1].unit in _HOLDERS else None


def _smaller_unit(sheet: Sheet, end: int, unit: Unit, total: float, lexicon: Lexicon, region: str) -> tuple[int, float]:
    """Add the ounces of "2 lb 4 oz" (or the bare 4 of "2lb 4")."""
    at = end + 1 if sheet.word(end) == "and" else end
    number = read_number(sheet, at, lexicon)
    if number is None or number.article or unit.unit not in ("kg", "m", "l"):
        return end, total
    hit = unit_at(sheet, number.end, lexicon)
    if hit and hit[1].unit == unit.unit and hit[1].size < unit.size and number.value * hit[1].size < unit.size * 1.01:
        return hit[0], total + number.value * hit[1].size
    pound, ounce = lexicon.units["lb"], lexicon.units["oz"]
    closes = number.end >= len(sheet.tokens) or sheet.tokens[number.end].kind == "mark" or sheet.at(number.end, "bed", "date") is not None
    if unit == pound and at == end and number.digits and closes and number.value < pound.size / ounce.size and sheet.word(number.end) not in ("/", "-"):
        return number.end, total + number.value * ounce.size
    glued = at == end and sheet.tokens[at].glued and sheet.tokens[at - 1].glued
    if (unit == lexicon.units["kg"] and at == end and number.digits and 50 <= number.value < 1000 and hit is None
            and (glued or closes or sheet.word(number.end) == "of")):
        return number.end, total + number.value * lexicon.units["g"].size  # "one kilo 200 of peas", "1kg200"
    return end, total


def inches(sheet: Sheet, end: int, number: Number, lexicon: Lexicon) -> bool:
    """Tell whether the "in" before `end`, as in "6 in", is inches and not the start of "in the bed"."""
    if sheet.tokens[end - 1].glued:
        return True
    return number.digits and (sheet.word(end) in lexicon.beside["after_inches"] or sheet.tokens[end].kind == "mark")


#: What may stand before what it holds with no "of": "pulled bunch beetroots".
_BARE = (*_HOLDERS, "bunch", "handful", "punnet")
#: Units of which "row and a half" or "tray of" is no amount by itself.
_LENGTHS_AND_TIMES = ("day", "percent", "m", "m2")


def _bare_unit(sheet: Sheet, at: int, lexicon: Lexicon, region: str) -> int | None:
    """Read "tray of lettuce" or "handful of beans" as one."""
    hit = unit_at(sheet, at, lexicon)
    before = sheet.word(at - 1)
    if (hit is not None and [sheet.word(hit[0] + k) for k in range(3)] == ["and", "a", "half"]
            and hit[1].unit not in _LENGTHS_AND_TIMES):
        size = hit[1].us if region in ("US", "CA") and hit[1].us else hit[1].size
        sheet.mark(Found("qty", at, hit[0] + 3,
                         Quantity(round(1.5 * size, 6), hit[1].unit, sheet.said(at, hit[0] + 3))))
        return hit[0] + 3
    if hit is not None and sheet.word(hit[0]) == "full" and sheet.word(hit[0] + 1) == "of":
        hit = hit[0] + 1, hit[1]  # "ice cream tub full of raspberries"
    bare = (hit is not None and hit[1].unit in _BARE and before in lexicon.told and not sheet.word(hit[0] - 1).endswith("s")
            and sheet.at(hit[0], "crop", "variety") is not None)  # "pulled bunch beetroots"
    if hit is None or (sheet.word(hit[0]) != "of" and before != "another" and not bare):
        return None
    if (hit[1].unit in _LENGTHS_AND_TIMES
            or before in ("many", "much", "each", "per", "every", "which", "what", "the")):
        return None
    size = hit[1].us if region in ("US", "CA") and hit[1].us else hit[1].size
    plural = sheet.word(hit[0] - 1).endswith("s") and hit[1].size == 1.0
    sheet.mark(Found("qty", at, hit[0],
                     Quantity(round((2 if plural else 1) * size, 6), hit[1].unit, sheet.said(at, hit[0]), True)))
    return hit[0]


def typed_size(lexicon: Lexicon, quantity: Quantity) -> float:
    """Return the size of the unit a quantity was typed in, so that "not 5, six" keeps its unit."""
    for word in reversed(quantity.words.lower().replace(".", " ").split()):
        unit = lexicon.units.get(word.strip("0123456789,"))
        if unit is not None and unit.unit == quantity.unit:
            return unit.size
    return 1.0


def like_before(amount: Quantity, told: Request | None, sheet: Sheet, at: int, lexicon: Lexicon) -> Quantity:
    """Return the amount of "2 of scallions" after "3 bunches of radish": bunches too; "2 of the scallions" are two."""
    old = told.quantities[0] if told is not None and told.quantities else None
    if old is None or amount.unit != "count" or old.unit == "count" or sheet.word(at) != "of" or sheet.at(at + 1, "crop", "variety", "product") is None:
        return amount
    return replace(amount, unit=old.unit, value=round(amount.value * typed_size(lexicon, old), 6))
