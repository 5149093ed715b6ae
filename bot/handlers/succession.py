"""What comes after what was just offered for a bed: "and after that?"."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from bot.growing.asking import SOON, Ground, ground_for
from bot.handlers.context import Context
from bot.plot.state import Bed, Planting
from bot.request import Request

_THEN = re.compile(
    r"\b(?:after (?:that|them|those|it|this|the)|afterwards?|(?:and|what|what's|whats) (?:then|next)|then what|next up|follow(?:s|ed)? (?:that|it|them))\b",
    re.I,
)
#: A planting that is only spoken of has this number, which none on record has.
_SPOKEN_OF = 0


def after_that(request: Request, ctx: Context) -> Ground | None:
    """Return the ground as it will be once the crop just offered for it is out; None when no such thing is asked."""
    reply, season = ctx.memory.reply, ctx.season
    if reply is None or season is None or not _THEN.search(request.text):
        return None
    if (request.beds and "beds" not in request.inherited) or (request.size_m and "size_m" not in request.inherited):
        return None
    data: dict[str, Any] = reply.data.get("fits_bed") or {}
    one = (reply.data.get("why_not") or {}).get("offer")
    offers = data.get("offers") or ([one] if one else [])
    if request.crops and "crops" not in request.inherited:
        offers = [o for o in offers if o["crop"] == request.crops[0]]
    asked = next((r for r in reversed(ctx.memory.requests) if r.intent in ("fits_bed", "why_not") and not _THEN.search(r.text)), None)
    if not offers or asked is None:
        return None
    ground = ground_for(asked.with_(crops=()), ctx.plot, ctx.facts, season, ctx.today)
    if isinstance(ground, Bed):
        return None
    bed = ground.place.bed.id if ground.place.bed else None
    steps = [*data.get("planned", ()), {"crop": offers[0]["crop"], "begin": offers[0]["begin"], "out": _out(offers[0])}]
    plantings = [
        Planting(_SPOKEN_OF, s["crop"], bed=bed, method="direct", sown=date.fromisoformat(s["begin"]), cleared=date.fromisoformat(s["out"]))
        for s in steps
    ]
    first = plantings[-1].cleared or ctx.today
    held = replace(ground.plot, plantings=(*ground.plot.plantings, *plantings))
    return replace(ground, first_day=first, last_day=first + SOON, plot=held, after=plantings[-1], others=(),
                   place=replace(ground.place, until=None, until_crop=None))


def planned(ground: Ground) -> list[dict[str, str]]:
    """Return the crops only spoken of that come before this ground is free, oldest first: crop, begin, out."""
    return [
        {"crop": p.crop, "begin": p.sown.isoformat(), "out": p.cleared.isoformat()}
        for p in ground.plot.plantings
        if p.id == _SPOKEN_OF and p.sown and p.cleared
    ]


def _out(offer: dict[str, Any]) -> str:
    return (date.fromisoformat(offer["last_harvest"]) + timedelta(days=1)).isoformat()
