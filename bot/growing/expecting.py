"""When what stands on the plot is picked, from the day it was sown or planted out and the season since."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.growing.anchors import INF
from bot.growing.calendar import YEAR, GardenYear
from bot.growing.curves import curves
from bot.growing.hardiness import kill_c
from bot.growing.maturity import picking, stands_winter
from bot.plot.folding import RAISED as RAISED_ELSEWHERE
from bot.plot.state import Planting, Plot

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.season import Season


@dataclass(frozen=True, slots=True)
class Expected:
    """When one planting is picked. `picked` says it has been picked from already."""

    planting: Planting
    early: date
    first: date
    late: date
    last: date
    picked: bool
    doubtful: bool = False  # a cool year would not ripen it

    def ready(self, day: date) -> bool:
        """Tell whether it is worth looking at on `day`."""
        return self.first <= day <= self.last or (self.picked and day <= self.last)


def expected(planting: Planting, plot: Plot, facts: Facts, season: Season, today: date) -> Expected | None:
    """Return when a standing planting is picked, or None when its crop or beginning is unknown."""
    crop = facts.crops.get(planting.crop)
    began = planting.planted_out or planting.sown
    if crop is None or began is None:
        return None
    bed = plot.beds.get(planting.bed or "")
    here = curves(season, bed.cover if bed and planting.in_ground else None, facts)
    method = planting.method or ("plants" if planting.planted_out else "direct")
    if planting.planted_out and method in (*RAISED_ELSEWHERE, "direct"):
        method = "plants"
    extra = 0.0
    if not planting.planted_out and method in RAISED_ELSEWHERE:  # still in its tray: planted out at the usual age
        rules = crop.sowing.rules if crop.sowing else []
        weeks = next((r.weeks_as_seedling for r in rules if r.weeks_as_seedling), (4.0, 6.0))
        extra, method = 7 * (weeks[0] + weeks[1]) / 2, "plants"
    year = GardenYear.around(began, season.southern)
    picked = picking(crop, method, year.count(began) + extra, here, with_chance=False)
    if picked is None or picked.first == INF:
        return None
    if crop.lasting:
        return _of_this_year(planting, picked.first, picked.last, year, today)
    last = picked.last
    stands = picked.ends == "frost" and picked.bolts != INF and stands_winter(crop, year.count(began))
    spared = here.winter_chance(kill_c(crop, facts)) >= facts.growing.number("killed.most_chance")
    # What is still on record in spring came through, whatever was likely.
    if stands and (spared or year.count(today) >= YEAR + facts.growing.number("winter.killing_over_days")):
        last = picked.bolts  # the cold may end it sooner, but the record says it stands
    return Expected(
        planting,
        year.day(picked.early),
        year.day(picked.first),
        year.day(picked.late),
        year.day(last),
        bool(planting.harvests),
        picked.cool_year_fails,
    )


def killed(planting: Planting, cover: str | None, facts: Facts, season: Season, today: date) -> bool:
    """Tell whether the nights since a crop of one year stood in the ground have by past years all but surely killed it."""
    crop, began = facts.crops.get(planting.crop), planting.in_ground
    if crop is None or crop.lasting or began is None or not began < today:
        return False
    resting = [row.kill_c for row in crop.hardiness if row.state == "dormant" and row.kill_c is not None]
    kill = min([kill_c(crop, facts), *resting])
    return season.survival(kill, began, today, cover) < facts.growing.number("killed.most_chance")


def _of_this_year(planting: Planting, first: float, last: float, year: GardenYear, today: date) -> Expected:
    """Bring a lasting crop's first picking forward to the coming season."""
    start, end = year.day(first), year.day(last)
    while end < today:
        start, end = _next_year(start), _next_year(end)
    week = timedelta(days=10)
    this_year = any((today - h.day).days < 120 for h in planting.harvests)
    return Expected(planting, start - week, start, start + week, end, this_year and start <= today)


def _next_year(day: date) -> date:
    return date(day.year + 1, day.month, min(day.day, 28))
