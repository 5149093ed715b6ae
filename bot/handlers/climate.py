"""Day length, frost dates, and the climate here."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from bot.clock import local
from bot.handlers import answers
from bot.handlers.cold import worth
from bot.handlers.context import Context, ask_place
from bot.handlers.roofs import is_roof, roof_name
from bot.reply import Choice, Reply
from bot.request import Request
from bot.season import DAYS, WHOLE_YEAR, Season
from bot.season.covering import middle
from bot.season.curves import day_in_year, monthly
from bot.season.daylight import sun_times, turning_day
from bot.season.winter import step_at, winter_of
from bot.wording import capital, plural, small


def clock(hours: float) -> str:
    """Say hours as hours and minutes.

    >>> clock(9.75), clock(12.0)
    ('9 h 45 min', '12 h')
    """
    whole, minutes = divmod(round(hours * 60), 60)
    return f"{whole} h {minutes} min" if minutes else f"{whole} h"


def odds(chance: float) -> str:
    """Say a chance as a gardener would.

    >>> odds(0.9), odds(0.5), odds(0.07), odds(0.001)
    ('about nine years in ten', 'about one year in two', 'about one year in 14', 'almost never')
    """
    if chance >= 0.985:
        return "nearly every year"
    if chance >= 0.75:
        return f"about {_TENTHS[round(chance * 10)]} years in ten" if chance < 0.95 else "19 years in 20"
    if chance >= 0.45:
        return "about one year in two" if chance < 0.58 else "about two years in three"
    if chance < 0.01:
        return "almost never"
    return f"about one year in {_NUMBERS.get(round(1 / chance), round(1 / chance))}"


_TENTHS = {7: "seven", 8: "eight", 9: "nine", 10: "ten"}
_NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight", 9: "nine", 10: "ten"}


@answers("daylight")
def daylight(request: Request, ctx: Context) -> Reply:
    """Tell the day length on a day (or over a month), and when days fall under ten hours and come back."""
    season = ctx.season
    if season is None:
        return ask_place(request)
    day = request.when.start if request.when else ctx.today
    turn = next((word for word in ("longest", "shortest") if word in request.text.lower()), None)
    if turn:
        day = turning_day(season.place.lat, season.place.lon, ctx.today, longest=turn == "longest")
        request = request.with_(when=None)
    hours = season.day_length(day)
    spell = season.dark_spell(day)
    head = f"{capital(ctx.say.day(day, ctx.today))} is {clock(hours)} long from sunrise to sunset"
    if turn:
        head = f"The {turn} day here is {ctx.say.day(day, ctx.today)}, {clock(hours)} from sunrise to sunset"
    if request.when and not request.when.single:
        last = request.when.end
        head = (f"The days run from {clock(hours)} on {ctx.say.day(day, ctx.today)} to "
                f"{clock(season.day_length(last))} on {ctx.say.day(last, ctx.today)}")
    middle = day if not request.when else day + (request.when.end - day) / 2
    week = [season.day_length(middle + timedelta(days=n)) for n in (-4, 3)]
    minutes = round((week[1] - week[0]) * 60 / 7) if not turn else 0
    way = "lengthening" if minutes > 0 else "shortening"
    lines = [*_sun(season, day, ctx), f"Days are {way} by about {plural(abs(minutes), 'minute')} a day." if minutes
             else "Days hardly change in length about then." if turn
             else "Days hardly change in length just now."]
    if turn:
        head += "."
    elif spell is None:
        head += "; no day here is under ten hours."
    elif spell[0] <= day:
        back = spell[1] + timedelta(days=1)
        head += f"; ten hours is back on {ctx.say.day(back, ctx.today)}."
        lines.append(f"They have been shorter since {ctx.say.day(spell[0], ctx.today)}; till the light is back, leafy "
                     "crops stand more than they grow.")
    else:
        head += f"; days fall under ten hours on {ctx.say.day(spell[0], ctx.today)}."
        lines.append(f"Ten hours is back on {ctx.say.day(spell[1] + timedelta(days=1), ctx.today)}. "
                     "Leafy crops hardly grow in between, so have them near full size by the start.")
    if spell is not None and ctx.facts.asking.cold.ten_hours.search(request.text) and not turn:
        begun, _, falls = head.partition("; ")
        head, lines = f"{capital(falls)}", [f"{begun}.", *lines]
    if ctx.facts.asking.cold.sun.search(request.text) and lines[0].startswith("The sun"):
        head, lines = lines[0], [f"{capital(ctx.say.day(day, ctx.today))} is {clock(hours)} long.", lines[1]]
    data = {"date": day.isoformat(), "hours": round(hours, 3),
            "under_ten": {"from": spell[0].isoformat(), "to": spell[1].isoformat()} if spell else None}
    where = said_coordinates(season.place.lat, season.place.lon)
    return Reply(head, tuple(lines), data={"daylight": data}, sources=("ccene-winter", "ucanr-winter") if spell else (),
                 working=(f"Sunrise to sunset at {where}: upper edge of the sun, with refraction.",))


def _sun(season: Season, day: date, ctx: Context) -> tuple[str, ...]:
    """Say when the sun rises and sets, by the plot's clock."""
    times = sun_times(season.place.lat, season.place.lon, day)
    if times is None:
        return ()
    rises, sets = (local(moment, season.place.tz) for moment in times)
    clocked = ctx.say.clock
    return (f"The sun rises at {clocked(rises)} and sets at {clocked(sets)}.",)




