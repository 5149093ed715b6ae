"""Bottling (canning): a tested time for this product, jar, method and height, or a plain no with the safe routes."""

from __future__ import annotations

import math

from bot.facts.preserving import CanProduct
from bot.handlers import answers
from bot.handlers.bottling_refusals import DEFER, GUIDE, METHODS, figures, refused_reply, ruled_out, weak_vinegar
from bot.handlers.bottling_telling import jars_said, psi_said, time_lines
from bot.handlers.context import Context
from bot.handlers.crop_asking import which_crop
from bot.handlers.jar_questions import jar_question
from bot.handlers.jar_yields import weight_fills, with_yield
from bot.handlers.preserving_asks import ask_height, keyed, of_its_own, usable_height
from bot.handlers.recipe_telling import recipe_reply
from bot.preserving.altitude import boiling_point_c, jelly_point_c, to_feet
from bot.preserving.blanching import canned_yields
from bot.preserving.canning import (
    ACID_ADDED,
    JAR_LITRES,
    Row,
    Verdict,
    Wish,
    decide,
    jar_in,
    methods_in,
    named_product,
    rows_at,
)
from bot.preserving.matching import find, plain, whole_of, words_of
from bot.preserving.measures import prose, small_length
from bot.preserving.refusing import vinegar_strength
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.wording import capital, listing, small


@answers("can")
def can(request: Request, ctx: Context) -> Reply:
    """Answer a bottling question: tested with exact minutes, refused with a reason and safe routes, or one question."""
    request = of_its_own(request, ctx)
    return keyed("can", with_yield(_can(request, ctx), request, ctx))


def _can(request: Request, ctx: Context) -> Reply:
    if request.product == "juice" and "juic" not in ACID_ADDED.sub("", request.text.lower()):
        request = request.with_(product=None)  # the juice of "with lemon juice" is no product
    lacking = find(plain(request.text), ctx.facts.preserving.words.no_pressure)
    if lacking:  # "no pressure canner, just a big pan": the boiling-water bath is what is asked about
        request = request.with_(method="water-bath", text=plain(request.text).replace(lacking, "boiling water bath"), extra={**request.extra, "asked": ""})
    facts, text = ctx.facts.preserving, words_of(request)
    metres = usable_height(request, ctx)
    strength = vinegar_strength(request, whole_of(request), None, facts.words)
    if strength is not None and strength < 5:
        return weak_vinegar(strength, metres)
    meant = request.crops or request.crop_choices
    stop = ruled_out("can", request.with_(crops=meant), ctx, metres)
    if stop is not None:
        return stop
    aside = jar_question(request, ctx, metres)
    if aside is not None:
        return aside
    named = named_product(text, request.crop_choices, facts)
    if not request.crops and request.crop_choices and named is None:
        boiling = "boiling-water" in methods_in(text, facts) and not any(
            facts.words.kinds[k] and find(text, facts.words.kinds[k]) for k in ("pickle", "relish", "chutney", "jam")
        )
        if boiling and all(c in facts.words.low_acid for c in request.crop_choices):
            return refused_reply(
                Verdict("refused", "low-acid", method="boiling-water"), request.with_(crops=meant[:1]), ctx, metres
            )
        known = which_crop(request, ctx, f"Which crop do you want to {ctx.say.pick('bottle', 'can')}?", "can I bottle")
        if isinstance(known, Reply):
            low = all(c in facts.words.low_acid for c in request.crop_choices)
            told = ("Any of them is low in acid: a pressure canner only, never a boiling-water bath, however long.",) if low else ()
            return known.with_(lines=(*told, *known.lines), data=figures("ask", Verdict("ask", "crop"), metres))
        request = request.with_(crops=(known.id,))
    if request.unknown_crop and not request.crops:
        return _ask_reply(Verdict("ask", "crop"), request, ctx, metres)
    verdict = decide(Wish(request.crops, text, metres), facts)
    if verdict.verdict == "tested":
        recipe = next((r for r in facts.recipes if verdict.product and r.process == verdict.product.id), None)
        if recipe is not None and find(text, facts.words.wants_recipe):
            return recipe_reply(recipe, (), request, ctx, metres)
        return tested_reply(verdict, request, ctx, metres or 0.0)
    if verdict.verdict == "refused":
        return refused_reply(verdict, request, ctx, metres)
    return _ask_reply(verdict, request, ctx, metres)


