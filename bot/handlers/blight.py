"""Is blight coming: the weather rules on the hours ahead, what on the plot is exposed, and what to do."""

from __future__ import annotations

from datetime import date, timedelta

from bot.facts.tending import Blight, BlightRule
from bot.handlers import answers
from bot.handlers.context import Context, ask_place
from bot.handlers.pests import case_of, known_by
from bot.reply import Choice, Reply
from bot.request import Request
from bot.season.forecast import ForecastHour
from bot.tending.blight import Exposed, air_days, exposed, periods, qualifies
from bot.tending.diagnosis import season_of
from bot.tending.units import in_units
from bot.wording import listing, small

IF_IT_COMES = ("few-spots", "established", "tubers", "fruit", "clear", "eat", "prevent")  # stages behind "more"
_JUST = 4  # requests back that a talk of blight still bears on the next
LOOK_AHEAD = 7  # days whose normals speak when there is no forecast


@answers("blight_risk")
def blight_risk(request: Request, ctx: Context) -> Reply:
    """Judge blight pressure from forecast hours, or from the season's normals when there are none."""
    if ctx.season is None:
        return ask_place(request)
    known = ctx.facts.tending.pest("late-blight")
    if known is not None and ctx.facts.asking.ground.looks.search(request.text):
        return known_by(known, case_of(request, ctx), ctx)
    blight = ctx.facts.tending.blight
    mine = exposed(ctx.plot, {row.crop: row.risk for row in blight.crops}, ctx.facts.climate)
    forecast = ctx.season.forecast
    hours = [h for h in forecast.hours if h.humidity_pct is not None] if forecast else []
    if hours:
        return _from_hours(hours, mine, blight, ctx)
    return _from_normals(mine, blight, ctx)


def _from_hours(hours: list[ForecastHour], mine: list[Exposed], blight: Blight, ctx: Context) -> Reply:
    """Judge by hours of temperature and humidity."""
    rules = {rule.id: rule for rule in blight.rules}
    found = {name: periods(hours, rule) for name, rule in rules.items()}
    hutton, smith = found.get("hutton", []), found.get("smith", [])
    working = [line for rule in blight.rules for line in _day_lines(hours, rule, ctx)]
    if hutton:
        first, last = hutton[0]
        when = _span(first, last, ctx)
        headline = f"Blight weather: {when} meet{'' if first != last else 's'} the Hutton criteria."
        older = (f"The older Smith period agrees ({_span(*smith[0], ctx)})." if smith
                 else "The older, stricter Smith period is not met.")
        lines = [older, "It means spores could infect if any are about, not that they have.",
                 *_who(mine, ctx), *_say(blight, ctx, mine, "alert")]
        risk = "high"
    else:
        near = [d for d in air_days(hours, rules["hutton"].humidity_pct) if qualifies(d, rules["hutton"])]
        last_day = max(h.time.date() for h in hours)
        headline = f"No blight weather in sight: no Hutton period to {ctx.say.day(last_day, ctx.today)}."
        close = listing([ctx.say.day(d.day, ctx.today) for d in near[:3]])
        lines = [f"One day alone comes close: {close}."] if near else []
        lines += [*_who(mine, ctx), *_say(blight, ctx, mine, "watch")]
        risk = "watch" if near else "low"
    return _reply(headline, lines, mine, blight, ctx, risk, hutton, smith, working, "forecast hours")


def _from_normals(mine: list[Exposed], blight: Blight, ctx: Context) -> Reply:
    """Say what the season usually brings, when there are no hours to judge."""
    assert ctx.season is not None
    days = [ctx.today + timedelta(days=n) for n in range(LOOK_AHEAD)]
    night = sum(ctx.season.low(d) for d in days) / len(days)
    season = season_of(ctx.today.month, ctx.season.southern)
    mild = night >= blight.normals_min_c
    told = f"Nights here are usually about {ctx.say.temp(round(night))} now"
    need = ctx.say.temp(blight.normals_min_c)
    if season not in blight.season:
        headline = "Blight is out of season here now."
        lines = [f"{told}; it needs nights of {need} or more, wet air, and leaves to land on."]
        risk = "low"
    elif mild:
        headline = "I have no hourly forecast, but it is blight season here: watch after two mild, wet days."
        lines = [f"{told}, warm enough. The sign is two days running at {need} or more, six damp hours in each."]
        risk = "watch"
    else:
        headline = "I have no hourly forecast. By the usual nights here blight is unlikely this week."
        lines = [f"{told}; it needs {need} or more day and night, two wet days running. A mild wet spell changes that."]
        risk = "low"
    stage = "watch" if season in blight.season else None
    lines += _who(mine, ctx) if risk != "low" or mine else []
    lines += _say(blight, ctx, mine, stage) if stage else []
    spell = f"{ctx.say.day(days[0])} to {ctx.say.day(days[-1])}"
    working = [f"Mean of normal lows {spell}: {ctx.say.temp(round(night, 1))}.",
               f"Hutton criteria: {need} or more and 6 h at 90 % humidity or more, two days running; needs hourly air."]
    return _reply(headline, lines, mine, blight, ctx, risk, [], [], [*working, *ctx.season.notes[:1]], "normals")


