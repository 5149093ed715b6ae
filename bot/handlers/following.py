"""What follows what in the same ground, whichever bed it is."""

from __future__ import annotations

import re

from bot.facts.crop import Crop
from bot.growing.rotation import groups_free
from bot.handlers.checking import bed_name
from bot.handlers.context import Context
from bot.handlers.growing_words import is_are
from bot.handlers.rotation_words import group_name
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, plural


def also_named(crop: Crop, text: str, ctx: Context) -> tuple[str, ...]:
    """Return another crop a text names, for a name of several crops that was left unsettled ("cabbage")."""
    own = sorted({form.lower() for n in crop.names for form in (n.plural or n.name, n.name)}, key=len, reverse=True)
    said = re.sub("|".join(rf"\b{re.escape(form)}\b" for form in own), " ", text.lower())  # the beans of "broad beans" are no other crop
    words = {word.rstrip("s") for word in re.findall(r"[a-z]+", said)}
    for other in ctx.facts.crops.values():
        names = {form.lower().rstrip("s") for n in other.names for form in (n.name, n.plural or n.name)}
        if other.id != crop.id and names & words and not names & {w.name.lower().rstrip("s") for w in crop.names}:
            return (other.id,)
    return ()


def in_order(crops: list[Crop], text: str) -> list[Crop]:
    """Put crops in the order their names stand in the text, by the first word of any name."""

    def place(crop: Crop) -> int:
        words = text.lower()
        found = [
            words.find(form.split()[-1]) for n in crop.names for form in (n.name.lower(), (n.plural or n.name).lower())
        ]
        return min((at for at in found if at >= 0), default=len(words))

    return sorted(crops, key=place)


def after(crops: list[Crop], request: Request, ctx: Context) -> Reply:
    """Answer "can leeks follow potatoes": the order of words decides which comes first."""
    first, second = crops
    said = ctx.facts.asking.sowing
    turned = said.first_later.search(request.text) and not said.second_later.search(request.text)
    later, earlier = (first, second) if turned else (second, first)
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
        head = f"Yes, {a} follow{'s' if is_are(later.id, ctx) == 'is' else ''} {b} well."
        lines = [f"{capital(row.why)}."]
    else:
        head, lines = f"Yes, {a} may follow {b}.", ["They share no family, so rotation allows it."]
    return Reply(
        head,
        lines=tuple(lines),
        sources=tuple(later.family.source[:3]),
        data={"rotation": {"crop": later.id, "after": earlier.id, "allowed": not same}},
    )


def followers(crop: Crop, ctx: Context, bed: str | None = None) -> Reply:
    """Answer what follows a crop well and what does not, by its rotation group."""
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
    lines = [f"{capital(row.why)}."]
    if gap:
        lines.append(
            f"Not {group_name(crop.family.rotation_group, ctx)} again for {plural(gap, 'year')}"
            f"{f'; {crop.family.years_if_diseased} where disease was seen' if crop.family.years_if_diseased else ''}."
        )
    standing = next((p for p in ctx.plot.standing(crop=crop.id) if p.bed in ctx.plot.beds), None)
    choices: tuple[Choice, ...] = ()
    if standing and standing.bed:
        place = bed_name(standing.bed, ctx)
        choices = (Choice(f"What fits {place} then?", f"what fits {place} after the {name}", "fits_bed"),)
    return Reply(
        head,
        lines=tuple(lines),
        sources=(*row.source, *crop.family.source[:2]),
        choices=choices,
        data={"rotation": {"crop": crop.id, "good": good, "poor": list(row.poor), "years": gap}},
    )
