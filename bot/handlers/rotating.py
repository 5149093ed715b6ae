"""What may follow what, and where a family should go."""

from __future__ import annotations

from datetime import date

from bot.facts.crop import Crop
from bot.growing.asking import standing_before
from bot.growing.rotation import allowed, beds_for, gap_for, groups_free, history, quick_filler
from bot.handlers import answers, handler_for
from bot.handlers.checking import bed_name, unknown_bed
from bot.handlers.context import Context
from bot.handlers.crop_asking import which_crop
from bot.handlers.following import after, also_named, followers, in_order
from bot.handlers.growing_words import part
from bot.handlers.rotation_words import gap_data, group_name, history_line, working
from bot.handlers.succession import after_that
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, plural


@answers("rotation")
def rotation(request: Request, ctx: Context) -> Reply:
    """Tell whether a crop may go in a bed, what may follow in a bed or after a crop, or where a family should go."""
    stray = unknown_bed(request, ctx)
    if stray:
        return stray
    asks, text = ctx.facts.asking.rotation, request.text
    named = set(request.crops) if "crops" not in request.inherited else set()
    if asks.in_general.search(text) and not named and not (request.beds and "beds" not in request.inherited):
        return _in_general(ctx)
    crops = [ctx.facts.crops[c] for c in request.crops if c in ctx.facts.crops]
    if _may_be_planted(request, ctx) or after_that(request, ctx) is not None:
        return handler_for("fits_bed")(request, ctx)
    if len(crops) == 1 and not request.crop_choices and asks.follows.search(text):
        request = request.with_(crop_choices=also_named(crops[0], text, ctx))
    if len(crops) == 1 and request.crop_choices and asks.follows.search(text):  # "can cabbage follow kale"
        crops = in_order([crops[0], ctx.facts.crops[request.crop_choices[0]]], text)
    if len(crops) == 2 and not request.group and "crops" not in request.inherited:
        return after(crops, request, ctx)
    if (
        request.bed
        and crops
        and asks.follows.search(text)
        and any(p.crop == crops[0].id for p in history(request.bed, ctx.plot))
    ):
        return followers(crops[0], ctx, request.bed)
    if crops and asks.what_follows.search(text):  # whether or not the crop is on record in the bed named
        return followers(crops[0], ctx, request.bed if request.bed in ctx.plot.beds else None)
    if crops and "crops" in request.inherited and any(p.crop == crops[0].id for p in ctx.plot.standing(request.bed)) and request.bed:
        return followers(crops[0], ctx, request.bed)  # "and in bed 4?" after what follows the garlic that stands there
    if request.bed and request.bed in ctx.plot.beds:
        return _crop_in_bed(crops[0], request.bed, ctx) if crops else _bed(request.bed, request, ctx)
    if len(crops) == 2 and not request.group:
        return after(crops, request, ctx)
    if not crops:
        if request.crop_choices or request.unknown_crop:
            asked = which_crop(request, ctx, "Which crop?", "what can follow")
            if isinstance(asked, Reply):
                return asked
            crops = [asked]
        else:
            return _plot(ctx)
    if asks.where.search(text):
        return _where(crops[0], request, ctx)
    if asks.between.search(text):
        return _years_between(crops[0], request, ctx)
    return followers(crops[0], ctx)


def _years_between(crop: Crop, request: Request, ctx: Context) -> Reply:
    """Tell how many years a crop's family stays off ground it has had."""
    years, name = crop.family.years_between, request.group or ctx.say.crop(crop.id)
    head = f"Leave {plural(years, 'year')} before {name} go on the same ground again." if years else f"{capital(name)} may go on the same ground again."
    lines = [f"Where disease was seen: {crop.family.years_if_diseased} years."] if years and crop.family.years_if_diseased else []
    lines += [f"Why: {crop.family.why}."] if years and crop.family.why else []
    return Reply(head, lines=tuple(lines), sources=tuple(crop.family.source), data={"rotation": {"crop": crop.id, "years": years}})


def _may_be_planted(request: Request, ctx: Context) -> bool:
    """Tell whether the message asks what to plant once a crop that stands here is out: its own ground answers that."""
    asks = ctx.facts.asking.rotation
    return (
        ctx.season is not None
        and bool(asks.planting.search(request.text))
        and not asks.where.search(request.text)
        and standing_before(request, ctx.plot) is not None
    )


def _crop_in_bed(crop: Crop, bed: str, ctx: Context) -> Reply:
    gap = gap_for(crop, bed, ctx.plot, ctx.facts, ctx.today)
    name, place = ctx.say.crop(crop.id), bed_name(bed, ctx)
    if allowed(crop, gap, ctx.today):
        head = f"Yes, {name} may go in {place}."
        why = history_line(gap, ctx) if gap.last else f"None of {group_name(gap.group, ctx)} is recorded there."
        if gap.last and not gap.clear_on(ctx.today) and quick_filler(crop):
            was = capital(ctx.say.crop(gap.last_crop or ""))
            why = f"{was} stood there lately, but so quick a crop may fill in while no disease is seen."
        lines = [why, *_follow_line(crop, bed, ctx)]
    else:
        until = f" Wait till {part(gap.free_from, ctx)}." if gap.free_from else ""
        head = (
            f"Better not: {name} in {place} would come too soon after {ctx.say.crop(gap.last_crop or crop.id)}.{until}"
        )
        lines = [history_line(gap, ctx), *([f"Why: {crop.family.why}."] if crop.family.why else [])]
        better = [b for b, g in beds_for(crop, ctx.plot, ctx.facts, ctx.today) if g.clear_on(ctx.today)]
        if better:
            lines.append(f"Free of it: {listing([bed_name(b, ctx) for b in better[:3]])}.")
    return Reply(
        head,
        lines=tuple(lines),
        working=working(gap, ctx),
        sources=tuple(crop.family.source),
        choices=(Choice(f"What fits {place}?", f"what fits {place} now", "fits_bed"),),
        data={"rotation": {"crop": crop.id, "bed": bed, "allowed": allowed(crop, gap, ctx.today), **gap_data(gap)}},
    )


