"""The shape of one crop file: knowledge/crops/<id>.yaml."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.crop_harvest import CropEnd, HarvestSign, SeedLife, SeedSaving, Storage, Yield
from bot.facts.crop_sowing import Anchor, Cover, Germination, Method, Sowing, SowingRule, Spacing, Sprouting

Route = Literal["freeze", "can", "pickle", "ferment", "dry", "jam", "juice", "store"]


class Name(Shape):
    """A name of the crop. `regions` empty means used anywhere; `kind` says how it is used.

    `may_mean` lists other crops that the same word can mean; then the bot asks or looks at the plot.
    """

    name: str
    plural: str | None = None
    regions: list[str] = Field(default_factory=list)  # GB IE AU NZ US CA IN ZA SCO …
    kind: Literal["standard", "market", "regional", "colloquial", "part-or-stage", "old", "botanical"] = "standard"
    may_mean: list[Id] = Field(default_factory=list)
    hint: str | None = None
    source: list[str] = Field(min_length=1)


class Growth(Sourced):
    """Temperature response and time to maturity."""

    base_c: float | None = None
    ceiling_c: float | None = None
    best_c: Span | None = None
    grows_between_c: Span | None = None  # coldest and warmest at which it still grows
    degree_days_of: str | None = None  # what degree_days were counted between
    degree_days: Span | None = None  # °C days above base, published
    days_to_maturity: Span | None = None
    counted_from: Literal["sowing", "transplant", "planting"] | None = None
    days_to_leaves: Span | None = None  # first leaf picking, where it differs from maturity
    harvest_days: Span | None = None  # how long it then crops
    day_length: str | None = None
    chilling: str | None = None
    life_cycle: Literal["annual", "biennial", "perennial", "shrub", "tree"] = "annual"
    stands_winter: bool = False  # crops through or after winter
    bolts_after_winter: bool = False
    time_in_ground: str | None = None  # green manures: from sowing to digging in
    need_c_days: Span | None = None  # °C days above base to first harvest, worked out from days and reference warmth
    need_from: Literal["sowing", "transplant", "planting"] | None = None
    leaves_c_days: Span | None = None  # °C days above base to a first leaf picking
    crops_from: Anchor | None = None  # never picked before this moment (spears, spring hearts)
    hot_crops_from: Anchor | None = None  # instead, where winter does not freeze and summer is hot
    crops_until: Anchor | None = None  # an overwintered crop bolts or is spent by this moment
    first_crop_years: float | None = None  # perennials: years from planting to the first real picking

    @property
    def lasting(self) -> bool:
        """Tell whether the plant stands for years: a perennial, a shrub or a tree."""
        return self.life_cycle in ("perennial", "shrub", "tree")


class HardinessState(Sourced):
    """Air temperature (°C) that damages or kills, in one state of growth."""

    state: Literal["plant", "seedling", "head", "flower", "dormant"]
    damage_c: float | None = None
    kill_c: float | None = None
    conditions: str | None = None


class Light(Sourced):
    """Sun, height, spread, roots and support. cm and hours."""

    sun_hours: float | None = None
    shade: Literal["full-sun", "part-shade", "shade"] | None = None
    height_cm: Span | None = None
    spread_cm: Span | None = None
    root_class: Literal["shallow", "medium", "deep"] | None = None
    root_depth_cm: Span | None = None
    support: str | None = None


class Feeding(Sourced):
    """How hungry the crop is, the pH it likes, and what to give it."""

    feeder: Literal["light", "medium", "heavy", "fixes-nitrogen"] | None = None
    ph: Span | None = None
    advice: str | None = None


class Water(Sourced):
    """Crop coefficients (FAO-56), rooting depth (m), allowed depletion, and when it matters most."""

    table_entry: str | None = None  # the row of the published table, where it is a group's
    kc_ini: float | None = None
    kc_mid: float | None = None
    kc_end: float | None = None
    root_depth_m: Span | None = None
    depletion: float | None = None
    critical_stage: str | None = None
    stop: str | None = None  # when watering ends, "stop …"
    litres_per_m2_week: Span | None = None
    need: Literal["low", "medium", "high", "very-high"] | None = None


class Family(Sourced):
    """Botanical family and the years to leave between crops of it on one bed."""

    family: str
    rotation_group: str
    years_between: float | None = None
    years_if_diseased: str | None = None
    why: str | None = None


class Crop(Shape):
    """One crop, whole. Blocks the sources do not cover are absent."""

    id: Id
    botanical: str
    use: list[Literal["vegetable", "salad", "herb", "fruit", "green-manure", "edible-flower"]]
    names: list[Name] = Field(min_length=1)
    misspellings: list[str] = Field(default_factory=list)
    misheard: list[str] = Field(default_factory=list)  # real words that dictation or autocorrect puts for the name
    like: Id | None = None  # the crop whose blocks this one shares where it has none of its own
    lent: list[str] = Field(default_factory=list)  # filled when read: the blocks that came from `like`
    family: Family
    germination: Germination | None = None
    sowing: Sowing | None = None
    sprouting: Sprouting | None = None
    spacing: Spacing | None = None
    growth: Growth | None = None
    hardiness: list[HardinessState] = Field(default_factory=list)
    light: Light | None = None
    yields: Yield | None = None
    harvest: HarvestSign | None = None
    storage: list[Storage] = Field(default_factory=list)
    seed_saving: SeedSaving | None = None
    seed_life: SeedLife | None = None
    feeding: Feeding | None = None
    water: Water | None = None
    end_of_crop: CropEnd | None = None
    cautions: list[str] = Field(default_factory=list)  # eating or handling hazards, shown with the crop
    cautions_from: list[str] = Field(default_factory=list)  # the source ids of the cautions
    pests: list[Id] = Field(default_factory=list)
    preserving: list[Route] = Field(default_factory=list)
    growing_well: list[str] = Field(default_factory=list)  # two or three plain sentences of our own

    @property
    def lasting(self) -> bool:
        """Tell whether the crop stands for years; False when its growth is not known."""
        return self.growth is not None and self.growth.lasting

    def said(self, words: str = "gb", *, plural: bool = False, country: str | None = None) -> str:
        """Return the name a gardener of these words (gb or us), or of a country with names of its own, uses."""
        region = country or {"gb": "GB", "us": "US"}.get(words, "GB")
        standard = [n for n in self.names if n.kind == "standard"] or self.names
        best = next((n for n in standard if region in n.regions or not n.regions), standard[0])
        return (best.plural or best.name) if plural else best.name


#: Blocks that a crop never takes from the one it is like: they are what makes it itself.
_OWN = {"id", "botanical", "use", "names", "misspellings", "misheard", "like", "lent", "family", "growing_well"}


def with_lent(crop: Crop, crops: dict[str, Crop]) -> Crop:
    """Return the crop with the blocks it lacks filled from the crop it is like, followed to the end of the chain."""
    filled: dict[str, object] = {}
    seen, lender = {crop.id}, crop.like
    while lender is not None and lender not in seen and lender in crops:
        seen.add(lender)
        other = crops[lender]
        for name in Crop.model_fields:
            if name not in _OWN and name not in filled and not getattr(crop, name) and getattr(other, name):
                filled[name] = getattr(other, name)
        lender = other.like
    return crop.model_copy(update={**filled, "lent": sorted(filled)}) if filled else crop


__all__ = [
    "Anchor",
    "Cover",
    "Crop",
    "CropEnd",
    "Family",
    "Feeding",
    "Germination",
    "Growth",
    "HardinessState",
    "HarvestSign",
    "Light",
    "Method",
    "Name",
    "Route",
    "SeedLife",
    "SeedSaving",
    "Sowing",
    "SowingRule",
    "Spacing",
    "Sprouting",
    "Storage",
    "Water",
    "Yield",
    "with_lent",
]
