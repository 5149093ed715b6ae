"""How many jars a weight, a bushel or a crate of fresh produce fills."""

from __future__ import annotations

from bot.facts.preserving import YieldRow
from bot.facts.preserving_recipes import Recipe
from bot.handlers.context import Context
from bot.preserving.blanching import canned_yields, quarts_filled
from bot.preserving.canning import JAR_LITRES
from bot.preserving.matching import find, words_of
from bot.preserving.measures import kg_of
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, listing, number, plural


def with_yield(reply: Reply, request: Request, ctx: Context) -> Reply:
    """Put the jars before the times where a message asks how many there will be; the reply as it is otherwise."""
    words, text = ctx.facts.preserving.words, words_of(request)
    if not request.crop or reply.data.get("verdict") == "refused":
        return reply
    one = for_a_jar(request, ctx)
    if one is not None:
        return reply.with_(headline=one.headline, lines=(*one.lines, reply.headline, *reply.lines))
    if not find(text, words.how_many_jars):
        return reply
    if find(text, words.kinds["jam"]):
        said = _jam(request, ctx)
    else:
        said = [] if any(find(text, kind) for kind in words.kinds.values()) else _yield(request, ctx)
    if not said:
        return reply
    rest = [line for line in (reply.headline, *reply.lines) if line not in said]
    sources = tuple(dict.fromkeys(s for row in canned_yields(request.crop, ctx.facts.preserving) for s in row.source))
    return reply.with_(headline=said[0], lines=(*said[1:], *rest), sources=tuple(dict.fromkeys((*sources, *reply.sources))))


def weight_fills(row: YieldRow, kg: float, name: str, ctx: Context) -> str:
    """Say how many jars a weight fills: '5 kg of plums fills about 6 quart jars or 11 pints.'"""
    return f"{ctx.say.mass(kg)} of {name} fills about {_jars(row, kg)}."


def _jars(row: YieldRow, kg: float) -> str:
    quarts = quarts_filled(row, kg)
    if quarts < 1:
        return plural(max(1, round(quarts * 2)), "pint jar")
    return f"{plural(round(quarts), 'quart jar')} or {plural(round(quarts * 2), 'pint')}"


def _yield(request: Request, ctx: Context) -> list[str]:
    """Return the answer for bottled produce, a line for each form; nothing where no amount is named."""
    rows = canned_yields(request.crops[0], ctx.facts.preserving)
    name, kg = ctx.say.crop(request.crops[0]), request.amount("kg")
    if kg is None or kg.value <= 0:
        box = next((r for r in rows if r.container and find(words_of(request), [_plain_box(r)])), None)
        if box is None or box.container is None:
            return []
        low, high = box.container.makes
        weight = ctx.say.mass(kg_of(box.container.lb))
        unit = box.container.unit
        lines = [f"A {_plain_box(box)} of {name}, about {weight}, fills {number(low, 1)} to {number(high, 1)} {unit.removesuffix('s')} jars ({box.form})."]
        others = [r for r in rows if r is not box and r.container]
        return lines + [f"{capital(r.form)}: {number(r.container.makes[0], 1)} to {number(r.container.makes[1], 1)} {r.container.unit}." for r in others[:2] if r.container]
    if not rows:
        return [f"I have no figure for how many jars {ctx.say.mass(kg.value)} of {name} fills."]
    first = weight_fills(rows[0], kg.value, name, ctx)
    if len(rows) == 1:
        return [first]
    return [f"{first.removesuffix('.')} ({rows[0].form}).", *(f"{capital(r.form)}: {_jars(r, kg.value)}." for r in rows[1:3])]


def _plain_box(row: YieldRow) -> str:
    """Return the everyday word of a container: the crate of a "24-quart crate"."""
    assert row.container is not None
    return (row.container.name or "box").split()[-1]


def _jam(request: Request, ctx: Context) -> list[str]:
    """Return how many jars of jam a weight of fruit makes, by the tested recipe of it; nothing without a weight."""
    kg = request.amount("kg")
    if kg is None or kg.value <= 0:
        return []
    crop = request.crops[0]
    for recipe in ctx.facts.preserving.recipes:
        fruit = _fruit_kg(recipe, crop)
        if recipe.kind == "jam" and recipe.makes and fruit:
            jars = sum(recipe.makes) / 2 * kg.value / fruit
            size = "" if ctx.say.us else f" ({JAR_LITRES['half-pint'] * 1000:.0f} ml)"
            return [f"{ctx.say.mass(kg.value)} of {ctx.say.crop(crop)} makes about {plural(max(1, round(jars)), 'half-pint jar')}{size} of jam."]
    return [f"I have no tested jam of {ctx.say.crop(crop)} that says how many jars it makes."]


def _fruit_kg(recipe: Recipe, crop: str) -> float | None:
    """Return the weight of a crop that one batch of a recipe takes, where it is told by weight."""
    if recipe.jar != "half-pint":
        return None
    for part in recipe.ingredients:
        if part.crop == crop and part.role == "produce":
            pounds = part.about_lb or (sum(part.amount) / 2 if part.unit == "lb" else None)
            return kg_of(pounds) if pounds else None
    return None


def for_a_jar(request: Request, ctx: Context) -> Reply | None:
    """Answer how much fresh produce one jar takes, or the jars counted; None where no jar is spoken of or no figure is known."""
    text, words = words_of(request), ctx.facts.preserving.words
    rows = canned_yields(request.crops[0], ctx.facts.preserving)
    if not find(text, words.how_much) or not rows or find(text, words.not_produce) or find(text, words.how_many_jars):
        return None
    counted = request.amount("jar", "l") if find(text, words.counted_jars) else None
    if counted is None and not find(text, words.a_jar):
        return None
    named = [r for r in rows if find(text, [w for w in r.form.split() if len(w) > 3 and w not in ("berries", "whole")])]
    rows = named or rows
    jar = "pint" if find(text, ["pints?"]) else "quart"
    name, share = ctx.say.crop(request.crops[0]), 0.5 if jar == "pint" else 1.0
    count = 1.0 if counted is None else counted.value if counted.unit == "jar" else counted.value / JAR_LITRES[jar]
    said = [f"{ctx.say.mass(kg_of(sum(r.lb_per_quart) / 2) * share * count)} ({r.form})" for r in rows if r.lb_per_quart]
    lines = [] if ctx.say.us else [f"A {jar} jar is {JAR_LITRES[jar] * 1000:.0f} ml."]
    jars = f"A {jar} jar takes" if count < 1.01 else f"{number(count, 0.5)} {jar} jars take"
    return Reply(f"{jars} about {listing(said[:3], 'or')} of {name}.", lines=tuple(lines),
                 sources=tuple(dict.fromkeys(s for r in rows for s in r.source)), data={"how_many": {"crop": request.crops[0]}})
