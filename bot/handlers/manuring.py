"""Manure: how much for this bed, how long raw manure must lie, and where it does harm."""

from __future__ import annotations

from datetime import date

from bot.handlers.context import Context
from bot.handlers.ground_words import Ground, chain, ground_of, loads, measure_l, topic_lines
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.soil import depth_of, manure_rate, raw_days, safe_from
from bot.wording import capital, listing, number

MANURES = ("manure", "cattle-manure", "horse-manure", "sheep-manure", "pig-manure", "hen-manure")


def manure_reply(request: Request, ctx: Context, material: str) -> Reply | None:
    """Answer for rotted manure by weight over the bed; None where no rate is published."""
    room, ground = ctx.facts.tending, ground_of(request, ctx)
    if material == "hen-manure":
        return _hen_manure(ground, request.crop, ctx)
    crop = request.crop
    hunger = _hunger(crop, ground, ctx)
    found = manure_rate(material, hunger or "heavy", True, room.manure)
    if found is None:
        return None
    row, kg_m2 = found
    other = manure_rate(material, "medium", True, room.manure)
    half = other[1] if other else kg_m2 / 2
    weight = room.mulch.weights.get("manure", 0.75)
    kg, litres = kg_m2 * ground.area_m2, kg_m2 * ground.area_m2 / weight
    what = f"{loads(litres, ctx)} of rotted manure"
    where = f"for {ground.name}" if ground.whole else f"for each {ctx.say.pick('square metre', 'square yard or so')}"
    lines = []
    if hunger is None:
        lines.append(
            f"That is for hungry crops (cabbages, potatoes, squashes, beetroot, runner beans); give others half, "
            f"{loads(half * ground.area_m2 / weight, ctx)}."
        )
    elif hunger != "heavy":
        lines.append(
            f"{capital(ctx.say.crop(crop)) if crop else 'What grows there'}: "
            "half the rate of the hungry crops is enough."
        )
    lines.append(
        f"It makes a layer of about {ctx.say.length(depth_of(litres, ground.area_m2))}, "
        f"{ctx.say.mass(round(kg))} in all."
    )
    lines.append("Once in three years, not every year: it is rich in what washes into the water.")
    lines.append(
        "Sandy soil in late winter or spring, clay in autumn or winter. Not with lime, and not "
        "before carrots or parsnips."
    )
    last = last_fed(ground, ctx)
    lines += [last] if last else []
    barrow = measure_l(room.measure("barrow"), ctx)
    working = (
        f"{kg_m2:g} kg/m² x {number(ground.area_m2, 0.1)} m² = {number(kg, 1)} kg.",
        f"At {weight:g} kg per litre that is {number(litres, 1)} l; a barrow is taken as {number(barrow, 1)} l.",
        "Fresh manure must lie 120 days before harvest, 90 where the eaten part is clear of the soil.",
    )
    return Reply(
        f"{capital(what)} {where}.",
        lines=tuple(lines),
        working=working,
        sources=chain(row.source, ["usu-raw-manure"]),
        cautions=("Before you spread bought manure, test it with beans: weedkiller in the hay harms crops.",),
        choices=(
            Choice("How to test it", "how do I test manure for weedkiller"),
            Choice("Is fresh all right?", f"can I use fresh manure on {ground.name if ground.bed else 'the bed'} now"),
        ),
        data={
            "mulch": {
                "material": material,
                "area_m2": ground.area_m2,
                "kg": round(kg, 1),
                "litres": round(litres, 1),
                "barrows": round(litres / barrow, 2),
                "kg_per_m2": kg_m2,
                "bed": ground.bed.id if ground.bed else None,
            }
        },
    )


def _hen_manure(ground: Ground, crop: str | None, ctx: Context) -> Reply:
    """Answer for hen manure, many times as strong as the rest: as pellets by weight, and fresh through the heap."""
    pellets = next(kind for kind in ctx.facts.tending.feeds.kinds if "hen-manure" in kind.materials)
    assert pellets.g_per_m2 is not None
    low, high = pellets.g_per_m2
    said = listing([ctx.say.mass(grams * ground.area_m2 / 1000) for grams in pellets.g_per_m2], "to")
    where = f"for {ground.name}" if ground.whole else f"for each {ctx.say.pick('square metre', 'square yard or so')}"
    lines = ["It is far stronger than other manure: fresh it scorches, so put it through the heap first and use it as compost.",
             pellets.say[0],
             f"Where it was dug in raw, pick nothing for {raw_days(crop, ctx.facts.tending.manure)} days."]
    last = last_fed(ground, ctx)
    return Reply(
        f"Never fresh, and little of it: {said} of dried pellets {where}.",
        lines=(*lines, *([last] if last else [])),
        cautions=(pellets.caution,) if pellets.caution else (),
        working=(f"{low:g} to {high:g} g/m² x {number(ground.area_m2, 0.1)} m².",),
        sources=chain(pellets.source, ctx.facts.tending.manure.rule("raw-120").source),
        data={"mulch": {"material": "hen-manure", "area_m2": ground.area_m2, "g_per_m2": [low, high], "bed": ground.bed.id if ground.bed else None}},
    )


def _hunger(crop: str | None, ground: Ground, ctx: Context) -> str | None:
    """Return how hungry the crop is, or None when no one crop is meant."""
    known = ctx.facts.crops.get(crop or "")
    return known.feeding.feeder if known and known.feeding else None


