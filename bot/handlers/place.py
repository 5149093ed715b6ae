"""Where the plot is."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from bot.handlers import answers
from bot.handlers.beyond import beyond_reach
from bot.handlers.climate import odds, said_coordinates
from bot.handlers.context import Context, ask_place
from bot.handlers.places_said import places_said
from bot.plot.events import NewEvent
from bot.plot.state import Plot, PlotPlace
from bot.reply import Choice, Reply, ask
from bot.request import Request, Spot
from bot.season import WHOLE_YEAR, Season, day_in_year, season_for
from bot.season.place import (
    Found,
    PlaceError,
    Town,
    angles_said,
    check_coordinates,
    folded,
    gazetteer,
    parse_coordinates,
    place_at,
)
from bot.season.winter import step_at, winter_of

if TYPE_CHECKING:
    from bot.facts import Facts

_HEIGHT = re.compile(r"(-?\d{1,2},\d{3}|-?\d{1,4}(?:\.\d+)?)\s*(?:m|metres?|meters?|ft|feet)\b", re.IGNORECASE)
#: Codes of letters and figures, which no list of towns knows: British, Canadian, and any after its name.
_POSTCODE = re.compile(
    r"\b[A-Z]{1,2}\d[A-Z\d]?\s?\d[A-Z]{2}\b|\b[A-Z]\d[A-Z]\s?\d[A-Z]\d\b|\b(?:post ?code|eircode|zip(?: ?code)?)\b|"
    r"^\W*\d{4,5}\W*$",
    re.IGNORECASE)
#: Asks where the plot is, and does not tell it.
_WHERE_NOW = re.compile(r"\b(?:where(?:'?s| is| are| am| do)?|do you know|what(?:'?s| is))\b(?=.*\b(?:plot|garden|place|location|located|set|i|we)\b)", re.IGNORECASE)
_FIGURES = re.compile(r"[-+−]?\d.*$")


@answers("set_location")
def set_location(request: Request, ctx: Context) -> Reply:
    """Set the plot's place from coordinates, a shared location or a town, and say what that means for frost."""
    spot = _spot(request, ctx)
    if isinstance(spot, Reply):
        return spot
    if (spot is None or not spot.name or not gazetteer(ctx.facts.root).find(spot.name).exact) and (
            spot is None or spot.lat is None) and _POSTCODE.search(request.text):
        return ask("I can't read postcodes. Which town is your plot near?", waiting=request, wants="place",
                   lines=("Or send a location, or coordinates such as 45.05, 3.90.",))
    if spot is None and ctx.plot.settings.place is not None and _WHERE_NOW.search(request.text):
        place = ctx.plot.settings.place
        return Reply(f"Your plot is set to {place.name or said_coordinates(place.lat, place.lon)}, {ctx.say.height(place.elevation_m or 0)} above the sea.",
                     data={"set_location": {"lat": place.lat, "lon": place.lon, "elevation_m": place.elevation_m, "tz": place.tz, "name": place.name}})
    if spot is None:
        return ask_place(request)
    up = spot.elevation_m if spot.elevation_m is not None else _height(request)
    if up is None:
        up = _height_before(ctx)
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
    towns = gazetteer(ctx.facts.root)
    if request.spot is not None and request.spot.lat is not None:
        return request.spot
    last = ctx.memory.requests[-1].text if ctx.memory.requests and ctx.memory.reply is not None and ctx.memory.reply.wants == "place" else ""
    said = angles_said(request.text)
    lat, lon = (here if here is not None else before for here, before in zip(said, angles_said(last), strict=True))
    if lat is not None and lon is not None:
        return Spot(lat=lat, lon=lon)
    name = request.spot.name if request.spot is not None else None
    if any(angle is not None for angle in said) and not (name and towns.find(name).exact) and towns.named_in(request.text) is None:
        known, missing = ("latitude", "longitude") if lat is not None else ("longitude", "latitude")
        return ask(f"That is a {known}: what is the {missing}, or the nearest town?", waiting=request, wants="place",
                   lines=("Nothing is changed till I know both.",))
    if request.spot is not None and name:
        if towns.find(name).exact or towns.area(name):
            return request.spot
        named = towns.named_in(f"in {request.text}") if name in request.text else None
        return replace(request.spot, name=named or name)
    figures = _FIGURES.search(request.text)
    for text in (request.text, figures[0] if figures else ""):
        try:
            found = parse_coordinates(text)
        except PlaceError as error:
            return ask(f"{error} Nothing is changed.", waiting=request, wants="place")
        if found:
            return Spot(lat=found[0], lon=found[1], elevation_m=found[2])
    if name := towns.named_in(request.text):
        return Spot(name=name)
    if _height(request) is not None:
        return Spot(elevation_m=_height(request))
    return request.spot


