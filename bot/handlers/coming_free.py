"""When a bed comes free: by what stands in it and until when it is picked."""

from __future__ import annotations

from bot.growing.expecting import expected
from bot.handlers.context import Context
from bot.handlers.growing_words import is_are, part
from bot.plot.state import Bed
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing

_SOURCES = ("computed:need-from-days",)


def coming_free(request: Request, ctx: Context) -> Reply | None:
    """Tell from when a bed is free; None where that is not asked of one bed."""
    bed = ctx.plot.beds.get(request.beds[0]) if len(request.beds) == 1 else None
    if bed is None or request.crops or not ctx.facts.asking.harvest.bed_free.search(request.text):
        return None
    if not ctx.plot.standing(bed.id):
        return Reply(f"{bed.name} is free now.", choices=(_what_fits(bed),), data={"fits_bed": {"bed": bed.id, "free": ctx.today.isoformat()}})
    rows, unknown = [], []
    for planting in ctx.plot.standing(bed.id):
        crop, found = ctx.facts.crops.get(planting.crop), expected(planting, ctx.plot, ctx.facts, ctx.season, ctx.today) if ctx.season else None
        if found is None or (crop is not None and crop.lasting):
            unknown.append(ctx.say.crop(planting.crop))
        else:
            rows.append((max(found.last, ctx.today), planting.crop))
    staying = (f"I have no day for the {listing(unknown)} there.",) if unknown else ()
    if not rows:
        return Reply(f"I can't say when {bed.name} comes free.", lines=staying)
    last, crop_id = max(rows)
    name = ctx.say.crop(crop_id)
    lines = [f"{capital(ctx.say.crop(each))}: picked until about {part(day, ctx)}." for day, each in sorted(rows)] if len(rows) > 1 else []
    head = f"{bed.name} should be free about {part(last, ctx)}, when the {name} {is_are(crop_id, ctx)} over."
    if unknown:
        head = f"Part of {bed.name} should be free about {part(last, ctx)}."
    return Reply(head, lines=(*lines, *staying), sources=_SOURCES, choices=(Choice(f"What fits {bed.name} then?", f"what fits {bed.name} after the {name}", "fits_bed"),),
                 data={"fits_bed": {"bed": bed.id, "free": last.isoformat()}})


def _what_fits(bed: Bed) -> Choice:
    return Choice(f"What fits {bed.name}", f"what fits {bed.name} now", "fits_bed")