@answers("frost_dates")
def frost_dates(request: Request, ctx: Context) -> Reply:
    """Tell the usual and the safe dates of the last and first air frost."""
    season = ctx.season
    if season is None:
        return ask_place(request)
    dates = season.frost_dates()
    yearly = season.nights.any(WHOLE_YEAR)
    working = (*season.notes, f"A frost somewhere in the year: {yearly:.0%}. "
               f"Dates are of the air at head height, at {ctx.say.temp(0)}.")
    if dates.last.p50 is None or dates.first.p50 is None:
        return _seldom(season, request, ctx, yearly, working)
    last, first = _said(dates.last.p50, ctx), _said(dates.first.p50, ctx)
    source = "Going by your own dates, the" if season.own else "On average the"
    lines = []
    if dates.last.p10:
        lines.append(f"Nine years in ten the last frost is over by {_said(dates.last.p10, ctx)}.")
    if dates.first.p10:
        lines.append(f"Nine years in ten the first holds off until {_said(dates.first.p10, ctx)}.")
    free = (_day_number(dates.first.p50) - _day_number(dates.last.p50)) % DAYS
    lines.append(f"That leaves about {round(free / 5) * 5} frost-free days in a usual year.")
    ground = season.frost_dates(season.climate.number("frost.ground_c")).last.p50
    if ground and ground != dates.last.p50:
        lines.append(f"On clear still nights the ground can still whiten; the last time is about {_said(ground, ctx)} on average.")
    lines += _doubts(season)
    head = f"{source} last frost here is {last} and the first {first}."
    asks = ctx.facts.asking.cold
    autumn = bool(asks.first_named.search(request.text))
    if autumn != bool(asks.last_named.search(request.text)):  # one of the two is asked of: it comes first
        ours = dates.first.p50 if autumn else dates.last.p50
        which, other = (f"first frost here is {first}", f"last frost of spring is about {last}") if autumn else (f"last frost here is {last}", f"first frost after it is about {first}")
        head = f"{source} {which}."
        if asks.how_far.search(request.text):
            head = f"{_how_far(ours, ctx)}: {small(head)}"
        safe = dates.first.p10 if autumn else dates.last.p10
        holds = f"Nine years in ten it {'holds off until' if autumn else 'is over by'} {_said(safe, ctx)}." if safe else ""
        lines = [*([holds] if holds else []), f"The {other}.",
                 *(line for line in lines if not line.startswith("Nine years") and not (autumn and line.startswith("Clear")))]
    if asks.season_long.search(request.text):  # "how long is the growing season": the days between come first
        days = next(line for line in lines if line.startswith("That leaves"))
        lines = [head, *(line for line in lines if line != days)]
        head = capital(days.removeprefix("That leaves "))
    if request.when is not None and request.when.start > ctx.today and asks.by_then.search(request.text):
        lines, head = [head, *lines[:2]], _whether_over(dates.last.p50, dates.last.p10, dates.first.p10, request.when.start, ctx) or head
    elif asks.over.search(request.text) and not (asks.when.search(request.text) or asks.how_far.search(request.text)):
        lines, head = [head, *lines[:2]], _whether_over(dates.last.p50, dates.last.p10, dates.first.p10, ctx.today, ctx) or head
    return Reply(head, tuple(lines), working=working,
                 sources=_rests_on(season), data={"frost_dates": dates.as_json()})


