"""How long seed takes to come up in the soil as it is, and whether a sowing is overdue."""

from __future__ import annotations

from datetime import date, timedelta

from bot.facts.crop import Crop, Germination
from bot.growing.windows import RAISED
from bot.handlers import answers
from bot.handlers.cold import is_many
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, one_by_one, which_crop
from bot.handlers.crop_lines import comes_up, crops_for, when
from bot.handlers.sprouting import sprouting_reply
from bot.plot.state import Planting
from bot.reply import Choice, Reply
from bot.request import Request
from bot.season import Season
from bot.season.emergence import Emergence, emergence, sprouting
from bot.wording import capital, plural

_INDOORS_METHODS = ("indoors", "module")
_ROOM_C = 18.0
_RECENT_DAYS = 120


@answers("germination")
def germination(request: Request, ctx: Context) -> Reply:
    """Tell the days to come up at the soil temperature here (or the one named), and check the sowing on record."""
    asks = ctx.facts.asking.sowing
    sprouted = sprouting_reply(request, ctx)
    if sprouted is not None:
        return sprouted
    if len(request.crops) > 1:
        return one_by_one(request, ctx, germination, "germination", "Coming up")
    crop = which_crop(request, ctx, "Which seed are you waiting for?", "how long to germinate")
    if isinstance(crop, Reply):
        return crop
    if asks.takes.search(request.text) and not asks.coming_up.search(request.text):
        takes = to_harvest(crop, ctx)
        if takes is not None:
            return takes
    name = ctx.say.crop(crop.id)
    facts = crop.germination
    if facts is None:
        return Reply(f"I have no figures for how long {name} take to come up.",
                     lines=("The packet or label is the best guide.",), data={"germination": {"crop": crop.id}})
    sown = _sowing_of(crop, request, ctx)
    cover = _cover(request, sown, ctx) or _raised(crop, sown, ctx)
    day = _day(request, ctx)
    soil = _soil(request, cover, day, ctx)
    if soil is None:
        usual = facts.days_usual
        take = "take" if is_many(crop, ctx.say.words) else "takes"
        return Reply(f"{capital(name)} usually {take} {_days(*usual)} to come up." if usual else
                     f"{capital(name)}: soil of at least {ctx.say.temp(facts.soil_min_c or 5)}.",
                     lines=("Tell me where your plot is, or the soil temperature, and I can be closer.",),
                     sources=cited(facts), data={"germination": {"crop": crop.id, "soil_c": None,
                                                                 "days": list(usual) if usual else None}})
    at = emergence(facts, soil)
    head, lines = _answer(crop, at, soil, cover, day, request, ctx)
    if sown is not None and ctx.season is not None and request.temperature_c is None:
        late, more = _waiting(crop, sown, cover, ctx.season, ctx)
        if asks.of_seed.search(request.text):
            late, more = None, []  # asked of the seed, and not of the row
        head, lines = (late, [*more, *lines[:2]]) if late else (head, [*lines, *more])
    if asks.how_warm.search(request.text) and facts.soil_best_c is not None and request.temperature_c is None:
        need = next(line for line in lines if line.startswith(("At least", "Best")))
        lines = [head, *(line for line in lines if line != need)]
        head = f"{capital(name)}: soil of {need[0].lower()}{need[1:]}"
    if asks.light.search(request.text) and facts.light in ("yes", "no"):
        lines = [capital(head.partition(": ")[2]) if head.startswith(("Yes", "No")) else head, *(line for line in lines if "wants light" not in line)]
        head = (f"Yes, {crop_seed(crop, ctx)} wants light: sow it on the surface." if facts.light == "yes"
                else f"No, {crop_seed(crop, ctx)} comes up covered.")
    days = [round(at.low), max(round(at.low), round(at.high))] if at.low is not None and at.high is not None else None
    return Reply(head, tuple(lines), working=_working(crop, soil, cover, ctx), sources=cited(facts),
                 choices=_choices(crop, sown, ctx),
                 data={"germination": {"crop": crop.id, "soil_c": round(soil, 1), "days": days}})


def to_harvest(crop: Crop, ctx: Context) -> Reply | None:
    """Tell how long a crop takes until it is picked, and in one line until it is up; None where that is not known."""
    growth = crop.growth
    if growth is None or growth.days_to_maturity is None or not growth.counted_from:
        return None
    low, high = growth.days_to_maturity
    begun = {"transplant": "setting out the young plants"}.get(growth.counted_from, growth.counted_from)
    take = "take" if is_many(crop, ctx.say.words) else "takes"
    up, sown = comes_up(crop, ctx), when(crop, ctx)
    return Reply(f"{capital(ctx.say.crop(crop.id))} {take} {_days(low, high)} from {begun} to harvest.",
                 lines=tuple(line for line in (up, crops_for(crop), sown) if line),
                 sources=cited(growth, crop.germination), choices=_choices(crop, None, ctx),
                 data={"germination": {"crop": crop.id, "to_harvest_days": [low, high], "counted_from": growth.counted_from,
                                       "days": list(crop.germination.days_usual) if crop.germination and crop.germination.days_usual else None}})


