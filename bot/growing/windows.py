"""When a crop may be sown or planted here: its rules, turned into dates.

Every rule gives at most one span of dates a year for each thing one can do: sow in the ground, sow under
cover to raise plants, or put plants, sets, cloves and the like into the ground. Where it does not freeze and summer is
hot, a crop's own warmth gives the spans instead (`bot.growing.frostless`): there are then often two.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from bot.facts.crop import Anchor, Crop, SowingRule
from bot.growing.anchors import INF, Need, closes, need_of, need_of_planting, need_of_sowing, opens
from bot.growing.calendar import MIDSUMMER, YEAR, GardenYear
from bot.growing.curves import Curves, curves
from bot.growing.frostless import goes_by_warmth, good_spans
from bot.growing.hardiness import kill_c

#: What goes straight into the ground and is not seed.
PLANTED = (
    "plants",
    "sets",
    "cloves",
    "tubers",
    "slips",
    "crowns",
    "runners",
    "bare-root",
    "division",
    "offsets",
    "cuttings",
)
RAISED = ("module", "indoors")
#: What lies in the ground through the winter, by the coefficient of how much more it bears.
BURIED = {"cloves": "buried.hardier_c", "tubers": "buried.hardier_c", "sets": "sets.hardier_c"}
#: Covers one grows a crop to the end under.
ROOFS = ("greenhouse", "polytunnel", "polytunnel-fleece", "cold-frame", "heated", "low-tunnel", "cloche")
SHORTEST_DAYS = 6  # a window narrower than this is not worth naming
LONGEST_DAYS = 350


@dataclass(frozen=True, slots=True)
class Window:
    """One span of days from midwinter: `method` from `opens` to `closes` (inclusive; `opens` in -120 to 364).

    `method` 'plants' is the planting out of what a raised rule raises.
    """

    crop: str
    method: str
    under_cover: bool
    opens: float
    closes: float
    rule: SowingRule

    @property
    def all_year(self) -> bool:
        """Tell whether any day of the year will do."""
        return self.closes - self.opens >= YEAR - 1

    @property
    def purpose(self) -> str:
        """Return what the sowing is for: main, early, late, overwinter, winter-cover, forcing."""
        return self.rule.purpose

    def holds(self, count: float, slack: float = 0.0) -> float | None:
        """Return the equivalent of a day count that lies inside this window, or None.

        A window that runs over midwinter is met by a day in either of its two calendar years.
        """
        for shifted in (count, count + YEAR, count - YEAR):
            if self.opens - slack <= shifted <= self.closes + slack:
                return shifted
        return None

    def ahead(self, count: float) -> float:
        """Return how many days until it next opens (0 when it is open)."""
        if self.holds(count) is not None:
            return 0.0
        return (self.opens - count) % YEAR

    def dates(self, today: date, southern: bool) -> tuple[date, date]:
        """Return the window's dates: the one open today, else the next to come."""
        year = GardenYear.around(today, southern)
        count = year.count(today)
        inside = self.holds(count)
        shift = count - inside if inside is not None else (count + self.ahead(count)) - self.opens
        return year.day(self.opens + shift), year.day(self.closes + shift)


def windows(crop: Crop, here: Curves, *, roofed: bool = False) -> list[Window]:
    """Return the crop's windows at one place, ordered by opening.

    `here` is the year where the crop will stand; `roofed` says that is under a roof for good, which admits the
    rules for crops grown to the end under cover.
    """
    if crop.sowing is None:
        return []
    key = ("windows", crop.id, roofed)
    held = here.memo.get(key)
    if held is None:
        held = here.memo[key] = _worked_out(crop, here, roofed)
    return held  # type: ignore[return-value]


def _worked_out(crop: Crop, here: Curves, roofed: bool) -> list[Window]:
    assert crop.sowing is not None
    rules = [r for r in crop.sowing.rules if roofed or r.grows_on_under not in ("unheated", "heated", "cold-frame")]
    open_air = curves(here.season, None, here.facts)
    if open_air.two_seasons and _wants_winter(crop, open_air):
        return []
    if here.cover == "cold-frame" and _outgrows(crop, here):  # raised in it to go out, and not grown on in it
        return [w for w in windows(crop, open_air) if w.method in RAISED]
    hot = [r for r in rules if r.hot]
    rules = hot if hot and here.two_seasons else [r for r in rules if not r.hot]
    if goes_by_warmth(crop, here):
        seed = {r.method: r for r in sorted(rules, key=lambda r: r.purpose == "main") if r.method in ("direct", *RAISED)}
        found = [window for rule in seed.values() for window in _by_warmth(crop, rule, here)]
        rules = [r for r in rules if r.method not in seed]
    else:
        found = []
    for rule in rules:
        found += _of_rule(crop, rule, here)
    return sorted(_merged(found), key=lambda w: w.opens)


def _wants_winter(crop: Crop, here: Curves) -> bool:
    """Tell whether a crop heads only in the spring after a winter colder than any day is here."""
    growth = crop.growth
    if growth is None or growth.first_crop_years or growth.crops_from is None or growth.crops_from.mean_c is None:
        return False
    spent_c = growth.crops_until.warms_past_c if growth.crops_until else None
    return spent_c is None or float(here.mean.min()) > spent_c


def _outgrows(crop: Crop, here: Curves) -> bool:
    """Tell whether even the lowest kinds of a crop are too tall to crop under the lid of a frame."""
    height = crop.light.height_cm if crop.light else None
    return height is not None and height[0] > here.number("frame.height_cm")


