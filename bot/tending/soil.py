"""Ground arithmetic: how much mulch or manure a bed takes, how long raw manure must lie, how much lime.

Depth in cm over m² makes litres (1 cm over 1 m² is 10 l, by definition). Lime: RB209's rule, the wanted change of pH
times a factor of the soil in t/ha of ground limestone (Nutrient Management Guide, AHDB), beside an American garden
table in lb per 100 sq ft; the two disagree and both are given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.facts.tending_ground import Lime, LimeSoil, Manure, ManureRate, PhTarget
from bot.tending.topics import plain

LB_PER_100_SQ_FT = 453.59237 / 9.290304  # g per m²
T_PER_HA = 100.0  # g per m²


def litres_for(area_m2: float, depth_cm: float) -> float:
    """Return the litres that cover an area to a depth."""
    return area_m2 * depth_cm * 10


def depth_of(litres: float, area_m2: float) -> float:
    """Return the depth in cm that so many litres make over an area."""
    return litres / area_m2 / 10


def manure_rate(material: str, hunger: str, rotted: bool, manure: Manure) -> tuple[ManureRate, float] | None:
    """Return the row and kg/m² of manure for a crop of some hunger (light, medium, heavy); None without a figure.

    Fresh rates are printed for middling crops: halved for light feeders, doubled for heavy ones.
    """
    rows = [r for r in manure.rates if r.kg_per_m2 is not None and r.rotted == rotted]
    own = [r for r in rows if r.material == material] or ([r for r in rows if r.material == "manure"] if rotted else [])
    if rotted and not own:
        own = [r for r in manure.rates if r.rotted and r.kg_per_m2 is not None]
    if not own:
        return None
    if rotted:
        wanted = "heavy" if hunger == "heavy" else "other"
        row = next((r for r in own if r.hunger == wanted), own[0])
        return row, row.kg_per_m2 or 0.0
    factor = {"light": 0.5, "fixes-nitrogen": 0.5, "heavy": 2.0}.get(hunger, 1.0)
    return own[0], (own[0].kg_per_m2 or 0.0) * factor


def raw_days(crop: str | None, manure: Manure) -> int:
    """Return the days from digging raw manure in to harvest: 90 where the eaten part is clear of the soil, else 120."""
    rule = "raw-90" if crop in manure.clear_of_soil else "raw-120"
    return manure.rule(rule).days or 120


def safe_from(spread: date, crop: str | None, manure: Manure) -> date:
    """Return the first day a crop may be picked after raw manure was dug in."""
    return spread + timedelta(days=raw_days(crop, manure))


# --- lime ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class LimeNeed:
    """Ground limestone in g/m²: by the garden table and by the farm rule, for reaching `target` from `ph`."""

    ph: float
    target: float
    soil: str
    garden: float | None
    farm: float
    working: tuple[str, ...]

    @property
    def first(self) -> float:
        """Return the dressing to begin with: the lower, since lime cannot be taken back."""
        return min(self.garden, self.farm) if self.garden is not None else self.farm


def lime_soil(words: str | None, lime: Lime) -> LimeSoil | None:
    """Return the soil that words name ("heavy clay"), the longest first, or None."""
    said = " " + " ".join(plain(words or "")) + " "
    found = [
        (len(word), soil)
        for soil in lime.soils
        for word in (*soil.words, soil.id)
        if f" {' '.join(plain(word))} " in said
    ]
    return max(found, key=lambda pair: pair[0])[1] if found else None


def farm_lime(ph: float, soil: LimeSoil, target: float) -> float:
    """Return g/m² by the rule (target - pH) x factor in t/ha; never below nothing."""
    return max(0.0, (target - ph) * soil.factor * T_PER_HA)


def garden_lime(ph: float, soil: LimeSoil, lime: Lime) -> float | None:
    """Return g/m² to reach pH 6.5 by the American garden table, straight between its rows; None without a column."""
    rows = sorted(
        (row.ph, row.g_per_m2) for row in lime.table if row.table == "us-garden" and row.soil == soil.garden_column
    )
    if not rows:
        return None
    rows.append((soil.garden_target_ph, 0.0))
    if ph >= soil.garden_target_ph:
        return 0.0
    if ph <= rows[0][0]:
        return rows[0][1]
    for (low, more), (high, less) in zip(rows, rows[1:], strict=False):
        if low <= ph <= high:
            return more + (less - more) * (ph - low) / (high - low)
    return None


def lime_need(ph: float, soil: LimeSoil, lime: Lime, target: float | None = None) -> LimeNeed:
    """Return how much ground limestone brings a soil to the wanted pH (6.5 unless said), with its arithmetic."""
    aim = target if target is not None else min(soil.garden_target_ph, soil.target_ph)
    farm = farm_lime(ph, soil, aim)
    garden = garden_lime(ph, soil, lime)
    if garden is not None and aim != soil.garden_target_ph and ph < soil.garden_target_ph:
        garden *= max(0.0, aim - ph) / (soil.garden_target_ph - ph)  # the table stops at 6.5: carried on in proportion
    elif garden is not None and aim > soil.garden_target_ph:
        garden = None
    working = [
        f"Farm rule: ({aim:g} - {ph:g}) x {soil.factor:g} = {(aim - ph) * soil.factor:.1f} t/ha = {farm:.0f} g/m²."
    ]
    if garden is not None:
        working.append(
            f"American garden table ({str(soil.garden_column).replace('-', ' ')}, pH {ph:g} to "
            f"{aim:g}): {garden:.0f} g/m²."
        )
    return LimeNeed(ph, aim, soil.id, garden, farm, tuple(working))


def dressings(g_per_m2: float, lime: Lime) -> int:
    """Return into how many dressings, six months apart, so much lime is split."""
    two, three = lime.rule("lime-split-us").value or (537.0, 1025.0)
    return 3 if g_per_m2 >= three else 2 if g_per_m2 >= two else 1


def ph_target(crop: Crop | None, seen: Sequence[str], lime: Lime) -> PhTarget:
    """Return the pH a crop wants, with the troubles seen on the plot in mind; the general one without a crop."""
    general = next(row for row in lime.targets if not row.crops and not row.groups)
    if crop is None:
        return general
    fits = [row for row in lime.targets if crop.id in row.crops or crop.family.rotation_group in row.groups]
    for row in fits:
        if row.pests and set(row.pests) & set(seen):
            return row
    return next((row for row in fits if not row.pests), general)