def crop_seed(crop: Crop, ctx: Context) -> str:
    """Return the seed of a crop by name."""
    return f"{ctx.say.crop(crop.id, 1)} seed"


def _sowing_of(crop: Crop, request: Request, ctx: Context) -> Planting | None:
    """Return the newest sowing of the crop still waited for: the one the message dates, or one on record."""
    if request.when and request.when.single and request.when.start < ctx.today:
        return Planting(0, crop.id, bed=request.bed, method=request.method or "direct", sown=request.when.start)
    waited = request.amount("day")
    if waited is not None and 0 < waited.value <= _RECENT_DAYS and ctx.facts.asking.sowing.not_up.search(request.text):
        return Planting(0, crop.id, bed=request.bed, method=request.method or "direct", sown=ctx.today - timedelta(days=round(waited.value)))
    rows = [p for p in ctx.plot.standing(bed=request.bed, crop=crop.id)
            if p.sown is not None and p.planted_out is None and not p.harvests
            and 0 <= (ctx.today - p.sown).days <= _RECENT_DAYS]
    return max(rows, key=lambda p: (p.sown or date.min, p.id), default=None)


def _cover(request: Request, sown: Planting | None, ctx: Context) -> str | None:
    bed = ctx.plot.beds.get(request.bed or (sown.bed if sown and sown.bed else ""))
    named = request.cover or ("indoors" if request.method == "indoors" else None) or (bed.cover if bed else None)
    if named is None and sown is not None and bed is None and sown.method in _INDOORS_METHODS:
        named = "indoors"
    try:
        return ctx.facts.climate.cover_id(named) if named else None
    except KeyError:
        return None


def _raised(crop: Crop, sown: Planting | None, ctx: Context) -> str | None:
    """Return "indoors" for a crop that is only ever raised in the warm and not known to have been sown elsewhere."""
    rules = crop.sowing.rules if crop.sowing else []
    methods = {rule.method for rule in rules}
    tender = crop.sowing is not None and crop.sowing.hardiness_class == "tender"
    sown_in_a_bed = sown is not None and sown.bed in ctx.plot.beds
    return "indoors" if tender and methods & set(RAISED) and "direct" not in methods and not sown_in_a_bed else None


def _day(request: Request, ctx: Context) -> date:
    if request.when is None or request.when.end < ctx.today:
        return ctx.today
    return max(request.when.start + (request.when.end - request.when.start) / 2, ctx.today)


def _soil(request: Request, cover: str | None, day: date, ctx: Context) -> float | None:
    if request.temperature_c is not None:
        return request.temperature_c
    if ctx.season is not None:
        return ctx.season.soil(day, cover)
    return _ROOM_C if cover == "indoors" else None


def _answer(crop: Crop, at: Emergence, soil: float, cover: str | None, day: date, request: Request,
            ctx: Context) -> tuple[str, list[str]]:
    say, facts = ctx.say, crop.germination
    asks = ctx.facts.asking.sowing
    assert facts is not None
    plain = say.crop(crop.id)
    name, take = capital(plain), "take" if is_many(crop, say.words) else "takes"
    warm = say.temp(round(soil))
    now = "now" if day == ctx.today else f"about {say.day(day, ctx.today)}"
    here = "on a warm windowsill" if cover == "indoors" else f"here {now}"
    where = f", about what it is {here}" if request.temperature_c is None else ""
    lines = []
    if at.low is not None and at.high is not None:
        head = f"{name} {take} {_days(at.low, at.high)} to come up in soil at {warm}{where}."
        slow = facts.soil_best_c is not None and soil < facts.soil_best_c[0]
        if asks.too_for_seed.search(request.text):
            head = f"No, only slow: {plain} {head.removeprefix(name + ' ')}" if slow else f"No: {plain} {head.removeprefix(name + ' ')}"
        elif asks.whether.search(request.text):
            head = f"Yes{', but slowly' if slow else ''}: {plain} {head.removeprefix(name + ' ')}"
    elif facts.soil_min_c is not None and soil < facts.soil_min_c:
        need = say.temp(round(facts.soil_min_c))
        head = f"Too cold for {plain} {now}: the soil is about {warm} and the seed needs {need}."
        ready = _warm_enough(facts.soil_min_c, cover, day, ctx.season) if request.temperature_c is None else None
        if ready:
            lines.append(f"It is usually warm enough from about {say.day(ready, ctx.today)}, or start them indoors.")
    elif facts.soil_max_c is not None and soil > facts.soil_max_c:
        head = f"Too hot for {plain} {now}: above {say.temp(round(facts.soil_max_c))} the seed sleeps."
        lines.append("Sow in the evening, in shade, with cool water, or wait for a cooler spell.")
    else:
        head = f"{name} will hardly come up in soil at {warm}."
    if facts.soil_best_c is not None:
        best = say.temp(round(facts.soil_best_c[0]), round(facts.soil_best_c[1]))
        least = f"At least {say.temp(round(facts.soil_min_c))}, best" if facts.soil_min_c is not None else "Best"
        lines.append(f"{least} at {best}.")
    if cover is None and request.temperature_c is None and crop.sowing and crop.sowing.hardiness_class == "tender":
        lines += _indoors(facts, ctx)
    if facts.light == "yes":
        lines.append("The seed wants light: sow it on the surface.")
    return head, lines


