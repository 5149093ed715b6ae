"""Find temperatures, with or without their degrees, and give them in °C."""

from __future__ import annotations

from bot.understanding.found import Found, Sheet
from bot.understanding.lexicon import Lexicon
from bot.understanding.numbers import Number, read_number
from bot.understanding.quantities import unit_at

_DEGREES = ("degrees", "degree", "\u00b0", "celsius", "centigrade", "fahrenheit")
_MINUS = ("minus", "negative", "-")


def mark_temperatures(sheet: Sheet, lexicon: Lexicon, region: str) -> None:
    """Mark every temperature in °C; a figure without a scale is °F where American measures are used, when it would be odd in °C."""
    tokens = sheet.tokens
    talk = any(t.word in lexicon.beside["of_temperature"] for t in tokens)
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
        unit = unit_at(sheet, end, lexicon)
        lead = sheet.word(start - 1) in lexicon.beside["before_degrees"] and talk and number.digits
        is_temp = (said or (negative and not unit)
                   or (lead and not unit and number.value < 45 and not _counts(sheet, end, lexicon)))
        if sheet.word(at) == "zero" and not said:
            is_temp = talk
        if not is_temp:
            continue
        value = -number.value if negative else number.value
        if scale == "f" or (not scale and (value > 45 or (region in ("US", "CA") and (value > 12 or value <= -10)))):
            value = (value - 32) / 1.8
        sheet.mark(Found("temp", start, end, round(value, 2)))


def _counts(sheet: Sheet, end: int, lexicon: Lexicon) -> bool:
    """Tell whether the number before `end` counts or names something: a month, a crop, plants, bed …"""
    word = sheet.word(end)
    return bool(word) and word not in lexicon.beside["after_degrees"]
