"""Lime by soil and pH, feeding crop by crop, and green manures by what can be sown here and when."""

from __future__ import annotations

from datetime import timedelta

from bot.facts.crop import Crop
from bot.facts.tending_ground import FeedKind
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.crop_asking import one_by_one, which_crop
from bot.handlers.green_manures import green_manures
from bot.handlers.ground_words import chain, ground_of, materials_of, rate_range, topic_reply, units
from bot.handlers.liming import lime_reply, ph_of
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.soil import ph_target
from bot.tending.topics import best
from bot.wording import capital, listing, number, small


@answers("lime_feed")
def lime_feed(request: Request, ctx: Context) -> Reply:
    """Answer about lime, feeds, how a crop is fed, or green manures."""
    lime, feeds, asks = ctx.facts.tending.lime, ctx.facts.tending.feeds, ctx.facts.asking.ground
    topic = best(request.text, [*lime.topics, *feeds.topics])
    materials = materials_of(request, ctx)
    green = (
        [c for c in request.crops if "green-manure" in ctx.facts.crops[c].use and c not in ("comfrey",)]
        if request.crops
        else []
    )
    if asks.green_manure.search(request.text) or green:
        return green_manures(request, ctx)
    own = request.crops and "crops" not in request.inherited
    if topic is not None and (topic.id in ("lime-with-manure", "ash-lime") or topic.id in feeds.of_ground and not own and not asks.lime.search(request.text)):
        return topic_reply(topic, "lime_feed", ctx)
    kind = _feed_kind(materials, request, ctx)
    liming = "lime" in materials or bool(asks.lime.search(request.text))
    if liming and not (
        topic is not None and topic.id in ("ph-test",) and ph_of(request, ctx) is None and "lime" not in materials
    ):
        if (
            topic is not None
            and topic.id == "when-lime"
            and ph_of(request, ctx) is None
            and not request.beds
            and len(request.crops) != 1
        ):
            return topic_reply(topic, "lime_feed", ctx)
        return lime_reply(request, ctx)
    if kind is not None:
        return _kind_reply(kind, request, ctx)
    if len(request.crops) > 1 and not request.group:
        return one_by_one(request, ctx, lime_feed, "lime_feed", "Feeding")
    if request.crops or request.crop_choices or request.unknown_crop:
        return _crop_feeding(request, ctx)
    if topic is not None:
        return topic_reply(topic, "lime_feed", ctx)
    return _bed_feeding(request, ctx)


# --- lime ----------------------------------------------------------------------------------------------------------


# --- feeding -------------------------------------------------------------------------------------------------------


def _feed_kind(materials: tuple[str, ...], request: Request, ctx: Context) -> FeedKind | None:
    """Return the feed asked about: named as a material, or comfrey and nettle as the plants they are made of."""
    kinds = ctx.facts.tending.feeds.kinds
    text = request.text.lower()
    if "comfrey" in text and not request.crops or "comfrey" in request.crops:
        return next(k for k in kinds if k.id == "comfrey")
    if "nettle" in text:
        return next(k for k in kinds if k.id == "nettle")
    for material in materials:
        kind = next((k for k in kinds if material in k.materials), None)
        if kind is not None and not (kind.id == "general" and not ctx.facts.asking.ground.how_much.search(text)):
            return kind
    return None


def _kind_reply(kind: FeedKind, request: Request, ctx: Context) -> Reply:
    name = capital(kind.us if ctx.say.words == "us" else kind.gb)
    ground = ground_of(request, ctx)
    lines = [units(line, ctx) for line in kind.say]
    working: list[str] = []
    if kind.g_per_m2:
        low, high = kind.g_per_m2
        mass = [low * ground.area_m2 / 1000, high * ground.area_m2 / 1000]
        spread = rate_range(low, high, ctx)
        head = f"{name}: about {spread}, if the packet does not say otherwise."
        if ground.whole:
            lines.insert(0, f"For {ground.name}: {ctx.say.mass(mass[0])} to {ctx.say.mass(mass[1])}.")
            working.append(
                f"{low:g} to {high:g} g/m² x {number(ground.area_m2, 0.1)} m² = "
                f"{number(mass[0], 0.01)} to {number(mass[1], 0.01)} kg."
            )
    elif kind.dilute:
        head = f"{name}: {units(kind.dilute, ctx)}."
    else:
        head = f"{name}: {kind.gives}."
    if not head.endswith(f"{kind.gives}."):
        lines.insert(0, f"It gives {kind.gives}.")
    crop = ctx.facts.crops.get(request.crop or "")
    if crop is not None and crop.id != "comfrey":
        habit = _habit(crop, ctx)
        if habit is not None:
            lines.append(f"For {ctx.say.crop(crop.id)}: {small(units(habit.say[0], ctx))}")
    return Reply(
        head,
        lines=tuple(lines[:7]),
        working=tuple(working),
        cautions=(kind.caution,) if kind.caution else (),
        sources=tuple(kind.source),
        data={
            "lime_feed": {
                "feed": kind.id,
                "g_per_m2": list(kind.g_per_m2) if kind.g_per_m2 else None,
                "area_m2": ground.area_m2 if ground.whole else None,
            }
        },
    )


