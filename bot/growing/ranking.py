"""Put offers in order: what the kitchen gets for the wait, how safely, what is wished for, what grows already.

Each consideration is a factor on the crop's worth, and the factors are coefficients or simple ratios, so that any
place in the list can be explained.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from bot.facts.crop import Crop
from bot.growing.hurdles import warmth_between
from bot.growing.outcomes import Offer, Trial
from bot.growing.rotation import history
from bot.growing.wishes import Wishes, weight

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.plot.state import Plot

_RAISED = ("module", "indoors", "tray", "pot", "seedbed")
_MANURE_DAYS = 200


def scored(offer: Offer, trial: Trial, wishes: Wishes) -> Offer:
    """Return the offer with its score and the notes that speak for or against it."""
    facts, crop = trial.facts, trial.facts.crops[offer.crop]
    number = facts.growing.number
    row = facts.growing.worth.get(offer.crop)
    notes: list[str] = []
    score = (row.worth if row else 2.0) ** number("rank.worth_power")
    waiting = offer.wait_days - (1 - number("rank.idle_counts")) * offer.idle_days
    score /= 1 + max(0.0, waiting) / number("rank.wait_days")
    picked = min(90.0, (offer.last - offer.first).days)
    score *= 0.92 + 0.16 * picked / 90
    score *= 1 + number("rank.timely") * (1 - min(offer.window_days, 180.0) / 180)
    score *= 0.4 + 0.6 * min(1.0, max(0.0, offer.margin_days) / number("rank.margin_days"))
    score *= offer.chance**0.7
    if offer.margin_days < (offer.late - offer.first).days:
        score *= 0.75
        notes.append("tight")
    if offer.spare_hours < 0:
        score *= 0.8
        notes.append("light")
    elif trial.light.hours < number("light.part-shade") + 0.5 and crop.light and crop.light.shade != "full-sun":
        score *= 1.2
        notes.append("shade")
    if offer.filler:
        score *= 0.75
        notes.append("again" if offer.kind == "fruiting" else "filler")
    follows = _follows(crop, trial)
    if follows:
        score *= 1.12
        notes.append(f"follows:{follows}")
    score *= _feeding(crop, trial, notes)
    score *= _supply(offer, trial.plot, facts, trial.first_day, notes)
    lean = not trial.here.sown_all_winter  # where crops grow on all winter there is no gap to fill
    if offer.in_hungry_gap and lean:
        score *= 1.15
        notes.append("hungry-gap")
    elif offer.in_winter and lean:
        score *= 1.05
        notes.append("winter")
    if row and row.enough_m2:
        score *= min(1.0, row.enough_m2 * max(1, trial.plot.settings.household) / trial.place.area_m2) ** number(
            "rank.glut_power"
        )
    if row and row.open_ground and trial.roofed:
        score *= number("rank.open_ground")
    if offer.cool_c > 0 and not trial.roofed:
        score *= max(0.4, 1 - number("rank.cool_per_c") * offer.cool_c)
        if offer.cool_c >= 1:
            notes.append("cool")
    if offer.hot:
        score *= 0.75
        notes.append("heat")
    if not offer.hot and _begun_in_heat(crop, offer, trial):
        score *= number("rank.hot_start")
        notes.append("heat")
    score *= _under_roof(crop, offer, trial)
    raised = crop.sowing is not None and any(rule.weeks_as_seedling for rule in crop.sowing.rules)
    if offer.method == "plants":
        score *= 0.93
    elif offer.method == "direct" and raised and offer.kind in ("brassica", "allium", "fruiting", "stem"):
        score *= 0.85  # usually raised elsewhere, so that the bed is not held while they are small
    spell = max(60, 1.5 * (trial.last_day - trial.first_day).days)
    score *= 1 - (offer.start - trial.first_day).days / spell
    return replace(offer, score=score * weight(wishes, offer, facts), notes=tuple(notes))


def ranked(offers: list[Offer], facts: Facts, count: int = 8) -> list[Offer]:
    """Return the best offers in order, the best way of each crop, kinds mixed so that a list is not all of one kind."""
    best: dict[str, Offer] = {}
    for offer in offers:
        if offer.crop not in best or offer.score > best[offer.crop].score:
            best[offer.crop] = offer
    left = list(best.values())
    same = facts.growing.number("rank.same_kind")
    kinds: Counter[str] = Counter()
    kin: Counter[str] = Counter()
    out: list[Offer] = []
    while left and len(out) < count:
        chosen = max(left, key=lambda o: o.score * same ** kinds[o.kind] * same ** (2 * _kin(o.crop, kin, facts)))
        left.remove(chosen)
        out.append(chosen)
        kinds[chosen.kind] += 1
        kin.update(_names(chosen.crop, facts))
    return out


def _kin(crop_id: str, kin: Counter[str], facts: Facts) -> int:
    return max(kin[name] for name in _names(crop_id, facts))


def _names(crop_id: str, facts: Facts) -> tuple[str, str]:
    """Return species and plain crop: to a kitchen savoys and summer cabbage are one, and garlic and its giant kin."""
    crop = facts.crops[crop_id]
    return " ".join(crop.botanical.split()[:2]), crop.like or crop.id


def _begun_in_heat(crop: Crop, offer: Offer, trial: Trial) -> bool:
    """Tell whether the first two months after a beginning are much warmer than the crop can use: cabbages set out in June in the South."""
    ceiling = crop.growth.ceiling_c if crop.growth else None
    if ceiling is None or trial.roofed:
        return False
    start = trial.year.count(offer.start)
    return warmth_between(start, start + trial.facts.growing.number("rank.hot_start_days"), trial) > ceiling + trial.facts.growing.number("rank.hot_start_over_c")


def _under_roof(crop: Crop, offer: Offer, trial: Trial) -> float:
    """Weigh the room under a roof: it is for what needs it, tender crops in summer and leaves in winter."""
    if not trial.roofed or crop.sowing is None:
        return 1.0
    count = trial.year.count(offer.start)
    summer = trial.here.last_frost() - 25 <= count % 365 <= trial.here.first_frost() - 75
    if crop.sowing.hardiness_class == "tender":
        return 1.6 if crop.growth and (crop.growth.base_c or 0) >= 10 else 1.0
    if offer.purpose == "overwinter" and offer.kind not in ("salad", "leaf"):
        return 0.6  # does as well in the open
    return 0.6 if summer and offer.wait_days > 45 else 1.0


def _follows(crop: Crop, trial: Trial) -> str | None:
    """Return the crop last in the bed when this one follows it well."""
    past = [p for p in history(trial.bed_id, trial.plot) if p.cleared and p.cleared <= trial.first_day]
    if not past:
        return None
    last = max(past, key=lambda p: p.cleared or date.min)
    other = trial.facts.crops.get(last.crop)
    row = trial.facts.growing.span_of_rows(other.family.rotation_group) if other else None
    return last.crop if row and crop.family.rotation_group in row.good else None


def _feeding(crop: Crop, trial: Trial, notes: list[str]) -> float:
    """Weigh what the bed was fed with: fresh manure spoils roots, hungry crops are glad of a fed bed."""
    fed = [
        e
        for e in trial.plot.events("fed")
        if e.bed == trial.bed_id and trial.bed_id and 0 <= (trial.first_day - e.day).days <= 400
    ]
    feeder = crop.feeding.feeder if crop.feeding else None
    manured = any(
        "manure" in str(e.data.get("material", e.words)).lower() and (trial.first_day - e.day).days < _MANURE_DAYS
        for e in fed
    )
    if (
        manured
        and crop.family.rotation_group == "umbellifers"
        or manured
        and crop.id in ("beetroot", "salsify", "scorzonera")
    ):
        notes.append("manured")
        return 0.6
    if feeder == "heavy":
        if fed:
            notes.append("fed")
            return 1.08
        return 0.95
    return 1.0


def _supply(offer: Offer, plot: Plot, facts: Facts, day: date, notes: list[str]) -> float:
    """Weigh what the household has already: plants waiting, seed in the tin, the same crop standing elsewhere."""
    factor = 1.0
    standing = plot.standing(crop=offer.crop)
    waiting = [p for p in standing if p.in_ground is None and p.method in _RAISED]
    if offer.method == "plants" and waiting:
        notes.append("plants-waiting")
        return 1.7
    if [p for p in standing if p not in waiting]:
        factor *= facts.growing.number("rank.already_growing")
        notes.append("growing")
    if offer.method == "direct" and any(s.crop == offer.crop and not s.used_up for s in plot.seeds):
        factor *= 1.06
        notes.append("seed")
    return factor
