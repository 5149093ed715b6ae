"""Where the plot is, and the gardener's own frost dates."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from bot.handlers import answers
from bot.handlers.climate import odds
from bot.handlers.context import Context, ask_place
from bot.plot.events import NewEvent
from bot.plot.state import PlotPlace
from bot.reply import Choice, Reply, ask
from bot.request import Request, Spot
from bot.season import Season, day_in_year, season_for
from bot.season.place import Found, PlaceError, Town, check_coordinates, gazetteer, parse_coordinates, place_at
from bot.season.winter import step_at, winter_of

_HEIGHT = re.compile(r"(-?\d{1,4}(?:\.\d+)?)\s*(?:m|metres?|meters?|ft|feet)\b", re.IGNORECASE)
_FIGURES = re.compile(r"[-+−]?\d.*$")
_LAST = re.compile(r"\b(last|spring|end|ends|over|until|stops?|from)\b", re.IGNORECASE)
_FIRST = re.compile(r"\b(first|autumn|fall|starts?|begins?|to)\b", re.IGNORECASE)
_FORGET = re.compile(r"\b(forget|remove|clear|drop|delete|reset)\b", re.IGNORECASE)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = r"(jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*\.?"
_DAY_MONTH = re.compile(rf"\b(\d{{1,2}})(?:st|nd|rd|th)?(?:\s+of)?\s+{_MONTH}|\b{_MONTH}\s+(?:the\s+)?(\d{{1,2}})(?:st|nd|rd|th)?\b",
                        re.IGNORECASE)


@answers("set_location")
def set_location(request: Request, ctx: Context) -> Reply:
    """Set the plot's place from coordinates, a shared location or a town, and say what that means for frost."""
    spot = _spot(request)
    if isinstance(spot, Reply):
        return spot
    if spot is None:
        return ask_place(request)
    up = spot.elevation_m if spot.elevation_m is not None else _height(request)
    try:
        if spot.lat is not None and spot.lon is not None:
            place = place_at(ctx.facts.climate, spot.lat, spot.lon, up, spot.name or "", ctx.facts.root)
            return _set(place, request, ctx, guessed=up is None)
        if spot.name:
            return _by_town(spot.name, up, request, ctx)
        return _height_only(up, request, ctx)
    except PlaceError as error:
        return ask(f"{error} Nothing is changed.", waiting=request, wants="place")


def _spot(request: Request) -> Spot | Reply | None:
    """Return the spot meant; coordinates typed in the message are read here when understanding did not."""
    if request.spot is not None and (request.spot.lat is not None or request.spot.name):
        return request.spot
    figures = _FIGURES.search(request.text)
    for text in (request.text, figures[0] if figures else ""):
        try:
            found = parse_coordinates(text)
        except PlaceError as error:
            return ask(f"{error} Nothing is changed.", waiting=request, wants="place")
        if found:
            return Spot(lat=found[0], lon=found[1], elevation_m=found[2])
    if _height(request) is not None:
        return Spot(elevation_m=_height(request))
    return request.spot


def _height(request: Request) -> float | None:
    amount = request.amount("m")
    if amount is not None:
        return amount.value
    match = _HEIGHT.search(request.text)
    if not match:
        return None
    return float(match[1]) * (0.3048 if "f" in match[0].lower().lstrip("-0123456789. ") else 1.0)


def _by_town(name: str, up: float | None, request: Request, ctx: Context) -> Reply:
    towns = gazetteer(ctx.facts.root)
    found: Found = towns.find(name)
    if not found.towns:
        return ask(f"I don't know a place called {name[:40]}. Send a location, a larger town near you, or coordinates.",
                   waiting=request, wants="place")
    labels = [towns.label(t) for t in found.towns]
    if not found.exact:
        return ask(f"I don't know {name[:40]}. Did you mean {' or '.join(labels)}?", _town_choices(found.towns, labels),
                   waiting=request, wants="place")
    if not found.sure:
        return ask(f"Which {found.towns[0].name} is it?", _town_choices(found.towns, labels), waiting=request, wants="place")
    town = found.towns[0]
    height = up if up is not None else town.elevation_m
    place = place_at(ctx.facts.climate, town.lat, town.lon, height, labels[0], ctx.facts.root)
    place = PlotPlace(place.lat, place.lon, place.elevation_m, town.tz, labels[0])
    return _set(place, request, ctx, guessed=up is None, others=_town_choices(found.towns[1:], labels[1:]))


def _town_choices(towns: tuple[Town, ...], labels: list[str]) -> list[tuple[str, str]]:
    return [(label, f"my plot is in {label}") for _, label in zip(towns, labels, strict=True)]


def _height_only(up: float | None, request: Request, ctx: Context) -> Reply:
    place = ctx.plot.settings.place
    if up is None or place is None:
        return ask_place(request)
    check_coordinates(place.lat, place.lon, up)
    return _set(PlotPlace(place.lat, place.lon, round(up), place.tz, place.name), request, ctx, guessed=False)


