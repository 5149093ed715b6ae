"""Saving seed, and whether old seed is still good."""

from __future__ import annotations

import re
from typing import Any

from bot.facts.crop import Crop, SeedSaving
from bot.handlers import answers, handler_for
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.keeping.seedage import SeedAge, judge
from bot.plot.state import SeedLot
from bot.reply import Reply, Table
from bot.request import Request
from bot.wording import capital

_POLLEN = {
    "self": "It pollinates itself, so crossing is rare.",
    "self-insect": "It mostly pollinates itself, though insects do cross it.",
    "insect": "Insects carry its pollen, so it crosses freely.",
    "wind": "The wind carries its pollen, so it crosses freely.",
    "vegetative": "It is kept going from the plant itself, not from seed.",
}
_SAID = {
    "good": "should be good",
    "last": "worth using this year, test a few first",
    "test": "past its usual life, so test before trusting it",
    "spent": "long past its life, sow thickly or buy fresh",
    "unknown": "age or life unknown, test a few",
}


@answers("save_seed")
def save_seed(request: Request, ctx: Context) -> Reply:
    """Tell how to save seed that comes true: when, how, from how many plants, how far from others."""
    if len(request.crops) > 1:
        return one_by_one(request, ctx, save_seed, "save_seed", "Saving seed")
    crop = which_crop(request, ctx, "Which crop's seed do you want to save?", "how do I save seed from")
    if isinstance(crop, Reply):
        return crop
    found, name, asks = crop.seed_saving, ctx.say.crop(crop.id, 1), ctx.facts.asking.keeping
    if found is None and any(task.kind == "propagate" for task in ctx.facts.keeping.tasks(crop.id)):
        return handler_for("prune")(request.with_(intent="prune", method="propagate"), ctx)
    if found is None:
        return Reply(f"I have no notes on saving {name} seed.", data={"save_seed": {"crop": crop.id}})
    way = ctx.facts.keeping.seed_way(found.processing)
    ripe = f"when it is ready: {found.when_ripe}" if found.when_ripe else "once fully ripe"
    head = f"Save {name} seed {ripe}."
    if found.pollination == "vegetative":
        when = f": {found.when_ripe}" if found.when_ripe else ""
        head = f"Keep {ctx.say.crop(crop.id)} going from the plants themselves{when}."
    lines = [ctx.say.prose(way.say)] if way else []
    if found.hybrid_note and asks.hybrid.search(request.text):
        lines.insert(0, head)
        head = f"{found.hybrid_note}."
    if way and way.dry_days:
        lines.append(
            f"Dry it for {_range(way.dry_days)} days out of the sun, then store cool and dry in a labelled packet."
        )
    if found.pollination:
        lines.append(_POLLEN[found.pollination])
    lines += _apart(found, ctx)
    if found.overwinter in ("yes", "overwinters") or (found.overwinter or "").startswith("yes"):
        lines.append("It flowers in its second year, so plants must come through a winter first.")
    if found.plants_min and found.plants_min[1] > 1 or found.plants_for_variety:
        lines.append(_population(found))
    if found.hybrid_note and not asks.hybrid.search(request.text):
        lines.append(f"{found.hybrid_note}.")
    cautions = [ctx.say.prose(found.caution)] if found.caution and "poison" in found.caution else []
    if found.caution and not cautions:
        lines.append(ctx.say.prose(found.caution) + ".")
    working = tuple(f"Distances as printed: {found.isolation_printed}" for _ in [0] if found.isolation_printed)
    return Reply(
        head,
        lines=tuple(lines[:9]),
        more=tuple(lines[9:]),
        cautions=tuple(cautions),
        working=working,
        sources=cited(found, way),
        data={"save_seed": _saving_figures(crop, found)},
    )


