"""The facts of a crop's card, one short sentence each; an empty string where nothing is known."""

from __future__ import annotations

import re

from bot.facts.crop import Crop
from bot.growing.curves import curves
from bot.growing.hardiness import kill_c
from bot.growing.windows import windows
from bot.handlers.context import Context
from bot.handlers.growing_words import span, way
from bot.keeping.spans import how_long
from bot.wording import capital, listing, plural, small

_YEAR = re.compile(r"[ ,]+\d{4}\b")
_ROOFS = ("polytunnel", "greenhouse", "heated")
#: What is set out as deep as it stood: its depth is that of seed.
_POTTED = {"plants", "division", "cuttings", "offsets"}
_CLASS = {
    "tender": "tender",
    "half-hardy": "half hardy",
    "hardy": "hardy",
    "very-hardy": "very hardy",
}
_FEEDER = {
    "light": "needs little feeding",
    "medium": "likes ordinary fertile soil",
    "heavy": "is hungry: give it manure or compost",
    "fixes-nitrogen": "feeds itself from the air",
}


def in_short(crop: Crop, ctx: Context) -> str:
    """Say in one line what kind of plant it is and how long it takes."""
    parts = []
    cycle = crop.growth.life_cycle if crop.growth else "annual"
    if cycle in ("perennial", "shrub", "tree"):
        parts.append(
            {
                "perennial": "perennial",
                "shrub": "a fruit bush" if "fruit" in crop.use else "a shrub",
                "tree": "a fruit tree" if "fruit" in crop.use else "a tree",
            }[cycle]
        )
    elif "green-manure" in crop.use and len(crop.use) == 1:
        parts.append("a green manure to feed and cover the soil")
    if crop.sowing:
        parts.append(_CLASS[crop.sowing.hardiness_class])
    days = crop.growth.days_to_maturity if crop.growth else None
    if days and crop.growth and crop.growth.counted_from and cycle in ("annual", "biennial"):
        counted = "planting out" if crop.growth.counted_from == "transplant" else crop.growth.counted_from
        parts.append(f"ready {_range(days)} days from {counted}")
    if crop.light and crop.light.shade == "part-shade":
        parts.append("happy in some shade")
    if parts:
        return ", ".join(parts)
    first = ctx.say.prose(crop.growing_well[0]).rstrip(".") if crop.growing_well else ""
    return (small(first) if first
            else f"{crop.botanical}, of the {crop.family.family.split(' ')[0]} family")


def when(crop: Crop, ctx: Context) -> str:
    """Say when it is begun here, its two widest openings; nothing without a place.

    What never does in the open is said for the plot's own roof, when it has one.
    """
    if ctx.season is None or crop.sowing is None:
        return ""
    place, found = "Here", windows(crop, curves(ctx.season, None, ctx.facts))
    roof = next((bed.cover for bed in ctx.plot.beds.values() if bed.cover in _ROOFS), None)
    if not found and roof is not None:
        found = windows(crop, curves(ctx.season, roof, ctx.facts), roofed=True)
        place = f"Here, in the {roof}"
    found.sort(key=lambda w: (w.purpose != "main", w.opens - w.closes))
    said: dict[str, list[str]] = {}
    for window in found[:2]:
        first, last = window.dates(ctx.today, ctx.season.southern)
        inside = " under cover" if window.method in ("module", "indoors") else ""
        said.setdefault(f"{way(window.method)}{inside}", []).append(_YEAR.sub("", span(first, last, ctx)))
    return f"{place}: {'; '.join(f'{how} {listing(spans)}' for how, spans in said.items())}." if said else ""


def sowing(crop: Crop, ctx: Context) -> str:
    """Say how deep it is sown or planted, seed and sets."""
    sets = crop.spacing.sets_depth if crop.spacing else None
    if sets and crop.sowing and all(r.method not in ("direct", "module", "indoors") for r in crop.sowing.rules):
        return f"Sets: {ctx.say.prose(sets)}."
    return f"{_seed_deep(crop, ctx)} Sets: {ctx.say.prose(sets)}." if sets else _seed_deep(crop, ctx)


