"""Mixes for the heap worked out: C:N, moisture, what to add."""

from __future__ import annotations

from collections.abc import Sequence

from bot.facts.tending_heap import HeapStuff
from bot.handlers.context import Context
from bot.handlers.ground_words import hazards, loads
from bot.handlers.heap_verdicts import verdicts
from bot.reply import Reply
from bot.request import Request
from bot.tending.compost import (
    Ingredient,
    c_to_n,
    ingredient,
    kg_for_ratio,
    mends,
    mix_of,
    moisture,
    stuff_named,
)
from bot.tending.materials import Heaped
from bot.wording import capital, listing, number


def amounts_of(request: Request, ctx: Context) -> list[Heaped]:
    """Return an amount and material that understanding found, when the words alone gave none."""
    amount = request.amount("barrow", "bag", "bucket", "l", "kg", "load", "bale")
    if amount is None or len(request.materials) != 1:
        return []
    return [Heaped(request.materials[0], amount.value, amount.unit)]


def mix_reply(stuff: list[Heaped], request: Request, ctx: Context) -> Reply:
    """Work out C:N and moisture of a mix, say how it will do and what to add."""
    room = ctx.facts.tending.compost
    parts, unknown = mix_of(stuff, room, ctx.facts.tending.measures, us=ctx.say.us)
    rows = {item.material: stuff_named(item.material, room) for item in stuff}
    refused = [row for row in rows.values() if row is not None and row.heap == "no"]
    if refused:
        return verdicts(refused, request, ctx)
    if not parts:
        return Reply(
            f"I have no figures for {listing(unknown)}, so I can't work that mix out.",
            lines=("Grass, leaves, straw, cardboard, paper, manures and peelings I can.",),
            data={"compost": {"c_to_n": None}},
        )
    ratio, wet = c_to_n(parts), moisture(parts)
    low, high = room.target("cn-start").span or (25.0, 35.0)
    driest, wettest = room.target("moisture-limits").span or (40.0, 65.0)
    lines: list[str] = []
    mend = mends(parts, room)
    if ratio < low:
        verdict = (
            "on the green side: it will heat, and may smell" if ratio >= 20 else "too green: it will mat and smell"
        )
    elif ratio > high:
        verdict = "on the brown side: slow, but it rots" if ratio <= 60 else "too brown: it will hardly rot"
    else:
        verdict = "a good mix"
    head = (
        f"C:N about {number(ratio, 1)}, {verdict}."
        if len(parts) > 1
        else f"C:N about {number(ratio, 1)} for {parts[0].name} alone, {verdict}."
    )
    if mend is not None:
        row, kg, litres = mend
        lines.append(f"To bring it to about 30, mix in {loads(litres, ctx)} of {row.name}.")
    if wet > wettest:
        helps = f"The {mend[0].name} helps; keep" if mend is not None and mend[0].kind == "brown" else "Keep"
        helps = helps.replace("leaves helps", "leaves help")
        lines.append(f"Moisture about {number(wet, 1)} %: too wet on its own. {helps} rain off and turn it for air.")
    elif wet < driest:
        water = kg_water(parts, 55.0)
        lines.append(
            f"Moisture about {number(wet, 1)} %: dry, so add about {ctx.say.volume(water)} of water as you build it."
        )
    else:
        lines.append(f"Moisture about {number(wet, 1)} %: {'just right' if 50 <= wet <= 60 else 'it will do'}.")
    vague = [stuff_named(s.material, room) for s in stuff if s.vague]
    if vague:
        lines.append(
            f"I took “some” {listing([v.name for v in vague if v])} as half a barrow; say how much for a better figure."
        )
    total = sum(p.litres or 0.0 for p in parts)
    if total and total < 700:
        lines.append(
            "To get hot a heap wants to be about a metre each way, ten or twelve barrows; a smaller one rots cool."
        )
    if unknown:
        lines.append(f"Left out, for want of figures: {listing(unknown)}.")
    return Reply(
        head,
        lines=tuple(lines),
        working=mix_working(parts, ratio, wet, ctx),
        sources=(
            "cornell-formula",
            "cornell-cn",
            "cornell-right-mix",
            "memory:nraes-54-appendix-a",
            "composting-handbook-t42",
        ),
        cautions=hazards([h for row in rows.values() if row for h in row.hazards], ctx)[:1],
        data={
            "compost": {
                "c_to_n": round(ratio, 1),
                "moisture_pct": round(wet, 1),
                "parts": [{"id": p.id, "kg": round(p.kg, 1), "litres": p.litres} for p in parts],
                "add": {"id": mend[0].id, "kg": round(mend[1], 1), "litres": round(mend[2])} if mend else None,
            }
        },
    )


