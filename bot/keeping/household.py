"""How much to grow: published plants or metres of row for one person, and yields, turned into a household's need."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bot.facts.crop import Crop

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Amount:
    """What to grow: plants and/or metres of row (low, high), the seed it takes, and the crop expected in kg.

    `each_kg` is what a plant gives, from the lowest published figure to the highest; `kg` goes by the middle of it.
    `by_row` tells that metres of row are what is published, and the plants only what stands in them.
    """

    plants: Pair | None = None
    row_m: Pair | None = None
    seeds: int | None = None
    seed_g: float | None = None
    kg: Pair | None = None
    each_kg: Pair | None = None
    by_row: bool = False

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
    each = _each_kg(crop) if yields.kg_per_plant else None
    plants = (kg / _middle(each), kg / _middle(each)) if each else None
    # Plants and row come from different tables: where plants are known the row is as long as they take.
    row = (kg / yields.kg_per_m_row[1], kg / yields.kg_per_m_row[0]) if yields.kg_per_m_row and plants is None else None
    return _amount(crop, plants, row)


def for_row(crop: Crop, row_m: float) -> Amount:
    """Return the plants, seed and crop of a length of row."""
    return _amount(crop, None, (row_m, row_m))


def for_plants(crop: Crop, plants: float) -> Amount:
    """Return the row, seed and crop of so many plants."""
    return _amount(crop, (plants, plants), None)


def _amount(crop: Crop, plants: Pair | None, row_m: Pair | None) -> Amount:
    gap, by_row = _gap_cm(crop), plants is None
    if plants is not None:
        plants = (max(1, math.ceil(plants[0] - 0.01)), max(1, math.ceil(plants[1] - 0.01)))
    if plants is None and row_m is not None and gap is not None:
        plants = (math.ceil(row_m[0] * 100 / gap), math.ceil(row_m[1] * 100 / gap))
    elif plants is not None and gap is not None:  # from another table than the plants, a row of its own would not agree with them
        row_m = (plants[0] * gap / 100, plants[1] * gap / 100)
    seeds, grams = _seed(crop, plants, row_m)
    return Amount(plants, row_m, seeds, grams, _crop_kg(crop, plants, row_m), _each_kg(crop), by_row)


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
    """Return what so much gives in a fair year: by the middle of the published figures."""
    each, yields = _each_kg(crop), crop.yields
    if each and plants:
        return (plants[0] * _middle(each), plants[1] * _middle(each))
    if yields and yields.kg_per_m_row and row_m:
        return (row_m[0] * _middle(yields.kg_per_m_row), row_m[1] * _middle(yields.kg_per_m_row))
    return None


def _each_kg(crop: Crop) -> Pair | None:
    """Return what a plant gives, kg: the lowest and the highest of what is published of a plant and of a metre of row."""
    yields, gap = crop.yields, _gap_cm(crop)
    if yields is None:
        return None
    by_row = tuple(kg * gap / 100 for kg in yields.kg_per_m_row) if yields.kg_per_m_row and gap else ()
    known = (*by_row, *(yields.kg_per_plant or ()))
    return (min(known), max(known)) if known else None


def _middle(pair: Pair) -> float:
    """Return the middle of two figures that may be many times apart: as many times one as the other is it."""
    return math.sqrt(pair[0] * pair[1])


def _times(pair: Pair | None, people: float) -> Pair | None:
    return None if pair is None else (pair[0] * people, pair[1] * people)
