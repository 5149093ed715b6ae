"""Which bed of the plot is thirstiest, and how much each wants."""

from __future__ import annotations

from bot.handlers.context import Context
from bot.handlers.water_reckoning import days_meant, rows_of
from bot.handlers.water_words import (
    basis,
    cans_of,
    how_often,
    known_days,
    per_m2,
    when_said,
    working_of,
)
from bot.reply import Reply
from bot.request import Request
from bot.wording import listing, number, plural, small


def plot_reply(request: Request, ctx: Context) -> Reply:
    """Answer what the whole plot wants in the days asked for, the thirstiest beds first."""
    start, days, chosen = days_meant(request, ctx)
    asks = ctx.facts.asking.ground
    beds = [(bed, rows_of(bed, chosen, start, request, ctx)) for bed in ctx.plot.beds.values()]
    totals = sorted(((sum(r.litres for r in rows), bed, rows) for bed, rows in beds if rows), key=lambda t: -t[0])
    topic = next(t for t in ctx.facts.tending.water.topics if t.id == "butt")
    et0 = sum(d.et0_mm for d in chosen) / days
    rain = sum(d.rain_mm for d in chosen)
    data = {
        "et0_mm": round(et0, 2),
        "kc": None,
        "litres_per_m2": None,
        "days": days,
        "rain_mm": round(rain, 1),
        "beds": [{"bed": bed.id, "litres": round(litres)} for litres, bed, _ in totals],
    }
    if not totals:
        need = max(0.0, et0 * days - rain * ctx.facts.tending.water.number("rain.effective"))
        return Reply(
            f"A bed in full leaf would want about {per_m2(need, ctx)} {when_said(request, days, ctx)}."
            if need >= 1
            else "No need to water now: the usual rain is more than plants use.",
            lines=(
                "Nothing is written down as growing here; tell me what you plant and I'll say bed by bed.",
                basis(chosen, ctx),
            ),
            working=(
                f"Grass would use {number(et0, 0.1)} mm a day, {number(et0 * days, 1)} mm in "
                f"{plural(days, 'day')}; rain {number(rain, 1)} mm.",
            ),
            sources=("fao56-tables", "ncl-fao56-hargreaves"),
            data={"water": {**data, "kc": 1.0, "litres_per_m2": round(need, 1)}},
        )
    wanting = [
        (litres, bed, rows) for litres, bed, rows in totals if litres >= 1 and any(r.budget.need >= 1 for r in rows)
    ]
    if not wanting:
        head = (
            f"No need to water {when_said(request, days, ctx)}: "
            f"{'the rain due' if known_days(chosen) else 'the usual rain'} covers it."
        )
    else:
        head = (
            f"{'Yes: ' if asks.water_now.search(request.text) else ''}{wanting[0][1].name} first: about "
            f"{ctx.say.volume(wanting[0][0])} "
            f"{when_said(request, days, ctx)}{cans_of(wanting[0][0], ctx)}."
        )
    often = asks.often.search(request.text) if wanting else None
    soaked = max((r for _, _, rows in wanting for r in rows), key=lambda r: r.budget.need, default=None)
    lines = [
        f"{bed.name}: {ctx.say.volume(litres)}{cans_of(litres, ctx)}, for "
        f"{listing(list(dict.fromkeys(ctx.say.crop(r.crops[0]) for r in sorted(rows, key=lambda r: -r.litres)))[:3])}."
        for litres, bed, rows in wanting[1:5]
    ]
    if often and soaked is not None:
        lines.insert(0, head.removeprefix("Yes: "))
        head = how_often(soaked.budget, ctx)
        if asks.daily.search(request.text) and "every day" not in head:
            head = f"No, not every day: {small(head)}"
    young = list(dict.fromkeys(ctx.say.crop(r.crops[0]) for _, _, rows in totals for r in rows if r.budget.young))
    if young:
        lines.append(f"A little every day or two to what is newly planted: {listing(young)}.")
    if wanting:
        lines.append(
            "Push a finger in first: damp at 5 cm can wait."
            if not ctx.say.us
            else "Push a finger in first: damp at 2 in can wait."
        )
        lines += [topic.say[0].split("? ", 1)[-1]] if asks.short_of_water.search(request.text) else []
    lines.append(basis(chosen, ctx))
    top = max((r for _, _, rows in totals for r in rows), key=lambda r: r.budget.need)
    crop = ctx.facts.crops.get(top.crops[0])
    return Reply(
        head,
        lines=tuple(lines),
        working=working_of(top, chosen, crop, ctx),
        sources=("fao56-tables", "ncl-fao56-hargreaves"),
        data={"water": {**data, "kc": round(top.budget.kc, 2), "litres_per_m2": round(top.budget.need, 1)}},
    )
