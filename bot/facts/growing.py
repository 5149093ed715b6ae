"""The growing room: coefficients, rotation, neighbours with their evidence, green manures, what crops are worth."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Literal

from pydantic import ConfigDict, Field

from bot.facts.asking import Saying
from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.climate import Coefficient
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts

FILES = {
    "coefficients": "growing/coefficients.yaml",
    "rotation": "growing/rotation.yaml",
    "companions": "growing/companions.yaml",
    "green_manures": "growing/green_manures.yaml",
    "worth": "growing/worth.yaml",
    "followers": "growing/followers.yaml",
    "soil_diseases": "growing/soil_diseases.yaml",
}
Kind = Literal[
    "salad",
    "leaf",
    "root",
    "brassica",
    "legume",
    "fruiting",
    "allium",
    "tuber",
    "herb",
    "stem",
    "flower",
    "perennial",
    "green-manure",
]


class RotationRule(Sourced):
    """One rule of rotation in plain words. `years` as printed where the rule is a gap."""

    id: Id
    kind: str
    applies_to: str
    rule: str
    years: str | None = None
    strength: str | None = None
    exceptions: str | None = None


class Companion(Sourced):
    """One pair of neighbours and what is known of it. `crops_a` and `crops_b` are the crop ids the words cover."""

    id: Id
    crop_a: str
    crop_b: str
    crops_a: list[Id] = Field(default_factory=list)
    crops_b: list[Id] = Field(default_factory=list)
    named: Saying | None = None  # words for a neighbour that is no kitchen crop
    verdict: Literal["helps", "some", "none", "harms"]
    beside: bool = True  # False: about residues, mulches or trees, not about a neighbour in the bed
    effect: str
    how: str | None = None
    evidence: str | None = None
    size: str | None = None
    limits: str | None = None
    say: str


class GreenManure(Sourced):
    """How a green manure is sown and how long it stays."""

    crop: Id
    seed_g_per_m2: float
    depth_cm: float
    season: str
    months_north: str | None = None
    time_in_ground: str | None = None
    fixes_nitrogen: bool = False
    stands_winter: bool = False


class Worth(Sourced):
    """What kind of crop this is and how much a square metre of it is worth to a kitchen, 1 (little) to 5 (much)."""

    kind: Kind
    worth: float = Field(ge=0, le=5)
    kids: bool = False
    enough_m2: float | None = None  # per person: more than this is a glut
    open_ground: bool = False  # does as well in the open, so that it is seldom given a roof


class Follower(Sourced):
    """What follows a rotation group well, and what does not."""

    group: Id
    good: list[Id] = Field(default_factory=list)
    poor: list[Id] = Field(default_factory=list)
    why: str


class SoilDisease(Sourced):
    """A trouble that stays in the soil and lengthens the gap of some rotation groups."""

    id: Id
    pests: list[Id] = Field(min_length=1)
    groups: list[Id] = Field(min_length=1)
    years: float


class GrowingFacts(Shape):
    """The growing room."""

    model_config = ConfigDict(frozen=True, extra="forbid", ignored_types=(cached_property,))

    coefficients: dict[str, Coefficient]
    rotation: list[RotationRule]
    companions: list[Companion]
    green_manures: list[GreenManure]
    worth: dict[Id, Worth]
    followers: list[Follower]
    soil_diseases: list[SoilDisease]

    def number(self, name: str) -> float:
        """Return a coefficient's value. Raises KeyError for an unknown one."""
        return self.coefficients[name].value

    def season(self, name: str) -> tuple[float, float]:
        """Return when crops "for autumn" or "for winter" are wanted, in days from midwinter."""
        return self.number(f"season.{name}_from_days"), self.number(f"season.{name}_to_days")

    def span_of_rows(self, group: str) -> Follower | None:
        """Return what follows a rotation group, or None."""
        return next((row for row in self.followers if row.group == group), None)


def check(facts: Facts) -> list[Fault]:
    """Check meaning: known crops and sources, windows that can open, growth that a sowing rule needs."""
    growing = facts.growing
    faults: list[Fault] = []
    for field, file in FILES.items():
        table = getattr(growing, field)
        for key, item in table.items() if isinstance(table, dict) else enumerate(table):
            for source in item.source:
                if source not in facts.sources:
                    faults.append(Fault(file, 0, f"{key}.source", f"unknown source {source!r}"))
    for crop_id in growing.worth:
        if crop_id not in facts.crops:
            faults.append(Fault(FILES["worth"], 0, crop_id, "is not a crop"))
    for row in growing.green_manures:
        if row.crop not in facts.crops:
            faults.append(Fault(FILES["green_manures"], 0, row.crop, "is not a crop"))
    for pair in growing.companions:
        for crop_id in (*pair.crops_a, *pair.crops_b):
            if crop_id not in facts.crops:
                faults.append(Fault(FILES["companions"], 0, pair.id, f"names {crop_id!r}, which is not a crop"))
    groups = {crop.family.rotation_group for crop in facts.crops.values()}
    for follower in growing.followers:
        for group in (follower.group, *follower.good, *follower.poor):
            if group not in groups:
                faults.append(
                    Fault(FILES["followers"], 0, follower.group, f"no crop is of the rotation group {group!r}")
                )
    for crop in facts.crops.values():
        faults += _crop_faults(crop)
    return faults


def _crop_faults(crop: object) -> list[Fault]:
    from bot.facts.crop import Crop

    faults: list[Fault] = []
    if not isinstance(crop, Crop) or crop.sowing is None:
        return faults
    file = f"crops/{crop.id}.yaml"
    for rule in crop.sowing.rules:
        raised = rule.method in ("module", "indoors")
        if not (rule.opens or rule.plant_out_opens):
            faults.append(Fault(file, 0, "sowing.rules", f"{rule.method} has no opening"))
        if raised and not rule.weeks_as_seedling:
            faults.append(Fault(file, 0, "sowing.rules", f"{rule.method} says no weeks as a seedling"))
        for anchor in (rule.opens, rule.closes, rule.plant_out_opens, rule.plant_out_closes):
            if anchor is not None and not anchor.model_dump(exclude_none=True):
                faults.append(Fault(file, 0, "sowing.rules", "an anchor with no figure is always met"))
        ready = rule.closes and (
            rule.closes.ready_dark_weeks is not None or rule.closes.ready_first_frost_weeks is not None
        )
        if ready and (crop.growth is None or crop.growth.need_c_days is None):
            faults.append(Fault(file, 0, "growth.need_c_days", "a sowing closes by readiness but no need is given"))
    if crop.growth and crop.growth.need_c_days and crop.growth.base_c is None:
        faults.append(Fault(file, 0, "growth.base_c", "a need in degree-days says nothing without its base"))
    return faults


__all__ = [
    "FILES",
    "Companion",
    "Follower",
    "GreenManure",
    "GrowingFacts",
    "RotationRule",
    "SoilDisease",
    "Span",
    "Worth",
    "check",
]
