"""Questions about jars that ask for no time: a seal that failed, an old jar, the acid in tomatoes."""

from __future__ import annotations

import math

from bot.handlers.bottling_refusals import DEFER, GUIDE, figures
from bot.handlers.context import Context
from bot.handlers.jar_keeping import asks_of_keeping, kept_jars, once_opened
from bot.preserving.altitude import to_feet
from bot.preserving.canning import Verdict, candidates
from bot.preserving.ledger import life_of
from bot.preserving.matching import find, words_of
from bot.preserving.measures import prose
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital


def jar_question(request: Request, ctx: Context, metres: float | None) -> Reply | None:
    """Return the answer when a message asks about a seal, a jar's age or acid, else None."""
    text, words = words_of(request), ctx.facts.preserving.words
    if find(text, words.old_lids):
        return _old_lids(ctx, metres)
    if find(text, words.unsealed):
        return _unsealed(ctx, metres)
    if find(text, words.sealed):
        return _sealed(ctx, metres)
    if request.product and asks_of_keeping(request, ctx) and (kept := kept_jars(request.product, request.crop, None, request, ctx)) is not None:
        return kept.with_(cautions=(*kept.cautions, DEFER), data=figures("ask", Verdict("ask", "keeping"), metres))
    if find(text, words.sterile_jars) and not (request.crops and "crops" not in request.inherited):
        return _sterile(ctx, metres)
    if find(text, words.acid_question):
        return _acid(request, ctx, metres)
    if find(text, words.still_good) and not find(
        text, ["how (?:do|to|can) (?:i|we|you)? ?(?:can|bottle|process|make)"]
    ):
        return _still_good(request, ctx, metres)
    return None


def _old_lids(ctx: Context, metres: float | None) -> Reply:
    rule = ctx.facts.preserving.rule("lids-once")
    return Reply(
        "No: a new flat lid for every jar, every time.",
        lines=(f"{rule.rule}.", "Old lids do for dry goods, the fridge and the freezer."),
        sources=tuple(rule.source),
        data=figures("ask", Verdict("ask", "lids"), metres),
    )


def _unsealed(ctx: Context, metres: float | None) -> Reply:
    rule = ctx.facts.preserving.rule("unsealed-24h")
    return Reply(
        f"Not for the shelf: an unsealed jar goes in the fridge, or back in the canner within {rule.value} hours.",
        lines=(
            "If it had sealed and came loose later in the cupboard, do not taste it: bag it and bin it.",
            "To do it again: new lid, check the rim for chips, and the whole tested time from the start.",
            "Or freeze it, with room at the top, or keep it in the fridge and eat it within days.",
        ),
        cautions=(DEFER,),
        sources=tuple(rule.source),
        data=figures("refused", Verdict("refused", "unsealed"), metres),
    )


def _sealed(ctx: Context, metres: float | None) -> Reply:
    rule, late = ctx.facts.preserving.rule("cool-undisturbed"), ctx.facts.preserving.rule("unsealed-24h")
    return Reply(
        f"Sealed, if the lid is drawn down in the middle and does not give when you press it, {rule.value} hours after the canner.",
        lines=(
            "A lid that springs up under the finger is not sealed. Do not retighten the bands meanwhile.",
            f"One that did not seal goes in the fridge, or back for the whole tested time within {late.value} hours.",
        ),
        cautions=(DEFER,),
        sources=tuple(dict.fromkeys([*rule.source, *late.source])),
        data=figures("ask", Verdict("ask", "sealed"), metres),
    )


def _sterile(ctx: Context, metres: float | None) -> Reply:
    when, how = ctx.facts.preserving.rule("sterile-jars"), ctx.facts.preserving.rule("sterile-jars-how")
    assert how.value is not None  # a rule of minutes
    high = math.ceil(to_feet(metres) / 1000 - 1) if metres is not None and to_feet(metres) > 1000 else 0  # a minute more per 1,000 ft
    at = f" at {ctx.say.height(metres)}" if metres is not None else f", and one more for every {ctx.say.height(305)} of height"
    return Reply(
        f"Boil the empty jars first only for what is processed less than {when.value} minutes, as most jams are.",
        lines=(f"Keep them under boiling water for {int(how.value) + high} minutes{at}, and fill them hot.", "For all else clean hot jars will do: the processing itself sterilises them."),
        cautions=(DEFER,),
        sources=tuple(dict.fromkeys([*when.source, *how.source])),
        data=figures("ask", Verdict("ask", "sterile"), metres),
    )


def _acid(request: Request, ctx: Context, metres: float | None) -> Reply | None:
    products = candidates(request.crop, ctx.facts.preserving) if request.crop else []
    sour = next((p for p in products if p.acid == "jar" and p.acid_note), None)
    if sour is None or sour.acid_note is None:
        return None
    always = f"{ctx.say.crop(request.crops[0])} are always acidified, jar by jar, whichever canner you use."
    amount = prose(ctx.say, sour.acid_note)
    much = ctx.facts.asking.ground.how_much.search(request.text) is not None
    return Reply(
        amount if much else f"Yes: {always}",
        lines=(
            capital(always) if much else amount,
            "Bottled lemon juice, not fresh: its strength is known. Sugar can soften the taste.",
            "Put it in the jar before the food. Then process for the tested time.",
        ),
        sources=tuple(sour.source),
        data=figures("ask", Verdict("ask", "acid", product=sour), metres),
    )


def _still_good(request: Request, ctx: Context, metres: float | None) -> Reply:
    facts = ctx.facts.preserving
    rule, unseen = facts.rule("use-within-year"), facts.rule("botulism-unseen")
    lines = [
        "Good only if it was done for a tested time, the seal is tight, and it was kept cool and dark.",
        "Do not taste it if the lid is bulging or loose, it leaks, spurts, fizzes, or smells or looks wrong.",
    ]
    if request.crop in facts.words.low_acid:
        lines.append(
            "Vegetables only if they went through a pressure canner. If not, or you do not know: bin it untasted."
        )
    life = life_of(request.product, facts) if request.product else None
    if life is not None and (after := once_opened(life, request.crop, ctx)):
        lines.append(after)
    return Reply(
        f"A well-made jar is at its best for {rule.value} months; after that it loses colour and taste first.",
        lines=tuple(lines),
        cautions=("A jar can carry botulism and look, smell and taste right. In doubt, throw it out untasted.",),
        sources=tuple(dict.fromkeys([*rule.source, *unseen.source, GUIDE])),
        data=figures("ask", Verdict("ask", "keeping"), metres),
    )
