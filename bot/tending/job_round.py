"""A walk round the plot on one day: what stands, under what, and what the week's weather brings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.growing.calendar import GardenYear
from bot.growing.windows import ROOFS
from bot.plot.events import Event
from bot.plot.state import Bed, Planting, Plot

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.season import Season

#: Looking ahead, nothing is taken to stand in its tray longer than this.
IN_TRAYS_DAYS = 100
#: First and last day of picking of a planting, or None when it cannot be told.
Picked = Callable[[Planting], tuple[date, date] | None]


@dataclass
class Round:
    """A walk round the plot on one day. `weather` says what the week brings: any of dry, hot, frost-risk crops."""

    plot: Plot
    facts: Facts
    season: Season
    day: date
    picked: Picked
    dry: bool = False
    hot: bool = False
    at_risk: frozenset[int] = frozenset()  # ids of plantings that a frost of this week would hurt
    today: date | None = None  # when looking ahead, the day of the record
    _events: dict[str, list[Event]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.now = self.today or self.day
        self.year = GardenYear.around(self.day, self.season.southern)
        self.standing = tuple(p for p in self.plot.standing() if self._alive(p))
        for event in self.plot.events(
            "job_done",
            "job_dropped",
            "noted",
            "fed",
            "watered",
            "harvested",
            "sown",
            "planted_out",
            "cleared",
            "preserved",
        ):
            self._events.setdefault(event.kind, []).append(event)

    def _alive(self, planting: Planting) -> bool:
        """Tell whether a planting will still stand on the day looked at; annuals go soon after their last picking."""
        crop = self.facts.crops.get(planting.crop)
        if crop is None or self.day <= self.now + timedelta(days=14) or crop.lasting:
            return True
        if planting.in_ground is None and planting.sown and (self.day - planting.sown).days > IN_TRAYS_DAYS:
            return False  # planted out long before then
        span = self.picked(planting)
        return span is None or self.day <= span[1] + timedelta(days=7)

    def bed(self, planting: Planting) -> Bed | None:
        """Return the bed a planting stands in."""
        return self.plot.beds.get(planting.bed or "")

    def roofed(self, planting: Planting) -> bool:
        """Tell whether a planting stands under a roof."""
        bed = self.bed(planting)
        return bool(bed and bed.cover and self.season.climate.cover_id(bed.cover) in ROOFS)

    def events(self, *kinds: str) -> list[Event]:
        """Return the plot's events of some kinds up to the day of the record."""
        return [e for kind in kinds for e in self._events.get(kind, ()) if e.day <= self.now]
