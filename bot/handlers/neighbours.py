"""Which neighbours help a crop or harm it, and what stands behind the claim."""

from __future__ import annotations

import re

from bot.facts.growing import Companion
from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.crop_asking import which_crop
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, listing

_VERDICTS = {"helps": "Helps", "some": "Helps a little", "none": "No real effect", "harms": "Keep apart"}


@answers("companion")
def companion(request: Request, ctx: Context) -> Reply:
    """Tell which neighbours help a crop or harm it, and what stands behind the claim."""
    crops = [c for c in request.crops if c in ctx.facts.crops]
    if crops and len(crops) < 2:  # "beans and onions": any bean will do beside the onion
        crops += [c for c in (*request.crop_choices, *_grouped(request.text, ctx)) if c not in crops][:1]
    if not crops:
        asked = which_crop(request, ctx, "Neighbours for which crop?", "what grows well with")
        if isinstance(asked, Reply):
            return asked
        crops = [asked.id]
    named = [r for r in ctx.facts.growing.companions if r.named is not None and r.named.search(request.text) and set(crops) & set(r.crops_a)]
    if named:  # "marigolds with tomatoes": the flower of the border, and not the one that is eaten
        crops = [c for c in crops if any(c in r.crops_a for r in named)][:1]
    rows = named or [r for r in ctx.facts.growing.companions if _about(r, crops, both=len(crops) > 1 and not request.group)]
    names = listing([ctx.say.crop(c) for c in crops[:2]])
    if len(crops) > 1 and not request.group and not rows:
        return Reply(
            f"I know of no good evidence for or against {names} together.",
            lines=(_family_line(crops, ctx), "Give each its distance and light, and they will do."),
            sources=("common-practice",),
            data={"companion": {"crops": crops, "rows": []}},
        )
    general = [r for r in ctx.facts.growing.companions if r.id in ("flowers-predators", "mixed-cropping-general")]
    if not rows:
        best = general[0]
        return Reply(
            f"No neighbour is proven for {names}; open flowers nearby are worth having.",
            lines=(f"{capital(best.crop_b)}: {best.effect}. {_evidence(best)}",),
            sources=tuple(best.source),
            data={"companion": {"crops": crops, "rows": []}},
        )
    order = {"helps": 0, "some": 1, "harms": 0, "none": 2}
    asks = ctx.facts.asking.rotation
    apart = asks.apart.search(request.text) is not None
    if apart:
        order["harms"] = -1
    elif asks.beside.search(request.text):
        order["harms"] = 1
    other = ctx.facts.crops[crops[1]].said() if len(crops) > 1 else ""
    rows.sort(key=lambda r: (bool(other) and other not in f"{r.crop_a} {r.crop_b}".lower(), order[r.verdict]))
    rows.sort(key=lambda r: not r.beside)  # neighbours before residues and trees
    if apart:
        rows.sort(key=lambda r: r.verdict != "harms")
    first = rows[0]
    other = first.crop_b if crops[0] in first.crops_a else first.crop_a
    head = f"{_VERDICTS[first.verdict]}: {other} with {ctx.say.crop(crops[0])}. {_say(first)}."
    lines = [f"{capital(ctx.say.prose(first.effect))}. {_evidence(first)}"]
    if first.limits:
        lines.append(f"{capital(ctx.say.prose(first.limits))}.")
    lines += [
        f"{_VERDICTS[r.verdict]}: {r.crop_b if crops[0] in r.crops_a else r.crop_a}. {_say(r)}." for r in rows[1:5]
    ]
    return Reply(
        head,
        lines=tuple(lines),
        more=tuple(f"{capital(ctx.say.prose(r.effect))}. {_evidence(r)}" for r in rows[1:4]),
        working=tuple(
            f"{r.crop_a} and {r.crop_b}: {r.size or 'no figure'}; {r.how or ''}".rstrip("; ") for r in rows[:4]
        ),
        sources=tuple(dict.fromkeys(s for r in rows[:4] for s in r.source)),
        data={
            "companion": {
                "crops": crops,
                "rows": [{"id": r.id, "with": r.crop_b, "verdict": r.verdict, "evidence": r.evidence} for r in rows],
            }
        },
    )


def _grouped(text: str, ctx: Context) -> list[str]:
    """Return the crops of a group word in the text ("beans"), for a pair of which one is a group."""
    for word in re.findall(r"[a-z]+", text.lower()):
        group = ctx.facts.groups.named(word)
        if group is not None:
            return list(group.crops)
    return []


def _about(row: Companion, crops: list[str], *, both: bool) -> bool:
    if both:
        a, b = crops[0], crops[1]
        return (a in row.crops_a and b in row.crops_b) or (b in row.crops_a and a in row.crops_b)
    return crops[0] in row.crops_a or (crops[0] in row.crops_b and bool(row.crops_a))


def _say(row: Companion) -> str:
    return row.say.rstrip(".")


def _evidence(row: Companion) -> str:
    return f"Evidence: {row.evidence}." if row.evidence else "No trials behind it that I know."


def _family_line(crops: list[str], ctx: Context) -> str:
    a, b = (ctx.facts.crops[c] for c in crops[:2])
    if a.family.rotation_group == b.family.rotation_group:
        return "They are of one family, so they share pests and should move on together."
    return "They are of different families, so they share few pests."
