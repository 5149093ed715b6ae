"""Saying no to a way of bottling: plainly, why in one sentence, and what is safe instead."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bot.handlers.context import Context
from bot.preserving.blanching import rows_of
from bot.preserving.canning import JAR_LITRES, Row, Verdict, candidates
from bot.preserving.matching import find, whole_of, words_of
from bot.preserving.measures import prose
from bot.preserving.refusing import refused
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import number, small

GUIDE = "usda-cghc-2015"
METHODS = {
    "boiling-water": "in a boiling-water canner",
    "pressure-dial": "in a pressure canner, dial gauge",
    "pressure-weighted": "in a pressure canner, weighted gauge",
}
DEFER = "Your own country's food-safety authority has the last word."


def figures(
    verdict: str, found: Verdict, metres: float | None, row: Row | None = None, rows: Sequence[Row] = ()
) -> dict[str, Any]:
    """Build the figures for scripts; minutes and psi only ever from a tested row."""
    data: dict[str, Any] = {
        "verdict": verdict,
        "product": found.product.id if found.product else None,
        "method": row.method if row else found.method,
        "pack": row.pack if row else None,
        "jar": row.jar if row else found.jar,
        "minutes": row.minutes if row else None,
        "psi": row.psi if row else None,
        "altitude_m": metres,
    }
    if found.reason:
        data["reason"] = found.reason
    if rows:
        data["rows"] = [r.as_json() for r in rows]
    return data


def weak_vinegar(strength: float, metres: float | None) -> Reply:
    """Refuse vinegar under 5 % for anything kept on a shelf."""
    return Reply(
        headline=f"No: vinegar of {number(strength, 0.1)} % is too weak for jars on the shelf.",
        lines=(
            "Every tested pickle needs vinegar labelled 5 % acetic acid or stronger; a weaker one can let "
            "botulism grow.",
            "Safe instead: buy one labelled 5 % or more; or use yours for a fridge pickle, dated and eaten "
            "within a month; or freeze them.",
        ),
        sources=(GUIDE,),
        data={
            "verdict": "refused",
            "product": None,
            "method": None,
            "pack": None,
            "jar": None,
            "minutes": None,
            "psi": None,
            "altitude_m": metres,
            "reason": "weak-vinegar",
        },
    )


def ruled_out(about: str, request: Request, ctx: Context, metres: float | None) -> Reply | None:
    """Return the refusal of what no tested way covers, or None."""
    stop = refused(whole_of(request), request.crops or request.crop_choices, ctx.facts.preserving, about)
    return None if stop is None else refused_reply(Verdict("refused", stop.id, refusal=stop), request, ctx, metres)


def refused_reply(found: Verdict, request: Request, ctx: Context, metres: float | None) -> Reply:
    """Say no clearly, why in one sentence, and what is safe."""
    facts, say = ctx.facts.preserving, ctx.say
    crop = request.crop
    name = say.crop(crop) if crop else "it"
    data = figures("refused", found, metres)
    if found.refusal is not None:
        row = found.refusal
        return Reply(
            headline=row.says,
            lines=(
                row.why,
                "Safe instead: " + "; ".join(small(prose(say, r)) for r in row.routes) + ".",
            ),
            cautions=(DEFER,),
            sources=tuple(row.source),
            choices=_routes(crop, ctx),
            data=data,
        )
    product = found.product
    thing = product.name if product else name
    smaller: tuple[Choice, ...] = ()
    sources: tuple[str, ...] = tuple(product.source) if product else (GUIDE,)
    if found.reason == "low-acid":
        head = f"No: {thing} must not be {say.pick('bottled', 'canned')} in boiling water."
        why = (
            "Low in acid: botulism spores live through boiling, however long, and grow in the sealed "
            "jar; only a pressure canner is hot enough."
        )
        if product or any(p.acid == "low" for p in found.choices):
            why += " Ask again with 'pressure canner' for the tested time."
    elif found.reason == "untested":
        rule = facts.rule(found.rule) if found.rule else None
        head = f"No: I hold no tested way to {say.pick('bottle', 'can')} {_thing_asked(request, ctx, name)}."
        why = (
            f"{prose(say, rule.rule)}."
            if rule
            else (
                "Without a tested time nobody knows whether the heat reaches the middle of the jar"
                + (", and this is low in acid, where botulism can grow." if crop in facts.words.low_acid else ".")
            )
        )
        if crop == "runner-bean" and "pickled" not in head:
            why = (
                "The published table names green (French) beans and not runners, so no tested time "
                "covers them, and beans are low in acid."
            )
        sources = tuple(rule.source) if rule else sources
    elif found.reason == "jar":
        sizes = sorted({j for p in product.processes for j in p.jar}, key=lambda j: JAR_LITRES[j]) if product else []
        head = f"No tested time for {thing} in that size of jar: it is larger than any tested."
        why = (
            "Bigger jars heat more slowly in the middle, and no sum stretches a tested time to them; tested: "
            f"{', '.join(f'{s} ({round(JAR_LITRES[s] * 1000)} ml)' for s in sizes)} or smaller."
        )
        sources = (*sources, "psu-half-gallon")
        smaller = tuple(Choice(f"In {s} jars", f"processing time for {thing} in {s} jars") for s in sizes[-1:])
    elif found.reason == "mixture":
        extra = say.crop(str(found.detail.get("extra")))
        head = f"No: {thing} with {extra} in the jar have no tested time."
        why = (
            f"{extra[0].upper()}{extra[1:]} are low in acid and push the jar out of the tested range. "
            "Ask for each apart."
        )
    elif found.reason == "height":
        head = f"No tested time for {thing} that way at {say.height(metres or 0)}."
        why = "The published table stops below your height for that gauge; above it I give no figure."
    elif found.reason == "steam":
        head = f"No: {thing} take too long for a steam canner."
        why = "A steam canner runs dry before the tested time is up; use a boiling-water canner."
    elif found.reason == "pack":
        head = f"No tested time for {thing} in a {found.detail.get('pack')} pack."
        why = "The two packs heat differently, and only the other was tested."
    else:
        head = f"No tested time for {thing} in that kind of canner."
        have = list(dict.fromkeys(METHODS[p.method] for p in product.processes)) if product else []
        why = f"It was tested only {' or '.join(have)}."
    lines = [why, _safe_line(crop, ctx)]
    return Reply(
        headline=head,
        lines=tuple(line for line in lines if line),
        cautions=(DEFER,),
        sources=sources,
        choices=(*smaller, *_routes(crop, ctx)),
        data=data,
    )


def _thing_asked(request: Request, ctx: Context, name: str) -> str:
    """Name what was asked for: the crop, with the kind of product when one was named ('courgette chutney')."""
    text = words_of(request)
    kind = next((k for k, words in ctx.facts.preserving.words.kinds.items() if find(text, words)), None)
    if kind is None or request.crop is None:
        return name if name != "it" else "that"
    return f"{ctx.say.crop(request.crop, 1)} {kind}" if kind != "pickle" else f"pickled {name} for the shelf"


def _safe_line(crop: str | None, ctx: Context) -> str:
    """Say what is safe for a crop: freezing, tested pickles, drying, storing."""
    if crop is None:
        return "Safe instead: freeze it, or keep it in the fridge with a date on it."
    facts = ctx.facts.preserving
    routes = []
    rows = rows_of(crop, facts)
    if not rows:
        routes.append("freeze the finished dish")
    if rows and rows[0].treatment != "unsuitable":
        routes.append("freeze " + ctx.say.crop(crop))
    tested = [
        p.name for p in candidates(crop, facts) if p.kind in ("pickle", "relish", "chutney", "jam", "ferment", "salsa")
    ]
    if tested:
        routes.append(prose(ctx.say, f"a tested recipe ({', '.join(tested[:3])})"))
    if any(p.acid == "low" and p.kind == "plain" for p in candidates(crop, facts)):
        routes.append("a pressure canner")
    if any(d.crop == crop for d in facts.drying):
        routes.append("dry them")
    if crop in facts.words.low_acid or not tested:
        routes.append("a fridge pickle, dated and eaten within a month")
    return f"Safe instead: {'; '.join(routes)}."


def _routes(crop: str | None, ctx: Context) -> tuple[Choice, ...]:
    if crop is None:
        return ()
    facts, name = ctx.facts.preserving, ctx.say.crop(crop)
    choices = []
    rows = rows_of(crop, facts)
    if rows and rows[0].treatment != "unsuitable":
        choices.append(Choice("Freeze them", f"how do I freeze {name}"))
    if any(p.kind in ("pickle", "relish", "chutney") for p in candidates(crop, facts)):
        choices.append(Choice("A tested pickle", f"pickle {name}"))
    if any(p.acid == "low" and p.kind == "plain" for p in candidates(crop, facts)):
        choices.append(Choice("Pressure canner", f"how do I bottle {name} in a pressure canner"))
    return tuple(choices)
