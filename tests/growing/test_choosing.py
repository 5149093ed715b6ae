from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.facts import Facts
from bot.growing.choosing import choose, explain
from bot.growing.outcomes import Miss, Offer
from bot.growing.space import Place
from bot.growing.trial import attempt, trial_for, ways
from bot.growing.wishes import Wishes, read_wishes, wishes_of
from bot.plot.state import Bed, Plot, PlotPlace, SeedLot
from bot.request import Request
from bot.season import season_for
from tests.growing.places import BED, DEMO, ENGLAND, SEVILLE, TASMANIA, chosen, grown, trial

JUNE, SEPTEMBER = date(2026, 6, 10), date(2026, 9, 25)


@pytest.mark.parametrize("place", [DEMO, ENGLAND, SEVILLE, TASMANIA])
@pytest.mark.parametrize("month", [4, 5, 6, 8, 9, 10])
def test_the_growing_months_always_have_something(facts: Facts, place: PlotPlace, month: int) -> None:
    found = chosen(facts, date(2026, month, 15), place, days=14)
    assert len(found.offers) >= (3 if month >= 9 else 5)
    assert len(found.near_misses) >= 2


def test_an_offer_is_whole(facts: Facts) -> None:
    for offer in chosen(facts, JUNE).offers:
        assert offer.layout.count > 0
        assert JUNE <= offer.start <= offer.early <= offer.first <= offer.late
        assert offer.last > offer.first
        assert offer.closes >= JUNE
        assert 0.6 <= offer.chance <= 1


def test_kinds_are_mixed(facts: Facts) -> None:
    for month in (5, 6, 7):
        found = chosen(facts, date(2026, month, 15))
        assert len({offer.kind for offer in found.offers[:5]}) >= 3


def test_nothing_is_offered_outdoors_in_a_mountain_december(facts: Facts) -> None:
    found = chosen(facts, date(2026, 12, 20), days=14)
    assert found.offers == ()
    assert found.near_misses


def test_no_tender_crop_outdoors_in_autumn(facts: Facts) -> None:
    for day in (SEPTEMBER, date(2026, 10, 20), date(2026, 3, 1)):
        for offer in chosen(facts, day, days=14).offers:
            crop = facts.crops[offer.crop]
            assert crop.sowing is not None and crop.sowing.hardiness_class != "tender"


def test_too_late_says_when_it_would_be_ready_and_what_ends_it(facts: Facts) -> None:
    results = explain(trial(facts, date(2026, 7, 25)), "french-bean")
    miss = next(r for r in results if isinstance(r, Miss) and r.method == "direct")
    assert miss.failed == "season"
    assert miss.numbers["late"]
    assert miss.numbers["first"] > miss.numbers["weather_end"] - timedelta(days=40)


@pytest.mark.parametrize(
    ("crop", "day", "test"),
    [
        ("tomato", date(2026, 3, 1), "season"),
        ("carrot", date(2026, 1, 10), "season"),
        ("apple", date(2026, 11, 10), "permanent"),
    ],
)
def test_failed_tests_are_named(facts: Facts, crop: str, day: date, test: str) -> None:
    results = explain(trial(facts, day), crop)
    assert results
    assert all(isinstance(r, Miss) for r in results)
    assert results[0].failed == test  # type: ignore[union-attr]


def test_shade_keeps_fruit_out_and_lets_leaves_in(facts: Facts) -> None:
    shady = Bed("shady", "Shady", length_m=4, width_m=1.2, light="shade")
    found = chosen(facts, JUNE, bed=shady)
    assert not {"tomato", "courgette", "french-bean", "sweetcorn"} & {o.crop for o in found.offers}
    assert found.offers
    miss = attempt(facts.crops["courgette"], "plants", trial(facts, JUNE, bed=shady))
    assert isinstance(miss, Miss) and miss.failed == "light"
    assert miss.numbers["hours"] < miss.numbers["needs"]


def test_rotation_keeps_the_family_out(facts: Facts) -> None:
    record = Plot(beds={"bed": BED}, plantings=(grown("kale", "bed", date(2025, 5, 1), date(2026, 4, 1)),))
    found = chosen(facts, JUNE, plot=record)
    assert not [o for o in found.offers if facts.crops[o.crop].family.rotation_group == "brassicas" and not o.filler]
    miss = attempt(facts.crops["kale"], "plants", trial(facts, JUNE, plot=record))
    assert isinstance(miss, Miss) and miss.failed == "rotation" and miss.numbers["last_crop"] == "kale"


def test_a_booked_bed_wants_quick_crops(facts: Facts) -> None:
    place = Place(400, 120, BED, until=JUNE + timedelta(days=45), until_crop="leek")
    found = choose(trial(facts, JUNE, ground=place))
    assert found.offers
    assert all(o.first <= JUNE + timedelta(days=45) >= o.last for o in found.offers)


def test_a_small_gap_takes_no_squash(facts: Facts) -> None:
    found = choose(trial(facts, JUNE, ground=Place(40, 40, BED)))
    assert "winter-squash" not in {o.crop for o in found.offers}
    assert found.offers


def test_under_a_roof_tender_crops_come_first_in_may(facts: Facts) -> None:
    tunnel = Bed("tunnel", "Tunnel", kind="tunnel", length_m=6, width_m=3, cover="polytunnel")
    found = chosen(facts, date(2026, 5, 18), bed=tunnel)
    assert found.offers[0].crop == "tomato"
    assert found.offers[0].under_cover


