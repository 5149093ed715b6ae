"""Decide whether and how long a product may be bottled (canned): tested, refused, or one thing still to ask."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from bot.facts.preserving import CanProduct, PreservingFacts, Process, Refusal
from bot.preserving.altitude import band_at
from bot.preserving.matching import find, plain
from bot.preserving.refusing import refused

#: What each jar of the tables holds, litres (NIST Handbook 44: US liquid pint 0.473176 l).
JAR_LITRES = {"half-pint": 0.236588, "12-ounce": 0.354882, "pint": 0.473176, "quart": 0.946353, "half-gallon": 1.892706}
#: The longest time an atmospheric steam canner may run (rule steam-canner-time).
STEAM_LIMIT_RULE = "steam-canner-time"
#: Acid that goes into a jar is no juice to be bottled.
ACID_ADDED = re.compile(r"\b(?:lemon|lime)[ -]juice\b")
_LITRES = re.compile(r"(?<![\d.,])(\d+(?:[.,]\d+)?)\s*-?(ml|cl|l|litres?|liters?|millilitres?)(?![a-z])")


@dataclass(frozen=True, slots=True)
class Row:
    """One tested time at a height: pack, jar, method, minutes, psi (None in boiling water), headspace in cm."""

    pack: str
    jar: str
    method: str
    minutes: float
    psi: float | None
    headspace_cm: float
    sterile: bool

    def as_json(self) -> dict[str, object]:
        """Return the plain form for scripts."""
        return {"pack": self.pack, "jar": self.jar, "method": self.method, "minutes": self.minutes, "psi": self.psi}


@dataclass(frozen=True, slots=True)
class Verdict:
    """The decision. `reason` names why for refused and what is missing for ask; rows are tested times, best first."""

    verdict: Literal["tested", "refused", "ask"]
    reason: str = ""
    product: CanProduct | None = None
    choices: tuple[CanProduct, ...] = ()
    rows: tuple[Row, ...] = ()
    refusal: Refusal | None = None
    rule: str | None = None
    method: str | None = None
    jar: str | None = None
    detail: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Wish:
    """What was asked: crops (ids), the words in plain form, height in metres or None."""

    crops: tuple[str, ...]
    text: str
    metres: float | None


def methods_in(text: str, facts: PreservingFacts) -> tuple[str, ...]:
    """Return methods named in plain text: boiling-water, pressure-dial, pressure-weighted, pressure, steam-canner."""
    return tuple(name for name, words in facts.words.methods.items() if find(text, words))


def jar_in(text: str, facts: PreservingFacts) -> tuple[str | None, float | None, bool]:
    """Return (jar of the tables, litres when given in metric, True when the size is outside the tables)."""
    if find(text, facts.words.other_jars):
        return None, None, True
    for match in _LITRES.finditer(text):
        unit = match[2]
        litres = float(match[1].replace(",", ".")) / (
            1000 if unit.startswith(("ml", "milli")) else 100 if unit == "cl" else 1
        )
        if re.match(
            r"\s*(?:glass |clip[ -]top |mason |preserving |jam )*(?:jars?|bottles?)", text[match.end() :]
        ) or re.search(r"jars? (?:of|are|is|holding|that hold)\s*$", text[: match.start()]):
            fits = [jar for jar, size in JAR_LITRES.items() if litres <= size]
            return (fits[0] if fits else None), litres, not fits
    for name, words in facts.words.jars.items():
        if find(text, words):
            return name, None, False
    return None, None, False


def candidates(crop: str, facts: PreservingFacts) -> list[CanProduct]:
    """Return the products a crop has by itself, its stand-in's when it is the same vegetable in another shape."""
    own = [p for p in facts.canning if crop in p.crops or crop in p.raw_crops]
    other = facts.words.stand_ins.get(crop)
    return own or ([p for p in facts.canning if other in p.crops or other in p.raw_crops] if other else [])


def _score(product: CanProduct, text: str, crops: Sequence[str]) -> tuple[bool, int, int]:
    """Return how well words fit: a phrase before a word, longer before shorter, more of the crops before fewer."""
    word = find(text, [re.escape(plain(w)) for w in (product.name, *product.words)]) or ""
    return " " in word, len(word), sum(c in product.crops or c in product.also for c in crops)


