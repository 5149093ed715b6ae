"""Pickles, relishes, jam and ferments: tested recipes scaled to the produce or the jars, and salt by weight."""

from __future__ import annotations

from typing import Any

from bot.facts.preserving import CanProduct, Ferment, Recipe
from bot.handlers import answers
from bot.handlers.bottling import refused_reply, time_lines, usable_height, weak_vinegar
from bot.handlers.context import Context
from bot.handlers.crop_asking import which_crop
from bot.handlers.preserving_asks import keyed
from bot.preserving.altitude import jelly_point_c
from bot.preserving.canning import JAR_LITRES, Row, Verdict, jar_in, rows_at
from bot.preserving.matching import find, words_of
from bot.preserving.measures import counted, liquid, prose, small_length
from bot.preserving.recipes import Part, Scaled, factor_for, pick, scale
from bot.preserving.refusing import refused, vinegar_strength
from bot.reply import Choice, Reply, Table
from bot.request import Request
from bot.wording import number

#: No kitchen batch is bigger than this many times the printed one, nor smaller than its inverse.
BIGGEST = 40.0
_ROUNDING = {"acid": "up", "ferment-salt": "up", "water": "down", "low-acid": "down", "oil": "down"}
_FRIDGE = ["fridge", "refrigerat(?:or|ed)", "quick pickle", "to eat (?:soon|now|this week)"]


@answers("pickle")
def pickle(request: Request, ctx: Context) -> Reply:
    """Give a tested pickle, relish, salsa or jam recipe scaled to the amount, its time here, and what must not change."""
    return keyed("pickle", _pickle(request, ctx))


def _pickle(request: Request, ctx: Context) -> Reply:
    facts, text = ctx.facts.preserving, words_of(request)
    metres = usable_height(request, ctx)
    stop = refused(text, request.crops or request.crop_choices, facts, "pickle")
    if stop is not None:
        return refused_reply(Verdict("refused", stop.id, refusal=stop), request, ctx, metres)
    strength = vinegar_strength(request, text, ctx.plot.settings.vinegar_percent)
    fridge = find(text, _FRIDGE) is not None
    if strength is not None and strength < 5 and not fridge:
        return weak_vinegar(strength, metres)
    if request.crop is None and request.crop_choices:
        known = which_crop(request, ctx, "What do you want to pickle?", "pickle")
        if isinstance(known, Reply):
            return known.with_(data=_data("ask", None, None, metres))
        request = request.with_(crops=(known.id,))
    recipe, others = pick(request.crop, text, facts)
    if recipe is None and request.crop is None:
        known = which_crop(request, ctx, "What do you want to pickle?", "pickle")
        assert isinstance(known, Reply)
        return known.with_(data=_data("ask", None, None, metres))
    wanted = [k for k in ("chutney", "salsa", "jam", "relish", "pie") if find(text, facts.words.kinds[k])]
    if recipe is not None and wanted and recipe.kind not in wanted and recipe.kind != "fridge":
        match = [r for r in others if r.kind in wanted]
        recipe, others = (match[0], tuple(r for r in others if r is not match[0])) if match else (None, ())
    if recipe is None:
        return _no_recipe(request, ctx, metres, fridge)
    if recipe.kind == "ferment":
        return _ferment(request, ctx)
    return recipe_reply(recipe, others, request, ctx, metres, fridge)


def _data(verdict: str, recipe: Recipe | None, row: Row | None, metres: float | None) -> dict[str, Any]:
    return {"verdict": verdict, "product": (recipe.process or recipe.id) if recipe else None, "method": row.method if row else None,
            "pack": row.pack if row else None, "jar": row.jar if row else (recipe.jar if recipe else None),
            "minutes": row.minutes if row else None, "psi": row.psi if row else None, "altitude_m": metres}


def _no_recipe(request: Request, ctx: Context, metres: float | None, fridge: bool) -> Reply:
    name = ctx.say.crop(request.crops[0])
    data = _data("refused", None, None, metres) | {"reason": "untested"}
    lines = ["The amount of acid and the time have to be tested together; without that a sealed jar can grow botulism.",
             f"Safe instead: a fridge pickle of {name} with vinegar of 5 % or more, dated, kept at {ctx.say.temp(4)} and eaten within a month; or freeze, dry or store them."]
    head = f"No tested pickle recipe for {name}, so none for the shelf."
    if fridge:
        head = f"A fridge pickle of {name} is fine, but it must stay in the fridge."
        lines[0] = "No sealed jars on a shelf: there is no tested recipe for them."
    return Reply(headline=head, lines=tuple(lines), sources=("usda-cghc-2015",), data=data,
                 choices=(Choice("Freeze them", f"how do I freeze {name}"), Choice("Store them", f"how do I store {name}")))


