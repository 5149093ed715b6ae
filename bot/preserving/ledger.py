"""The stores, lot by lot: how long a making keeps, which lots a helping comes from, what a count means, labels."""

from __future__ import annotations

import calendar
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from bot.facts.preserving import Life, PreservingFacts
from bot.plot.state import Lot
from bot.preserving.blanching import rows_of
from bot.preserving.matching import find
from bot.wording import Wording, number, plural, plural_noun

#: Amounts closer than this are the same: half a bag is the least that is counted.
_EPSILON = 1e-6


def months_later(day: date, months: float) -> date:
    """Return the same day some months on; the last of the month when it has no such day. Halves count as 15 days.

    >>> months_later(date(2026, 8, 31), 6).isoformat()
    '2027-02-28'
    """
    whole = int(months)
    year, month = divmod(day.month - 1 + whole, 12)
    year, month = day.year + year, month + 1
    later = date(year, month, min(day.day, calendar.monthrange(year, month)[1]))
    return later + timedelta(days=round((months - whole) * 30))


def life_of(product: str, facts: PreservingFacts) -> Life | None:
    """Return how a product is kept, or None for a product word that is not known."""
    return next((life for life in facts.lives if product == life.product or product in life.also), None)


def product_in(text: str, product: str | None, unit: str | None, facts: PreservingFacts) -> str | None:
    """Return the product a message means: frozen wins, then its product word, then words of the list, then the unit."""
    frozen = facts.lives[0]
    if find(text, frozen.words):
        return frozen.product
    if product is not None and life_of(product, facts):
        return product
    for life in facts.lives:
        if find(text, life.words):
            return life.product
    return {"jar": "bottled", "kg": "stored"}.get(unit or "")


def best_before(
    crop: str, product: str, made: date, crops: Any, facts: PreservingFacts
) -> tuple[date | None, tuple[str, ...]]:
    """Return (best before, source ids): the early end of the crop's own figure, else of the product's."""
    life = life_of(product, facts)
    if life is None:
        return None, ()
    if life.product == "frozen":
        rows = [r for r in rows_of(crop, facts) if r.months]
        if rows and rows[0].months:
            return months_later(made, rows[0].months[0]), tuple(rows[0].source)
    if life.product == "dried":
        row = next((d for d in facts.drying if d.crop == crop and d.months_cool), None)
        if row is not None and row.months_cool:
            return months_later(made, row.months_cool[0]), tuple(row.source)
    if life.product == "stored":
        known = crops.get(crop)
        spans = [s for s in (known.storage if known else []) if s.weeks]
        if spans:
            longest = max(spans, key=lambda s: s.weeks[1])
            return made + timedelta(days=round(longest.weeks[0] * 7)), tuple(longest.source)
    return months_later(made, life.months[0]), tuple(life.source)


def in_store(lots: Iterable[Lot]) -> list[Lot]:
    """Return lots with something left, oldest made first."""
    return sorted((lot for lot in lots if lot.left > _EPSILON), key=lambda lot: (lot.made, lot.id))


def matching(
    lots: Iterable[Lot],
    crops: Sequence[str] = (),
    product: str | None = None,
    where: str | None = None,
    unit: str | None = None,
    facts: PreservingFacts | None = None,
) -> list[Lot]:
    """Return lots with something left that fit all that is given, oldest first."""
    life = life_of(product, facts) if product and facts else None
    names = {life.product, *life.also} if life else {product}
    return [
        lot
        for lot in in_store(lots)
        if (not crops or lot.crop in crops)
        and (
            product is None
            or lot.product == product
            or (lot.product in names and product == (life.product if life else product))
        )
        and (where is None or (lot.where or "").lower() == where.lower())
        and (unit is None or lot.unit == unit)
    ]


@dataclass(frozen=True, slots=True)
class Taken:
    """What comes out of which lots: [(lot id, amount)] and how much was asked for but is not there."""

    lots: tuple[tuple[int, float], ...]
    short: float


def take(lots: Sequence[Lot], amount: float) -> Taken:
    """Take an amount from lots of one unit, oldest first."""
    out: list[tuple[int, float]] = []
    rest = amount
    for lot in lots:
        if rest <= _EPSILON:
            break
        part = min(lot.left, rest)
        out.append((lot.id, round(part, 6)))
        rest -= part
    return Taken(tuple(out), max(0.0, round(rest, 6)))


def count_to(lots: Sequence[Lot], total: float) -> tuple[tuple[int, float], ...]:
    """Return what each lot must hold to make `total`: the oldest is taken to go first, the newest holds any more."""
    if not lots:
        return ()
    newest_first = list(reversed(lots))
    rest = total
    out: dict[int, float] = {}
    for lot in newest_first:
        out[lot.id] = round(min(lot.left, rest), 6)
        rest -= out[lot.id]
    if rest > _EPSILON:
        out[newest_first[0].id] = round(out[newest_first[0].id] + rest, 6)
    return tuple((lot.id, out[lot.id]) for lot in lots)


def amount_said(amount: float, unit: str, say: Wording) -> str:
    """Say an amount of a store: '2 bags', '1.5 kg'."""
    if unit == "kg":
        return say.mass(amount)
    if unit == "l":
        return say.produce(amount)
    if unit == "count":
        return number(amount, 0.5)
    return plural(amount, unit) if amount > 0 else f"no {plural_noun(unit)}"


def in_place(where: str | None) -> str:
    """Say where something is kept: ' in the freezer', ' on the cellar shelf'; empty when unknown."""
    if not where:
        return ""
    return f" {'on' if where.endswith(('shelf', 'rack')) else 'in'} the {where}"


def lot_name(lot: Lot, say: Wording) -> str:
    """Say what a lot is: 'frozen runner beans', 'tomato chutney', 'stored potatoes'."""
    return kept_name(lot.crop, lot.product, say)


def kept_name(crop: str | None, product: str, say: Wording) -> str:
    """Say a crop as it is kept: 'frozen runner beans', 'blackcurrant jam'; the product alone without a crop."""
    if product in ("frozen", "bottled", "pickled", "dried", "fermented", "stored"):
        kept = say.pick("bottled", "canned") if product == "bottled" else product
        return f"{kept} {say.crop(crop)}" if crop else f"{kept} produce"
    return f"{say.crop(crop, 1)} {product.replace('-', ' ')}" if crop else product


def nearly_out(lot_group: Sequence[Lot]) -> bool:
    """Tell whether a group of like lots is down to one container, or a fifth of what was made."""
    left, made = sum(lot.left for lot in lot_group), sum(lot.made_count for lot in lot_group)
    return left > 0 and (left <= 0.2 * made + _EPSILON or (left <= 1 and made > 1 and lot_group[0].unit != "kg"))


def label(lot: Lot, say: Wording, today: date) -> str:
    """Return the text for a label: name, made, best before, method, lot number."""
    made = f"{'frozen' if lot.product == 'frozen' else 'made'} {say.day(lot.made)} {lot.made.year}"
    parts = [lot_name(lot, say)[0].upper() + lot_name(lot, say)[1:], made]
    if lot.best_before:
        parts.append(f"best before {say.month(lot.best_before.month)} {lot.best_before.year}")
    if lot.method:
        parts.append(lot.method.replace("-", " "))
    parts.append(f"lot {lot.id}")
    return " · ".join(parts)
