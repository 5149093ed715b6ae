"""Blight weather from hours, who is exposed, and the answer with and without a forecast."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from bot.facts import Facts
from bot.facts.tending import BlightRule
from bot.handlers.blight import blight_risk
from bot.reply import Reply
from bot.request import Request
from bot.season import Forecast, ForecastDay, ForecastHour
from bot.tending.blight import HourOfAir, air_days, exposed, periods, qualifies
from tests.tending.plots import HOBART, context

START = date(2026, 7, 10)


def rule(facts: Facts, name: str) -> BlightRule:
    """Return one weather rule."""
    return next(r for r in facts.tending.blight.rules if r.id == name)


def hours(*days: tuple[float, int], start: date = START) -> list[HourOfAir]:
    """Build days of (lowest °C, hours at 92 %), the other hours at 70 %."""
    rows = []
    for n, (low, damp) in enumerate(days):
        midnight = datetime.combine(start + timedelta(days=n), datetime.min.time())
        rows += [HourOfAir(midnight + timedelta(hours=h), low if h == 4 else low + 5, 92.0 if h < damp else 70.0)
                 for h in range(24)]
    return rows


def forecast(*days: tuple[float, int], start: date = START) -> Forecast:
    """Build a forecast of such hours."""
    rows = hours(*days, start=start)
    return Forecast(tuple(ForecastDay(start + timedelta(days=n), low, low + 8) for n, (low, _) in enumerate(days)),
                    tuple(ForecastHour(r.time, r.temp_c, r.humidity_pct) for r in rows), "file")


def asked(facts: Facts, *days: tuple[float, int], empty: bool = False) -> Reply:
    """Ask for the blight risk with such days ahead."""
    return blight_risk(Request("blight_risk"), context(facts, day=START, empty=empty, forecast=forecast(*days)))


class TestRules:
    def test_gaps_and_part_days_break_a_run(self, facts: Facts) -> None:
        hutton = rule(facts, "hutton")
        first, third = hours((12, 8)), hours((12, 8), start=START + timedelta(days=2))
        assert periods([*first, *third], hutton) == []
        assert periods(hours((12, 8), (12, 8))[:34], hutton) == []

    def test_hours_without_humidity_do_not_count(self, facts: Facts) -> None:
        blank = [HourOfAir(h.time, h.temp_c, None) for h in hours((12, 8), (12, 8))]
        assert air_days(blank, 90) == [] and periods(blank, rule(facts, "hutton")) == []

    def test_a_long_run_is_one_period(self, facts: Facts) -> None:
        assert periods(hours((12, 8), (12, 8), (12, 8), (8, 8), (12, 8), (12, 8)), rule(facts, "hutton")) == [
            (START, START + timedelta(days=2)), (START + timedelta(days=4), START + timedelta(days=5))]

    def test_one_day_alone(self, facts: Facts) -> None:
        day = air_days(hours((10, 6)), 90)[0]
        assert (day.low_c, day.humid_hours, day.known) == (10, 6, 24) and qualifies(day, rule(facts, "hutton"))


class TestExposed:
    def test_open_ground_comes_before_the_tunnel(self, facts: Facts) -> None:
        mine = exposed(context(facts).plot, {row.crop: row.risk for row in facts.tending.blight.crops}, facts.climate)
        assert [(e.crop, e.covered) for e in mine] == [("potato", False), ("tomato", True)]


class TestAnswer:
    def test_a_hutton_period_ahead(self, facts: Facts) -> None:
        reply = asked(facts, (11, 7), (11, 7), (11, 2))
        assert reply.headline == "Blight weather: today to tomorrow meet the Hutton criteria."
        assert reply.data["risk"] == "high" and reply.data["hutton"] == [{"from": "2026-07-10", "to": "2026-07-11"}]
        assert reply.data["smith"] == [] and "Smith period is not met" in reply.lines[0]
        assert "potatoes in Bed 1" in " ".join(reply.lines) and any("Under cover" in line for line in reply.lines)
        assert any("11 °C, 7 damp hours, met" in line for line in reply.working)
        assert 1 + len(reply.lines) + len(reply.cautions) <= 12
        assert any("cut all the tops off" in line for line in reply.more)
        assert any("green fruit" in line for line in reply.more)

    def test_the_older_rule_beside_it(self, facts: Facts) -> None:
        reply = asked(facts, (11, 12), (11, 12))
        assert reply.data["smith"] == [{"from": "2026-07-10", "to": "2026-07-11"}] and "agrees" in reply.lines[0]

    def test_dry_days(self, facts: Facts) -> None:
        reply = asked(facts, (11, 2), (11, 2))
        assert reply.headline.startswith("No blight weather in sight") and reply.data["risk"] == "low"

    def test_one_near_day_is_mentioned(self, facts: Facts) -> None:
        reply = asked(facts, (11, 2), (11, 9), (11, 2))
        assert reply.data["risk"] == "watch" and "comes close" in reply.lines[0]

    def test_no_forecast_says_so_and_speaks_from_normals(self, facts: Facts) -> None:
        reply = blight_risk(Request("blight_risk"), context(facts, day=START))
        assert "no hourly forecast" in reply.headline and reply.data["basis"] == "normals"
        assert any("dark wet blotches" in line for line in reply.lines)

    def test_winter_in_either_hemisphere(self, facts: Facts) -> None:
        for day, place in ((date(2026, 1, 10), None), (date(2026, 7, 10), HOBART)):
            kwargs = {"place": place} if place else {}
            reply = blight_risk(Request("blight_risk"), context(facts, day=day, **kwargs))
            assert reply.headline == "Blight is out of season here now." and reply.data["risk"] == "low"

    def test_no_place_asks_for_it(self, facts: Facts) -> None:
        assert blight_risk(Request("blight_risk"), context(facts, place=None)).wants == "place"

    def test_an_empty_plot(self, facts: Facts) -> None:
        reply = asked(facts, (11, 7), (11, 7), empty=True)
        assert "No potatoes or tomatoes are written down as growing here." in reply.lines

    def test_us_units(self, facts: Facts) -> None:
        reply = blight_risk(Request("blight_risk"), context(facts, day=START, units="us", words="us"))
        text = " ".join([reply.headline, *reply.lines, *reply.more, *reply.working[:2]])
        assert "°F" in text and "°C" not in text and " cm" not in text