def _rows(product: CanProduct | None, metres: float | None, text: str, ctx: Context) -> tuple[Row, ...]:
    """Return the tested times of a recipe here, the jar asked for first."""
    if product is None or metres is None:
        return ()
    rows = tuple(r for r in rows_at(product, metres) if not (product.acid == "low" and r.method == "boiling-water"))
    jar, _, _ = jar_in(text, ctx.facts.preserving)
    packs = [p for p, words in ctx.facts.preserving.words.packs.items() if find(text, words)]
    return tuple(sorted(rows, key=lambda r: (jar is not None and r.jar != jar, bool(packs) and r.pack not in packs)))


def recipe_reply(recipe: Recipe, others: tuple[Recipe, ...], request: Request, ctx: Context, metres: float | None,
                 fridge: bool = False) -> Reply:
    """Say one tested recipe, scaled, with its processing time at this height."""
    facts, say, text = ctx.facts.preserving, ctx.say, words_of(request)
    product = next((p for p in facts.canning if p.id == recipe.process), None)
    rows = _rows(product, metres, text, ctx)
    jar, litres, odd = jar_in(text, facts)
    sizes = {j for p in product.processes for j in p.jar} if product else set()
    if odd or (jar is not None and sizes and JAR_LITRES[jar] > max(JAR_LITRES[s] for s in sizes)):
        return refused_reply(Verdict("refused", "jar", product=product, jar=jar, detail={"litres": litres}), request, ctx, metres)
    kg, jars, volume = request.amount("kg"), request.amount("jar"), request.amount("l")
    jar_size = JAR_LITRES[jar] / JAR_LITRES[recipe.jar] if jar and recipe.jar else 1.0
    amount = factor_for(recipe, request.crop, kg.value if kg else None, jars.value * jar_size if jars else None,
                        volume.value if volume and litres is None else None)
    by_cup = kg is not None and amount is None
    factor = amount or 1.0
    if (kg or jars or volume) and not by_cup and not 1 / BIGGEST <= factor <= BIGGEST:
        return Reply(headline="That is not an amount I can make a batch of.", lines=("Give the weight of produce or a number of jars.",),
                     waiting=request, wants="quantity", data=_data("ask", recipe, None, metres))
    scaled = scale(recipe, factor)
    row = rows[0] if rows else None
    lines = _process_lines(recipe, product, rows, metres, ctx, fridge)
    if by_cup:
        lines.insert(0, "The recipe measures this crop by the cup, so I cannot scale it from a weight: cut it, measure it, and multiply.")
    lines.append("Must not change: the vinegar, lemon and water, and the share of vegetables. Spices are free; less salt or sugar is all right."
                 if recipe.kind != "jam" else "Must not change: the sugar, and make no bigger batch than this at once or it may not set.")
    data = _data("tested", recipe, row, metres) | {
        "factor": round(factor, 4), "jars": [round(j, 2) for j in scaled.jars] if scaled.jars else None,
        "ingredients": [p.as_json() for p in scaled.parts]}
    if rows:
        data["rows"] = [r.as_json() for r in rows]
    what = f"{say.mass(kg.value)} of {say.crop(request.crop)}" if kg and not by_cup and request.crop else ""
    head = f"{recipe.name[0].upper()}{recipe.name[1:]}{f' from {what}' if what else ''}: {_makes(scaled, ctx)}, {_liquor(scaled, ctx)}."
    return Reply(
        headline=head, lines=tuple(lines), table=_table(scaled, ctx), sources=tuple(recipe.source),
        more=(prose(say, recipe.steps), *([f"The set point of jam here is {say.temp(jelly_point_c(metres or 0))}."] if recipe.kind == "jam" else []),
              f"Printed batch: {_printed(recipe)}{f', page {recipe.page}' if recipe.page else ''}.",
              "Your own country's food-safety authority has the last word."),
        working=(f"Printed batch times {factor:.2f}.",), data=data,
        cautions=("Vinegar labelled 5 % or stronger only; home-made or weaker vinegar will not do.",) if any(p.of.percent for p in scaled.parts) else (),
        choices=_other_choices(others, row, recipe))