def _seed_deep(crop: Crop, ctx: Context) -> str:
    found = crop.spacing
    if not found or not found.depth_cm:
        return ""
    planted = crop.sowing is not None and all(
        r.method not in ("direct", "module", "indoors") for r in crop.sowing.rules
    )
    if planted and crop.sowing and all(r.method in _POTTED for r in crop.sowing.rules):
        return ""
    if found.depth_cm[1] == 0:
        return "Plant with the crown level with the soil." if planted else "Sow on the surface."
    if found.planting_depth_cm is not None:
        deep = ctx.say.length(*found.planting_depth_cm)
        return f"Plant {deep} deep." if planted else f"Sow {ctx.say.length(*found.depth_cm)} deep, plant {deep} deep."
    return f"{'Plant' if planted else 'Sow'} {ctx.say.length(*found.depth_cm)} deep."


def space(crop: Crop, ctx: Context) -> str:
    """Say how far apart it stands."""
    found = crop.spacing
    if not found:
        return ""
    if found.in_row_cm and found.between_rows_cm:
        apart, rows = ctx.say.lengths(found.in_row_cm, found.between_rows_cm)
        return f"Space {apart} apart, rows {rows}."
    if found.each_way_cm:
        return f"Space {ctx.say.length(found.each_way_cm)} each way."
    if found.broadcast_g_per_m2:
        return f"Scatter about {ctx.say.mass(found.broadcast_g_per_m2[0] / 1000)} of seed to {ctx.say.area(1)}."
    return ""


def comes_up(crop: Crop, ctx: Context) -> str:
    """Say how soon it comes up and in what warmth."""
    found = crop.germination
    if crop.sowing and all(rule.method not in ("direct", "module", "indoors") for rule in crop.sowing.rules):
        return ""  # nobody sows it
    if not found or not (found.days_usual or found.soil_min_c):
        return ""
    days = f"Up in {_range(found.days_usual)} days" if found.days_usual else "Comes up"
    if found.soil_best_c:
        best = sorted({round(warmth) for warmth in found.soil_best_c})
        return f"{days}; soil {ctx.say.temp(*best)} suits it best."
    return f"{days}, from {ctx.say.temp(found.soil_min_c)} in the soil." if found.soil_min_c is not None else f"{days}."


def crops_for(crop: Crop) -> str:
    """Say how long it crops."""
    growth = crop.growth
    if not growth or not growth.harvest_days:
        return ""
    low, high = growth.harvest_days
    if high < 21 and not (crop.harvest and crop.harvest.every_days):
        return ""  # lifted or cut all at once
    return (
        f"Crops for {low / 7:.0f} to {high / 7:.0f} weeks."
        if high >= 21 and round(low / 7) < round(high / 7)
        else f"Crops for about {high:g} days."
    )


def cold(crop: Crop, ctx: Context) -> str:
    """Say what cold kills it: a resting perennial's crown where that is known, else the standing plant."""
    lasting = crop.lasting
    resting = [row.kill_c for row in crop.hardiness if row.state == "dormant" and row.kill_c is not None]
    if lasting and resting:
        return f"Killed at about {ctx.say.temp(max(resting))}."
    if any(row.kill_c is not None for row in crop.hardiness):
        what = "Top growth is killed" if lasting else "Killed"
        return f"{what} at about {ctx.say.temp(kill_c(crop, ctx.facts))}."
    hurt = [row.damage_c for row in crop.hardiness if row.damage_c is not None and row.state != "flower"]
    return f"Hurt below about {ctx.say.temp(max(hurt))}." if hurt else ""


def picking(crop: Crop, ctx: Context) -> str:
    """Say how to tell it is ready."""
    found = crop.harvest
    if not found:
        return ""
    size = f", {found.size_of} {ctx.say.length(*found.size_cm)}" if found.size_cm and found.size_of else ""
    every = f", every {_range(found.every_days)} days" if found.every_days else ""
    sign = found.sign.split(";")[0]
    return f"Pick when: {ctx.say.prose(small(sign))}{size}{every}."


