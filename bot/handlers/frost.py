"""Frost in the nights ahead and what to cover, and what each cover is worth."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from bot.facts.climate import CoverKind
from bot.handlers import answers
from bot.handlers.climate import odds
from bot.handlers.cold import cover_name, harmed_below
from bot.handlers.context import Context, ask_place
from bot.plot.state import Planting
from bot.reply import Choice, Reply, Table
from bot.request import Request
from bot.season import Season
from bot.season.covering import middle
from bot.season.tonight import NightAhead, night_ahead
from bot.wording import listing

_LIKELY, _POSSIBLE, _AT_RISK, _WATCH = 0.5, 0.12, 0.25, 0.08
_NIGHTS_MOST = 14
_STILL_KMH, _WINDY_KMH = 8.0, 16.0
_LAID = ("fleece", "fleece-heavy", "double-fleece", "sheet")


@answers("frost_tonight")
def frost_tonight(request: Request, ctx: Context) -> Reply:
    """Tell the risk of frost tonight (or on the nights asked about) and what on the plot to cover or bring in."""
    season = ctx.season
    if season is None:
        return ask_place(request)
    nights = [night_ahead(season, evening) for evening in _evenings(request, ctx)]
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
        lines.append(f"The next likely frost is the night of {ctx.say.weekday(week.evening)}, about {ctx.say.temp(round(week.low_c))}.")
    data = {"date": worst.evening.isoformat(), "low_c": round(worst.low_c, 1), "chance": round(worst.chance, 3),
            "forecast": worst.forecast, "cover": [{"crop": r.planting.crop, "bed": r.planting.bed} for r in risky]}
    head = _verdict(worst, len(nights) > 1, ctx)
    if len(nights) > 1 and worst.chance < _LIKELY:
        head = _over_nights(nights, worst, season, ctx)
    return Reply(head, tuple(lines), working=_workings(nights, season, ctx),
                 sources=("nws-freeze-bands", "computed:frost-dates-fit"),
                 choices=(Choice("What is fleece worth?", "how many degrees does fleece give"),) if risky else (),
                 data={"frost_tonight": data})


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
        if night.chance < 0.01:
            return f"A frost {when} would be a great surprise: the usual low is about {low}."
        return f"By past years, a frost {when} comes {odds(night.chance)}; the usual low is about {low}."
    if night.chance >= _LIKELY:
        return f"Yes, expect {_frost_word(night.low_c, ctx)} {when}: down to about {low}."
    if night.chance >= _POSSIBLE:
        return f"{named} could touch frost: about {low}, one chance in {max(2, round(1 / night.chance))} of going under zero." \
            if not ctx.say.us else \
            f"{named} could touch frost: about {low}, one chance in {max(2, round(1 / night.chance))} of freezing."
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
    return f"Frost {spell} is {'possible' if chance >= _POSSIBLE else 'unlikely'}: {round(chance * 100)} in 100, {coldest}."


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
        if crop is None or (only and planting.crop not in only):
            continue
        bed = ctx.plot.beds.get(planting.bed or "")
        cover = bed.cover if bed else None
        if planting.bed is None and planting.planted_out is None and planting.method in ("module", "indoors"):
            cover = "indoors"
        harm = harmed_below(crop, ctx.facts)
        try:
            chance = season.frost_chance(start, end, harm, cover)
        except KeyError:
            chance = season.frost_chance(start, end, harm)
        if chance >= least:
            found.append(Risk(planting, harm, chance, cover))
    return sorted(found, key=lambda r: -r.chance)


def _what_to_do(night: NightAhead, risky: list[Risk], request: Request, ctx: Context) -> list[str]:
    if not risky:
        if request.crops:
            return [f"{_capital(listing([ctx.say.crop(c) for c in request.crops]))} should be all right as they are."]
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
        lines.append(f"{_capital(cover_name(kind, ctx.say))} {_be(kind)} worth about {ctx.say.warmth(*kind.night_c)}; "
                     "lift tender plants in pots or trays under a roof.")
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


@answers("protect")
def protect(request: Request, ctx: Context) -> Reply:
    """Tell what covers are worth, one of them, or how far each takes a crop."""
    covers = ctx.facts.climate.covers
    bed = ctx.plot.beds.get(request.bed or "")
    asked = request.cover or (bed.cover if bed else None)
    try:
        cover_id = ctx.facts.climate.cover_id(asked) if asked else None
    except KeyError:
        cover_id = None
    crop = ctx.facts.crops.get(request.crop or "")
    if cover_id == "none":
        cover_id = None
    if cover_id:
        return _one_cover(cover_id, covers[cover_id], request, ctx)
    if crop is not None:
        return _for_crop(request, ctx)
    laid = [c for c in covers if c not in ("none", "indoors", "heated", "plastic-sheet")]
    ranked = sorted(laid, key=lambda c: middle(covers[c].night_c))
    rows = tuple((_capital(cover_name(covers[c], ctx.say, article=False)), ctx.say.warmth(*covers[c].night_c)) for c in ranked)
    return Reply("Each cover is worth a few degrees on a cold night:", table=Table(("cover", "worth about"), rows),
                 lines=("Lay them before dusk while the ground still holds warmth, and open them by day.",),
                 more=("Plastic lying flat on leaves gives almost nothing.",), working=_cover_notes(ranked, ctx),
                 sources=_cited(ranked, ctx), data={"protect": {"covers": {c: list(covers[c].night_c) for c in ranked}}})


def _one_cover(cover_id: str, kind: CoverKind, request: Request, ctx: Context) -> Reply:
    say = ctx.say
    name = _capital(cover_name(kind, say))
    head = f"{name} {_be(kind)} worth about {say.warmth(*kind.night_c)} on a cold night."
    if kind.low_c is not None:
        head = f"{name}: plants stay at about {say.temp(kind.low_c)} or more while the heat is on."
    lines = [say.prose(kind.advice)] if kind.advice else []
    for crop_id in request.crops[:3]:
        crop = ctx.facts.crops.get(crop_id)
        if crop is not None and kind.low_c is None:
            harm = harmed_below(crop, ctx.facts)
            lines.insert(0, f"{_capital(say.crop(crop_id))} (hurt from about {say.temp(round(harm, 1))}) should then stand about "
                            f"{say.temp(round(harm - middle(kind.night_c)))} outside.")
    if 0 < kind.light[1] < 1:
        lines.append(f"It lets through about {round(kind.light[0] * 100)} to {round(kind.light[1] * 100)} % of the light.")
    if kind.night_c[1] > 0 and kind.low_c is None:
        lines.append("Clear still nights give the least, and wind blows the gain away.")
    return Reply(head, tuple(lines), working=_cover_notes([cover_id], ctx), sources=tuple(kind.source),
                 data={"protect": {"cover": cover_id, "night_c": list(kind.night_c), "light": list(kind.light)}})


def _for_crop(request: Request, ctx: Context) -> Reply:
    crop_id = request.crops[0]
    covers = ctx.facts.climate.covers
    harm = harmed_below(ctx.facts.crops[crop_id], ctx.facts)
    name = ctx.say.crop(crop_id)
    ranked = ["fleece", "cloche", "cold-frame", "double-fleece", "polytunnel", "polytunnel-fleece"]
    ranked.sort(key=lambda c: middle(covers[c].night_c))
    rows = tuple((_capital(cover_name(covers[c], ctx.say, article=False)), ctx.say.temp(round(harm - middle(covers[c].night_c)))) for c in ranked)
    return Reply(f"{_capital(name)} come to harm from about {ctx.say.temp(round(harm, 1))} in the open; under cover they stand more:",
                 table=Table(("under", "down to about"), rows),
                 lines=("Those are outside temperatures on a usual cold night; a clear still one gives a degree less.",),
                 working=_cover_notes(ranked, ctx), sources=_cited(ranked, ctx),
                 data={"protect": {"crop": crop_id, "harm_c": round(harm, 1),
                                   "covers": {c: list(covers[c].night_c) for c in ranked}}})


def _cover_notes(ids: list[str], ctx: Context) -> tuple[str, ...]:
    covers = ctx.facts.climate.covers
    return tuple(f"{_capital(covers[c].gb)}: {covers[c].note}" for c in ids if covers[c].note)


def _cited(ids: list[str], ctx: Context) -> tuple[str, ...]:
    return tuple(dict.fromkeys(s for c in ids for s in ctx.facts.climate.covers[c].source))


def _be(kind: CoverKind) -> str:
    return "are" if kind.gb.startswith(("two", "old")) else "is"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
