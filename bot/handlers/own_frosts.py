"""The gardener's own frost dates."""

from __future__ import annotations

import re
from datetime import date

from bot.handlers import answers
from bot.handlers.beyond import beyond_reach
from bot.handlers.context import Context, ask_place
from bot.plot.events import NewEvent
from bot.reply import Reply, ask
from bot.request import Request
from bot.season import day_in_year, season_for

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = r"(jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*\.?"
_DAY_MONTH = re.compile(
    rf"\b(\d{{1,2}})(?:st|nd|rd|th)?(?:\s+of)?\s+{_MONTH}|\b{_MONTH}\s+(?:the\s+)?(\d{{1,2}})(?:st|nd|rd|th)?\b",
    re.IGNORECASE)
_DEGREES = re.compile(r"(\d+(?:\.\d+)?)\s*(?:°|deg(?:rees?)?\b|[cf]\b)", re.IGNORECASE)
_MOST_C = 8.0
_NAMES = {"last_frost": "last frost", "first_frost": "first frost"}
#: A summer shorter or longer than this between the two dates is a slip.
_SHORTEST, _LONGEST = 20, 350


@answers("set_frost_dates")
def set_frost_dates(request: Request, ctx: Context) -> Reply:
    """Keep the gardener's own last and first frost dates; they win over the stations'."""
    said = _dates_said(request, ctx)
    own = {which or _by_half_year(text, ctx): text for which, text in said}
    if len(own) < len(said):  # two dates and one frost: "set my frost dates to 12 May and 28 September"
        own = {_by_half_year(text, ctx): text for _, text in said}
    if not own:
        return _without_dates(request, ctx)
    wrong = [key for key, text in own.items() if not _plausible(key, text, ctx)]
    if wrong:
        other = "first" if wrong[0] == "last_frost" else "last"
        day = _say(own[wrong[0]], ctx)
        return ask(f"A {_NAMES[wrong[0]]} on {day} looks the wrong way round. Is it the {other}?",
                   [(f"Yes, the {other}", f"set my {other} frost to {day}")], waiting=request, wants="when")
    kept = ctx.plot.settings
    last, first = own.get("last_frost") or kept.last_frost, own.get("first_frost") or kept.first_frost
    if last and first and not _SHORTEST <= _free_days(last, first) <= _LONGEST:
        return ask(f"A last frost on {_say(last, ctx)} and a first on {_say(first, ctx)} leave no summer between. "
                   "Which is which?", waiting=request, wants="when")
    parts = [f"{_NAMES[key]} {_say(own[key], ctx)}" for key in _NAMES if key in own]
    return Reply(f"Noted as your own: {' and '.join(parts)}.", _against_stations(own, ctx),
                 events=(NewEvent("plot_set", ctx.today, words="set own frost dates", data=dict(own)),),
                 data={"set_frost_dates": dict(own)})


def _offset(request: Request, ctx: Context) -> Reply | None:
    """Keep how much colder or milder the plot's nights are than the country round it; None when nothing says so."""
    number, asks = ctx.facts.climate.number, ctx.facts.asking.cold
    if asks.colder.search(request.text):
        sign, usual = -1.0, number("frost.hollow_c")
    elif asks.milder.search(request.text):
        sign, usual = 1.0, number("frost.sheltered_c")
    else:
        return None
    said = _DEGREES.search(request.text)
    degrees = usual if said is None else float(said[1]) / (1.8 if ctx.say.us else 1.0)
    if degrees > _MOST_C:
        return ask(f"{ctx.say.warmth(degrees)} is a great deal. How much colder or milder are your nights?",
                   waiting=request, wants="quantity")
    offset = round(sign * degrees, 1)
    way = "colder" if sign < 0 else "milder"
    return Reply(f"Noted: your nights are taken {ctx.say.warmth(degrees)} {way} than the country round you.",
                 ("Frost dates and warnings go by that from now on.",),
                 events=(NewEvent("plot_set", ctx.today, words=f"set nights {way}", data={"frost_offset_c": offset}),),
                 data={"set_frost_dates": {"frost_offset_c": offset}})


