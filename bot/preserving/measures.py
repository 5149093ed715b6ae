"""Kitchen measures: American cups and spoons to litres, said for metric or American kitchens, and figures inside prose.

One US cup is 236.588 ml, a tablespoon 14.7868 ml, a teaspoon 4.92892 ml (NIST Handbook 44, appendix C).
"""

from __future__ import annotations

import math
import re

from bot.wording import CM_PER_INCH, KG_PER_LB, Wording, number, plural

LITRES = {"cup": 0.2365882, "tbsp": 0.01478676, "tsp": 0.00492892, "qt": 0.946352946, "gal": 3.785411784}
_EIGHTHS = {0: "", 1: "⅛", 2: "¼", 3: "⅜", 4: "½", 5: "⅝", 6: "¾", 7: "⅞"}
_FIGURE = re.compile(r"\[(-?[\d.]+)(?:-([\d.]+))? (cm|g|kg|ml|l|C|m)\]")


def small_length(say: Wording, low_cm: float, high_cm: float | None = None) -> str:
    """Say a kitchen length: millimetres or centimetres, or inches in eighths.

    >>> small_length(Wording(), 1.3), small_length(Wording(units="us"), 1.3)
    ('13 mm', '½ in')
    """
    high = low_cm if high_cm is None else high_cm
    if say.us:
        a, b = _eighths(low_cm / CM_PER_INCH), _eighths(high / CM_PER_INCH)
        return f"{a} in" if a == b else f"{a}-{b} in"
    if high < 2:
        a, b = f"{low_cm * 10:.0f}", f"{high * 10:.0f}"
        return f"{a} mm" if a == b else f"{a}-{b} mm"
    a, b = number(low_cm, 0.5), number(high, 0.5)
    return f"{a} cm" if a == b else f"{a}-{b} cm"


def _eighths(value: float) -> str:
    eighths = max(1, round(value * 8))
    whole, part = divmod(eighths, 8)
    return f"{whole or ''}{_EIGHTHS[part]}" or "0"


def prose(say: Wording, text: str) -> str:
    """Say the bracketed figures of a text in the plot's units, and its crops by the names they have here.

    >>> prose(Wording(), "cut in [2.5-5 cm] pieces")
    'cut in 2.5-5 cm pieces'
    """

    def figure(match: re.Match[str]) -> str:
        low, unit = float(match[1]), match[3]
        high = float(match[2]) if match[2] else low
        if unit == "cm":
            return small_length(say, low, high)
        if unit == "C":
            return say.temp(low, high)
        if unit == "m":
            return say.height(low)
        if unit in ("ml", "l"):
            scale = 1000 if unit == "ml" else 1
            return liquid(say, low / scale)
        return say.mass(low / (1000 if unit == "g" else 1))

    return _FIGURE.sub(figure, say.named(text))


def liquid(say: Wording, litres: float, rounding: str = "near") -> str:
    """Say a volume for the kitchen. `rounding` is near, up (acid: never less) or down (water: never more).

    >>> liquid(Wording(), 0.946, "up"), liquid(Wording(units="us"), 0.946353)
    ('950 ml', '4 cups')
    """
    if litres < 0.06 or (say.us and litres < 0.0591):
        return _spoons(litres, rounding)
    if say.us:
        cups = _rounded(litres / LITRES["cup"], 0.25, rounding)
        if cups >= 16:
            return f"{number(_rounded(litres / LITRES['qt'], 0.25, rounding), 0.25)} qt"
        return f"{number(cups, 0.25)} cup{'s' if cups > 1 else ''}"
    if litres >= 1:
        return f"{number(_rounded(litres, 0.01 if litres < 3 else 0.05, rounding), 0.01)} l"
    return f"{number(_rounded(litres * 1000, 10 if litres > 0.2 else 5, rounding), 5)} ml"


def _spoons(litres: float, rounding: str) -> str:
    tsp = litres / LITRES["tsp"]
    if tsp >= 3 - 1e-6:
        return f"{number(_rounded(tsp / 3, 0.5, rounding), 0.5)} tbsp"
    return f"{number(max(0.25, _rounded(tsp, 0.25, rounding)), 0.25)} tsp"


def _rounded(value: float, step: float, rounding: str) -> float:
    steps = value / step
    if rounding == "up":
        return math.ceil(steps - 1e-3) * step
    if rounding == "down":
        return math.floor(steps + 1e-3) * step
    return round(steps) * step


def counted(amount: float, unit: str) -> str:
    """Say a counted ingredient, rounded up: '6 cloves', '14'."""
    whole = max(1, math.ceil(amount - 1e-6)) if amount > 0 else 0
    return plural(whole, unit) if unit == "clove" else f"{whole}"


def kg_of(lb: float) -> float:
    """Return kilograms of pounds."""
    return lb * KG_PER_LB
