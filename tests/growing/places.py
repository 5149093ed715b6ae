"""Places and plots the growing tests stand on."""

from __future__ import annotations

from datetime import date, timedelta

from bot.facts import Facts
from bot.growing.choosing import Choice, choose
from bot.growing.curves import Curves, curves
from bot.growing.outcomes import Trial
from bot.growing.space import Place
from bot.growing.trial import trial_for
from bot.growing.wishes import NO_WISHES, Wishes
from bot.plot.state import Bed, Planting, Plot, PlotPlace
from bot.season import season_for

DEMO = PlotPlace(45.05, 3.90, 880.0)
ENGLAND = PlotPlace(51.56, -0.71, 30.0)
TASMANIA = PlotPlace(-42.9, 147.3, 50.0)
BRISBANE = PlotPlace(-27.47, 153.03, 27.0)
MINNEAPOLIS = PlotPlace(44.98, -93.26, 253.0)
SEVILLE = PlotPlace(37.4, -5.9, 20.0)
BED = Bed("bed", "Bed", length_m=4, width_m=1.2)


def here(facts: Facts, place: PlotPlace = DEMO, cover: str | None = None) -> Curves:
    """Return a place's year."""
    return curves(season_for(place, facts), cover, facts)


def trial(
    facts: Facts,
    day: date,
    place: PlotPlace = DEMO,
    *,
    plot: Plot | None = None,
    bed: Bed = BED,
    days: int = 0,
    ground: Place | None = None,
) -> Trial:
    """Set up a trial of a bed."""
    ground = ground or Place((bed.length_m or 1) * 100, (bed.width_m or 1) * 100, bed)
    return trial_for(
        season_for(place, facts), facts, plot or Plot(beds={bed.id: bed}), ground, day, day + timedelta(days=days)
    )


def chosen(facts: Facts, day: date, place: PlotPlace = DEMO, *, wishes: Wishes = NO_WISHES, **more: object) -> Choice:
    """Choose for a bed."""
    return choose(trial(facts, day, place, **more), wishes)  # type: ignore[arg-type]


def grown(crop: str, bed: str, began: date, cleared: date | None, n: int = 1, **more: object) -> Planting:
    """Return a planting of the record."""
    return Planting(id=n, crop=crop, bed=bed, method="direct", sown=began, cleared=cleared, **more)  # type: ignore[arg-type]
