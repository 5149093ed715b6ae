"""From a sowing or planting day to the days it is picked: growth by warmth, then what ends the harvest.

Days are counted from midwinter. A crop is first picked when its warmth is gathered, not before the moment its
kind waits for (spears in spring, fruit of the second year), and last picked when it is spent, killed or bolts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.facts.crop import Crop
from bot.growing.anchors import INF, Need, closes, need_of, need_of_planting, need_of_sowing, opens
from bot.growing.calendar import MIDSUMMER, YEAR
from bot.growing.curves import Curves
from bot.growing.hardiness import kill_c
from bot.growing.windows import BURIED, ROOFS

#: A crop begun after this day count (some seven weeks past midsummer) goes into the winter small.
_LATE = 230
_SPREAD_MOST = 90  # a cool year this much later has run into the winter


@dataclass(frozen=True, slots=True)
class Picking:
    """When a crop is picked, in days from midwinter of the year it was begun in.

    `early` and `late` are the first picking in a warm and a cool year. `ends` says what ends it: spent, frost or
    bolting. `weather_end` is the day the cold or bolting would end it even if it were not spent. `chance` is the
    chance that no night kills it before the first picking. `bolts` is the day it runs to seed if no cold ends it.
    """

    early: float
    first: float
    late: float
    last: float
    ends: str
    weather_end: float
    chance: float
    need: Need | None
    bolts: float = INF

    @property
    def cool_year_fails(self) -> bool:
        """Tell whether in a cool year the weather ends the crop before it is ready."""
        return self.late > self.weather_end or self.late - self.first > _SPREAD_MOST

    @property
    def margin(self) -> float:
        """Return the days between the first picking and the weather that ends it."""
        return self.weather_end - self.first


def picking(
    crop: Crop, method: str, start: float, here: Curves, *, with_chance: bool = True, known: Picking | None = None
) -> Picking | None:
    """Work out the picking of a crop begun by `method` on day `start` under `here`; None when its growth is unknown.

    `with_chance` false leaves the chance of living to the first picking out, which takes longest; `known` is such a
    picking to be completed with it.
    """
    growth = crop.growth
    if growth is None:
        return None
    if known is not None:
        return replace(known, chance=here.survives(killing_c(crop, here, method, start), start + 1, known.first))
    if growth.first_crop_years:
        return _of_perennial(crop, start, here)
    need = _need(crop, method, here)
    if need is None:
        return None
    swing = here.swing_c
    first = here.reach(need.middle, start, need.base_c, need.ceiling_c)
    early = min(first, here.reach(need.low, start, need.base_c, need.ceiling_c, swing))
    late = min(here.reach(need.high, start, need.base_c, need.ceiling_c, -swing), first + 2 * YEAR)
    if first == INF:
        return None
    wait = _not_before(crop, start, here)
    if wait == INF:
        return None
    first, early, late = max(first, wait), max(early, wait), max(late, wait)
    kill = killing_c(crop, here, method, start)
    cold = _killed_after(kill, start, here)
    bolts = _bolts_after(crop, start, first, here)
    weather = min(cold, bolts)
    days = growth.harvest_days
    usual = (days[0] + days[1]) / 2 if days else 14.0
    # What stands the winter lasts until the cold or the spring ends it.
    last = weather if stands_winter(crop, start) and bolts != INF else min(first + usual, max(weather, first))
    ends = "spent" if last < weather else "bolting" if bolts < cold else "frost"
    chance = here.survives(kill, start + 1, first) if with_chance else (1.0 if first <= cold else 0.0)
    return Picking(early, first, late, last, ends, weather, chance, need, bolts)


def stands_winter(crop: Crop, start: float) -> bool:
    """Tell whether a crop begun on a day count is picked through the winter: quick leaves only when sown late."""
    growth = crop.growth
    return (
        growth is not None and growth.stands_winter and (growth.life_cycle != "annual" or start % YEAR > MIDSUMMER - 15)
    )


def killing_c(crop: Crop, here: Curves, method: str = "", start: float | None = None) -> float:
    """Return the air temperature that ends a crop where it stands.

    Hardy leaves bear more under a roof; small plants begun late to stand the winter, and cloves and sets in the
    ground, bear more than grown plants.
    """
    kill = kill_c(crop, here.facts)
    if crop.sowing is None or crop.sowing.hardiness_class == "tender":
        return kill
    if here.cover in ROOFS:
        kill -= here.number("covered.hardier_c")
    if method in BURIED:
        kill -= here.number(BURIED[method])
    elif _root_stands(crop, here):
        kill -= here.number("roots.hardier_c")
    elif start is not None and start % YEAR > _LATE:
        kill -= here.number("young.hardier_c")
    return kill


def _root_stands(crop: Crop, here: Curves) -> bool:
    row = here.facts.growing.worth.get(crop.id)
    return row is not None and row.kind == "root" and crop.growth is not None and crop.growth.stands_winter


def _need(crop: Crop, method: str, here: Curves) -> Need | None:
    if method == "direct":
        return need_of_sowing(crop, here, leaves=True)
    if method in ("plants", "bare-root", "runners", "module", "indoors"):
        return need_of_planting(crop, here, leaves=True)
    return need_of(crop, leaves=True)


#: An autumn moment this many days before planting still counts (leeks set out a few weeks late); a spring one must
#: lie as many days after it.
_GRACE_DAYS = 60


def _not_before(crop: Crop, start: float, here: Curves) -> float:
    """Return the day before which its kind is not picked: the first such moment after it was begun."""
    growth = crop.growth
    anchor = (growth.hot_crops_from if here.two_seasons and growth.hot_crops_from else growth.crops_from) if growth else None
    if anchor is None or (here.two_seasons and anchor.cools_to_c is not None):  # no autumn brings it on there
        return -INF
    moment = opens(anchor, here)
    if moment == INF:
        return INF
    if moment == -INF:
        moment = float(here.trough)
    # A moment of spring (spears, spring hearts) comes only after a winter in the ground; one of autumn may be past.
    spring = anchor.mean_c is not None or anchor.midwinter_weeks is not None or anchor.warms_past_c is not None
    least = start + _GRACE_DAYS if spring else start - _GRACE_DAYS
    while moment < least:
        moment += YEAR
    return moment


def _killed_after(kill: float, start: float, here: Curves) -> float:
    """Return the day by which a killing night is as likely as not, at or after `start`; infinity when none is."""
    cold = here.first_below(kill)
    if cold == INF:
        return INF
    last = here.last_below(kill)
    while cold < start:
        if last + YEAR >= start and start - cold < YEAR / 2:
            return start  # begun in the middle of the killing season
        cold, last = cold + YEAR, last + YEAR
    if last > start and cold - start > YEAR / 2:
        return start
    return cold


def _bolts_after(crop: Crop, start: float, first: float, here: Curves) -> float:
    """Return the spring day on which an overwintered crop is spent; infinity for crops that do not come to it."""
    growth = crop.growth
    if growth is None or growth.crops_until is None:
        return INF
    moment = closes(growth.crops_until, here)
    if moment in (INF, -INF):
        return INF
    # The spring after the winter that follows sowing; a sowing early in the year has that spring still far off.
    while moment < start + 100:
        moment += YEAR
    return moment


def _of_perennial(crop: Crop, start: float, here: Curves) -> Picking:
    growth = crop.growth
    assert growth is not None and growth.first_crop_years is not None
    moment = opens(growth.crops_from, here) if growth.crops_from else 120.0
    if moment in (INF, -INF):
        moment = 120.0
    last = closes(growth.crops_until, here) if growth.crops_until else moment + 30
    years = growth.first_crop_years
    target = start + YEAR * (years - 0.75)
    while moment < target:
        moment += YEAR
        last += YEAR
    while last < moment:
        last += YEAR
    return Picking(moment - 10, moment, moment + 14, min(last, moment + 120), "spent", INF, 1.0, None)
