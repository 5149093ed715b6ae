"""A question of cold about one crop: its figures, the cover it stands under and the days asked of."""

from __future__ import annotations

from datetime import date

from bot.facts.crop import Crop
from bot.handlers.cold import cold_of, cover_name, is_many
from bot.handlers.context import Context
from bot.reply import Reply
from bot.request import Request
from bot.season import Season
from bot.season.winter import winter_of, winter_span

_STATES = {"flower": "The flowers", "dormant": "Roots, crowns and resting plants", "head": "Formed heads",
           "seedling": "Seedlings"}
#: Covers that are worth offering, the least first.
BETTER = ("fleece", "cold-frame", "polytunnel", "polytunnel-fleece")


class ColdQuestion:
    """What is asked, and the lines of its answer as they are put together."""

    def __init__(self, crop: Crop, request: Request, ctx: Context) -> None:
        self.crop, self.request, self.ctx, self.say = crop, request, ctx, ctx.say
        self.cold = cold_of(crop, ctx.facts)
        self.name = ctx.say.crop(crop.id)
        self.many = is_many(crop, ctx.say.words)
        self.cover = _cover(request, ctx)
        self.span = span_asked(request, ctx)
        self.words = ctx.facts.asking.cold
        self.lines: list[str] = []

    def chance(self, kill: float, cover: str | None) -> float | None:
        """Return the chance of living through the span under a cover; None where the place is not known."""
        if self.ctx.season is None or self.span is None:
            return None
        return self.ctx.season.survival(kill, *self.span, cover)

    def does(self, many: str, one: str) -> str:
        """Say the crop's name with a verb in its number."""
        return f"{self.name} {many if self.many else one}"

    def under(self, cover: str | None) -> str:
        """Say a cover as a place: ' under garden fleece', ' in a cold frame'."""
        if not cover:
            return ""
        if cover == "indoors":
            return " indoors"
        kind = self.ctx.facts.climate.covers[cover]
        return f" {'in' if kind.within else 'under'} {cover_name(kind, self.say)}"

    def working(self) -> tuple[str, ...]:
        """Say the figures the answer rests on."""
        rows = []
        for row in self.cold.rows:
            figures = [f"{word} {self.say.temp(value)}" for word, value in
                       (("hurt from", row.damage_c), ("killed at", row.kill_c)) if value is not None]
            if figures:
                why = f" ({self.say.prose(row.conditions)})" if row.conditions else ""
                rows.append(f"{_STATES.get(row.state, 'The plant')}: {', '.join(figures)}{why}")
        season = self.ctx.season
        return (*rows, f"Taken here: {self.name} killed at {self.say.temp(round(self.cold.kill_c, 1))}.",
                *(season.notes if season else ()))


def winters(season: Season, ctx: Context) -> str:
    """Say the coldest night of a usual winter here, and of a hard one."""
    winter = winter_of(season)
    return f"The coldest night of a usual winter here is {ctx.say.temp(round(winter.usual))}, of a hard one {ctx.say.temp(round(winter.hard))}"


def stranger_in_cold(request: Request, ctx: Context, intent: str) -> Reply | None:
    """Tell what frost does to a plant that is no kitchen crop, beside the cold nights of the place; None where that is not known."""
    stranger = ctx.facts.groups.stranger(request.unknown_crop) if request.unknown_crop and not request.crops else None
    if stranger is None or not stranger.cold:
        return None
    head, _, rest = ctx.say.prose(stranger.cold).partition(". ")
    nights = f"{winters(ctx.season, ctx)}." if ctx.season is not None else ""
    return Reply(f"{head.removesuffix('.')}.", tuple(line for line in (nights, rest) if line),
                 sources=tuple(stranger.source), data={intent: {}})


def _cover(request: Request, ctx: Context) -> str | None:
    """Return the cover meant: the one named, or that of the bed named."""
    bed = ctx.plot.beds.get(request.bed or "")
    named = request.cover or (bed.cover if bed else None)
    try:
        found = ctx.facts.climate.cover_id(named) if named else None
    except KeyError:
        return None
    return None if found == "none" else found


def span_asked(request: Request, ctx: Context) -> tuple[date, date] | None:
    """Return the days asked of: those named, or the winter to come; None where the place is not known."""
    if ctx.season is None:
        return None
    if request.when and request.when.end > ctx.today and not request.when.single:
        return max(request.when.start, ctx.today), request.when.end
    return winter_span(ctx.season, ctx.today)