@answers("seed_life")
def seed_life(request: Request, ctx: Context) -> Reply:
    """Tell how long seed keeps, judge the lots in the tin, and say how to test it."""
    if not request.crops and not request.crop_choices and not request.unknown_crop:
        if ctx.facts.asking.keeping.testing.search(request.text):
            return _rule(ctx, "germination-test", "home-target")
        if ctx.facts.asking.keeping.storing.search(request.text):
            return _rule(ctx, "home-target", "seed-temperature", "seed-moisture", "freezing-seed", "drying-limit")
        return _tin(ctx)
    if len(request.crops) > 1:
        return one_by_one(request, ctx, seed_life, "seed_life", "How long seed keeps")
    crop = which_crop(request, ctx, "Which seed?", "how long does seed keep of")
    if isinstance(crop, Reply):
        return crop
    name = ctx.say.crop(crop.id, 1)
    lots = [
        lot
        for lot in ctx.plot.seeds
        if lot.crop == crop.id
        and not lot.used_up
        and (request.variety is None or (lot.variety or "").lower() == request.variety.lower())
    ]
    year = _year_asked(request, ctx)
    life = crop.seed_life
    span = _years(life.years) if life and life.years else None
    general = ctx.facts.asking.keeping.how_long.search(request.text) is not None  # of such seed, and not of what lies in the tin
    if year is not None:
        age = judge(crop, year, ctx.today.year)
        head = f"{capital(name)} seed from {year}: {_SAID[age.verdict]}."
    elif lots and any(lot.year for lot in lots) and not (general and span):
        age = judge(crop, lots[0].year, ctx.today.year)
        variety = f" {lots[0].variety!r}" if lots[0].variety else ""
        head = (
            f"Your {name}{variety} seed of {lots[0].year}: {_SAID[age.verdict]}."
            if age.verdict != "unknown"
            else f"{capital(name)} seed keeps {span or 'for a time I have no figure for'}."
        )
    else:
        head = f"{capital(name)} seed keeps {span}." if span else f"I have no figure for how long {name} seed keeps."
    lines = [f"It usually keeps {span} in a cool dry place."] if span and not head.endswith(f"keeps {span}.") else []
    told = lots[:1] if head.startswith("Your ") else []
    lines += [f"In the tin: {_lot(lot)}, {_SAID[judge(crop, lot.year, ctx.today.year).verdict]}." for lot in lots[:4] if lot not in told]
    must = ""
    if life and life.germination_min_pct and ctx.say.words == "us":  # a rule of that country
        kind = (
            f" (the rule's kind: {life.germination_kind})"
            if life.germination_kind and life.germination_kind != name
            else ""
        )
        must = f"New seed sold in the US must germinate at least {life.germination_min_pct:g} %{kind}."
        lines += [must] if ctx.say.us else []
    test = ctx.facts.keeping.seed_rule("germination-test")
    if ctx.facts.asking.keeping.testing.search(request.text):
        lines.insert(0, head)
        head = f"{ctx.say.prose(test.rule)}."
    else:
        lines.append(f"Test: {ctx.say.prose(test.rule[0].lower() + test.rule[1:])}.")
    data = {
        "crop": crop.id,
        "years": list(life.years) if life and life.years else None,
        "germination_min_pct": life.germination_min_pct if life else None,
        "lots": [
            {"variety": lot.variety, "year": lot.year, "verdict": judge(crop, lot.year, ctx.today.year).verdict}
            for lot in lots
        ],
    }
    if year is not None:
        data["verdict"] = judge(crop, year, ctx.today.year).verdict
    working = (*((f"Other figures: {life.other_years}",) if life and life.other_years else ()), *((must,) if must and not ctx.say.us else ()))
    return Reply(head, lines=tuple(lines), working=working, sources=cited(life, test), data={"seed_life": data})


def _rule(ctx: Context, *rules: str) -> Reply:
    found = [ctx.facts.keeping.seed_rule(rule) for rule in rules]
    first, *rest = (ctx.say.prose(rule.rule) + "." for rule in found)
    return Reply(first, lines=tuple(rest), sources=cited(*found), data={"seed_life": {"rules": list(rules)}})


