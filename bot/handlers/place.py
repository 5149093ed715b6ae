"""Where the plot is."""

from __future__ import annotations

import re
from typing import Any

from bot.handlers import answers
from bot.handlers.climate import odds, said_coordinates
from bot.handlers.context import Context, ask_place
from bot.plot.events import NewEvent
from bot.plot.state import PlotPlace
from bot.reply import Choice, Reply, ask
from bot.request import Request, Spot
from bot.season import WHOLE_YEAR, Season, day_in_year, season_for
from bot.season.place import Found, PlaceError, Town, check_coordinates, gazetteer, parse_coordinates, place_at
from bot.season.winter import step_at, winter_of

_HEIGHT = re.compile(r"(-?\d{1,4}(?:\.\d+)?)\s*(?:m|metres?|meters?|ft|feet)\b", re.IGNORECASE)
_FIGURES = re.compile(r"[-+−]?\d.*$")


@answers("set_location")
def set_location(request: Request, ctx: Context) -> Reply:
    """Set the plot's place from coordinates, a shared location or a town, and say what that means for frost."""
    spot = _spot(request, ctx)
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


def _spot(request: Request, ctx: Context) -> Spot | Reply | None:
    """Return the spot meant; coordinates or a town in the message are read here when understanding did not."""
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
    name = gazetteer(ctx.facts.root).named_in(request.text)
    if name:
        return Spot(name=name)
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
        return ask(f"Which {found.towns[0].name} is it?", _town_choices(found.towns, labels),
                   waiting=request, wants="place")
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
    where = place.name or said_coordinates(place.lat, place.lon)
    height = ctx.say.height(place.elevation_m or 0)
    lines = [_frosts(season, ctx)]
    if guessed:
        lines.append(f"If your plot lies higher or lower than that, say for example "
                     f"\"elevation {ctx.say.height(round((place.elevation_m or 0) + 100, -1))}\".")
    lines += [note for note in season.notes[1:] if "guide only" in note]
    if ctx.plot.settings.last_frost or ctx.plot.settings.first_frost:
        lines.append("The frost dates you gave me still stand. "
                     "Say \"forget my frost dates\" if they were for another place.")
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
        return f"Air frost comes {odds(season.nights.any(WHOLE_YEAR))} there."
    last, first = (ctx.say.day(day_in_year(ctx.today.year, text)) for text in (dates.last.p50, dates.first.p50))
    return f"Usual last frost {last}, first frost {first}."
