"""Salt ferments: salt by weight or the tested brine, temperature, days, and what spoils them."""

from __future__ import annotations

from typing import Any

from bot.facts.preserving import Ferment
from bot.handlers import answers
from bot.handlers.bottling_refusals import ruled_out
from bot.handlers.bottling_telling import time_lines
from bot.handlers.context import Context
from bot.handlers.crop_asking import which_crop
from bot.handlers.jar_keeping import asks_of_keeping, kept_jars
from bot.handlers.preserving_asks import keyed, usable_height
from bot.handlers.weeds import advised
from bot.preserving.canning import rows_at
from bot.preserving.matching import find, words_of
from bot.preserving.measures import liquid, prose, small_length
from bot.preserving.recipes import ROUNDING, factor_for, scale
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import number


@answers("ferment")
def ferment(request: Request, ctx: Context) -> Reply:
    """Give salt by weight (or the tested brine), temperature and days for a ferment, and what spoils it."""
    return keyed("ferment", fermented(request, ctx))


def fermented(request: Request, ctx: Context) -> Reply:
    """Answer how to ferment a crop by a tested recipe, or refuse what none covers."""
    facts, text = ctx.facts.preserving, words_of(request)
    metres = usable_height(request, ctx)
    stop = ruled_out("pickle", request, ctx, metres)
    if stop is not None:
        return stop
    if request.product and asks_of_keeping(request, ctx) and (kept := kept_jars(request.product, request.crop, None, request, ctx)) is not None:
        return kept
    wrong = advised(text, facts.ferment_troubles)
    if wrong is not None and find(text, facts.words.standing):
        return Reply(prose(ctx.say, wrong.say), lines=tuple(prose(ctx.say, line) for line in wrong.lines), sources=tuple(wrong.source),
                     data={"trouble": wrong.id, "verdict": "ask"})
    if not request.crops and find(text, facts.words.less_salt):
        return Reply("No: a ferment may not have less salt than its tested recipe.",
                     lines=("The salt decides which bacteria grow; with less of it the wrong ones win.",
                            "Too salty to eat? Rinse it as you serve it."),
                     data={"verdict": "refused"})
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
        return Reply(
            headline=f"I have no tested salt figure for fermenting {name}.",
            lines=(
                "Tested ferments I hold are sauerkraut and dill cucumbers.",
                "Less salt than a tested recipe lets the wrong bacteria grow, so I will not guess one.",
            ),
            data={"crop": crop, "verdict": "refused"},
            choices=(Choice("Sauerkraut", "ferment cabbage"), Choice("Pickle instead", f"pickle {name}")),
        )
    return _ferment_reply(row, crop, request, ctx, metres)


def _ferment_reply(row: Ferment, crop: str, request: Request, ctx: Context, metres: float | None) -> Reply:
    say, facts = ctx.say, ctx.facts.preserving
    kg = request.amount("kg")
    if kg is not None and not 0 < kg.value <= 500:
        return Reply(
            headline="That is not an amount I can salt.", waiting=request, wants="quantity", data={"crop": crop}
        )
    data: dict[str, Any] = {
        "crop": crop,
        "temp_c": list(row.temp_c),
        "days": list(row.days),
        "salt_percent": list(row.salt_percent) if row.salt_percent else None,
    }
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
        brine = ", ".join(
            f"{liquid(say, p.litres[0] if p.litres else 0, ROUNDING[p.of.role])} "
            f"{p.of.name}{' 5 %' if p.of.percent else ''}"
            for p in wet
        )
        data["ingredients"] = [p.as_json() for p in scaled.parts]
        chief = scaled.parts[0].kg
        head = f"{row.name.capitalize()}: {brine} for {say.mass(chief[0]) if chief else 'a batch'} of {say.crop(crop)}."
    lines.append(
        f"At {say.temp(*row.temp_c)} it takes {_weeks(row.days)}"
        + (f"; at {say.temp(*row.cool_c)}, {_weeks(row.cool_days)}" if row.cool_c and row.cool_days else "")
        + (f". Keep it under {say.temp(row.top_c)}." if row.top_c else ".")
    )
    lines.append(f"Keep everything {small_length(say, 2.5, 5)} under the brine; take scum off daily.")
    lines.append(row.after)
    if recipe is not None:
        product = next((p for p in facts.canning if p.id == recipe.process), None)
        if product is not None and metres is not None:
            lines += [
                f"In jars, once done: {line[0].lower()}{line[1:]}" for line in time_lines(rows_at(product, metres), ctx)
            ]
    return Reply(
        headline=head,
        lines=tuple(lines),
        sources=tuple(row.source),
        data=data,
        cautions=(
            "Soft, slimy, mouldy or bad-smelling: into the bin, untasted.",
            "Never less salt, and no low-sodium salt: it decides which bacteria grow.",
        ),
    )


def _weeks(days: tuple[float, float]) -> str:
    return f"{number(days[0] / 7, 1)}-{number(days[1] / 7, 1)} weeks"
