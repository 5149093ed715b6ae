"""Print what is offered first for an empty bed, every month at six places: `python -m tests.checks.report_beds`.

Read it as a gardener. With `--full` five choices with count and picking, `--tunnel` for a polytunnel.
"""

from __future__ import annotations

import sys
from datetime import date, timedelta

from bot.facts import Facts
from bot.growing.choosing import Choice, choose
from bot.growing.space import Place
from bot.growing.trial import trial_for
from bot.plot.demo import demo_events
from bot.plot.state import Bed, Plot, PlotPlace, fold
from bot.season import season_for

PLACES = {
    "demo plot, 45 N at 880 m": PlotPlace(45.05, 3.90, 880.0),
    "cool maritime 55 N": PlotPlace(55.9, -3.2, 50.0),
    "continental 45 N at 1000 m": PlotPlace(45.1, 6.0, 1000.0),
    "mediterranean 37 N": PlotPlace(37.4, -5.9, 20.0),
    "43 S maritime": PlotPlace(-42.9, 147.3, 50.0),
    "34 S warm": PlotPlace(-33.9, 151.2, 30.0),
}
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def chosen(place: str, month: int, facts: Facts, cover: str | None = None) -> Choice:
    """Return the choice for the middle of a month: the demo's empty bed with its past, or a bed without one."""
    day = date(2026, month, 15)
    plot = fold("demo", demo_events(day)) if place.startswith("demo") and not cover else Plot()
    season = season_for(PLACES[place], facts, plot.settings)
    bed = plot.beds.get("bed-3") or Bed("bed", "bed", length_m=4, width_m=1.2, cover=cover)
    trial = trial_for(season, facts, plot, Place(400, 120, bed), day, day + timedelta(days=14))
    return choose(trial)


def table(facts: Facts, cover: str | None = None) -> str:
    """Return the twelve-by-six table of first three choices as Markdown."""
    lines = ["| month | " + " | ".join(PLACES) + " |", "|---" * (len(PLACES) + 1) + "|"]
    for month, name in enumerate(MONTHS, start=1):
        cells = []
        for place in PLACES:
            found = chosen(place, month, facts, cover)
            first = ", ".join(f"{facts.crops[o.crop].said(plural=True)}" for o in found.offers[:3])
            manure = (
                f"(green manure: {facts.crops[found.manures[0].crop].said()})" if found.manures else "nothing to begin"
            )
            cells.append(first or manure)
        lines.append(f"| {name} | " + " | ".join(cells) + " |")
    return "\n".join(lines)


def full(facts: Facts, cover: str | None = None) -> str:
    """Return five choices with method, count and picking for every month and place."""
    lines = []
    for place in PLACES:
        lines.append(f"\n{place}")
        for month, name in enumerate(MONTHS, start=1):
            found = chosen(place, month, facts, cover)
            said = "; ".join(
                f"{o.crop}/{o.method} x{o.layout.count} {o.first:%d %b}-{o.last:%d %b}" for o in found.offers[:5]
            )
            lines.append(f"  {name}: {said or '-'} | {', '.join(o.crop for o in found.manures[:2])}")
    return "\n".join(lines)


if __name__ == "__main__":
    roof = "polytunnel" if "--tunnel" in sys.argv else None
    print(full(Facts(), roof) if "--full" in sys.argv else table(Facts(), roof))
