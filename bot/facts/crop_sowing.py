"""How a crop is started: germination, when and under what it is sown or planted, and how far apart."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bot.facts.base import Shape, Sourced, Span

Cover = Literal["none", "fleece", "cloche", "cold-frame", "unheated", "indoors", "heated"]
#: What is planted of a plant that is not its seed and no young plant.
PIECES = ("sets", "cloves", "tubers", "slips", "crowns", "runners", "bare-root")
#: Those planted asleep: they want no water until they have roots.
ASLEEP = ("sets", "cloves", "tubers")
Method = Literal["direct", "module", "indoors", "plants", "sets", "cloves", "tubers", "slips", "crowns",
                 "runners", "bare-root", "division", "offsets", "cuttings"]


class Germination(Sourced):
    """Soil temperatures (°C) and days to emergence. `days_at` rows are [soil °C, days]; None means none came up."""

    soil_min_c: float | None = None
    soil_best_c: Span | None = None
    soil_max_c: float | None = None
    days_at: list[tuple[float, float | None]] = Field(default_factory=list)
    percent_at: list[tuple[float, float]] = Field(default_factory=list)
    days_usual: Span | None = None
    light: Literal["yes", "no", "either"] | None = None


class Anchor(Shape):
    """A moment in the year as a rule. Given figures are all met: the latest of them opens, the earliest closes.

    Weeks are relative to the 50 % frost date (negative = before) or to the moment named. Soil, mean air and night
    in °C and day length in hours are crossed rising by an opening and falling by a closing; `warms_past_c` is always
    the mean air crossed rising in spring, `cools_to_c` always crossed falling after midsummer. The `ready_` figures
    close a sowing: the crop must have had its whole warmth by that many weeks after the moment.
    """

    last_frost_weeks: float | None = None
    first_frost_weeks: float | None = None
    soil_c: float | None = None
    mean_c: float | None = None
    night_c: float | None = None
    warms_past_c: float | None = None
    cools_to_c: float | None = None
    day_hours: float | None = None
    ten_hours_weeks: float | None = None  # relative to the autumn day the day length falls under 10 h
    midsummer_weeks: float | None = None  # relative to the summer solstice
    midwinter_weeks: float | None = None  # relative to the winter solstice
    ready_first_frost_weeks: float | None = None
    ready_dark_weeks: float | None = None


class SowingRule(Sourced):
    """One way to start the crop: from when to when, under what, and when raised plants go out.

    Without `opens` and `closes` a raised plant is sown its seedling weeks before it may go out.
    """

    method: Method
    cover: Cover = "none"  # where it is sown or planted
    opens: Anchor | None = None
    closes: Anchor | None = None
    plant_out_opens: Anchor | None = None
    plant_out_closes: Anchor | None = None
    grows_on_under: Cover = "none"  # where it then stands to crop
    purpose: Literal["main", "early", "late", "overwinter", "winter-cover", "forcing"] = "main"
    weeks_as_seedling: Span | None = None
    hot: bool = False  # the rule of places whose winter does not freeze and whose summer is hot; others fall away there
    say: str | None = None  # what to mind when beginning it so


class Sowing(Sourced):
    """All ways to start the crop, and how often to sow again."""

    rules: list[SowingRule] = Field(min_length=1)
    succession_days: Span | None = None
    hardiness_class: Literal["tender", "half-hardy", "hardy", "very-hardy"]


class Spacing(Sourced):
    """Distances in cm: rows, equal spacing each way, depth, and seed counts."""

    in_row_cm: Span | None = None
    between_rows_cm: Span | None = None
    each_way_cm: float | None = None
    depth_cm: Span | None = None  # of seed, or of what is planted when nobody sows it
    depth_note: str | None = None  # where in the range of depths, said with it
    planting_depth_cm: Span | None = None  # of young plants, crowns or other planting stock set deeper than seed
    sets_depth: str | None = None  # how deep sets go: "push them in with …"
    thin_to_cm: float | None = None
    seeds_per_metre: float | None = None
    seeds_per_station: float | None = None
    seeds_per_g: float | None = None
    broadcast_g_per_m2: Span | None = None  # for crops sown over the whole ground
    us_in_row_in: str | None = None  # as US guides print it
    us_between_rows_in: str | None = None


class Sprouting(Sourced):
    """Standing tubers to sprout (chitting) before they are planted: from when, how warm, and until when."""

    weeks: Span  # before planting
    at_c: Span
    shoots_cm: Span  # how long they are when it is time to plant
    worth: str  # whether it is worth it for this crop, as the answer to "should I"
    how: str
    long: str  # what to do with shoots longer than that