def _reply(headline: str, lines: list[str], mine: list[Exposed], blight: Blight, ctx: Context, risk: str,
           hutton: list[tuple[date, date]], smith: list[tuple[date, date]], working: list[str], basis: str) -> Reply:
    more = ["If it comes:", *_say(blight, ctx, mine, *IF_IT_COMES)]
    sources = dict.fromkeys([*blight.source, *(s for r in blight.rules for s in r.source)])
    return Reply(headline, lines=tuple(lines[:10]), more=tuple(more), working=tuple(working), sources=tuple(sources),
                 choices=(Choice("I see brown blotches", "dark wet blotches spreading on my potato leaves, what now"),),
                 data={"risk": risk, "basis": basis, "hutton": _json(hutton), "smith": _json(smith),
                       "exposed": [{"crop": e.crop, "bed": e.bed, "covered": e.covered, "risk": e.risk} for e in mine]})


def _who(mine: list[Exposed], ctx: Context) -> list[str]:
    """Say what on this plot is exposed, and what stands under a roof."""
    out = [e for e in mine if not e.covered]
    roofed = [e for e in mine if e.covered]
    lines = []
    if out:
        lines.append(f"Exposed here: {listing(list(dict.fromkeys(_where(e, ctx) for e in out)))}.")
    if roofed:
        inside = listing(list(dict.fromkeys(_where(e, ctx) for e in roofed)))
        lines.append(f"Under cover, so much safer while leaves stay dry: {inside}. The rule is made for open ground.")
    return lines or ["No potatoes or tomatoes are written down as growing here."]


def _where(row: Exposed, ctx: Context) -> str:
    bed = ctx.plot.beds.get(row.bed) if row.bed else None
    return ctx.say.crop(row.crop) + (f" in {bed.name}" if bed else "")


def _say(blight: Blight, ctx: Context, mine: list[Exposed], *stages: str) -> list[str]:
    """Return the advice of some stages for what grows here, or for potatoes and tomatoes when nothing does."""
    crops = {e.crop for e in mine} or {"potato", "tomato"}
    rows = [row for row in blight.advice if row.stage in stages and crops & set(row.crops)]
    if any(e.covered for e in mine) and "alert" in stages:
        rows += [row for row in blight.advice if row.stage == "cover"]
    order = list(stages)
    rows.sort(key=lambda row: order.index(row.stage) if row.stage in order else len(order))
    return [in_units(row.say, ctx.say) for row in rows]


def _day_lines(hours: list[ForecastHour], rule: BlightRule, ctx: Context) -> list[str]:
    """Return one line a day: lowest temperature, damp hours, and whether the rule is met."""
    lines = [f"{rule.name}: {rule.days} days running at {ctx.say.temp(rule.min_c)} or more with {rule.hours} h or more "
             f"at {rule.humidity_pct:.0f} % humidity or more."]
    for day in air_days(hours, rule.humidity_pct)[:8]:
        verdict = "met" if qualifies(day, rule) else "not met" if day.whole else "too few hours to judge"
        lines.append(f"{ctx.say.day(day.day)}: low {ctx.say.temp(day.low_c)}, {day.humid_hours} damp hours, {verdict}.")
    return lines


def _span(first: date, last: date, ctx: Context) -> str:
    if first == last:
        return ctx.say.day(first, ctx.today)
    return f"{ctx.say.day(first, ctx.today)} to {ctx.say.day(last, ctx.today)}"


def _json(spans: list[tuple[date, date]]) -> list[dict[str, str]]:
    return [{"from": a.isoformat(), "to": b.isoformat()} for a, b in spans]


def after_blight(reply: Reply, crop: str, ctx: Context) -> Reply:
    """Put first, where blight was just spoken of, how long the tubers of this crop stay in the ground once the tops are cut."""
    spoken = any(r.intent == "blight_risk" or r.pest == "late-blight" for r in ctx.memory.requests[-_JUST:])
    found = [row for row in ctx.facts.tending.blight.advice if row.stage == "tubers" and crop in row.crops] if spoken else []
    if not found:
        return reply
    return reply.with_(headline=f"If they have blight: {small(found[0].say)}", lines=(reply.headline, *reply.lines),
                       sources=tuple(dict.fromkeys((*found[0].source, *reply.sources))))