def _set(place: PlotPlace, request: Request, ctx: Context, *, guessed: bool,
         others: list[tuple[str, str]] | None = None) -> Reply:
    season = season_for(place, ctx.facts, ctx.plot.settings)
    where = place.name or f"{abs(place.lat):.2f} {'S' if place.lat < 0 else 'N'}, {abs(place.lon):.2f} {'W' if place.lon < 0 else 'E'}"
    height = ctx.say.height(place.elevation_m or 0)
    lines = [_frosts(season, ctx)]
    if guessed:
        lines.append(f"If your plot lies higher or lower than that, say for example "
                     f"\"elevation {ctx.say.height(round((place.elevation_m or 0) + 100, -1))}\".")
    lines += [note for note in season.notes[1:] if "guide only" in note]
    if ctx.plot.settings.last_frost or ctx.plot.settings.first_frost:
        lines.append("The frost dates you gave me still stand. Say \"forget my frost dates\" if they were for another place.")
    winter = winter_of(season)
    zone = step_at(season.climate, "USDA", winter.usual)
    stored: dict[str, Any] = {"lat": place.lat, "lon": place.lon, "elevation_m": place.elevation_m, "tz": place.tz,
                              "name": place.name}
    return Reply(f"Your plot is set to {where}, {height} above the sea.", tuple(lines),
                 events=(NewEvent("plot_set", ctx.today, words=f"set the place to {where}", data={"place": stored}),),
                 choices=tuple(Choice(label, says) for label, says in others or []), working=season.notes,
                 sources=("geonames-places",),
                 data={"set_location": {**stored, "zone": zone.code if zone else None}})


def _frosts(season: Season, ctx: Context) -> str:
    dates = season.frost_dates()
    if dates.last.p50 is None or dates.first.p50 is None:
        from numpy import arange

        return f"Air frost comes {odds(season.nights.any(arange(365)))} there."
    last, first = (ctx.say.day(day_in_year(ctx.today.year, text)) for text in (dates.last.p50, dates.first.p50))
    return f"Usual last frost {last}, first frost {first}."


@answers("set_frost_dates")
def set_frost_dates(request: Request, ctx: Context) -> Reply:
    """Keep the gardener's own last and first frost dates; they win over the stations'."""
    found = _dates_said(request)
    if not found:
        return _without_dates(request, ctx)
    own: dict[str, str | None] = {}
    for which, text in found:
        own[which or _by_half_year(text, ctx)] = text
    south = bool(ctx.season and ctx.season.southern)
    last, first = own.get("last_frost") or ctx.plot.settings.last_frost, own.get("first_frost") or ctx.plot.settings.first_frost
    wrong = next((f"{name} frost on {_say(text, ctx)}" for key, name in (("last_frost", "last"), ("first_frost", "first"))
                  if (text := own.get(key)) and not _plausible(key, text, ctx)), None)
    if wrong:
        return ask(f"A {wrong} looks the wrong way round. Is it the other one?", waiting=request, wants="when")
    if last and first and not 20 <= _free_days(last, first) <= 350:
        return ask(f"The last frost on {_say(last, ctx)} and the first on {_say(first, ctx)} leave no summer between. "
                   "Which is which?", waiting=request, wants="when",
                   lines=("Say for example \"last frost " + ("5 October" if south else "5 May") + ", first frost "
                          + ("5 May" if south else "5 October") + "\".",))
    parts = [f"{name} {_say(text, ctx)}" for key, name in (("last_frost", "last frost"), ("first_frost", "first frost"))
             if (text := own.get(key))]
    return Reply(f"Noted as your own: {' and '.join(parts)}.", _against_stations(own, ctx),
                 events=(NewEvent("plot_set", ctx.today, words="set own frost dates", data=dict(own)),),
                 data={"set_frost_dates": own})


def _without_dates(request: Request, ctx: Context) -> Reply:
    if _FORGET.search(request.text) or request.flags & {"stop", "negative"}:
        return Reply("I go by the weather stations again for frost.", events=(NewEvent(
            "plot_set", ctx.today, words="forgot own frost dates", data={"last_frost": None, "first_frost": None}),),
            data={"set_frost_dates": {"last_frost": None, "first_frost": None}})
    return ask("When is your last frost, as a rule?", waiting=request, wants="when",
               lines=("Say for example \"last frost 10 May, first frost 5 October\".",))


def _dates_said(request: Request) -> list[tuple[str | None, str]]:
    """Return (last_frost | first_frost | None, MM-DD) for each date in the message, in order."""
    found: list[tuple[str | None, str]] = []
    before = 0
    for match in _DAY_MONTH.finditer(request.text):
        number, month = match[1] or match[4], (match[2] or match[3])[:3].lower()
        text = f"{_MONTHS.index(month) + 1:02d}-{int(number):02d}"
        if _real(text):
            found.append((_named(request.text[before:match.start()]), text))
        before = match.end()
    if not found and request.when is not None:
        found = [(_named(request.text), f"{request.when.start:%m-%d}")]
        if not request.when.single and (request.when.end - request.when.start).days > 40:
            found = [("last_frost", f"{request.when.start:%m-%d}"), ("first_frost", f"{request.when.end:%m-%d}")]
    return found[:2]


def _named(words: str) -> str | None:
    last = max((m.start() for m in _LAST.finditer(words)), default=-1)
    first = max((m.start() for m in _FIRST.finditer(words)), default=-1)
    if last == first:
        return None
    return "last_frost" if last > first else "first_frost"


def _real(text: str) -> bool:
    try:
        date(2024, int(text[:2]), int(text[3:]))
    except ValueError:
        return False
    return True


def _by_half_year(text: str, ctx: Context) -> str:
    south = bool(ctx.season and ctx.season.southern)
    spring = int(text[:2]) <= 7
    return "last_frost" if spring != south else "first_frost"


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


def _against_stations(own: dict[str, str | None], ctx: Context) -> tuple[str, ...]:
    place = ctx.plot.settings.place
    lines = ["Sowing and planting times go by them from now on."]
    if place is None:
        return tuple(lines)
    usual = season_for(place, ctx.facts).frost_dates()
    said = [f"{name} {_say(theirs, ctx)}" for key, name, theirs in
            (("last_frost", "last", usual.last.p50), ("first_frost", "first", usual.first.p50)) if own.get(key) and theirs]
    if said:
        lines.append(f"The stations round you would say {' and '.join(said)}.")
    return tuple(lines)