def _habit(crop: Crop, ctx: Context):  # type: ignore[no-untyped-def]
    ids = [crop.id] + ([crop.like] if crop.like else [])
    return next((h for i in ids for h in ctx.facts.tending.feeds.habits if i in h.crops), None)


def _class_of(crop: Crop) -> str | None:
    if crop.feeding and crop.feeding.feeder:
        return crop.feeding.feeder
    return "fixes-nitrogen" if crop.family.rotation_group == "legumes" else None


def _crop_feeding(request: Request, ctx: Context) -> Reply:
    """Say how hungry a crop is and when to feed it; for a crop standing here, whether it is due."""
    crop = which_crop(request, ctx, "Which crop do you want to feed?", "what should I feed")
    if isinstance(crop, Reply):
        return crop
    name, feeds = ctx.say.crop(crop.id), ctx.facts.tending.feeds
    hunger = _class_of(crop)
    row = next((c for c in feeds.classes if c.id == hunger), None)
    habit = _habit(crop, ctx)
    lines: list[str] = []
    if habit is not None:
        head = f"{capital(name)}: {small(units(habit.say[0], ctx))}"
        lines += [units(x, ctx) for x in habit.say[1:]]
        if habit.start not in ("never",) and habit.start not in head:
            lines.append(f"Start {habit.start}.")
    elif row is not None:
        head = f"{capital(name)}: {small(units(row.say[0], ctx))}"
    else:
        head = f"{capital(name)}: a thin layer of compost is enough; I have no figure of its hunger."
    if row is not None and habit is not None:
        lines.append(units(row.say[0], ctx))
    if crop.feeding and crop.feeding.advice:
        lines.append(f"{capital(crop.feeding.advice)}.")
    due = _due(crop, habit, ctx)
    lines += [due] if due else []
    target = ph_target(crop, (), ctx.facts.tending.lime)
    if target.crops or crop.feeding and crop.feeding.ph:
        lines.append(target.say)
    return Reply(
        head,
        lines=tuple(dict.fromkeys(lines)),
        sources=chain(
            habit.source if habit else (), row.source if row else (), crop.feeding.source if crop.feeding else ()
        ),
        choices=(Choice("How much manure?", f"how much manure for {name}"),) if hunger == "heavy" else (),
        data={
            "lime_feed": {
                "crop": crop.id,
                "feeder": hunger,
                "every_days": list(habit.every_days) if habit and habit.every_days else None,
            }
        },
    )


def _due(crop: Crop, habit, ctx: Context) -> str | None:  # type: ignore[no-untyped-def]
    """Say when the crop was last fed here, and when it is due again."""
    beds = {p.bed for p in ctx.plot.standing(crop=crop.id) if p.bed}
    if not beds:
        return None
    fed = [
        e
        for e in ctx.plot.events("fed")
        if (e.crop == crop.id or (e.crop is None and e.bed in beds))
        and e.data.get("material") != "lime"
        and (ctx.today - e.day).days < 200
    ]
    if not fed:
        return "No feed is written down for them this season."
    last = max(fed, key=lambda e: e.day)
    said = f"Last fed {ctx.say.day(last.day, ctx.today)}"
    if habit is not None and habit.every_days:
        due = last.day + timedelta(days=int(sum(habit.every_days) / 2))
        return f"{said}: due {'now' if due <= ctx.today else ctx.say.day(due, ctx.today)}."
    return f"{said}."


def _bed_feeding(request: Request, ctx: Context) -> Reply:
    """Answer for a bed or the whole plot: who is hungry there now."""
    feeds = ctx.facts.tending.feeds
    rows = []
    for planting in ctx.plot.standing(request.bed):
        crop = ctx.facts.crops.get(planting.crop)
        habit = _habit(crop, ctx) if crop else None
        if crop is not None and planting.in_ground and habit is not None and habit.every_days:
            rows.append(crop.id)
    general = next(k for k in feeds.kinds if k.id == "general")
    if rows:
        names = listing([ctx.say.crop(c) for c in dict.fromkeys(rows)])
        return Reply(
            f"On the feeding list here: {names}.",
            lines=tuple(
                f"{capital(ctx.say.crop(c))}: {_habit(ctx.facts.crops[c], ctx).say[0]}"
                for c in list(dict.fromkeys(rows))[:4]
            ),
            sources=("common-practice",),
            data={"lime_feed": {"crops": list(dict.fromkeys(rows))}},
        )
    return Reply(
        "Feed the soil once a year with compost, and the hungry crops once more in summer.",
        lines=tuple(units(x, ctx) for x in (*[c.say[0] for c in feeds.classes[:3]], *general.say)),
        sources=tuple(general.source),
        choices=(
            Choice("What do tomatoes want?", "what should I feed tomatoes"),
            Choice("Lime?", "how much lime does a bed need"),
        ),
        data={"lime_feed": {"crops": []}},
    )


# --- green manures -------------------------------------------------------------------------------------------------