def _printed(recipe: Recipe) -> str:
    return f"{number(recipe.makes[0], 1)}-{number(recipe.makes[1], 1)} {recipe.jar}s" if recipe.makes else (recipe.container or "one batch")


def _makes(scaled: Scaled, ctx: Context) -> str:
    recipe = scaled.recipe
    if scaled.jars is None or recipe.jar is None:
        return "one crock" if scaled.factor == 1 else f"{number(scaled.factor, 0.1)} crocks of 1 gallon (3.8 l)"
    low, high = (max(1, round(j)) for j in scaled.jars)
    count = f"{low}" if low == high else f"{low} to {high}"
    size = "" if ctx.say.us else f" ({round(JAR_LITRES[recipe.jar] * 1000)} ml)"
    return f"{count} {recipe.jar} jar{'s' if high != 1 else ''}{size}"


def _rounding(part: Part, scaled: Scaled) -> str:
    """Return how to round: acid up, water down; water equal to the acid is rounded like it, so that halves stay halves."""
    if part.of.role == "water" and any(p.of.role == "acid" and p.litres == part.litres for p in scaled.parts):
        return "up"
    return _ROUNDING.get(part.of.role, "near")


def _liquor(scaled: Scaled, ctx: Context) -> str:
    """Say the acid and water in one breath: the answer to 'how much vinegar'."""
    said = []
    for part in scaled.parts:
        if part.of.role in ("acid", "water") and part.litres:
            strength = " 5 %" if part.of.percent else ""
            said.append(f"{liquid(ctx.say, part.litres[1 if part.of.role == 'acid' else 0], _rounding(part, scaled))} {part.of.name}{strength}")
    return " and ".join(said[:2]) if said else "no added liquid"


def _table(scaled: Scaled, ctx: Context) -> Table:
    return Table(("", ""), tuple((_amount(part, scaled, ctx), prose(ctx.say, part.of.name) + (" 5 %" if part.of.percent else ""))
                                 for part in scaled.parts))


def _amount(part: Part, scaled: Scaled, ctx: Context) -> str:
    rounding = _rounding(part, scaled)
    if part.kg:
        low, high = ctx.say.mass(part.kg[0]), ctx.say.mass(part.kg[1])
        return low if low == high else f"{low} to {high}"
    if part.litres:
        return liquid(ctx.say, part.litres[1] if rounding == "up" else part.litres[0], rounding)
    low_, high_ = part.count or (0.0, 0.0)
    unit = part.of.unit
    first, last = counted(low_, unit), counted(high_, unit)
    return last if first == last else f"{first.split()[0]} to {last}"


def _process_lines(recipe: Recipe, product: CanProduct | None, rows: tuple[Row, ...], metres: float | None, ctx: Context,
                   fridge: bool) -> list[str]:
    if product is None or recipe.kind == "fridge":
        return ["Keep it in the fridge: it is not processed and not for the shelf."]
    if fridge:
        return [f"In the fridge it needs no processing: date it, keep it at {ctx.say.temp(4)} and eat it within a month. Never on a shelf unprocessed."]
    if metres is None:
        return ["Processing time depends on your height above the sea: tell me, for example 'at 300 m', before you fill the jars."]
    if not rows:
        return ["There is no tested time at your height, so keep it in the fridge or freezer."]
    lines = time_lines(rows, ctx)
    sterile = " in jars boiled empty 10 minutes first" if rows[0].sterile else ""
    lines.append(f"Leave {small_length(ctx.say, rows[0].headspace_cm)} at the top{sterile}; these times are for {ctx.say.height(metres)}.")
    return lines


def _other_choices(others: tuple[Recipe, ...], row: Row | None, recipe: Recipe) -> tuple[Choice, ...]:
    choices = [Choice(r.name[0].upper() + r.name[1:], f"recipe for {r.name}") for r in others[:3] if r.kind != "fridge"] if len(others) < 8 else []
    if row is not None:
        choices.append(Choice(f"Start {row.minutes:g} min timer", f"start a {row.minutes:g} minute timer for {recipe.name}"))
    return tuple(choices)


@answers("ferment")
def ferment(request: Request, ctx: Context) -> Reply:
    """Give salt by weight (or the tested brine), temperature and days for a ferment, and what spoils it."""
    return keyed("ferment", _ferment(request, ctx))


