"""Find quantities, bed sizes and temperatures.

Sizes of units come from knowledge/phrases/words/units.yaml (NIST SP 811).
"""

from __future__ import annotations

from bot.request import Quantity
from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon, Unit
from bot.understanding.numbers import Number, figure, read_number

_BY = ("x", "by")
_DEGREES = ("degrees", "degree", "\u00b0", "celsius", "centigrade", "fahrenheit")
_MINUS = ("minus", "negative", "-")
_TEMP_LEAD = ("to", "below", "under", "hit", "hits", "reach", "reaches", "survive", "stand", "stands", "take", "takes",
              "at", "handle", "tolerate", "dropped", "drop", "drops", "fell", "was", "minimum", "min", "low", "lows",
              "of", "got", "is", "above", "around", "about", "cope", "with")
_TEMP_WORDS = ("frost", "degrees", "temperature", "cold", "freeze", "freezing", "tonight", "outside", "forecast",
               "overnight", "min", "minimum", "drop", "drops", "dropped", "down", "low", "thermometer", "survive",
               "night", "soil", "celsius", "hardy")
_HOLDERS = ("tub", "tray", "bag", "box", "bucket", "basket", "jar", "bottle", "bowl", "can", "row")
_SEED_COUNT = ("of", "or", "so")
_GROUND = ("bed", "tunnel", "greenhouse", "frame", "polytunnel", "plot", "border", "patch", "planter", "box", "size",
           "raised")


def find_measures(sheet: Sheet, lexicon: Lexicon, region: str) -> None:
    """Mark temperatures and quantities on the sheet, in that order of right; sizes are marked before beds."""
    _temperatures(sheet, lexicon, region)
    _quantities(sheet, lexicon, region)


def _unit_at(sheet: Sheet, at: int, lexicon: Lexicon) -> tuple[int, Unit] | None:
    if at < len(sheet.tokens) and sheet.tokens[at].word == "%":
        return at + 1, lexicon.units["%"]
    hit = lexicon.unit_trie.longest(sheet.tokens, at)
    return hit if hit and not any(sheet.taken[at:hit[0]]) else None


def _length_unit(sheet: Sheet, at: int, lexicon: Lexicon) -> tuple[int, float] | None:
    if sheet.word(at) == "'":
        return at + 1, 0.3048
    hit = lexicon.unit_trie.longest(sheet.tokens, at)
    if hit and hit[1].unit == "m":
        return hit[0], hit[1].size
    return None


def find_sizes(sheet: Sheet, lexicon: Lexicon, region: str) -> None:
    """Mark sizes such as "1.2 x 4 m" and "4ft by 8ft"."""
    for at in range(len(sheet.tokens)):
        first = read_number(sheet, at, lexicon)
        if not first or first.article or sheet.taken[at]:
            continue
        unit_a = _length_unit(sheet, first.end, lexicon)
        join = unit_a[0] if unit_a else first.end
        while sheet.word(join) in ("long", "wide", "in", "length"):
            join += 1
        if sheet.word(join) not in _BY:
            continue
        second = read_number(sheet, join + 1, lexicon)
        if not second or second.article:
            continue
        unit_b = _length_unit(sheet, second.end, lexicon)
        weighed = lexicon.unit_trie.longest(sheet.tokens, second.end)
        if weighed and weighed[1].unit in ("kg", "l"):
            continue  # "2 x 500 g" is no bed
        end = unit_b[0] if unit_b else second.end
        size_b = unit_b[1] if unit_b else unit_a[1] if unit_a else _guess_unit(sheet, first.value, second.value, region)
        size_a = unit_a[1] if unit_a else size_b
        pair = (round(first.value * size_a, 4), round(second.value * size_b, 4))
        sheet.mark(Found("size", at, end, pair))


def _guess_unit(sheet: Sheet, a: float, b: float, region: str) -> float:
    """Take feet in America, and elsewhere when a bed of that many metres would be absurd."""
    under_cover = any(t.word in ("tunnel", "polytunnel", "greenhouse") for t in sheet.tokens)
    smallest = min(a, b)
    if region in ("US", "CA") or smallest >= 4 or (smallest > 2 and not under_cover):
        return 0.3048
    return 1.0


