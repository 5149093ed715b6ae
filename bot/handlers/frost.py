"""Frost in the nights ahead, and what to cover."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from bot.facts.crop import Crop
from bot.growing.expecting import killed
from bot.handlers import answers
from bot.handlers.blossoming import blossom_stands, in_flower, shield
from bot.handlers.climate import odds
from bot.handlers.cold import against_frost, cold_of, harmed_below, is_many, leaves_hurt, worth
from bot.handlers.context import Context, ask_place
from bot.handlers.harvests_due import surely_over
from bot.plot.state import Planting
from bot.reply import Choice, Reply
from bot.request import Request
from bot.season import Season, day_in_year
from bot.season.covering import middle
from bot.season.tonight import NightAhead, night_ahead
from bot.wording import capital, listing, small

_LIKELY, _POSSIBLE, _AT_RISK, _WATCH = 0.5, 0.12, 0.25, 0.08
_NIGHTS_MOST, _NAMED_MOST = 14, 6
_SOFT_C = -2.5  # a crop hurt above this is worth a cover on any frosty night
#: Warmer than this is no cold night; and what "a frost" without a figure is taken for.
_COLD_C, _LIGHT_FROST_C = 4.0, -2.0
_STILL_KMH, _WINDY_KMH = 8.0, 16.0
_LAID = ("fleece", "fleece-heavy", "double-fleece", "sheet")


@answers("frost_tonight")
def frost_tonight(request: Request, ctx: Context) -> Reply:
    """Tell the risk of frost tonight (or on the nights asked about) and what on the plot to cover or bring in."""
    season = ctx.season
    if season is None:
        return ask_place(request)
    nights = [night_ahead(season, evening) for evening in _evenings(request, ctx)]
    told = _foretold(request, nights[0], ctx)
    if told is not None and not nights[0].forecast:
        return _as_told(told, nights[0], request, ctx)
    worst = max(nights, key=lambda n: (n.chance, -n.low_c))
    risky = at_risk(worst.morning, worst.morning, ctx, only=request.crops)
    lines = _what_to_do(worst, risky, request, ctx)
    if len(nights) > 1 and not risky:
        watch = at_risk(nights[0].morning, nights[-1].morning, ctx, only=request.crops, least=_WATCH)
        if watch:
            lines = [f"Keep fleece to hand for {_places(watch, ctx)}."]
    if worst.chance < _LIKELY and worst.ground >= _LIKELY and worst.low_c < 6:
        lines.append("On a clear still night the grass and low leaves can whiten even so.")
    if worst.forecast and worst.wind_kmh is not None and worst.ground > _POSSIBLE:
        if worst.wind_kmh > _WINDY_KMH:
            lines.append("It stays windy, so covers help less; weigh them down well.")
        elif worst.wind_kmh < _STILL_KMH:
            lines.append("Little wind is due, so hollows and open ground get the worst of it and covers work well.")
    if not worst.forecast:
        lines.append("That is from past years: I have no forecast for it.")
    week = _first_frost_ahead(season, ctx.today) if len(nights) == 1 else None
    if week and week.evening != worst.evening:
        lines.append(f"The next likely frost is the night of {ctx.say.weekday(week.evening)}, "
                     f"about {ctx.say.temp(round(week.low_c))}.")
    data = {"date": worst.evening.isoformat(), "low_c": round(worst.low_c, 1), "chance": round(worst.chance, 3),
            "forecast": worst.forecast, "cover": [{"crop": r.planting.crop, "bed": r.planting.bed} for r in risky]}
    head = _verdict(worst, len(nights) > 1, ctx)
    if not worst.forecast and ctx.facts.asking.cold.foretold.search(request.text):  # the gardener has heard a forecast, and it wins
        soft = [c for c in request.crops[:2] if harmed_below(ctx.facts.crops[c], ctx.facts) > _SOFT_C]
        doing = [against_frost(ctx.facts.crops[c], ctx.facts, ctx.say) for c in soft]
        if doing:
            hurt = ctx.say.temp(round(harmed_below(ctx.facts.crops[soft[0]], ctx.facts)))
            lines = [f"{capital(ctx.say.crop(soft[0]))} are hurt from about {hurt}.", head, lines[-1]]
            head = f"{capital(listing(doing))}."
    if len(nights) > 1 and worst.chance < _LIKELY:
        head = _over_nights(nights, worst, season, ctx)
    return Reply(head, tuple(lines), working=_workings(nights, season, ctx),
                 sources=("nws-freeze-bands", "computed:frost-dates-fit"),
                 choices=(Choice("What is fleece worth?", "how many degrees does fleece give"),) if risky else (),
                 data={"frost_tonight": data})


def _foretold(request: Request, night: NightAhead, ctx: Context) -> float | None:
    """Return the cold a gardener says is coming, °C: a figure, or a light frost where only a frost is spoken of.

    None when it is asked about, and for a night that is only called cold out of the season of frosts.
    """
    if request.temperature_c is not None and request.temperature_c <= _COLD_C:
        return request.temperature_c
    text, words = request.text, ctx.facts.asking.cold
    heard = words.to_come.search(text) or (night.chance >= ctx.facts.growing.number("frost.unlikely_chance") and words.cold_to_come.search(text))
    return _LIGHT_FROST_C if heard and not words.asks.search(text) else None


def _as_told(low_c: float, night: NightAhead, request: Request, ctx: Context) -> Reply:
    """Answer for a night the gardener has a forecast of, which outranks past years: what stands there that it would hurt."""
    risky, marked = [], list[str]()
    for planting in ctx.plot.standing():
        crop = ctx.facts.crops.get(planting.crop)
        if crop is None or (request.crops and planting.crop not in request.crops) or _underground(planting, night.morning, ctx):
            continue
        bed = ctx.plot.beds.get(planting.bed or "")
        cover = bed.cover if bed else None
        if planting.bed is None and planting.planted_out is None and planting.method in ("module", "indoors"):
            cover = "indoors"
        if request.crops and (request.cover or request.beds):  # "the tomatoes in the tunnel", wherever the record has them
            there = ctx.plot.beds.get(request.beds[0]) if request.beds else None
            cover = request.cover or (there.cover if there else cover)
        kind = ctx.facts.climate.covers.get(cover or "none")
        felt = max(low_c + middle(kind.night_c), kind.low_c if kind.low_c is not None else -99.0) if kind else low_c
        harm = harmed_below(crop, ctx.facts)
        if felt <= harm:
            risky.append(Risk(planting, harm, 1.0, cover))
        elif not crop.lasting and felt <= leaves_hurt(crop, ctx.facts):
            marked.append(crop.id)
    risky.sort(key=lambda r: -r.harm_c)
    at = ctx.say.temp(round(low_c, 1))
    lines = _what_to_do(replace(night, low_c=low_c), risky, request, ctx)
    if risky:
        head, lines = f"At {at} {small(lines[0])}", lines[1:]
    elif lost := [c for c in request.crops if _blossom_hurt(ctx.facts.crops[c], low_c, request, ctx)]:
        head = f"Yes, cover them: {blossom_stands(ctx.facts.crops[lost[0]], ctx)}."
        lines = [shield(ctx)]
    elif request.crops and not any(p.crop in request.crops for p in ctx.plot.standing()):
        soft = [c for c in request.crops if harmed_below(ctx.facts.crops[c], ctx.facts) >= low_c]
        named = listing([ctx.say.crop(c) for c in (soft or request.crops)])
        head = f"Yes, cover them: {named} are hurt at {at}." if soft else f"{capital(named)} should be all right at {at}."
        lines = [f"{capital(against_frost(ctx.facts.crops[c], ctx.facts, ctx.say))}." for c in soft[:2]]
    elif ctx.plot.standing():
        head = f"At {at} nothing standing here comes to harm."
        lines = []
    else:
        group = ctx.facts.groups.named("tender veg")
        tender = [c for c in (group.crops if group else []) if harmed_below(ctx.facts.crops[c], ctx.facts) >= low_c][:_NAMED_MOST]
        head = f"At {at} cover or bring in what is tender: {listing([ctx.say.crop(c) for c in tender])}." if tender else f"At {at} little comes to harm."
        lines = ["Nothing is written down as growing here, so I can't say what of yours it would hurt."]
    if request.temperature_c is None:
        lines.append(f"I took it for a light frost of {at}: tell me the figure if you have heard one.")
    if marked:
        names = listing([ctx.say.crop(c) for c in dict.fromkeys(marked)][:6])
        head = head if risky else f"At {at} nothing standing here is killed."
        lines.append(f"{capital(names)} may show marked leaves and grow on.")
    if low_c > -1:
        lines.append("On a clear still night the ground is some degrees colder than that.")
    data = {"date": night.evening.isoformat(), "low_c": round(low_c, 1), "told": True, "cover": [{"crop": r.planting.crop, "bed": r.planting.bed} for r in risky]}
    return Reply(head, tuple(lines), sources=("nws-freeze-bands", "computed:frost-dates-fit"), working=_workings([night], ctx.season, ctx) if ctx.season else (),
                 choices=(Choice("What is fleece worth?", "how many degrees does fleece give"),) if risky else (), data={"frost_tonight": data})


def _blossom_hurt(crop: Crop, low_c: float, request: Request, ctx: Context) -> bool:
    """Tell whether a night this cold hurts the blossom a message speaks of."""
    blossom = cold_of(crop, ctx.facts).blossom
    return blossom is not None and low_c <= blossom[0] and in_flower(crop, request, ctx, frosty=True)


def _evenings(request: Request, ctx: Context) -> list[date]:
    """Return the evenings meant: tonight, the named day's night, or each night of a span (a fortnight at most)."""
    when = request.when
    if when is None:
        return [ctx.today]
    morning = "morning" in request.text.lower()
    first = max(when.start - timedelta(days=1) if morning and when.start > ctx.today else when.start, ctx.today)
    last = max(when.end - timedelta(days=1) if morning and when.end > ctx.today else when.end, first)
    return [first + timedelta(days=n) for n in range(min((last - first).days + 1, _NIGHTS_MOST))]


