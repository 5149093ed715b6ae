"""What a bed's past says about what may come next: families, their gaps, and troubles that stay in the ground.

Gaps count from the last season in which any member of the rotation group stood in the bed. A soil trouble seen
there lengthens the gap. Short salads may be fitted in sooner where no trouble of their family was seen.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from bot.facts.crop import Crop
from bot.plot.state import Planting, Plot

if TYPE_CHECKING:
    from bot.facts import Facts

_DAYS = 365.25
#: Groups that are no family: nothing is shared within them.
_NO_FAMILY = ("break-crops", "herbs", "perennials")
_QUICK_DAYS = 75


@dataclass(frozen=True, slots=True)
class Gap:
    """How a rotation group stands in one bed: when it was last there, the years asked for, and why."""

    group: str
    years_needed: float
    last: date | None
    last_crop: str | None
    free_from: date | None  # None: free at once
    disease: str | None = None

    def clear_on(self, day: date) -> bool:
        """Tell whether the group may go back on `day`."""
        return self.free_from is None or day >= self.free_from

    def years_since(self, day: date) -> float | None:
        """Return the years since the group last stood there."""
        return None if self.last is None else (day - self.last).days / _DAYS


def gap_for(crop: Crop, bed: str | None, plot: Plot, facts: Facts, day: date) -> Gap:
    """Return how `crop`'s rotation group stands in `bed` on `day`, from the record."""
    group = crop.family.rotation_group
    years = crop.family.years_between or 0.0
    disease = disease_in(bed, group, plot, facts) if bed else None
    if disease is not None:
        years = max(years, disease[1])
    last: date | None = None
    last_crop: str | None = None
    for planting in history(bed, plot):
        other = facts.crops.get(planting.crop)
        if other is None or not _kin(crop, other):
            continue
        ended = planting.cleared or day
        if planting.began and planting.began > day:
            continue
        if last is None or ended > last:
            last, last_crop = ended, planting.crop
    free = None
    if last is not None and years > 0:
        free = _years_on(last, years - 0.5 if years > 1 else 0.35)  # a gap of whole seasons, not of days
        if free <= day:
            free = None
    return Gap(group, years, last, last_crop, free, disease[0] if disease else None)


def allowed(crop: Crop, gap: Gap, day: date) -> bool:
    """Tell whether rotation allows the crop on `day`: the gap is over, or it is a quick salad with no trouble seen."""
    return gap.clear_on(day) or (gap.disease is None and quick_filler(crop) and gap.last_crop != crop.id)


def quick_filler(crop: Crop) -> bool:
    """Tell whether a crop is so quick and light that guides let it fill in regardless of its family."""
    days = crop.growth.days_to_maturity if crop.growth else None
    return (
        "salad" in crop.use and days is not None and days[1] <= _QUICK_DAYS and crop.family.rotation_group != "alliums"
    )


def history(bed: str | None, plot: Plot) -> tuple[Planting, ...]:
    """Return all plantings that have taken their place in a bed, oldest first; one that was moved had it till it left."""
    if bed is None:
        return ()
    gone = [replace(p, bed=bed, cleared=day) for p in plot.plantings for was, day in p.left if was == bed]
    here = [p for p in plot.plantings if p.bed == bed and (p.in_ground or p.cleared or p.standing)]
    return tuple(sorted([*gone, *here], key=lambda p: p.id))


def disease_in(bed: str | None, group: str, plot: Plot, facts: Facts) -> tuple[str, float] | None:
    """Return the soil trouble of a rotation group recorded in a bed and the years it asks for, or None."""
    worst: tuple[str, float] | None = None
    for event in plot.events("pest_seen"):
        if event.bed != bed:
            continue
        pest = str(event.data.get("pest", ""))
        for row in facts.growing.soil_diseases:
            if pest in row.pests and group in row.groups and (worst is None or row.years > worst[1]):
                worst = (pest, row.years)
    return worst


def groups_free(bed: str, plot: Plot, facts: Facts, day: date) -> list[tuple[str, Gap]]:
    """Return every rotation group with its gap in a bed, those longest away first."""
    seen: dict[str, Gap] = {}
    for crop in facts.crops.values():
        group = crop.family.rotation_group
        if group in seen or group in _NO_FAMILY or group in ("soft-fruit", "tree-fruit") or crop.sowing is None:
            continue
        seen[group] = gap_for(crop, bed, plot, facts, day)
    return sorted(seen.items(), key=lambda item: (not item[1].clear_on(day), item[1].last or date.min))


def beds_for(crop: Crop, plot: Plot, facts: Facts, day: date) -> list[tuple[str, Gap]]:
    """Return the plot's beds for a crop's family, best first: free of it, and longest so."""
    beds = [(bed.id, gap_for(crop, bed.id, plot, facts, day)) for bed in plot.beds.values() if bed.kind != "fruit"]
    return sorted(beds, key=lambda item: (not item[1].clear_on(day), item[1].last or date.min))


def _kin(crop: Crop, other: Crop) -> bool:
    group = crop.family.rotation_group
    if group in _NO_FAMILY:
        return crop.id == other.id or (group != "break-crops" and crop.family.family == other.family.family)
    return other.family.rotation_group == group or crop.family.family == other.family.family


def _years_on(day: date, years: float) -> date:
    months = round(years * 12)
    year, month = day.year + (day.month - 1 + months) // 12, (day.month - 1 + months) % 12 + 1
    return date(year, month, min(day.day, 28))