def _of_rule(crop: Crop, rule: SowingRule, here: Curves) -> Iterable[Window]:
    covered = rule.cover in ("indoors", "heated", "unheated", "cold-frame")
    hardy = crop.sowing is not None and crop.sowing.hardiness_class != "tender"
    grows_on = here.number("mild.ready_days") if here.mild and hardy else None
    if rule.purpose in ("overwinter", "winter-cover") and not lives_through(crop, here, rule.method):
        return
    out = None
    if rule.plant_out_opens or rule.plant_out_closes:
        small = rule.method in RAISED and grows_on is not None and lives_through(crop, here, least="mild.least_chance")
        out = _span(rule.plant_out_opens, rule.plant_out_closes, here, need_of_planting(crop, here), grows_on, hardy, small, rule.purpose == "overwinter")
    need = need_of_sowing(crop, here, rule.weeks_as_seedling)
    if rule.method not in RAISED:
        span = _span(rule.opens, rule.closes, here, need if rule.method == "direct" else need_of(crop), grows_on, hardy)
        if span:
            yield Window(crop.id, rule.method, covered, *span, rule)
        return
    weeks = rule.weeks_as_seedling or (4.0, 6.0)
    if rule.opens or rule.closes:
        sow = _span(rule.opens, rule.closes, here, need, grows_on, hardy)
    elif out:
        # Tender plants are raised to a good size before they may go out; hardy ones are sown nearer the day.
        old = 0.3 if hardy else 0.8
        age = 7 * ((1 - old) * weeks[0] + old * weeks[1])
        sow = _tidy(out[0] - age, out[1] - 7 * weeks[0])
    else:
        sow = None
    if out is None and sow:
        out = (sow[0] + 7 * weeks[0], sow[1] + 7 * weeks[1])
    if sow and out:
        yield Window(crop.id, rule.method, covered, *sow, rule)
    if out:
        yield Window(crop.id, "plants", False, *_shifted(out), rule)


def _by_warmth(crop: Crop, rule: SowingRule, here: Curves) -> Iterable[Window]:
    rule = rule.model_copy(update={"purpose": "main"})
    raised = rule.method in RAISED
    younger, older = (7 * weeks for weeks in rule.weeks_as_seedling or (4.0, 6.0))
    for begin, end in good_spans(crop, rule, here, planted=raised):
        if raised:
            sown_to = min(end - younger, begin - older + YEAR - 1)
            yield Window(crop.id, rule.method, True, *_shifted((begin - older, sown_to)), rule)
        yield Window(crop.id, "plants" if raised else rule.method, False, *_shifted((begin, end)), rule)


def lives_through(crop: Crop, here: Curves, method: str = "direct", least: str = "winter.least_chance") -> bool:
    """Tell whether small plants (or cloves in the ground) of a crop are likely to live through the winter here: at the chance of the coefficient `least`.

    What a publication says of the resting bulb or crown in the ground goes before what is reckoned from the plant.
    """
    resting = [row.kill_c for row in crop.hardiness if row.state == "dormant" and row.kill_c is not None]
    kill = kill_c(crop, here.facts) - here.number(BURIED.get(method, "young.hardier_c"))
    if here.cover in ROOFS:
        kill -= here.number("covered.hardier_c")
    if resting and method in BURIED:
        kill = min(kill, *resting)
    return here.winter_chance(kill) >= here.number(least)


def _span(
    first: Anchor | None, last: Anchor | None, here: Curves, need: Need | None, grows_on: float | None, hardy: bool,
    stands_small: bool = False, overwinters: bool = False,
) -> tuple[float, float] | None:
    """Return the span from an opening to a closing; `stands_small` says that young plants set out in autumn stand the mild winter here, and `overwinters` that they are set out for that."""
    start = opens(first, here, hardy=hardy) if first else -INF
    end = closes(last, here, need, grows_on=grows_on, after=start, long=not hardy and here.cover is None) if last else INF
    if stands_small and last is not None and start < YEAR and end > MIDSUMMER:  # an autumn's closing, not a spring's
        settled = INF if overwinters else closes(last, here, need, grows_on=here.number("mild.planted_ready_days"), after=start)
        end = max(end, min(settled, YEAR - 7 * here.number("mild.planted_weeks")))
    if start == INF or end == -INF:
        return None
    if end < start:
        return None
    if start == -INF:
        start = max(end - LONGEST_DAYS, -60.0)
    if end == INF:
        end = start + LONGEST_DAYS
    return _tidy(start, end)


def _tidy(start: float, end: float) -> tuple[float, float] | None:
    if end - start < SHORTEST_DAYS:
        return None
    return _shifted((start, min(end, start + LONGEST_DAYS)))


def _shifted(span: tuple[float, float]) -> tuple[float, float]:
    """Bring a span's opening into the year that runs from 120 days before midwinter."""
    shift = 0.0
    while span[0] + shift >= YEAR - 120 and span[1] + shift >= YEAR:
        shift -= YEAR
    while span[0] + shift < -120:
        shift += YEAR
    return span[0] + shift, span[1] + shift


def _merged(found: list[Window]) -> list[Window]:
    """Join windows of the same method and purpose that touch, so that one window is told as one."""
    out: list[Window] = []
    for window in sorted(found, key=lambda w: (w.method, w.under_cover, w.purpose, w.opens)):
        last = out[-1] if out else None
        if (
            last
            and (last.method, last.under_cover, last.purpose) == (window.method, window.under_cover, window.purpose)
            and window.opens <= last.closes + 1
            and last.rule.grows_on_under == window.rule.grows_on_under
        ):
            out[-1] = Window(
                last.crop, last.method, last.under_cover, last.opens, max(last.closes, window.closes), last.rule
            )
        else:
            out.append(window)
    return out
