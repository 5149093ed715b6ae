"""Green manures: which can be sown here now, how thickly, and when they must be dug in."""

from __future__ import annotations

from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.growing.windows import windows
from bot.handlers.context import Context, ask_place
from bot.handlers.ground_words import chain, ground_of, rate_range
from bot.handlers.history import said_in
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, listing, number


def green_manure_reply(request: Request, ctx: Context) -> Reply | None:
    """Answer a question of green manures, whatever it was read as; None when it is of something else, or of those that were grown."""
    asks, rows = ctx.facts.asking.ground, {row.crop: row for row in ctx.facts.tending.green_manures.crops}
    if request.intent in asks.green_manure_kept or request.intent.startswith(("log_", "add_", "set_")):
        return None
    text = request.text.lower()
    named = [crop for crop in rows if said_in(crop, text, ctx)] or [crop for crop in request.crops if crop in rows and not request.group]
    spoken = asks.green_manure.search(request.text) is not None
    if asks.dug_in.search(request.text) and (spoken or named and len(named) == len(request.crops)) and not asks.was_grown.search(request.text):
        return _dug_in(named, ctx)
    if not spoken or asks.was_grown.search(request.text):
        return None
    return green_manures(request.with_(crops=tuple(named), group=None), ctx)


def _dug_in(named: list[str], ctx: Context) -> Reply:
    """Say when green manures are cut and dug in: those named, else those that stand, else the commonest."""
    room = ctx.facts.tending.green_manures
    standing = [p.crop for p in ctx.plot.standing() if p.crop in {row.crop for row in room.crops}]
    rows = [row for row in room.crops if row.crop in (named or standing)] or room.crops[:4]
    lead = next(r for r in room.rules if r.id == "gm-lead")
    lines = [f"{capital(ctx.say.crop(row.crop))}: {row.cut}." for row in rows[:5]]
    head = f"Cut {ctx.say.crop(rows[0].crop)} {rows[0].cut}, and dig it in {number(rows[0].dig_in_days[0])} to {number(rows[0].dig_in_days[1])} days before you sow." if len(rows) == 1 else ""
    return Reply(head or lead.say.split(":")[0] + ".", lines=(*(() if head else lines), f"{capital(lead.say.split(': ', 1)[1])}",
                 next(r for r in room.rules if r.id == "gm-seed").say), sources=chain(*[row.source for row in rows[:3]], lead.source),
                 data={"lime_feed": {"green_manures": [row.crop for row in rows]}})


def green_manures(request: Request, ctx: Context) -> Reply:
    """Say which green manures can be sown here now, how thickly, and when they must be dug in."""
    if ctx.season is None:
        return ask_place(request)
    room, ground = ctx.facts.tending.green_manures, ground_of(request, ctx)
    here = curves(ctx.season, None, ctx.facts)
    day = request.when.start if request.when and request.when.start >= ctx.today else ctx.today
    year = GardenYear.around(day, ctx.season.southern)
    count = year.count(day)
    now, later = [], []
    wanted = {mark for mark, says in ctx.facts.asking.ground.wanted_for.items() if says.search(request.text)}
    fitting = [row for row in room.crops if wanted & set(row.good_for) and row.crop in ctx.facts.crops and windows(ctx.facts.crops[row.crop], here)]
    for row in fitting or room.crops:
        crop = ctx.facts.crops.get(row.crop)
        spans = [w for w in windows(crop, here) if w.method == "direct"] if crop else []
        if not spans or crop is None:
            continue
        open_now = next((w for w in spans if w.holds(count) is not None), None)
        if open_now:
            now.append((row, open_now))
        else:
            later.append((min(w.ahead(count) for w in spans), row, min(spans, key=lambda w: w.ahead(count))))
    named = request.crops if not request.group else ()
    asked = [(r, w) for r, w in now if r.crop in named] if named else now
    lines = []
    for row, window in asked[:5]:
        low, high = row.g_per_m2
        seed = (
            f"{ctx.say.mass(low * ground.area_m2 / 1000)} to "
            f"{ctx.say.mass(high * ground.area_m2 / 1000)} of seed for {ground.name}"
            if ground.whole
            else rate_range(low, high, ctx)
        )
        until = ctx.say.part_of_month(window.dates(day, ctx.season.southern)[1])
        lines.append(f"{capital(ctx.say.crop(row.crop))}: {seed}, to {until}. {row.say}")
    lead = next(r for r in room.rules if r.id == "gm-lead")
    lines.append(lead.say.split(":")[0] + ".")
    lines.append(next(r for r in room.rules if r.id == "gm-seed").say)
    names = listing([ctx.say.crop(r.crop) for r, _ in asked[:5]])
    if asked:
        head = f"{'Green manure' if len(asked) == 1 else 'Green manures'} to sow {_when(request, ctx)}: {names}." if not named else f"Yes, {names} can be sown {_when(request, ctx)}."
    else:
        later.sort(key=lambda item: item[0])
        sooner = [x for x in later if x[1].crop in named] or later
        first = sooner[0] if sooner else None
        head = (
            f"None to sow here now; next {ctx.say.crop(first[1].crop)} from "
            f"{ctx.say.part_of_month(first[2].dates(day, ctx.season.southern)[0])}."
            if first
            else "No green manure has a season here that I know of."
        )
        lines = [f"{capital(ctx.say.crop(first[1].crop))}: {first[1].say}", *lines] if first else lines
    return Reply(
        head,
        lines=tuple(lines[:8]),
        sources=chain(*[r.source for r, _ in asked[:3]], lead.source),
        working=tuple(
            f"{ctx.say.crop(r.crop)}: {r.g_per_m2[0]:g} to {r.g_per_m2[1]:g} g/m² x "
            f"{number(ground.area_m2, 0.1)} m²; rates differ between sources."
            for r, _ in asked[:4]
        ),
        data={
            "lime_feed": {
                "green_manures": [r.crop for r, _ in asked],
                "area_m2": ground.area_m2 if ground.whole else None,
            }
        },
    )


def _when(request: Request, ctx: Context) -> str:
    return "now" if request.when is None or request.when.start <= ctx.today else f"from {ctx.say.day(request.when.start, ctx.today)}"
