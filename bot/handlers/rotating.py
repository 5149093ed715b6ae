"""What may follow what, and where a family should go."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from bot.facts.crop import Crop
from bot.growing.rotation import Gap, allowed, beds_for, gap_for, groups_free, history, quick_filler
from bot.handlers import answers
from bot.handlers.checking import bed_name, unknown_bed
from bot.handlers.context import Context
from bot.handlers.crop_asking import which_crop
from bot.handlers.growing_words import cap, is_are, part
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import listing, plural

_FOLLOW = re.compile(r"\b(follow|follows|after|before)\b", re.I)
_WHAT_FOLLOWS = re.compile(r"\bwhat('?s)?\b.*\b(follow|follows|after)\b", re.I)
_GROUPS = {
    "brassicas": ("the cabbage family", "the cabbage family"),
    "legumes": ("peas and beans", "peas and beans"),
    "umbellifers": ("the carrot family", "the carrot family"),
    "daisy-family": ("the lettuce family", "the lettuce family"),
    "break-crops": ("crops of no kin", "crops of no kin"),
    "cucurbits": ("squashes and cucumbers", "squash and cucumbers"),
    "alliums": ("the onion family", "the onion family"),
    "beet-family": ("the beetroot family", "the beet family"),
    "potato-family": ("potatoes and tomatoes", "potatoes and tomatoes"),
    "grass-family": ("sweetcorn", "sweet corn"),
    "herbs": ("herbs", "herbs"),
    "perennials": ("perennials", "perennials"),
    "soft-fruit": ("soft fruit", "berries"),
    "tree-fruit": ("fruit trees", "fruit trees"),
}


@answers("rotation")
def rotation(request: Request, ctx: Context) -> Reply:
    """Tell whether a crop may go in a bed, what may follow in a bed or after a crop, or where a family should go."""
    stray = unknown_bed(request, ctx)
    if stray:
        return stray
    crops = [ctx.facts.crops[c] for c in request.crops if c in ctx.facts.crops]
    if len(crops) == 1 and request.crop_choices and _FOLLOW.search(request.text):  # "can cabbage follow kale"
        crops = _in_order([crops[0], ctx.facts.crops[request.crop_choices[0]]], request.text)
    if len(crops) == 2 and not request.group and "crops" not in request.inherited:
        return _after(crops, request, ctx)
    if (
        request.bed
        and crops
        and _FOLLOW.search(request.text)
        and any(p.crop == crops[0].id for p in history(request.bed, ctx.plot))
    ):
        return _followers(crops[0], ctx, request.bed)
    if crops and _WHAT_FOLLOWS.search(request.text):  # whether or not the crop is on record in the bed named
        return _followers(crops[0], ctx)
    if request.bed and request.bed in ctx.plot.beds:
        return _crop_in_bed(crops[0], request.bed, ctx) if crops else _bed(request.bed, ctx)
    if len(crops) == 2 and not request.group:
        return _after(crops, request, ctx)
    if not crops:
        if request.crop_choices or request.unknown_crop:
            asked = which_crop(request, ctx, "Which crop?", "what can follow")
            if isinstance(asked, Reply):
                return asked
            crops = [asked]
        else:
            return _plot(ctx)
    if _wants_place(request.text):
        return _where(crops[0], request, ctx)
    return _followers(crops[0], ctx)


def _in_order(crops: list[Crop], text: str) -> list[Crop]:
    """Put crops in the order their names stand in the text, by the first word of any name."""

    def place(crop: Crop) -> int:
        words = text.lower()
        found = [
            words.find(form.split()[-1]) for n in crop.names for form in (n.name.lower(), (n.plural or n.name).lower())
        ]
        return min((at for at in found if at >= 0), default=len(words))

    return sorted(crops, key=place)


def group_name(group: str, ctx: Context) -> str:
    """Say a rotation group in plain words."""
    pair = _GROUPS.get(group, (group.replace("-", " "),) * 2)
    return ctx.say.pick(*pair)


def _wants_place(text: str) -> bool:
    words = text.lower()
    return any(word in words for word in ("where", "which bed", "what bed"))


def _crop_in_bed(crop: Crop, bed: str, ctx: Context) -> Reply:
    gap = gap_for(crop, bed, ctx.plot, ctx.facts, ctx.today)
    name, place = ctx.say.crop(crop.id), bed_name(bed, ctx)
    if allowed(crop, gap, ctx.today):
        head = f"Yes, {name} may go in {place}."
        why = _history_line(gap, ctx) if gap.last else f"None of {group_name(gap.group, ctx)} is recorded there."
        if gap.last and not gap.clear_on(ctx.today) and quick_filler(crop):
            was = cap(ctx.say.crop(gap.last_crop or ""))
            why = f"{was} stood there lately, but so quick a crop may fill in while no disease is seen."
        lines = [why, *_follow_line(crop, bed, ctx)]
    else:
        until = f" Wait till {part(gap.free_from, ctx)}." if gap.free_from else ""
        head = (
            f"Better not: {name} in {place} would come too soon after {ctx.say.crop(gap.last_crop or crop.id)}.{until}"
        )
        lines = [_history_line(gap, ctx), *([f"Why: {crop.family.why}."] if crop.family.why else [])]
        better = [b for b, g in beds_for(crop, ctx.plot, ctx.facts, ctx.today) if g.clear_on(ctx.today)]
        if better:
            lines.append(f"Free of it: {listing([bed_name(b, ctx) for b in better[:3]])}.")
    return Reply(
        head,
        lines=tuple(lines),
        working=_working(gap, ctx),
        sources=tuple(crop.family.source),
        choices=(Choice(f"What fits {place}?", f"what fits {place} now"),),
        data={"rotation": {"crop": crop.id, "bed": bed, "allowed": allowed(crop, gap, ctx.today), **_gap_data(gap)}},
    )


def _bed(bed: str, ctx: Context) -> Reply:
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
        choices=(Choice(f"What fits {place}?", f"what fits {place} now"),),
        data={"rotation": {"bed": bed, "free": free, "kept": [{"group": g, **_gap_data(gap)} for g, gap in kept]}},
    )


def _after(crops: list[Crop], request: Request, ctx: Context) -> Reply:
    """Answer "can leeks follow potatoes": the order of words decides which comes first."""
    first, second = crops
    words = request.text.lower()
    if "after" in words or "follow" in words.split(" by ")[0] and "followed by" not in words:
        later, earlier = first, second
    else:
        later, earlier = second, first
    a, b = ctx.say.crop(later.id), ctx.say.crop(earlier.id)
    row = ctx.facts.growing.span_of_rows(earlier.family.rotation_group)
    same = later.family.rotation_group == earlier.family.rotation_group
    if same and (later.family.years_between or 0) > 0:
        head = f"Better not: {a} and {b} are of one family."
        lines = [
            f"Leave {plural(later.family.years_between or 0, 'year')} between them on the same ground.",
            *([f"Why: {later.family.why}."] if later.family.why else []),
        ]
    elif row is not None and later.family.rotation_group in row.good:
        head, lines = f"Yes, {a} follow{'s' if is_are(later.id, ctx) == 'is' else ''} {b} well.", [f"{cap(row.why)}."]
    else:
        head, lines = f"Yes, {a} may follow {b}.", ["They share no family, so rotation allows it."]
    return Reply(
        head,
        lines=tuple(lines),
        sources=tuple(later.family.source[:3]),
        data={"rotation": {"crop": later.id, "after": earlier.id, "allowed": not same}},
    )


def _followers(crop: Crop, ctx: Context, bed: str | None = None) -> Reply:
    name = ctx.say.crop(crop.id)
    row = ctx.facts.growing.span_of_rows(crop.family.rotation_group)
    if row is None:
        return Reply(
            f"Anything may follow {name}: it shares no trouble with the vegetables.",
            sources=tuple(crop.family.source[:2]),
            data={"rotation": {"crop": crop.id, "good": [], "poor": []}},
        )
    where = f" in {bed_name(bed, ctx)}" if bed else ""
    good = list(row.good)
    if bed:
        free = {g for g, gap in groups_free(bed, ctx.plot, ctx.facts, ctx.today) if gap.clear_on(ctx.today)}
        good = [g for g in good if g in free] or good
    head = f"After {name}{where}: {listing([group_name(g, ctx) for g in good[:3]], 'or')}."
    gap = crop.family.years_between
    lines = [f"{cap(row.why)}."]
    if gap:
        lines.append(
            f"Not {group_name(crop.family.rotation_group, ctx)} again for {plural(gap, 'year')}"
            f"{f'; {crop.family.years_if_diseased} where disease was seen' if crop.family.years_if_diseased else ''}."
        )
    standing = next((p for p in ctx.plot.standing(crop=crop.id) if p.bed in ctx.plot.beds), None)
    choices: tuple[Choice, ...] = ()
    if standing and standing.bed:
        place = bed_name(standing.bed, ctx)
        choices = (Choice(f"What fits {place} then?", f"what fits {place} after the {name}"),)
    return Reply(
        head,
        lines=tuple(lines),
        sources=(*row.source, *crop.family.source[:2]),
        choices=choices,
        data={"rotation": {"crop": crop.id, "good": good, "poor": list(row.poor), "years": gap}},
    )


def _where(crop: Crop, request: Request, ctx: Context) -> Reply:
    name = request.group or ctx.say.crop(crop.id)
    found = beds_for(crop, ctx.plot, ctx.facts, ctx.today)
    if not found:
        return _followers(crop, ctx)
    clear = [(b, g) for b, g in found if g.clear_on(ctx.today)]
    lines = [
        f"{cap(bed_name(b, ctx))}: {_history_line(g, ctx) if g.last else 'none recorded there.'}" for b, g in found[:6]
    ]
    if clear:
        head = f"{cap(name)}: {bed_name(clear[0][0], ctx)} is the best place by rotation."
    else:
        first = min(found, key=lambda item: item[1].free_from or date.max)
        head = f"{cap(name)}: no bed is free of the family yet; {bed_name(first[0], ctx)} is soonest" + (
            f", {part(first[1].free_from, ctx)}." if first[1].free_from else "."
        )
    return Reply(
        head,
        lines=tuple(lines),
        sources=tuple(crop.family.source[:3]),
        data={"rotation": {"crop": crop.id, "beds": [{"bed": b, **_gap_data(g)} for b, g in found]}},
    )


def _plot(ctx: Context) -> Reply:
    beds = [bed for bed in ctx.plot.beds.values() if bed.kind != "fruit"]
    if not beds:
        rows = [r for r in ctx.facts.growing.rotation if r.id in ("rot-general", "rot-order-4", "rot-airborne")]
        return Reply(
            "Keep each family off a bed for two or three years.",
            lines=tuple(ctx.say.prose(r.rule) for r in rows[:3]),
            sources=tuple(dict.fromkeys(s for r in rows for s in r.source)),
            data={"rotation": {"beds": []}},
        )
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


def _history_line(gap: Gap, ctx: Context) -> str:
    if gap.last is None:
        return f"none of {group_name(gap.group, ctx)} recorded."
    was = cap(ctx.say.crop(gap.last_crop or ""))
    stood = (
        "is there now"
        if gap.last >= ctx.today
        else f"till {part(gap.last, ctx)}{'' if gap.last.year == ctx.today.year else f' {gap.last.year}'}"
    )
    want = f"; the family wants {plural(gap.years_needed, 'year')}" if gap.years_needed else ""
    ill = f" because {str(gap.disease).replace('-', ' ')} was seen" if gap.disease else ""
    return f"{was} {stood}{want}{ill}."


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


def _working(gap: Gap, ctx: Context) -> tuple[str, ...]:
    since = gap.years_since(ctx.today)
    return (
        f"{cap(group_name(gap.group, ctx))}: {plural(gap.years_needed, 'year')} asked, "
        + (
            f"{since:.1f} years since {ctx.say.crop(gap.last_crop or '')}"
            if since is not None
            else "never recorded there"
        )
        + ".",
    )


def _gap_data(gap: Gap) -> dict[str, Any]:
    return {
        "group": gap.group,
        "years": gap.years_needed,
        "last": gap.last.isoformat() if gap.last else None,
        "last_crop": gap.last_crop,
        "free_from": gap.free_from.isoformat() if gap.free_from else None,
        "disease": gap.disease,
    }
