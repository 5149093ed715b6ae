"""How the growing answers say things: ways of beginning, layouts, picking spans, reasons and why not."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from bot.facts.crop import Crop
from bot.growing.outcomes import Miss, Offer, Trial
from bot.handlers.context import Context
from bot.wording import capital, listing, number, plural

SOW = ("direct",)
_WAYS = {
    "direct": "sow",
    "plants": "set out plants",
    "sets": "plant sets",
    "cloves": "plant cloves",
    "tubers": "plant tubers",
    "slips": "plant slips",
    "crowns": "plant crowns",
    "runners": "plant runners",
    "bare-root": "plant bare-root",
    "division": "plant divisions",
    "offsets": "plant offsets",
    "cuttings": "plant cuttings",
    "module": "sow in modules",
    "indoors": "sow indoors",
}
_NOUNS = {"sets": "set", "cloves": "clove", "tubers": "tuber", "slips": "slip", "crowns": "crown", "runners": "runner"}
_MANY = 60
_PLENTY = 150  # more than a household sets out at once
_FAR_DAYS = 75  # more than this too late is simply out of season


def way(method: str) -> str:
    """Say how a crop is begun: 'sow', 'set out plants', 'plant cloves'."""
    return _WAYS.get(method, "plant")


def begin(method: str, crop_id: str, ctx: Context) -> str:
    """Say how a crop is begun with its name: 'sow carrots', 'set out leeks', 'plant onions (sets)'."""
    name = ctx.say.crop(crop_id)
    if method in ("direct", "plants", "module", "indoors"):
        return {"direct": f"sow {name}", "plants": f"set out {name}"}.get(method, f"sow {name} under cover")
    return f"plant {name}" if method in ("tubers", "crowns") else f"plant {name} ({method.replace('-', ' ')})"


def part(day: date, ctx: Context, today: date | None = None) -> str:
    """Say a day roughly, with its year when that is not this one."""
    today = today or ctx.today
    said = ctx.say.part_of_month(day)
    return f"{said} {day.year}" if day.year != today.year and abs((day - today).days) > 240 else said


def span(first: date, last: date, ctx: Context) -> str:
    """Say a span of days roughly: 'mid July to early September', 'mid July'."""
    a, b = part(first, ctx), part(last, ctx)
    if a == b:
        return a
    if a.split()[1:] == b.split()[1:]:
        return f"{a.split()[0]} to {b}"
    if first.year == last.year and len(a.split()) == 3:
        a = a.rsplit(" ", 1)[0]  # one year said for both
    return f"{a} to {b}"


def layout(offer: Offer, ctx: Context) -> str:
    """Say how many and how far apart."""
    plan = offer.layout
    if plan.pattern == "broadcast":
        return "broadcast"
    if plan.pattern in ("square", "offset"):
        gap = f"{ctx.say.length(plan.in_row_cm)} each way"
    else:
        gap = f"{ctx.say.length(plan.in_row_cm)} apart, rows {ctx.say.length(plan.between_rows_cm)}"
    if offer.method == "direct" and plan.count > _MANY:
        rows = plural(plan.rows, "row")
        return f"{rows}, thinned to {gap}" if plan.pattern in ("square", "offset") else f"{rows}, {gap}"
    noun = _NOUNS.get(offer.method, "plant")
    return f"{'up to ' if plan.count > _PLENTY else ''}{plural(plan.count, noun)}, {gap}"


def offer_lines(offers: Sequence[Offer], ctx: Context, trial: Trial) -> list[str]:
    """Say offers, a line each: the crop, how, how many, when it is picked, and the best reason not yet given."""
    lines, told = [], set[str]()
    for offer in offers:
        name = capital(ctx.say.crop(offer.crop))
        start = "" if (offer.start - trial.first_day).days <= 2 else f" from {ctx.say.day(offer.start, ctx.today)}"
        head = f"{name}, {way(offer.method)}{start}: {layout(offer, ctx)}; pick {span(offer.first, offer.last, ctx)}."
        fresh = [why for why in _reasons(offer, ctx) if why not in told][:1]
        told.update(fresh)
        lines.append(f"{head} {capital(fresh[0])}." if fresh else head)
    return lines


def is_are(crop_id: str, ctx: Context) -> str:
    """Return 'is' for a crop that is not counted (garlic, kale) and 'are' for the others."""
    return "is" if ctx.say.crop(crop_id, 1) == ctx.say.crop(crop_id) else "are"


def about(day: date, ctx: Context) -> str:
    """Say a day as one of several it might be: 'about 3 March', 'yesterday'."""
    said = ctx.say.day(day, ctx.today)
    return said if said in ("today", "tomorrow", "yesterday") else f"about {said}"


def reason(offer: Offer, ctx: Context) -> str:
    """Say why an offer is good and what to watch, from its notes."""
    return listing(_reasons(offer, ctx)[:4])


def _reasons(offer: Offer, ctx: Context) -> list[str]:
    said = [text for note in offer.notes if (text := _note(note, offer, ctx))]
    if offer.chance < 0.9:
        spells = "winters" if _through_winter(offer, ctx) else "years"
        said.append(f"about {round(offer.chance * 10)} {spells} in 10 spare it, so keep {ctx.say.pick('fleece by', 'row cover handy')}")
    if not said:
        weeks = max(1, round((offer.first - offer.start).days / 7))
        said.append(f"first picking in about {plural(weeks, 'week')}")
    return said


def _through_winter(offer: Offer, ctx: Context) -> bool:
    """Tell whether an offer stands at midwinter, so that winter and not a late or early frost is what must spare it."""
    month = 6 if ctx.season is not None and ctx.season.southern else 12
    midwinter = date(offer.start.year, month, 21)
    return offer.start <= midwinter <= offer.last or midwinter.replace(year=midwinter.year + 1) <= offer.last


def _note(note: str, offer: Offer, ctx: Context) -> str:
    kind, _, rest = note.partition(":")
    return {
        "tight": "tight: a cool year could beat it",
        "light": "a little short of sun there",
        "shade": "does not mind the shade",
        "filler": "quick enough to fit in although its family was there lately",
        "again": "the same family again, so dig in fresh compost",
        "follows": f"follows {ctx.say.crop(rest)} well" if rest else "",
        "manured": "roots may fork after the manure",
        "fed": "will enjoy the feeding the bed had",
        "plants-waiting": "you have plants waiting",
        "growing": "",
        "seed": "you have seed in the tin",
        "hungry-gap": "fills the hungry gap",
        "winter": "stands through winter",
        "heat": "needs water in the heat",
        "cool": "wants the warmest spot you have",
    }.get(kind, "")


def need_said(crop: Crop, ctx: Context) -> tuple[str, ...]:
    """Say the warmth a crop takes, as working; empty when unknown."""
    growth = crop.growth
    if growth is None or growth.need_c_days is None or growth.base_c is None:
        return ()
    low, high = growth.leaves_c_days or growth.need_c_days
    unit = 1.8 if ctx.say.us else 1.0
    return (
        f"Needs about {round(low * unit)} to {round(high * unit)} degree days {'°F' if ctx.say.us else '°C'} above "
        f"{ctx.say.temp(growth.base_c)}, less where days are short.",
    )


def miss_line(miss: Miss, ctx: Context) -> str:
    """Say a near miss in one line."""
    return f"Not {ctx.say.crop(miss.crop)}: {detail(miss, ctx)}."


def detail(miss: Miss, ctx: Context) -> str:
    """Say the failed test of a miss with its numbers, as a clause."""
    say = _DETAILS.get(miss.failed)
    return say(miss, ctx) if say else "does not fit"


def _season(miss: Miss, ctx: Context) -> str:
    n = miss.numbers
    doing = "sowing" if miss.method in ("direct", "module", "indoors") else "planting"
    if n.get("never"):
        return "no season here is warm enough for that"
    if not n.get("late"):
        return f"too soon, {doing} begins {about(n['opens'], ctx)}"
    ready, ends = n.get("first"), n.get("weather_end")
    if ready and ends and 0 < (ready - ends).days <= _FAR_DAYS:
        end = ctx.say.day(ends, ctx.today)
        return f"begun now, ready {about(ready, ctx)}, but the weather usually ends the crop by {end}"
    if ready and n.get("chance") is not None and n["chance"] < 0.6 and (ready - ctx.today).days <= 250:
        return f"begun now, ready {about(ready, ctx)}, and {_spared(n['chance'])} till then"
    return f"{doing} ended {about(n['closed'], ctx)}, next from {about(n['opens'], ctx)}"


def _time(miss: Miss, ctx: Context) -> str:
    n = miss.numbers
    if "first" not in n:
        return "there is never warmth enough for that here"
    end = ctx.say.day(n["weather_end"], ctx.today)
    if n["days_short"] > _FAR_DAYS:
        return f"it would have to stand the winter till {part(n['first'], ctx)}, and the cold usually ends it by {end}"
    return f"ready {about(n['first'], ctx)}, but the cold usually ends the crop by {end}"


def _bolting(miss: Miss, ctx: Context) -> str:
    end = ctx.say.day(miss.numbers["weather_end"], ctx.today)
    return f"ready {about(miss.numbers['first'], ctx)}, but running to seed by {end}"


def _cold(miss: Miss, ctx: Context) -> str:
    return f"{_spared(miss.numbers['chance'])} till the first picking {about(miss.numbers['first'], ctx)}"


def _heat(miss: Miss, ctx: Context) -> str:
    n = miss.numbers
    return (
        f"picking would fall {about(n['first'], ctx)}, at about {ctx.say.temp(round(n['mean_c']))} day and night, and "
        f"{ctx.say.temp(n['best_c'])} is the most that does it good"
    )


def _soil(miss: Miss, ctx: Context) -> str:
    n = miss.numbers
    soil, least = ctx.say.temp(round(n["soil_c"])), ctx.say.temp(round(n["least_c"]))
    return f"the soil is about {soil}, and seed needs {least} to come up"


def _light(miss: Miss, ctx: Context) -> str:
    n = miss.numbers
    shade = f" beside {listing([ctx.say.crop(c) for c in n['shaded_by']])}" if n.get("shaded_by") else ""
    return f"too little sun: about {number(n['hours'], 1)} hours{shade}, and {number(n['needs'], 1)} are wanted"


def _rotation(miss: Miss, ctx: Context) -> str:
    n = miss.numbers
    was = ctx.say.crop(n["last_crop"]) if n.get("last_crop") else "the family"
    stood = (
        f"{was} stood there till {part(n['last'], ctx)}"
        if n["last"] < ctx.today
        else f"{was} {_stands(n['last_crop'], ctx)} there now"
        if any(p.crop == n["last_crop"] for p in ctx.plot.standing())
        else f"{was} would be there till {part(n['last'], ctx)}"
    )
    until = f"; free from {part(n['free_from'], ctx)}" if n.get("free_from") else ""
    ill = f" because of {str(n['disease']).replace('-', ' ')}" if n.get("disease") else ""
    return f"{stood} and the family wants a gap of {plural(n['years'], 'year')}{ill}{until}"


def _stands(crop_id: str, ctx: Context) -> str:
    return "stands" if is_are(crop_id, ctx) == "is" else "stand"


def _space(miss: Miss, ctx: Context) -> str:
    return f"each plant needs {ctx.say.length(miss.numbers['in_row_cm'])}, more than there is"


def _booked(miss: Miss, ctx: Context) -> str:
    n = miss.numbers
    return (
        f"the bed is wanted for {ctx.say.crop(n['for'])} {about(n['until'], ctx)}, before the first picking "
        f"{about(n['first'], ctx)}"
    )


def _permanent(miss: Miss, ctx: Context) -> str:
    return "a crop that stays for years wants a place of its own rather than this bed"


def _unknown(miss: Miss, ctx: Context) -> str:
    return "I know too little to say"


_DETAILS = {
    "season": _season,
    "time": _time,
    "bolting": _bolting,
    "cold": _cold,
    "heat": _heat,
    "soil": _soil,
    "light": _light,
    "rotation": _rotation,
    "space": _space,
    "booked": _booked,
    "permanent": _permanent,
    "unknown": _unknown,
}


def _spared(chance: float) -> str:
    """Say how many winters leave a crop alive, without its 'till'."""
    return f"only {_tenths(chance)} winters would spare the crop" if chance > 0.05 else "the cold would not spare it"


def _tenths(chance: float) -> str:
    return f"{max(1, round(chance * 10))} in 10" if chance > 0.05 else "1 in 20"


def offer_data(offer: Offer, ctx: Context) -> dict[str, Any]:
    """Return an offer as data, SI units, ISO dates."""
    return {
        "crop": offer.crop,
        "method": offer.method,
        "under_cover": offer.under_cover,
        "count": offer.layout.count,
        "in_row_cm": offer.layout.in_row_cm,
        "between_rows_cm": offer.layout.between_rows_cm,
        "first_harvest": offer.first.isoformat(),
        "last_harvest": offer.last.isoformat(),
        "begin": offer.start.isoformat(),
        "begin_by": offer.closes.isoformat(),
        "chance": round(offer.chance, 2),
        "score": round(offer.score, 2),
        "reason": reason(offer, ctx),
    }


def miss_data(miss: Miss, ctx: Context) -> dict[str, Any]:
    """Return a miss as data."""
    return {"crop": miss.crop, "method": miss.method, "failed": miss.failed, "detail": detail(miss, ctx)}