def _indoors(facts: Germination, ctx: Context) -> list[str]:
    at = emergence(facts, _ROOM_C)
    if at.low is None or at.high is None:
        return [f"Indoors they want warmth too: a windowsill is about {ctx.say.temp(_ROOM_C)}."]
    return [f"Indoors at about {ctx.say.temp(_ROOM_C)}: {_days(at.low, at.high)}."]


def _warm_enough(need: float, cover: str | None, day: date, season: Season | None) -> date | None:
    if season is None:
        return None
    days = (day + timedelta(days=n) for n in range(365))
    return next((d for d in days if season.soil(d, cover) >= need), None)


def _waiting(crop: Crop, sown: Planting, cover: str | None, season: Season,
             ctx: Context) -> tuple[str | None, list[str]]:
    """Return a headline when a recorded sowing is overdue, and lines about it."""
    assert sown.sown is not None and crop.germination is not None
    say = ctx.say
    bed = ctx.plot.beds.get(sown.bed or "")
    where = f" in {bed.name}" if bed else ""
    ago = (ctx.today - sown.sown).days
    began = f"You sowed {say.crop(crop.id)}{where} " + (f"on {say.day(sown.sown)}, {plural(ago, 'day')} ago." if ago > 1 else f"{say.day(sown.sown, ctx.today)}.")
    due = sprouting(crop.germination, sown.sown, lambda d: season.soil(d, cover))
    if due.expected is None or due.latest is None:
        return None, [began, "The soil has been too cold or too hot for them to start."]
    if ctx.today > due.latest:
        return (f"Sow {say.crop(crop.id)} again: they should have been up by {say.day(due.latest)}.",
                [began, "Scratch for the seed first: if it is firm and white inside, give it another week."])
    if ctx.today >= due.expected:
        return (f"Wait a little: {say.crop(crop.id)} can take until {say.day(due.latest, ctx.today)}.",
                [began, f"About {say.day(due.expected)} was the likely day. Keep the seedbed damp and look for slugs."])
    return f"Not yet: {say.crop(crop.id)} are due about {say.day(due.expected, ctx.today)}.", [began]


def _choices(crop: Crop, sown: Planting | None, ctx: Context) -> tuple[Choice, ...]:
    if sown is None:
        return (Choice("When to sow", f"when do I sow {ctx.say.crop(crop.id)}"),)
    return (Choice("Still good?", f"is old {ctx.say.crop(crop.id, 1)} seed still good"),)


def _working(crop: Crop, soil: float, cover: str | None, ctx: Context) -> tuple[str, ...]:
    facts = crop.germination
    assert facts is not None
    rows = []
    if facts.days_at:
        rows.append("Days to come up by soil temperature: " + ", ".join(
            f"{ctx.say.temp(t)} {'none' if d is None else f'{d:g}'}" for t, d in facts.days_at) + ".")
    elif facts.days_usual:
        rows.append(f"Usual range {facts.days_usual[0]:g} to {facts.days_usual[1]:g} days; longer in cool soil.")
    rows.append(f"Soil at seed depth taken as {ctx.say.temp(round(soil, 1))}{' under ' + cover if cover else ''}.")
    return (*rows, *(ctx.season.notes if ctx.season else ()))


def _days(low: float, high: float) -> str:
    a, b = max(1, round(low)), max(1, round(high))
    if b <= 24:
        return f"about {a} days" if a == b else f"{a} to {b} days"
    return f"{round(a / 7) or 1} to {max(round(b / 7), (round(a / 7) or 1) + 1)} weeks"
