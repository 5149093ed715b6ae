"""When young plants may go out, asked of no crop: tender ones by their own season here, hardy ones sooner."""

from __future__ import annotations

from bot.facts.crop import Crop
from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.growing.windows import windows
from bot.handlers.context import Context
from bot.handlers.growing_words import part
from bot.reply import Choice, Reply
from bot.wording import capital, listing

_SHOWN = 6


def all_out(ctx: Context) -> Reply:
    """Tell from when tender and hardy young plants may go out, when no crop is named."""
    assert ctx.season is not None
    here, year = curves(ctx.season, None, ctx.facts), GardenYear.around(ctx.today, ctx.season.southern)
    count = year.count(ctx.today)
    rows, data = [], []
    for crop in _of_group("tender-veg", ctx):
        out = [w for w in windows(crop, here) if w.method == "plants"]
        if out:
            window = min(out, key=lambda w: w.ahead(count))
            first, last = window.dates(ctx.today, ctx.season.southern)
            rows.append((window.ahead(count), f"{capital(ctx.say.crop(crop.id))}: {'now, until' if window.holds(count) is not None else 'from'} {part(last if window.holds(count) is not None else first, ctx)}."))
            data.append(crop.id)
    if not rows:
        return Reply("The tender crops I know want a tunnel or greenhouse here.", data={"when_sow": {"crop": None, "out": []}})
    ready = [line for ahead, line in rows if ahead == 0]
    head = "Not the tender ones yet." if not ready else "Yes, most tender plants can go out now." if len(ready) == len(rows) else "Some of the tender ones can."
    hardier = listing([ctx.say.crop(crop.id) for crop in _of_group("hardy-veg", ctx) if any(w.method == "plants" for w in windows(crop, here))][:_SHOWN])
    sooner = (f"Hardier plants bear a light frost and can go sooner: {hardier}.",) if hardier else ()
    return Reply(head, lines=(*(line for _, line in sorted(rows)[:_SHOWN]), *sooner, "Harden them off first."),
                 sources=("computed:calendar-fit", "common-practice"), choices=(Choice("What can go out now", "what can I plant out now"), Choice("What is hardening off", "what does hardening off mean"), Choice("Frost dates", "when is the last frost")),
                 data={"when_sow": {"crop": None, "out": data}})


def _of_group(name: str, ctx: Context) -> list[Crop]:
    group = next(group for group in ctx.facts.groups.groups if group.id == name)
    return [ctx.facts.crops[crop] for crop in group.crops if crop in ctx.facts.crops]
