"""Pickles, relishes, jam and ferments: tested recipes scaled to the produce or the jars, and salt by weight."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bot.handlers import answers
from bot.handlers.bottling_refusals import ruled_out, weak_vinegar
from bot.handlers.context import Context
from bot.handlers.crop_asking import which_crop
from bot.handlers.fermenting import fermented
from bot.handlers.jar_keeping import asks_of_keeping, kept_jars
from bot.handlers.preserving_asks import keyed, of_its_own, usable_height
from bot.handlers.recipe_telling import recipe_figures, recipe_reply
from bot.preserving.matching import find, whole_of, words_of
from bot.preserving.recipes import named_recipe, pick, recipes_for
from bot.preserving.refusing import vinegar_strength
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing


@answers("pickle")
def pickle(request: Request, ctx: Context) -> Reply:
    """Give a tested pickle, relish, salsa or jam scaled to the amount, its time here, and what must not change."""
    request = of_its_own(request, ctx)
    return keyed("pickle", _pickle(request, ctx))


def _pickle(request: Request, ctx: Context) -> Reply:
    facts, text = ctx.facts.preserving, words_of(request)
    metres = usable_height(request, ctx)
    stop = ruled_out("pickle", request, ctx, metres)
    if stop is not None:
        return stop
    life_asked = asks_of_keeping(request, ctx) or find(text, facts.words.shelf_life)
    if request.product and life_asked and (kept := kept_jars(request.product, request.crop, None, request, ctx)) is not None:
        return kept
    strength = vinegar_strength(request, whole_of(request), ctx.plot.settings.vinegar_percent, facts.words)
    fridge = find(text, facts.words.for_fridge) is not None
    if strength is not None and strength < 5 and not fridge:
        return weak_vinegar(strength, metres)
    named = named_recipe(text, facts)
    of_before = request.crop is None or "crops" in request.inherited
    if named is not None and (of_before or named in recipes_for(request.crops[0], facts)):
        return (
            fermented(request, ctx)
            if named.kind == "ferment"
            else recipe_reply(named, (), request, ctx, metres, fridge)
        )
    # "Dill pickles" are of cucumbers: the recipe's own words settle which crop is meant.
    called = [c for c in request.crop_choices if any(find(text, [re.escape(w) for w in r.words if " " in w]) for r in recipes_for(c, facts))]
    if request.crop is None and len(called) == 1:
        request = request.with_(crops=(called[0],), crop_choices=())
    if request.crop is None and (request.crop_choices or request.unknown_crop):
        known = which_crop(request, ctx, "What do you want to pickle?", "pickle")
        if isinstance(known, Reply):
            return known.with_(data=recipe_figures("ask", None, None, metres))
        request = request.with_(crops=(known.id,))
    recipe, others = pick(request.crop, text, facts)
    if recipe is None and request.crop is None:
        known = which_crop(request, ctx, "What do you want to pickle?", "pickle")
        assert isinstance(known, Reply)
        return known.with_(data=recipe_figures("ask", None, None, metres))
    wanted = [k for k in ("chutney", "salsa", "jam", "relish", "pie") if find(text, facts.words.kinds[k])]
    if recipe is not None and wanted and recipe.kind not in wanted and recipe.kind != "fridge":
        match = [r for r in others if r.kind in wanted]
        recipe, others = (match[0], tuple(r for r in others if r is not match[0])) if match else (None, ())
    if recipe is None:
        return _no_recipe(request, ctx, metres, fridge, wanted)
    if recipe.kind == "ferment":
        return fermented(request, ctx)
    return recipe_reply(recipe, others, request, ctx, metres, fridge)


def _no_recipe(request: Request, ctx: Context, metres: float | None, fridge: bool, wanted: Sequence[str]) -> Reply:
    """Say that no tested recipe of that kind is held, with those of another kind that are, and the safe ways."""
    near = [r.name for r in recipes_for(request.crops[0], ctx.facts.preserving) if r.kind not in ("fridge", "ferment")]
    name = ctx.say.crop(request.crops[0])
    data = recipe_figures("refused", None, None, metres) | {"reason": "untested"}
    lines = [
        "The amount of acid and the time have to be tested together; without that a sealed jar can grow botulism.",
        f"Safe instead: a fridge pickle of {name} with vinegar of 5 % or more, dated, kept at "
        f"{ctx.say.temp(4)} and eaten within a month; or freeze, dry or store them.",
    ]
    kind = wanted[0] if wanted else "pickle recipe"
    head = f"No: I hold no tested {kind} for {name}, so none for the shelf."
    if near:
        lines.insert(0, f"Tested instead: {listing(near[:3], 'or')}.")
    if fridge:
        head = f"A fridge pickle of {name} is fine, but it must stay in the fridge."
        lines = lines[-2:]
        lines[0] = "No sealed jars on a shelf: there is no tested recipe for them."
    return Reply(
        headline=head,
        lines=tuple(lines),
        sources=("usda-cghc-2015",),
        data=data,
        choices=(*(Choice(capital(one), f"recipe for {one}") for one in near[:1]), Choice("Freeze them", f"how do I freeze {name}"), Choice("Store them", f"how do I store {name}")),
    )
