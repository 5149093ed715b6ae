"""Say water: a dose, cans, how often, what the figures rest on, and the arithmetic behind them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.facts.crop import Crop
from bot.handlers.context import Context
from bot.handlers.ground_words import measure_l
from bot.plot.state import Bed
from bot.request import Request
from bot.tending.water import Budget, Day
from bot.wording import number, plural

WEEK = 7
DRY_SPELL = re.compile(r"\b(no rain|hasn.?t rained|without rain|dry for|not rained)\b", re.I)
#: Asks for the days between, before the amount.
OFTEN = re.compile(
    r"\b(?:how often|how (?:many|frequent\w*)\b.{0,12}\b(?:times?|days?|water)|every (?:day|other day|\w+ days?)|daily)\b", re.I
)


@dataclass(frozen=True, slots=True)
class Thirst:
    """One piece of ground: what stands there, its area, and its water budget."""

    name: str
    crops: tuple[str, ...]
    bed: Bed | None
    area_m2: float
    budget: Budget

    @property
    def litres(self) -> float:
        """Return the litres the whole of it wants."""
        return self.budget.need * self.area_m2


def when_said(request: Request, days: int, ctx: Context) -> str:
    """Say the days an answer is for."""
    if days == WEEK:
        return "this week"
    if DRY_SPELL.search(request.text):
        return "now"
    if days == 1:
        day = request.when.start if request.when else ctx.today
        return f"on {ctx.say.weekday(day)}"
    return f"in {plural(days, 'day')}"


def per_m2(mm: float, ctx: Context) -> str:
    """Say millimetres of water as litres per m², or as inches and gallons per square foot in US units."""
    if ctx.say.us:
        return f"{number(mm / 25.4, 0.1)} in of water ({number(mm / 40.7458, 0.05)} gal per sq ft)"
    return f"{number(mm, 1)} l per m²"


def cans(thirst: Thirst, ctx: Context) -> str:
    """Say the litres and cans for the ground a planting takes; nothing outside a bed or for one square metre."""
    if thirst.area_m2 == 1.0:
        return ""
    return (
        f", {ctx.say.volume(thirst.litres)}{cans_of(thirst.litres, ctx)} for the "
        f"{ctx.say.area(thirst.area_m2)} they take"
        if thirst.bed
        else ""
    )


def cans_of(litres: float, ctx: Context) -> str:
    """Say litres as whole cans in brackets; nothing under three quarters of a can."""
    can = measure_l(ctx.facts.tending.measure("can"), ctx)
    count = litres / can
    if count < 0.75:
        return ""
    return f" ({plural(max(1, round(count)), 'can')})"


def how_often(found: Budget, ctx: Context) -> str:
    """Say in how many soaks to give the water, by what the soil holds for the roots."""
    if found.every >= found.days or found.need <= found.dose * 1.05:
        return f"Give it in one good soak; the soil there holds about {per_m2(found.holds, ctx)} for its roots."
    times = max(2, round(found.need / max(found.dose, 0.1)))
    if times >= found.days:
        return f"Its roots reach little soil: {per_m2(found.need / found.days, ctx)} every day."
    gap = max(1, round(found.days / times))
    return (
        f"In {times} soaks of about {per_m2(found.need / times, ctx)}, "
        f"{'every other day' if gap == 2 else f'every {gap} days'}, rather than a sprinkle daily."
    )


def basis(days: list[Day], ctx: Context) -> str:
    """Say that the usual weather stands in for a forecast, where it does."""
    if known_days(days):
        return ""
    return (
        f"From the usual weather for {ctx.say.part_of_month(days[0].day)}: I have no forecast. Rain that "
        "falls comes off it."
    )


def known_days(days: list[Day]) -> bool:
    """Tell whether more than half the days are measured or forecast."""
    return sum(day.known for day in days) * 2 > len(days)


def working_of(thirst: Thirst, days: list[Day], crop: Crop | None, ctx: Context) -> tuple[str, ...]:
    """Return the sums behind what a crop wants: evaporation, coefficient, rain, and what the soil holds."""
    found, n = thirst.budget, thirst.budget.days
    per_day = found.et0_mm / n
    lines = [
        "Evaporation from grass (ET0, "
        f"{'forecast' if known_days(days) else 'Hargreaves from the usual lows and highs'}): "
        f"{number(per_day, 0.1)} mm a day, {number(found.et0_mm, 0.1)} mm in {plural(n, 'day')}"
        + (
            f", already times {ctx.facts.tending.water.number('tunnel.evaporation'):g} for the cover."
            if found.covered
            else "."
        ),
        f"Crop coefficient Kc {found.kc:.2f}: {number(found.et0_mm, 0.1)} x {found.kc:.2f} = "
        f"{number(found.etc_mm, 0.1)} mm used.",
        f"Rain that reaches the roots: {number(found.rain_mm, 0.1)} mm "
        f"({number(sum(d.rain_mm for d in days), 0.1)} mm, "
        f"{round(ctx.facts.tending.water.number('rain.effective') * 100)} % of it)."
        if not found.covered
        else "No rain under cover.",
    ]
    owed = found.need - max(0.0, found.etc_mm - found.rain_mm)
    carried = f" {'+' if owed > 0 else '-'} {number(abs(owed), 0.1)} carried over" if abs(owed) > 0.5 else ""
    lines.append(
        f"{number(found.etc_mm, 0.1)} - {number(found.rain_mm, 0.1)}{carried} = "
        f"{number(found.need, 0.1)} mm = {number(found.need, 0.1)} l per m²."
    )
    if crop is not None and crop.water and crop.water.root_depth_m and crop.water.depletion:
        depth = sum(crop.water.root_depth_m) / 2
        lines.append(
            f"Roots {number(depth, 0.05)} m deep, soil as set (loam unless told), part that may be "
            f"used {crop.water.depletion:g}: "
            f"{number(found.holds, 1)} mm held" + (", less while the plants are new." if found.young else ".")
        )
    if thirst.area_m2 != 1.0:
        lines.append(f"{number(found.need, 0.1)} l x {number(thirst.area_m2, 0.1)} m² = {number(thirst.litres, 1)} l.")
    return tuple(lines)


def data_of(thirst: Thirst, crop: Crop | None, days: list[Day]) -> dict[str, object]:
    """Return the figures of a watering answer as data: mm, litres, m² and days."""
    found = thirst.budget
    return {
        "crop": crop.id if crop else None,
        "bed": thirst.bed.id if thirst.bed else None,
        "days": found.days,
        "et0_mm": round(found.et0_mm / found.days, 2),
        "kc": round(found.kc, 2),
        "etc_mm": round(found.etc_mm, 1),
        "rain_mm": round(found.rain_mm, 1),
        "litres_per_m2": round(found.need, 1),
        "area_m2": round(thirst.area_m2, 2),
        "litres": round(thirst.litres, 1),
        "every_days": found.every,
        "holds_mm": round(found.holds, 1),
        "forecast": known_days(days),
    }
