"""Blanching and freezing: the rows of a crop, minutes at a height, water, bags from a weight."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.facts.preserving import Blanching, PreservingFacts, YieldRow
from bot.preserving.altitude import to_feet
from bot.preserving.matching import find
from bot.wording import KG_PER_LB

#: Height of the altitude rule, feet (rule blanch-altitude: one minute more at 5,000 ft and above).
RULE_FEET = 5000.0
PINT_LITRES = 0.473176
#: Water for blanching, litres to a kilogram (1 US gallon to the pound; rule blanch-water).
WATER_L_PER_KG = 3.785411784 / KG_PER_LB


@dataclass(frozen=True, slots=True)
class Time:
    """One form with its minutes at a height: [low, high] in water and in steam."""

    row: Blanching
    water: tuple[float, float] | None
    steam: tuple[float, float] | None
    added: float

    def as_json(self) -> dict[str, object]:
        """Return form, water_min and steam_min: one number, or [low, high] where the table gives a range."""
        return {"form": self.row.form, "water_min": _one(self.water), "steam_min": _one(self.steam)}


def _one(span: tuple[float, float] | None) -> float | list[float] | None:
    if span is None:
        return None
    return span[0] if span[0] == span[1] else [span[0], span[1]]


def rows_of(crop: str, facts: PreservingFacts) -> list[Blanching]:
    """Return the blanching rows of a crop; of its stand-in, or of greens in general, when it has none."""
    own = [row for row in facts.blanching if row.crop == crop]
    if own:
        return own
    other = facts.words.stand_ins.get(crop)
    if other:
        return [row for row in facts.blanching if row.crop == other]
    if crop in facts.words.greens:
        return [row for row in facts.blanching if row.crop == "komatsuna"]
    return []


def times(rows: list[Blanching], metres: float | None) -> list[Time]:
    """Return the minutes of blanched forms at a height; an unknown height takes the table as printed."""
    added = 1.0 if metres is not None and to_feet(metres) >= RULE_FEET - 0.01 else 0.0

    def more(span: tuple[float, float] | None) -> tuple[float, float] | None:
        return None if span is None else (span[0] + added, span[1] + added)

    return [Time(row, more(row.water), more(row.steam), added) for row in rows if row.treatment == "blanch"]


def form_of(rows: list[Blanching], text: str) -> list[Blanching]:
    """Return the rows whose form or size words stand in plain `text`, best first; all rows when none does."""

    def score(row: Blanching) -> int:
        words = [w for w in re.findall(r"[a-z]+", row.form.lower()) if len(w) > 3 and w not in ("whole", "published")]
        words += ["whole"] if "whole" in row.form else []
        return sum(bool(find(text, [w.rstrip("s") + "s?"])) for w in words)

    best = max((score(row) for row in rows), default=0)
    return [row for row in rows if score(row) == best] if best else rows


def frozen_pints(crop: str, kg: float, facts: PreservingFacts) -> tuple[float, float, YieldRow] | None:
    """Return (fewest, most) pints (473 ml) of frozen produce from a fresh weight, with the row; None without a row."""
    names = (crop, facts.words.stand_ins.get(crop), "french-bean" if crop == "runner-bean" else None)
    row = next(
        (y for name in names for y in facts.yields if y.crop == name and y.product == "frozen" and y.lb_per_pint), None
    )
    if row is None or row.lb_per_pint is None:
        return None
    pounds = kg / KG_PER_LB
    return pounds / row.lb_per_pint[1], pounds / row.lb_per_pint[0], row


def canned_yields(crop: str, facts: PreservingFacts) -> list[YieldRow]:
    """Return the rows that tell how much fresh produce of a crop fills a quart jar, one for each form."""
    names = (crop, facts.words.stand_ins.get(crop))
    return [y for name in names for y in facts.yields if y.crop == name and y.product == "canned" and y.lb_per_quart]


def quarts_filled(row: YieldRow, kg: float) -> float:
    """Return the quart jars (946 ml) that a fresh weight fills, by the middle of the pounds a quart takes."""
    assert row.lb_per_quart is not None
    return kg / KG_PER_LB / (sum(row.lb_per_quart) / 2)
