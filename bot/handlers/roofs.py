"""Which roof a question about sowing means, and what it is called."""

from __future__ import annotations

import re

from bot.growing.windows import ROOFS
from bot.handlers.context import Context
from bot.request import Request

_SOURCES = ("computed:calendar-fit", "computed:need-from-days", "common-practice")
_NAMED = 8
_CALENDAR = re.compile(r"\b(calendar|strip|chart|picture|show me)\b", re.I)


def roof_of(request: Request, ctx: Context) -> str | None:
    """Return the cover of the roofed bed meant, or of the plot's first one."""
    assert ctx.season is not None
    if request.cover and ctx.season.climate.cover_id(request.cover) in ROOFS:
        return request.cover
    beds = [ctx.plot.beds[b] for b in request.beds if b in ctx.plot.beds] or list(ctx.plot.beds.values())
    covers = [bed.cover for bed in beds if bed.cover and ctx.season.climate.cover_id(bed.cover) in ROOFS]
    for wanted in ("polytunnel", "greenhouse", "polytunnel-fleece", "heated"):
        if wanted in covers:
            return wanted
    return covers[0] if covers else None


def roof_name(cover: str | None, ctx: Context) -> str:
    """Return the name of a roof in the plot's words; a tunnel when it is not known."""
    if cover is None or ctx.season is None:
        return "tunnel"
    kind = ctx.season.climate.cover(cover)
    name = kind.us if ctx.say.words == "us" else kind.gb
    return name.removeprefix("unheated ")


def is_roof(cover: str | None, ctx: Context) -> bool:
    """Tell whether a cover is a roof one grows under to the end."""
    return cover is not None and ctx.season is not None and ctx.season.climate.cover_id(cover) in ROOFS