#: What else a message may hold that names the place and nothing more: "hi, Calgary Alberta zone 4a".
_BESIDE_IT = re.compile(
    r"\b(?:hi|hello|hey|good (?:morning|afternoon|evening)|i'?m|im|we'?re|i am|we are|i live|we live|live|garden(?:ing)?|"
    r"plot|my|is|it'?s|here|in|at|near|outside|from|a|the|small|little|big|town|village|city|called|uk|usa?|"
    r"(?:usda |hardiness )?zone \d{1,2}[ab]?)\b", re.IGNORECASE)
#: Beds told of in the same breath: "I'm in Stellenbosch, got a garden with 6 beds".
_AND_BEDS = re.compile(r"[,.;]\s*(?P<rest>[^,.;]*\bbeds?\b.*)$", re.IGNORECASE)


def place_request(
    text: str, read: Sequence[Request], plot: Plot, facts: Facts, after: Reply | None
) -> list[Request] | None:
    """Return what a message asks when it is the place of a plot that has none yet, or None to leave the reading alone.

    What waited for the place (`after`, the reply before) comes after it, and so do beds told of in the same message.
    """
    if plot.settings.place is not None or not read or len(text) > 120 or "?" in text:
        return None
    asked = after is not None and (after.wants == "place" or any("type a town" in line for line in after.lines))
    if all(request.intent in ("none", "climate") or (request.intent == "set_location" and request.spot is None) for request in read) or (asked and _POSTCODE.fullmatch(text)):
        towns = gazetteer(facts.root)
        postcode = _POSTCODE.search(text) if asked or not text.strip().isdigit() else None
        bare = _BESIDE_IT.sub(" ", text).strip(" ,.")
        name = towns.named_in(f"in {bare}") or (bare if towns.find(bare).exact else None)
        left = set(folded(bare).split()) - set(folded(name or "").split()) - {"co", "county"}
        if not postcode and (name is None or len(left) > 1 or len(bare) < 3 or not (asked or _leads(text, bare))):
            return None
        request = Request("set_location", 0.9, text, spot=None if postcode else Spot(name=name))
        waiting = after.waiting if asked and after and not postcode else None
        return [request] if waiting is None or waiting.intent == "set_location" else [request, waiting]
    beds = _AND_BEDS.search(text)
    if len(read) == 1 and read[0].intent == "set_location" and beds and places_said(beds["rest"]):
        return [read[0], Request("add_bed", 0.9, beds["rest"])]
    return None


def _leads(text: str, bare: str) -> bool:
    """Tell whether a message that is no sentence speaks of a place: by a word before it, a comma, or its capital."""
    return bare != text.strip(" ,.") or "," in text or bare[:1].isupper()


def _height_before(ctx: Context) -> float | None:
    """Return the height said just before the place was asked for: "I'm at 120 m", "Where is your plot?", "York"."""
    last = ctx.memory.requests[-1] if ctx.memory.requests else None
    asked = ctx.memory.reply is not None and ctx.memory.reply.wants == "place"
    if not asked or last is None or last.intent != "set_location" or (last.spot is not None and last.spot.name):
        return None
    return last.spot.elevation_m if last.spot is not None and last.spot.elevation_m is not None else _height(last)


