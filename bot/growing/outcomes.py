"""What a trial is made of and what comes of it: the place and day tried, an offer, or a miss with its numbers."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from bot.growing.calendar import GardenYear
from bot.growing.curves import Curves
from bot.growing.layout import Layout
from bot.growing.light import Light
from bot.growing.rotation import Gap
from bot.growing.space import Place

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.plot.state import Plot


@dataclass(frozen=True, slots=True)
class Offer:
    """A crop that will make it: how many, how far apart, when it is picked, and what was found on the way."""

    crop: str
    method: str
    start: date
    layout: Layout
    early: date
    first: date
    late: date
    last: date
    ends: str
    closes: date  # the last day to begin it
    margin_days: float
    chance: float
    wait_days: float
    idle_days: float
    under_cover: bool
    purpose: str
    kind: str
    in_hungry_gap: bool = False
    in_winter: bool = False
    in_autumn: bool = False
    window_days: float = 90.0
    hot: bool = False
    cool_c: float = 0.0  # how far a tender crop falls short of its warmth
    gap: Gap | None = None
    filler: bool = False
    spare_hours: float = 0.0
    score: float = 0.0
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Miss:
    """A crop that will not: the test it failed (season, soil, time, cold, bolting, light, rotation, space, booked,
    permanent, heat, unknown) and the numbers, with dates as dates. `nearness` is 0 to 1, 1 nearly made it."""

    crop: str
    method: str
    failed: str
    numbers: dict[str, Any] = field(default_factory=dict)
    nearness: float = 0.0


@dataclass(frozen=True)
class Trial:
    """All that does not change from crop to crop while one place is filled. Build it with `trial_for`."""

    facts: Facts
    plot: Plot
    here: Curves
    year: GardenYear
    first_day: date
    last_day: date  # a crop may be begun on any day up to this one
    place: Place
    light: Light
    roofed: bool
    lasting_ok: bool = False  # crops that stay for years are wanted

    @property
    def bed_id(self) -> str | None:
        """Return the bed the place lies in."""
        return self.place.bed.id if self.place.bed else None
