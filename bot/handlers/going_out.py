"""When young plants may go out, asked of no crop: tender ones by their own season here, hardy ones sooner."""

from __future__ import annotations

from bot.growing.calendar import GardenYear
from bot.growing.curves import curves
from bot.growing.windows import windows
from bot.handlers.context import Context
from bot.handlers.growing_words import part
from bot.reply import Choice, Reply
from bot.wording import capital

#: Tender crops set out as plants, told when no crop is named.
_TENDER = ("courgette", "tomato", "runner-bean", "sweetcorn", "cucumber")


def all_out(ctx: Context) -> Reply:
    """Tell from when tender and hardy young plants may go out, when no crop is named."""
    assert ctx.season is not None
    here, year = curves(ctx.season, None, ctx.facts), GardenYear.around(ctx.today, ctx.season.southern)
    count = year.count(ctx.today)
    rows, data = [], []
    for crop in (ctx.facts.crops[name] for name in _TENDER if name in ctx.facts.crops):
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
    return Reply(head, lines=(*(line for _, line in sorted(rows)), "Cabbages, leeks, onions, lettuces, peas and broad beans bear a light frost and can go sooner.",
                              "Stand them out by day and in at night for a week or two first."),
                 sources=("computed:calendar-fit", "common-practice"), choices=(Choice("What can go out now", "what can I plant out now"), Choice("Frost dates", "when is the last frost")),
                 data={"when_sow": {"crop": None, "out": data}})