def _how_far(text: str, ctx: Context) -> str:
    """Say how long it is until the next of a yearly day: 'About 11 weeks away'."""
    day = day_in_year(ctx.today.year, text)
    days = ((day if day >= ctx.today else day_in_year(ctx.today.year + 1, text)) - ctx.today).days
    return f"About {plural(round(days / 7), 'week')} away" if days >= 21 else f"About {plural(days, 'day')} away" if days else "About now"


def _whether_over(usual: str, safe: str | None, autumn: str | None, by: date, ctx: Context) -> str | None:
    """Say whether the year's last frost is likely past by a day, or None in the cold half, when more are to come."""
    day, then = _in_season(f"{by:%m-%d}", ctx), "now" if by == ctx.today else "then"
    if autumn is not None and day >= _in_season(autumn, ctx):
        return f"No, the cold half of the year is here {'' if then == 'now' else 'by then'}".rstrip() + ": more frosts are to come."
    if safe is not None and day > _in_season(safe, ctx):
        return f"In all likelihood, yes: nine years in ten the last frost is over by {then}."
    if day > _in_season(usual, ctx):
        return f"Probably, but keep fleece at hand: in an average year it is over by {then}, in a late one not."
    return f"{'Not yet' if then == 'now' else 'No, not by then'}: in an average year more frosts are to come."


def _in_season(day: str, ctx: Context) -> int:
    """Return the day of a year that begins at midwinter, north or south, whatever the calendar year."""
    assert ctx.season is not None
    return (_day_number(day) - (181 if ctx.season.southern else 0)) % DAYS


def _seldom(season: Season, request: Request, ctx: Context, yearly: float, working: tuple[str, ...]) -> Reply:
    dates = season.frost_dates()
    if yearly < 0.01:
        head = "You hardly ever get an air frost here."
    else:
        head = f"Most winters pass without an air frost here: one comes {odds(yearly)}."
    lines = []
    number = ctx.facts.growing.number
    if yearly >= number("frost.unlikely_chance") and not ctx.facts.asking.cold.first_named.search(request.text) and _in_season(f"{ctx.today:%m-%d}", ctx) < number("frost.spring_days"):
        left = season.frost_chance(ctx.today, ctx.today + timedelta(days=number("frost.spring_days")))
        if left < number("frost.hardly_share") * yearly:
            lines, head = [head], f"This winter's frosts are as good as over: another comes {odds(left)}."
    if yearly >= 0.01:
        start, end = season.nights.frosty_spell()
        lines.append(f"When it comes, it is mostly between {_said(start, ctx)} and {_said(end, ctx)}.")
    ground_c = season.climate.number("frost.ground_c")
    if season.nights.any(WHOLE_YEAR, ground_c) >= 0.5:
        start, end = season.nights.frosty_spell(ground_c)
        lines.append("The ground can still whiten on clear nights, "
                     f"mostly between {_said(start, ctx)} and {_said(end, ctx)}.")
    return Reply(head, (*lines, *_doubts(season)), working=working, sources=_rests_on(season),
                 data={"frost_dates": dates.as_json()})