def tested_reply(found: Verdict, request: Request, ctx: Context, metres: float) -> Reply:
    """Say the tested time of a product at a height, every row of it."""
    product, say, row = found.product, ctx.say, found.rows[0]
    assert product is not None
    pressure = f" at {psi_said(row.psi, ctx)}" if row.psi is not None else ""
    head = (
        f"{product.name.capitalize()}: {_jar_first(row, ctx)}, {row.pack} pack, {row.minutes:g} "
        f"minutes{pressure} {METHODS[row.method]} at {say.height(metres)}."
    )
    before = ctx.memory.reply.data.get("can", {}) if ctx.memory.reply is not None else {}
    if find(words_of(request), ctx.facts.preserving.words.height_matters) and isinstance(before, dict) and before.get("altitude_m") is not None:
        same = rows_at(product, float(before["altitude_m"])) == rows_at(product, metres)
        head = f"{'No, it stays the same' if same else 'Yes, it changes'}: {small(head)}"
    lines = time_lines(found.rows, ctx)
    if len(lines) == 1 and len(found.rows) == 1:
        lines = []
    litres = jar_in(words_of(request), ctx.facts.preserving)[1]
    if litres is not None and litres < JAR_LITRES[row.jar] - 1e-9:
        lines.append(f"Your jar of {say.volume(litres)} takes the time of the next larger tested jar, the {row.jar}.")
    if row.method == "boiling-water" and "steam-canner" in methods_in(words_of(request), ctx.facts.preserving):
        lines.append(
            "A steam canner will do here too: the 2015 guide advises against it, a later statement of the same "
            "centre allows it for acid food."
        )
    lines += jar_lines(product, row, request, ctx)
    return Reply(
        headline=head,
        lines=tuple(lines),
        cautions=tuple(_cautions(product, request, ctx)),
        more=tuple(canner_steps(product, row, metres, ctx)),
        working=tuple(_working(product, row, metres, ctx)),
        sources=tuple(product.source),
        choices=_choices(product, found, request, ctx),
        data=figures("tested", found, metres, row, found.rows),
    )


def _jar_first(row: Row, ctx: Context) -> str:
    return f"{row.jar} jars" if ctx.say.us else jars_said((row.jar,), ctx)


def jar_lines(product: CanProduct, row: Row, request: Request, ctx: Context) -> list[str]:
    """Say acid, headspace, sterile jars, jar sizes and how many jars a weight fills."""
    lines = []
    if product.acid == "jar" and product.acid_note:
        lines.append(prose(ctx.say, product.acid_note))
    elif product.acid == "recipe":
        lines.append(f"Only for the tested recipe. {prose(ctx.say, product.acid_note or '')}.")
    elif product.acid == "ferment":
        lines.append("Only once it is fully fermented.")
    sterile = " Boil the empty jars 10 minutes first." if row.sterile else " Clean hot jars will do."
    lines.append(f"Leave {small_length(ctx.say, row.headspace_cm)} at the top.{sterile}")
    if not ctx.say.us:
        sizes = sorted(
            {j for p in product.processes for j in p.jar} & {row.jar, "pint", "quart"}, key=JAR_LITRES.__getitem__
        )
        said = listing([f"{math.floor(JAR_LITRES[jar] * 1000)} ml is an American {jar}" for jar in sizes])
        lines.append(f"{said}: use no bigger jar for that time.")
    if product.note:
        lines.append(prose(ctx.say, product.note[0].upper() + product.note[1:]) + ".")
    filled = fills(product, request, ctx)
    if filled:
        lines.append(filled)
    return lines