def named_product(text: str, crops: Sequence[str], facts: PreservingFacts) -> CanProduct | None:
    """Return the product whose whole name of several words stands in plain `text`, if it suits the crops, or None.

    A longer phrase of another product wins over a name inside it: "in tomato juice" is not "tomato juice".
    """
    names = [p.name for p in facts.canning if p.kind != "plain" or " " in p.name]
    phrases = [word for p in facts.canning for word in p.words if " " in word]
    found = find(text, [re.escape(plain(words)) for words in (*names, *phrases)])
    product = next((p for p in facts.canning if plain(p.name) == found), None)
    if product is None:  # a salsa is called by what makes it hot, and spelt many ways
        product = next((p for p in facts.canning if p.kind == "salsa" and found in [plain(word) for word in p.words]), None)
    if product is None or (crops and not any(c in (*product.crops, *product.raw_crops, *product.also) for c in crops)):
        return None
    return product


def choose(wish: Wish, facts: PreservingFacts) -> tuple[CanProduct | None, tuple[CanProduct, ...], str]:
    """Return (product, choices, reason). Reason is untested when the crop has nothing of the kind asked for."""
    named_whole = named_product(wish.text, wish.crops, facts)
    if named_whole is not None:
        return named_whole, (), ""
    kinds = [kind for kind, words in facts.words.kinds.items() if find(wish.text, words)]
    pool = candidates(wish.crops[0], facts) if wish.crops else []
    # A mixture is tested only for the crops the publication names for it.
    pool += [
        p
        for p in facts.canning
        if p not in pool
        and (not p.crops or not wish.crops)
        and all(c in p.also or facts.words.stand_ins.get(c) in p.also or c in p.crops for c in wish.crops)
    ]
    scored = sorted(((_score(p, wish.text, wish.crops), p) for p in pool), key=lambda x: x[0], reverse=True)
    # Without a crop a single word ("butter", "salsa") says too little: it might be of anything.
    named = [p for (whole, length, _), p in scored if length and (whole or wish.crops)]
    phrase = bool(scored) and scored[0][0][0]  # "in tomato juice" outweighs "juice"
    if kinds and not phrase:
        shaped = [p for p in named if p.kind == "plain"]
        named = [p for p in named if p.kind in kinds or p.kind == "mixed"]
        if named and shaped:
            return None, (shaped[0], named[0]), "which"  # "crushed tomato sauce": two products, two times
        if not named:
            of_kind = [p for p in pool if p.kind in kinds and p.crops and wish.crops]
            if len(of_kind) == 1:
                return of_kind[0], (), ""
            if of_kind:
                return None, tuple(of_kind), "which"
            return None, (), "untested"
    if named:
        best = _score(named[0], wish.text, wish.crops)
        top = [p for p in named if _score(p, wish.text, wish.crops) == best]
        return (top[0], (), "") if len(top) == 1 else (None, tuple(top), "which")
    whole = [p for p in pool if p.kind == "plain" and wish.crops]
    if len(whole) == 1:
        return whole[0], (), ""
    return (None, tuple(whole), "which") if whole else (None, (), "untested" if wish.crops else "crop")


def rows_at(product: CanProduct, metres: float, raw_only: bool = False) -> tuple[Row, ...]:
    """Return every tested time of a product at a height; above the last band of a method there is none."""
    rows: list[Row] = []
    for process in product.processes:
        found = band_at(process.bands, metres)
        if found is None:
            continue
        minutes, psi = found
        for pack in process.pack:
            if raw_only and pack != "raw":
                continue
            rows += [
                Row(pack, jar, process.method, minutes, psi, process.headspace_cm, _sterile(process, metres))
                for jar in process.jar
            ]
    return tuple(rows)


def _sterile(process: Process, metres: float) -> bool:
    return process.sterile_to_ft is not None and band_at([(0, process.sterile_to_ft, 1, None)], metres) is not None


