"""The shape that carries an understood message from understanding to a handler."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

#: Flag of a request whose "it" or "there" is the bed that its own message adds.
POINTS_TO_NEW_BED = "the new bed"
#: Flag of a request that is of another bed than the one spoken of, or of all others.
OTHER_BEDS = "the other beds"


@dataclass(frozen=True, slots=True)
class Quantity:
    """An amount as understood, in SI, with the words as typed.

    `value` is in `unit`, and `unit` is one of: kg, l (litre), m, m2, c (°C), percent, day, or a
    counted thing such as count, bag, jar, handful, tray, bunch, barrow, row, packet, plant, seed.
    `words` is what the gardener wrote, for echoing.
    """

    value: float
    unit: str
    words: str = ""
    approximate: bool = False

    def as_json(self) -> dict[str, Any]:
        """Return the plain form used by `--json`."""
        return {"value": round(self.value, 4), "unit": self.unit, "words": self.words}


@dataclass(frozen=True, slots=True)
class When:
    """A day or a span of days a message names; `start` equals `end` for a single day."""

    start: date
    end: date
    words: str = ""

    @property
    def single(self) -> bool:
        """Tell whether this is one day."""
        return self.start == self.end

    def as_json(self) -> str | dict[str, str]:
        """Return one ISO date, or from/to for a span."""
        if self.single:
            return self.start.isoformat()
        return {"from": self.start.isoformat(), "to": self.end.isoformat()}


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on earth named in a message: coordinates, or a town still to be looked up."""

    name: str | None = None
    lat: float | None = None
    lon: float | None = None
    elevation_m: float | None = None


@dataclass(frozen=True, slots=True)
class Request:
    """One thing a message asks or tells.

    `intent` is an id of the intent list. Crop, bed and pest values are ids; names that matched
    nothing known are kept as typed in `unknown_crop` and `unknown_bed`. `inherited` names the
    fields taken from earlier turns. `text` is the clause as the gardener typed it.
    """

    intent: str
    confidence: float = 1.0
    text: str = ""
    crops: tuple[str, ...] = ()
    crop_choices: tuple[str, ...] = ()  # an ambiguous name ("beans"): the crops it may mean
    group: str | None = None  # a group word ("salads"); its crops are in `crops` too
    unknown_crop: str | None = None
    variety: str | None = None
    beds: tuple[str, ...] = ()
    unknown_bed: str | None = None
    quantities: tuple[Quantity, ...] = ()
    size_m: tuple[float, float] | None = None  # a bed size, length x width, metres
    when: When | None = None
    method: str | None = None  # sowing, preserving or watering method word, canonical
    product: str | None = None  # preserved product or storage form, canonical
    pest: str | None = None
    materials: tuple[str, ...] = ()  # compost, mulch and feed materials
    cover: str | None = None
    temperature_c: float | None = None
    spot: Spot | None = None
    term: str | None = None  # a glossary word
    wishes: tuple[str, ...] = ()  # quick, kids, salads, hungry-gap, no:<family>, shade, winter, indoors …
    flags: frozenset[str] = frozenset()  # empty-bed, gap, all, stop, yes, no, negative …
    alternatives: tuple[tuple[str, float], ...] = ()  # (intent, confidence) of near rivals
    inherited: tuple[str, ...] = ()
    extra: dict[str, Any] = field(default_factory=dict)

    @property
    def crop(self) -> str | None:
        """Return the first crop, if any."""
        return self.crops[0] if self.crops else None

    @property
    def bed(self) -> str | None:
        """Return the first bed, if any."""
        return self.beds[0] if self.beds else None

    def amount(self, *units: str) -> Quantity | None:
        """Return the first quantity in one of `units` (any unit when none is given)."""
        for quantity in self.quantities:
            if not units or quantity.unit in units:
                return quantity
        return None

    def with_(self, **changes: Any) -> Request:
        """Return a copy with some fields changed."""
        return replace(self, **changes)

    def as_json(self) -> dict[str, Any]:
        """Return the plain form used by `--json`."""
        return {
            "intent": self.intent,
            "crops": list(self.crops),
            "bed": self.bed,
            "quantity": self.quantities[0].as_json() if self.quantities else None,
            "date": self.when.as_json() if self.when else None,
            "confidence": round(self.confidence, 3),
        }
