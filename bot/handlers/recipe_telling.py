"""Telling a tested recipe: scaled, with its time at this height and what must not change."""

from __future__ import annotations

from typing import Any

from bot.facts.preserving import CanProduct, Recipe
from bot.handlers.bottling_refusals import refused_reply
from bot.handlers.bottling_telling import time_lines
from bot.handlers.context import Context
from bot.preserving.altitude import jelly_point_c
from bot.preserving.canning import JAR_LITRES, Row, Verdict, jar_in, rows_at
from bot.preserving.matching import find, words_of
from bot.preserving.measures import LITRES, counted, liquid, prose, small_length
from bot.preserving.recipes import ROUNDING, Part, Scaled, factor_for, scale
from bot.reply import Choice, Reply, Table
from bot.request import Request
from bot.wording import number

#: A US cup of granulated sugar weighs 200 g (USDA FoodData Central; from memory).
_SUGAR_KG_PER_L = 0.2 / LITRES["cup"]
#: No kitchen batch is bigger than this many times the printed one, nor smaller than its inverse.
BIGGEST = 40.0


def recipe_figures(verdict: str, recipe: Recipe | None, row: Row | None, metres: float | None) -> dict[str, Any]:
    """Return the figures of a canning answer as data: verdict, product, method, jar, minutes, psi and metres."""
    return {
        "verdict": verdict,
        "product": (recipe.process or recipe.id) if recipe else None,
        "method": row.method if row else None,
        "pack": row.pack if row else None,
        "jar": row.jar if row else (recipe.jar if recipe else None),
        "minutes": row.minutes if row else None,
        "psi": row.psi if row else None,
        "altitude_m": metres,
    }


def _rows(product: CanProduct | None, metres: float | None, text: str, ctx: Context) -> tuple[Row, ...]:
    """Return the tested times of a recipe here, the jar asked for first."""
    if product is None or metres is None:
        return ()
    rows = tuple(r for r in rows_at(product, metres) if not (product.acid == "low" and r.method == "boiling-water"))
    jar, _, _ = jar_in(text, ctx.facts.preserving)
    packs = [p for p, words in ctx.facts.preserving.words.packs.items() if find(text, words)]
    return tuple(sorted(rows, key=lambda r: (jar is not None and r.jar != jar, bool(packs) and r.pack not in packs)))


def recipe_reply(
    recipe: Recipe,
    others: tuple[Recipe, ...],
    request: Request,
    ctx: Context,
    metres: float | None,
    fridge: bool = False,
) -> Reply:
    """Say one tested recipe, scaled, with its processing time at this height."""
    facts, say, text = ctx.facts.preserving, ctx.say, words_of(request)
    product = next((p for p in facts.canning if p.id == recipe.process), None)
    rows = _rows(product, metres, text, ctx)
    jar, litres, odd = jar_in(text, facts)
    sizes = {j for p in product.processes for j in p.jar} if product else set()
    if odd or (jar is not None and sizes and JAR_LITRES[jar] > max(JAR_LITRES[s] for s in sizes)):
        return refused_reply(
            Verdict("refused", "jar", product=product, jar=jar, detail={"litres": litres}), request, ctx, metres
        )
    kg, jars, volume = request.amount("kg"), request.amount("jar"), request.amount("l")
    jar_size = JAR_LITRES[jar] / JAR_LITRES[recipe.jar] if jar and recipe.jar else 1.0
    amount = factor_for(
        recipe,
        request.crop,
        kg.value if kg else None,
        jars.value * jar_size if jars else None,
        volume.value if volume and litres is None else None,
    )
    by_cup = kg is not None and amount is None
    factor = 1.0 if amount is None else amount
    if (kg or jars or volume) and not by_cup and not 1 / BIGGEST <= factor <= BIGGEST:
        return Reply(
            headline="That is not an amount I can make a batch of.",
            lines=("Give the weight of produce or a number of jars.",),
            waiting=request,
            wants="quantity",
            data=recipe_figures("ask", recipe, None, metres),
        )
    scaled = scale(recipe, factor)
    row = rows[0] if rows else None
    lines = _process_lines(recipe, product, rows, metres, ctx, fridge)
    if by_cup:
        lines.insert(
            0,
            "The recipe measures this crop by the cup, so I cannot scale it from a weight: cut it, measure "
            "it, and multiply.",
        )
    lines.append(
        "Must not change: the vinegar, lemon and water, and the share of vegetables. Spices are free; less "
        "salt or sugar is all right."
        if recipe.kind != "jam"
        else "Must not change: the sugar, and make no bigger batch than this at once or it may not set."
    )
    data = recipe_figures("tested", recipe, row, metres) | {
        "factor": round(factor, 4),
        "jars": [round(j, 2) for j in scaled.jars] if scaled.jars else None,
        "ingredients": [p.as_json() for p in scaled.parts],
    }
    if rows:
        data["rows"] = [r.as_json() for r in rows]
    what = f"{say.mass(kg.value)} of {say.crop(request.crop)}" if kg and not by_cup and request.crop else ""
    head = (
        f"{recipe.name[0].upper()}{recipe.name[1:]}{f' from {what}' if what else _of_its_crop(recipe, request, ctx)}: "
        f"{_makes(scaled, ctx)}, {_liquor(scaled, ctx)}."
    )
    return Reply(
        headline=head,
        lines=tuple(lines),
        table=_table(scaled, ctx),
        sources=tuple(recipe.source),
        more=(
            prose(say, recipe.steps),
            *(
                [f"The set point of jam here is {say.temp(jelly_point_c(metres or 0))}."]
                if recipe.kind == "jam"
                else []
            ),
            f"Printed batch: {_printed(recipe)}{f', page {recipe.page}' if recipe.page else ''}.",
            "Your own country's food-safety authority has the last word.",
        ),
        working=(f"Printed batch times {factor:.2f}.",),
        data=data,
        cautions=("Vinegar labelled 5 % or stronger only; home-made or weaker vinegar will not do.",)
        if any(p.of.percent for p in scaled.parts)
        else (),
        choices=_other_choices(others, row, recipe),
    )