def decide(wish: Wish, facts: PreservingFacts) -> Verdict:
    """Decide on one request. Never gives a time that is not a row of the table at or above the height."""
    stop = refused(wish.text, wish.crops, facts, "can")
    methods = methods_in(wish.text, facts)
    if stop is not None:
        return Verdict("refused", stop.id, refusal=stop, method=methods[0] if methods else None)
    crop = wish.crops[0] if wish.crops else None
    product, choices, reason = choose(replace(wish, text=ACID_ADDED.sub("lemon", wish.text)), facts)
    boiling = "boiling-water" in methods and not any(m.startswith("pressure") for m in methods)
    steam = "steam-canner" in methods
    low = crop in facts.words.low_acid
    if product is None and choices and (boiling or steam) and all(p.acid == "low" for p in choices):
        return Verdict("refused", "low-acid", choices=choices, method="boiling-water")
    if product is None and reason == "untested":
        rule = facts.words.untested.get(crop or "")
        return Verdict(
            "refused",
            "low-acid" if low and boiling else "untested",
            rule=rule,
            method="boiling-water" if boiling else None,
        )
    if product is None:
        return Verdict("ask", reason, choices=choices, method="boiling-water" if boiling else None)
    if product.acid == "low" and (boiling or steam):
        return Verdict("refused", "low-acid", product=product, method="boiling-water")
    extra = extra_low_acid(product, wish.crops, facts)
    if extra is not None:
        return Verdict("refused", "mixture", product=product, detail={"extra": extra})
    jar, litres, odd = jar_in(wish.text, facts)
    largest = max(JAR_LITRES[j] for process in product.processes for j in process.jar)
    if odd or (jar is not None and max(JAR_LITRES[jar] if litres is None else 0.0, litres or 0.0) > largest):
        return Verdict("refused", "jar", product=product, jar=jar, detail={"litres": litres})
    if wish.metres is None:
        return Verdict("ask", "altitude", product=product, method=methods[0] if methods else None, jar=jar)
    return _narrow(product, wish, methods, jar, litres, facts)


def extra_low_acid(product: CanProduct, crops: Sequence[str], facts: PreservingFacts) -> str | None:
    """Return a low-acid crop named beside a sour plain product, or None: tomatoes with onions are not tomatoes."""
    if product.acid not in ("jar", "natural") or product.kind not in ("plain", "sauce", "juice", "puree", "jam"):
        return None
    known = {*product.crops, *product.raw_crops, *product.also}
    return next(
        (
            c
            for c in crops
            if c in facts.words.low_acid and c not in known and facts.words.stand_ins.get(c) not in known
        ),
        None,
    )


def _narrow(
    product: CanProduct,
    wish: Wish,
    methods: Sequence[str],
    jar: str | None,
    litres: float | None,
    facts: PreservingFacts,
) -> Verdict:
    """Keep the tested rows that fit the method, jar and pack asked for; refuse when none is left."""
    metres = wish.metres or 0.0
    raw_only = bool(wish.crops) and any(
        c in product.raw_crops for c in (wish.crops[0], facts.words.stand_ins.get(wish.crops[0]))
    )
    everything = rows_at(product, metres, raw_only)
    if product.acid == "low":
        everything = tuple(r for r in everything if r.method != "boiling-water")  # the table holds none; checked too
    wanted = _methods_wanted(product, methods)
    rows = tuple(r for r in everything if r.method in wanted)
    if not rows:
        has = {p.method for p in product.processes} & set(wanted)
        return Verdict(
            "refused", "height" if has else "method", product=product, method=wanted[0], detail={"metres": metres}
        )
    if "steam-canner" in methods:
        limit = float(facts.rule(STEAM_LIMIT_RULE).value or 0)
        rows = tuple(r for r in rows if r.minutes <= limit)
        if not rows:
            return Verdict("refused", "steam", product=product, method="boiling-water")
    if jar is not None:
        sizes = {r.jar for r in rows}
        if jar not in sizes and litres is not None:
            bigger = [name for name, size in JAR_LITRES.items() if size >= litres and name in sizes]
            jar = bigger[0] if bigger else jar
        if jar not in sizes and JAR_LITRES[jar] < min(JAR_LITRES[s] for s in sizes):
            jar = min(sizes, key=lambda s: JAR_LITRES[s])  # a smaller jar takes the time of the smallest tested
        if jar not in sizes:
            return Verdict("refused", "jar", product=product, jar=jar, detail={"litres": litres})
        rows = tuple(sorted(rows, key=lambda r: r.jar != jar))
    packs = [pack for pack, words in facts.words.packs.items() if find(wish.text, words)]
    if packs and {r.pack for r in rows} & set(packs):
        rows = tuple(sorted(rows, key=lambda r: (jar is not None and r.jar != jar, r.pack not in packs)))
    elif packs:
        return Verdict("refused", "pack", product=product, detail={"pack": packs[0]})
    return Verdict("tested", "", product=product, rows=rows, method=rows[0].method, jar=jar)


def _methods_wanted(product: CanProduct, methods: Sequence[str]) -> tuple[str, ...]:
    pressure = tuple(m for m in methods if m in ("pressure-dial", "pressure-weighted"))
    if pressure:
        return pressure
    if "pressure" in methods:
        return ("pressure-dial", "pressure-weighted")
    if "boiling-water" in methods or "steam-canner" in methods:
        return ("boiling-water",)
    return ("pressure-dial", "pressure-weighted") if product.acid == "low" else ("boiling-water",)