def _temperatures(sheet: Sheet, lexicon: Lexicon, region: str) -> None:
    tokens = sheet.tokens
    talk = any(t.word in _TEMP_WORDS for t in tokens)
    for at, token in enumerate(tokens):
        if sheet.taken[at]:
            continue
        start, negative = at, False
        if token.word in _MINUS:
            glued_left = token.word == "-" and token.glued and at > 0 and tokens[at - 1].kind != "mark"
            follows = at + 1 < len(tokens) and (token.word != "-" or tokens[at + 1].glued)
            if glued_left or not follows:
                continue
            negative = True
            at += 1
        elif token.kind != "number" and token.word not in lexicon.numbers and token.word not in (
                "zero", "twenty", "thirty", "forty", "fifty", "freezing"):
            continue
        number = Number(0.0, at + 1) if sheet.word(at) == "zero" else read_number(sheet, at, lexicon)
        if number is None or number.article:
            continue
        end, scale, said = number.end, "", False
        while sheet.word(end) in _DEGREES or (end < len(tokens) and sheet.word(end) in ("c", "f", "below")):
            word = sheet.word(end)
            if word in ("c", "celsius", "centigrade"):
                scale = "c"
            elif word in ("f", "fahrenheit"):
                scale = "f"
            elif word == "below":
                negative = True
            said = True
            end += 1
        if sheet.word(end) == "below" or (said and sheet.word(end) == "of" and sheet.word(end + 1) == "frost"):
            negative = True
            end += 1
        unit = _unit_at(sheet, end, lexicon)
        lead = sheet.word(start - 1) in _TEMP_LEAD and talk and number.digits
        is_temp = (said or (negative and not unit)
                   or (lead and not unit and number.value < 45 and not _counts(sheet, end, lexicon)))
        if sheet.word(at) == "zero" and not said:
            is_temp = talk
        if not is_temp:
            continue
        value = -number.value if negative else number.value
        if scale == "f" or (not scale and region == "US" and (value > 12 or value <= -10)):
            value = (value - 32) / 1.8
        sheet.mark(Found("temp", start, end, round(value, 2)))


def _counts(sheet: Sheet, end: int, lexicon: Lexicon) -> bool:
    """Tell whether the number before `end` counts or names something: a month, a crop, plants, bed …"""
    word = sheet.word(end)
    return bool(word) and word not in ("tonight", "tomorrow", "?", ".", ",", "!", "overnight", "outside", "at", "in",
                                       "on", "this", "without", "with", "if", "or", "and", "last", "for", "under", "c",
                                       "now", "so", "here")


def _quantities(sheet: Sheet, lexicon: Lexicon, region: str) -> None:
    at = 0
    while at < len(sheet.tokens):
        step = _quantity_at(sheet, at, lexicon, region)
        at = step if step else at + 1


def _quantity_at(sheet: Sheet, at: int, lexicon: Lexicon, region: str) -> int | None:
    if sheet.taken[at]:
        return None
    start, minus = at, sheet.word(at) in ("-", "minus") and at + 1 < len(sheet.tokens) and not (
        sheet.tokens[at].glued and at > 0 and sheet.tokens[at].word == "-")
    number = read_number(sheet, at + 1 if minus else at, lexicon)
    if number is None:
        return _bare_unit(sheet, at, lexicon, region)
    if minus and not (number.digits or sheet.word(at) == "minus"):
        return None
    value, end, vague = number.value, number.end, number.vague
    if sheet.word(end) in ("-", "or", "to") and number.digits:
        other = read_number(sheet, end + 1, lexicon)
        if other and other.digits and other.value > value and _unit_at(sheet, other.end, lexicon):
            value, end, vague = (value + other.value) / 2, other.end, True
    times = read_number(sheet, end + 1, lexicon) if sheet.word(end) == "x" and number.digits else None
    if times is not None and times.digits and _unit_at(sheet, times.end, lexicon):
        value, end = value * times.value, times.end  # "2 x 500 g"
    adjectives = end
    while sheet.word(adjectives) in ("good", "big", "small", "large", "wee", "full", "whole", "decent", "more", "extra",
                                     "nice", "huge", "heaped", "more", "dirty", "great", "short", "long"):
        adjectives += 1
    hit = _sized(sheet, adjectives, lexicon) or _unit_at(sheet, adjectives, lexicon)
    if hit is None:
        return None
    end, unit = hit
    holder = _unit_at(sheet, end, lexicon) if unit.unit == "l" and not sheet.word(end - 1).endswith("s") else None
    if holder and holder[1].unit in _HOLDERS and sheet.word(holder[0] - 1).endswith("s") and (
            start == 0 or sheet.tokens[start - 1].kind != "number"):
        end, unit = holder  # "4 quart bags" are four bags
    if sheet.word(end - 1) == "in" and not _inches(sheet, end, number):
        return None
    if sheet.word(end - 1) == "l" and number.article:
        return None
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
    unit = _unit_at(sheet, joined, lexicon)
    holder = _unit_at(sheet, unit[0], lexicon) if unit and unit[1].unit in ("kg", "l") else None
    return holder if holder and holder[1].unit in _HOLDERS else None