def kg_water(parts: Sequence[Ingredient], wanted_pct: float) -> float:
    """Return the kg (litres) of water that bring a mix to a wanted moisture."""
    total = sum(p.kg for p in parts)
    return max(0.0, (total * wanted_pct - sum(p.kg * p.water_pct for p in parts)) / (100 - wanted_pct))


def mix_working(parts: Sequence[Ingredient], ratio: float, wet: float, ctx: Context) -> tuple[str, ...]:
    """Return the sums behind the carbon to nitrogen ratio and the moisture (%) of a mix, a line a part."""
    lines = []
    for p in parts:
        size = f"{number(p.litres, 1)} l = " if p.litres else ""
        guess = f" ({', '.join(p.guessed)})" if p.guessed else ""
        lines.append(
            f"{capital(p.name)}: {size}{number(p.kg, 0.1)} kg, {number(p.water_pct, 1)} % water, N "
            f"{p.n_pct:.2f} %, C {p.c_pct:.1f} %, "
            f"C:N {number(p.ratio, 1)}{guess}."
        )
    top = " + ".join(f"{p.kg:.1f}x{p.c_pct:.1f}x{100 - p.water_pct:.0f}" for p in parts)
    under = " + ".join(f"{p.kg:.1f}x{p.n_pct:.2f}x{100 - p.water_pct:.0f}" for p in parts)
    lines.append(f"C:N = ({top}) / ({under}) = {ratio:.1f}.")
    lines.append(
        f"Moisture = {sum(p.kg * p.water_pct for p in parts):.0f} / {sum(p.kg for p in parts):.1f} = {wet:.1f} %."
    )
    return tuple(lines)


def pair_reply(stuff: Sequence[HeapStuff], ctx: Context) -> Reply:
    """Say how much of a second thing balances one barrow of the first."""
    room = ctx.facts.tending.compost
    barrow = ctx.facts.tending.measure("barrow")
    litres = (barrow.us_litres if ctx.say.us and barrow and barrow.us_litres else barrow.litres) if barrow else 85.0
    greens = sorted(stuff[:2], key=lambda row: row.c_to_n_usual or (sum(row.c_to_n) / 2 if row.c_to_n else 30))
    first = ingredient(greens[0], None, litres, room)
    second = ingredient(greens[1], None, litres, room)
    if first is None or second is None:
        return verdicts(stuff, Request("compost"), ctx)
    per_litre = second.kg / litres
    kg = kg_for_ratio(first, second, 30.0)
    if kg <= 0:
        both = "green" if first.ratio < 30 else "brown"
        return Reply(
            f"{capital(first.name)} and {second.name} are both {both}: they need something "
            f"{'brown' if both == 'green' else 'green'} besides.",
            lines=("Cardboard, straw or dry leaves." if both == "green" else "Grass, fresh manure or peelings.",),
            sources=("cornell-cn",),
            data={"compost": {"c_to_n": [round(first.ratio, 1), round(second.ratio, 1)]}},
        )
    added = ingredient(greens[1], kg, None, room)
    wet = moisture([first, added]) if added else 0.0
    volume = kg / per_litre
    return Reply(
        f"For each barrow of {first.name}, {loads(volume, ctx)} of {second.name}.",
        lines=(
            f"That makes a C:N of about 30 and moisture of about {number(wet, 1)} %.",
            "Mix them rather than laying thick layers.",
        ),
        sources=("cornell-formula", "memory:nraes-54-appendix-a"),
        working=(
            f"{first.kg:.1f} kg x {first.n_pct:.2f} x (30 - {first.ratio:.1f}) x "
            f"{100 - first.water_pct:.0f} / ({second.n_pct:.2f} x ({second.ratio:.1f} - 30) x "
            f"{100 - second.water_pct:.0f}) = {kg:.1f} kg of {second.name}.",
            f"{kg:.1f} kg / {per_litre:.2f} kg per litre = {volume:.0f} l.",
        ),
        data={"compost": {"c_to_n": 30.0, "moisture_pct": round(wet, 1), "kg": round(kg, 1), "litres": round(volume)}},
    )
