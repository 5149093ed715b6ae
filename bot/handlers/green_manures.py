"""Green manures: which can be sown here now, how thickly, and when they must be dug in."""

from __future__ import annotations

from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.growing.windows import windows
from bot.handlers.context import Context, ask_place
from bot.handlers.ground_words import chain, ground_of, rate_range
from bot.reply import Reply
from bot.request import Request
from bot.wording import capital, listing, number


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
    for row in room.crops:
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
        head = f"Green manures to sow now: {names}." if not named else f"Yes, {names} can be sown now."
    else:
        later.sort(key=lambda item: item[0])
        wanted = [x for x in later if x[1].crop in named] or later
        first = wanted[0] if wanted else None
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