def _without_dates(request: Request, ctx: Context) -> Reply:
    if ctx.season is not None and not ctx.season.within_reach:
        said = beyond_reach(ctx.season)
        return Reply(said[0], lines=said[1:])
    asks = ctx.facts.asking.cold
    offset = _offset(request, ctx)
    if offset is not None and not asks.forget.search(request.text):
        return offset
    if asks.frost_free.search(request.text):
        return _no_frost(ctx)
    if asks.forget.search(request.text) or request.flags & {"stop", "negative"}:
        gone = {"last_frost": None, "first_frost": None, "frost_offset_c": 0.0}
        return Reply("I go by the weather stations again for frost.", data={"set_frost_dates": gone},
                     events=(NewEvent("plot_set", ctx.today, words="forgot own frost dates", data=dict(gone)),))
    return ask("When is your last frost, as a rule?", waiting=request, wants="when",
               lines=("Say for example \"last frost 10 May, first frost 5 October\".",))


def _no_frost(ctx: Context) -> Reply:
    """Say what the stations tell of a plot whose gardener knows no frost; nothing is kept, for no dates were given."""
    if ctx.season is None:
        return ask_place(Request("set_location"))
    dates = ctx.season.frost_dates()
    if dates.last.p50 is None or dates.first.p50 is None:
        return Reply("Nor do I count on any: the stations round you seldom have one.")
    return Reply(f"The stations round you do: usual last frost {_say(dates.last.p50, ctx)}, "
                 f"first {_say(dates.first.p50, ctx)}. I go by them still.",
                 ("If your spot is milder, say \"my plot is 3 degrees milder\", or give me your own dates.",))


def _dates_said(request: Request, ctx: Context) -> list[tuple[str | None, str]]:
    """Return (last_frost | first_frost | None, MM-DD) for each date in the message, in order."""
    found: list[tuple[str | None, str]] = []
    before = 0
    for match in _DAY_MONTH.finditer(request.text):
        number, month = match[1] or match[4], (match[2] or match[3])[:3].lower()
        text = f"{_MONTHS.index(month) + 1:02d}-{int(number):02d}"
        if _real(text):
            found.append((_named(request.text[before:match.start()], ctx), text))
        before = match.end()
    if not found and request.when is not None:
        start, end = request.when.start, request.when.end
        if (end - start).days > 40:
            return [("last_frost", f"{start:%m-%d}"), ("first_frost", f"{end:%m-%d}")]
        found = [(_named(request.text, ctx), f"{start + (end - start) / 2:%m-%d}")]
    return found[:2]


def _named(words: str, ctx: Context) -> str | None:
    """Tell which frost the words just before a date speak of, if they do."""
    asks = ctx.facts.asking.cold
    for last_words, first_words in ((asks.last_named, asks.first_named), (asks.last_meant, asks.first_meant)):
        last = max((m.start() for m in last_words.finditer(words)), default=-1)
        first = max((m.start() for m in first_words.finditer(words)), default=-1)
        if last != first:
            return "last_frost" if last > first else "first_frost"
    return None


def _real(text: str) -> bool:
    try:
        date(2024, int(text[:2]), int(text[3:]))
    except ValueError:
        return False
    return True


def _by_half_year(text: str, ctx: Context) -> str:
    """Return which frost a bare date must be: spring's last or autumn's first."""
    early = int(text[:2]) <= 7
    return "last_frost" if early != bool(ctx.season and ctx.season.southern) else "first_frost"


def _plausible(key: str, text: str, ctx: Context) -> bool:
    """Tell whether a last frost lies before high summer and a first frost after it."""
    if ctx.season is None:
        return True
    after = (day_in_year(2025, text).timetuple().tm_yday - 1 - ctx.season.nights.warmest) % 365
    return after > 120 if key == "last_frost" else after < 245


def _free_days(last: str, first: str) -> int:
    a, b = (day_in_year(2025, text).timetuple().tm_yday for text in (last, first))
    return (b - a) % 365


def _say(text: str, ctx: Context) -> str:
    return ctx.say.day(day_in_year(ctx.today.year, text))


def _against_stations(own: dict[str, str], ctx: Context) -> tuple[str, ...]:
    lines = ["Sowing and planting times go by them from now on."]
    place = ctx.plot.settings.place
    if place is None:
        return tuple(lines)
    season = season_for(place, ctx.facts)
    if not season.within_reach:
        return beyond_reach(season)[:2]
    usual = season.frost_dates()
    theirs = (("last_frost", "last", usual.last.p50), ("first_frost", "first", usual.first.p50))
    said = [f"{name} {_say(text, ctx)}" for key, name, text in theirs if key in own and text]
    if said:
        lines.append(f"The stations round you would say {' and '.join(said)}.")
    return tuple(lines)