@answers("climate")
def climate(request: Request, ctx: Context) -> Reply:
    """Tell the hardiness zone and rating and the normals, or those of a named month."""
    season = ctx.season
    if season is None:
        return ask_place(request)
    bed = ctx.plot.beds.get(request.bed or "")
    roof = request.cover or (bed.cover if bed else None)
    if roof is not None and is_roof(roof, ctx) and not request.when:
        return _under(roof, bed.name if bed and bed.cover else None, season, ctx)
    asks = ctx.facts.asking.cold
    if asks.soil.search(request.text):
        return _soil(request, season, ctx)
    year = season.arrays()
    lows, highs = monthly(year.low), monthly(year.high)
    rain = season.normals.rain
    winter = winter_of(season)
    zone, rating = (step_at(season.climate, scale, winter.usual) for scale in ("USDA", "RHS"))
    months = [{"month": n + 1, "low_c": round(float(lows[n]), 1), "high_c": round(float(highs[n]), 1),
               "rain_mm": None if rain is None else round(float(rain[n]))} for n in range(12)]
    data = {"lowest_c": round(winter.usual, 1), "usda": zone.code if zone else None,
            "rhs": rating.code if rating else None, "months": months}
    said = [_month(n, lows, highs, rain, ctx) for n in range(12)]
    working = (*season.notes, f"Lowest night of a winter: {winter.usual:.1f} °C in one winter of two, "
               f"{winter.hard:.1f} °C in one of ten.")
    sources = (*_rests_on(season), "usda-phzm", "rhs-hardiness-2013")
    if request.when and _one_month(request.when.start, request.when.end):
        n = request.when.start.month - 1
        if rain is not None and asks.rain.search(request.text):
            return Reply(f"{ctx.say.month(n + 1)}: about {_rain(float(rain[n]), ctx)}.", (said[n].rpartition(", ")[0] + ".", *_doubts(season)), more=tuple(said),
                         working=working, sources=sources, data={"climate": data})
        return Reply(f"{said[n]}", (*_doubts(season),), more=tuple(said), working=working, sources=sources,
                     data={"climate": data})
    named = " and ".join(text for text in (
        f"zone {zone.code}" if zone else "", f"rating {rating.code}" if rating and not ctx.say.us else "") if text)
    cold, warm = int(np.argmin(lows)), int(np.argmax(highs))
    lines = [f"Plants that stand {ctx.say.temp(round(winter.usual))} come through a usual winter; one winter in ten "
             f"goes down to {ctx.say.temp(round(winter.hard))}.", said[cold], said[warm]]
    over_year = ""
    if rain is not None:
        over_year = (f"Rain and snow over the year: about {ctx.say.length(round(float(rain.sum()) / 10))}."
                     if ctx.say.us else f"Rain and snow over the year: about {round(float(rain.sum()), -1):.0f} mm.")
        lines.append(over_year)
    head = f"The coldest night of a usual winter here is about {ctx.say.temp(round(winter.usual))}: {named}."
    if zone and asks.zone.search(request.text):
        head = (f"{'USDA zone' if ctx.say.us else 'Zone'} {zone.code}{'' if ctx.say.us or not rating else f', rating {rating.code}'}: "
                f"the coldest night of a usual winter here is about {ctx.say.temp(round(winter.usual))}.")
    if over_year and asks.rain.search(request.text):
        lines, head = [head, *(line for line in lines if line != over_year)], over_year
    elif asks.in_winter.search(request.text):
        lines = [line for line in lines if line != said[warm]]
    elif asks.warmth.search(request.text):
        lines = [head, *(line for line in lines if line != said[warm])]
        head = f"The warmest month is {said[warm]}"
    return Reply(head, (*lines, *_doubts(season)), more=tuple(said), working=working, sources=sources,
                 data={"climate": data})


