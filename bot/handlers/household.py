"""How many plants, how much row and how much seed for a household."""

from __future__ import annotations

import re
from typing import Any

from bot.facts.crop import Crop
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.jar_yields import for_a_jar
from bot.keeping.household import Amount, for_people, for_plants, for_row, for_weight
from bot.preserving.blanching import canned_yields
from bot.preserving.canning import JAR_LITRES
from bot.preserving.measures import kg_of
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import KG_PER_LB, M_PER_FOOT, number, plural

_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_COUNT = r"(\d{1,2}|" + "|".join(_WORDS) + r")"
_NO_PEOPLE = r"(?!\s*(?:m|metres?|feet|ft|weeks?|months?|beds?)\b)"
_PEOPLE = re.compile(
    rf"\b(?:for|feed(?:s|ing)?|family of|household of|we are)\s+{_COUNT}\b{_NO_PEOPLE}"
    rf"|\b{_COUNT}\s+(?:people|persons?|adults?|of us|mouths)\b|\b(per person|each person|just me)\b",
    re.I,
)

_PER_METRE = re.compile(r"\b(?:per|a|each|to the) (?:metre|meter|m|foot|ft|yard)\b", re.I)


@answers("how_many")
def how_many(request: Request, ctx: Context) -> Reply:
    """Tell how many plants or how much row and seed feeds the household, or gives a weight asked for."""
    if len(request.crops) > 1:
        return one_by_one(request, ctx, how_many, "how_many", "How many to grow")
    crop = which_crop(request, ctx, "How many of which crop?", "how many to grow of")
    if isinstance(crop, Reply):
        return crop
    jarred = for_a_jar(request.with_(crops=(crop.id,)), ctx)
    if jarred is not None:
        return jarred
    for_jars = _for_jars(crop, request, ctx)
    if for_jars is not None:
        return for_jars
    name = ctx.say.crop(crop.id)
    weight = request.amount("kg")
    asks = ctx.facts.asking.harvest
    if weight is not None and asks.of_seed.search(request.text) and asks.yields.search(request.text) and crop.yields and crop.yields.kg_per_kg_seed:
        return _from_seed(crop, weight.value, crop.yields.kg_per_kg_seed, ctx)
    if weight is not None:
        amount = for_weight(crop, weight.value)
        if not amount.known:
            return _unknown(crop, ctx)
        head = f"For about {ctx.say.mass(weight.value)} of {name}, grow {_said(amount, ctx)}."
        return Reply(
            head,
            lines=tuple(_seed_lines(crop, amount, ctx)),
            working=_working(crop),
            sources=cited(crop.yields, crop.spacing),
            data={"how_many": {"crop": crop.id, "kg_wanted": weight.value, **_figures(amount)}},
        )
    row = request.amount("m")
    if row is None and _PER_METRE.search(request.text) and crop.spacing is not None:
        return _for_row(crop, 1.0 if not ctx.say.us else 3.048, request, ctx)
    if row is not None and row.value > 0 and crop.spacing is not None and request.amount("person") is None:
        return _for_row(crop, row.value, request, ctx)
    plants = next((q.value for q in request.quantities if q.unit in ("count", "plant") and q.value > 0), None)
    if plants is not None and ctx.facts.asking.harvest.yields.search(request.text) and request.amount("person") is None:
        return _from_plants(crop, plants, ctx)
    people = _people(request, ctx)
    fresh = for_people(crop, people)
    if not fresh.known:
        return _unknown(crop, ctx)
    whom = plural(people, "person") if people == 1 else f"{people:g} people"
    head = f"For {whom}, grow {_said(fresh, ctx)} of {name} to eat fresh."
    lines = []
    lines += _crop_lines(fresh, ctx)
    lines += _seed_lines(crop, fresh, ctx)
    store = for_people(crop, people, to_store=True)
    if store.known:
        lines.append(f"To put by for winter as well, another {_said(store, ctx)}.")
    every = crop.sowing.succession_days if crop.sowing else None
    if every:
        lines.append(f"Better a little every {every[0]:g} to {every[1]:g} days than all at once.")
    if crop.yields and crop.yields.family_of_four_kg:
        lines.append(f"One trial plot gave a family of four {_span_mass((crop.yields.family_of_four_kg, crop.yields.family_of_four_kg), ctx)} in a year.")
    choices = (
        ()
        if "people" in request.text
        else tuple(Choice(f"For {n}", f"how many {name} for {n} people") for n in (2, 4, 6) if n != people)
    )
    return Reply(
        head,
        lines=tuple(lines),
        working=_working(crop),
        choices=choices,
        sources=cited(crop.yields, crop.spacing),
        data={
            "how_many": {
                "crop": crop.id,
                "people": people,
                **_figures(fresh),
                "store": _figures(store) if store.known else None,
            }
        },
    )