def _height(request: Request) -> float | None:
    amount = request.amount("m")
    if amount is not None:
        return amount.value
    match = _HEIGHT.search(request.text)
    if not match:
        return None
    return float(match[1].replace(",", "")) * (0.3048 if "f" in match[0].lower().lstrip("-0123456789,. ") else 1.0)


def _by_town(name: str, up: float | None, request: Request, ctx: Context) -> Reply:
    towns = gazetteer(ctx.facts.root)
    found: Found = towns.find(name)
    area = towns.area(name)
    if area is not None:
        labels = [towns.label(t) for t in found.towns] if found.exact else []
        return ask(f"{area} is too wide for frost dates. Which town is your plot near?",
                   _town_choices(found.towns, labels) if labels else [], waiting=request, wants="place")
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
    others = _town_choices(found.towns[1:], labels[1:])
    if town.country == "US" and not ctx.say.us and ctx.plot.settings.place is not None:
        others.append(("Use US units and words", "use US units and American words"))
    return _set(place, request, ctx, guessed=up is None, others=others)


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
    settings, old = ctx.plot.settings, ctx.plot.settings.place
    # A first place where American names are used brings them and US units; a later one the names, on a plot in US units.
    names: dict[str, str] = {}
    if gazetteer(ctx.facts.root).american(place.lat, place.lon) and (ctx.say.us or old is None):
        names = {"units": "us", "wording": "us"}
    turned_us = bool(names) and not ctx.say.us
    if turned_us:
        ctx = replace(ctx, say=replace(ctx.say, units="us", words="us"))
    own = bool(settings.last_frost or settings.first_frost)
    # Frost dates of one half of the world say nothing of the other, where the seasons are turned.
    turned = own and old is not None and (old.lat < 0) != (place.lat < 0)
    gone: dict[str, Any] = {"last_frost": None, "first_frost": None, "frost_offset_c": 0.0} if turned else {}
    season = season_for(place, ctx.facts, replace(settings, **gone))
    where = place.name or said_coordinates(place.lat, place.lon)
    height = ctx.say.height(place.elevation_m or 0)
    beyond = beyond_reach(season)
    lines = [*beyond] if beyond else [_frosts(season, ctx)]
    if guessed:
        lines.append(f"If your plot lies higher or lower than that, say for example "
                     f"\"elevation {ctx.say.height(round((place.elevation_m or 0) + 100, -1))}\".")
    lines += [note for note in season.notes[1:] if "guide only" in note and not beyond]
    if turned:
        lines.append("The frost dates you gave were for the other half of the world, so I go by the weather stations here.")
    elif own:
        lines.append("The frost dates you gave me still stand. "
                     "Say \"forget my frost dates\" if they were for another place.")
    winter = winter_of(season)
    zone = step_at(season.climate, "USDA", winter.usual)
    stored: dict[str, Any] = {"lat": place.lat, "lon": place.lon, "elevation_m": place.elevation_m, "tz": place.tz,
                              "name": place.name}
    if turned_us:
        lines.append("I'll say it in pounds, inches and °F.")
        others = [*(others or []), ("Metric and British words", "use metric units and British words")]
    return Reply(f"Your plot is set to {where}, {height} above the sea.", tuple(lines),
                 events=(NewEvent("plot_set", ctx.today, words=f"set the place to {where}", data={"place": stored, **gone, **names}),),
                 choices=tuple(Choice(label, says) for label, says in others or []), working=season.notes,
                 sources=("geonames-places",),
                 data={"set_location": {**stored, "zone": zone.code if zone else None}})


def _frosts(season: Season, ctx: Context) -> str:
    dates = season.frost_dates()
    if dates.last.p50 is None or dates.first.p50 is None:
        return f"Most winters pass without a frost there: one comes {odds(season.nights.any(WHOLE_YEAR))}."
    last, first = (ctx.say.day(day_in_year(ctx.today.year, text)) for text in (dates.last.p50, dates.first.p50))
    return f"Usual last frost {last}, first frost {first}."
