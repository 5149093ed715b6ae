"""Say the figures of the last answer in the other units, once: "how much is that in pounds"."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.handlers.context import Context
from bot.reply import Choice, Reply
from bot.wording import CM_PER_INCH, KG_PER_LB, L_PER_US_QUART, M_PER_FOOT, Wording

_ASKED = re.compile(
    r"\bhow (?:much|many|heavy|long|far|big)\b.*\b(?:that|it|this|is|are)\b|\bwhat(?:'?s| is| are) (?:that|it|this)\b", re.IGNORECASE)
_PARTS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
_FIGURE = rf"\d[\d,]*(?:\.\d+)?[{''.join(_PARTS)}]?|[{''.join(_PARTS)}]"
_AMOUNT = re.compile(
    rf"(?P<low>-?(?:{_FIGURE}))(?:(?: to |-)(?P<high>{_FIGURE}))?\s?(?P<unit>kg|g|lb|oz|ml|l|qt|gal|cm|mm|m|in|ft|°C|°F)\b")
#: Unit -> what of `Wording` says it, and its size in that one's own unit.
_UNITS = {"kg": ("mass", 1.0), "g": ("mass", 0.001), "lb": ("mass", KG_PER_LB), "oz": ("mass", KG_PER_LB / 16),
          "l": ("volume", 1.0), "ml": ("volume", 0.001), "qt": ("volume", L_PER_US_QUART),
          "gal": ("volume", 4 * L_PER_US_QUART),
          "cm": ("length", 1.0), "mm": ("length", 0.1), "m": ("length", 100.0), "in": ("length", CM_PER_INCH),
          "ft": ("length", 100 * M_PER_FOOT), "°C": ("temp", 1.0), "°F": ("temp", 1.0)}
_OF_US = frozenset(("lb", "oz", "qt", "gal", "in", "ft", "°F"))


def converted(text: str, units: str, ctx: Context) -> Reply | None:
    """Return the last answer's figures in `units` (metric or us) when a message asks that; None when it does not."""
    last = ctx.memory.reply
    if last is None or not _ASKED.search(text):
        return None
    say = replace(ctx.say, units=units)
    for line in (last.headline, *last.lines):
        found = [hit for hit in _AMOUNT.finditer(line) if (hit["unit"] in _OF_US) != (units == "us")]
        if found:
            parts = dict.fromkeys(f"{hit[0]} is {_said(hit, say)}" for hit in found[:3])
            other = "US units" if units == "us" else "metric"
            return Reply(f"{'; '.join(parts)}.", choices=(Choice(f"Always use {other}", f"use {other}"),),
                         data={"set_units": {"converted": list(parts)}})
    other = "US units" if units == "us" else "metric"
    return Reply("My last answer had no figure to turn.", choices=(Choice(f"Use {other} from now on", f"use {other}"),))


def _said(hit: re.Match[str], say: Wording) -> str:
    way, size = _UNITS[hit["unit"]]
    low, high = (_value(hit[name], hit["unit"]) for name in ("low", "high"))
    assert low is not None
    if way in ("mass", "volume"):
        ends = [getattr(say, way)(end * size) for end in (low, high) if end is not None]
        return " to ".join(ends)
    return str(getattr(say, way)(low * size, None if high is None else high * size))


def _value(figure: str | None, unit: str) -> float | None:
    """Return a figure as written, "2½" or "1,050"; degrees are brought to Celsius."""
    if figure is None:
        return None
    whole = figure.rstrip("".join(_PARTS)).replace(",", "")
    value = (float(whole) if whole not in ("", "-") else 0.0) + sum(_PARTS.get(ch, 0.0) for ch in figure)
    return (value - 32) / 1.8 if unit == "°F" else value
