"""How far apart, and how many fit."""

from __future__ import annotations

import math
from typing import Any

from bot.facts.crop import Crop, Spacing
from bot.growing.layout import Layout, best_layout, count_in_bed
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, which_crop
from bot.handlers.crop_lines import sowing as how_deep
from bot.reply import Reply, Table
from bot.request import Request
from bot.wording import capital, listing

#: Told or asked in the same message, the depth is not wanted again: it is in the ground, or has an answer of its own.
_DEPTH_TOLD = frozenset(("depth", "log_sow", "log_plant_out"))


@answers("spacing")
def spacing(request: Request, ctx: Context) -> Reply:
    """Tell the distances of a crop, and how many fit a bed, a size or a length of row."""
    reply, crop = _spaced(request, ctx), ctx.facts.crops.get(request.crop or "")
    if crop is None or not _DEPTH_TOLD.intersection(request.extra.get("beside", ())):
        return reply
    return reply.with_(lines=tuple(line for line in reply.lines if line != how_deep(crop, ctx)))


def _spaced(request: Request, ctx: Context) -> Reply:
    if len(request.crops) > 1:
        return _several(request, ctx)
    if not request.crops and len(request.crop_choices) > 1 and not any(ctx.plot.standing(crop=c) for c in request.crop_choices):
        return _several(request.with_(crops=request.crop_choices), ctx)  # told of each kind rather than asked which
    crop = which_crop(request, ctx, "Which crop do you want to space out?", "how far apart for")
    if isinstance(crop, Reply):
        return crop
    if crop.spacing is None:
        return Reply(
            f"I have no spacing for {ctx.say.crop(crop.id)} yet.",
            lines=("The seed packet or plant label is the best guide.",),
            data={"spacing": None},
        )
    size, place = _size(request, ctx)
    row = request.amount("m")
    data = _figures(crop)
    if crop.spacing.broadcast_g_per_m2 and not crop.spacing.in_row_cm:
        return _broadcast(crop, size, ctx, data)
    if size is not None:
        return _in_bed(crop, size, place, ctx, data)
    head = _distances(crop, ctx)
    lines = [*_extra(crop, ctx)]
    thinned = _thinned(crop, ctx) if ctx.facts.asking.ground.thins.search(request.text) else None
    if thinned is not None:
        lines = [head, *(line for line in lines if "thin to" not in line and line != how_deep(crop, ctx))]
        head = thinned
    judged = _judged(row.value * 100, crop, request, ctx) if row is not None and size is None else None
    if judged is not None:
        lines.insert(0, head)
        head = judged
    elif row is not None and crop.spacing.in_row_cm:
        low, high = (int(row.value * 100 // gap) + 1 for gap in reversed(crop.spacing.in_row_cm))
        lines.insert(0, f"A row of {ctx.say.length(row.value * 100)} takes {_number(low, high)}.")
        data["count"] = low
    if request.beds and size is None:
        bed = ctx.plot.beds[request.beds[0]]
        example = f"{bed.name} is {ctx.say.bed_example}"
        lines.append(f'I don\'t know the size of {bed.name}; tell me ("{example}") and I can count.')
    return Reply(
        head, lines=tuple(lines), working=working_of(crop.spacing), sources=cited(crop.spacing), data={"spacing": data}
    )


def _thinned(crop: Crop, ctx: Context) -> str | None:
    """Say how far to thin a crop that is sown in drills; None for one that is not."""
    gap = crop.spacing.thin_to_cm if crop.spacing else None
    return f"Thin {ctx.say.crop(crop.id)} to {ctx.say.length(gap)} apart while they are small." if gap else None


def _judged(gap_cm: float, crop: Crop, request: Request, ctx: Context) -> str | None:
    """Return whether a gap that was named is wide enough; None where a length of row is meant."""
    words, spacing = ctx.facts.asking.sowing, crop.spacing
    in_rows = words.rows.search(request.text) is not None
    wanted = spacing and (spacing.between_rows_cm if in_rows else spacing.in_row_cm)
    if not wanted or not words.gap.search(request.text):
        return None
    nearly = ctx.facts.growing.number("space.nearly")
    said, name, where = ctx.say.length(gap_cm), ctx.say.crop(crop.id), "between rows" if in_rows else "in the row"
    if gap_cm < wanted[0] * nearly:
        return f"No, {said} {where} is too close for {name}."
    return f"Yes, {said} {where} is {'more than enough' if gap_cm * nearly > wanted[1] else 'enough'} for {name}."


def _several(request: Request, ctx: Context) -> Reply:
    crops = [ctx.facts.crops[c] for c in request.crops if c in ctx.facts.crops]
    known = [c for c in crops if c.spacing is not None and (c.spacing.in_row_cm or c.spacing.each_way_cm)]
    if not known:
        return Reply("I have no spacing for those yet.")
    rows = []
    for crop in known[:40]:
        assert crop.spacing is not None
        rows.append(
            (
                ctx.say.crop(crop.id),
                _span(crop.spacing.in_row_cm or (crop.spacing.each_way_cm,) * 2, ctx),
                _span(crop.spacing.between_rows_cm, ctx),
            )
        )
    what = request.group or listing([ctx.say.crop(c.id) for c in known[:3]])
    shown, rest = rows[:9], rows[9:]
    more = ["The rest:", *(f"{name}: {a} in the row, {b} between rows" for name, a, b in rest)] if rest else []
    figures = [_figures(c) for c in known]
    return Reply(
        f"Spacing for {what}:",
        table=Table(("", "in the row", "between rows"), tuple(shown)),
        more=tuple(more),
        sources=cited(*(c.spacing for c in known[:9])),
        data={"spacing": {**figures[0], "more": figures[1:]}},
    )


def _in_bed(crop: Crop, size: tuple[float, float], place: str, ctx: Context, data: dict[str, Any]) -> Reply:
    length, width = size[0] * 100, size[1] * 100
    assert crop.spacing is not None
    rows = None
    if crop.spacing.in_row_cm and crop.spacing.between_rows_cm:
        rows = count_in_bed(length, width, sum(crop.spacing.in_row_cm) / 2, sum(crop.spacing.between_rows_cm) / 2)
    walked = rows is not None and min(length, width) > ctx.facts.growing.number("space.unwalked_cm")
    best = rows if walked else best_layout(crop, length, width)
    if best is None:
        return Reply(_distances(crop, ctx), sources=cited(crop.spacing), data={"spacing": data})
    data["count"] = best.count
    verb = "One" if best.count == 1 else f"About {best.count}"
    head = (
        f"{verb} {ctx.say.crop(crop.id, best.count)} fit{'s' if best.count == 1 else ''} {place}: {_layout(best, ctx)}."
    )
    in_row, between = (best.in_row_cm, best.between_rows_cm)
    others = [("In ordinary rows", rows)] if rows is not None else []
    each = crop.spacing.each_way_cm or in_row
    paths = ", no paths" if walked else ""
    for label, pattern in ((f"Square, the same each way{paths}", "square"),
                           (f"Offset, each row half a step along{paths}", "offset")):
        others.append((label, count_in_bed(length, width, each, pattern=pattern)))
    lines = [f"{label}: {way.count} ({_layout(way, ctx)})." for label, way in others if way.count and way != best][:3]
    if how_deep(crop, ctx):
        lines.append(how_deep(crop, ctx))
    working = (
        f"Bed {length:g} x {width:g} cm with half a spacing kept clear at the edges; in the row {in_row:g} cm, "
        f"between rows {between:g} cm.",
        *working_of(crop.spacing),
    )
    return Reply(head, lines=tuple(lines), working=working, sources=cited(crop.spacing), data={"spacing": data})


def _broadcast(crop: Crop, size: tuple[float, float] | None, ctx: Context, data: dict[str, Any]) -> Reply:
    assert crop.spacing is not None and crop.spacing.broadcast_g_per_m2 is not None
    rate = sum(crop.spacing.broadcast_g_per_m2) / 2
    data["broadcast_g_per_m2"] = list(crop.spacing.broadcast_g_per_m2)
    per = f"{ctx.say.mass(rate / 1000)} to {ctx.say.area(1)}"
    head = f"Scatter {ctx.say.crop(crop.id, 1)} seed thinly over the whole ground, about {per}, and rake it in."
    lines = []
    if size is not None:
        lines.append(f"For {ctx.say.bed_size(*size)} that is {ctx.say.mass(rate * size[0] * size[1] / 1000)} of seed.")
    if crop.spacing.between_rows_cm:
        lines.append(f"Or sow in drills {ctx.say.length(*crop.spacing.between_rows_cm)} apart.")
    return Reply(
        head, lines=tuple(lines), sources=cited(crop.spacing), working=working_of(crop.spacing), data={"spacing": data}
    )


def _size(request: Request, ctx: Context) -> tuple[tuple[float, float] | None, str]:
    ground = request.amount("m2")
    if request.size_m is None and ground is not None and ground.value > 0 and not request.beds:
        side = math.sqrt(ground.value)  # a square of that much ground
        return (side, side), ctx.say.area(ground.value)
    if request.size_m is not None:
        return request.size_m, f"a {ctx.say.bed_size(*request.size_m)} bed"
    beds = [ctx.plot.beds[bed] for bed in request.beds if bed in ctx.plot.beds]
    if not beds and "empty-bed" in request.flags:
        beds = list(ctx.plot.empty_beds())
    for bed in beds:
        if bed.length_m and bed.width_m:
            return (bed.length_m, bed.width_m), bed.name
    return None, ""


def _figures(crop: Crop) -> dict[str, Any]:
    found = crop.spacing
    assert found is not None
    each = [found.each_way_cm] * 2 if found.each_way_cm else None
    return {
        "crop": crop.id,
        "in_row_cm": list(found.in_row_cm) if found.in_row_cm else each,
        "between_rows_cm": list(found.between_rows_cm) if found.between_rows_cm else each,
        "depth_cm": list(found.depth_cm) if found.depth_cm else None,
        "count": None,
    }


def _distances(crop: Crop, ctx: Context) -> str:
    found = crop.spacing
    assert found is not None
    name = ctx.say.crop(crop.id)
    if found.in_row_cm and found.between_rows_cm:
        rows = _span(found.between_rows_cm, ctx)
        return f"{capital(name)}: {_span(found.in_row_cm, ctx)} apart in the row, {rows} between rows."
    gap = found.in_row_cm or (found.each_way_cm,) * 2
    return f"{capital(name)}: {_span(gap, ctx)} apart each way."


def _extra(crop: Crop, ctx: Context) -> list[str]:
    found = crop.spacing
    assert found is not None
    lines = []
    if found.each_way_cm and found.in_row_cm:
        lines.append(f"In a close-planted bed: {ctx.say.length(found.each_way_cm)} each way.")
    if found.thin_to_cm and found.seeds_per_metre:
        lines.append(f"Sow thinly and thin to {ctx.say.length(found.thin_to_cm)}.")
    if how_deep(crop, ctx):
        lines.append(how_deep(crop, ctx))
    return lines


def _layout(way: Layout, ctx: Context) -> str:
    rows = "one row" if way.rows == 1 else f"{way.rows} rows"
    each = "" if way.count <= 1 else f" of {way.per_row}"
    return f"{rows}{each}, {ctx.say.length(way.in_row_cm)} apart, rows {ctx.say.length(way.between_rows_cm)}"


def working_of(found: Spacing) -> tuple[str, ...]:
    """Return what the publications print, for "why?"."""
    return (f"As printed: {found.note}",) if found.note else ()


def _span(pair: tuple[float | None, ...] | None, ctx: Context) -> str:
    if not pair or pair[0] is None:
        return "-"
    return ctx.say.length(*(value for value in pair if value is not None))


def _number(low: int, high: int) -> str:
    return f"{low} plants" if low == high else f"{low} to {high} plants"
