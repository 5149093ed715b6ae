"""The all-round card of a crop."""

from __future__ import annotations

from typing import Any

from bot.facts.crop import Crop, HardinessState
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, which_crop
from bot.keeping.spans import how_long
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import listing

_CLASS = {
    "tender": "killed by frost",
    "half-hardy": "stands cool weather but little frost",
    "hardy": "stands frost",
    "very-hardy": "stands hard frost",
}
_FEEDER = {
    "light": "needs little feeding",
    "medium": "likes ordinary fertile soil",
    "heavy": "is hungry: give it manure or compost",
    "fixes-nitrogen": "feeds itself from the air",
}


@answers("crop_info")
def crop_info(request: Request, ctx: Context) -> Reply:
    """Give a short card of a crop: how to grow it well, sowing, space, hardiness, picking, keeping."""
    if request.group and len(request.crops) > 1:
        return _group(request, ctx)
    crop = which_crop(request, ctx, "Which crop would you like to know about?", "tell me about")
    if isinstance(crop, Reply):
        return crop
    name = ctx.say.crop(crop.id)
    head = f"{_cap(name)}: {_in_short(crop, ctx)}."
    top = [ctx.say.prose(sentence) for sentence in crop.growing_well[:3]]
    facts = [
        line
        for line in (
            _sowing(crop, ctx),
            _space(crop, ctx),
            _up(crop, ctx),
            _time(crop),
            _cold(crop, ctx),
            _picking(crop, ctx),
            _keeps(crop, ctx),
            _yield(crop, ctx),
        )
        if line
    ]
    rest = [
        line
        for line in (
            _soil(crop),
            _water(crop),
            _rotation(crop),
            _ends(crop, ctx),
            _pests(crop, ctx),
            _other_names(crop, ctx),
        )
        if line
    ]
    room = max(3, 9 - len(top))
    blocks = (crop.spacing, crop.germination, crop.growth, *crop.hardiness[:2], crop.harvest, *crop.storage[:1])
    return Reply(
        head,
        lines=(*top, *facts[:room]),
        more=(*facts[room:], *rest),
        cautions=tuple(crop.cautions[:2]),
        sources=cited(*blocks)[:12],
        choices=_choices(crop, name, ctx),
        data={"crop_info": _figures(crop)},
    )


def _group(request: Request, ctx: Context) -> Reply:
    group = ctx.facts.groups.named(request.group or "")
    names = [ctx.say.crop(c) for c in request.crops if c in ctx.facts.crops]
    note = [group.note[0].upper() + group.note[1:] + "."] if group and group.note else []
    return Reply(
        f"{_cap(request.group or 'those')}: {listing(names[:12])}{' and more' if len(names) > 12 else ''}.",
        lines=tuple(note),
        more=(f"The rest: {listing(names[12:])}.",) if len(names) > 12 else (),
        sources=tuple(group.source) if group else (),
        choices=tuple(Choice(n, f"tell me about {n}") for n in names[:4]),
        data={"crop_info": {"group": request.group, "crops": list(request.crops)}},
    )


