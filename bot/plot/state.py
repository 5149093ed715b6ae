"""The state of a plot, folded from its events. Pure: the same events always give the same plot."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from bot.plot.events import Event


@dataclass(frozen=True, slots=True)
class PlotPlace:
    """Where the plot is: degrees, metres, an IANA time zone, and what the gardener calls it."""

    lat: float
    lon: float
    elevation_m: float | None = None
    tz: str = "UTC"
    name: str = ""


@dataclass(frozen=True, slots=True)
class Settings:
    """How the plot is set."""

    name: str = "My plot"
    place: PlotPlace | None = None
    units: str = "metric"  # metric | us
    wording: str = "gb"  # gb | us
    last_frost: str | None = None  # MM-DD, the gardener's own 50 % dates
    first_frost: str | None = None
    frost_offset_c: float = 0.0  # frost hollow negative, sheltered positive, on clear-night minima
    summary_day: int | None = 5  # Monday 0; None = no weekly summary
    summary_time: str = "08:00"
    household: int = 2
    soil: str | None = None  # sand | loam | clay …
    soil_ph: float | None = None
    wishes: tuple[str, ...] = ()
    vinegar_percent: float | None = None


@dataclass(frozen=True, slots=True)
class Bed:
    """A growing place. `length_m` x `width_m`; cover is an id of the protection table or None for open ground."""

    id: str
    name: str
    nicknames: tuple[str, ...] = ()
    kind: str = "bed"  # bed | border | tunnel | greenhouse | frame | container | fruit
    length_m: float | None = None
    width_m: float | None = None
    cover: str | None = None
    light: str = "sun"  # sun | part-shade | shade
    sun_hours: float | None = None
    note: str = ""

    @property
    def area_m2(self) -> float | None:
        """Return the area in m², or None when the size is unknown."""
        if self.length_m is None or self.width_m is None:
            return None
        return self.length_m * self.width_m


@dataclass(frozen=True, slots=True)
class Harvest:
    """One picking: `kg` when weighed, else `amount` of `unit`."""

    day: date
    amount: float | None
    unit: str | None
    kg: float | None
    words: str
    seq: int
    planting: int | None = None
    crop: str = ""
    bed: str | None = None


@dataclass(frozen=True, slots=True)
class Planting:
    """A crop standing (or once standing) somewhere. `id` is the seq of the event that began it."""

    id: int
    crop: str
    crop_words: str = ""
    variety: str | None = None
    bed: str | None = None
    method: str | None = None  # direct | module | indoors | plants | sets | cloves | tubers | crowns | bare-root …
    sown: date | None = None
    planted_out: date | None = None
    count: int | None = None
    area_m2: float | None = None
    row_m: float | None = None
    harvests: tuple[Harvest, ...] = ()
    cleared: date | None = None
    notes: tuple[str, ...] = ()
    left: tuple[tuple[str, date], ...] = ()  # beds it stood in before it was moved, and the day it left each

    @property
    def began(self) -> date | None:
        """Return the first known day of this planting."""
        return self.sown or self.planted_out

    @property
    def standing(self) -> bool:
        """Tell whether it has not been cleared."""
        return self.cleared is None

    @property
    def in_ground(self) -> date | None:
        """Return the day it took its place in the bed: planting out, or sowing when sown in place."""
        if self.planted_out:
            return self.planted_out
        return self.sown if self.method in (None, "direct") else None


@dataclass(frozen=True, slots=True)
class Lot:
    """One making in the stores. `left` of `made_count` `unit`s remain; `kg` is the fresh weight that went in."""

    id: int
    crop: str
    product: str  # frozen | bottled | pickled | dried | jam | chutney | fermented | stored …
    unit: str
    made_count: float
    left: float
    made: date
    kg: float | None = None
    where: str | None = None
    best_before: date | None = None
    words: str = ""
    method: str | None = None


@dataclass(frozen=True, slots=True)
class SeedLot:
    """Seed in the tin: `year` is the year it was packed or saved."""

    id: int
    crop: str
    variety: str | None = None
    year: int | None = None
    amount: float | None = None
    unit: str | None = None
    source: str | None = None
    used_up: bool = False


@dataclass(frozen=True)
class Plot:
    """Everything known of one plot on the day its last event was written."""

    id: str = ""
    settings: Settings = field(default_factory=Settings)
    beds: dict[str, Bed] = field(default_factory=dict)
    plantings: tuple[Planting, ...] = ()
    lots: tuple[Lot, ...] = ()
    seeds: tuple[SeedLot, ...] = ()
    journal: tuple[Event, ...] = ()  # live events: undone ones gone, corrected ones as corrected
    last_message: str | None = None  # message id of the newest live record, for undo
    people: tuple[str, ...] = ()
    extra: dict[str, Any] = field(default_factory=dict)
    harvests: tuple[Harvest, ...] = ()  # every picking, also of crops whose planting was never recorded
    written: tuple[Event, ...] = ()  # live events as first written, corrections among them: what undo can take back
    last_seq: int = 0  # the seq of the newest event, live or not

    def standing(self, bed: str | None = None, crop: str | None = None) -> tuple[Planting, ...]:
        """Return plantings not cleared, of one bed and/or crop when given."""
        return tuple(
            p for p in self.plantings
            if p.standing and (bed is None or p.bed == bed) and (crop is None or p.crop == crop)
        )

    def events(self, *kinds: str) -> tuple[Event, ...]:
        """Return live events of some kinds, oldest first."""
        return tuple(e for e in self.journal if e.kind in kinds)

    def empty_beds(self) -> tuple[Bed, ...]:
        """Return growing places with nothing standing in them."""
        used = {p.bed for p in self.plantings if p.standing}
        return tuple(b for b in self.beds.values() if b.id not in used)


def fold(plot_id: str, events: tuple[Event, ...]) -> Plot:
    """Fold events, oldest first, into the plot's state."""
    from bot.plot.folding import fold_events

    return fold_events(plot_id, events)


__all__ = ["Bed", "Harvest", "Lot", "Planting", "Plot", "PlotPlace", "SeedLot", "Settings", "fold"]