def _bed(bed: str, request: Request, ctx: Context) -> Reply:
    groups = groups_free(bed, ctx.plot, ctx.facts, ctx.today)
    free = [g for g, gap in groups if gap.clear_on(ctx.today)]
    kept = [(g, gap) for g, gap in groups if not gap.clear_on(ctx.today)]
    place = bed_name(bed, ctx)
    past = list(history(bed, ctx.plot))
    last = max(past, key=lambda p: p.cleared or ctx.today) if past else None
    row = None
    if last is not None and last.crop in ctx.facts.crops:
        row = ctx.facts.growing.span_of_rows(ctx.facts.crops[last.crop].family.rotation_group)
    good = [g for g in (row.good if row else free) if g in free]
    if not past:
        head = f"Anything may go in {place}: nothing is recorded there."
    else:
        head = f"In {place} next: {listing([group_name(g, ctx) for g in (good or free)[:3]], 'or')}."
    lines = []
    if kept and past and ctx.facts.asking.rotation.not_there.search(request.text):
        lines, head = [head], f"Not yet in {place}: {listing([group_name(g, ctx) for g, _ in kept[:4]], 'or')}."
    if last is not None and row is not None:
        lines.append(f"Last there: {ctx.say.crop(last.crop)}; {row.why}.")
    for group, gap in kept[:4]:
        lines.append(
            f"Not yet: {group_name(group, ctx)} ({ctx.say.crop(gap.last_crop or '')}"
            f"{f', free {part(gap.free_from, ctx)}' if gap.free_from else ''})."
        )
    return Reply(
        head,
        lines=tuple(lines),
        sources=tuple(row.source) if row else ("common-practice",),
        choices=(Choice(f"What fits {place}?", f"what fits {place} now", "fits_bed"),),
        data={"rotation": {"bed": bed, "free": free, "kept": [{"group": g, **gap_data(gap)} for g, gap in kept]}},
    )


def _where(crop: Crop, request: Request, ctx: Context) -> Reply:
    name = request.group or ctx.say.crop(crop.id)
    found = beds_for(crop, ctx.plot, ctx.facts, ctx.today)
    if not found:
        return followers(crop, ctx)
    clear = [(b, g) for b, g in found if g.clear_on(ctx.today)]
    never = [capital(bed_name(b, ctx)) for b, g in found if not g.last]
    lines = [f"{capital(bed_name(b, ctx))}: {history_line(g, ctx)}" for b, g in found if g.last][:5]
    if never:
        lines.insert(0, f"Nothing of the family is on record in {listing(never, 'or')}.")
    if clear:
        head = f"{capital(name)}: {bed_name(clear[0][0], ctx)} is the best place by rotation."
    else:
        first = min(found, key=lambda item: item[1].free_from or date.max)
        head = f"{capital(name)}: no bed is free of the family yet; {bed_name(first[0], ctx)} is soonest" + (
            f", {part(first[1].free_from, ctx)}." if first[1].free_from else "."
        )
    return Reply(
        head,
        lines=tuple(lines),
        sources=tuple(crop.family.source[:3]),
        data={"rotation": {"crop": crop.id, "beds": [{"bed": b, **gap_data(g)} for b, g in found]}},
    )


def _in_general(ctx: Context) -> Reply:
    """Tell how rotation goes, of no crop or bed."""
    rows = [r for r in ctx.facts.growing.rotation if r.id in ("rot-general", "rot-order-4", "rot-airborne")]
    return Reply(
        "Keep each family off a bed for two or three years.",
        lines=tuple(ctx.say.prose(r.rule).replace(" -> ", ", then ") for r in rows[:3]),
        sources=tuple(dict.fromkeys(s for r in rows for s in r.source)),
        choices=(Choice("Plan the beds", "plan next year's beds"),) if ctx.plot.beds else (),
        data={"rotation": {"beds": []}},
    )


def _plot(ctx: Context) -> Reply:
    beds = [bed for bed in ctx.plot.beds.values() if bed.kind != "fruit"]
    if not beds:
        return _in_general(ctx)
    lines = []
    for bed in beds[:8]:
        groups = [(g, gap) for g, gap in groups_free(bed.id, ctx.plot, ctx.facts, ctx.today)]
        kept = [group_name(g, ctx) for g, gap in groups if not gap.clear_on(ctx.today)]
        lines.append(f"{bed.name}: {'not yet ' + listing(kept[:3], 'or') if kept else 'free for anything'}.")
    return Reply(
        "By rotation, each bed should wait with these.",
        lines=tuple(lines),
        sources=("common-practice",),
        choices=(Choice("Plan the beds", "plan next year's beds"),),
        data={"rotation": {"beds": [{"bed": bed.id} for bed in beds]}},
    )


def _follow_line(crop: Crop, bed: str, ctx: Context) -> list[str]:
    past = [p for p in history(bed, ctx.plot) if p.cleared]
    if not past:
        return []
    last = max(past, key=lambda p: p.cleared or date.min)
    other = ctx.facts.crops.get(last.crop)
    row = ctx.facts.growing.span_of_rows(other.family.rotation_group) if other else None
    if row and crop.family.rotation_group in row.good:
        return [f"After {ctx.say.crop(last.crop)} that is a good follower: {row.why}."]
    return []
