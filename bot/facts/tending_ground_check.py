"""What does not hang together in the ground tables of the tending room."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from bot.facts.base import Sourced
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts


def check(facts: Facts) -> list[Fault]:
    """Return what does not hang together in these tables."""
    room = facts.tending
    materials = set(room.material_words.words)
    faults: list[Fault] = []
    tables: list[tuple[str, list[Sourced]]] = [
        ("measures", [*room.measures]),
        ("manure", [*room.manure.rates, *room.manure.raw, *room.manure.topics]),
        ("mulch", [*room.mulch.kinds, *room.mulch.topics]),
        ("lime", [*room.lime.soils, *room.lime.table, *room.lime.targets, *room.lime.rules, *room.lime.topics]),
        ("feeds", [*room.feeds.kinds, *room.feeds.classes, *room.feeds.habits, *room.feeds.topics]),
        ("green_manures", [*room.green_manures.crops, *room.green_manures.rules]),
        ("compost", [*room.compost.stuff, *room.compost.targets, *room.compost.topics]),
        ("water", [*room.water.soils, *room.water.numbers.values(), *room.water.topics]),
        ("wildlife", [*room.wildlife]),
        ("hazards", [*room.hazards]),
    ]
    hazards = {row.id for row in room.hazards}
    for name, rows in tables:
        file = f"tending/{name}.yaml"
        seen: set[str] = set()
        for row in rows:
            label = str(getattr(row, "id", getattr(row, "crop", "")))
            if label and hasattr(row, "id") and label in seen:
                faults.append(Fault(file, 0, label, "stands twice"))
            seen.add(label)
            faults += [
                Fault(file, 0, f"{label}.source", f"unknown source {s!r}") for s in row.source if s not in facts.sources
            ]
            faults += [
                Fault(file, 0, f"{label}.hazards", f"unknown hazard {h!r}")
                for h in getattr(row, "hazards", ())
                if h not in hazards
            ]
            faults += [
                Fault(file, 0, f"{label}.materials", f"unknown material {m!r}")
                for m in getattr(row, "materials", ())
                if m not in materials
            ]
            faults += [
                Fault(file, 0, f"{label}.crops", f"unknown crop {c!r}")
                for c in getattr(row, "crops", ())
                if c not in facts.crops
            ]
    for row in room.hazards:
        for pattern in (*(word for words in row.named for word in words), *row.unless):
            try:
                re.compile(pattern)
            except re.error as error:
                faults.append(Fault("tending/hazards.yaml", 0, f"{row.id}.named", f"{pattern!r} is not a regular expression: {error}"))
    faults += [
        Fault("tending/manure.yaml", 0, "clear_of_soil", f"unknown crop {c!r}")
        for c in room.manure.clear_of_soil
        if c not in facts.crops
    ]
    kinds = {kind.id for kind in room.mulch.kinds}
    faults += [
        Fault("tending/mulch.yaml", 0, "for_crops", f"unknown crop or kind {c!r}: {k!r}")
        for c, k in room.mulch.for_crops.items()
        if c not in facts.crops or k not in kinds
    ]
    stuff = {row.id for row in room.compost.stuff}
    faults += [
        Fault("tending/compost.yaml", 0, row.id, f"stands in for the unknown {row.stand_in!r}")
        for row in room.compost.stuff
        if row.stand_in and row.stand_in not in stuff
    ]
    topics = {topic.id for topic in room.compost.topics}
    feeding = {topic.id for topic in room.feeds.topics}
    faults += [
        Fault("tending/compost.yaml", 0, name, f"unknown {found!r}")
        for name, known in (("about_heap", topics), ("troubles", topics), ("sick", stuff))
        for found in getattr(room.compost, name)
        if found not in known
    ]
    faults += [Fault("tending/feeds.yaml", 0, "of_ground", f"unknown {t!r}") for t in room.feeds.of_ground if t not in feeding]
    faults += [
        Fault("tending/mulch.yaml", 0, "like", f"no kind is of {found!r}")
        for found in (*room.mulch.like.values(), *room.mulch.shorter.values())
        if not room.mulch.has(found)
    ]
    return faults
