"""How far to trust seed by its age: the published storage life of its kind set against the year on the packet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bot.facts.crop import Crop

Verdict = Literal["good", "last", "test", "spent", "unknown"]


@dataclass(frozen=True, slots=True)
class SeedAge:
    """Seed of one crop at one age. `life` is [low, high] years in a cool dry place, None when none is published."""

    crop: str
    age: int
    life: tuple[float, float] | None
    verdict: Verdict


def judge(crop: Crop, year: int | None, this_year: int) -> SeedAge:
    """Judge seed packed or saved in `year`.

    Within its life it is good, in the last year of it *last*; up to twice its life *test*; older, *spent*. The
    published lives are for decent storage, so age alone never proves seed dead: the gardener is told how to test.
    """
    life = crop.seed_life.years if crop.seed_life else None
    if year is None or life is None:
        return SeedAge(crop.id, max(0, this_year - (year or this_year)), life, "unknown")
    age = max(0, this_year - year)
    if age < life[0]:
        verdict: Verdict = "good"
    elif age <= life[1]:
        verdict = "last"
    elif age <= 2 * life[1]:
        verdict = "test"
    else:
        verdict = "spent"
    return SeedAge(crop.id, age, life, verdict)
