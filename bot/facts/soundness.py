"""Checks of meaning on crops and sources that no schema can make. Each returns its faults and stops nothing."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from bot.facts.errors import Fault, KnowledgeError
from bot.facts.loading import csv_line, line_in
from bot.facts.walking import sourced_places

if TYPE_CHECKING:
    from bot.facts import Facts


def check(facts: Facts) -> list[Fault]:
    """Return every fault of meaning in the crops, and of sources anywhere."""
    faults: list[Fault] = []
    for one in _CHECKS:
        faults += one(facts)
    return faults


def sources_known(facts: Facts) -> list[Fault]:
    """Return source ids that no file under sources/ defines."""
    faults = []
    for place in sourced_places(facts):
        for source in place.value.source:
            if source not in facts.sources:
                faults.append(
                    _fault(
                        facts,
                        place.file,
                        (*place.location, "source"),
                        f"no source has the id {source!r}: add it to a file under sources/",
                    )
                )
    for crop in facts.written_crops.values():
        if crop.cautions and not crop.cautions_from:
            faults.append(
                _fault(facts, f"crops/{crop.id}.yaml", ("cautions",), "needs cautions_from: the ids of their sources")
            )
        faults += [
            _fault(facts, f"crops/{crop.id}.yaml", ("cautions_from",), f"no source has the id {source!r}")
            for source in crop.cautions_from
            if source not in facts.sources
        ]
        for index, name in enumerate(crop.names):
            faults += [
                _fault(
                    facts,
                    f"crops/{crop.id}.yaml",
                    ("names", index, "source"),
                    f"no source has the id {source!r}: add it to a file under sources/",
                )
                for source in name.source
                if source not in facts.sources
            ]
    return faults


def recalled_marked(facts: Facts) -> list[Fault]:
    """Return marks of memory or practice on fields that the block does not have, and fields marked as both."""
    faults = []
    for place in sourced_places(facts):
        block = place.value
        for mark in ("memory", "practice"):
            for field in getattr(block, mark):
                if field not in type(block).model_fields:
                    faults.append(
                        _fault(facts, place.file, (*place.location, mark), f"{field!r} is no field of this block")
                    )
        both = set(block.memory) & set(block.practice)
        if both:
            faults.append(
                _fault(
                    facts,
                    place.file,
                    (*place.location, "memory"),
                    f"{sorted(both)[0]!r} is marked both as memory and as practice: keep one",
                )
            )
    return faults


def names_clear(facts: Facts) -> list[Fault]:
    """Return words that stand for two crops while neither says it may mean the other."""
    owners: dict[str, dict[str, int]] = defaultdict(dict)
    for crop in facts.written_crops.values():
        for index, name in enumerate(crop.names):
            for word in {name.name.lower(), (name.plural or name.name).lower()}:
                owners[word].setdefault(crop.id, index)
    faults = []
    for word, held in owners.items():
        for crop_id, index in held.items():
            said = {m for other, i in held.items() for m in facts.written_crops[other].names[i].may_mean}
            said |= {other for other, i in held.items() if facts.written_crops[other].names[i].may_mean}
            if len(held) > 1 and crop_id not in said:
                others = ", ".join(sorted(set(held) - {crop_id}))
                faults.append(
                    _fault(
                        facts,
                        f"crops/{crop_id}.yaml",
                        ("names", index),
                        f"{word!r} is also a name of {others}: add may_mean to one of them",
                    )
                )
    return faults


def slips_clear(facts: Facts) -> list[Fault]:
    """Return misspellings of one crop that are the name of another: they belong under `misheard`."""
    owners: dict[str, set[str]] = defaultdict(set)
    for crop in facts.written_crops.values():
        for name in crop.names:
            for word in (name.name, name.plural or name.name):
                owners[word.lower()].add(crop.id)
    return [
        _fault(
            facts,
            f"crops/{crop.id}.yaml",
            ("misspellings", index),
            f"{slip!r} is a name of {', '.join(sorted(owners[slip.lower()]))}: move it to misheard",
        )
        for crop in facts.written_crops.values()
        for index, slip in enumerate(crop.misspellings)
        if owners[slip.lower()] - {crop.id}
    ]


def crops_known(facts: Facts) -> list[Fault]:
    """Return crop ids that have no file, rings of `like`, and blocks written as lent."""
    faults = []
    crops = facts.written_crops
    for crop in crops.values():
        file = f"crops/{crop.id}.yaml"
        if crop.lent:
            faults.append(_fault(facts, file, ("lent",), "is filled when the crop is read: take this line out"))
        if crop.like is not None and crop.like not in crops:
            faults.append(_fault(facts, file, ("like",), f"no crop has the id {crop.like!r}"))
        seen, here = {crop.id}, crop.like
        while here in crops and here is not None:
            if here in seen:
                faults.append(_fault(facts, file, ("like",), f"goes round in a ring back to {here!r}"))
                break
            seen.add(here)
            here = crops[here].like
        for index, name in enumerate(crop.names):
            faults += [
                _fault(facts, file, ("names", index, "may_mean"), f"no crop has the id {other!r}")
                for other in name.may_mean
                if other not in crops
            ]
    return faults


def pests_known(facts: Facts) -> list[Fault]:
    """Return pest ids of crops that the tending tables do not have; none while those tables are not there."""
    try:
        known = {pest.id for pest in facts.tending.pests}
    except (KnowledgeError, ImportError, AttributeError):
        return []
    return [
        _fault(facts, f"crops/{crop.id}.yaml", ("pests",), f"no pest has the id {pest!r}")
        for crop in facts.written_crops.values()
        for pest in crop.pests
        if pest not in known
    ]


def temperatures_ordered(facts: Facts) -> list[Fault]:
    """Return killing temperatures above damaging ones, and soil limits out of order."""
    faults = []
    for crop in facts.written_crops.values():
        file = f"crops/{crop.id}.yaml"
        for index, state in enumerate(crop.hardiness):
            if state.kill_c is not None and state.damage_c is not None and state.kill_c > state.damage_c:
                faults.append(
                    _fault(
                        facts,
                        file,
                        ("hardiness", index, "kill_c"),
                        f"{state.kill_c:g} °C kills, yet {state.damage_c:g} °C only damages: the kill is the colder",
                    )
                )
        soil = crop.germination
        if soil is not None:
            steps = [soil.soil_min_c, *(soil.soil_best_c or ()), soil.soil_max_c]
            known = [step for step in steps if step is not None]
            if known != sorted(known):
                faults.append(
                    _fault(
                        facts, file, ("germination",), "soil_min_c, soil_best_c and soil_max_c must rise in that order"
                    )
                )
    return faults


def _fault(facts: Facts, file: str, location: tuple[int | str, ...], message: str) -> Fault:
    path = facts.root / file
    line = line_in(path, *location) if path.suffix == ".yaml" else csv_line(location)
    return Fault(file, line, ".".join(str(part) for part in location), message)


_CHECKS = (
    sources_known,
    recalled_marked,
    names_clear,
    slips_clear,
    crops_known,
    pests_known,
    temperatures_ordered,
)
