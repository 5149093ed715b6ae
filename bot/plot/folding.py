"""Fold a plot's events into its state.

Two steps. First `live_events` drops what was taken back and applies corrections, so that the rest of
the house never sees them. Then the events are applied in order of their day (then of their writing), because
people write things down late: a sowing told after its first picking still comes before it.

`data` keys by kind:
    plot_set    any field of Settings; `place` a mapping {lat, lon, elevation_m, tz, name}
    bed_added, bed_set    fields of Bed but `id`, which is the event's `bed`
    sown        method, count, area_m2, row_m
    planted_out method, count, area_m2, row_m, planting (the id it continues, when the gardener said which)
    moved       planting (its id), from (its bed before), count, area_m2, row_m
    harvested   kg (when the amount is in another unit), planting
    cleared     plantings (ids, when not all of that crop and bed)
    preserved   product, kg, where, method, best_before; amount and unit are the containers
    used        product, lots [[lot id, amount], …]
    stock_set   lots [[lot id, left], …]
    seed_added  year, source; seed_used: seeds [[seed id, amount or null for all], …]
    person_added, person_removed    person (an id), name; names end up in `extra["names"]`
    undone      refs = the seqs taken back; corrected: refs = one seq, changes {field: new value}
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from bot.plot.events import Event
from bot.plot.living import live_events
from bot.plot.making import bed_values, changed_settings, extent, lot_of, planting_of, seed_left, seed_of
from bot.plot.state import Bed, Harvest, Lot, Planting, Plot, SeedLot, Settings

#: Methods whose plants stand somewhere else until they are planted out.
RAISED = frozenset({"module", "indoors", "tray", "pot", "seedbed"})


def fold_events(plot_id: str, events: Iterable[Event]) -> Plot:
    """Fold events, oldest first, into the plot they leave behind."""
    folder = Folder(plot_id)
    folder.extend(tuple(events))
    return folder.plot()


class Folder:
    """A fold that can be carried on: new events at the end cost no second reading of the old ones."""

    def __init__(self, plot_id: str) -> None:
        self.plot_id = plot_id
        self.events: list[Event] = []
        self._clear()

    def _clear(self) -> None:
        self._journal: list[Event] = []
        self._written: list[Event] = []
        self._latest = date.min
        self._settings = Settings()
        self._beds: dict[str, Bed] = {}
        self._plantings: dict[int, Planting] = {}
        self._lots: dict[int, Lot] = {}
        self._seeds: dict[int, SeedLot] = {}
        self._harvests: list[Harvest] = []
        self._people: list[str] = []
        self._extra: dict[str, Any] = {}

    def extend(self, events: Sequence[Event]) -> None:
        """Add events, oldest first."""
        if not events:
            return
        self.events.extend(events)
        latest = self._latest
        for event in events:
            # An undo, a correction, a change of beds or an earlier day bears on what was folded already.
            if event.kind in _FOLD_AGAIN or event.day < latest:
                self._refold()
                return
            latest = event.day
        for event in events:
            self._journal.append(event)
            self._written.append(event)
            self._apply(event)
        self._latest = latest

    def _refold(self) -> None:
        self._clear()
        journal, written = live_events(self.events)
        self._journal, self._written = list(journal), list(written)
        ordered = sorted(journal, key=lambda event: (event.day, event.seq))
        # Beds and settings are put in place first: they hold for records dated before they were told.
        for event in journal:
            if event.kind in _FIRST:
                self._apply(event)
        for event in ordered:
            if event.kind == "bed_removed":
                self._close_all(event)
            elif event.kind not in _FIRST:
                self._apply(event)
        self._latest = ordered[-1].day if ordered else date.min

    def _apply(self, event: Event) -> None:
        apply = _APPLY.get(event.kind)
        if apply is not None:
            apply(self, event)

    def plot(self) -> Plot:
        """Return the plot as the events so far leave it."""
        return Plot(
            id=self.plot_id,
            settings=self._settings,
            beds=dict(self._beds),
            plantings=tuple(self._plantings.values()),
            lots=tuple(self._lots.values()),
            seeds=tuple(self._seeds.values()),
            journal=tuple(self._journal),
            last_message=self._written[-1].message if self._written else None,
            people=tuple(self._people),
            extra=dict(self._extra),
            harvests=tuple(self._harvests),
            written=tuple(self._written),
            last_seq=self.events[-1].seq if self.events else 0,
        )

    # One method a kind, in the order of KINDS.

    def _plot_set(self, event: Event) -> None:
        self._settings, other = changed_settings(self._settings, event.data)
        self._extra.update(other)

    def _bed_added(self, event: Event) -> None:
        if event.bed:
            values = bed_values(event.data)
            self._beds[event.bed] = Bed(id=event.bed, **{"name": event.bed, **values})

    def _bed_set(self, event: Event) -> None:
        if event.bed in self._beds:
            self._beds[event.bed] = replace(self._beds[event.bed], **bed_values(event.data))

    def _bed_removed(self, event: Event) -> None:
        self._beds.pop(event.bed or "", None)

    def _close_all(self, event: Event) -> None:
        for planting in self._standing(bed=event.bed or ""):
            self._plantings[planting.id] = replace(planting, cleared=event.day)

    def _sown(self, event: Event) -> None:
        self._plantings[event.seq] = planting_of(event)

    def _planted_out(self, event: Event) -> None:
        begun = self._raised_for(event)
        if begun is not None:
            said = {key: value for key, value in extent(event).items() if value is not None}
            self._plantings[begun.id] = replace(
                begun,
                bed=event.bed or begun.bed,
                planted_out=event.day,
                variety=event.variety or begun.variety,
                **said,
            )
            return
        self._plantings[event.seq] = planting_of(event)

    def _moved(self, event: Event) -> None:
        planting = self._plantings.get(event.data.get("planting", 0))
        if planting is not None:
            said = {key: value for key, value in extent(event).items() if value is not None}
            left = ((planting.bed, event.day),) if planting.bed and planting.in_ground and event.bed != planting.bed else ()
            self._plantings[planting.id] = replace(planting, bed=event.bed or planting.bed, left=(*planting.left, *left), **said)

    def _raised_for(self, event: Event) -> Planting | None:
        """Return the planting raised elsewhere that this planting out continues."""
        said = event.data.get("planting")
        if said is not None:
            return self._plantings.get(said)
        waiting = [
            p
            for p in self._standing(crop=event.crop)
            if p.planted_out is None
            and p.sown
            and p.sown <= event.day
            and (p.method in RAISED or (p.bed != event.bed and self._nursery(p.bed)))
            and (event.variety is None or p.variety is None or p.variety == event.variety)
        ]
        same = [p for p in waiting if p.variety == event.variety] or waiting
        return same[0] if same else None

    def _nursery(self, bed: str | None) -> bool:
        return bed is None or (bed in self._beds and self._beds[bed].kind in ("frame", "greenhouse"))

    def _harvested(self, event: Event) -> None:
        planting = self._picked_from(event)
        kg = event.amount if event.unit == "kg" else event.data.get("kg")
        harvest = Harvest(
            day=event.day,
            amount=event.amount,
            unit=event.unit,
            kg=kg,
            words=event.words,
            seq=event.seq,
            planting=planting.id if planting else None,
            crop=event.crop or "",
            bed=event.bed or (planting.bed if planting else None),
        )
        self._harvests.append(harvest)
        if planting:
            self._plantings[planting.id] = replace(planting, harvests=(*planting.harvests, harvest))

    def _picked_from(self, event: Event) -> Planting | None:
        said = event.data.get("planting")
        if said is not None and said in self._plantings:
            return self._plantings[said]
        found = [
            p
            for p in self._plantings.values()
            if p.crop == event.crop
            and (p.cleared is None or p.cleared >= event.day)
            and (p.began is None or p.began <= event.day)
            and (event.bed is None or p.bed == event.bed)
        ]
        out = [p for p in found if p.in_ground] or found
        if event.bed is None and len({p.bed for p in out}) > 1:
            return None  # which of several beds was not said: the picking still counts for the crop
        return out[0] if out else None

    def _cleared(self, event: Event) -> None:
        ids = event.data.get("plantings")
        if not ids and event.bed is None and event.crop is None:
            return
        chosen = (
            [self._plantings[i] for i in ids if i in self._plantings]
            if ids
            else self._standing(bed=event.bed, crop=event.crop)
        )
        for planting in chosen:
            if planting.began is None or planting.began <= event.day:
                self._plantings[planting.id] = replace(planting, cleared=event.day)

    def _standing(self, bed: str | None = None, crop: str | None = None) -> list[Planting]:
        return [
            p
            for p in self._plantings.values()
            if p.standing and (bed is None or p.bed == bed) and (crop is None or p.crop == crop)
        ]

    def _noted(self, event: Event) -> None:
        if event.crop or event.bed:
            for planting in self._standing(bed=event.bed, crop=event.crop):
                self._plantings[planting.id] = replace(planting, notes=(*planting.notes, event.words))

    def _preserved(self, event: Event) -> None:
        self._lots[event.seq] = lot_of(event)

    def _used(self, event: Event) -> None:
        for lot_id, amount in event.data.get("lots", ()):
            if lot_id in self._lots:
                lot = self._lots[lot_id]
                self._lots[lot_id] = replace(lot, left=max(0.0, round(lot.left - amount, 6)))

    def _stock_set(self, event: Event) -> None:
        for lot_id, left in event.data.get("lots", ()):
            if lot_id in self._lots:
                self._lots[lot_id] = replace(self._lots[lot_id], left=max(0.0, left))

    def _seed_added(self, event: Event) -> None:
        self._seeds[event.seq] = seed_of(event)

    def _seed_used(self, event: Event) -> None:
        for seed_id, amount in event.data.get("seeds", ()):
            if seed_id in self._seeds:
                self._seeds[seed_id] = seed_left(self._seeds[seed_id], amount)

    def _person_added(self, event: Event) -> None:
        person = event.data.get("person") or event.words
        if person and person not in self._people:
            self._people.append(person)
        if person:
            names = self._extra.get("names", {})
            self._extra["names"] = {**names, person: event.data.get("name") or event.words or person}

    def _person_removed(self, event: Event) -> None:
        person = event.data.get("person") or event.words
        self._people = [p for p in self._people if p != person]


_FIRST = frozenset({"plot_set", "bed_added", "bed_set", "bed_removed", "person_added", "person_removed"})
_FOLD_AGAIN = frozenset({"undone", "corrected", "bed_added", "bed_set", "bed_removed"})
_APPLY = {
    kind: getattr(Folder, f"_{kind}")
    for kind in (
        "plot_set",
        "bed_added",
        "bed_set",
        "bed_removed",
        "sown",
        "planted_out",
        "moved",
        "harvested",
        "cleared",
        "noted",
        "preserved",
        "used",
        "stock_set",
        "seed_added",
        "seed_used",
        "person_added",
        "person_removed",
    )
}
