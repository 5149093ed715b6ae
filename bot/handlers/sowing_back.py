"""When to begin a crop so that it is ready for a day or month named: "carrots for Christmas", "kale by October"."""

from __future__ import annotations

import re
from datetime import timedelta

from bot.facts.crop import Crop
from bot.growing.calendar import GardenYear
from bot.growing.curves import Curves
from bot.growing.maturity import picking
from bot.growing.windows import RAISED, Window
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited
from bot.handlers.growing_words import begin, span
from bot.reply import Reply
from bot.request import Request, When
from bot.wording import capital

_STEP_DAYS = 3
_AHEAD_DAYS = 14  # a day nearer than this is a day to sow on


def for_target(request: Request, crop: Crop, found: list[tuple[Window, Curves, str]], ctx: Context) -> Reply | None:
    """Return the days to begin on so that something can be picked at the time asked for; None when no such time is.

    `found` holds each window with the year where the crop would stand and the words for that place. A sowing counts
    when something of it can be picked, or still stands in the ground, at the time named.
    """
    assert ctx.season is not None
    year = GardenYear.around(ctx.today, ctx.season.southern)
    season = ctx.facts.asking.sowing.season(request.text) or _said_before_it(crop, request.text, ctx.facts.asking.cold.autumn)
    when = request.when
    if season is not None and (when is None or not _wanted_for(request)):
        when = When(*year.coming(*ctx.facts.growing.season(season), ctx.today), season)
    elif when is None or (when.start - ctx.today).days < _AHEAD_DAYS or not _wanted_for(request):
        return None
    today, low, high = year.count(ctx.today), year.count(when.start), year.count(when.end)
    name, lines = ctx.say.crop(crop.id), []
    for window, here, where in found:
        starts = [day for day in range(int(today), int(high), _STEP_DAYS) if window.holds(day) is not None and _ready(crop, window, day, low, high, here, sure=when.single)]
        if starts:
            lines.append(f"{begin(window.method, crop.id, ctx)}{where} {span(year.day(starts[0]), year.day(starts[-1]), ctx)}")
    whole = not when.single and (when.start.day, (when.end + timedelta(1)).day) == (1, 1)
    said = (ctx.say.pick('autumn', 'fall') if season == 'autumn' else season) if when is not request.when and season else ctx.say.day(when.start, ctx.today) if when.single else f"{when.start:%B}" if whole else span(when.start, when.end, ctx)
    data = {"when_sow": {"crop": crop.id, "ready_for": [when.start.isoformat(), when.end.isoformat()], "windows": []}}
    if not lines:
        return Reply(f"Nothing begun from today on would give {name} to pick {'for' if when is request.when else 'in'} {said}.", lines=(f'Ask "how do I store {name}" to have them from the store, or "when do I sow {name}" for their season here.',), data=data)
    head = f"For {said} {name}" if when is not request.when else f"For {name} by {said}"
    return Reply(f"{head}: {lines[0]}.", lines=tuple(f"{capital(line)}." for line in lines[1:5]), sources=cited(crop.sowing), data=data)


def _wanted_for(request: Request) -> bool:
    assert request.when is not None
    words = re.escape(request.when.words)
    return re.search(rf"\b(?:for|by|in time for|(?:ready|eat\w*|pick\w*|harvest\w*|have \w+)(?: \w+){{0,2}} (?:in|at|on|over)) (?:the )?{words}", request.text, re.IGNORECASE) is not None


def _said_before_it(crop: Crop, text: str, autumn: re.Pattern[str]) -> str | None:
    """Return the season said before a crop's name ("fall tomatoes"); none for a kind that is called by it ("autumn cabbage")."""
    forms = "|".join(re.escape(form) for name in crop.names for form in (name.name, name.plural) if form)
    found = re.search(rf"(?:{autumn.pattern}) (?:{forms})\b", text, re.IGNORECASE)
    if found is None or any(found[0].lower() in (name.name.lower(), (name.plural or "").lower()) for name in crop.names):
        return None
    return "autumn"


def _ready(crop: Crop, window: Window, day: float, low: float, high: float, here: Curves, *, sure: bool) -> bool:
    """Tell whether a beginning on a day gives something in the days wanted; `sure` leaves some days for a slow year."""
    method, start = window.method, day
    if method in RAISED:
        weeks = window.rule.weeks_as_seedling or (4.0, 6.0)
        method, start = "plants", day + 7 * (weeks[0] + weeks[1]) / 2
    found = picking(crop, method, start, here, with_chance=False)
    if found is None or (min(found.late, found.first + here.number("target.sure_days")) if sure else found.first) > high:
        return False
    stands = crop.growth is not None and crop.growth.stands_winter and low - found.first <= here.number("standing.coarse_days")
    return max(found.last + _kept_days(crop, here), found.weather_end if stands else 0.0) >= low


def _kept_days(crop: Crop, here: Curves) -> float:
    """Return how long what was picked is still as good as fresh: fruit that keeps for months lies that long."""
    weeks = max((row.weeks[0] for row in crop.storage if row.weeks and row.form == "fruit"), default=0.0)
    return 7 * min(weeks, here.number("target.as_fresh_weeks")) if weeks >= here.number("target.keeper_weeks") else 0.0