def fills(product: CanProduct, request: Request, ctx: Context) -> str:
    """Say how many jars the weight asked about fills; nothing without a weight or a published figure."""
    kg = request.amount("kg")
    rows = canned_yields(request.crop, ctx.facts.preserving) if request.crop else []
    if kg is None or kg.value <= 0 or not rows or product.kind != "plain":
        return ""
    return weight_fills(rows[0], kg.value, ctx.say.crop(request.crops[0]), ctx)


def _cautions(product: CanProduct, request: Request, ctx: Context) -> list[str]:
    cautions = []
    if product.acid == "low":
        cautions.append("Low in acid: a pressure canner only, never a boiling-water bath, however long.")
    if find(words_of(request), ctx.facts.preserving.words.old_tops):
        cautions.append(
            "Clip-top jars with rubber rings and zinc caps are no longer advised for bottling: use two-piece lids."
        )
    return cautions


def canner_steps(product: CanProduct, row: Row, metres: float, ctx: Context) -> list[str]:
    """Say how the canner is run, for 'more'."""
    rule = ctx.facts.preserving.rule
    if row.method == "boiling-water":
        steps = [
            f"Water at least {small_length(ctx.say, 5 if row.minutes > 30 else 2.5)} over the jars; count "
            "from when it boils, lid on.",
            "If the boil stops, bring it back and start the whole time again.",
        ]
    else:
        steps = [
            f"Vent the canner {rule('vent-canner').value} minutes with steam flowing, then close and bring "
            "to pressure; count from there.",
            "If the pressure drops, bring it back and start the whole time again. Let the canner cool by itself.",
            "Have a dial gauge checked every year.",
        ]
    steps.append(
        "Leave the jars 12 to 24 hours, then test the seals. One that has not sealed goes in the fridge, "
        "or is processed again within a day."
    )
    steps.append(f"Keep at {ctx.say.temp(10, 21)} in the dark; best within {rule('use-within-year').value} months.")
    if product.acid in ("low", "jar"):
        extra = math.ceil(max(0.0, to_feet(metres) - 1000) / 1000 - 1e-9)
        steps.append(
            f"If you ever doubt a jar was done exactly so, do not taste it: boil the food {10 + extra} "
            "minutes in a pan first, or throw it out."
        )
    if product.kind == "jam" and product.acid == "natural":
        steps.append(
            "Without a thermometer try a spoonful on a cold plate. The set point here is "
            f"{ctx.say.temp(jelly_point_c(metres))}."
        )
    steps.append(DEFER)
    return steps


def _working(product: CanProduct, row: Row, metres: float, ctx: Context) -> list[str]:
    page = f", page {product.page}" if product.page else ""
    return [
        f"Height {metres:,.0f} m is {to_feet(metres):,.0f} ft; water boils there at {boiling_point_c(metres):.1f} °C.",
        f"Tested table: {product.name}{page}; {row.pack} pack, {row.jar}, {row.method}: {row.minutes:g} min"
        + (f" at {row.psi:g} psi." if row.psi is not None else "."),
    ]


def _choices(product: CanProduct, found: Verdict, request: Request, ctx: Context) -> tuple[Choice, ...]:
    choices = []
    if any(r.process == product.id for r in ctx.facts.preserving.recipes):
        choices.append(Choice("The recipe", f"recipe for {product.name}"))
    methods = {p.method for p in product.processes}
    if found.rows and found.rows[0].method == "boiling-water" and "pressure-dial" in methods:
        choices.append(Choice("In a pressure canner", f"how do I bottle {product.name} in a pressure canner"))
    minutes = found.rows[0].minutes
    choices.append(Choice(f"Start {minutes:g} min timer", f"start a {minutes:g} minute timer for {product.name}"))
    return tuple(choices)


