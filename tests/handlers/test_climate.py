"""What the season handlers say."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import pytest

from bot.facts import Facts
from bot.handlers import handler_for
from bot.handlers.climate import clock, odds
from bot.handlers.context import Context
from bot.plot.state import Bed, Planting, Plot, PlotPlace, Settings
from bot.reply import Reply, plain_text
from bot.request import Request, Spot, When
from bot.season import Forecast, ForecastDay, season_for
from bot.wording import Wording

HILLS = PlotPlace(45.05, 3.90, 880, "Europe/Paris", "the hills")
TASMANIA = PlotPlace(-42.9, 147.3, 50, "Australia/Hobart", "Tasmania")
CANTERBURY = PlotPlace(-43.5, 172.6, 20, "Pacific/Auckland", "Canterbury")
TODAY = date(2026, 6, 17)
BEDS = {
    bed.id: bed for bed in (Bed("bed-1", "Bed 1"), Bed("bed-2", "Bed 2"), Bed("tunnel", "Tunnel", cover="polytunnel"))
}
PLANTED = (
    Planting(1, "runner-bean", bed="bed-2", method="direct", sown=date(2026, 5, 20)),
    Planting(2, "tomato", bed="tunnel", method="plants", planted_out=date(2026, 5, 25)),
    Planting(3, "kale", bed="bed-1", method="plants", planted_out=date(2026, 7, 1)),
    Planting(4, "leek", bed="bed-1", method="plants", planted_out=date(2026, 6, 10)),
)


def context(
    facts: Facts,
    today: date = TODAY,
    place: PlotPlace | None = HILLS,
    units: str = "metric",
    words: str = "gb",
    plantings: tuple[Planting, ...] = (),
    forecast: Forecast | None = None,
    **settings: Any,
) -> Context:
    """Return a context on a plot of three beds."""
    kept = Settings(place=place, units=units, wording=words, **settings)
    season = season_for(place, facts, kept, forecast) if place else None
    return Context(
        Plot("p", kept, BEDS, plantings),
        facts,
        season,
        today,
        datetime.combine(today, time(9), UTC),
        "ines",
        Wording(units, words, facts),
    )


def say(ctx: Context, intent: str, text: str = "", **fields: Any) -> Reply:
    """Ask a handler, and check what every reply must be."""
    reply = handler_for(intent)(Request(intent, text=text, **fields), ctx)
    shown = plain_text(reply)
    assert reply.headline and "\n" not in reply.headline
    assert (
        len(shown.splitlines()) <= 16
        and "!" not in shown
        and "None" not in shown
        and "nan" not in shown.lower().split()
    )
    assert all(source in ctx.facts.sources for source in reply.sources), reply.sources
    assert all(len(choice.says) <= 64 for choice in reply.choices)
    if ctx.say.us:
        assert "°C" not in shown and " mm" not in shown and " cm" not in shown
    return reply


# day length


def test_day_length_today(facts: Facts) -> None:
    reply = say(context(facts), "daylight")
    assert (
        reply.headline == "Today is 15 h 37 min long from sunrise to sunset; days fall under ten hours on 5 November."
    )
    assert reply.data["daylight"]["hours"] == pytest.approx(15.62, abs=0.03)
    assert reply.data["daylight"]["under_ten"] == {"from": "2026-11-05", "to": "2027-02-05"}


def test_day_length_in_the_dark_spell_tells_when_it_ends(facts: Facts) -> None:
    reply = say(context(facts, date(2026, 12, 20)), "daylight")
    assert "ten hours is back on 6 February" in reply.headline


def test_day_length_over_a_month(facts: Facts) -> None:
    reply = say(context(facts), "daylight", when=When(date(2026, 10, 1), date(2026, 10, 31)))
    assert reply.headline.startswith("The days run from 11 h ")
    assert "shortening by about 3 minutes a day" in reply.lines[1]


def test_clock_and_odds() -> None:
    assert clock(9.999) == "10 h" and clock(0.5) == "0 h 30 min"
    said = [odds(p / 100) for p in range(0, 101)]
    assert said[50] == "about one year in two" and said[100] == "nearly every year" and said[0] == "almost never"
    assert all("one year in one" not in text for text in said)


# frost dates and climate


def test_frost_dates_are_said_plainly(facts: Facts) -> None:
    reply = say(context(facts), "frost_dates")
    dates = reply.data["frost_dates"]
    assert set(dates) == {"last", "first"} and set(dates["last"]) == {"p10", "p50", "p90"}
    assert dates["last"]["p90"] < dates["last"]["p50"] < dates["last"]["p10"]
    assert reply.headline == "On average the last frost here is 30 April and the first 12 October."
    assert reply.lines[0] == "Nine years in ten the last frost is over by 16 May."
    assert reply.lines[1] == "Nine years in ten the first holds off until 18 September."
    assert any("guide only" in line for line in reply.lines)


def test_frost_dates_by_the_gardeners_own(facts: Facts) -> None:
    reply = say(context(facts, last_frost="05-20", first_frost="09-28"), "frost_dates")
    assert reply.headline == "Going by your own dates, the last frost here is 20 May and the first 28 September."


def test_the_frost_asked_about_comes_first(facts: Facts) -> None:
    ctx = context(facts, date(2026, 7, 18), last_frost="05-20", first_frost="09-28")
    assert say(ctx, "frost_dates", "when is the first frost").headline == "Going by your own dates, the first frost here is 28 September."
    away = say(ctx, "frost_dates", "how long til the first frost")
    assert away.headline == "About 10 weeks away: going by your own dates, the first frost here is 28 September."
    assert away.lines[0].startswith("Nine years in ten it holds off until") and "20 May" in away.lines[1]
    assert say(ctx, "frost_dates", "when is the last frost").lines[0].startswith("Nine years in ten it is over by")


def test_where_frost_is_rare_spring_tells_that_it_is_over(facts: Facts) -> None:
    spring = context(facts, date(2026, 10, 20), place=TASMANIA)
    assert say(spring, "frost_dates", "when will the frosts stop").headline.startswith("This winter's frosts are as good as over")
    assert say(spring, "frost_dates", "when is the first frost").headline.startswith("Most winters")
    assert say(context(facts, date(2026, 6, 20), place=TASMANIA), "frost_dates", "when will the frosts stop").headline.startswith("Most winters")


def test_frost_dates_where_frost_is_rare(facts: Facts) -> None:
    reply = say(context(facts, place=TASMANIA), "frost_dates")
    assert reply.headline.startswith("Most winters pass without an air frost here")
    assert "June" in reply.lines[0] or "July" in reply.lines[0]
    assert reply.data["frost_dates"]["last"]["p50"] is None


def test_frost_dates_in_the_south(facts: Facts) -> None:
    reply = say(context(facts, place=CANTERBURY), "frost_dates")
    assert "September" in reply.headline and "May" in reply.headline


def test_american_wording(facts: Facts) -> None:
    reply = say(context(facts, units="us", words="us"), "frost_dates")
    assert "April 30" in reply.headline


def test_climate_names_zone_and_rating(facts: Facts) -> None:
    reply = say(context(facts), "climate")
    assert reply.headline == "The coldest night of a usual winter here is about -13 °C: zone 7b and rating H5."
    assert len(reply.more) == 12 and len(reply.data["climate"]["months"]) == 12
    assert "rating" not in say(context(facts, units="us", words="us"), "climate").headline


def test_climate_of_a_month(facts: Facts) -> None:
    reply = say(context(facts), "climate", when=When(date(2027, 1, 1), date(2027, 1, 31)))
    assert reply.headline.startswith("January: nights about -2 °C, days about 5 °C, ")


# frost tonight


COLD = Forecast(
    tuple(
        ForecastDay(date(2026, 9, 20) + timedelta(days=n), low, high, 0.0, 5.0)
        for n, (low, high) in enumerate([(6, 18), (-1, 15), (3, 16), (7, 17), (-4, 12), (5, 15)])
    ),
    source="test",
)


def test_a_frost_in_the_forecast_and_what_to_cover(facts: Facts) -> None:
    reply = say(context(facts, date(2026, 9, 20), plantings=PLANTED, forecast=COLD), "frost_tonight")
    assert reply.headline == "Yes, expect a slight frost tonight: down to about -1 °C."
    assert reply.lines[0] == "Cover before dusk: runner beans in Bed 2."
    assert reply.lines[1] == "Lay fleece inside over tomatoes in Tunnel."
    assert {(c["crop"], c["bed"]) for c in reply.data["frost_tonight"]["cover"]} == {
        ("runner-bean", "bed-2"),
        ("tomato", "tunnel"),
    }
    assert reply.data["frost_tonight"]["chance"] > 0.5
    assert not reply.events


def test_the_worst_night_of_a_week(facts: Facts) -> None:
    ctx = context(facts, date(2026, 9, 20), plantings=PLANTED, forecast=COLD)
    reply = say(ctx, "frost_tonight", when=When(date(2026, 9, 21), date(2026, 9, 27)))
    assert reply.headline == "Yes, expect a moderate frost on the night of Wednesday 23 September: down to about -4 °C."


def test_tomorrow_morning_is_tonights_night(facts: Facts) -> None:
    ctx = context(facts, date(2026, 9, 20), forecast=COLD)
    tomorrow = When(date(2026, 9, 21), date(2026, 9, 21))
    assert (
        say(ctx, "frost_tonight", "will it freeze tomorrow morning", when=tomorrow).data["frost_tonight"]["date"]
        == "2026-09-20"
    )
    assert (
        say(ctx, "frost_tonight", "will it freeze tomorrow night", when=tomorrow).data["frost_tonight"]["date"]
        == "2026-09-21"
    )


def test_a_mild_night(facts: Facts) -> None:
    mild = Forecast((ForecastDay(date(2026, 9, 21), 9.0, 18.0),))
    reply = say(context(facts, date(2026, 9, 20), plantings=PLANTED, forecast=mild), "frost_tonight")
    assert reply.headline == "No frost tonight: the low is about 9 °C."
    assert "Nothing standing here needs covering for it." in reply.lines


def test_without_a_forecast_it_says_so(facts: Facts) -> None:
    reply = say(context(facts, date(2026, 4, 20), plantings=PLANTED[2:]), "frost_tonight")
    assert reply.headline.startswith("By past years, a frost tonight comes about one year in ")
    assert any("no forecast" in line for line in reply.lines)
    assert not reply.data["frost_tonight"]["forecast"]


def test_out_of_season_the_dates_are_said_first(facts: Facts) -> None:
    for place, day in ((None, date(2026, 7, 10)), (CANTERBURY, date(2027, 1, 10))):
        ctx = context(facts, day, **({} if place is None else {"place": place}))
        for text in ("gonna be cold tonight?", "its going to be cold tonight", "will it freeze tonight"):
            reply = say(ctx, "frost_tonight", text)
            assert "very unlikely" in reply.headline and "usually end about" in reply.headline, (day, text)
            assert any("no forecast" in line for line in reply.lines)


def test_a_frost_foretold_on_an_empty_plot_names_what_is_tender(facts: Facts) -> None:
    reply = say(context(facts, date(2026, 4, 20)), "frost_tonight", "they say frost tonight")
    assert "tomatoes" in reply.headline and "Nothing is written down" in reply.lines[0]
    assert "light frost" in reply.lines[1]


def test_only_the_crop_asked_about(facts: Facts) -> None:
    ctx = context(facts, date(2026, 9, 20), plantings=PLANTED, forecast=COLD)
    assert [c["crop"] for c in say(ctx, "frost_tonight", crops=("runner-bean",)).data["frost_tonight"]["cover"]] == [
        "runner-bean"
    ]
    assert "should be all right" in say(ctx, "frost_tonight", crops=("leek",)).lines[0]


def test_an_empty_plot_and_no_place(facts: Facts) -> None:
    assert say(context(facts, forecast=COLD), "frost_tonight").data["frost_tonight"]["cover"] == []
    for intent in ("frost_tonight", "frost_dates", "climate", "daylight"):
        reply = say(context(facts, place=None), intent)
        assert reply.headline == "Where is your plot?" and reply.wants == "place"


# covers


def test_all_covers(facts: Facts) -> None:
    reply = say(context(facts), "protect")
    assert reply.table is not None
    assert [row[0] for row in reply.table.rows][-1] == "Polytunnel with fleece inside"
    assert reply.data["protect"]["covers"]["fleece"] == [1.1, 3.0]


def test_one_cover_and_a_crop(facts: Facts) -> None:
    reply = say(context(facts), "protect", cover="fleece", crops=("lettuce",))
    assert reply.headline == "Garden fleece is worth about 1-3 °C on a cold night."
    assert "Lettuces" in reply.lines[0]
    assert say(context(facts, units="us", words="us"), "protect", cover="fleece").headline == (
        "Floating row cover is worth about 2-5 °F on a cold night."
    )


def test_the_cover_of_a_bed_and_an_unknown_one(facts: Facts) -> None:
    assert say(context(facts), "protect", beds=("tunnel",)).data["protect"]["cover"] == "polytunnel"
    assert say(context(facts), "protect", cover="netting").table is not None


# hardiness


def test_a_roof_keeps_the_rain_off_and_a_sheet_does_not(facts: Facts) -> None:
    dry = {cover for cover in facts.climate.covers if facts.climate.rainproof(cover)}
    assert dry == {"greenhouse", "polytunnel", "polytunnel-fleece", "heated", "cold-frame", "indoors"}
    assert not facts.climate.rainproof(None)


@pytest.mark.parametrize(("cover", "where"), [("cold-frame", "in a cold frame"), ("fleece", "under garden fleece"), ("polytunnel", "in a polytunnel")])
def test_a_crop_stands_in_a_frame_and_under_fleece(facts: Facts, cover: str, where: str) -> None:
    reply = say(context(facts), "hardy", f"will my lettuce stand -5 under {cover}", crops=("lettuce",), cover=cover)
    assert where in f"{reply.headline} {reply.lines}"


def test_kale_at_minus_nine(facts: Facts) -> None:
    reply = say(context(facts), "hardy", crops=("kale",), temperature_c=-9.0)
    assert reply.headline.startswith("It depends on the kind: -9 °C is on the edge for kale")
    assert reply.data["hardy"]["crop"] == "kale" and reply.data["hardy"]["kill_c"] < -7


def test_figures_of_a_sure_yes_and_a_sure_no(facts: Facts) -> None:
    assert (
        say(context(facts), "hardy", crops=("leek",), temperature_c=-5.0).headline == "Yes, leeks should stand -5 °C."
    )
    assert (
        say(context(facts), "hardy", crops=("courgette",), temperature_c=-3.0).headline == "No, -3 °C kills courgettes."
    )
    warm = say(context(facts), "hardy", crops=("courgette",), temperature_c=-1.0, cover="polytunnel-fleece")
    assert warm.headline.startswith("Yes, courgettes should stand -1 °C in a polytunnel with fleece inside")


def test_a_winter_here(facts: Facts) -> None:
    leek = say(context(facts, date(2026, 9, 20)), "hardy", crops=("leek",)).data["hardy"]
    tunnel = say(context(facts, date(2026, 9, 20)), "hardy", crops=("leek",), beds=("tunnel",)).data["hardy"]
    tasmania = say(context(facts, date(2026, 4, 20), TASMANIA), "hardy", crops=("leek",)).data["hardy"]
    assert 0 < leek["chance"] < tunnel["chance"] < tasmania["chance"] == pytest.approx(1, abs=0.01)


def test_roots_in_the_ground_outlive_their_tops(facts: Facts) -> None:
    reply = say(context(facts, date(2026, 10, 20)), "hardy", crops=("parsnip",))
    assert reply.data["hardy"]["kill_c"] < -15
    assert say(context(facts), "hardy", crops=("parsnip",), temperature_c=-12.0).headline.startswith(
        "The tops of parsnips die back"
    )


def test_when_to_bring_in_pumpkins(facts: Facts) -> None:
    reply = say(context(facts, date(2026, 9, 1)), "hardy", crops=("pumpkin",))
    assert reply.headline.startswith("No, about 0 °C kills pumpkins")
    assert reply.lines[0].startswith("Bring the crop in by about 18 September")


def test_several_crops_and_none(facts: Facts) -> None:
    both = say(context(facts), "hardy", crops=("leek", "parsnip"))
    assert both.data["hardy"]["crop"] == "leek" and both.data["hardy"]["more"][0]["crop"] == "parsnip"
    assert say(context(facts), "hardy").wants == "crop"
    assert say(context(facts), "hardy", crop_choices=("kale", "kale-black")).choices
    assert "Tell me where your plot is" in say(context(facts, place=None), "hardy", crops=("leek",)).lines[0]


def test_every_crop_has_an_answer(facts: Facts) -> None:
    for place in (HILLS, TASMANIA, None):
        ctx = context(facts, date(2026, 10, 10), place)
        for crop in facts.crops:
            for fields in ({}, {"temperature_c": -4.0}, {"cover": "fleece"}):
                reply = say(ctx, "hardy", crops=(crop,), **fields)
                assert reply.data["hardy"]["chance"] is None or 0 <= reply.data["hardy"]["chance"] <= 1


# coming up


def test_days_to_come_up_now(facts: Facts) -> None:
    reply = say(context(facts), "germination", crops=("parsnip",))
    assert reply.headline == "Parsnips take 14 to 21 days to come up in soil at 16 °C, about what it is here now."
    assert reply.data["germination"]["crop"] == "parsnip" and reply.data["germination"]["days"] == [14, 21]


def test_too_cold_and_when_it_will_not_be(facts: Facts) -> None:
    reply = say(context(facts, date(2026, 3, 1)), "germination", crops=("french-bean",))
    assert reply.headline.startswith("Too cold for French beans now")
    assert "June" in reply.lines[0]
    assert reply.data["germination"]["days"] is None


def test_too_hot(facts: Facts) -> None:
    assert say(context(facts), "germination", crops=("lettuce",), temperature_c=33.0).headline.startswith(
        "Too hot for lettuces"
    )


def test_a_sowing_on_record(facts: Facts) -> None:
    sown = Planting(9, "carrot", bed="bed-1", method="direct", sown=date(2026, 6, 1))
    early = say(context(facts, date(2026, 6, 5), plantings=(sown,)), "germination", crops=("carrot",))
    late = say(context(facts, date(2026, 7, 10), plantings=(sown,)), "germination", crops=("carrot",))
    assert early.headline.startswith("Not yet: carrots are due about ")
    assert late.headline.startswith("Sow carrots again: they should have been up by ")
    assert "You sowed carrots in Bed 1 on 1 June" in early.lines[0]


def test_a_crop_without_figures_and_no_place(facts: Facts) -> None:
    assert say(context(facts), "germination", crops=("potato",)).headline.startswith("I have no figures")
    usual = say(context(facts, place=None), "germination", crops=("carrot",))
    assert usual.data["germination"]["soil_c"] is None and "usually take" in usual.headline


def test_every_crop_can_be_asked(facts: Facts) -> None:
    for day in (date(2026, 1, 10), TODAY):
        ctx = context(facts, day)
        for crop in facts.crops:
            say(ctx, "germination", crops=(crop,))


# place and own frost dates


def test_setting_the_place_by_town(facts: Facts) -> None:
    reply = say(context(facts, place=None), "set_location", spot=Spot(name="Hobart"))
    assert reply.headline == "Your plot is set to Hobart, Tasmania, 19 m above the sea."
    (event,) = reply.events
    assert event.kind == "plot_set"
    assert event.data["place"]["tz"] == "Australia/Hobart" and event.data["place"]["lat"] == pytest.approx(-42.88)


def test_setting_the_place_by_coordinates_and_height(facts: Facts) -> None:
    shared = say(context(facts, place=None), "set_location", spot=Spot(lat=45.05, lon=3.9, elevation_m=880))
    typed = say(context(facts, place=None), "set_location", "I garden at 45.05, 3.90, 880 m")
    assert shared.events[0].data["place"] == typed.events[0].data["place"]
    height = say(context(facts), "set_location", "set elevation 950 m")
    assert (
        height.events[0].data["place"]["elevation_m"] == 950 and height.events[0].data["place"]["name"] == "the hills"
    )


@pytest.mark.parametrize(
    "fields",
    [
        {"spot": Spot(name="Cambridge")},
        {"spot": Spot(name="Edinbrugh")},
        {"spot": Spot(name="xqzzy")},
        {"text": "coordinates 95.05, 3.90"},
        {"spot": Spot(lat=10, lon=999)},
        {},
    ],
)
def test_an_unclear_place_records_nothing(facts: Facts, fields: dict[str, Any]) -> None:
    text = fields.pop("text", "")
    reply = say(context(facts), "set_location", text, **fields)
    assert not reply.events and reply.wants == "place"
    for choice in reply.choices:
        assert choice.says.startswith("my plot is in ")


def test_own_dates_are_kept(facts: Facts) -> None:
    for text, want in (
        ("my last frost is 10 May", {"last_frost": "05-10"}),
        ("set first frost to October 5", {"first_frost": "10-05"}),
        ("set my frost dates to may 12 and september 28", {"last_frost": "05-12", "first_frost": "09-28"}),
        ("frost free from 15 April to 28 October", {"last_frost": "04-15", "first_frost": "10-28"}),
        ("use my own frost dates: may 5 / oct 12", {"last_frost": "05-05", "first_frost": "10-12"}),
        ("forget the averages, first frost here is end of september, the 28th of september", {"first_frost": "09-28"}),
    ):
        reply = say(context(facts), "set_frost_dates", text)
        assert reply.events[0].data == want == reply.data["set_frost_dates"], text


def test_own_dates_in_the_south(facts: Facts) -> None:
    reply = say(context(facts, place=CANTERBURY), "set_frost_dates", "use my own: 5 may and 12 oct")
    assert reply.events[0].data == {"first_frost": "05-05", "last_frost": "10-12"}


@pytest.mark.parametrize(
    "text",
    [
        "set my frost dates",
        "last frost 31 february",
        "last frost 5 october",
        "first frost 3 may",
        "last frost 20 july first frost 25 july",
    ],
)
def test_own_dates_that_make_no_sense_record_nothing(facts: Facts, text: str) -> None:
    assert not say(context(facts), "set_frost_dates", text).events


def test_own_dates_are_forgotten(facts: Facts) -> None:
    reply = say(context(facts, last_frost="05-10"), "set_frost_dates", "forget my frost dates")
    assert reply.events[0].data == {"last_frost": None, "first_frost": None, "frost_offset_c": 0.0}


def test_a_frost_hollow_and_a_sheltered_plot(facts: Facts) -> None:
    for text, offset in (
        ("we garden in a frost hollow", -2.0),
        ("my nights are 3 degrees colder than the village", -3.0),
        ("we are sheltered by walls", 1.0),
        ("it is 1.5 C milder here", 1.5),
    ):
        assert say(context(facts), "set_frost_dates", text).events[0].data == {"frost_offset_c": offset}, text
    assert not say(context(facts), "set_frost_dates", "my nights are 40 degrees colder").events


@pytest.mark.parametrize(
    ("low", "british", "american"),
    [
        (-1.0, "a slight frost", "a light freeze"),
        (-3.0, "a slight frost", "a moderate freeze"),
        (-5.0, "a moderate frost", "a severe freeze"),
        (-9.0, "a severe frost", "a severe freeze"),
        (-14.0, "a very severe frost", "a severe freeze"),
    ],
)
def test_frosts_are_named_by_the_weather_services_bands(facts: Facts, low: float, british: str, american: str) -> None:
    cold = Forecast((ForecastDay(date(2026, 1, 21), low, 4.0),))
    for words, units, said in (("gb", "metric", british), ("us", "us", american)):
        ctx = context(facts, date(2026, 1, 20), words=words, units=units, forecast=cold)
        assert f"expect {said} tonight" in say(ctx, "frost_tonight").headline


def test_moving_keeps_a_word_about_own_dates(facts: Facts) -> None:
    reply = say(context(facts, last_frost="05-10"), "set_location", spot=Spot(name="Hexham"))
    assert any("forget my frost dates" in line for line in reply.lines)


def test_own_dates_of_the_other_half_of_the_world_are_let_go(facts: Facts) -> None:
    reply = say(context(facts, last_frost="05-10"), "set_location", spot=Spot(name="Hobart"))
    assert reply.events[0].data["last_frost"] is None and not any("forget my frost dates" in line for line in reply.lines)
    assert any("other half of the world" in line for line in reply.lines)


def test_the_season_handlers_are_pure(facts: Facts) -> None:
    """The same request in the same context gives the same reply."""
    ctx = context(facts, date(2026, 9, 20), plantings=PLANTED, forecast=COLD)
    for intent in ("daylight", "frost_dates", "climate", "frost_tonight", "protect", "hardy", "germination"):
        first, second = (say(replace(ctx), intent, crops=("leek",)) for _ in range(2))
        assert first == second


def test_american_units_everywhere(facts: Facts) -> None:
    """No metric figure in any season answer of a plot set to American units."""
    ctx = context(facts, date(2026, 9, 20), units="us", words="us", plantings=PLANTED, forecast=COLD)
    for crop in ("kale", "leek", "pumpkin", "apple", "fig", "parsnip", "lettuce"):
        for fields in ({}, {"temperature_c": -4.0}, {"cover": "fleece"}):
            say(ctx, "hardy", crops=(crop,), **fields)
            say(ctx, "protect", crops=(crop,))
            say(ctx, "germination", crops=(crop,))
    for intent in ("frost_tonight", "protect", "climate"):
        say(ctx, intent)
    say(ctx, "set_location", spot=Spot(name="Boise, Idaho"))
    say(ctx, "set_location", spot=Spot(lat=45.05, lon=3.9))


def test_a_fortnight_without_a_forecast_gives_the_whole_chance(facts: Facts) -> None:
    ctx = context(facts, date(2026, 5, 10), plantings=PLANTED)
    reply = say(ctx, "frost_tonight", when=When(date(2026, 5, 10), date(2026, 5, 23)))
    assert reply.headline.startswith("By past years, frost between today and 23 May comes about one year in six")
    assert (
        reply.lines[0] == "Keep fleece to hand for runner beans in Bed 2 and tomatoes in Tunnel."
        or "runner beans in Bed 2" in reply.lines[0]
    )


def test_blossom_is_told_apart_from_the_tree(facts: Facts) -> None:
    ctx = context(facts, date(2026, 4, 25))
    assert say(ctx, "hardy", "will apple blossom stand -3", crops=("apple",), temperature_c=-3.0).headline == (
        "Apple blossom is hurt at -3 °C: cover it if you can."
    )
    assert say(ctx, "hardy", crops=("apple",), temperature_c=-15.0).headline == "Yes, apples should stand -15 °C."


def test_no_figures_no_promise(facts: Facts) -> None:
    reply = say(context(facts), "hardy", crops=("medlar",))
    assert reply.headline.startswith("I have no cold figures for medlars") and reply.data["hardy"]["chance"] is None


def test_in_spring_the_coming_winter_is_meant(facts: Facts) -> None:
    spring, autumn = (
        say(context(facts, day), "hardy", crops=("leek",)).data["hardy"]["chance"]
        for day in (date(2026, 4, 25), date(2026, 10, 1))
    )
    assert spring == pytest.approx(autumn, abs=0.05)


def test_a_sowing_dated_in_the_message(facts: Facts) -> None:
    then = date(2026, 5, 1)
    reply = say(
        context(facts), "germination", "sowed carrots on 1 May and nothing", crops=("carrot",), when=When(then, then)
    )
    assert reply.headline.startswith("Sow carrots again")


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("set my location to hobart", "Hobart, Tasmania"),
        ("my plot is near Sligo, about 60 m up", "Sligo, Ireland"),
        ("postcode area's York", "York, England"),
        ("moved house, now in Aberdeen", "Aberdeen, Scotland"),
        ("change place to Boise, Idaho", "Boise, Idaho"),
    ],
)
def test_the_town_is_found_in_the_sentence(facts: Facts, text: str, place: str) -> None:
    reply = say(context(facts), "set_location", text)
    assert reply.events[0].data["place"]["name"] == place
    if "60 m" in text:
        assert reply.events[0].data["place"]["elevation_m"] == 60


def test_the_longest_day_and_the_sun(facts: Facts) -> None:
    # Noon by the sun at 3.90 E: 12:00 + 2 h (summer time) - 15.6 min (longitude) + 1.9 min (equation of time, 21 June)
    # = 13:46; half of 15 h 38 min on either side is 5:57 and 21:35.
    reply = say(context(facts, date(2026, 4, 2)), "daylight", text="when is the longest day")
    assert reply.headline.startswith("The longest day here is 21 June, 15 h 38 min")
    assert reply.lines[0] in ("The sun rises at 05:57 and sets at 21:35.", "The sun rises at 05:57 and sets at 21:34.")
    reply = say(context(facts, date(2026, 12, 28)), "daylight", text="shortest day?")
    assert "21 December 2027" in reply.headline or "22 December 2027" in reply.headline
    reply = say(context(facts), "daylight", text="when does the sun set")
    assert reply.headline.startswith("The sun rises at 05:") and "15 h" in reply.lines[0]


def test_a_question_about_summer_leads_with_the_warmest_month(facts: Facts) -> None:
    reply = say(context(facts), "climate", text="how hot are the summers")
    assert reply.headline.startswith("The warmest month is July")
    assert say(context(facts), "climate", text="how cold are the winters").headline.startswith("The coldest night")
