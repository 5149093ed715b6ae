"""Say what is kept of a plot itself: its place, beds, frost dates, units, summary and people at table."""

from __future__ import annotations

import calendar

from bot.handlers.climate import said_coordinates
from bot.handlers.context import Context
from bot.reply import Choice, Reply
from bot.season import day_in_year
from bot.wording import capital, listing, plural


def plot_facts(text: str, ctx: Context) -> Reply | None:
    """Return what is kept of the plot, when a message asks that; None when it does not."""
    if not ctx.facts.asking.talk.plot.search(text):
        return None
    kept = ctx.plot.settings
    lines = []
    if ctx.plot.beds:
        standing = len({p.crop for p in ctx.plot.standing()})
        beds = listing([bed.name for bed in list(ctx.plot.beds.values())[:12]])
        lines.append(f"{plural(len(ctx.plot.beds), 'bed')}: {beds}; {plural(standing, 'crop')} standing.")
    else:
        lines.append("No beds yet.")
    if ctx.season is not None:
        dates = ctx.season.frost_dates()
        texts = (kept.last_frost or dates.last.p50, kept.first_frost or dates.first.p50)
        if all(texts):
            last, first = (day_in_year(ctx.today.year, text) for text in texts if text)
            said = [ctx.say.day(day) + (" (your own)" if own else "")
                    for day, own in ((last, kept.last_frost), (first, kept.first_frost))]
            lines.append(f"Usual last frost {said[0]}, first {said[1]}.")
    units = "metric units" if kept.units == "metric" else "US units"
    lines.append(f"{capital(units)}, {'British' if kept.wording == 'gb' else 'American'} words; "
                 f"a household of {kept.household}.")
    lines.append("No weekly summary." if kept.summary_day is None else
                 f"Weekly summary on {calendar.day_name[kept.summary_day]} at {kept.summary_time}.")
    place = kept.place
    where = (place.name or said_coordinates(place.lat, place.lon)) if place else None
    head = f"Your plot is at {where}, {ctx.say.height(place.elevation_m or 0)} above the sea." if place else \
        "I don't know yet where your plot is."
    choices = (Choice("Show the plot", "show me the plot"),) if place else ()
    return Reply(head, tuple(lines), choices=choices, data={"help": {"beds": list(ctx.plot.beds)}})