def _verdict(night: NightAhead, several: bool, ctx: Context) -> str:
    low = ctx.say.temp(round(night.low_c))
    if several or night.evening != ctx.today:
        when = f"on the night of {ctx.say.weekday(night.evening)} {ctx.say.day(night.evening)}"
        head = "Most at risk: the night of" if several else "The night of"
        named = f"{head} {ctx.say.weekday(night.evening)} {ctx.say.day(night.evening)}"
    else:
        when, named = "tonight", "Tonight"
    if not night.forecast:
        if night.chance < ctx.facts.growing.number("frost.unlikely_chance"):
            dates = ctx.season.frost_dates() if ctx.season else None
            if dates is None or dates.last.p50 is None or dates.first.p50 is None:
                return f"A frost {when} would be a great surprise: the usual low is about {low}."
            ends, starts = (ctx.say.day(day_in_year(night.evening.year, text)) for text in (dates.last.p50, dates.first.p50))
            return f"A frost {when} is very unlikely: they usually end about {ends} and begin again about {starts}; the usual low is about {low}."
        return f"By past years, a frost {when} comes {odds(night.chance)}; the usual low is about {low}."
    if night.chance >= _LIKELY:
        return f"Yes, expect {_frost_word(night.low_c, ctx)} {when}: down to about {low}."
    if night.chance >= _POSSIBLE:
        ends = ctx.say.pick("going under zero", "freezing") if not ctx.say.us else "freezing"
        return f"{named} could touch frost: about {low}, one chance in {max(2, round(1 / night.chance))} of {ends}."
    return f"No frost {when}: the low is about {low}."


