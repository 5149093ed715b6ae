"""Keeping: the perennial year, ripening off the plant, and the rules of stores and seed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from bot.facts.asking import Saying
from bot.facts.base import Id, Shape, Sourced, Span
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts

Month = Literal[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]


class PerennialTask(Sourced):
    """One job in a perennial's year. `months_north` runs from its first to its last month and may pass new year."""

    id: Id
    crop: Id
    kind: Literal["prune", "divide", "thin", "feed", "protect", "pick", "plant", "propagate", "force", "tidy", "move"]
    phase: str
    months_north: tuple[Month, Month]
    task: str
    detail: str
    repeat: str | None = None
    do_not: str | None = None
    only_in: str | None = None  # the climates it holds for; without it, everywhere
    asked: Saying | None = None  # words that ask of this task and no other, "autumn raspberries"
    when_seen: bool = False  # done as soon as it is seen, whatever the month

    def months(self, southern: bool) -> tuple[int, int]:
        """Return its first and last month, six months on in the southern half of the world."""
        first, last = self.months_north
        return ((first + 5) % 12 + 1, (last + 5) % 12 + 1) if southern else (first, last)

    def in_month(self, month: int, southern: bool) -> bool:
        """Tell whether the job falls in a month (1 to 12)."""
        first, last = self.months(southern)
        return first <= month <= last if first <= last else month >= first or month <= last


class Ripening(Sourced):
    """How a crop finishes off the plant: °C, % humidity, days."""

    id: Id
    crop: Id
    topic: str
    detail: str
    temp_c: Span | None = None
    humidity_pct: Span | None = None
    days: Span | None = None
    do_not: str | None = None
    standing: bool = False  # of fruit still on the plant


class Rule(Sourced):
    """A rule of the store or of seed that is not about one crop."""

    id: Id
    name: str
    rule: str
    figures: str | None = None


class Way(Sourced):
    """A way of taking seed or of keeping a crop at home, said as a gardener would."""

    id: Id
    name: str
    say: str
    dry_days: Span | None = None  # seed: how long it dries before it is put away


class WholePlot(Sourced):
    """What a mixed vegetable plot gave, kg per m² of bed in a year."""

    id: Id
    kg_per_m2: float
    what: str


class Renewal(Sourced):
    """How many years a lasting plant crops well before it is replaced or divided, and how that is done."""

    crop: Id
    years: Span
    divide: bool = False
    say: list[str]
    same_ground: str | None = None  # said when new plants are to go where the old ones stood
    no_dividing: str | None = None
    task: Id | None = None  # the row of the perennial year that tells the season


class Renewals(Sourced):
    """The rows, and the words by which a message asks of them whatever it was read as."""

    words: list[str]
    dividing: list[str]
    same_ground: list[str]
    moving: list[str]
    others: list[str]
    read_as: list[str]
    rows: list[Renewal]


class KeepingFacts(Shape):
    """All keeping tables."""

    perennials: list[PerennialTask]
    ripening: list[Ripening]
    store_rules: list[Rule]
    seed_rules: list[Rule]
    whole_plot: list[WholePlot]
    seed_ways: list[Way]
    store_ways: list[Way]
    renewal: Renewals

    def tasks(self, crop: str) -> list[PerennialTask]:
        """Return the year of one perennial in the order of the file."""
        return [task for task in self.perennials if task.crop == crop]

    def ripenings(self, crop: str) -> list[Ripening]:
        """Return what is known of finishing a crop off the plant."""
        return [row for row in self.ripening if row.crop == crop]

    def renewed(self, crop: str) -> Renewal | None:
        """Return how long a lasting plant crops well, or None."""
        return next((row for row in self.renewal.rows if row.crop == crop), None)

    def seed_way(self, way_id: str | None) -> Way | None:
        """Return the way of taking seed with this id, or None."""
        return next((way for way in self.seed_ways if way.id == way_id), None)

    def store_way(self, way_id: str | None) -> Way | None:
        """Return the way of keeping a crop at home with this id, or None."""
        return next((way for way in self.store_ways if way.id == way_id), None)

    def store_rule(self, rule_id: str) -> Rule:
        """Return a rule of the store by id. Raises KeyError."""
        return {rule.id: rule for rule in self.store_rules}[rule_id]

    def seed_rule(self, rule_id: str) -> Rule:
        """Return a rule of seed by id. Raises KeyError."""
        return {rule.id: rule for rule in self.seed_rules}[rule_id]


FILES = {
    "perennials": "keeping/perennials.yaml",
    "ripening": "keeping/ripening.yaml",
    "store_rules": "keeping/store_rules.yaml",
    "seed_rules": "keeping/seed_rules.yaml",
    "whole_plot": "keeping/whole_plot.yaml",
    "seed_ways": "keeping/seed_ways.yaml",
    "store_ways": "keeping/store_ways.yaml",
    "renewal": "keeping/renewal.yaml",
}


def check(facts: Facts) -> list[Fault]:
    """Return faults of meaning: unknown crops and ids that stand twice."""
    faults: list[Fault] = []
    tables: dict[str, list[PerennialTask] | list[Ripening]] = {
        "keeping/perennials.yaml": facts.keeping.perennials,
        "keeping/ripening.yaml": facts.keeping.ripening,
    }
    for file, rows in tables.items():
        seen: set[str] = set()
        for row in rows:
            if row.crop not in facts.crops:
                faults.append(Fault(file, 0, f"{row.id}.crop", f"no crop has the id {row.crop!r}"))
            if row.id in seen:
                faults.append(Fault(file, 0, row.id, "this id stands twice"))
            seen.add(row.id)
    known_tasks = {task.id for task in facts.keeping.perennials}
    for renewal in facts.keeping.renewal.rows:
        if renewal.crop not in facts.crops:
            faults.append(Fault("keeping/renewal.yaml", 0, f"{renewal.crop}.crop", f"no crop has the id {renewal.crop!r}"))
        if renewal.task is not None and renewal.task not in known_tasks:
            faults.append(Fault("keeping/renewal.yaml", 0, f"{renewal.crop}.task", f"no task has the id {renewal.task!r}"))
    for crop in facts.written_crops.values():
        for index, kept in enumerate(crop.storage):
            if kept.home_method is not None and facts.keeping.store_way(kept.home_method) is None:
                known = ", ".join(way.id for way in facts.keeping.store_ways)
                faults.append(
                    Fault(
                        f"crops/{crop.id}.yaml",
                        0,
                        f"storage.{index}.home_method",
                        f"{kept.home_method!r} is none of {known}",
                    )
                )
        saving = crop.seed_saving
        if saving is not None and saving.processing is not None and facts.keeping.seed_way(saving.processing) is None:
            known = ", ".join(way.id for way in facts.keeping.seed_ways)
            faults.append(
                Fault(f"crops/{crop.id}.yaml", 0, "seed_saving.processing", f"{saving.processing!r} is none of {known}")
            )
    return faults