def _ferment(request: Request, ctx: Context) -> Reply:
    facts, text = ctx.facts.preserving, words_of(request)
    metres = usable_height(request, ctx)
    stop = refused(text, request.crops or request.crop_choices, facts, "pickle")
    if stop is not None:
        return refused_reply(Verdict("refused", stop.id, refusal=stop), request, ctx, metres)
    crop = request.crop
    if crop is None and (find(text, ["(?:sauer)?kraut"]) or any(c.startswith("cabbage") for c in request.crop_choices)):
        crop = facts.ferments[0].crop
    if crop is None:
        known = which_crop(request, ctx, "What do you want to ferment?", "ferment")
        if isinstance(known, Reply):
            return known
        crop = known.id
    row = next((f for c in (crop, facts.words.stand_ins.get(crop)) for f in facts.ferments if f.crop == c), None)
    if row is None and crop.startswith("cabbage"):
        row = next(f for f in facts.ferments if f.crop.startswith("cabbage"))
    if row is None:
        name = ctx.say.crop(crop)
        return Reply(headline=f"I have no tested salt figure for fermenting {name}.",
                     lines=("Tested ferments I hold are sauerkraut and dill cucumbers.",
                            "Less salt than a tested recipe lets the wrong bacteria grow, so I will not guess one."),
                     data={"crop": crop, "verdict": "refused"},
                     choices=(Choice("Sauerkraut", "ferment cabbage"), Choice("Pickle instead", f"pickle {name}")))
    return _ferment_reply(row, crop, request, ctx, metres)


def _ferment_reply(row: Ferment, crop: str, request: Request, ctx: Context, metres: float | None) -> Reply:
    say, facts = ctx.say, ctx.facts.preserving
    kg = request.amount("kg")
    if kg is not None and not 0 < kg.value <= 500:
        return Reply(headline="That is not an amount I can salt.", waiting=request, wants="quantity", data={"crop": crop})
    data: dict[str, Any] = {"crop": crop, "temp_c": list(row.temp_c), "days": list(row.days), "salt_percent": list(row.salt_percent) if row.salt_percent else None}
    lines: list[str] = []
    recipe = next((r for r in facts.recipes if r.id == row.recipe), None)
    if row.salt_percent:
        low, high = row.salt_percent
        head = f"{row.name.capitalize()}: {number(low, 0.05)}-{number(high, 0.05)} % salt by weight of cabbage"
        if kg:
            grams = [kg.value * p * 10 for p in row.salt_percent]
            data["salt_g"] = [round(g, 1) for g in grams]
            head += f", so {say.mass(grams[0] / 1000)} to {say.mass(grams[1] / 1000)} for {say.mass(kg.value)}"
        head += "."
        if row.note:
            lines.append(row.note if not kg else "Weigh the cabbage after trimming; plain pickling salt, no additives.")
    else:
        assert recipe is not None
        factor = factor_for(recipe, crop, kg.value if kg else None, None) or 1.0
        scaled = scale(recipe, factor)
        wet = [p for p in scaled.parts if p.of.role in ("ferment-salt", "acid", "water") and p.litres]
        brine = ", ".join(f"{liquid(say, p.litres[0] if p.litres else 0, _ROUNDING[p.of.role])} {p.of.name}{' 5 %' if p.of.percent else ''}" for p in wet)
        data["ingredients"] = [p.as_json() for p in scaled.parts]
        chief = scaled.parts[0].kg
        head = f"{row.name.capitalize()}: {brine} for {say.mass(chief[0]) if chief else 'a batch'} of {say.crop(crop)}."
    lines.append(f"At {say.temp(*row.temp_c)} it takes {_weeks(row.days)}"
                 + (f"; at {say.temp(*row.cool_c)}, {_weeks(row.cool_days)}" if row.cool_c and row.cool_days else "")
                 + (f". Keep it under {say.temp(row.top_c)}." if row.top_c else "."))
    lines.append(f"Keep everything {small_length(say, 2.5, 5)} under the brine; take scum off daily.")
    lines.append(row.after)
    if recipe is not None:
        product = next((p for p in facts.canning if p.id == recipe.process), None)
        if product is not None and metres is not None:
            lines += [f"In jars, once done: {line[0].lower()}{line[1:]}" for line in time_lines(rows_at(product, metres), ctx)]
    return Reply(headline=head, lines=tuple(lines), sources=tuple(row.source), data=data,
                 cautions=("Soft, slimy, mouldy or bad-smelling: into the bin, untasted.", "Never less salt, and no low-sodium salt: it decides which bacteria grow."))


def _weeks(days: tuple[float, float]) -> str:
    return f"{number(days[0] / 7, 1)}-{number(days[1] / 7, 1)} weeks"
