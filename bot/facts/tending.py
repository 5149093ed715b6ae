"""The tending room: what ails plants and how to tell, blight rules, cautions; soil, compost and the rest follow.

One section per table: its row models, its field in `TendingFacts`, its line in `FILES`, its part of `check`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from pydantic import Field

from bot.facts import tending_covers, tending_ground_check, tending_jobs, tending_support, tending_training
from bot.facts import tending_ground as ground
from bot.facts import tending_heap as heap
from bot.facts.advice import Advice
from bot.facts.base import Id, Shape, Sourced
from bot.facts.errors import Fault

if TYPE_CHECKING:
    from bot.facts import Facts

Season = Literal["spring", "early-summer", "midsummer", "late-summer", "autumn", "winter"]
Region = Literal["eu", "na", "oc", "as", "sa", "af"]
Part = Literal["leaf", "stem", "root", "bulb", "tuber", "fruit", "pod", "cob", "flower", "bud", "bark", "seedling",
               "seed", "head", "tip", "base", "neck", "soil", "whole"]


# --- garden words for what is seen ---------------------------------------------------------------------------------


class SignWord(Shape):
    """One idea a gardener can see, with the words for it.

    `also` names wider ideas it carries with it. `whole` phrases hide the words inside them ("vegetable patch"
    is no patch).
    """

    id: Id
    group: Literal["creature", "damage", "matter", "look", "colour", "part", "place", "time"]
    words: list[str] = Field(min_length=1)
    also: list[Id] = Field(default_factory=list)
    whole: bool = False


class SignWords(Sourced):
    """The lexicon of sign words; idle words say nothing, inner ones only inside a phrase."""

    words: list[SignWord]
    idle: frozenset[str]
    inner: frozenset[str]


# --- pests, diseases and disorders ---------------------------------------------------------------------------------


class Sign(Shape):
    """One thing to be seen: on which part, which ideas of the lexicon it shows, and the plain words for it."""

    part: Part
    seen: list[Id] = Field(default_factory=list)
    words: str
    telling: bool = False  # seldom seen with anything else


class Apart(Shape):
    """How to tell this trouble from another: what the other one looks like."""

    than: Id
    look: str


class OnCrop(Shape):
    """What is done about a trouble on some of its crops, where it is another thing on the others."""

    crops: list[Id] = Field(min_length=1)
    now: list[str] = Field(min_length=1)
    late: str


class Pest(Sourced):
    """A pest, disease or disorder: how it shows, where and when, and what to do. `hosts` are crop ids.

    `any_host` says it may be on anything, on anything low (no trees, canes or bushes), on any seedling
    or anything stored. Seasons are those of the plot's own hemisphere. `common` is 1 (seldom) to 3 (everybody meets
    it). `tell` is its short mark.
    """

    id: Id
    kind: Literal["pest", "disease", "disorder"]
    gb: str
    us: str
    oc: str | None = None  # in Australia and New Zealand, where it is neither's first name
    other_names: list[str] = Field(default_factory=list)
    latin: str | None = None
    hosts: list[Id] = Field(default_factory=list)
    host_groups: list[Id] = Field(default_factory=list)
    any_host: Literal["anything", "low", "seedlings", "stored"] | None = None
    regions: list[Region] = Field(default_factory=list)  # empty: everywhere
    seasons: list[Season] = Field(min_length=1)
    common: int = Field(ge=1, le=3)
    trigger: str | None = None
    tell: str
    signs: list[Sign] = Field(min_length=1)
    phrases: list[str] = Field(default_factory=list)
    apart: list[Apart] = Field(default_factory=list)
    now: list[str] = Field(min_length=1)
    late: str
    per_crop: list[OnCrop] = Field(default_factory=list)
    next_year: str
    eat: str | None = None  # whether what it touched may be eaten
    hygiene: str
    heap: Literal["yes", "hot", "no"]
    notify: str | None = None
    notify_in: list[Region] = Field(default_factory=list)  # empty: said everywhere
    caution: str | None = None

    def said(self, words: str = "gb", country: str | None = None) -> str:
        """Return its name as said in British (gb) or American (us) English, or in a country with names of its own."""
        return self.us if words == "us" else (self.oc if country else None) or self.gb

    def on_crops(self, crops: Sequence[str]) -> list[OnCrop]:
        """Return what is done on these crops, in their order; empty where it is the same on all."""
        return list({id(row): row for crop in crops for row in self.per_crop if crop in row.crops}.values())


# --- late blight ---------------------------------------------------------------------------------------------------


class BlightRule(Sourced):
    """A weather rule: `days` in a row, each at least `min_c` and with `hours` at or above `humidity_pct`."""

    id: Id
    name: str
    days: int = Field(ge=1)
    min_c: float
    humidity_pct: float
    hours: int = Field(ge=1, le=24)
    note: str | None = None


class BlightAdvice(Sourced):
    """One thing to do or know, for a crop at a stage."""

    stage: Literal["watch", "alert", "few-spots", "established", "tubers", "fruit", "cover", "prevent", "clear", "eat"]
    crops: list[Id]
    say: str


class BlightCrop(Sourced):
    """A crop that blight attacks; `risk` 3 is worst. Earlies usually finish first."""

    crop: Id
    risk: int = Field(ge=1, le=3)
    note: str | None = None


class Blight(Shape):
    """Everything about late blight. Temperatures in °C; season words as for pests."""

    rules: list[BlightRule]
    crops: list[BlightCrop]
    advice: list[BlightAdvice]
    season: list[Season]
    normals_min_c: float  # nights normally milder than this, in season: blight weather is usual
    source: list[str]
    practice: list[str] = Field(default_factory=list)


# --- what frost nips -----------------------------------------------------------------------------------------------


class Caution(Sourced):
    """A warning shown with some answers. `when` names pests, crops or topics it belongs to."""

    id: Id
    say: str
    when: list[str]
    crops: list[Id] = Field(default_factory=list)  # said of these crops only; empty: of all


# --- the room ------------------------------------------------------------------------------------------------------


class TendingFacts(Shape):
    """Every table of the room."""

    sign_words: SignWords
    hosts: dict[Id, list[Id]]
    pests: list[Pest]
    blight: Blight
    cautions: list[Caution]
    measures: list[ground.Measure]
    material_words: ground.MaterialWords
    manure: ground.Manure
    mulch: ground.Mulches
    lime: ground.Lime
    feeds: ground.Feeds
    green_manures: ground.GreenManures
    compost: heap.Compost
    water: heap.Watering
    wildlife: list[heap.WildTask]
    hazards: list[heap.Hazard]
    weeds: list[Advice]
    remedies: list[Advice]
    jobs: tending_jobs.Jobs
    supports: tending_support.Supports
    support_words: tending_support.SupportWords
    training: tending_training.Trainings
    cover_use: tending_covers.CoverUses

    def measure(self, unit: str) -> ground.Measure | None:
        """Return what a barrow, bucket, bag or can holds, or None for a unit that is none of these."""
        return next((row for row in self.measures if row.id == unit), None)

    def hazard(self, hazard_id: str) -> heap.Hazard:
        """Return a hazard by id. Raises KeyError."""
        return {row.id: row for row in self.hazards}[hazard_id]

    def pest(self, pest_id: str) -> Pest | None:
        """Return one pest by id."""
        return next((pest for pest in self.pests if pest.id == pest_id), None)


FILES: dict[str, str] = {
    "sign_words": "tending/signs.yaml",
    "hosts": "tending/pests_hosts.yaml",
    "pests": "tending/pests.yaml",
    "blight": "tending/blight.yaml",
    "cautions": "tending/cautions.yaml",
    "measures": "tending/measures.yaml",
    "material_words": "phrases/words/materials.yaml",
    "manure": "tending/manure.yaml",
    "mulch": "tending/mulch.yaml",
    "lime": "tending/lime.yaml",
    "feeds": "tending/feeds.yaml",
    "green_manures": "tending/green_manures.yaml",
    "compost": "tending/compost.yaml",
    "water": "tending/water.yaml",
    "wildlife": "tending/wildlife.yaml",
    "hazards": "tending/hazards.yaml",
    "weeds": "tending/weeds.yaml",
    "remedies": "tending/remedies.yaml",
    "jobs": "tending/jobs.yaml",
    "supports": tending_support.FILE,
    "support_words": tending_support.WORDS_FILE,
    "training": tending_training.FILE,
    "cover_use": tending_covers.FILE,
}


def check(facts: Facts) -> list[Fault]:
    """Return what does not hang together in this room."""
    room = facts.tending
    return [*_check_words(room), *_check_pests(facts, room), *_check_blight(facts, room),
            *tending_ground_check.check(facts), *tending_jobs.check(facts), *tending_support.check(facts),
            *tending_training.check(facts), *tending_covers.check(facts)]


def _check_words(room: TendingFacts) -> list[Fault]:
    file, faults, ids = FILES["sign_words"], [], [word.id for word in room.sign_words.words]
    for word in room.sign_words.words:
        if ids.count(word.id) > 1:
            faults.append(Fault(file, 0, word.id, "stands twice"))
        faults += [Fault(file, 0, word.id, f"also names the unknown idea {other!r}")
                   for other in word.also if other not in ids]
    return faults


def _check_pests(facts: Facts, room: TendingFacts) -> list[Fault]:
    file, ideas = FILES["pests"], {word.id for word in room.sign_words.words}
    ids = {pest.id for pest in room.pests}
    grown = {crop for crops in room.hosts.values() for crop in crops} | set(facts.crops)
    faults = [Fault(file, 0, pest.id, "stands twice")
              for n, pest in enumerate(room.pests) if pest.id in {p.id for p in room.pests[:n]}]
    for pest in room.pests:
        if not (pest.hosts or pest.host_groups or pest.any_host):
            faults.append(Fault(file, 0, pest.id, "attacks nothing: give hosts, host_groups or any_host"))
        faults += [Fault(file, 0, f"{pest.id}.host_groups", f"unknown group {g!r}")
                   for g in pest.host_groups if g not in room.hosts]
        faults += [Fault(file, 0, f"{pest.id}.per_crop", f"{c!r} is none of its hosts") for row in pest.per_crop for c in row.crops if c not in pest.hosts]
        faults += [Fault(file, 0, f"{pest.id}.hosts", f"unknown crop {c!r}") for c in pest.hosts if c not in grown]
        faults += [Fault(file, 0, f"{pest.id}.apart", f"unknown pest {a.than!r}")
                   for a in pest.apart if a.than not in ids]
        faults += [Fault(file, 0, f"{pest.id}.signs", f"unknown idea {i!r}")
                   for sign in pest.signs for i in sign.seen if i not in ideas]
        faults += [Fault(file, 0, f"{pest.id}.source", f"unknown source {s!r}")
                   for s in pest.source if s not in facts.sources]
    for crop in facts.crops.values():
        faults += [Fault(f"crops/{crop.id}.yaml", 0, "pests", f"unknown pest {p!r}") for p in crop.pests
                   if p not in ids]
    return faults


def _check_blight(facts: Facts, room: TendingFacts) -> list[Fault]:
    rows: list[Sourced] = [*room.blight.rules, *room.blight.crops, *room.blight.advice, *room.cautions, *room.weeds, *room.remedies]
    return [Fault(FILES["blight"], 0, "source", f"unknown source {s!r}")
            for row in rows for s in row.source if s not in facts.sources]
