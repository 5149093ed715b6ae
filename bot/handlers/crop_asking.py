"""What the crop handlers ask when they do not know which crop is meant."""

from __future__ import annotations

from rapidfuzz import fuzz, process

from bot.facts.crop import Crop
from bot.handlers import Handler
from bot.handlers.context import Context
from bot.reply import Reply, ask
from bot.request import Request

#: Answers for several crops no longer than this, letters in all, are said in the first line itself.
_IN_ONE_LINE = 110


def which_crop(request: Request, ctx: Context, question: str, verb: str) -> Crop | Reply:
    """Return the crop asked about, or the reply that asks for it.

    `question` is asked when nothing was named ("Which crop do you want to space?"); `verb` followed by a crop's name
    makes the choices messages that can be typed.
    """
    if request.crop and request.crop in ctx.facts.crops:
        return ctx.facts.crops[request.crop]
    choices = request.crop_choices
    if len(choices) > 1:
        growing = [crop for crop in choices if ctx.plot.standing(crop=crop)]
        if len(growing) == 1:
            return ctx.facts.crops[growing[0]]
        return ask(
            "Which one do you mean?",
            [(ctx.say.crop(c, 1), f"{verb} {ctx.say.crop(c, 1)}") for c in choices[:6]],
            waiting=request,
            wants="crop",
        )
    if choices:
        return ctx.facts.crops[choices[0]]
    if request.unknown_crop:
        stranger = ctx.facts.groups.stranger(request.unknown_crop)
        if stranger is not None:
            return Reply(stranger.says, sources=tuple(stranger.source),
                         lines=("I know the plants of the kitchen garden only.",))
        near = nearest_crops(request.unknown_crop, ctx)
        if near:
            said = " or ".join(ctx.say.crop(c, 1) for c in near)
            return ask(
                f"I don't know {request.unknown_crop}. Did you mean {said}?",
                [(ctx.say.crop(c, 1), f"{verb} {ctx.say.crop(c, 1)}") for c in near],
                waiting=request,
                wants="crop",
            )
        return ask(f"I don't know {request.unknown_crop}, sorry. {question}", waiting=request, wants="crop")
    here = list(dict.fromkeys(p.crop for p in ctx.plot.standing() if p.crop in ctx.facts.crops))[:4]
    return ask(question, [(ctx.say.crop(c), f"{verb} {ctx.say.crop(c)}") for c in here], waiting=request, wants="crop")


def one_by_one(request: Request, ctx: Context, handler: Handler, key: str, title: str) -> Reply:
    """Answer for each of several crops with its own headline under `title` ("Sowing depth").

    `data[key]` holds the first crop's figures and the others' under "more".
    """
    crops = [crop for crop in request.crops if crop in ctx.facts.crops]
    replies = [handler(request.with_(crops=(crop,), group=None), ctx) for crop in crops]
    heads = list(dict.fromkeys(reply.headline for reply in replies))
    figures = [reply.data[key] for reply in replies if reply.data.get(key)]
    what = f" of {request.group}" if request.group else ""
    verdicts = any(head.startswith(("Yes", "No")) for head in heads)
    few = not request.group and not verdicts and len(" ".join(heads)) <= _IN_ONE_LINE
    return Reply(
        " ".join(heads) if few else f"{title}{what}:",
        lines=() if few else tuple(heads[:10]),
        more=tuple(heads[10:]),
        cautions=tuple(dict.fromkeys(c for reply in replies for c in reply.cautions))[:3],
        working=tuple(dict.fromkeys(w for reply in replies for w in reply.working))[:12],
        sources=tuple(dict.fromkeys(s for reply in replies for s in reply.sources)),
        data={key: {**figures[0], "more": figures[1:]}} if figures else {},
    )


def nearest_crops(word: str, ctx: Context, count: int = 2) -> list[str]:
    """Return up to `count` crop ids whose names look like a word that is not one of ours."""
    names = {
        name.name.lower(): crop.id
        for crop in ctx.facts.crops.values()
        for name in crop.names
        if name.kind != "botanical"
    }
    found = process.extract(word.lower(), list(names), scorer=fuzz.ratio, limit=8, score_cutoff=60)
    return list(dict.fromkeys(names[name] for name, _, _ in found))[:count]


def cited(*blocks: object) -> tuple[str, ...]:
    """Return the source ids of some blocks, each once; blocks that are None have none."""
    return tuple(
        dict.fromkeys(source for block in blocks if block is not None for source in getattr(block, "source", ()))
    )
