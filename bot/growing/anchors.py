"""Turn anchors (moments as rules) into days from midwinter at one place.

The latest of an opening's figures opens, the earliest of a closing's closes.
"""

from __future__ import annotations

from dataclasses import dataclass

from bot.facts.crop import Anchor, Crop
from bot.growing.calendar import MIDSUMMER, YEAR
from bot.growing.curves import Curves

INF = float("inf")
_AUTUMN = 230  # an opening after this day count looks to the coming spring


@dataclass(frozen=True, slots=True)
class Need:
    """The warmth a crop takes: °C days above `base_c`, no warmer than `ceiling_c` counting, low to high."""

    low: float
    high: float
    base_c: float
    ceiling_c: float | None

    @property
    def middle(self) -> float:
        """Return the middle of the range."""
        return (self.low + self.high) / 2


def opens(anchor: Anchor, here: Curves, *, hardy: bool = False) -> float:
    """Return the day count on which an opening's figures are all met. Infinity: never here.

    Where it does not freeze, the frost dates are stand-ins: a hardy crop then goes by warmth alone where winter is
    warm enough to sow in, and an autumn opening by the cooling or the midsummer it names.
    """
    found = [-INF]
    warmth = anchor.soil_c is not None or anchor.mean_c is not None
    if anchor.last_frost_weeks is not None and not (hardy and here.sown_all_winter and warmth):
        found.append(here.last_frost() + 7 * anchor.last_frost_weeks)
    if anchor.first_frost_weeks is not None and not (here.frost_free and (anchor.cools_to_c is not None or anchor.midsummer_weeks is not None)):
        found.append(here.first_frost() + 7 * anchor.first_frost_weeks)
    for level, values in (
        (anchor.soil_c, here.soil),
        (anchor.mean_c, here.mean),
        (anchor.night_c, here.low),
        (anchor.day_hours, here.hours),
        (anchor.warms_past_c, here.mean),
    ):
        if level is not None:
            found.append(here.rises(values, level))
    if anchor.cools_to_c is not None:  # where it never gets warmer than this, midsummer opens
        cools = here.falls(here.mean, anchor.cools_to_c)
        found.append(float(MIDSUMMER) if cools <= here.peak else cools)
    if anchor.ten_hours_weeks is not None:
        found.append(here.dark + 7 * anchor.ten_hours_weeks)
    if anchor.midsummer_weeks is not None:
        found.append(MIDSUMMER + 7 * anchor.midsummer_weeks)
    if anchor.midwinter_weeks is not None:
        found.append(_midwinter(anchor.midwinter_weeks))
    return max(found)


def closes(
    anchor: Anchor, here: Curves, need: Need | None = None, *, grows_on: float | None = None, after: float = -INF, long: bool = False
) -> float:
    """Return the day count on which the first of a closing's figures falls due. Minus infinity: never open here.

    `grows_on` says the crop is hardy enough to grow on through this winter, so need not be ready before it, but so many
    days after midwinter. A figure of spring is that of the coming spring when the opening, `after`, lies in autumn. With
    `long`, midsummer is custom, and yields in a season so long that the crop would be ready well before its end.
    """
    coming = YEAR if after > _AUTUMN else 0
    found = [INF]
    if anchor.last_frost_weeks is not None:
        found.append(here.last_frost() + 7 * anchor.last_frost_weeks + coming)
    if anchor.first_frost_weeks is not None:
        found.append(here.first_frost() + 7 * anchor.first_frost_weeks)
    for level, values in (
        (anchor.soil_c, here.soil),
        (anchor.mean_c, here.mean),
        (anchor.night_c, here.low),
        (anchor.day_hours, here.hours),
        (anchor.cools_to_c, here.mean),
    ):
        if level is not None:
            found.append(here.falls(values, level))
    if anchor.warms_past_c is not None:  # where it never gets that warm, spring ends at the warmest day
        found.append(min(here.rises(here.mean, anchor.warms_past_c), float(here.peak)) + coming)
    if anchor.ten_hours_weeks is not None:
        found.append(here.dark + 7 * anchor.ten_hours_weeks)
    if anchor.midsummer_weeks is not None and not (long and need is not None and anchor.ready_first_frost_weeks is not None):
        found.append(MIDSUMMER + 7 * anchor.midsummer_weeks)
    if anchor.midwinter_weeks is not None:
        found.append(_midwinter(anchor.midwinter_weeks) + (coming if anchor.midwinter_weeks >= 0 else 0))
    if need is not None:
        for weeks, end in ((anchor.ready_first_frost_weeks, here.first_frost()), (anchor.ready_dark_weeks, here.dark)):
            if weeks is not None:
                # A hardy crop grows on through a mild winter and is ready in early spring.
                ready = end + 7 * weeks if grows_on is None else max(end + 7 * weeks, YEAR + grows_on)
                found.append(here.latest_start(need.middle, ready, need.base_c, need.ceiling_c))
        if long and anchor.midsummer_weeks is not None and anchor.ready_first_frost_weeks is not None:
            found.append(max(MIDSUMMER + 7 * anchor.midsummer_weeks, min(found) - 7 * here.number("long.spare_weeks")))
    return min(found)


def need_of(crop: Crop, *, leaves: bool = False) -> Need | None:
    """Return the warmth a crop takes to be full grown, or with `leaves` to its first picking of leaves where it has
    one, or None when unknown."""
    growth = crop.growth
    if growth is None or growth.base_c is None:
        return None
    span = (growth.leaves_c_days if leaves else None) or growth.need_c_days
    if span is None:
        return None
    return Need(span[0], span[1], growth.base_c, growth.ceiling_c)


def need_of_planting(crop: Crop, here: Curves, *, leaves: bool = False) -> Need | None:
    """Return what is left of the need once a young plant goes out."""
    need = need_of(crop, leaves=leaves)
    if need is None or crop.growth is None or crop.growth.need_from != "sowing":
        return need
    share = here.number("planted.share_left")
    return Need(need.low * share, need.high * share, need.base_c, need.ceiling_c)


def need_of_sowing(
    crop: Crop, here: Curves, weeks: tuple[float, float] | None = None, *, leaves: bool = False
) -> Need | None:
    """Return the need from seed sown in place: the weeks as a seedling come on top of a need from planting out."""
    need = need_of(crop, leaves=leaves)
    if need is None or crop.growth is None or crop.growth.need_from != "transplant":
        return need
    weeks = weeks or _seedling_weeks(crop)
    more = 7 * (weeks[0] + weeks[1]) / 2 * here.number("seedling.c_days_per_day")
    return Need(need.low + more, need.high + more, need.base_c, need.ceiling_c)


def _seedling_weeks(crop: Crop) -> tuple[float, float]:
    rules = crop.sowing.rules if crop.sowing else []
    return next((r.weeks_as_seedling for r in rules if r.weeks_as_seedling), (4.0, 6.0))


def _midwinter(weeks: float) -> float:
    """Weeks before midwinter belong to the end of the year, weeks after it to the beginning."""
    return YEAR + 7 * weeks if weeks < 0 else 7 * weeks