@pytest.mark.parametrize(
    ("wish", "day"),
    [
        ("salads", JUNE),
        ("quick", JUNE),
        ("hungry-gap", SEPTEMBER),
        ("kids", JUNE),
        ("shade", JUNE),
        ("winter", date(2026, 7, 20)),
    ],
)
def test_wishes_decide(facts: Facts, wish: str, day: date) -> None:
    found = chosen(facts, day, wishes=read_wishes((wish,), (), facts), days=14)
    assert found.offers
    for offer in found.offers:
        if wish == "quick":
            assert offer.wait_days <= 65
        if wish == "hungry-gap":
            assert offer.in_hungry_gap
        if wish == "winter":
            assert offer.in_winter
        if wish == "salads":
            assert offer.crop in facts.groups.named("salads").crops + facts.groups.named("winter-salads").crops  # type: ignore[union-attr]


@pytest.mark.parametrize("word", ["brassicas", "kale", "Brassicaceae"])
def test_no_means_none(facts: Facts, word: str) -> None:
    wishes = read_wishes((f"no:{word}",), (), facts)
    assert "kale" in wishes.refused
    assert "kale" not in {o.crop for o in chosen(facts, JUNE, wishes=wishes).offers}


def test_a_group_word_keeps_to_its_crops(facts: Facts) -> None:
    roots = facts.groups.named("roots")
    assert roots is not None
    found = chosen(facts, JUNE, wishes=Wishes(only=frozenset(roots.crops)))
    assert found.offers
    assert {o.crop for o in found.offers} <= set(roots.crops)


def test_plants_waiting_and_seed_in_the_tin_count(facts: Facts) -> None:
    bare = {o.crop: o for o in choose(trial(facts, JUNE), count=40).offers}
    seed = Plot(beds={"bed": BED}, seeds=(SeedLot(1, "beetroot", year=2025),))
    with_seed = {o.crop: o for o in choose(trial(facts, JUNE, plot=seed), count=40).offers}
    assert with_seed["beetroot"].score >= bare["beetroot"].score
    assert "seed" in with_seed["beetroot"].notes


def test_fresh_manure_keeps_carrots_back(facts: Facts) -> None:
    from bot.plot.events import Event

    fed = Event("fed", date(2026, 4, 1), bed="bed", words="manure", data={"material": "manure"}, seq=1)
    manured = {
        o.crop: o for o in choose(trial(facts, JUNE, plot=Plot(beds={"bed": BED}, journal=(fed,))), count=60).offers
    }
    plain = {o.crop: o for o in choose(trial(facts, JUNE), count=60).offers}
    assert manured["carrot"].score < plain["carrot"].score
    assert "manured" in manured["carrot"].notes


def test_green_manures_stand_apart(facts: Facts) -> None:
    found = chosen(facts, SEPTEMBER)
    assert "winter-rye" in {o.crop for o in found.manures}
    assert not [o for o in found.offers if "green-manure" in facts.crops[o.crop].use]


def test_a_later_month_is_tried_from_its_first_good_day(facts: Facts) -> None:
    found = choose(trial(facts, date(2026, 5, 1), days=30), count=60)
    offer = next(o for o in found.offers if o.crop == "french-bean")
    assert offer.start > date(2026, 5, 10)


@settings(max_examples=25)
@given(
    st.floats(-55, 65),
    st.integers(0, 1500),
    st.integers(0, 364),
    st.sampled_from([None, "fleece", "polytunnel", "heated"]),
)
def test_any_temperate_place_gets_a_sane_answer(
    facts: Facts, lat: float, height: int, n: int, cover: str | None
) -> None:
    day = date(2026, 1, 1) + timedelta(days=n)
    season = season_for(PlotPlace(round(lat, 2), 10.0, float(height)), facts)
    work = trial_for(season, facts, Plot(), Place(300, 100), day, day + timedelta(days=14), cover)
    for offer in choose(work).offers:
        assert day <= offer.start <= day + timedelta(days=14)
        assert offer.start < offer.first < offer.start + timedelta(days=430)
        assert offer.first <= offer.last


def test_every_way_ends_in_an_offer_or_a_named_failure(facts: Facts) -> None:
    work = trial(facts, JUNE)
    known = {
        "season",
        "soil",
        "time",
        "cold",
        "bolting",
        "light",
        "rotation",
        "space",
        "booked",
        "permanent",
        "heat",
        "unknown",
    }
    for crop in facts.crops.values():
        if crop.sowing and crop.growth:
            for method in ways(crop, work):
                result = attempt(crop, method, work)
                assert isinstance(result, Offer) or result.failed in known


@pytest.mark.parametrize(
    ("text", "crops", "group", "refused"),
    [
        ("no brassicas in bed 4 please, what fits", ("kale", "rocket"), "brassicas", "kale"),
        ("what fits the tunnel but no beans", ("runner-bean",), None, "french-bean"),
        ("anything but courgettes for bed 3", ("courgette",), None, "courgette"),
        ("something other than peas", ("pea",), None, "pea"),
    ],
)
def test_refusals_are_read_from_the_words(
    facts: Facts, text: str, crops: tuple[str, ...], group: str | None, refused: str
) -> None:
    wishes = wishes_of(Request("fits_bed", text=text, crops=crops, group=group), (), facts)
    assert refused in wishes.refused
    assert not wishes.only


def test_a_group_that_is_a_wish_is_met_by_when_it_crops(facts: Facts) -> None:
    gap = facts.groups.named("hungry-gap-crops")
    assert gap is not None
    request = Request("fits_bed", text="for the hungry gap", crops=tuple(gap.crops), group="hungry-gap-crops")
    wishes = wishes_of(request, ("no:alliums",), facts)
    assert wishes.wanted == ("hungry-gap",)
    assert "garlic" in wishes.refused
    assert not wishes.only
