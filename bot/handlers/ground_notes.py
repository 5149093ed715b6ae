"""What follows from a feed written down: the wait of raw manure, lime too near manure, lime on potatoes."""

from __future__ import annotations

from datetime import date, timedelta

from bot.handlers.context import Context
from bot.handlers.manuring import MANURES
from bot.plot.events import NewEvent
from bot.request import Request
from bot.tending.soil import safe_from
from bot.wording import listing

#: Lime and manure keep this far apart on one bed.
APART = timedelta(weeks=4)


def what_follows(
    events: list[NewEvent], material: str | None, request: Request, day: date, ctx: Context
) -> tuple[list[str], list[str], dict[str, object]]:
    """Return what follows: the wait for raw manure, lime too near manure, lime before potatoes."""
    lines: list[str] = []
    cautions: list[str] = []
    data: dict[str, object] = {}
    for event in events:
        near = _too_near(event, material, day, ctx)
        if near:
            cautions.append(near)
            break
    if any(e.data.get("fresh") for e in events):
        crops = {e.crop for e in events if e.crop} | {p.crop for e in events if e.bed for p in ctx.plot.standing(e.bed)}
        room = ctx.facts.tending.manure
        worst = max((safe_from(day, c, room) for c in crops), default=safe_from(day, None, room))
        cautions.append(
            "Raw manure: pick nothing that touches the soil there before "
            f"{ctx.say.day(safe_from(day, None, room), ctx.today)}."
        )
        data["safe_from"] = worst.isoformat()
    if material == "lime":
        potatoes = [
            p for e in events if e.bed for p in ctx.plot.standing(e.bed) if p.crop in ("potato", "potato-early")
        ]
        if potatoes:
            cautions.append("Potatoes stand there: lime brings scab.")
        lines.append("Test the soil again in three months, not sooner.")
    if material in MANURES and not cautions:
        beds = [e.bed for e in events if e.bed]
        roots = [c for b in beds for c in {p.crop for p in ctx.plot.standing(b)} if c in ("carrot", "parsnip")]
        if roots:
            lines.append(f"The {listing([ctx.say.crop(c) for c in roots])} there may fork.")
    return lines, cautions, data


def _too_near(event: NewEvent, material: str | None, day: date, ctx: Context) -> str | None:
    """Return a caution when lime and manure meet on one bed within some weeks."""
    if event.bed is None or material not in ("lime", *MANURES):
        return None
    others = MANURES if material == "lime" else ("lime",)
    for old in ctx.plot.events("fed"):
        if old.bed == event.bed and old.data.get("material") in others and abs(day - old.day) < APART:
            first, second = ("manure", "Lime") if material == "lime" else ("lime", "Manure")
            return (
                f"{second} so soon after {first} there ({ctx.say.day(old.day, ctx.today)}) drives off "
                "nitrogen as ammonia; leave some weeks between them."
            )
    return None