def _soil(request: Request, season: Season, ctx: Context) -> Reply:
    """Tell the usual warmth of the soil at seed depth on a day, and a month later."""
    day = request.when.start + (request.when.end - request.when.start) / 2 if request.when else ctx.today
    later = day + timedelta(days=30)
    warmth = season.soil(day)
    when = "just now" if day == ctx.today else f"about {ctx.say.day(day, ctx.today)}"
    head = f"The soil at seed depth is usually about {ctx.say.temp(round(warmth))} here {when}."
    lines = (f"By {ctx.say.day(later, ctx.today)} it is usually about {ctx.say.temp(round(season.soil(later)))}.",
             f"Worked out from the usual air, not measured: a thermometer pushed in {ctx.say.length(5, 10)} deep at nine in the "
             "morning tells you this year's.")
    return Reply(head, lines, working=season.notes, sources=_rests_on(season),
                 data={"climate": {"day": day.isoformat(), "soil_c": round(warmth, 1)}})


def _under(roof: str, named: str | None, season: Season, ctx: Context) -> Reply:
    """Tell how cold and how warm it gets under a roof, beside the open air."""
    cover = season.climate.cover_id(roof)
    kind = season.climate.cover(cover)
    name = (named or roof_name(roof, ctx)).lower()
    winter, gain = winter_of(season), middle(kind.night_c)
    inside, outside = season.arrays(cover), season.arrays()
    low, high = monthly(inside.low), monthly(inside.high)
    cold, warm = int(np.argmin(monthly(outside.low))), int(np.argmax(monthly(outside.high)))
    held = kind.low_c if kind.low_c is not None else -99.0
    usual, hard = (max(night + gain, held) for night in (winter.usual, winter.hard))
    temp = ctx.say.temp
    head = f"The coldest night of a usual winter is about {temp(round(usual))} in the {name}"
    return Reply(
        f"{head}, {temp(round(winter.usual))} outside." if kind.low_c is None else f"{head} while the heat is on.",
        (f"One winter in ten it goes down to {temp(round(hard))} inside.",
         f"{worth(kind, ctx.say)} on a cold night; clear still nights give the least.",
         _month(cold, low, high, None, ctx), _month(warm, low, high, None, ctx), *_doubts(season)),
        working=(*season.notes, f"Outside: {winter.usual:.1f} °C in one winter of two, {winter.hard:.1f} °C in one of "
                 f"ten; the roof adds {gain:.1f} °C at night."),
        sources=(*_rests_on(season), *kind.source),
        choices=(Choice("With fleece inside?", "how many degrees does fleece in the tunnel give"),),
        data={"climate": {"lowest_c": round(usual, 1), "cover": cover, "outside_lowest_c": round(winter.usual, 1)}},
    )


def _month(n: int, lows: np.ndarray, highs: np.ndarray, rain: np.ndarray | None, ctx: Context) -> str:
    wet = f", {_rain(float(rain[n]), ctx)}" if rain is not None else ""
    return (f"{ctx.say.month(n + 1)}: nights about {ctx.say.temp(round(float(lows[n])))}, days about "
            f"{ctx.say.temp(round(float(highs[n])))}{wet}.")


def _rain(mm: float, ctx: Context) -> str:
    return f"{ctx.say.length(mm / 10)} of rain" if ctx.say.us else f"{round(mm)} mm of rain"


def _one_month(start: date, end: date) -> bool:
    return start.month == end.month and (end - start).days >= 26


def _said(text: str, ctx: Context) -> str:
    return ctx.say.day(day_in_year(ctx.today.year, text))


def _day_number(text: str) -> int:
    return day_in_year(2025, text).timetuple().tm_yday


def _doubts(season: Season) -> tuple[str, ...]:
    """Return the notes that warn, which belong on the screen."""
    return tuple(note for note in season.notes[1:] if "guide only" in note or "at least" in note)[:1]


def _rests_on(season: Season) -> tuple[str, ...]:
    stations = [source for n in season.normals.neighbours for source in n.station.source]
    return tuple(dict.fromkeys([*stations, "computed:frost-dates-fit"]))


def said_coordinates(lat: float, lon: float) -> str:
    """Say coordinates.

    >>> said_coordinates(-42.9, 147.3)
    '42.90 S, 147.30 E'
    """
    return f"{abs(lat):.2f} {'S' if lat < 0 else 'N'}, {abs(lon):.2f} {'W' if lon < 0 else 'E'}"
