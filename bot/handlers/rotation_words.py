"""How rotation is said: families in plain words, when one was last in a bed, the numbers behind it."""

from __future__ import annotations

from typing import Any

from bot.growing.rotation import Gap
from bot.handlers.context import Context
from bot.handlers.growing_words import is_are
from bot.wording import capital, plural

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


def group_name(group: str, ctx: Context) -> str:
    """Say a rotation group in plain words."""
    pair = _GROUPS.get(group, (group.replace("-", " "),) * 2)
    return ctx.say.pick(*pair)


def history_line(gap: Gap, ctx: Context) -> str:
    """Say when a group of crops last stood in the bed, and which crop it was."""
    if gap.last is None:
        return f"none of {group_name(gap.group, ctx)} recorded."
    was = capital(ctx.say.crop(gap.last_crop or ""))
    stood = (
        f"{is_are(gap.last_crop or '', ctx)} there now"
        if gap.last >= ctx.today
        else f"till {ctx.say.part_of_month(gap.last)}{'' if gap.last.year == ctx.today.year else f' {gap.last.year}'}"
    )
    want = f"; the family wants {plural(gap.years_needed, 'year')}" if gap.years_needed else ""
    ill = f" because {str(gap.disease).replace('-', ' ')} was seen" if gap.disease else ""
    return f"{was} {stood}{want}{ill}."


def working(gap: Gap, ctx: Context) -> tuple[str, ...]:
    """Return the years asked between crops of a group beside the years since the last."""
    since = gap.years_since(ctx.today)
    return (
        f"{capital(group_name(gap.group, ctx))}: {plural(gap.years_needed, 'year')} asked, "
        + (
            f"{since:.1f} years since {ctx.say.crop(gap.last_crop or '')}"
            if since is not None
            else "never recorded there"
        )
        + ".",
    )


def gap_data(gap: Gap) -> dict[str, Any]:
    """Return a gap as the plain data of a reply, days as ISO dates."""
    return {
        "group": gap.group,
        "years": gap.years_needed,
        "last": gap.last.isoformat() if gap.last else None,
        "last_crop": gap.last_crop,
        "free_from": gap.free_from.isoformat() if gap.free_from else None,
        "disease": gap.disease,
    }
