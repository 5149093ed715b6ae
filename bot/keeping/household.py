"""How much to grow: published plants or metres of row for one person, and yields, turned into a household's need."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bot.facts.crop import Crop

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Amount:
    """What to grow: plants and/or metres of row (low, high), the seed it takes, and the crop expected in kg."""

    plants: Pair | None = None
    row_m: Pair | None = None
    seeds: int | None = None
    seed_g: float | None = None
    kg: Pair | None = None

    @property
    def known(self) -> bool:
        """Tell whether there is anything to say."""
        return self.plants is not None or self.row_m is not None


def for_people(crop: Crop, people: float, *, to_store: bool = False) -> Amount:
    """Return how much of a crop feeds `people`, fresh, or as much again to store."""
    yields = crop.yields
    if yields is None:
        return Amount()
    plants = yields.store_plants_per_person if to_store else yields.plants_per_person
    row = yields.store_row_m_per_person if to_store else yields.row_m_per_person
    # Plants and row come from different tables: where plants are known the row is as long as they take.
    return _amount(crop, _times(plants, people), None if plants else _times(row, people))


def for_weight(crop: Crop, kg: float) -> Amount:
    """Return how much of a crop gives about `kg`, from its yield per plant, metre or square metre."""
    yields = crop.yields
    if yields is None:
        return Amount()
    plants = (kg / yields.kg_per_plant[1], kg / yields.kg_per_plant[0]) if yields.kg_per_plant else None
    row = (kg / yields.kg_per_m_row[1], kg / yields.kg_per_m_row[0]) if yields.kg_per_m_row and plants is None else None
    return _amount(crop, plants, row)


def for_row(crop: Crop, row_m: float) -> Amount:
    """Return the plants, seed and crop of a length of row."""
    return _amount(crop, None, (row_m, row_m))


def for_plants(crop: Crop, plants: float) -> Amount:
    """Return the row, seed and crop of so many plants."""
    return _amount(crop, (plants, plants), None)


def _amount(crop: Crop, plants: Pair | None, row_m: Pair | None) -> Amount:
    gap = _gap_cm(crop)
    if plants is not None:
        plants = (max(1, math.ceil(plants[0] - 0.01)), max(1, math.ceil(plants[1] - 0.01)))
    if plants is None and row_m is not None and gap is not None:
        plants = (math.ceil(row_m[0] * 100 / gap), math.ceil(row_m[1] * 100 / gap))
    elif row_m is None and plants is not None and gap is not None:
        row_m = (plants[0] * gap / 100, plants[1] * gap / 100)
    seeds, grams = _seed(crop, plants, row_m)
    return Amount(plants, row_m, seeds, grams, _crop_kg(crop, plants, row_m))


def _gap_cm(crop: Crop) -> float | None:
    if crop.spacing is None:
        return None
    if crop.spacing.in_row_cm:
        return sum(crop.spacing.in_row_cm) / 2
    return crop.spacing.each_way_cm


def _seed(crop: Crop, plants: Pair | None, row_m: Pair | None) -> tuple[int | None, float | None]:
    """Return seeds and grams for the higher figure: drills by the metre, stations by the plant."""
    spacing = crop.spacing
    if spacing is None or not _sown(crop):
        return None, None
    seeds = None
    if spacing.seeds_per_metre and row_m:
        seeds = math.ceil(row_m[1] * spacing.seeds_per_metre)
    elif plants:
        seeds = math.ceil(plants[1] * max(1.0, spacing.seeds_per_station or 1.0))
    if seeds and plants:
        seeds = max(seeds, math.ceil(plants[1]))
    per_g = spacing.seeds_per_g or (crop.seed_life.seeds_per_g if crop.seed_life else None)
    return seeds, (round(seeds / per_g, 2) if seeds and per_g else None)


def _sown(crop: Crop) -> bool:
    return crop.sowing is None or any(rule.method in ("direct", "module", "indoors") for rule in crop.sowing.rules)


def _crop_kg(crop: Crop, plants: Pair | None, row_m: Pair | None) -> Pair | None:
    yields = crop.yields
    if yields is None:
        return None
    by_row, by_plant = _product(row_m, yields.kg_per_m_row), _product(plants, yields.kg_per_plant)
    told = [pair for pair in (by_row, by_plant) if pair is not None]  # of two tables, from the least to the most
    return (min(low for low, _ in told), max(high for _, high in told)) if told else None


def _product(amount: Pair | None, each: Pair | None) -> Pair | None:
    return (amount[0] * each[0], amount[1] * each[1]) if amount and each else None


def _times(pair: Pair | None, people: float) -> Pair | None:
    return None if pair is None else (pair[0] * people, pair[1] * people)