def _frost_word(low_c: float, ctx: Context) -> str:
    """Say a frost by the bands of the country's weather service: 'a slight frost', 'a moderate freeze'."""
    topic, rule, slack = ("uk-air-frost-severity", "under 10 kt", 0.05)
    if ctx.say.words == "us":  # bands in whole °F: each reaches half a degree over its printed ends
        topic, rule, slack = ("freeze-band-us", "nws-freeze-bands", 0.28)
    for row in ctx.facts.climate.frost_terms:
        if row.topic != topic or not (rule in row.source or rule in (row.rule or "")):
            continue
        if (row.lower_c is None or low_c >= row.lower_c - slack) and (
                row.upper_c is None or low_c <= row.upper_c + slack):
            return f"a {row.term}" if "free" in row.term else f"a {row.term} frost"
    return "a frost"


def _over_nights(nights: list[NightAhead], worst: NightAhead, season: Season, ctx: Context) -> str:
    """Say the chance that any of several nights freezes."""
    chance = season.frost_chance(nights[0].morning, nights[-1].morning)
    spell = f"between {ctx.say.day(nights[0].evening, ctx.today)} and {ctx.say.day(nights[-1].evening, ctx.today)}"
    coldest = f"the coldest night about {ctx.say.temp(round(worst.low_c))}"
    if not any(n.forecast for n in nights):
        return f"By past years, frost {spell} comes {odds(chance)}; {coldest}."
    if chance < 0.02:
        return f"No frost {spell}: {coldest}."
    likely = "possible" if chance >= _POSSIBLE else "unlikely"
    return f"Frost {spell} is {likely}: {round(chance * 100)} in 100, {coldest}."


@dataclass(frozen=True, slots=True)
class Risk:
    """A planting that the night may hurt: where it first comes to harm (°C) and the chance of it under its cover."""

    planting: Planting
    harm_c: float
    chance: float
    cover: str | None


