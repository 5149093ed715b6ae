"""The shape of one crop file: knowledge/crops/<id>.yaml."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bot.facts.base import Id, Shape, Sourced, Span

Cover = Literal["none", "fleece", "cloche", "cold-frame", "unheated", "indoors", "heated"]
Method = Literal["direct", "module", "indoors", "plants", "sets", "cloves", "tubers", "slips", "crowns",
                 "runners", "bare-root", "division", "offsets", "cuttings"]


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


class Germination(Sourced):
    """Soil temperatures (°C) and days to emergence. `days_at` rows are [soil °C, days]; None means none came up."""

    soil_min_c: float | None = None
    soil_best_c: Span | None = None
    soil_max_c: float | None = None
    days_at: list[tuple[float, float | None]] = Field(default_factory=list)
    percent_at: list[tuple[float, float]] = Field(default_factory=list)
    days_usual: Span | None = None
    light: Literal["yes", "no", "either"] | None = None


class Anchor(Shape):
    """A moment in the year as a rule. Given figures are all met: the latest of them opens, the earliest closes.

    Weeks are relative to the 50 % frost date (negative = before) or to the moment named. Soil, mean air and night
    in °C and day length in hours are crossed rising by an opening and falling by a closing; `warms_past_c` is always
    the mean air crossed rising in spring, `cools_to_c` always crossed falling after midsummer. The `ready_` figures
    close a sowing: the crop must have had its whole warmth by that many weeks after the moment.
    """

    last_frost_weeks: float | None = None
    first_frost_weeks: float | None = None
    soil_c: float | None = None
    mean_c: float | None = None
    night_c: float | None = None
    warms_past_c: float | None = None
    cools_to_c: float | None = None
    day_hours: float | None = None
    ten_hours_weeks: float | None = None  # relative to the autumn day the day length falls under 10 h
    midsummer_weeks: float | None = None  # relative to the summer solstice
    midwinter_weeks: float | None = None  # relative to the winter solstice
    ready_first_frost_weeks: float | None = None
    ready_dark_weeks: float | None = None


class SowingRule(Sourced):
    """One way to start the crop: from when to when, under what, and when raised plants go out.

    Without `opens` and `closes` a raised plant is sown its seedling weeks before it may go out.
    """

    method: Method
    cover: Cover = "none"  # where it is sown or planted
    opens: Anchor | None = None
    closes: Anchor | None = None
    plant_out_opens: Anchor | None = None
    plant_out_closes: Anchor | None = None
    grows_on_under: Cover = "none"  # where it then stands to crop
    purpose: Literal["main", "early", "late", "overwinter", "winter-cover", "forcing"] = "main"
    weeks_as_seedling: Span | None = None


class Sowing(Sourced):
    """All ways to start the crop, and how often to sow again."""

    rules: list[SowingRule] = Field(min_length=1)
    succession_days: Span | None = None
    hardiness_class: Literal["tender", "half-hardy", "hardy", "very-hardy"]


class Spacing(Sourced):
    """Distances in cm: rows, equal spacing each way, depth, and seed counts."""

    in_row_cm: Span | None = None
    between_rows_cm: Span | None = None
    each_way_cm: float | None = None
    depth_cm: Span | None = None  # of seed, or of what is planted when nobody sows it
    planting_depth_cm: Span | None = None  # of young plants, crowns or other planting stock set deeper than seed
    thin_to_cm: float | None = None
    seeds_per_metre: float | None = None
    seeds_per_station: float | None = None
    seeds_per_g: float | None = None
    broadcast_g_per_m2: Span | None = None  # for crops sown over the whole ground
    us_in_row_in: str | None = None  # as US guides print it
    us_between_rows_in: str | None = None


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
    crops_until: Anchor | None = None  # an overwintered crop bolts or is spent by this moment
    first_crop_years: float | None = None  # perennials: years from planting to the first real picking


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


class Yield(Sourced):
    """What a plant, a metre of row or a square metre gives, and how many feed one person."""

    kg_per_m_row: Span | None = None
    kg_per_plant: Span | None = None
    kg_per_m2: Span | None = None
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
    litres_per_m2_week: Span | None = None
    need: Literal["low", "medium", "high", "very-high"] | None = None


class CropEnd(Sourced):
    """What to do when the crop is finished."""

    finished_sign: str | None = None
    tops: str | None = None
    roots: str | None = None
    if_diseased: str | None = None
    save_seed: str | None = None
    follow_with: str | None = None


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

    def said(self, words: str = "gb", *, plural: bool = False) -> str:
        """Return the name a gardener of these words (gb or us) uses, singular or plural."""
        region = {"gb": "GB", "us": "US"}.get(words, "GB")
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
