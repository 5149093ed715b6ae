"""What is growing where: the whole plot, one bed, or one crop."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from bot.growing.asking import last_picking
from bot.growing.space import is_manure
from bot.handlers import answers
from bot.handlers.checking import unknown_bed
from bot.handlers.coming_free import coming_free
from bot.handlers.context import Context
from bot.handlers.growing_words import part
from bot.handlers.harvests_due import expected, surely_over
from bot.handlers.naming import bed_name, bed_said, place_said
from bot.handlers.telling import sentence
from bot.plot.state import Bed, Planting
from bot.reply import Choice, Reply
from bot.request import Request, When
from bot.season import Season
from bot.wording import capital, listing, plural

_LIGHT = {"sun": "sun", "part-shade": "half shade", "shade": "shade"}
_COUNTED = {"garlic": "clove", "potato": "tuber"}


@answers("plot")
def plot(request: Request, ctx: Context) -> Reply:
    """Show what grows where."""
    stray = unknown_bed(request, ctx)
    if stray:
        return stray
    if not ctx.plot.beds and not ctx.plot.plantings:
        return Reply(
            "Your plot has no beds yet.",
            lines=(
                f'Tell me about one: "add a bed {ctx.say.bed_example} called Bed 1".',
                'Or just tell me what you did: "sowed peas".',
            ),
            choices=(Choice("Add a bed", "add a bed"),),
            data={"plot": {"rows": []}},
        )
    if request.bed:
        return coming_free(request, ctx) or _beds(request, ctx)
    crops = request.crops or request.crop_choices
    if crops:
        return _crop(crops, request, ctx)
    if request.when is not None and request.when.end > ctx.today and ctx.facts.asking.records.free.search(request.text) and ctx.season is not None:
        return _free_by(request.when, ctx.season, ctx)
    if "empty-bed" in request.flags or ctx.facts.asking.records.free.search(request.text):
        return _empty(ctx)
    return _whole(ctx)


def _whole(ctx: Context) -> Reply:
    lines = [
        f"{bed.name}: {_contents(ctx.plot.standing(bed=bed.id), ctx) or 'empty'}." for bed in ctx.plot.beds.values()
    ]
    elsewhere = [p for p in ctx.plot.standing() if p.bed is None or p.bed not in ctx.plot.beds]
    if elsewhere:
        lines.append(f"Not in a bed yet: {_contents(elsewhere, ctx)}.")
    crops = list(dict.fromkeys(p.crop for p in ctx.plot.standing()))
    empty = ctx.plot.empty_beds()
    free = (
        f" {capital(listing([bed_said(bed.id, ctx) for bed in empty]))} {'is' if len(empty) == 1 else 'are'} empty."
        if empty
        else ""
    )
    beds = "bed" if len(ctx.plot.beds) == 1 else plural(len(ctx.plot.beds), "bed")
    head = (
        f"{plural(len(crops), 'crop')} standing in {plural(len(ctx.plot.beds), 'bed')}.{free}"
        if crops
        else f"Nothing is growing in {'any of ' * (len(ctx.plot.beds) > 1)}your {beds} yet."
    )
    over = _over(ctx)
    room = 10 if over else 11
    done = [f"Surely over by now: {listing([f'{ctx.say.crop(p.crop)} ({bed_name(p.bed, ctx)})' for p in over[:4]])}; tell me when they are cleared."] if over else []
    clear = tuple(
        Choice(f"{bed_name(p.bed, ctx)}: clear {ctx.say.crop(p.crop)}", f"cleared {ctx.say.crop(p.crop)} from {bed_said(p.bed, ctx)}")
        for p in over[:2] if p.bed
    )
    return Reply(
        head,
        lines=(*lines[:room], *done),
        more=tuple(lines[room:]),
        choices=(*clear, *_fill(empty))[:4],
        data={"plot": {"rows": rows(ctx.plot.standing(), ctx)}},
    )


def _over(ctx: Context) -> list[Planting]:
    """Return the plantings on record whose last picking must be well past, the longest past first."""
    gone = [(found.last, p) for p in ctx.plot.standing()
            if not is_manure(p, ctx.facts) and surely_over(p, ctx) and (found := expected(p, ctx)) is not None]
    return [p for _, p in sorted(gone, key=lambda pair: pair[0])]


def _free_by(when: When, season: Season, ctx: Context) -> Reply:
    """Tell which beds are empty by the end of a span to come: those that are now, and those whose crops will be out."""
    beds = [bed for bed in ctx.plot.beds.values() if bed.kind != "fruit"]
    out = {
        bed.id: max((last_picking(p, ctx.facts, season, ctx.today, ctx.plot) for p in ctx.plot.standing(bed.id) if not is_manure(p, ctx.facts)), default=ctx.today)
        for bed in beds
    }
    free = sorted((bed for bed in beds if out[bed.id] <= when.end), key=lambda bed: out[bed.id])
    rest = [bed for bed in beds if bed not in free]
    by = ctx.say.day(when.end, ctx.today)
    head = f"{capital(listing([bed_said(bed.id, ctx) for bed in free]))} should be free by {by}." if free else f"No bed should be free by {by}."
    lines = [
        f"{bed.name}: {_till(bed, out[bed.id], ctx)}." for bed in [*free, *rest][:9]
    ]
    return Reply(head, lines=tuple(lines), choices=_fill([bed for bed in free if not ctx.plot.standing(bed.id)]),
                 sources=("computed:need-from-days",), data={"plot": {"rows": rows(ctx.plot.standing(), ctx), "free": [bed.id for bed in free]}})


def _till(bed: Bed, out: date, ctx: Context) -> str:
    """Say what stands in a bed and till when: nothing, a green manure that gives way, or crops that must come out."""
    standing = ctx.plot.standing(bed.id)
    if not standing:
        return "empty now"
    if all(is_manure(p, ctx.facts) for p in standing):
        return f"{_contents(standing, ctx)}, to be cut first"
    return f"{_contents(standing, ctx)} out about {part(out, ctx)}"


def _contents(plantings: Sequence[Planting], ctx: Context) -> str:
    """Say plantings shortly: names, with the month for what was sown or planted this year."""
    said = []
    for crop in dict.fromkeys(p.crop for p in plantings):
        mine = [p for p in plantings if p.crop == crop]
        name = ctx.say.crop(crop)
        sowings = len(mine)
        said.append(f"{name} ({sowings} sowings)" if sowings > 1 else name)
    return listing(said)


def _beds(request: Request, ctx: Context) -> Reply:
    lines: list[str] = []
    heads, choices = [], []
    for bed_id in request.beds:
        bed = ctx.plot.beds.get(bed_id)
        if bed is None:
            continue
        standing = ctx.plot.standing(bed=bed_id)
        if request.crops:
            standing = tuple(p for p in standing if p.crop in request.crops) or standing
        if not standing:
            last = [p for p in ctx.plot.plantings if p.bed == bed_id and p.cleared]
            last.sort(key=lambda p: p.cleared or ctx.today)
            was = f" {_was(last[-1], ctx)}" if last else ""
            heads.append(f"{bed.name} is empty.{was}")
            choices.append(Choice(f"What fits {bed.name}", f"what fits {bed.name}", "fits_bed"))
        else:
            heads.append(f"{bed.name}: {_contents(standing, ctx)}.")
            lines += [f"{sentence(planting_said(p, ctx))}" for p in standing]
            choices.append(Choice(f"What fits the gap in {bed.name}", f"what fits the gap in {bed.name}", "fits_bed"))
        lines.append(_bed_facts(bed, ctx))
    standing_rows = [row for bed in request.beds for row in rows(ctx.plot.standing(bed=bed), ctx)]
    return Reply(
        heads[0],
        lines=(*heads[1:], *lines[:10]),
        more=tuple(lines[10:]),
        choices=tuple(choices[:3]),
        data={"plot": {"rows": standing_rows}},
    )


def _was(planting: Planting, ctx: Context) -> str:
    return (
        f"Last in it: {ctx.say.crop(planting.crop)}, cleared {ctx.say.day(planting.cleared or ctx.today, ctx.today)}."
    )


def _bed_facts(bed: Bed, ctx: Context) -> str:
    parts = []
    if bed.length_m and bed.width_m:
        parts.append(ctx.say.bed_size(bed.length_m, bed.width_m))
    parts.append(
        _LIGHT.get(bed.light, bed.light)
        + (f", about {bed.sun_hours:g} hours of sun in summer" if bed.sun_hours else "")
    )
    if bed.cover:
        parts.append(f"under {bed.cover.replace('-', ' ')}")
    return sentence(f"{bed.name} is {', '.join(parts)}{'; ' + bed.note if bed.note else ''}")


def planting_said(planting: Planting, ctx: Context) -> str:
    """Say one planting: crop, variety, how many, when it went in, what it has given."""
    name = ctx.say.crop(planting.crop) + (f" ({planting.variety})" if planting.variety else "")
    parts = []
    if planting.count:
        parts.append(plural(planting.count, _COUNTED.get(planting.crop, "plant")))
    elif planting.row_m:
        parts.append(f"{ctx.say.length(planting.row_m * 100)} of row")
    if planting.sown:
        parts.append(f"sown {ctx.say.day(planting.sown, ctx.today)}")
    if planting.planted_out:
        year = f" {planting.planted_out.year}" if (ctx.today - planting.planted_out).days > 400 else ""
        day = ctx.say.month(planting.planted_out.month) + year if year else ctx.say.day(planting.planted_out, ctx.today)
        parts.append(f"planted {day}")
    kg = sum(h.kg or 0 for h in planting.harvests if (ctx.today - h.day).days < 366)
    if kg:
        span = "in the last year" if planting.began and (ctx.today - planting.began).days > 400 else "so far"
        parts.append(f"{ctx.say.mass(kg)} picked {span}")
    elif planting.harvests:
        parts.append(f"picked {plural(len(planting.harvests), 'time')}")
    return f"{name}: {', '.join(parts)}" if parts else name


def _crop(crops: Sequence[str], request: Request, ctx: Context) -> Reply:
    found = [p for crop in crops for p in ctx.plot.standing(crop=crop)]
    names = listing([ctx.say.crop(crop) for crop in dict.fromkeys(p.crop for p in found)]) or (
        ctx.say.crop(crops[0]) if len(crops) == 1 else "none of those"
    )
    if not found:
        past = [p for p in ctx.plot.plantings if p.crop in crops and p.cleared]
        last = f" {_was_where(past[-1], ctx)}" if past else ""
        head = (
            f"No {names} growing just now.{last}"
            if len(crops) == 1
            else f"Nothing of that kind is growing just now.{last}"
        )
        choices = (Choice("When to sow", f"when to sow {ctx.say.crop(crops[0])}"),) if len(crops) == 1 else ()
        return Reply(head, choices=choices, data={"plot": {"rows": []}})
    places = listing(list(dict.fromkeys(place_said(p, ctx) for p in found)))
    head = f"{capital(names)}: {places}."
    return Reply(
        head,
        lines=tuple(f"{place_said(p, ctx)}: {planting_said(p, ctx)}." for p in found[:8]),
        choices=(Choice("When ready", f"when will the {ctx.say.crop(found[0].crop)} be ready"),),
        data={"plot": {"rows": rows(found, ctx)}},
    )


def _was_where(planting: Planting, ctx: Context) -> str:
    return (
        f"The last stood in {place_said(planting, ctx)} until {ctx.say.day(planting.cleared or ctx.today, ctx.today)}."
    )


def _empty(ctx: Context) -> Reply:
    empty = ctx.plot.empty_beds()
    if not empty:
        return Reply(
            "No bed is empty just now.",
            choices=(Choice("Show the plot", "show me the plot"),),
            data={"plot": {"rows": []}},
        )
    verb = "is" if len(empty) == 1 else "are"
    return Reply(
        f"{capital(listing([bed_said(bed.id, ctx) for bed in empty]))} {verb} empty.",
        lines=tuple(_bed_facts(bed, ctx) for bed in empty[:8]),
        choices=_fill(empty),
        data={"plot": {"rows": [{"bed": bed.id, "name": bed.name, "crop": None} for bed in empty]}},
    )


def _fill(empty: Sequence[Bed]) -> tuple[Choice, ...]:
    return tuple(Choice(f"What fits {bed.name}", f"what fits {bed.name}") for bed in empty[:3] if bed.kind != "fruit")


def rows(plantings: Sequence[Planting], ctx: Context) -> list[dict[str, Any]]:
    """Return plantings as plain rows for scripts: kg, ISO days."""
    return [
        {
            "bed": p.bed,
            "name": bed_name(p.bed, ctx) if p.bed else None,
            "crop": p.crop,
            "variety": p.variety,
            "sown": p.sown.isoformat() if p.sown else None,
            "planted_out": p.planted_out.isoformat() if p.planted_out else None,
            "cleared": p.cleared.isoformat() if p.cleared else None,
            "count": p.count,
            "kg": round(sum(h.kg or 0 for h in p.harvests), 3),
        }
        for p in plantings
    ]
