"""The events a plot record is made of.

An event says what happened, when, by whom and with what words. Events are only ever appended;
undo and correction are events too (`undone`, `corrected`) that point at earlier ones by `seq`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

#: kind -> what it records. `data` keys used by each kind are given in plot/state.py, which folds them.
KINDS: dict[str, str] = {
    "plot_set": "a setting of the plot changed (place, units, wording, frost dates, summary, household …)",
    "bed_added": "a growing place added",
    "bed_set": "a growing place changed",
    "bed_removed": "a growing place taken away",
    "sown": "seed sown",
    "planted_out": "young plants, sets, tubers, cloves or crowns planted",
    "moved": "plants moved to another bed",
    "harvested": "something picked",
    "cleared": "a crop cleared from its bed",
    "preserved": "something frozen, bottled, pickled, dried, fermented or stored",
    "used": "something taken from the stores",
    "stock_set": "a store counted: what is really there",
    "seed_added": "seed bought, given or saved",
    "seed_used": "seed used up",
    "noted": "a free note",
    "pest_seen": "a pest, disease or disorder seen",
    "frost_seen": "a frost seen",
    "fed": "ground fed, mulched, limed or manured",
    "watered": "ground watered",
    "rain_seen": "rain measured",
    "job_done": "a job ticked off",
    "job_dropped": "a job the gardener does not want shown",
    "photo": "a picture kept against a bed or crop",
    "timer_set": "a kitchen timer started",
    "timer_rung": "a kitchen timer called back",
    "person_added": "someone may use the plot",
    "person_removed": "someone may no longer use the plot",
    "undone": "earlier events taken back",
    "corrected": "an earlier event changed",
}


@dataclass(frozen=True, slots=True)
class NewEvent:
    """An event about to be recorded. `amount` is in `unit` (SI mass kg, volume l, length m, or a counted unit)."""

    kind: str
    day: date
    crop: str | None = None
    variety: str | None = None
    bed: str | None = None
    amount: float | None = None
    unit: str | None = None
    words: str = ""
    refs: tuple[int, ...] = ()
    data: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"unknown event kind {self.kind!r}")

    def as_json(self) -> dict[str, Any]:
        """Return the plain form used by `--json` and by export; empty fields left out."""
        row: dict[str, Any] = {"kind": self.kind, "day": self.day.isoformat()}
        for name in ("crop", "variety", "bed", "amount", "unit", "words"):
            if getattr(self, name) not in (None, ""):
                row[name] = getattr(self, name)
        if self.refs:
            row["refs"] = list(self.refs)
        if self.data:
            row["data"] = self.data
        return row


@dataclass(frozen=True, slots=True)
class Event(NewEvent):
    """A recorded event: `seq` counts within its plot from 1, `at` is when it was written, `author` who wrote it."""

    seq: int = 0
    at: datetime | None = None
    author: str = ""
    message: str = ""  # the id of the message it came from: one message, one undo
