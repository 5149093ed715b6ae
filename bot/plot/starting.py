"""How a plot begins: its settings, and the beds and people a `plot.yaml` beside them lists."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Literal

from pydantic import Field

from bot.facts.base import Id, Shape
from bot.facts.loading import load
from bot.plot.events import NewEvent
from bot.settings import Settings

FILE = "plot.yaml"


class BedSetting(Shape):
    """One growing place as written in plot.yaml."""

    id: Id
    name: str
    nicknames: list[str] = Field(default_factory=list)
    kind: Literal["bed", "border", "tunnel", "greenhouse", "frame", "container", "fruit"] = "bed"
    length_m: float | None = Field(default=None, gt=0, le=200)
    width_m: float | None = Field(default=None, gt=0, le=200)
    cover: str | None = None
    light: Literal["sun", "part-shade", "shade"] = "sun"
    sun_hours: float | None = Field(default=None, ge=0, le=24)
    note: str = ""


class PersonSetting(Shape):
    """Someone who shares the plot."""

    id: Id
    name: str


class PlotFile(Shape):
    """The whole of plot.yaml. `stores` are the names of the places things are kept in."""

    beds: list[BedSetting] = Field(default_factory=list)
    people: list[PersonSetting] = Field(default_factory=list)
    stores: list[str] = Field(default_factory=list)


def read_plot_file(folder: Path) -> PlotFile:
    """Read plot.yaml; an empty plot where there is none. Raises KnowledgeError with file, line and field."""
    path = folder / FILE
    return load(path, PlotFile, folder) if path.is_file() else PlotFile()


def starting_events(settings: Settings, file: PlotFile, day: date) -> tuple[NewEvent, ...]:
    """Return the events that set a plot up."""
    events = list(settings.first_events(day))
    if file.stores:
        events.append(NewEvent("plot_set", day, data={"stores": list(file.stores)}))
    for bed in file.beds:
        events.append(
            NewEvent("bed_added", day, bed=bed.id, data=bed.model_dump(exclude={"id"}, exclude_defaults=True))
        )
    for person in file.people:
        events.append(NewEvent("person_added", day, words=person.name, data={"person": person.id}))
    return tuple(events)