def _smaller_unit(sheet: Sheet, end: int, unit: Unit, total: float, lexicon: Lexicon, region: str) -> tuple[int, float]:
    """Add the ounces of "2 lb 4 oz" (or the bare 4 of "2lb 4")."""
    at = end + 1 if sheet.word(end) == "and" else end
    number = read_number(sheet, at, lexicon)
    if number is None or number.article or unit.unit not in ("kg", "m", "l"):
        return end, total
    hit = _unit_at(sheet, number.end, lexicon)
    if hit and hit[1].unit == unit.unit and hit[1].size < unit.size and number.value * hit[1].size < unit.size * 1.01:
        return hit[0], total + number.value * hit[1].size
    return end, total


def _inches(sheet: Sheet, end: int, number: Number) -> bool:
    """Tell whether "6 in" is inches and not the start of "in the bed"."""
    if sheet.tokens[end - 1].glued:
        return True
    follows = sheet.word(end)
    return number.digits and (follows in ("", "apart", "deep", "wide", "high", "tall", "long", "x", "by", "?", ".", ",",
                                          "of", "spacing")
                              or sheet.tokens[end].kind == "mark")


def _bare_unit(sheet: Sheet, at: int, lexicon: Lexicon, region: str) -> int | None:
    """Read "tray of lettuce" or "handful of beans" as one."""
    hit = _unit_at(sheet, at, lexicon)
    before = sheet.word(at - 1)
    if (hit is not None and [sheet.word(hit[0] + k) for k in range(3)] == ["and", "a", "half"]
            and hit[1].unit in ("kg", "l")):
        size = hit[1].us if region in ("US", "CA") and hit[1].us else hit[1].size
        sheet.mark(Found("qty", at, hit[0] + 3,
                         Quantity(round(1.5 * size, 6), hit[1].unit, sheet.said(at, hit[0] + 3))))
        return hit[0] + 3
    if hit is None or (sheet.word(hit[0]) != "of" and before != "another"):
        return None
    if (hit[1].unit in ("day", "percent", "m", "m2")
            or before in ("many", "much", "each", "per", "every", "which", "what", "the")):
        return None
    size = hit[1].us if region in ("US", "CA") and hit[1].us else hit[1].size
    plural = sheet.word(hit[0] - 1).endswith("s") and hit[1].size == 1.0
    sheet.mark(Found("qty", at, hit[0],
                     Quantity(round((2 if plural else 1) * size, 6), hit[1].unit, sheet.said(at, hit[0]), True)))
    return hit[0]


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


_NO_COUNTS = frozenset(("am", "pm", "week", "weeks", "days", "hours", "hour", "minutes", "month", "months", "years",
                        "degrees", "times", "of", "year", "old", "miles", "people", "o'clock", "th", "euro", "pounds",
                        "quid", "%", "deg", "c", "f", "/"))


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
    wee = follows == "of" and sheet.word(number.end + 1) in ("the", "them", "those", "my", "our")
    if (number.value < 2 or number.value != int(number.value) or number.value > 2000
            or (follows in _NO_COUNTS and not wee) or before in ("at", "by", "past", "#", "number")):
        return ()
    return (Quantity(number.value, "jar" if jars else "count", sheet.said(at, number.end), number.vague),)
