"""Check the meaning of the preserving tables: safe acidity, bands that rise, references that exist."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from bot.facts.errors import Fault
from bot.facts.preserving import FILES, PreservingFacts

#: No pressure process goes above this (rule max-psi), psi.
MAX_PSI = 15.0


def faults(facts: Any) -> list[Fault]:
    """Return every fault of the preserving room. `facts` is the whole Facts, for crops and sources."""
    room: PreservingFacts = facts.preserving
    return [
        *_canning(room),
        *_recipes(room),
        *_blanching(room),
        *_words(room),
        *_alarms(room),
        *_references(room, facts),
    ]


def _fault(table: str, row: str, message: str) -> Fault:
    return Fault(FILES[table], 0, row, message)


def _canning(room: PreservingFacts) -> Iterator[Fault]:
    seen: set[str] = set()
    for product in room.canning:
        if product.id in seen:
            yield _fault("canning", product.id, "stands twice")
        seen.add(product.id)
        low = product.acid == "low" or (
            product.acid == "natural" and any(c in room.words.low_acid for c in product.crops)
        )
        for process in product.processes:
            if low and process.method == "boiling-water":
                yield _fault("canning", product.id, "is low in acid and has a boiling-water time")
            pressure = process.method != "boiling-water"
            for _low, _high, minutes, psi in process.bands:
                if (psi is not None) != pressure:
                    yield _fault("canning", product.id, f"{process.method} {'needs' if pressure else 'takes no'} psi")
                if psi is not None and psi > MAX_PSI:
                    yield _fault("canning", product.id, f"{psi:g} psi is over {MAX_PSI:g}")
                if minutes > 130:
                    yield _fault("canning", product.id, f"{minutes:g} minutes is beyond any published process here")
            times = [(minutes, psi or 0) for _l, _h, minutes, psi in process.bands]
            if times != sorted(times):
                yield _fault("canning", product.id, "a higher band has a shorter time or lower pressure")


def _recipes(room: PreservingFacts) -> Iterator[Fault]:
    products = {p.id: p for p in room.canning}
    for recipe in room.recipes:
        if recipe.process is not None and recipe.process not in products:
            yield _fault("recipes", recipe.id, f"its process {recipe.process!r} is not in the canning table")
        shelf = recipe.process is not None and recipe.kind in ("pickle", "relish", "salsa", "chutney")
        if shelf and not any(i.role == "acid" for i in recipe.ingredients):
            yield _fault("recipes", recipe.id, "goes on a shelf and has no acid")
        for item in recipe.ingredients:
            if item.role == "acid" and "vinegar" in item.name and item.percent is None and recipe.kind != "jam":
                yield _fault("recipes", recipe.id, f"{item.name}: the strength is missing")
            if item.percent is not None and item.percent < 5:
                yield _fault("recipes", recipe.id, f"{item.name}: {item.percent:g} % is under 5")


def _blanching(room: PreservingFacts) -> Iterator[Fault]:
    for row in room.blanching:
        if row.treatment == "blanch" and row.water is None and row.steam is None:
            yield _fault("blanching", row.crop, f"{row.form}: a blanch with no minutes")
        if row.treatment in ("none", "unsuitable") and (row.water or row.steam):
            yield _fault("blanching", row.crop, f"{row.form}: minutes on a form that is not heated")


def _words(room: PreservingFacts) -> Iterator[Fault]:
    both = set(room.words.low_acid) & set(room.words.high_acid)
    for crop in sorted(both):
        yield _fault("words", "low_acid", f"{crop} is also in high_acid")
    rules = {r.id for r in room.rules}
    for crop, rule in room.words.untested.items():
        if rule not in rules:
            yield _fault("words", f"untested.{crop}", f"no rule {rule!r}")
    ids = {"stand_ins", "greens", "low_acid", "high_acid", "untested", "kitchen_intents"}
    tables = [table for name, table in room.words if name not in ids]
    lists = [
        *(words for table in tables for words in (table.values() if isinstance(table, dict) else [table])),
        *(r.words for r in room.refusals),
        *(r.unless for r in room.refusals),
        *(life.words for life in room.lives),
        *(g.words for g in (*room.alarms.groups, *room.safety.groups)),
        room.eating.asks, room.eating.unless,
        *(words for row in room.eating.rows for words in (row.named, row.state)),
    ]
    for pattern in (p for words in lists for p in words):
        try:
            re.compile(pattern)
        except re.error as error:
            yield _fault("words", pattern, f"not a regular expression: {error}")


def _alarms(room: PreservingFacts) -> Iterator[Fault]:
    groups = {g.name for g in room.alarms.groups}
    replies = {a.id for a in room.alarms.answers}
    for name in set(room.alarms.after) - groups:
        yield _fault("alarms", "after", f"no word group {name!r}")
    cares = {a.id for a in room.safety.answers}
    for file, rules, known, said in (("alarms", room.alarms.rules, groups, replies),
                                     ("safety", room.safety.rules, groups | {g.name for g in room.safety.groups}, cares)):
        for rule in rules:
            for name in (*rule.all, *rule.unless):
                if name not in known:
                    yield _fault(file, rule.id, f"no word group {name!r}")
            if rule.answer not in said:
                yield _fault(file, rule.id, f"no answer {rule.answer!r}")


def _references(room: PreservingFacts, facts: Any) -> Iterator[Fault]:
    """Find crops and sources that are named and not held."""
    crops, sources = facts.crops, facts.sources
    named: list[tuple[str, str]] = [("blanching", r.crop) for r in room.blanching]
    named += [("canning", c) for p in room.canning for c in (*p.crops, *p.raw_crops, *p.also)]
    named += [("recipes", i.crop) for r in room.recipes for i in r.ingredients if i.crop]
    named += [("yields", y.crop) for y in room.yields] + [("drying", d.crop) for d in room.drying]
    named += [("ideas", i.crop) for i in room.ideas] + [("ferments", f.crop) for f in room.ferments]
    named += [
        ("words", c)
        for c in (
            *room.words.stand_ins,
            *room.words.stand_ins.values(),
            *room.words.low_acid,
            *room.words.high_acid,
            *room.words.greens,
            *room.words.untested,
        )
    ]
    named += [("refusals", c) for r in room.refusals for c in r.crops]
    for table, crop in dict.fromkeys(named):
        if crop not in crops:
            yield _fault(table, crop, "is not a crop of knowledge/crops")
    tables = {
        "blanching": room.blanching,
        "canning": room.canning,
        "recipes": room.recipes,
        "yields": room.yields,
        "drying": room.drying,
        "boiling": room.boiling,
        "rules": room.rules,
        "ferments": room.ferments,
        "ferment_troubles": room.ferment_troubles,
        "lives": room.lives,
        "ideas": room.ideas,
        "refusals": room.refusals,
        "alarms": [*room.alarms.rules, *room.alarms.help, *room.alarms.answers],
        "safety": [*room.safety.rules, *room.safety.answers],
    }
    for table, rows in tables.items():
        for source in dict.fromkeys(s for row in rows for s in row.source):  # type: ignore[attr-defined]
            if source not in sources:
                yield _fault(table, source, "is not in knowledge/sources")