def no_manure(crop: str | None, ctx: Context) -> Reply | None:
    """Say no to manure for crops that suffer from it."""
    known = ctx.facts.crops.get(crop or "")
    if known is None:
        return None
    name = capital(ctx.say.crop(known.id))
    rules = {row.id: row for row in ctx.facts.growing.rotation}
    if (
        known.family.rotation_group == "umbellifers"
        and known.id in ("carrot", "parsnip", "hamburg-parsley")
        or known.id in ("salsify", "scorzonera")
    ):
        row = rules["suc-roots-no-manure"]
        return Reply(
            f"{name}: no manure this season, fresh or newly dug in; the roots fork.",
            lines=("Use ground that was manured for an earlier crop.", f"{row.exceptions}." if row.exceptions else ""),
            sources=tuple(row.source),
            data={"mulch": {"crop": known.id, "manure": False}},
        )
    if known.id in ("blueberry", "cranberry", "lingonberry", "bilberry"):
        return Reply(
            "No: these want sour ground, and manure and mushroom compost are too rich or too limy.",
            lines=("Mulch with pine bark or wood chip instead.",),
            sources=("memory:us-extension-blueberry",),
            data={"mulch": {"crop": known.id, "manure": False}},
        )
    return None


def fresh_reply(request: Request, ctx: Context, material: str) -> Reply:
    """Answer for fresh manure: the wait before harvest, by crop, with the date."""
    room, crop = ctx.facts.tending.manure, request.crop
    no = no_manure(crop, ctx)
    if no is not None:
        return no
    days = raw_days(crop, room)
    spread = request.when.start if request.when and request.when.start >= ctx.today else ctx.today
    free = safe_from(spread, crop, room)
    name = ctx.say.crop(crop) if crop else "anything that touches the soil"
    head = (
        "Not on growing food: dug in today, nothing touching the soil may be picked before "
        f"{ctx.say.day(free, ctx.today)}."
        if crop is None
        else f"Too fresh for {name}: dug in {_day_said(spread, ctx)}, no picking before {ctx.say.day(free, ctx.today)}."
    )
    lines = [
        f"Raw manure wants {days} days to harvest here"
        + (
            "; crops held clear of the soil 90, so from "
            f"{ctx.say.day(safe_from(spread, 'sweetcorn', room), ctx.today)}."
            if days == 120
            else ", since the eaten part is clear of the soil; 120 for roots, leaves and low fruit."
        ),
        "Stacked or aged is still raw by that rule; only a hot, turned heap is not.",
        "Better: stack it under cover for a year, or mix it into the compost heap.",
        "Never as a side-dressing among growing crops, and no manure tea on what you eat raw.",
    ]
    found = manure_rate(material, "medium", False, room)
    working = [f"{spread.isoformat()} + {days} days = {free.isoformat()}."]
    if found:
        working.append(
            f"Where it is dug into empty ground, about {found[1]:g} kg/m² fresh for middling crops, "
            "half for light feeders, double for hungry ones."
        )
    return Reply(
        head,
        lines=tuple(lines),
        working=tuple(working),
        cautions=("Those who are old, pregnant, very young or weak in immunity should eat such crops cooked.",),
        sources=tuple(room.rule("raw-120").source),
        choices=(Choice("Rotted manure instead", "how much rotted manure"),),
        data={
            "mulch": {"material": material, "fresh": True, "days": days, "safe_from": free.isoformat(), "crop": crop}
        },
    )


def _day_said(day: date, ctx: Context) -> str:
    return ctx.say.day(day, ctx.today)


def which_bed(request: Request, ctx: Context, topic) -> Reply:  # type: ignore[no-untyped-def]
    """Name the plot's beds that want manure most: empty or hungry, and longest unfed."""
    rows = []
    for bed in ctx.plot.beds.values():
        if bed.kind in ("frame", "container"):
            continue
        fed = [e.day for e in ctx.plot.events("fed") if e.bed == bed.id]
        ago = (ctx.today - max(fed)).days if fed else 2000
        crops = [ctx.facts.crops[p.crop] for p in ctx.plot.standing(bed.id) if p.crop in ctx.facts.crops]
        hungry = any(c.feeding and c.feeding.feeder == "heavy" for c in crops)
        roots = any(c.id in ("carrot", "parsnip") for c in crops)
        rows.append((ago + (400 if hungry else 0) - (5000 if roots else 0), bed, max(fed) if fed else None))
    said = topic_lines(topic, ctx)
    if not rows:
        return Reply(said[0], lines=tuple(said[1:]), sources=tuple(topic.source))
    rows.sort(key=lambda row: -row[0])
    lines = [
        f"{bed.name}: {'last fed ' + ctx.say.day(day, ctx.today) if day else 'no feeding written down'}."
        for _, bed, day in rows[:4]
    ]
    return Reply(
        f"{rows[0][1].name} has waited longest for feeding.",
        lines=(*lines, *said),
        sources=tuple(topic.source),
        data={"mulch": {"beds": [bed.id for _, bed, _ in rows]}},
    )


def last_fed(ground: Ground, ctx: Context) -> str | None:
    """Tell when the bed was last fed and with what; None without a bed or a record."""
    if ground.bed is None:
        return None
    fed = [e for e in ctx.plot.events("fed") if e.bed == ground.bed.id and e.day <= ctx.today]
    if not fed:
        return None
    last = max(fed, key=lambda e: e.day)
    what = str(last.data.get("material") or "a feed").replace("-", " ")
    return f"{capital(ground.name)} last had {what} {ctx.say.day(last.day, ctx.today)}."
