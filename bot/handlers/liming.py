"""Lime: how much for this bed by its pH and soil, when, and for what never."""

from __future__ import annotations

import re

from bot.facts.crop import Crop
from bot.facts.tending_ground import LimeSoil, PhTarget
from bot.handlers.context import Context
from bot.handlers.ground_words import Ground, chain, ground_of, hazards, rate, units
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.tending.soil import LimeNeed, dressings, lime_need, lime_soil, ph_target
from bot.wording import capital, number, small

_PH = re.compile(r"\bph\b[^0-9]{0,14}(\d{1,2}(?:\.\d+)?)", re.I)
_TARGET = re.compile(r"\bto\s+(?:ph\s*)?([4-8](?:\.\d+)?)\b", re.I)
LOWEST_PH, HIGHEST_PH = 3.0, 9.5


def ph_of(request: Request, ctx: Context) -> float | None:
    """Return the pH named: after "ph", or a lone figure between 3 and 9.5 in a message about the soil."""
    text = request.text.lower()
    direct = _PH.search(text) or re.search(r"(\d(?:\.\d+)?)\s*ph\b", text)
    found = direct or ctx.facts.asking.ground.ph_read.search(text)
    value = float(found[1]) if found else None
    return value if value is not None and LOWEST_PH <= value <= HIGHEST_PH else None


def lime_reply(request: Request, ctx: Context) -> Reply:
    """Answer whether and how much to lime, for a crop or the plot, from the pH told."""
    lime = ctx.facts.tending.lime
    crop = None
    if request.crops or request.crop_choices:
        known = ctx.facts.crops.get(request.crop or (request.crop_choices[0] if request.crop_choices else ""))
        crop = known
    seen = [str(e.data.get("pest")) for e in ctx.plot.events("pest_seen") if e.data.get("pest")]
    if ctx.facts.asking.ground.clubroot.search(request.text):
        seen.append("clubroot")
    target = (
        ph_target(crop, seen, lime)
        if crop or "clubroot" not in seen
        else next(row for row in lime.targets if "clubroot" in row.pests)
    )
    if target.never:
        return Reply(
            f"{'Not lime' if crop is None else capital(ctx.say.crop(crop.id))}: "
            f"{small(target.say)}",
            sources=tuple(target.source),
            data={"lime_feed": {"crop": crop.id if crop else None, "lime": False}},
        )
    told = _PH.search(request.text)
    if told and not LOWEST_PH <= float(told[1]) <= HIGHEST_PH:
        return Reply(
            f"A soil pH of {told[1]} can't be right.",
            lines=("Garden soils lie between about 4 and 8.5. Send the figure again.",),
        )
    ph = ph_of(request, ctx) or ctx.plot.settings.soil_ph
    if ph is None:
        return _untested(request, ctx, target, crop)
    if ph >= (lime.rule("lime-none").value or (7.0, 7.0))[0] and "clubroot" not in target.pests:
        return Reply(
            f"No lime at pH {ph:g}.",
            lines=("At 7 or above liming does harm: it locks up iron, manganese and boron.",),
            sources=tuple(lime.rule("lime-none").source),
            data={"lime_feed": {"ph": ph, "g_per_m2": [0, 0]}},
        )
    soil = lime_soil(request.text, lime) or lime_soil(ctx.plot.settings.soil, lime)
    if soil is None:
        return _which_soil(request, ctx, ph, target)
    return _dose(request, ctx, ph, soil, target)