def at_risk(start: date, end: date, ctx: Context, only: tuple[str, ...] = (), least: float = _AT_RISK) -> list[Risk]:
    """Return the standing plantings that the nights ending on these mornings may hurt, most endangered first.

    `least` is the least chance of harm that counts.
    """
    season = ctx.season
    if season is None:
        return []
    found = []
    for planting in ctx.plot.standing():
        crop = ctx.facts.crops.get(planting.crop)
        if crop is None or (only and planting.crop not in only) or (not only and surely_over(planting, ctx)) or _underground(planting, start, ctx):
            continue
        bed = ctx.plot.beds.get(planting.bed or "")
        cover = bed.cover if bed else None
        if planting.bed is None and planting.planted_out is None and planting.method in ("module", "indoors"):
            cover = "indoors"
        harm = harmed_below(crop, ctx.facts)
        try:
            if killed(planting, cover, ctx.facts, season, ctx.today):
                continue
            chance = season.frost_chance(start, end, harm, cover)
        except KeyError:
            chance = season.frost_chance(start, end, harm)
        if chance >= least:
            found.append(Risk(planting, harm, chance, cover))
    return sorted(found, key=lambda r: -r.chance)


def _underground(planting: Planting, day: date, ctx: Context) -> bool:
    """Tell whether tubers planted lately are not up yet: the soil over them keeps a frost off."""
    out = planting.in_ground
    return planting.method == "tubers" and out is not None and (day - out).days < ctx.facts.growing.number("frost.tubers_under_days")


def _what_to_do(night: NightAhead, risky: list[Risk], request: Request, ctx: Context) -> list[str]:
    if not risky:
        flowering = [ctx.facts.crops[c] for c in request.crops if in_flower(ctx.facts.crops[c], request, ctx, frosty=True)]
        if flowering:
            return [*(f"If they are in flower, {blossom_stands(crop, ctx)}." for crop in flowering[:2]), shield(ctx)]
        if request.crops:
            it = "they are" if len(request.crops) > 1 or is_many(ctx.facts.crops[request.crops[0]], ctx.say.words) else "it is"
            return [f"{capital(listing([ctx.say.crop(c) for c in request.crops]))} should be all right as {it}."]
        return ["Nothing standing here needs covering for it."] if ctx.plot.standing() else []
    outside = [r for r in risky if r.cover in (None, "none")]
    inside = [r for r in risky if r.cover not in (None, "none")]
    lines = []
    if outside:
        lines.append(f"Cover before dusk: {_places(outside, ctx)}.")
    if inside:
        lines.append(f"Lay fleece inside over {_places(inside, ctx)}.")
    need = max(r.harm_c for r in risky) - night.low_c
    cover = next((c for c in _LAID if middle(ctx.facts.climate.covers[c].night_c) >= need + 0.5), "double-fleece")
    if need > -1:
        kind = ctx.facts.climate.covers[cover]
        lines.append(f"{worth(kind, ctx.say)}; lift tender plants in pots or trays under a roof.")
    return lines


def _places(risks: list[Risk], ctx: Context) -> str:
    by_bed: dict[str, list[str]] = {}
    for risk in risks[:8]:
        bed = ctx.plot.beds.get(risk.planting.bed or "")
        by_bed.setdefault(bed.name if bed else "", []).append(ctx.say.crop(risk.planting.crop))
    parts = [listing(list(dict.fromkeys(names))) + (f" in {bed}" if bed else "") for bed, names in by_bed.items()]
    return "; ".join(parts) + (f" and {len(risks) - 8} more" if len(risks) > 8 else "")


def _first_frost_ahead(season: Season, today: date) -> NightAhead | None:
    """Return the first night of the forecast with a likely frost."""
    if season.forecast is None:
        return None
    ahead = (night_ahead(season, today + timedelta(days=n)) for n in range(7))
    return next((n for n in ahead if n.forecast and n.chance >= _LIKELY), None)


def _workings(nights: list[NightAhead], season: Season, ctx: Context) -> tuple[str, ...]:
    rows = [f"{n.evening.isoformat()}: low {ctx.say.temp(round(n.low_c, 1))}, chance of an air frost {n.chance:.0%}, "
            f"of a ground frost {n.ground:.0%} ({'forecast' if n.forecast else 'past years'})." for n in nights]
    return (*rows, f"Chance of a frost in the next 14 days: "
            f"{season.frost_chance(ctx.today + timedelta(days=1), ctx.today + timedelta(days=14)):.0%}.", *season.notes)