def _in_short(crop: Crop, ctx: Context) -> str:
    parts = []
    cycle = crop.growth.life_cycle if crop.growth else "annual"
    if cycle in ("perennial", "shrub", "tree"):
        parts.append(
            {
                "perennial": "comes up year after year",
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
        parts.append("takes some shade")
    return ", ".join(parts) if parts else f"{crop.botanical}, of the {crop.family.family.split(' ')[0]} family"


def _sowing(crop: Crop, ctx: Context) -> str:
    found = crop.spacing
    if not found or not found.depth_cm:
        return ""
    planted = crop.sowing is not None and all(
        r.method not in ("direct", "module", "indoors") for r in crop.sowing.rules
    )
    if found.depth_cm[1] == 0:
        return "Plant with the crown level with the soil." if planted else "Sow on the surface."
    return f"{'Plant' if planted else 'Sow'} {ctx.say.length(*found.depth_cm)} deep."


def _space(crop: Crop, ctx: Context) -> str:
    found = crop.spacing
    if not found:
        return ""
    if found.in_row_cm and found.between_rows_cm:
        return f"Space {ctx.say.length(*found.in_row_cm)} apart, rows {ctx.say.length(*found.between_rows_cm)}."
    if found.each_way_cm:
        return f"Space {ctx.say.length(found.each_way_cm)} each way."
    if found.broadcast_g_per_m2:
        return f"Scatter about {ctx.say.mass(found.broadcast_g_per_m2[0] / 1000)} of seed to {ctx.say.area(1)}."
    return ""


def _up(crop: Crop, ctx: Context) -> str:
    found = crop.germination
    if not found or not (found.days_usual or found.soil_min_c):
        return ""
    days = f"Up in {_range(found.days_usual)} days" if found.days_usual else "Comes up"
    if found.soil_best_c:
        return f"{days}; soil {ctx.say.temp(*found.soil_best_c)} suits it best."
    return f"{days}, from {ctx.say.temp(found.soil_min_c)} in the soil." if found.soil_min_c is not None else f"{days}."


def _time(crop: Crop) -> str:
    growth = crop.growth
    if not growth or not growth.harvest_days:
        return ""
    low, high = growth.harvest_days
    return (
        f"Crops for {low / 7:.0f} to {high / 7:.0f} weeks."
        if high >= 21 and round(low / 7) < round(high / 7)
        else f"Crops for about {high:g} days."
    )


def _cold(crop: Crop, ctx: Context) -> str:
    state = _worst(crop)
    if state is None:
        return ""
    if state.kill_c is not None:
        lasting = crop.growth is not None and crop.growth.life_cycle in ("perennial", "shrub", "tree")
        if lasting and state.state == "plant":
            return f"Top growth is killed at about {ctx.say.temp(state.kill_c)}."
        return f"Killed at about {ctx.say.temp(state.kill_c)}."
    return f"Hurt below about {ctx.say.temp(state.damage_c)}." if state.damage_c is not None else ""


def _worst(crop: Crop) -> HardinessState | None:
    """Return the row that tells a card's reader when the plant dies: a resting perennial's crown, else the plant."""
    states = crop.hardiness
    resting = [s for s in states if s.state == "dormant" and s.kill_c is not None]
    if resting and crop.growth is not None and crop.growth.life_cycle in ("perennial", "shrub", "tree"):
        return resting[0]
    plants = [s for s in states if s.state in ("plant", "dormant")] or states
    killed = [s for s in plants if s.kill_c is not None]
    if killed:
        return max(killed, key=lambda s: s.kill_c if s.kill_c is not None else -99)
    return plants[0] if plants else None


def _picking(crop: Crop, ctx: Context) -> str:
    found = crop.harvest
    if not found:
        return ""
    size = f" ({found.size_of}: {ctx.say.length(*found.size_cm)})" if found.size_cm and found.size_of else ""
    every = f", every {_range(found.every_days)} days" if found.every_days else ""
    sign = found.sign.split(";")[0]
    return f"Pick when: {ctx.say.prose(sign[:1].lower() + sign[1:])}{size}{every}."


def _keeps(crop: Crop, ctx: Context) -> str:
    rows = [row for row in crop.storage if row.weeks]
    if not rows:
        return ""
    row = max(rows, key=lambda r: r.weeks[1] if r.weeks else 0)
    assert row.weeks is not None
    way = ctx.facts.keeping.store_way(row.home_method)
    return f"Keeps {how_long(row.weeks)}{' ' + way.say if way else ''}."


def _yield(crop: Crop, ctx: Context) -> str:
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


def _soil(crop: Crop) -> str:
    found = crop.feeding
    if not found:
        return ""
    ph = f"; soil pH {_range(found.ph)}" if found.ph else ""
    return f"It {_FEEDER[found.feeder]}{ph}." if found.feeder else (f"Soil pH {_range(found.ph)}." if found.ph else "")


def _water(crop: Crop) -> str:
    return f"Water matters most: {crop.water.critical_stage}." if crop.water and crop.water.critical_stage else ""


def _rotation(crop: Crop) -> str:
    family = crop.family
    gap = f"; leave {family.years_between:g} years between crops of it" if family.years_between else ""
    return f"Family: {family.family}{gap}."


def _ends(crop: Crop, ctx: Context) -> str:
    found = crop.end_of_crop
    return (
        f"When it is over: {ctx.say.prose(found.roots or found.tops or '')}."
        if found and (found.roots or found.tops)
        else ""
    )


def _pests(crop: Crop, ctx: Context) -> str:
    try:
        names = {pest.id: getattr(pest, ctx.say.words, None) or pest.id for pest in ctx.facts.tending.pests}
    except (AttributeError, ImportError):
        names = {}
    said = [str(names.get(p, p.replace("-", " "))).split(",")[0] for p in crop.pests[:6]]
    return f"Watch for {listing(said)}." if said else ""


def _other_names(crop: Crop, ctx: Context) -> str:
    mine = {ctx.say.crop(crop.id, 1).lower(), ctx.say.crop(crop.id).lower()}
    names = [
        n.name
        for n in crop.names
        if n.kind in ("standard", "regional") and n.name.lower() not in mine and not n.may_mean
    ][:5]
    return (
        f"Also called {listing(names)}. Botanical name {crop.botanical}."
        if names
        else f"Botanical name {crop.botanical}."
    )


def _choices(crop: Crop, name: str, ctx: Context) -> tuple[Choice, ...]:
    found = (
        [Choice("When to sow" if not ctx.say.us else "When to plant", f"when do I sow {name}")] if crop.sowing else []
    )
    if crop.storage:
        found.append(Choice("Keeping it", f"how do I store {name}"))
    if crop.seed_saving:
        found.append(Choice("Saving seed", f"how do I save {name} seed"))
    return tuple(found)


def _figures(crop: Crop) -> dict[str, Any]:
    worst = _worst(crop)
    return {
        "crop": crop.id,
        "botanical": crop.botanical,
        "family": crop.family.family,
        "hardiness_class": crop.sowing.hardiness_class if crop.sowing else None,
        "kill_c": worst.kill_c if worst else None,
        "days_to_maturity": crop.growth.days_to_maturity if crop.growth else None,
    }


def _range(pair: tuple[float, float]) -> str:
    return f"{pair[0]:g}" if pair[0] == pair[1] else f"{pair[0]:g} to {pair[1]:g}"


def _cap(text: str) -> str:
    return text[:1].upper() + text[1:]
