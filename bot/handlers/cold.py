"""Figures of cold about crops, shared by the frost, protection and hardiness answers."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median

from bot.facts import Facts
from bot.facts.climate import CoverKind
from bot.facts.crop import Crop, HardinessState
from bot.growing.hardiness import kill_c
from bot.wording import Wording, capital

#: States of growth that tell of a plant in leaf; the others (flower, dormant) are said apart.
_LEAFY = ("plant", "seedling", "head")

#: From this chance of living through it a crop is called sure to stand, or likely to.
SURE, LIKELY = 0.9, 0.7


@dataclass(frozen=True, slots=True)
class Cold:
    """What cold does to a crop, °C air: the middle figures, and the rows they come from.

    `damage_c` is where leaves begin to be hurt, `kill_c` where the plant in leaf is killed and `winter_kill_c` where
    its roots or crown are; `kills` are the published killing figures in leaf, hardiest kind first.
    """

    damage_c: float | None
    kill_c: float
    winter_kill_c: float
    kills: tuple[float, ...]
    rows: tuple[HardinessState, ...]
    known: bool

    @property
    def blossom(self) -> tuple[float, float | None] | None:
        """Return where open blossom begins to be hurt and where most of it is lost, °C; None where unknown."""
        open_ = [r for r in self.rows if r.state == "flower" and r.damage_c is not None
                 and any(word in (r.conditions or "") for word in ("full bloom", "open blossom", "blossom in general"))]
        if not open_ or open_[-1].damage_c is None:
            return None
        return open_[-1].damage_c, open_[-1].kill_c

    @property
    def tender(self) -> bool:
        """Tell whether the first air frost ends it."""
        return self.kill_c >= -1.5


def cold_of(crop: Crop, facts: Facts) -> Cold:
    """Return what cold does to a crop, from its own rows, or its class of hardiness where it has none."""
    rows = tuple(crop.hardiness)
    leafy = [r for r in rows if r.state in _LEAFY]
    kill = kill_c(crop, facts)
    damages = [r.damage_c for r in leafy if r.damage_c is not None]
    damage = median(damages) if damages else None
    if damage is not None and damage < kill:
        damage = kill
    kills = tuple(sorted(r.kill_c for r in leafy if r.kill_c is not None))
    resting = [r.kill_c for r in rows if r.state == "dormant" and r.kill_c is not None]
    return Cold(damage, kill, min(kill, median(resting)) if resting else kill, kills or (kill,), rows,
                any(r.state != "flower" for r in rows))


#: Colder than this and a crop is hardy: a touched leaf is no reason to cover it.
HARDY_C = -5.0


def harmed_below(crop: Crop, facts: Facts) -> float:
    """Return the air temperature worth covering a crop for, °C: first damage if it is soft, killing cold if hardy."""
    cold = cold_of(crop, facts)
    if cold.damage_c is None or cold.kill_c <= HARDY_C:
        return cold.kill_c
    return cold.damage_c


def leaves_hurt(crop: Crop, facts: Facts) -> float:
    """Return the air temperature at which a crop's leaves begin to be hurt, °C: the killing one where no other is published."""
    cold = cold_of(crop, facts)
    return cold.kill_c if cold.damage_c is None else cold.damage_c


def against_frost(crop: Crop, facts: Facts, say: Wording) -> str:
    """Say what to do for a standing crop before a frost: the yearly job that keeps it off if there is one, or fleece.

    An imperative without its full stop: 'earth up the potatoes, or lay fleece over them before dusk'.
    """
    name = say.crop(crop.id)
    fleece = say.pick("fleece", "row cover")
    job = next((j for j in facts.tending.jobs.jobs if crop.id in j.crops and "frost off" in (j.why or "")), None)
    if job is None:
        return f"lay {fleece} over the {name} before dusk"
    task = say.pick(job.task, job.us or job.task).replace("{crop}", name).replace("{in}", "").strip()
    return f"{task}, or lay {fleece} over {'them' if is_many(crop, say.words) else 'it'} before dusk"


#: Covers said without an article: stuffs and pairs.
_STUFFS = ("two", "garden", "heavy", "old", "floating", "poly", "plastic laid", "nothing", "indoors")


def cover_name(kind: CoverKind, say: Wording, *, article: bool = True) -> str:
    """Say a cover, with its article where it has one: 'a cloche', 'garden fleece'."""
    named = say.pick(kind.gb, kind.us)
    stuff = named.startswith(_STUFFS) and not named.startswith("polytunnel")
    if not article or stuff or named.startswith(("a ", "an ")):
        return named
    return f"{'an' if named[0] in 'aeiou' else 'a'} {named}"


def worth(kind: CoverKind, say: Wording) -> str:
    """Say what a cover is worth: 'A cloche is worth about 1-3 °C'."""
    name = cover_name(kind, say)
    be = "are" if kind.gb.startswith(("two", "old")) else "is"
    return f"{capital(name)} {be} worth about {say.warmth(*kind.night_c)}"


def is_many(crop: Crop, words: str) -> bool:
    """Tell whether the crop's name is said as many things (leeks stand) or as one stuff (kale stands)."""
    return crop.said(words, plural=True) != crop.said(words, plural=False)
