"""The all-round card of a crop."""

from __future__ import annotations

from typing import Any

from bot.facts.crop import Crop
from bot.growing.curves import curves
from bot.growing.hardiness import kill_c
from bot.growing.windows import windows
from bot.handlers import answers
from bot.handlers import crop_lines as lines
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.sprouting import sprouting_reply
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing


@answers("crop_info")
def crop_info(request: Request, ctx: Context) -> Reply:
    """Give a short card of a crop: how to grow it well, sowing, space, hardiness, picking, keeping."""
    sprouted = sprouting_reply(request, ctx)
    if sprouted is not None:
        return sprouted
    if request.group and len(request.crops) > 1:
        return _group(request, ctx)
    if len(request.crops) > 1:
        return one_by_one(request, ctx, crop_info, "crop_info", "In short")
    crop = which_crop(request, ctx, "Which crop would you like to know about?", "tell me about")
    if isinstance(crop, Reply):
        return crop
    name = ctx.say.crop(crop.id)
    head = f"{capital(name)}: {lines.in_short(crop, ctx)}."
    whether = _grows_here(crop, ctx) if ctx.facts.asking.sowing.grows_here.search(request.text) else ""
    top = [said for said in map(ctx.say.prose, crop.growing_well[:3]) if said.lower().rstrip(".") not in head.lower()]
    height = crop.light.height_cm if crop.light and ctx.facts.asking.tending.height.search(request.text) else None
    if height is not None:
        top, head = [head, *top], f"{capital(name)}: {ctx.say.length(*height)} tall."
    facts = [
        line
        for line in (
            lines.when(crop, ctx),
            lines.sowing(crop, ctx),
            lines.space(crop, ctx),
            lines.comes_up(crop, ctx),
            lines.crops_for(crop),
            lines.cold(crop, ctx),
            lines.picking(crop, ctx),
            lines.keeps(crop, ctx),
            lines.gives(crop, ctx),
        )
        if line
    ]
    rest = [
        line
        for line in (
            lines.soil(crop),
            lines.water(crop),
            lines.rotation(crop),
            lines.ends(crop, ctx),
            lines.pests(crop, ctx),
            lines.other_names(crop, ctx),
        )
        if line
    ]
    if whether:
        top.insert(0, head)
        head = whether
    room = max(3, 9 - len(top))
    blocks = (crop.spacing, crop.germination, crop.growth, *crop.hardiness[:2], crop.harvest, *crop.storage[:1])
    return Reply(
        head,
        lines=(*top, *facts[:room]),
        more=(*facts[room:], *rest),
        cautions=tuple(ctx.say.prose(caution) for caution in crop.cautions[:2]),
        sources=tuple(dict.fromkeys((*crop.cautions_from, *cited(*blocks))))[:12],
        choices=_choices(crop, name, ctx),
        data={"crop_info": _figures(crop, ctx)},
    )


def _grows_here(crop: Crop, ctx: Context) -> str:
    """Say whether a crop has a season here: in the open, under a roof only, or none; nothing without a place or times."""
    if ctx.season is None or crop.sowing is None:
        return ""
    name = ctx.say.crop(crop.id)
    if windows(crop, curves(ctx.season, None, ctx.facts)):
        return f"Yes, you can grow {name} here in the open."
    if windows(crop, curves(ctx.season, "polytunnel", ctx.facts), roofed=True):
        return f"Yes, you can grow {name} here, but in a tunnel or greenhouse only."
    return f"No, I find no season for {name} here."


def _group(request: Request, ctx: Context) -> Reply:
    group = ctx.facts.groups.named(request.group or "")
    names = [ctx.say.crop(c) for c in request.crops if c in ctx.facts.crops]
    note = [group.note[0].upper() + group.note[1:] + "."] if group and group.note else []
    return Reply(
        f"{capital(request.group or 'those')}: {listing(names[:12])}{' and more' if len(names) > 12 else ''}.",
        lines=tuple(note),
        more=(f"The rest: {listing(names[12:])}.",) if len(names) > 12 else (),
        sources=tuple(group.source) if group else (),
        choices=tuple(Choice(n, f"tell me about {n}") for n in names[:4]),
        data={"crop_info": {"group": request.group, "crops": list(request.crops)}},
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


def _figures(crop: Crop, ctx: Context) -> dict[str, Any]:
    kills = any(row.kill_c is not None for row in crop.hardiness)
    return {
        "crop": crop.id,
        "botanical": crop.botanical,
        "family": crop.family.family,
        "hardiness_class": crop.sowing.hardiness_class if crop.sowing else None,
        "kill_c": kill_c(crop, ctx.facts) if kills else None,
        "days_to_maturity": crop.growth.days_to_maturity if crop.growth else None,
    }
