"""How deep a crop is sown or planted."""

from __future__ import annotations

from bot.facts.crop import Crop, Spacing
from bot.growing.windows import PLANTED
from bot.handlers import answers
from bot.handlers.cold import is_many
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.spacing import working_of
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital

#: Words that ask for the depth of planting and not of sowing.
_POTTED = {"plants", "division", "cuttings", "offsets"}


@answers("depth")
def depth(request: Request, ctx: Context) -> Reply:
    """Tell how deep a crop is sown or planted."""
    if len(request.crops) > 1:
        return one_by_one(request, ctx, depth, "depth", "Sowing depth")
    crop = which_crop(request, ctx, "How deep for which crop?", "how deep to sow")
    if isinstance(crop, Reply):
        return crop
    name = ctx.say.crop(crop.id)
    found = crop.spacing
    if found is None or found.depth_cm is None:
        return Reply(
            f"I have no depth for {name}.",
            lines=("A fair rule: cover seed with two or three times its own thickness of soil.",),
            sources=("common-practice",),
            data={"depth": {"crop": crop.id, "depth_cm": None}},
        )
    low, high = found.depth_cm
    if found.sets_depth and (ctx.facts.asking.sowing.sets.search(request.text) or request.method == "sets" or _is_planted(crop)):
        seed = () if _is_planted(crop) else (f"Seed is sown {ctx.say.length(low, high)} deep.",)
        return Reply(f"{capital(ctx.say.crop(crop.id, 1))} sets: {ctx.say.prose(found.sets_depth)}.", lines=seed, working=working_of(found),
                     sources=cited(found), data={"depth": {"crop": crop.id, "depth_cm": [low, high], "planting_depth_cm": None}})
    set_at = found.planting_depth_cm
    planting = _is_planted(crop) or (set_at is not None and ctx.facts.asking.sowing.planted.search(request.text) is not None)
    lines = [f"Sets: {ctx.say.prose(found.sets_depth)}."] if found.sets_depth else []
    if not planting and high > 0:
        lines.append("A touch deeper in light dry soil, shallower in heavy cold soil.")
    lines += [ctx.say.prose(found.depth_note)] if found.depth_note else []
    return Reply(
        _head(crop, found, planting, ctx),
        lines=tuple(lines),
        working=working_of(found),
        sources=cited(found),
        data={"depth": {"crop": crop.id, "depth_cm": [low, high],
                        "planting_depth_cm": list(set_at) if set_at else None}},
    )


def _head(crop: Crop, found: Spacing, planting: bool, ctx: Context) -> str:
    """Say the depth: of planting stock and of seed apart where they differ, else the one there is."""
    name = ctx.say.crop(crop.id)
    assert found.depth_cm is not None
    low, high = found.depth_cm
    seed = ctx.say.length(low, high)
    if found.planting_depth_cm is not None:
        deep = ctx.say.length(*found.planting_depth_cm)
        stock = f"the crowns of {name}" if _by_crowns(crop) else f"young {name}"
        if planting:
            return f"Set {stock} {deep} deep; seed is sown {seed} deep."
        return f"Sow {name} {seed} deep; the young plants go in {deep} deep."
    if not planting:
        return f"Sow {name} {seed} deep." if high > 0 else f"Sow {name} on the surface, barely covered."
    if planting and crop.sowing and all(rule.method in _POTTED for rule in crop.sowing.rules):
        sown = f"; seed is sown {seed} deep" if high > 0 else ""
        return f"Set {name} out as deep as {'they' if is_many(crop, ctx.say.words) else 'it'} stood{sown}."
    if high == 0:
        return f"Set {name} with the crown level with the soil."
    if _by_crowns(crop):
        return f"Set the crowns of {name} with the buds {seed} under the soil."
    return f"Plant {name} {seed} deep."


def _is_planted(crop: Crop) -> bool:
    return crop.sowing is not None and all(rule.method in PLANTED for rule in crop.sowing.rules)


def _by_crowns(crop: Crop) -> bool:
    return crop.sowing is not None and all(rule.method == "crowns" for rule in crop.sowing.rules)
