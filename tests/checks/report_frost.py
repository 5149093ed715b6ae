"""Print how computed frost dates agree with published ones: `python -m tests.checks.report_frost`.

Every third published station is held out: it took no part in choosing the year spread and the persistence.
A reading of 32 °F is anything up to 32.5 °F, so tables in whole Fahrenheit are met at 0.28 °C above the threshold.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cache
from statistics import median

from bot.facts import Facts
from bot.plot.state import PlotPlace
from bot.season import Season, season_for
from tests.checks.frost_tables import TABLE, Published

WHOLE_FAHRENHEIT_C = 0.28
LEVELS = (10, 50, 90)


@dataclass(frozen=True)
class Miss:
    """How many days a computed date is later than the published one."""

    row: Published
    held_out: bool
    side: str
    level: int
    days: int | None  # None = the computed season has no such date


@cache
def facts() -> Facts:
    """Return the shipped facts, read once."""
    return Facts()


def season_at(row: Published) -> Season:
    """Return the season of a published station."""
    return season_for(PlotPlace(row.lat, row.lon, row.height_m), facts())


def held_out(row: Published) -> bool:
    """Tell whether a station took no part in the calibration: every third one."""
    return list(dict.fromkeys(r.station for r in TABLE)).index(row.station) % 3 == 2


def apart(computed: str, published: str) -> int:
    """Return how many days later the computed MM-DD is, going round the year the short way."""
    a, b = (date(2025, int(t[:2]), int(t[3:])).timetuple().tm_yday for t in (computed, published))
    return (a - b + 182) % 365 - 182


@cache
def misses() -> tuple[Miss, ...]:
    """Compare every published date with the computed one."""
    found = []
    for row in TABLE:
        dates = season_at(row).frost_dates(row.threshold_c + (WHOLE_FAHRENHEIT_C if row.fahrenheit else 0))
        for side, published, computed in (("last", row.last, dates.last), ("first", row.first, dates.first)):
            for level, text in zip(LEVELS, published, strict=True):
                if text is None:
                    continue
                got = computed.at(level)
                found.append(Miss(row, held_out(row), side, level, None if got is None else apart(got, text)))
    return tuple(found)


def summary(chosen: Iterable[Miss]) -> tuple[int, float, float, float]:
    """Return count, median difference, median absolute difference, and the share within ten days."""
    days = [miss.days if miss.days is not None else 99 for miss in chosen]
    return (len(days), median(days), median(abs(d) for d in days), sum(abs(d) <= 10 for d in days) / len(days))


def main() -> None:
    """Print the table, station by station and in sum."""
    print(
        f"{'station':34} {'years':10} {'°C':>5}  held  last 10/50/90        first 10/50/90"
        "   (days later than published)"
    )
    for row in TABLE:
        mine = {(m.side, m.level): m.days for m in misses() if m.row is row}
        cells = [
            "/".join(f"{mine[side, p]:+d}" if mine.get((side, p)) is not None else "." for p in LEVELS)
            for side in ("last", "first")
        ]
        print(
            f"{row.station[:34]:34} {row.years:10} {row.threshold_c:5.1f}  {'yes' if held_out(row) else '':4}  "
            f"{cells[0]:20} {cells[1]}"
        )
    print()
    groups = [
        ("held out, all years", lambda m: m.held_out),
        ("held out, years near the normals'", lambda m: m.held_out and m.row.modern),
        ("used, all years", lambda m: not m.held_out),
        ("used, years near the normals'", lambda m: not m.held_out and m.row.modern),
    ]
    for name, chosen in groups:
        for level in LEVELS:
            rows = [m for m in misses() if chosen(m) and m.level == level]
            if rows:
                count, middle, off, within = summary(rows)
                print(
                    f"{name:34} {level:2} %: {count:3} dates, median {middle:+.1f}, median off {off:.1f}, "
                    f"within ten days {within:.0%}"
                )


if __name__ == "__main__":
    main()
