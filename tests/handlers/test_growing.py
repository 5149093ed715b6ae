"""What the growing handlers say and the figures they give, on the demo plot and on empty ones."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pytest

from bot.facts import Facts
from bot.handlers import handler_for
from bot.handlers.context import Context, Memory
from bot.plot.demo import demo_events
from bot.plot.state import Bed, Plot, PlotPlace, Settings, fold
from bot.reply import Reply, plain_text
from bot.request import Request, When
from bot.season import season_for
from bot.wording import Wording

SEASONS = [date(2026, 3, 20), date(2026, 6, 10), date(2026, 9, 25), date(2026, 1, 10)]
SOUTH = PlotPlace(-42.9, 147.3, 50.0)


class Garden:
    """One plot on one day."""

    def __init__(
        self,
        facts: Facts,
        day: date,
        plot: Plot | None = None,
        *,
        place: PlotPlace | None = None,
        us: bool = False,
        memory: Memory | None = None,
    ) -> None:
        south = place is not None and place.lat < 0
        self.plot = plot if plot is not None else fold("demo", demo_events(day, southern=south))
        where = place or self.plot.settings.place
        season = season_for(where, facts, self.plot.settings) if where else None
        say = Wording("us" if us else "metric", "us" if us else "gb", facts)
        self.ctx = Context(
            self.plot, facts, season, day, datetime(day.year, day.month, day.day, 9), "ines", say, memory or Memory()
        )

    def ask(self, intent: str, text: str = "", **fields: Any) -> Reply:
        reply = handler_for(intent)(Request(intent, text=text, **fields), self.ctx)
        assert reply.headline.endswith((".", "?")), reply.headline
        assert "None" not in plain_text(reply)
        assert len([reply.headline, *reply.lines]) <= 12, plain_text(reply)
        assert not reply.events
        return reply


@pytest.mark.parametrize("day", SEASONS)
@pytest.mark.parametrize("intent", ["sow_now", "fits_bed", "when_harvest", "plan", "seed_order", "rotation"])
def test_they_answer_in_every_season_on_the_demo_and_in_the_south(facts: Facts, intent: str, day: date) -> None:
    for place in (None, SOUTH):
        reply = Garden(facts, day, place=place).ask(intent)
        assert intent in reply.data


@pytest.mark.parametrize("intent", ["sow_now", "fits_bed", "when_harvest", "plan", "seed_order"])
def test_without_a_place_they_ask_for_it(facts: Facts, intent: str) -> None:
    reply = Garden(facts, SEASONS[0], Plot()).ask(intent)
    assert reply.wants == "place"


@pytest.mark.parametrize("intent", ["sow_now", "fits_bed", "when_harvest", "plan", "seed_order", "rotation"])
def test_an_empty_plot_is_answered_too(facts: Facts, intent: str) -> None:
    plot = Plot(settings=Settings(place=PlotPlace(45.05, 3.9, 880.0)))
    assert Garden(facts, SEASONS[1], plot).ask(intent).headline


def test_fits_bed_gives_five_offers_two_misses_and_their_figures(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1]).ask("fits_bed", "what fits the empty bed")
    data = reply.data["fits_bed"]
    assert data["bed"] == "bed-3"
    assert len(data["offers"]) >= 5
    assert len(data["near_misses"]) >= 2
    for offer in data["offers"]:
        assert set(offer) >= {
            "crop",
            "method",
            "under_cover",
            "count",
            "in_row_cm",
            "between_rows_cm",
            "first_harvest",
            "last_harvest",
            "reason",
        }
        assert date.fromisoformat(offer["first_harvest"]) <= date.fromisoformat(offer["last_harvest"])
        assert offer["count"] > 0 and offer["reason"]
    for miss in data["near_misses"]:
        assert miss["failed"] and miss["detail"]
    assert "Bed 3" in reply.headline


def test_the_bed_that_is_full_says_so(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1]).ask("fits_bed", "what fits bed 2", beds=("bed-2",))
    if reply.data["fits_bed"]["offers"] == []:
        assert "full" in reply.headline
        assert any("after" in choice.says for choice in reply.choices)


def test_after_the_garlic_starts_when_it_is_lifted(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1]).ask("fits_bed", "what can go in after the garlic comes out", crops=("garlic",))
    assert "garlic is out by" in plain_text(reply)
    starts = {date.fromisoformat(o["begin"]) for o in reply.data["fits_bed"]["offers"]}
    assert min(starts) > date(2026, 6, 25)


def test_a_typed_size_counts(facts: Facts) -> None:
    small = Garden(facts, SEASONS[1]).ask("fits_bed", "what fits a 1x1 bed", size_m=(1.0, 1.0)).data["fits_bed"]
    assert small["area_m2"] == 1.0
    assert all(o["count"] <= 700 for o in small["offers"])


def test_a_month_named_is_taken(facts: Facts) -> None:
    may = When(date(2026, 5, 1), date(2026, 5, 31), "in May")
    reply = Garden(facts, SEASONS[0]).ask("sow_now", "what can I sow in May", when=may)
    assert "in May" in reply.headline
    assert "runner-bean" in {o["crop"] for o in reply.data["sow_now"]["offers"]}


def test_stumps_are_minded(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1]).ask(
        "fits_bed", "what can I plant among the cabbage stumps in bed 3", beds=("bed-3",)
    )
    assert any("stumps" in line for line in reply.lines)


def test_several_empty_beds_take_the_first_and_say_so(facts: Facts) -> None:
    beds = {n: Bed(n, n.title(), length_m=2, width_m=1) for n in ("one", "two")}
    plot = Plot(settings=Settings(place=PlotPlace(51.5, -0.7, 30.0)), beds=beds)
    reply = Garden(facts, SEASONS[1], plot).ask("fits_bed")
    assert "One" in reply.headline
    assert "Two is empty too." in reply.lines
    assert any(choice.says == "what fits Two now" for choice in reply.choices)


def test_us_words_and_units(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1], us=True).ask("fits_bed")
    said = plain_text(reply)
    assert " in each way" in said or " in apart" in said
    assert " cm" not in said
    assert "courgette" not in said.lower()


@pytest.mark.parametrize(
    ("crop", "day", "word"),
    [
        ("runner-bean", date(2026, 8, 1), "begun now, ready"),
        ("potato", date(2026, 5, 2), "stood there"),
        ("carrot", date(2026, 1, 10), "too soon"),
    ],
)
def test_why_not_gives_the_failed_test(facts: Facts, crop: str, day: date, word: str) -> None:
    reply = Garden(facts, day).ask("why_not", f"why not {crop}", crops=(crop,), beds=("bed-3",))
    assert word in reply.headline
    assert reply.data["why_not"]["failed"] in ("season", "rotation", "time", "cold")
    assert reply.working


def test_why_not_owns_up_when_it_would_do(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1]).ask("why_not", "why not kale", crops=("kale",))
    assert reply.headline.startswith("Yes")
    assert reply.data["why_not"]["offer"]["count"] > 0


def test_why_not_keeps_to_the_bed_just_talked_of(facts: Facts) -> None:
    memory = Memory(requests=(Request("fits_bed", beds=("tunnel",)),))
    reply = Garden(facts, SEASONS[2], memory=memory).ask("why_not", "why not tomatoes", crops=("tomato",))
    assert "Tunnel" in reply.headline


@pytest.mark.parametrize(
    ("crop", "methods"),
    [
        ("leek", {"module", "direct", "plants"}),
        ("garlic", {"cloves"}),
        ("potato", {"tubers"}),
        ("onion", {"sets", "direct", "module", "plants"}),
    ],
)
def test_when_sow_gives_windows(facts: Facts, crop: str, methods: set[str]) -> None:
    reply = Garden(facts, SEASONS[0]).ask("when_sow", f"when to sow {crop}", crops=(crop,))
    windows = reply.data["when_sow"]["windows"]
    assert {w["method"] for w in windows} == methods
    for window in windows:
        assert len(window["from"]) == len(window["to"]) == 5


def test_when_sow_sends_tender_fruit_under_a_roof_here(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[0]).ask("when_sow", "when do I sow aubergines", crops=("aubergine",))
    assert "tunnel" in plain_text(reply).lower()
    assert all(w["under_cover"] for w in reply.data["when_sow"]["windows"] if w["method"] == "plants")


def test_when_sow_of_a_group_draws_a_strip(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[0]).ask("when_sow", "when to sow roots", group="roots", crops=("carrot", "parsnip"))
    assert reply.draw is not None and reply.draw().startswith(b"\x89PNG")


def test_when_harvest_from_the_record(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1]).ask("when_harvest", "when are the tomatoes ready", crops=("tomato",))
    data = reply.data["when_harvest"]
    assert "Tunnel" in reply.headline
    assert date(2026, 7, 1) < date.fromisoformat(data["from"]) < date(2026, 8, 31)
    assert any(line.startswith("How to tell") for line in reply.lines)


def test_when_harvest_of_what_is_not_growing_takes_the_next_sowing(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1]).ask("when_harvest", "when would parsnips be ready", crops=("parsnip",))
    assert reply.data["when_harvest"]["from"] > "2026-08"


def test_ready_now_names_beds_and_signs(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[2]).ask("when_harvest", "what is ready now")
    assert reply.headline.startswith("Ready now: ")
    ready = {row["crop"] for row in reply.data["when_harvest"]["ready"]}
    assert {"runner-bean", "tomato", "courgette"} <= ready


@pytest.mark.parametrize(
    ("fields", "word"),
    [
        ({"crops": ("kale",), "beds": ("bed-1",)}, "Better not"),
        ({"crops": ("leek", "potato"), "text": "can leeks follow potatoes"}, "Yes"),
        ({"crops": ("garlic",)}, "After garlic"),
        ({"beds": ("bed-3",)}, "In Bed 3"),
        ({"crops": ("onion", "leek"), "text": "leeks after onions"}, "Better not"),
    ],
)
def test_rotation(facts: Facts, fields: dict[str, Any], word: str) -> None:
    assert Garden(facts, SEASONS[1]).ask("rotation", **fields).headline.startswith(word)


@pytest.mark.parametrize(
    ("crops", "word"),
    [
        (("onion", "french-bean"), "No real effect"),
        (("carrot",), "Helps"),
        (("tomato", "potato"), "Keep apart"),
        (("leek", "beetroot"), "I know of no good evidence"),
        (("chard",), "No neighbour"),
    ],
)
def test_companions_come_with_evidence(facts: Facts, crops: tuple[str, ...], word: str) -> None:
    reply = Garden(facts, SEASONS[1]).ask("companion", crops=crops)
    assert reply.headline.startswith(word)
    if word in ("Helps", "Keep apart"):
        assert any("Evidence" in line for line in reply.lines)


def test_the_plan_keeps_families_apart_and_draws_itself(facts: Facts) -> None:
    garden = Garden(facts, date(2026, 1, 10))
    reply = garden.ask("plan", "plan next season")
    beds = reply.data["plan"]["beds"]
    assert {b["bed"] for b in beds} >= {"bed-1", "bed-2", "bed-3", "bed-4"}
    open_ground = [b["group"] for b in beds if b["bed"].startswith("bed")]
    assert len(set(open_ground)) >= 3
    assert reply.draw is not None and reply.draw().startswith(b"\x89PNG")


def test_the_seed_order_leaves_out_good_seed_in_the_tin(facts: Facts) -> None:
    data = Garden(facts, date(2026, 1, 10)).ask("seed_order").data["seed_order"]
    assert data["buy"]
    assert not set(data["buy"]) & set(data["have"])


def test_unknown_crops_and_beds_are_asked_about(facts: Facts) -> None:
    garden = Garden(facts, SEASONS[1])
    assert "leek" in garden.ask("why_not", unknown_crop="leak").headline.lower()
    assert garden.ask("fits_bed", unknown_bed="bed 9").wants == "bed"
    assert garden.ask("when_sow", crop_choices=("french-bean", "runner-bean")).choices


def test_one_crop_named_is_judged_alone(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1]).ask("fits_bed", "and peas in bed 3?", crops=("pea",), beds=("bed-3",))
    assert reply.data["why_not"]["crop"] == "pea"


def test_a_wish_that_cannot_be_met_is_said(facts: Facts) -> None:
    plot = Plot(
        settings=Settings(place=PlotPlace(45.05, 3.9, 1400.0)), beds={"b": Bed("b", "B", length_m=4, width_m=1.2)}
    )
    reply = Garden(facts, date(2026, 6, 10), plot).ask("fits_bed", wishes=("hungry-gap",))
    assert reply.headline.startswith("Nothing for the hungry gap")
    assert reply.data["fits_bed"]["offers"]


def test_leeks_that_stand_in_the_record_are_ready_all_winter(facts: Facts) -> None:
    for day in (date(2026, 1, 20), date(2026, 2, 20)):
        reply = Garden(facts, day).ask("when_harvest", "when are the leeks ready", crops=("leek",))
        assert "ready now" in reply.headline


def test_the_tunnel_alone_when_the_tunnel_is_named(facts: Facts) -> None:
    reply = Garden(facts, SEASONS[1]).ask("sow_now", "in the tunnel?", beds=("tunnel",))
    assert "in the polytunnel" in reply.headline
    assert all(o["under_cover"] for o in reply.data["sow_now"]["offers"])


def test_an_open_bed_named_is_filled_like_any_bed(facts: Facts) -> None:
    assert "fits_bed" in Garden(facts, SEASONS[1]).ask("sow_now", "what can I sow in bed 3", beds=("bed-3",)).data


def test_green_manures_when_asked_for(facts: Facts) -> None:
    group = facts.groups.named("green manures")
    assert group is not None
    reply = Garden(facts, SEASONS[2]).ask(
        "sow_now", "what green manure", group="green-manures", crops=tuple(group.crops)
    )
    assert "winter-rye" in {o["crop"] for o in reply.data["sow_now"]["offers"]}


@pytest.mark.parametrize(("text", "kept"), [("what can I sow outdoors", False), ("what can I sow under cover", True)])
def test_outdoors_and_under_cover_are_kept_apart(facts: Facts, text: str, kept: bool) -> None:
    offers = Garden(facts, SEASONS[0]).ask("sow_now", text).data["sow_now"]["offers"]
    assert offers
    covered = {o["under_cover"] for o in offers if o["method"] in ("module", "indoors")}
    assert (covered == {True}) if kept else not covered


def test_a_crop_off_the_record_is_told_for_this_season(facts: Facts) -> None:
    plot = Plot(settings=Settings(place=PlotPlace(53.3, -6.2, 30.0)))
    reply = Garden(facts, date(2026, 8, 20), plot).ask("when_harvest", "when are potatoes ready", crops=("potato",))
    assert reply.data["when_harvest"]["from"].startswith("2026")


def test_a_cool_year_that_fails_is_not_given_a_date(facts: Facts) -> None:
    reply = Garden(facts, date(2026, 7, 14)).ask("when_harvest", "when is the sweetcorn ready", crops=("sweetcorn",))
    assert "2027" not in plain_text(reply)


def test_what_follows_a_crop_is_told_whether_or_not_it_is_on_record_in_the_bed() -> None:
    from datetime import date

    from bot.app import open_bot

    with open_bot(demo=True, today=date(2026, 7, 15)) as bot:
        assert bot.turn("what can follow potatoes in bed 2").headline.startswith("After potatoes")
        assert "kale follows potatoes" in bot.turn("can kale follow potatoes in bed 2").headline