def _tin(ctx: Context) -> Reply:
    lots = [lot for lot in ctx.plot.seeds if not lot.used_up]
    if not lots:
        return Reply(
            "Your seed tin is empty in my notes.",
            wants="crop",
            lines=("Name a crop and I can say how long its seed keeps, or tell me what is in the tin.",),
        )
    judged: list[tuple[SeedLot, SeedAge | None]] = [
        (lot, judge(ctx.facts.crops[lot.crop], lot.year, ctx.today.year) if lot.crop in ctx.facts.crops else None)
        for lot in lots
    ]
    order = {"spent": 0, "test": 1, "last": 2, "unknown": 3, "good": 4}
    judged.sort(key=lambda pair: order[pair[1].verdict] if pair[1] else 3)
    old = sum(1 for _, age in judged if age and age.verdict in ("spent", "test"))
    last = sum(1 for _, age in judged if age and age.verdict == "last")
    head = f"{len(lots)} lots in the tin: " + (
        f"{old} past their life, {last} in the last year of it." if old or last else "all still within their life."
    )
    rows = [
        (
            capital(ctx.say.crop(lot.crop, 1)) + (f" {lot.variety}" if lot.variety else ""),
            str(lot.year or "?"),
            _SAID[age.verdict] if age else "no figure",
        )
        for lot, age in judged
    ]
    return Reply(
        head,
        table=Table(("", "year", ""), tuple(rows[:9])),
        more=tuple(" ".join(row) for row in rows[9:]),
        sources=cited(*(ctx.facts.crops[lot.crop].seed_life for lot, age in judged if age)),
        data={
            "seed_life": {
                "rows": [
                    {
                        "crop": lot.crop,
                        "variety": lot.variety,
                        "year": lot.year,
                        "verdict": age.verdict if age else "unknown",
                    }
                    for lot, age in judged
                ]
            }
        },
    )


def _year_asked(request: Request, ctx: Context) -> int | None:
    if request.when is not None and request.when.start < ctx.today:
        return request.when.start.year
    written = re.search(r"\b(?:19|20)\d\d\b", request.text)
    if written and ctx.today.year - 60 <= int(written[0]) <= ctx.today.year:
        return int(written[0])
    for quantity in request.quantities:
        if (
            quantity.unit == "count"
            and quantity.value == int(quantity.value)
            and ctx.today.year - 60 <= quantity.value <= ctx.today.year
        ):
            return int(quantity.value)
        if quantity.unit == "day" and quantity.value >= 180:
            return ctx.today.year - round(quantity.value / 365.25)
        if quantity.unit == "year":
            return ctx.today.year - int(quantity.value)
    return None


def _apart(found: SeedSaving, ctx: Context) -> list[str]:
    if not found.isolation_home_m or found.pollination == "vegetative":
        return []
    home = ctx.say.distance(found.isolation_home_m[0])
    others = f" ({found.crosses_with})" if found.crosses_with else ""
    line = f"Keep it about {home} from other kinds in flower{others}"
    if found.isolation_strict_m and found.isolation_strict_m[1] > found.isolation_home_m[1]:
        line += f", {ctx.say.distance(found.isolation_strict_m[1])} to be sure"
    return [line + "."]


def _population(found: SeedSaving) -> str:
    least = f"at least {found.plants_min[1]:g} plants" if found.plants_min and found.plants_min[1] > 1 else ""
    plants = "" if least else " plants"
    better = f"{_range(found.plants_for_variety)}{plants} to keep a variety healthy" if found.plants_for_variety else ""
    return f"Save from {', '.join(part for part in (least, better) if part)}."


def _saving_figures(crop: Crop, found: SeedSaving) -> dict[str, Any]:
    return {
        "crop": crop.id,
        "pollination": found.pollination,
        "isolation_m": found.isolation_home_m,
        "isolation_strict_m": found.isolation_strict_m,
        "plants_min": found.plants_min,
        "plants_for_variety": found.plants_for_variety,
    }


def _lot(lot: SeedLot) -> str:
    return " ".join(
        part for part in (lot.variety or "", str(lot.year) if lot.year else "no year", lot.source or "") if part
    )


def _years(pair: tuple[float, float]) -> str:
    return "about a year" if pair == (1, 1) else f"about {_range(pair)} years"


def _range(pair: tuple[float, float]) -> str:
    return f"{pair[0]:g}" if pair[0] == pair[1] else f"{pair[0]:g} to {pair[1]:g}"
