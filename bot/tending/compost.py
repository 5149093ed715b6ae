"""The arithmetic of a compost mix: carbon to nitrogen, moisture, and what to add to come right.

Formulas: Cornell Waste Management Institute, "Compost Mixture Calculations" (T. Richard, N. Trautmann, 1996), after
the On-Farm Composting Handbook, NRAES-54 (Rynk 1992). Masses are as thrown on (wet), carbon and nitrogen percent of
dry matter, moisture percent of the wet mass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bot.facts.tending_ground import Measure
from bot.facts.tending_heap import Compost, HeapStuff
from bot.tending.materials import Heaped, kg_of, litres_of


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One part of a mix: wet mass in kg, carbon and nitrogen in % of dry matter, water in % of wet mass."""

    name: str
    kg: float
    c_pct: float
    n_pct: float
    water_pct: float
    litres: float | None = None
    id: str = ""
    guessed: tuple[str, ...] = ()  # what was taken from something like it, or supposed

    @property
    def ratio(self) -> float:
        """Return its own carbon to nitrogen."""
        return self.c_pct / self.n_pct


def c_to_n(parts: Sequence[Ingredient]) -> float:
    """Return the mix's C:N: sum of Q·C·(100-M) over sum of Q·N·(100-M)."""
    carbon = sum(p.kg * p.c_pct * (100 - p.water_pct) for p in parts)
    nitrogen = sum(p.kg * p.n_pct * (100 - p.water_pct) for p in parts)
    return carbon / nitrogen


def moisture(parts: Sequence[Ingredient]) -> float:
    """Return the mix's moisture in %: sum of Q·M over sum of Q."""
    return sum(p.kg * p.water_pct for p in parts) / sum(p.kg for p in parts)


def kg_for_ratio(first: Ingredient, second: Ingredient, wanted: float) -> float:
    """Return the kg of `second` that brings `first` to a wanted C:N. Negative: it lies on the same side."""
    top = first.kg * first.n_pct * (wanted - first.ratio) * (100 - first.water_pct)
    return top / (second.n_pct * (second.ratio - wanted) * (100 - second.water_pct))


def kg_for_moisture(first_kg: float, first_pct: float, second_pct: float, wanted: float) -> float:
    """Return the kg of a second material that brings the first to a wanted moisture. Negative: the wrong side."""
    return (first_kg * wanted - first_kg * first_pct) / (second_pct - wanted)


def joined(parts: Sequence[Ingredient], name: str = "mix") -> Ingredient:
    """Return a mix as one ingredient."""
    dry = sum(p.kg * (100 - p.water_pct) for p in parts)
    return Ingredient(
        name,
        sum(p.kg for p in parts),
        sum(p.kg * p.c_pct * (100 - p.water_pct) for p in parts) / dry,
        sum(p.kg * p.n_pct * (100 - p.water_pct) for p in parts) / dry,
        moisture(parts),
    )


def stuff_named(material: str, compost: Compost) -> HeapStuff | None:
    """Return the row of a material id, its own or the first that lists it."""
    return next(
        (row for row in compost.stuff if row.id == material),
        next((row for row in compost.stuff if material in row.materials), None),
    )


def ingredient(row: HeapStuff, kg: float | None, litres: float | None, compost: Compost) -> Ingredient | None:
    """Return a row of the table as so many kg or litres of an ingredient; None when it has no figures at all.

    Figures that are not published for it are taken from the row that stands in for it, and named in `guessed`.
    """
    other = stuff_named(row.stand_in, compost) if row.stand_in else None
    further = stuff_named(other.stand_in, compost) if other and other.stand_in else None
    guessed: list[str] = []

    def figure(name: str) -> float | None:
        for source in (row, other, further):
            span = getattr(source, name) if source else None
            if span:
                if source is not row and source is not None:
                    guessed.append(f"{_FIGURES[name]} as {source.name}")
                return float(sum(span) / 2)
        return None

    ratio = row.c_to_n_usual or figure("c_to_n")
    nitrogen, water, weight = figure("n_pct"), figure("water_pct"), figure("kg_per_l")
    if ratio is None or nitrogen is None or water is None or (kg is None and (litres is None or weight is None)):
        return None
    mass = kg if kg is not None else (litres or 0.0) * (weight or 0.0)
    return Ingredient(row.name, mass, nitrogen * ratio, nitrogen, water, litres, row.id, tuple(guessed))


_FIGURES = {"c_to_n": "C:N", "n_pct": "nitrogen", "water_pct": "water", "kg_per_l": "weight"}


def mix_of(
    stuff: Sequence[Heaped],
    compost: Compost,
    measures: Sequence[Measure],
    *,
    us: bool = False,
) -> tuple[list[Ingredient], list[str]]:
    """Return the ingredients of an amount of each material, and the materials that have no figures."""
    parts, unknown = [], []
    for item in stuff:
        row = stuff_named(item.material, compost)
        kg = kg_of(item.amount, item.unit)
        litres = None if kg is not None else litres_of(item.amount, item.unit, measures, us=us)
        part = ingredient(row, kg, litres, compost) if row else None
        if part is None:
            unknown.append(row.name if row else item.material.replace("-", " "))
        else:
            parts.append(
                replace(part, name="manure", guessed=("as cow manure", *part.guessed))
                if item.material == "manure"
                else part
            )
    return parts, unknown


def mends(parts: Sequence[Ingredient], compost: Compost, wanted: float = 30.0) -> tuple[HeapStuff, float, float] | None:
    """Return what common stuff, how many kg and litres of it, bring a mix to the wanted C:N; None when it is near."""
    low, high = compost.target("cn-start").span or (25.0, 35.0)
    now = c_to_n(parts)
    if low <= now <= high:
        return None
    helper = "cardboard" if now < low else "grass-clippings"
    wet = moisture(parts)
    if now < low and wet < 50:
        helper = "leaves"
    row = stuff_named(helper, compost)
    unit = ingredient(row, 1.0, None, compost) if row else None
    if row is None or unit is None or row.kg_per_l is None:
        return None
    kg = kg_for_ratio(joined(parts), unit, wanted)
    return row, kg, kg / (sum(row.kg_per_l) / 2)
