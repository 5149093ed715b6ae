"""When crops are begun where it does not freeze and summer is hot.

Spring means little there. Any day will do on which a crop comes up, and from which it grows and is picked in weather
it likes: cool crops and tomatoes then stand through the cool season, and what loves heat through the hot one.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from bot.facts.crop import Crop, SowingRule
from bot.growing.anchors import INF, need_of_planting, need_of_sowing
from bot.growing.calendar import YEAR
from bot.growing.curves import Curves
from bot.growing.hardiness import kill_c

if TYPE_CHECKING:
    from bot.facts import Facts

_STEP = 5  # a frost's chance is looked at every so many days


def goes_by_warmth(crop: Crop, here: Curves) -> bool:
    """Tell whether a crop's times come from its own warmth here: not for what stands for years, bulbs and green manures."""
    growth, row = crop.growth, here.facts.growing.worth.get(crop.id)
    return (
        here.two_seasons
        and growth is not None
        and liked_c(crop, here.facts) is not None
        and growth.life_cycle != "perennial"
        and (growth.crops_from is None or growth.crops_from.cools_to_c is not None)
        and not growth.first_crop_years
        and "green-manure" not in crop.use
        and (row is None or row.kind != "allium" or growth.crops_from is not None)
    )


def liked_c(crop: Crop, facts: Facts) -> tuple[float, float] | None:
    """Return the warmth a crop likes, °C, as published for it or else for the crop it is like."""
    alike = facts.crops.get(crop.like) if crop.like else None
    own, other = crop.growth, alike.growth if alike else None
    return (own.best_c if own else None) or (other.best_c if other else None)


def good_spans(crop: Crop, rule: SowingRule, here: Curves, *, planted: bool) -> Iterator[tuple[float, float]]:
    """Yield the spans of days, 0 to 364 and on past midwinter, on which to sow in place or (`planted`) plant out."""
    good = _good(crop, rule, here, planted)
    if good.all():
        yield 0.0, float(YEAR - 1)
        return
    begins = np.flatnonzero(good & ~np.roll(good, 1))
    for begin in begins:
        length = int(np.argmin(np.roll(good, -begin)))
        if length >= here.number("hot.shortest_days"):
            yield float(begin), float(begin + length - 1)


def _good(crop: Crop, rule: SowingRule, here: Curves, planted: bool) -> NDArray[np.bool_]:
    growth, liked, number = crop.growth, liked_c(crop, here.facts), here.number
    need = need_of_planting(crop, here) if planted else need_of_sowing(crop, here, rule.weeks_as_seedling)
    if growth is None or liked is None or need is None:
        return np.zeros(YEAR, dtype=bool)
    days = np.arange(YEAR)
    first = np.array([here.reach(need.middle, day, need.base_c, need.ceiling_c) for day in range(YEAR)])
    good = _can_begin(crop, rule, here, planted) & (first < INF)
    first = np.where(first < INF, first, days).astype(int)
    picked = here.mean[first % YEAR]
    coolest, hottest = liked[0] - number("hot.cooler_c"), liked[1]
    # Where no month is as cool as a crop likes, the coolest ones will do if they come near it.
    hottest = max(hottest, min(float(here.mean.min()) + 1, hottest + number("heat.over_c")))
    if crop.sowing is not None and crop.sowing.hardiness_class != "tender":
        hottest = min(hottest, max(number("hot.hardy_most_c"), float(here.mean.min()) + 1))
        coolest = min(coolest, float(here.mean.min()))  # winter there is never too cold for these
    good &= (picked >= coolest) & (picked <= hottest)
    if growth.grows_between_c is not None:
        most = np.array([here.mean[np.arange(day, end + 1) % YEAR].max() for day, end in zip(days, first, strict=True)])
        good &= most <= growth.grows_between_c[1] + 0.5
    if crop.sowing is not None and crop.sowing.hardiness_class == "tender":
        good &= first - days <= number("hot.slow_factor") * (first - days).min()
    return good & _lives(crop, days, first, here)


def _can_begin(crop: Crop, rule: SowingRule, here: Curves, planted: bool) -> NDArray[np.bool_]:
    """Tell for each day whether the soil and the air are as warm, and the day as long, as the rule's opening asks."""
    anchor = (rule.plant_out_opens if planted else None) or rule.opens
    good = np.ones(YEAR, dtype=bool)
    if anchor is not None:
        for level, values in (
            (anchor.soil_c, here.soil),
            (anchor.mean_c, here.mean),
            (anchor.night_c, here.low),
            (anchor.warms_past_c, here.mean),
        ):
            if level is not None:
                good &= values >= level
    if not planted and crop.germination is not None and crop.germination.soil_max_c is not None:
        good &= here.soil <= crop.germination.soil_max_c
    return good


def _lives(crop: Crop, days: NDArray[np.int_], first: NDArray[np.int_], here: Curves) -> NDArray[np.bool_]:
    """Tell for each day whether a crop begun then outlives the cold till its picking as likely as a crop offered must."""
    kill, least = kill_c(crop, here.facts), here.number("harvest.least_chance")
    if here.winter_chance(kill) >= least:
        return np.ones(YEAR, dtype=bool)
    lives = [here.survives(kill, day + 1, first[day]) >= least for day in days[::_STEP]]
    return np.repeat(lives, _STEP)[:YEAR]
