"""What to eat first, and what to do with too much of something."""

from __future__ import annotations

from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.crop_asking import which_crop
from bot.handlers.store_finding import where_in
from bot.preserving.blanching import rows_of
from bot.preserving.eating import eating_reply, not_to_eat
from bot.preserving.matching import find, words_of
from bot.preserving.recipes import recipes_for
from bot.preserving.use_soon import Soon, ideas_for, soon_line, use_soon
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital

#: How many things are named before "more".
SHOWN = 6


@answers("use_up")
def use_up(request: Request, ctx: Context) -> Reply:
    """Say what needs eating first with things to do with it, or what to do with a glut of one crop."""
    risky = not_to_eat(request.text, request.crops, ctx.facts.root)
    if risky is not None:
        return eating_reply(risky, request.text, ctx.facts.root)
    if request.crops or request.crop_choices or request.unknown_crop:
        known = which_crop(request, ctx, "Which crop is it?", "what to do with a glut of")
        return known if isinstance(known, Reply) else _glut(known.id, request, ctx)
    items = list(use_soon(ctx.plot, ctx.facts.crops, ctx.today, ctx.say))
    text = words_of(request)
    place = where_in(text, ctx)
    if place is not None:
        items = [i for i in items if i.kind == "stored" and i.where == place] or items
    elif find(text, ctx.facts.preserving.words.put_up):
        items = [i for i in items if i.kind == "stored"] or items
    if not items:
        return Reply(
            "Nothing is down as picked, stored or ready.",
            lines=("Tell me what you pick and put away, and I will keep track of how long it has.",),
            data={"use_up": {"rows": []}},
        )
    return _list(items, ctx)


def _list(items: list[Soon], ctx: Context) -> Reply:
    lines = []
    for item in items[:SHOWN]:
        lines.append(said(item, ctx))
    for item in _with_ideas(items[:SHOWN]):
        ideas = ideas_for(item.crop, ctx.facts.preserving)
        if ideas:
            lines.append(
                f"With {ctx.say.crop(item.crop)}: {', '.join(i.title[0].lower() + i.title[1:] for i in ideas)}."
            )
    few = [i.name for i in items if i.few]
    if few:
        lines.append(f"Nearly out: {', '.join(dict.fromkeys(few))}.")
    first = items[0]
    return Reply(
        f"First {first.name}{_why(first)}.",
        lines=tuple(lines),
        more=tuple(said(i, ctx) for i in items[SHOWN:]),
        choices=tuple(
            Choice(f"Ideas for {ctx.say.crop(c)}", f"what to do with a glut of {ctx.say.crop(c)}")
            for c in dict.fromkeys(i.crop for i in items[:3])
        ),
        sources=("common-practice",),
        data={"use_up": {"rows": [_row(i) for i in items]}},
    )


def _with_ideas(items: list[Soon]) -> list[Soon]:
    """Return the first item of each of the two most urgent crops."""
    seen: dict[str, Soon] = {}
    for item in items:
        seen.setdefault(item.crop, item)
    return list(seen.values())[:2]


def said(item: Soon, ctx: Context) -> str:
    """Say one item, with the bed by its name."""
    place = ctx.plot.beds[item.where].name if item.kind == "standing" and item.where in ctx.plot.beds else None
    return soon_line(item, ctx.say, ctx.today, place)


def _why(item: Soon) -> str:
    if item.days_left is None:
        return ", ready on the plot"
    if item.days_left < 0:
        return ": past best already"
    return (
        ", today"
        if item.days_left == 0
        else ", within a day"
        if item.days_left == 1
        else (f", {item.days_left} days left" if item.days_left <= 21 else "")
    )


def _row(item: Soon) -> dict[str, object]:
    return {
        "crop": item.crop,
        "kind": item.kind,
        "amount": item.amount,
        "unit": item.unit,
        "days_left": item.days_left,
        "where": item.where,
        "since": item.since.isoformat(),
        "nearly_out": item.few,
    }


def _glut(crop: str, request: Request, ctx: Context) -> Reply:
    """Say three things to do with a crop, then how it keeps."""
    facts, name = ctx.facts.preserving, ctx.say.crop(crop)
    ideas = ideas_for(crop, facts, 6, request.text)
    known = ctx.facts.crops.get(crop)
    mine = [i for i in use_soon(ctx.plot, ctx.facts.crops, ctx.today, ctx.say) if i.crop == crop]
    lines = [ctx.say.prose(f"{i.title}: {i.text}") for i in ideas[:3]]
    keep, choices = [], []
    rows = rows_of(crop, facts)
    if rows and rows[0].treatment != "unsuitable":
        keep.append("freeze")
        choices.append(Choice("How to freeze", f"how do I freeze {name}"))
    recipes = [r for r in recipes_for(crop, facts) if r.kind != "fridge"]
    if recipes:
        keep.append(ctx.say.prose(f"a tested recipe ({recipes[0].name})"))
        choices.append(Choice(capital(ctx.say.prose(recipes[0].name)), f"recipe for {recipes[0].name}"))
    if any(d.crop == crop for d in facts.drying):
        keep.append("dry")
        choices.append(Choice("How to dry", f"how do I dry {name}"))
    if known and known.storage:
        keep.append("store")
        choices.append(Choice("How to store", f"how do I store {name}"))
    if keep and keep != ["store"]:
        lines.append(f"To keep: {', '.join(keep)}.")
    lines += [said(i, ctx) for i in mine[:2]]
    cautions = list(known.cautions[:1] if known else [])
    if not ideas and not keep:
        return Reply(
            f"I have no ideas down for {name}.",
            lines=("Give some away while they are fresh.",),
            data={"use_up": {"crop": crop, "ideas": []}},
        )
    head = (
        ctx.say.prose(f"{name[0].upper()}{name[1:]}: {', '.join(i.title[0].lower() + i.title[1:] for i in ideas[:3])}.")
        if ideas
        else f"Eat {name} fresh: I have no dishes down for that crop."
    )
    return Reply(
        head,
        lines=tuple(lines),
        more=tuple(ctx.say.prose(f"{i.title}: {i.text}") for i in ideas[3:]),
        cautions=tuple(cautions),
        choices=tuple(choices[:4]),
        sources=("common-practice",),
        data={"use_up": {"crop": crop, "ideas": [i.title for i in ideas], "rows": [_row(i) for i in mine]}},
    )