def _of_its_crop(recipe: Recipe, request: Request, ctx: Context) -> str:
    """Name the crop asked about where the recipe is called after several."""
    name = ctx.say.crop(request.crop) if request.crop else ""
    return f" ({name})" if name and name[:4] not in recipe.name else ""


def _printed(recipe: Recipe) -> str:
    return (
        f"{number(recipe.makes[0], 1)}-{number(recipe.makes[1], 1)} {recipe.jar}s"
        if recipe.makes
        else (recipe.container or "one batch")
    )


def _makes(scaled: Scaled, ctx: Context) -> str:
    recipe = scaled.recipe
    if scaled.jars is None or recipe.jar is None:
        return "one crock" if scaled.factor == 1 else f"{number(scaled.factor, 0.1)} crocks of 1 gallon (3.8 l)"
    low, high = (max(1, round(j)) for j in scaled.jars)
    count = f"{low}" if low == high else f"{low} to {high}"
    size = "" if ctx.say.us else f" ({round(JAR_LITRES[recipe.jar] * 1000)} ml)"
    return f"{count} {recipe.jar} jar{'s' if high != 1 else ''}{size}"


def _rounding(part: Part, scaled: Scaled) -> str:
    """Return how to round: acid up, water down; water equal to the acid like it, so that halves stay halves."""
    if part.of.role == "water" and any(p.of.role == "acid" and p.litres == part.litres for p in scaled.parts):
        return "up"
    return ROUNDING.get(part.of.role, "near")


def _liquor(scaled: Scaled, ctx: Context) -> str:
    """Say the acid and water in one breath, the answer to 'how much vinegar'; of a jam the sugar and fruit."""
    if scaled.recipe.kind == "jam":
        fruit, sugar = ([p for p in scaled.parts if p.of.role == role] for role in ("produce", "sugar"))
        if len(fruit) == len(sugar) == 1:
            return f"{_amount(sugar[0], scaled, ctx)} sugar to {_amount(fruit[0], scaled, ctx)} of fruit"
    said = []
    for part in scaled.parts:
        if part.of.role in ("acid", "water") and part.litres:
            strength = " 5 %" if part.of.percent else ""
            much = liquid(ctx.say, part.litres[1 if part.of.role == "acid" else 0], _rounding(part, scaled))
            said.append(f"{much} {part.of.name}{strength}")
    return " and ".join(said[:2]) if said else "no added liquid"


def _table(scaled: Scaled, ctx: Context) -> Table:
    return Table(
        ("", ""),
        tuple(
            (_amount(part, scaled, ctx), prose(ctx.say, part.of.name) + (" 5 %" if part.of.percent else ""))
            for part in scaled.parts
        ),
    )


def _amount(part: Part, scaled: Scaled, ctx: Context) -> str:
    rounding = _rounding(part, scaled)
    if part.kg:
        low, high = ctx.say.mass(part.kg[0]), ctx.say.mass(part.kg[1])
        return low if low == high else f"{low} to {high}"
    if part.litres and part.of.role == "sugar" and not ctx.say.us and part.litres[0] >= 0.1:
        low, high = (ctx.say.mass(litres * _SUGAR_KG_PER_L) for litres in part.litres)
        return low if low == high else f"{low} to {high}"
    if part.litres:
        return liquid(ctx.say, part.litres[1] if rounding == "up" else part.litres[0], rounding)
    low_, high_ = part.count or (0.0, 0.0)
    unit = part.of.unit
    first, last = counted(low_, unit), counted(high_, unit)
    return last if first == last else f"{first.split()[0]} to {last}"


def _process_lines(
    recipe: Recipe, product: CanProduct | None, rows: tuple[Row, ...], metres: float | None, ctx: Context, fridge: bool
) -> list[str]:
    if product is None or recipe.kind == "fridge":
        return ["Keep it in the fridge: it is not processed and not for the shelf."]
    if fridge:
        return [
            f"In the fridge it needs no processing: date it, keep it at {ctx.say.temp(4)} and eat it "
            "within a month. Never on a shelf unprocessed."
        ]
    if metres is None:
        return [
            "Processing time depends on your height above the sea: tell me, for example 'at 300 m', before "
            "you fill the jars."
        ]
    if not rows:
        return ["There is no tested time at your height, so keep it in the fridge or freezer."]
    lines = time_lines(rows, ctx)
    sterile = " in jars boiled empty 10 minutes first" if rows[0].sterile else ""
    lines.append(
        f"Leave {small_length(ctx.say, rows[0].headspace_cm)} at the top{sterile}; these times are for "
        f"{ctx.say.height(metres)} above the sea."
    )
    return lines


def _other_choices(others: tuple[Recipe, ...], row: Row | None, recipe: Recipe) -> tuple[Choice, ...]:
    choices = (
        [Choice(r.name[0].upper() + r.name[1:], f"recipe for {r.name}") for r in others[:3] if r.kind != "fridge"]
        if len(others) < 8
        else []
    )
    if row is not None:
        choices.append(
            Choice(f"Start {row.minutes:g} min timer", f"start a {row.minutes:g} minute timer for {recipe.name}")
        )
    return tuple(choices)
