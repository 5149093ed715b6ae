"""How much and when to water: by crop, bed and plot, with the arithmetic shown."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bot.facts import Facts
from bot.plot.events import NewEvent
from bot.request import Quantity, When
from bot.season import Forecast, ForecastDay
from tests.tending.grounds import HOBART, after, ask, context, said


def forecast(first: date, *, high: float = 26.0, rain: float = 0.0, et0: float | None = 5.0) -> Forecast:
    return Forecast(
        tuple(ForecastDay(first + timedelta(days=n), 12.0, high, rain, 8.0, et0) for n in range(7)), source="file"
    )


def test_figures_hang_together(facts: Facts) -> None:
    reply = ask("water", "how much should I water the peas", context(facts), crops=("pea",))
    found = reply.data["water"]
    assert found["et0_mm"] * 7 * found["kc"] == pytest.approx(found["etc_mm"], rel=0.02)
    assert found["litres_per_m2"] == pytest.approx(found["etc_mm"] - found["rain_mm"], abs=0.2)
    assert found["litres"] == pytest.approx(found["litres_per_m2"] * found["area_m2"], rel=0.02)
    assert any("ET0" in line for line in reply.working)
    assert any("x " in line and "mm used" in line for line in reply.working)


def test_a_forecast_is_used_and_said(facts: Facts) -> None:
    ctx = context(facts, forecast=forecast(date(2026, 6, 17)))
    reply = ask("water", "how much water for the peas", ctx, crops=("pea",))
    assert reply.data["water"]["forecast"] is True
    assert reply.data["water"]["et0_mm"] == 5.0
    assert reply.data["water"]["rain_mm"] == 0.0
    assert "no forecast" not in said(reply)


def test_rain_forecast_saves_the_cans(facts: Facts) -> None:
    ctx = context(facts, forecast=forecast(date(2026, 6, 17), rain=8.0))
    assert ask("water", "do I water the peas", ctx, crops=("pea",)).data["water"]["litres_per_m2"] == 0


def test_under_cover_no_rain_counts(facts: Facts) -> None:
    reply = ask("water", "how often should I water tomatoes", context(facts), crops=("tomato",))
    assert reply.data["water"]["bed"] == "tunnel"
    assert reply.data["water"]["rain_mm"] == 0
    assert "every 4 days" in said(reply) or "every other day" in said(reply)


def test_bulbs_dry_off_before_lifting(facts: Facts) -> None:
    reply = ask("water", "is garlic meant to dry off now", context(facts, "2026-06-25"), crops=("garlic",))
    assert "no more water" in reply.headline
    assert reply.data["water"]["litres_per_m2"] == 0


def test_new_plants_are_watered_by_hand(facts: Facts) -> None:
    ctx = context(facts, "2026-06-05")
    reply = ask("water", "how often do I water the sweetcorn", ctx, crops=("sweetcorn",))
    assert reply.lines[0].startswith("Newly planted")


def test_rain_and_dry_days_told_of(facts: Facts) -> None:
    ctx = context(facts)
    plain = ask("water", "water bed 1", ctx, beds=("bed-1",)).data["water"]["litres"]
    wet = ask("water", "we had 12 mm yesterday, water bed 1?", ctx, beds=("bed-1",)).data["water"]["litres"]
    dry = ask("water", "no rain for nine days, bed 1", ctx, beds=("bed-1",), quantities=(Quantity(9, "day"),))
    assert wet < plain
    assert " now" in dry.headline
    assert dry.data["water"]["days"] == 1


def test_water_already_given_comes_off(facts: Facts) -> None:
    ctx = context(facts)
    given = after(ctx, NewEvent("watered", date(2026, 6, 16), bed="bed-1", amount=48.0, unit="l"))
    before = ask("water", "water bed 1", ctx, beds=("bed-1",)).data["water"]["litres"]
    assert ask("water", "water bed 1", given, beds=("bed-1",)).data["water"]["litres"] < before - 30


def test_heat_asks_for_more(facts: Facts) -> None:
    ctx = context(facts)
    when = When(date(2026, 6, 19), date(2026, 6, 19))
    usual = ask("water", "how much for tomatoes on Friday", ctx, crops=("tomato",), when=when).data["water"][
        "litres_per_m2"
    ]
    hot = ask("water", "it's to hit 36 on Friday, how much for tomatoes", ctx, crops=("tomato",), when=when).data[
        "water"
    ]["litres_per_m2"]
    assert hot > usual * 1.3


def test_the_whole_plot_names_the_thirstiest_first(facts: Facts) -> None:
    reply = ask("water", "do I need to water today", context(facts))
    litres = [row["litres"] for row in reply.data["water"]["beds"]]
    assert litres == sorted(litres, reverse=True)
    assert len(reply.lines) <= 9


def test_winter_wants_none(facts: Facts) -> None:
    assert ask("water", "do I need to water", context(facts, "2026-01-10")).headline.startswith("No need to water")


def test_the_south_is_thirsty_in_january(facts: Facts) -> None:
    reply = ask("water", "do I need to water", context(facts, "2026-01-10", at=HOBART))
    assert reply.data["water"]["et0_mm"] > 4
    assert "Yes" in reply.headline


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("is it better watering morning or night", "early morning"),
        ("can i use washing up water on the veg", "not on anything eaten raw"),
        ("what needs it most, I've only one butt left", "seedlings"),
        ("inch a week right?", "25 mm"),
        ("pots on the patio", "daily"),
    ],
)
def test_watering_by_the_way(facts: Facts, text: str, words: str) -> None:
    assert words in said(ask("water", text, context(facts, place=False)))


def test_no_place_asks_for_it(facts: Facts) -> None:
    assert ask("water", "how much for the leeks", context(facts, place=False), crops=("leek",)).wants == "place"


def test_empty_plot_and_empty_bed(facts: Facts) -> None:
    assert "in full leaf" in ask("water", "do I need to water", context(facts, "2026-07-10", empty=True)).headline
    assert ask("water", "water bed 3", context(facts), beds=("bed-3",)).data["water"]["litres_per_m2"] == 0


def test_american_units(facts: Facts) -> None:
    reply = ask("water", "how much water for tomatoes", context(facts, units="us"), crops=("tomato",))
    assert "in of water" in reply.headline
    assert " l per m²" not in reply.headline
