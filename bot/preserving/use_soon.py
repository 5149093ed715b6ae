"""What needs eating first: fresh pickings by how long they keep, stores by best-before date, crops standing ready."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.facts.preserving import Idea, PreservingFacts
from bot.plot.state import Plot
from bot.preserving.ledger import amount_said, in_place, in_store, lot_name, nearly_out
from bot.wording import Wording

#: Fresh things that keep longer than this (weeks) are not urgent the day they are picked.
LONG_KEEPING_WEEKS = 8.0
#: A crop picked within this many days and still standing is taken to have more ready.
STILL_CROPPING_DAYS = 14


@dataclass(frozen=True, slots=True)
class Soon:
    """One thing to use: `days_left` until it is past its best (negative: past), None when it only stands ready."""

    crop: str
    kind: str  # fresh | stored | standing
    name: str
    amount: float | None
    unit: str | None
    days_left: int | None
    since: date
    where: str | None = None
    few: bool = False


def use_soon(plot: Plot, crops: Mapping[str, Crop], today: date, say: Wording) -> tuple[Soon, ...]:
    """Return what is fresh, stored and standing ready, most urgent first."""
    found = [*_fresh(plot, crops, today, say), *_stored(plot, today, say), *_standing(plot, today, say)]
    return tuple(sorted(found, key=lambda s: (s.days_left if s.days_left is not None else 45, s.since)))


def keeps_days(crop: Crop | None) -> tuple[int, tuple[str, ...]] | None:
    """Return (days a fresh picking keeps at the short end, sources), of the form that keeps least, or None."""
    rows = [row for row in (crop.storage if crop else []) if row.weeks]
    if not rows:
        return None
    shortest = min(rows, key=lambda row: row.weeks[0] if row.weeks else 0)
    assert shortest.weeks is not None
    return max(1, round((shortest.weeks[0] or shortest.weeks[1]) * 7)), tuple(shortest.source)


def _fresh(plot: Plot, crops: Mapping[str, Crop], today: date, say: Wording) -> list[Soon]:
    """Return pickings still within their keeping time, less what was preserved since."""
    out = []
    by_crop: dict[str, list[tuple[date, float | None, str | None]]] = defaultdict(list)
    for harvest in plot.harvests:
        keeps = keeps_days(crops.get(harvest.crop))
        if keeps is None or keeps[0] > LONG_KEEPING_WEEKS * 7 or not 0 <= (today - harvest.day).days <= keeps[0]:
            continue
        amount, unit = (harvest.kg, "kg") if harvest.kg else (harvest.amount, harvest.unit)
        by_crop[harvest.crop].append((harvest.day, amount, unit))
    for crop, pickings in by_crop.items():
        first = min(day for day, _, _ in pickings)
        put_by = [e for e in plot.events("preserved") if e.crop == crop and e.day >= first]
        weighed = sum(a for _, a, u in pickings if a and u == "kg")
        kept = sum(e.data.get("kg") or 0 for e in put_by)
        if put_by and (not weighed or not kept or kept >= weighed - 0.05):
            continue
        keeps = keeps_days(crops.get(crop))
        assert keeps is not None
        left = keeps[0] - (today - first).days
        fresh = round(weighed - kept, 3) if weighed else pickings[-1][1]
        out.append(Soon(crop, "fresh", say.crop(crop), fresh, "kg" if weighed else pickings[-1][2], left, first))
    return out


def _stored(plot: Plot, today: date, say: Wording) -> list[Soon]:
    lots = in_store(plot.lots)
    out = []
    for key in dict.fromkeys((lot.crop, lot.product, lot.unit) for lot in lots):
        same = [x for x in lots if (x.crop, x.product, x.unit) == key]
        dated = [x for x in same if x.best_before]
        first = min(dated, key=lambda x: x.best_before or date.max) if dated else same[0]
        days = (first.best_before - today).days if first.best_before else None
        amount = sum(x.left for x in same if x.best_before == first.best_before)
        out.append(
            Soon(
                first.crop,
                "stored",
                lot_name(first, say),
                amount,
                first.unit,
                days if days is not None else 400,
                first.made,
                first.where,
                nearly_out(same),
            )
        )
    return out


def _standing(plot: Plot, today: date, say: Wording) -> list[Soon]:
    out: dict[str, Soon] = {}
    for planting in plot.standing():
        recent = [h for h in planting.harvests if 0 <= (today - h.day).days <= STILL_CROPPING_DAYS]
        if recent:
            last = max(h.day for h in recent)
            seen = out.get(planting.crop)
            if seen is None or last < seen.since:
                out[planting.crop] = Soon(
                    planting.crop, "standing", say.crop(planting.crop), None, None, None, last, planting.bed
                )
    return list(out.values())


def ideas_for(crop: str, facts: PreservingFacts, count: int = 3, text: str = "") -> list[Idea]:
    """Return things to do with a crop, those for gluts first; its stand-in's when it has none.

    Ideas for unripe fruit are for those who ask for them in `text`, and then come first.
    """
    own = [idea for idea in facts.ideas if idea.crop == crop]
    other = facts.words.stand_ins.get(crop)
    if not own and other:
        own = [idea for idea in facts.ideas if idea.crop == other]
    green = "green" in text.lower()
    own = sorted(own, key=lambda idea: ("green" in idea.title.lower()) != green)
    return own[:count]


def soon_line(soon: Soon, say: Wording, today: date, place: str | None = None) -> str:
    """Say one thing to use in one line: 'Courgettes, 2.4 kg picked Monday: 2 days left.'"""
    name = soon.name[0].upper() + soon.name[1:]
    amount = f", {amount_said(soon.amount, soon.unit, say)}" if soon.amount and soon.unit else ""
    where = in_place(soon.where) if soon.kind == "stored" else f" in {place}" if place else ""
    if soon.kind == "standing":
        return f"{name}{where}: standing ready, last picked {say.day(soon.since, today)}."
    if soon.kind == "fresh":
        return f"{name}{amount} picked {say.day(soon.since, today)}: {_left(soon.days_left or 0)}."
    if soon.days_left is None or soon.days_left > 365:
        return f"{name}{amount}{where}: keeps."
    if soon.days_left < 0:
        return (
            f"{name}{amount}{where}: past its best since {say.part_of_month(today + timedelta(days=soon.days_left))}."
        )
    return f"{name}{amount}{where}: {_left(soon.days_left)}."


def _left(days: int) -> str:
    if days <= 0:
        return "use today"
    if days == 1:
        return "1 day left"
    if days <= 21:
        return f"{days} days left"
    return f"about {round(days / 7)} weeks left" if days < 84 else f"about {round(days / 30.4)} months left"
