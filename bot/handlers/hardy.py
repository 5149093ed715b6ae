"""Will a crop stand a temperature, and will it come through the winter here."""

from __future__ import annotations

from typing import Any

from bot.facts.asking import ColdWords
from bot.handlers import answers, handler_for
from bot.handlers.blossoming import blossom_alone, in_flower
from bot.handlers.cold_nights import at_degrees, in_a_frost
from bot.handlers.cold_question import ColdQuestion, span_asked, stranger_in_cold, winters
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, which_crop
from bot.handlers.winter_standing import left_in_ground, lifted, through_winter, which_stand
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital


@answers("hardy")
def hardy(request: Request, ctx: Context) -> Reply:
    """Tell whether a crop stands a temperature, or the winter here, with the chance and what a cover changes."""
    words = ctx.facts.asking.cold
    if not request.crops and not request.crop_choices and not request.unknown_crop and ctx.season is not None:
        if request.temperature_c is not None and ctx.plot.standing():
            return handler_for("frost_tonight")(request, ctx)
        if words.which.search(request.text):
            return which_stand(ctx.season, span_asked(request, ctx), ctx)
    if (of_stranger := stranger_in_cold(request, ctx, "hardy")) is not None:
        return of_stranger
    if request.crops and request.temperature_c is None and request.when is not None and request.when.single and (
            0 <= (request.when.start - ctx.today).days <= 1) and ctx.season is not None:
        return handler_for("frost_tonight")(request, ctx)  # "will the basil survive tonight" is asked of this night
    crop = which_crop(request, ctx, "Which crop are you worried about?", "is it hardy:")
    if isinstance(crop, Reply):
        return crop if crop.lines else crop.with_(lines=("I know the plants of the kitchen garden only; name one of them.",))
    if left_in_ground(request, ctx) and lifted(crop, ctx):
        return handler_for("store")(request.with_(crops=(crop.id,)), ctx)
    first = _turned(_answer(ColdQuestion(crop, request, ctx)), request, words)
    rest = [_answer(ColdQuestion(ctx.facts.crops[c], request, ctx)) for c in request.crops[1:4] if c in ctx.facts.crops]
    if not rest:
        return first
    return first.with_(lines=(*first.lines[:3], *(r.headline for r in rest)),
                       sources=tuple(dict.fromkeys(s for r in (first, *rest) for s in r.sources)),
                       working=tuple(dict.fromkeys(w for r in (first, *rest) for w in r.working)),
                       data={"hardy": {**first.data["hardy"], "more": [r.data["hardy"] for r in rest]}})


def _turned(reply: Reply, request: Request, words: ColdWords) -> Reply:
    """Turn the yes and no of an answer where the question was whether the cold kills, or whether the crop must be seen to.

    "How cold" is answered with neither.
    """
    if words.how_cold.match(request.text):
        return reply.with_(headline=capital(reply.headline.removeprefix("No, ").removeprefix("Yes, ")))
    if not (words.kills.search(request.text) or words.needs.search(request.text)):
        return reply
    for was, now in (("No, ", "Yes, "), ("Yes, ", "No, "), ("Seldom: ", "Yes, ")):
        if reply.headline.startswith(was):
            return reply.with_(headline=now + reply.headline.removeprefix(was))
    return reply


def _answer(asked: ColdQuestion) -> Reply:
    """Answer for one crop."""
    outside = asked.request.temperature_c
    if asked.cold.blossom and outside is None and in_flower(asked.crop, asked.request, asked.ctx):
        return blossom_alone(asked, *asked.cold.blossom)
    if not asked.cold.known and not asked.cold.tender and not (asked.cold.blossom and outside is not None):
        return _unknown(asked)
    chance = asked.chance(asked.cold.winter_kill_c, asked.cover)
    data: dict[str, Any] = {"crop": asked.crop.id, "damage_c": asked.cold.damage_c, "kill_c": asked.cold.kill_c,
                            "chance": None if chance is None else round(chance, 3)}
    if asked.cover:
        data["cover"] = asked.cover
    if outside is not None:
        head = at_degrees(asked, outside)
        data["temperature_c"] = outside
    elif asked.words.a_frost.search(asked.request.text) and not asked.cover:
        head = in_a_frost(asked)
    elif chance is None or asked.ctx.season is None:
        head = _plainly(asked)
        asked.lines.append("Tell me where your plot is and I can say how likely that is.")
    else:
        data["kill_c"] = asked.cold.winter_kill_c
        head = through_winter(asked, chance, asked.ctx.season)
        if asked.words.how_cold.match(asked.request.text):
            head, asked.lines = _plainly(asked), [capital(head.removeprefix("No, ").removeprefix("Yes, ")), *asked.lines]
    if not asked.cold.known and asked.cold.tender:
        asked.lines.append("I have no figures of its own for this one: that is the usual for tender crops.")
    return Reply(head, tuple(asked.lines), working=asked.working(), data={"hardy": data},
                 sources=(*cited(*asked.crop.hardiness), "computed:frost-dates-fit"))


def _unknown(asked: ColdQuestion) -> Reply:
    """Say plainly that there are no figures, and what is nearest to one."""
    klass = asked.crop.sowing.hardiness_class if asked.crop.sowing else None
    if klass:
        kind = klass.replace("-", " ")
        be = "They are" if asked.many else "It is"
        asked.lines.append(f"{be} usually counted as {kind}, which is only a guide.")
    if asked.ctx.season is not None:
        asked.lines.append(f"{winters(asked.ctx.season, asked.ctx)}.")
    data = {"crop": asked.crop.id, "damage_c": None, "kill_c": None, "chance": None}
    return Reply(f"I have no cold figures for {asked.name}, so I can't promise either way.", tuple(asked.lines),
                 sources=("common-practice",), data={"hardy": data})


def _plainly(asked: ColdQuestion) -> str:
    at = asked.say.temp(round(asked.cold.winter_kill_c))
    if asked.cold.tender and asked.cold.winter_kill_c == asked.cold.kill_c:
        return f"No, about {at} kills {asked.name}: the first frost ends them."
    return f"{capital(asked.does('stand', 'stands'))} cold down to about {at}."
