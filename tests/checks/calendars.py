"""Published calendars of six places against the months worked out from the sowing rules.

The published months are in data/published_months.csv with the source of each row: an allotment calendar for Cookham,
Berkshire; Virginia Cooperative Extension 426-331 (2006); Oregon State University's EC 871 and Food Hero; Victoria's
state calendars (recalled); and the University of Maine's planting chart. Rows with a "memory" source are recalled.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from bot.facts import Facts
from bot.growing.curves import curves
from bot.growing.windows import Window, windows
from bot.plot.state import PlotPlace, Settings
from bot.season import season_for

DATA = Path(__file__).parent / "data" / "published_months.csv"
#: Places of hot summers and winters without frost, from IFAS SP 103 for Florida and pages for Phoenix, Darwin and Brisbane.
HOT = DATA.with_name("published_hot_months.csv")
#: Single months late in the season: young plants set out in a southern May, and what is begun in Georgia's July and August.
LATE = DATA.with_name("published_late_months.csv")
#: Printed names for forms of a crop that are one crop with several methods here.
ALSO = {"onion-set": "onion", "cabbage-round": "cabbage-autumn"}
#: The Virginia chart is printed for places with a last frost about 25 April, and a guide for the same Piedmont
#: gives 20 to 30 October for the first; the rest print no frost date.
PRINTED_FROSTS = {"virginia": Settings(last_frost="04-25", first_frost="10-25")}
TODAY = date(2026, 1, 1)


@dataclass(frozen=True)
class Row:
    """One activity of one printed row: sow in the ground, sow under cover, or plant."""

    place: str
    crop: str
    activity: str
    printed: frozenset[int]
    allowed: frozenset[int]  # printed in any row of this place, crop and activity
    derived: frozenset[int]
    note: str

    @property
    def overlaps(self) -> bool:
        return bool(self.printed & self.derived)

    @property
    def outside(self) -> bool:
        """Tell whether some month is offered that lies more than one month from every printed one."""
        near = {(m + d - 1) % 12 + 1 for m in self.allowed for d in (-1, 0, 1)}
        return bool(self.derived - near)


def span(first: str, last: str) -> set[int]:
    """Return the months from one to another round the year; a missing end means onwards for half a year."""
    if not first:
        return set()
    start = int(first)
    end = int(last) if last else (start + 5 - 1) % 12 + 1
    return {(start + i - 1) % 12 + 1 for i in range((end - start) % 12 + 1)}


def months_of(found: Iterable[Window], southern: bool) -> set[int]:
    """Return the months that windows touch by at least five days."""
    counts: dict[int, int] = {}
    for window in found:
        first, last = window.dates(TODAY, southern)
        day = first
        while day <= last:
            counts[day.month] = counts.get(day.month, 0) + 1
            day += timedelta(days=1)
    return {month for month, days in counts.items() if days >= 5}


def activities(row: dict[str, str]) -> list[tuple[str, set[int]]]:
    """Return what a printed row says can be done, with its months."""
    out = []
    sow, plant = span(row["sow_from"], row["sow_to"]), span(row["plant_from"], row["plant_to"])
    method = row["method"]
    if sow:
        kinds = [
            k
            for k, words in (("sow in the ground", ("direct",)), ("sow under cover", ("module", "under-cover")))
            if any(w in method for w in words)
        ]
        out.append(("/".join(kinds) or ("sow or plant" if "set" in method else "sow in the ground"), sow))
    if plant:
        out.append(("plant", plant))
    return out


def chosen(found: list[Window], activity: str, crop: str, printed_crop: str) -> list[Window]:
    """Return the windows that an activity is about."""

    def fits(window: Window) -> bool:
        if printed_crop == "onion-set":
            return window.method == "sets"
        if window.method == "direct":
            return "ground" in activity or activity == "sow or plant"
        if window.method in ("module", "indoors"):
            return "cover" in activity
        if window.method == "sets" and printed_crop == "onion":
            return activity == "sow or plant"
        return activity == "plant"

    return [w for w in found if fits(w)]


def compare(facts: Facts, data: Path = DATA) -> list[Row]:
    """Work every printed row out again."""
    with data.open(encoding="utf-8", newline="") as handle:
        printed = list(csv.DictReader(handle))
    allowed: dict[tuple[str, str, str], set[int]] = {}
    for row in printed:
        for activity, months in activities(row):
            allowed.setdefault((row["place"], row["crop"], activity), set()).update(months)
    rows = []
    for row in printed:
        place = PlotPlace(float(row["lat"]), float(row["lon"]), float(row["elevation_m"]))
        season = season_for(place, facts, PRINTED_FROSTS.get(row["place"]))
        crop = facts.crops[ALSO.get(row["crop"], row["crop"])]
        indoor = "indoor crop" in row["method"]
        found = windows(crop, curves(season, "heated" if indoor else None, facts), roofed=indoor)
        for activity, months in activities(row):
            derived = months_of(chosen(found, activity, crop.id, row["crop"]), season.southern)
            rows.append(
                Row(
                    row["place"],
                    row["crop"],
                    activity,
                    frozenset(months),
                    frozenset(allowed[row["place"], row["crop"], activity]),
                    frozenset(derived),
                    row["note"],
                )
            )
    return rows


def table(rows: list[Row], *, only_wrong: bool = False) -> str:
    """Lay the comparison out, worst last: place, crop, activity, printed and derived months."""
    lines = []
    for row in rows:
        mark = ("" if row.overlaps else " APART") + (" OUTSIDE" if row.outside else "")
        if only_wrong and not mark:
            continue
        lines.append(
            f"{row.place:13} {row.crop:22} {row.activity:34} {_months(row.printed):16} {_months(row.derived):18}{mark}"
        )
    overlap, outside = shares(rows)
    lines.append(f"{len(rows)} rows: {overlap:.1%} overlap, {outside:.1%} offered more than a month outside")
    return "\n".join(lines)


def shares(rows: list[Row]) -> tuple[float, float]:
    """Return the share of rows that overlap, and the share offered more than a month outside."""
    return sum(r.overlaps for r in rows) / len(rows), sum(r.outside for r in rows) / len(rows)


def _months(months: Iterable[int]) -> str:
    return ",".join(str(m) for m in sorted(months)) or "-"


if __name__ == "__main__":
    import sys

    print(table(compare(Facts(), HOT if "--hot" in sys.argv else DATA), only_wrong="--wrong" in sys.argv))