def _ask_reply(found: Verdict, request: Request, ctx: Context, metres: float | None) -> Reply:
    """Ask the one thing that is missing: the height, the product, or the crop."""
    data = figures("ask", found, metres)
    if found.reason == "altitude":
        low = found.product is not None and found.product.acid == "low"
        why = (
            "Low in acid, so a pressure canner only; the pressure rises with height, so I give none until I know it."
            if low
            else ""
        )
        return ask_height(request, ctx, why).with_(
            data=data, sources=tuple(found.product.source) if found.product else ()
        )
    if found.choices:
        lines = []
        minutes: list[float] = []
        tested: set[str] = set()
        pressed = any(m.startswith("pressure") for m in methods_in(words_of(request), ctx.facts.preserving))
        if metres is not None:
            for product in found.choices[:6]:
                one = decide(Wish(request.crops, product.name, metres), ctx.facts.preserving)
                if one.verdict == "tested" and one.product is product:
                    rows = [r for r in one.rows if r.pack == one.rows[0].pack]
                    under = [r for r in rows_at(product, metres) if r.pack == rows[0].pack and r.method.startswith("pressure")]
                    told = under if pressed and under else rows
                    tested |= {r.jar for r in told}
                    lines.append(f"{capital(prose(ctx.say, product.name))}: {time_lines(told, ctx)[0]}")
                    minutes += [r.minutes for r in told if r.method == "boiling-water" and _jar_asked(r, request, ctx)]
        litres = jar_in(words_of(request), ctx.facts.preserving)[1]
        jar = next((j for j, size in JAR_LITRES.items() if j in tested and litres <= size), None) if litres is not None else None
        if litres is not None and jar is not None and litres < JAR_LITRES[jar] - 1e-9:
            lines.append(f"Your jar of {ctx.say.volume(litres)} takes the time of the next larger tested jar, the {jar}.")
        name = ctx.say.crop(request.crop) if request.crop else "it"
        span = _span_first(name, minutes, request, ctx)
        return ask(
            f"{span}{_may(found, metres, request, ctx)}Which way do you want to preserve {name}?",
            [(prose(ctx.say, p.name), f"how do I bottle {p.name}{' in a pressure canner' if pressed else ''}") for p in found.choices[:6]],
            waiting=request,
            wants="choice",
            lines=lines,
        ).with_(data=data, sources=(GUIDE,))
    if request.unknown_crop:
        stranger = ctx.facts.groups.stranger(request.unknown_crop)
        if stranger is not None:
            return Reply(f"No: {_low(stranger.says)}", sources=tuple(stranger.source), data=data)
        return ask(
            f"I don't know a crop called {request.unknown_crop}, and I give no bottling time for what I don't know.",
            waiting=request,
            wants="crop",
        ).with_(data=data)
    return ask(
        f"What do you want to {ctx.say.pick('bottle', 'can')}?",
        waiting=request,
        wants="crop",
        lines=["Name the crop, and the product if it is a sauce, pickle or jam."],
    ).with_(data=data)


def _jar_asked(row: Row, request: Request, ctx: Context) -> bool:
    """Tell whether a row is of the jar a message names; any is when it names none."""
    return jar_in(words_of(request), ctx.facts.preserving)[0] in (None, row.jar)


def _span_first(name: str, minutes: list[float], request: Request, ctx: Context) -> str:
    """Return the least and the most minutes of the products, where it is asked how long."""
    if not minutes or not find(words_of(request), ctx.facts.preserving.words.minutes_asked):
        return ""
    low, high = min(minutes), max(minutes)
    return f"{capital(name)}: {f'{low:g} to {high:g}' if low != high else f'{low:g}'} minutes in boiling water, by how they are packed. "


def _may(found: Verdict, metres: float | None, request: Request, ctx: Context) -> str:
    """Return the yes a question of several tested products begins with, and the acid all of them need."""
    if metres is None:
        return ""
    if all(p.acid == "low" for p in found.choices):
        return "In a pressure canner only. "
    if not all(p.acid == "jar" for p in found.choices):
        return ""
    return "Always with added acid. " if find(words_of(request), ctx.facts.preserving.words.minutes_asked) else "Yes, always with added acid. "


def _low(text: str) -> str:
    return small(text)
