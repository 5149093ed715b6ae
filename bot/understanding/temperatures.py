"""Find temperatures, with or without their degrees, and give them in °C."""

from __future__ import annotations

from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.numbers import Number, read_number
from bot.understanding.quantities import unit_at

_DEGREES = ("degrees", "degree", "\u00b0", "celsius", "centigrade", "fahrenheit")
_MINUS = ("minus", "negative", "-")
#: °C: nothing in a garden is as hot; °F: water freezes.
_TOO_HOT_C, _FREEZING_F = 45, 32


def mark_temperatures(sheet: Sheet, lexicon: Lexicon, region: str) -> None:
    """Mark every temperature in °C; a figure without a scale is in that of the region, save where the words around make it absurd."""
    tokens = sheet.tokens
    words = {t.word for t in tokens}
    talk = bool(words & lexicon.beside["of_temperature"])
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
        of_frost = said and sheet.word(end) == "of" and sheet.word(end + 1) == "frost"
        if sheet.word(end) == "below" or of_frost:
            negative = True
            end += 1
        from_freezing = of_frost or (sheet.word(end - 1) == "below" and sheet.word(end) == "freezing")
        unit = unit_at(sheet, end, lexicon)
        lead = sheet.word(start - 1) in lexicon.beside["before_degrees"] and talk and number.digits
        is_temp = (said or (negative and not unit)
                   or (lead and not unit and number.value < 45 and not _counts(sheet, end, lexicon)))
        if sheet.word(at) == "zero" and not said:
            is_temp = talk
        if not is_temp:
            continue
        value = -number.value if negative else number.value
        if scale == "f" or (not scale and _fahrenheit(value, words, region, lexicon)):
            value = (value if from_freezing else value - _FREEZING_F) / 1.8
        sheet.mark(Found("temp", start, end, round(value, 2)))


def _fahrenheit(value: float, words: set[str], region: str, lexicon: Lexicon) -> bool:
    """Tell whether a figure without a scale is in °F: what is too hot in °C, and in America all that is not absurd beside its words.

    Beans do not come up in soil of 12 °F, nor is a day of 35 °F hot; and in Canada nobody asks whether a crop survives 20 °C.
    """
    beside = lexicon.beside
    cold = bool(words & beside["of_cold"])
    if value > _TOO_HOT_C:
        return True
    if region == "CA":
        return cold and value > 12
    mild = bool(words & beside["of_heat"] or value < _FREEZING_F and words & beside["of_growth"])
    return region == "US" and (cold or value < 0 or not mild)


def _counts(sheet: Sheet, end: int, lexicon: Lexicon) -> bool:
    """Tell whether the number before `end` counts or names something: a month, a crop, plants, bed …"""
    word = sheet.word(end)
    return bool(word) and word not in lexicon.beside["after_degrees"]