def _dose(request: Request, ctx: Context, ph: float, soil: LimeSoil, target: PhTarget) -> Reply:
    lime = ctx.facts.tending.lime
    ground = ground_of(request, ctx)
    aim = _target_of(request) or (target.ph[0] if target.crops or target.groups else None)
    if aim is not None and soil.id == "peaty":
        aim = min(aim, soil.target_ph)
    need = lime_need(ph, soil, lime, aim)
    if need.first < 15:
        return Reply(
            f"No lime needed: pH {ph:g} is near enough to {need.target:g}.",
            sources=tuple(soil.source),
            working=need.working,
            data={"lime_feed": {"ph": ph, "target_ph": need.target, "g_per_m2": [round(need.first), round(need.farm)]}},
        )
    first, most = sorted((need.first, need.farm))
    kg = [first * ground.area_m2 / 1000, most * ground.area_m2 / 1000]
    where = ground.name if ground.whole else f"each {ctx.say.pick('square metre', '10 sq ft or so')}"
    same = abs(most - first) < 20
    head = f"About {ctx.say.mass(kg[0])} of ground limestone for {where}, to go from pH {ph:g} to {need.target:g}."
    lines = (
        [f"That is {rate(first, ctx)}, by the garden table." if not same else f"That is {rate(first, ctx)}."]
        if ground.whole
        else [f"That is {rate(first, ctx)}."]
    )
    if not same:
        lines.append(
            f"British farm advice would give up to {rate(most, ctx)} ({ctx.say.mass(kg[1])}). Begin with the lower: "
            "lime cannot be taken back, and you can add more after a test."
        )
    parts = dressings(first, lime)
    if parts > 1:
        lines.append(f"Split it: {'half' if parts == 2 else 'a third'} now and the rest at six-month gaps.")
    lines += [
        f"{capital(lime.rule('lime-time').say)}",
        "Not with manure: some weeks apart.",
        "Test again after three months, not sooner.",
    ]
    if target.crops or target.groups or target.pests:
        lines.insert(1, target.say)
    working = [
        *need.working,
        f"{number(first, 1)} g/m² x {number(ground.area_m2, 0.1)} m² = {number(kg[0], 0.01)} kg.",
        lime.rule("lime-hydrated").say,
        lime.rule("lime-cce").say,
    ]
    return Reply(
        head,
        lines=tuple(units(line, ctx) for line in lines[:8]),
        working=tuple(working),
        cautions=hazards(("lime-dust",), ctx),
        sources=chain(
            ["us-lime-table", "farm-lime-table", "memory:rb209-lime-factors"],
            lime.rule("lime-time").source,
            target.source,
        ),
        data={
            "lime_feed": {
                "ph": ph,
                "target_ph": need.target,
                "soil": soil.id,
                "g_per_m2": [round(first), round(most)],
                "kg": [round(k, 2) for k in kg],
                "area_m2": ground.area_m2,
                "dressings": parts,
            }
        },
    )


def _target_of(request: Request) -> float | None:
    match = _TARGET.search(request.text)
    return float(match[1]) if match else None


def _which_soil(request: Request, ctx: Context, ph: float, target: PhTarget) -> Reply:
    """Ask for the soil, with the span of answers so that the question is worth answering."""
    lime = ctx.facts.tending.lime
    ground = ground_of(request, ctx)
    bed = f" on {ground.bed.name}" if ground.bed else ""
    aim = target.ph[0] if target.crops or target.groups else None
    spans = [(s, lime_need(ph, s, lime, aim)) for s in lime.soils if s.id in ("sands", "sandy", "clay")]
    names = {"sands": "sandy", "sandy": "loam", "clay": "clay"}
    offers = [(capital(names[s.id]), f"pH is {ph:g}, {names[s.id]} soil, how much lime{bed}") for s, _ in spans]
    lines = [f"{capital(names[s.id])}: about {rate(need.first, ctx)}{_for_bed(need, ground, ctx)}."
             for s, need in spans]
    lines.append("Rub it wet between your fingers: gritty is sandy, sticky and shiny is clay, neither is loam.")
    reply = ask(
        f"For pH {ph:g}, is the soil sandy, loam or clay?", offers, waiting=request, wants="choice", lines=lines
    )
    return reply.with_(
        working=tuple(w for _, need in spans for w in need.working),
        sources=("us-lime-table", "farm-lime-table"),
        data={"lime_feed": {"ph": ph, "by_soil": {s.id: round(need.first) for s, need in spans}}},
    )


def _for_bed(need: LimeNeed, ground: Ground, ctx: Context) -> str:
    """Say the dressing for the bed meant, in brackets, or nothing."""
    return f" ({ctx.say.mass(need.first * ground.area_m2 / 1000)} for {ground.name})" if ground.whole else ""


def _untested(request: Request, ctx: Context, target: PhTarget, crop: Crop | None) -> Reply:
    lime = ctx.facts.tending.lime
    name = ctx.say.crop(crop.id) if crop else None
    head = f"Test first: {'what ' + name + ' need' if name else 'how much lime a bed needs'} hangs on its pH and soil."
    limed = [
        e
        for e in ctx.plot.events("fed")
        if e.data.get("material") == "lime" and (not request.bed or e.bed == request.bed)
    ]
    lines = [
        target.say,
        lime.rule("lime-over").say,
        'Tell me the pH and the soil (sandy, loam or clay) and I\'ll work it out for the bed: "pH is 5.8, loam".',
        lime.rule("lime-time").say,
        lime.rule("lime-not-with-manure").say,
    ]
    if limed:
        last = max(limed, key=lambda e: e.day)
        lines.insert(0, f"Lime last went on {ctx.say.day(last.day, ctx.today)}: wait three months before testing.")
    return Reply(
        head,
        lines=tuple(units(x, ctx) for x in lines[:6]),
        sources=chain(target.source, lime.rule("lime-over").source),
        waiting=request,
        wants="quantity",
        choices=(Choice("How do I test it?", "how do I test the soil"),),
        data={"lime_feed": {"ph": None, "target_ph": list(target.ph)}},
    )