def keeps(crop: Crop, ctx: Context) -> str:
    """Say how long it keeps."""
    rows = [row for row in crop.storage if row.weeks]
    if not rows:
        return ""
    row = max(rows, key=lambda r: r.weeks[1] if r.weeks else 0)
    assert row.weeks is not None
    way = ctx.facts.keeping.store_way(row.home_method)
    return f"Keeps {how_long(row.weeks)}{' ' + way.say if way else ''}."


def gives(crop: Crop, ctx: Context) -> str:
    """Say what it yields."""
    found = crop.yields
    if not found:
        return ""
    if found.kg_per_m_row:
        return (
            f"A metre of row gives about {ctx.say.mass(sum(found.kg_per_m_row) / 2)}."
            if not ctx.say.us
            else f"Ten feet of row gives about {ctx.say.mass(sum(found.kg_per_m_row) / 2 * 3.048)}."
        )
    if found.kg_per_plant:
        return f"A plant gives about {ctx.say.mass(sum(found.kg_per_plant) / 2)}."
    return ""


def soil(crop: Crop) -> str:
    """Say how hungry it is."""
    found = crop.feeding
    if not found:
        return ""
    ph = f"; soil pH {_range(found.ph)}" if found.ph else ""
    return f"It {_FEEDER[found.feeder]}{ph}." if found.feeder else (f"Soil pH {_range(found.ph)}." if found.ph else "")


def water(crop: Crop) -> str:
    """Say when water matters most."""
    return f"Water matters most: {crop.water.critical_stage}." if crop.water and crop.water.critical_stage else ""


def rotation(crop: Crop) -> str:
    """Say its family and the gap to leave."""
    family = crop.family
    years = plural(family.years_between, "year") if family.years_between else ""
    gap = f"; leave {years} between crops of it" if years else ""
    return f"Family: {family.family}{gap}."


def ends(crop: Crop, ctx: Context) -> str:
    """Say what to do when it is over."""
    found = crop.end_of_crop
    return (
        f"When it is over: {ctx.say.prose(found.roots or found.tops or '')}."
        if found and (found.roots or found.tops)
        else ""
    )


def pests(crop: Crop, ctx: Context) -> str:
    """Say what troubles to watch for."""
    try:
        names = {pest.id: getattr(pest, ctx.say.words, None) or pest.id for pest in ctx.facts.tending.pests}
    except (AttributeError, ImportError):
        names = {}
    said = [str(names.get(p, p.replace("-", " "))).split(",")[0] for p in crop.pests[:6]]
    return f"Watch for {listing(said)}." if said else ""


def other_names(crop: Crop, ctx: Context) -> str:
    """Say its other names."""
    mine = {ctx.say.crop(crop.id, 1).lower(), ctx.say.crop(crop.id).lower()}
    names = [
        n.name
        for n in crop.names
        if n.kind in ("standard", "regional") and n.name.lower() not in mine and not n.may_mean
    ][:5]
    called = f"Also called {listing(names)}. " if names else ""
    return f"{called}Botanical name {crop.botanical.rstrip('.')}."


def _range(pair: tuple[float, float]) -> str:
    return f"{pair[0]:g}" if pair[0] == pair[1] else f"{pair[0]:g} to {pair[1]:g}"


def signs(crop: Crop, ctx: Context) -> list[str]:
    """Say how to tell that a crop is ready, how to pick it, and what comes of leaving it."""
    found = crop.harvest
    if found is None:
        return []
    how = [f"{capital(ctx.say.prose(found.how))}."] if found.how else []
    return [f"How to tell: {ctx.say.prose(small(found.sign))}.", *how, *if_left(crop, ctx)]


def if_left(crop: Crop, ctx: Context) -> list[str]:
    """Say what comes of leaving a crop too long, where that is known."""
    return [f"Left too long: {ctx.say.prose(crop.harvest.if_left)}."] if crop.harvest and crop.harvest.if_left else []