def _for_jars(crop: Crop, request: Request, ctx: Context) -> Reply | None:
    """Tell how many plants fill the jars counted; None where no jars are spoken of or no figure is known."""
    rows = canned_yields(crop.id, ctx.facts.preserving)
    counted = request.amount("jar") or request.amount("l")
    if counted is None or not rows or not ctx.facts.asking.harvest.for_jars.search(request.text):
        return None
    size = "pint" if "pint" in counted.words.lower() else "quart"
    quarts = (counted.value * JAR_LITRES[size] if counted.unit == "jar" else counted.value) / JAR_LITRES["quart"]
    row = rows[0]
    assert row.lb_per_quart is not None
    kg = kg_of(sum(row.lb_per_quart) / 2) * quarts
    amount = for_weight(crop, kg)
    if not amount.known:
        return None
    jars = "" if "quart" in counted.words.lower() or size == "pint" or counted.unit == "l" else f" of {ctx.say.volume(JAR_LITRES['quart'])}"
    head = f"For {counted.words}{jars} of {ctx.say.crop(crop.id)}, grow {_said(amount, ctx)}."
    return Reply(
        head,
        lines=(f"That takes about {ctx.say.mass(kg)} of fresh ones ({row.form}).", *_seed_lines(crop, amount, ctx)),
        working=_working(crop),
        sources=tuple(dict.fromkeys((*cited(crop.yields, crop.spacing), *row.source))),
        data={"how_many": {"crop": crop.id, "kg_wanted": round(kg, 2), **_figures(amount)}},
    )


def _from_plants(crop: Crop, plants: float, ctx: Context) -> Reply:
    """Tell what so many plants may give."""
    amount = for_plants(crop, plants)
    if amount.kg is None:
        return _unknown(crop, ctx)
    named = f"{plants:g} {ctx.say.crop(crop.id, 1)} plant{'' if plants == 1 else 's'}"
    head = f"Expect about {_span_mass(amount.kg, ctx)} from {named} in a fair year."
    return Reply(head, tuple(_crop_lines(amount, ctx)[1:]), working=_working(crop), sources=cited(crop.yields), data={"how_many": {"crop": crop.id, "plants_asked": plants, **_figures(amount)}})


def _from_seed(crop: Crop, kg: float, each: tuple[float, float], ctx: Context) -> Reply:
    """Tell what a weight of seed tubers or sets may give."""
    given = (kg * each[0], kg * each[1])
    return Reply(f"Expect about {_span_mass(given, ctx)} of {ctx.say.crop(crop.id)} from {ctx.say.mass(kg)} of seed in a fair year.",
                 working=_working(crop), sources=cited(crop.yields), data={"how_many": {"crop": crop.id, "seed_kg": round(kg, 2), "kg": _list(given)}})


def _for_row(crop: Crop, row_m: float, request: Request, ctx: Context) -> Reply:
    """Tell how many plants a length of row takes, or how much seed when seed was asked for."""
    amount = for_row(crop, row_m)
    if amount.plants is None and not amount.seeds:
        return _unknown(crop, ctx)
    start = f"For {ctx.say.length(row_m * 100)} of {ctx.say.crop(crop.id)}, about"
    plants = f"{number(amount.plants[1], 1 if amount.plants[1] < 50 else 10)} plants" if amount.plants else ""
    grams = f", about {ctx.say.mass(amount.seed_g / 1000)}" if amount.seed_g and amount.seed_g >= 0.5 else ""
    seeds = f"{number(amount.seeds, 1 if amount.seeds < 50 else 10)} seeds{grams}" if amount.seeds else ""
    lines = []
    if seeds and ("seed" in request.text.lower() or not plants):
        head = f"{start} {seeds}."
        lines.append("Sow a third more for losses.")
        if amount.plants and amount.seeds and amount.seeds > 1.5 * amount.plants[1]:
            lines.append(f"That leaves about {plants} once thinned.")
    else:
        head = f"{start} {plants}."
        lines += [f"That takes about {seeds}; sow a third more for losses."] if seeds else []
    if amount.kg and ctx.facts.asking.harvest.yields.search(request.text):
        lines = [*_crop_lines(amount, ctx)[1:], head]
        head = f"Expect about {_span_mass(amount.kg, ctx)} from {ctx.say.length(row_m * 100)} of {ctx.say.crop(crop.id)} in a fair year."
    else:
        lines += _crop_lines(amount, ctx)
    return Reply(head, lines=tuple(lines), working=_working(crop), sources=cited(crop.yields, crop.spacing),
                 data={"how_many": {"crop": crop.id, "row_asked_m": row_m, **_figures(amount)}})


