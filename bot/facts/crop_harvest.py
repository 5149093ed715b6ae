"""What a crop gives and what comes after: yield, picking, keeping, seed, and the end of the crop."""

from __future__ import annotations

from typing import Literal

from bot.facts.base import Sourced, Span


class Yield(Sourced):
    """What a plant, a metre of row or a square metre gives, and how many feed one person."""

    kg_per_m_row: Span | None = None
    kg_per_plant: Span | None = None
    kg_per_m2: Span | None = None
    kg_per_kg_seed: Span | None = None  # of what is planted by weight: seed potatoes
    plants_per_person: Span | None = None
    row_m_per_person: Span | None = None
    store_plants_per_person: Span | None = None  # as many again, to freeze, bottle or store
    store_row_m_per_person: Span | None = None
    family_of_four_kg: float | None = None  # weighed in one year on a demonstration plot for four
    as_printed: str | None = None


class HarvestSign(Sourced):
    """How to tell it is ready, how to pick, how often, and what happens if it is left."""

    sign: str
    size_cm: Span | None = None
    size_of: str | None = None
    colour: str | None = None
    every_days: Span | None = None
    how: str | None = None
    if_left: str | None = None
    frost: str | None = None


class Storage(Sourced):
    """Keeping the fresh crop: °C, % humidity, weeks, curing."""

    form: str
    temp_c: Span | None = None
    humidity_pct: Span | None = None
    weeks: Span | None = None
    curing_temp_c: Span | None = None
    curing_humidity_pct: Span | None = None
    curing_days: Span | None = None
    ethylene_gives: Literal["none", "very-low", "low", "medium", "high", "very-high"] | None = None
    ethylene_feels: Literal["none", "very-low", "low", "medium", "high", "very-high"] | None = None
    chill_below_c: float | None = None
    freezes_c: float | None = None
    home_method: str | None = None
    home_note: str | None = None


class SeedSaving(Sourced):
    """How seed is kept true and taken. Distances in metres."""

    species: str | None = None  # crosses are within a species
    life_cycle: str | None = None
    pollination: Literal["self", "self-insect", "insect", "wind", "vegetative"] | None = None
    isolation_home_m: Span | None = None
    isolation_strict_m: Span | None = None
    isolation_certified_m: Span | None = None  # what seed law asks of growers
    isolation_printed: str | None = None
    plants_min: Span | None = None
    plants_for_variety: Span | None = None
    plants_to_last: Span | None = None  # to keep a variety's breadth for good
    crosses_with: str | None = None
    overwinter: str | None = None
    when_ripe: str | None = None
    processing: str | None = None
    hybrid_note: str | None = None
    caution: str | None = None


class SeedLife(Sourced):
    """How long seed keeps, and the lowest germination sold."""

    years: Span | None = None
    germination_min_pct: float | None = None
    germination_kind: str | None = None  # the kind the rule names, where the crop stands under another
    seeds_per_g: float | None = None
    sealed_moisture_max_pct: float | None = None
    other_years: str | None = None
    rule: str | None = None


class CropEnd(Sourced):
    """What to do when the crop is finished."""

    finished_sign: str | None = None
    tops: str | None = None
    roots: str | None = None
    if_diseased: str | None = None
    save_seed: str | None = None
    follow_with: str | None = None