def _people(request: Request, ctx: Context) -> float:
    said = request.amount("person")
    if said is not None and said.value > 0:
        return said.value
    match = _PEOPLE.search(request.text)
    if match:
        word = (match[1] or match[2] or "one").lower()
        return max(1.0, float(word) if word.isdigit() else _WORDS.index(word) + 1.0)
    return float(ctx.plot.settings.household)


def _said(amount: Amount, ctx: Context) -> str:
    row = _span_length(amount.row_m, ctx) if amount.row_m else ""
    if amount.plants is None:
        return f"{row} of row"
    low, high = amount.plants
    if row and amount.by_row:
        near, far = (number(n, 1 if n < 50 else 10) for n in (low, high))
        return f"{row} of row (about {near if near == far else f'{near} to {far}'} plants)"
    plants = f"{number(low, 1)} plants" if low == high else f"{number(low, 1)} to {number(high, 1)} plants"
    return f"{plants} ({row} of row)" if row and high > 6 else plants


#: Published figures further apart than this many times are said beside their middle.
_APART = 1.5


def _crop_lines(amount: Amount, ctx: Context) -> list[str]:
    """Say what may be picked in a fair year, and how far apart what is published of one plant lies."""
    if not amount.kg:
        return []
    lines = [f"Expect about {_span_mass(amount.kg, ctx)} in a fair year."]
    if amount.each_kg and amount.each_kg[1] >= _APART * amount.each_kg[0]:
        lines.append(f"A plant gives {_span_mass(amount.each_kg, ctx)}, by the kind and the year.")
    return lines


def _seed_lines(crop: Crop, amount: Amount, ctx: Context) -> list[str]:
    if crop.yields and crop.yields.kg_per_kg_seed and amount.kg:
        weight = amount.kg[1] / crop.yields.kg_per_kg_seed[0]
        return [f"That takes about {_span_mass((weight, weight), ctx)} of seed."]
    if not amount.seeds:
        return []
    grams = f", about {ctx.say.mass(amount.seed_g / 1000)}" if amount.seed_g and amount.seed_g >= 5 else ""
    seeds = number(amount.seeds, 1 if amount.seeds < 50 else 10)
    return [f"That takes about {seeds} seeds{grams}; sow a third more for losses."]


def _unknown(crop: Crop, ctx: Context) -> Reply:
    return Reply(
        f"I have no published quantity for {ctx.say.crop(crop.id)}.",
        lines=("Start with a few plants, and your own harvest record will tell you next year.",),
        data={"how_many": {"crop": crop.id}},
    )


def _figures(amount: Amount) -> dict[str, Any]:
    return {
        "plants": _list(amount.plants),
        "row_m": _list(amount.row_m),
        "seeds": amount.seeds,
        "seed_g": amount.seed_g,
        "kg": _list(amount.kg),
    }


def _list(pair: tuple[float, float] | None) -> list[float] | None:
    return None if pair is None else [round(pair[0], 2), round(pair[1], 2)]


def _span_mass(pair: tuple[float, float], ctx: Context) -> str:
    unit = KG_PER_LB if ctx.say.us else 1.0
    low, high = (ctx.say.mass(_rough(kg / unit) * unit) for kg in pair)
    return low if low == high else f"{low} to {high}"


def _span_length(pair: tuple[float, float], ctx: Context) -> str:
    unit = M_PER_FOOT if ctx.say.us else 1.0
    low, high = ((_rough(m / unit) * unit if m / unit > 20 else m) * 100 for m in pair)
    return ctx.say.lengths((low, high), (high, high))[0]


def _rough(value: float) -> float:
    """Return a figure to two places, as far as a yield is known.

    >>> _rough(99.9), _rough(207.2), _rough(3.44)
    (100.0, 210.0, 3.4)
    """
    return float(f"{value:.2g}")


def _working(crop: Crop) -> tuple[str, ...]:
    return (f"As printed: {crop.yields.as_printed}",) if crop.yields and crop.yields.as_printed else ()
