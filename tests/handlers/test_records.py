"""Pickings and clearings: what is recorded, what is said back, and what is refused."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bot.plot.events import NewEvent
from bot.request import Quantity
from tests.handlers.plotting import TODAY, Garden, kg, n, on, says


def test_a_weighed_picking_is_echoed_with_its_season_total() -> None:
    garden = Garden()
    before = sum(h.kg or 0 for h in garden.plot.standing(crop="runner-bean")[0].harvests)
    reply = garden.tell("log_harvest", crops=("runner-bean",), beds=("bed-2",), quantities=kg(2.3))
    assert reply.headline == f"Picked 2.3 kg of runner beans from Bed 2, today. Season total {before + 2.3:.1f} kg."
    (event,) = reply.events
    assert (event.kind, event.crop, event.bed, event.amount, event.unit, event.day) == (
        "harvested",
        "runner-bean",
        "bed-2",
        2.3,
        "kg",
        TODAY,
    )
    assert garden.plot.standing(crop="runner-bean")[0].harvests[-1].kg == 2.3
    assert "how do I freeze runner beans" in says(reply)


def test_the_same_in_us_units_and_words() -> None:
    garden = Garden(units="us", words="us")
    reply = garden.tell("log_harvest", crops=("courgette",), quantities=kg(0.90718474, "2 lb"))
    assert reply.headline.startswith("Picked 2 lb of zucchini from Bed 4, today. Season total 13.5 lb")
    assert reply.events[0].amount == pytest.approx(0.90718474)


def test_without_a_bed_the_only_one_it_stands_in_is_taken() -> None:
    assert Garden().tell("log_harvest", crops=("tomato",)).events[0].bed == "tunnel"


def test_in_several_beds_it_asks_which_and_records_nothing() -> None:
    garden = Garden()
    garden.record(NewEvent("planted_out", TODAY - timedelta(60), crop="kale", bed="bed-4"))
    reply = garden.tell("log_harvest", crops=("kale",), quantities=kg(0.5))
    assert not reply.events and reply.wants == "bed"
    assert says(reply) == ["picked 0.5 kg of kale from Bed 1", "picked 0.5 kg of kale from Bed 4"]


@pytest.mark.parametrize(("bed", "crop"), [("bed-2", "runner-bean"), (None, "runner-bean")])
def test_beans_are_the_beans_that_stand(bed: str | None, crop: str) -> None:
    reply = Garden().tell(
        "log_harvest",
        "picked beans",
        crop_choices=("french-bean", "runner-bean", "broad-bean"),
        beds=(bed,) if bed else (),
        quantities=kg(1),
    )
    assert [e.crop for e in reply.events] == [crop]


def test_beans_when_none_stand_are_asked_about() -> None:
    reply = Garden(empty=True).tell(
        "log_harvest", "picked beans", crop_choices=("french-bean", "runner-bean"), quantities=kg(1)
    )
    assert reply.headline == "Which beans?" and not reply.events and reply.wants == "crop"
    assert says(reply) == ["picked 1 kg of French beans", "picked 1 kg of runner beans"]


def test_counted_and_unweighed_pickings_are_kept() -> None:
    garden = Garden()
    assert (
        garden.tell("log_harvest", crops=("sweetcorn",), quantities=n(6)).headline
        == "Picked 6 sweetcorn from Bed 2, today."
    )
    assert (
        garden.tell("log_harvest", crops=("chard",), quantities=n(1, "bag")).headline
        == "Picked 1 bag of chard from Bed 4, today."
    )
    assert garden.tell("log_harvest", crops=("leek",)).headline == "Picked leeks from Bed 4, today."
    assert [h.amount for h in garden.plot.harvests[-3:]] == [6, 1, None]


def test_two_crops_with_two_weights_are_both_kept() -> None:
    reply = Garden().tell("log_harvest", crops=("tomato", "pepper-sweet"), quantities=(*kg(2), *kg(0.5)))
    assert [(e.crop, e.amount, e.bed) for e in reply.events] == [
        ("tomato", 2, "tunnel"),
        ("pepper-sweet", 0.5, "tunnel"),
    ]


def test_one_weight_for_two_crops_is_asked_about() -> None:
    reply = Garden().tell("log_harvest", crops=("tomato", "pepper-sweet"), quantities=kg(2))
    assert not reply.events and says(reply) == ["picked 2 kg of tomatoes", "picked 2 kg of sweet peppers"]


def test_a_bed_that_does_not_hold_the_crop_is_said_and_can_be_mended() -> None:
    reply = Garden().tell("log_harvest", crops=("kale",), beds=("bed-3",), quantities=kg(0.4))
    assert reply.events[0].bed == "bed-3"
    assert "I have kale down in Bed 1, not Bed 3." in reply.lines and says(reply)[0] == "no, Bed 1"


def test_a_crop_never_recorded_is_kept_all_the_same() -> None:
    reply = Garden().tell("log_harvest", crops=("parsnip",), quantities=kg(1))
    assert reply.events[0].bed is None and "kept all the same" in reply.lines[0]


@pytest.mark.parametrize(
    "fields",
    [
        {"when": on(TODAY + timedelta(1))},
        {"when": on(TODAY + timedelta(1), TODAY + timedelta(3))},
        {"quantities": kg(-3)},
        {"quantities": kg(0)},
        {"quantities": kg(900)},
        {"quantities": n(5000)},
        {"unknown_bed": "bed 9"},
        {"when": on(date(1999, 6, 1))},
    ],
)
def test_what_cannot_be_is_said_and_nothing_recorded(fields: dict[str, object]) -> None:
    reply = Garden().tell("log_harvest", crops=("runner-bean",), **fields)
    assert reply.events == ()
    assert "nothing" in " ".join((reply.headline, *reply.lines)).lower() or reply.choices


def test_harvest_tomorrow_reads_well() -> None:
    reply = Garden().tell("log_harvest", crops=("tomato",), when=on(TODAY + timedelta(1)))
    assert reply.headline == "Tomorrow is still to come, so I recorded nothing."


def test_a_great_weight_is_kept_once_it_is_confirmed() -> None:
    garden = Garden()
    asked = garden.tell("log_harvest", crops=("potato",), quantities=kg(900))
    assert asked.waiting is not None and says(asked) == ["yes", "no"]
    assert (
        garden.tell("log_harvest", crops=("potato",), quantities=kg(900), flags=frozenset({"yes"})).events[0].amount
        == 900
    )


def test_an_unknown_bed_names_the_nearest_two() -> None:
    reply = Garden().tell("log_harvest", crops=("tomato",), unknown_bed="tunel bed", quantities=kg(2, "2 kg"))
    assert len(reply.choices) == 2 and reply.choices[0].says == "picked 2 kg of tomatoes from Tunnel"
    assert reply.headline.startswith("There is no 'tunel bed' here. Did you mean Tunnel or ")


def test_an_unknown_crop_names_the_nearest_two_and_may_be_kept_as_typed() -> None:
    garden = Garden()
    reply = garden.tell("log_harvest", unknown_crop="tomatillas", quantities=kg(2, "2 kg"))
    assert not reply.events and "tomatillo" in reply.choices[0].label and reply.choices[-1].says == "yes"
    kept = garden.tell("log_harvest", unknown_crop="sea holly", quantities=kg(2), flags=frozenset({"yes"}))
    assert kept.events[0].crop == "sea-holly" and "no facts about sea holly" in kept.lines[0]
    assert garden.plot.harvests[-1].crop == "sea-holly"


def test_a_span_of_days_past_takes_its_last_day() -> None:
    reply = Garden().tell("log_harvest", crops=("tomato",), when=on(TODAY - timedelta(6), TODAY - timedelta(5)))
    assert reply.events[0].day == TODAY - timedelta(5)


def test_nothing_named_offers_what_is_being_picked() -> None:
    reply = Garden().tell("log_harvest", beds=("bed-2",), quantities=kg(3, "3 kg"))
    assert reply.headline == "What did you pick?"
    assert says(reply) == ["picked 3 kg of sweetcorn from Bed 2", "picked 3 kg of runner beans from Bed 2"] or set(
        says(reply)
    ) == {"picked 3 kg of sweetcorn from Bed 2", "picked 3 kg of runner beans from Bed 2"}


def test_clearing_one_crop_leaves_the_other_and_offers_the_gap() -> None:
    garden = Garden()
    reply = garden.tell("log_clear", crops=("sweetcorn",), beds=("bed-2",))
    assert reply.headline == "Cleared sweetcorn from Bed 2, today." and "Bed 2 still holds runner beans." in reply.lines
    assert [p.crop for p in garden.plot.standing(bed="bed-2")] == ["runner-bean"]
    assert says(reply) == ["what fits the gap in Bed 2"]


def test_clearing_the_last_crop_says_the_bed_is_empty_and_what_it_gave() -> None:
    garden = Garden()
    garden.tell("log_clear", crops=("sweetcorn",))
    reply = garden.tell("log_clear", crops=("runner-bean",), quantities=())
    assert "Bed 2 is empty now." in reply.lines and any(
        line.startswith("The runner beans gave") for line in reply.lines
    )
    assert "bed-2" in [bed.id for bed in garden.plot.empty_beds()] and says(reply) == ["what fits Bed 2"]


def test_clearing_a_whole_bed_clears_all_that_stands() -> None:
    garden = Garden()
    reply = garden.tell("log_clear", beds=("bed-4",))
    assert len(reply.events) == 4 and garden.plot.standing(bed="bed-4") == ()


def test_fruit_is_not_cleared_without_a_yes() -> None:
    garden = Garden()
    reply = garden.tell("log_clear", beds=("wall-bed",))
    assert not reply.events and reply.headline.startswith("The wall bed holds") and says(reply)[0] == "yes"
    assert len(garden.tell("log_clear", beds=("wall-bed",), flags=frozenset({"yes"})).events) == 6


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"crops": ("parsnip",)}, "no parsnips down as growing"),
        ({"beds": ("bed-3",)}, "empty already"),
        ({"crops": ("kale",), "beds": ("bed-3",)}, "no kale in Bed 3"),
        ({}, "What did you clear"),
    ],
)
def test_clearing_what_is_not_there_records_nothing(fields: dict[str, object], said: str) -> None:
    reply = Garden().tell("log_clear", **fields)
    assert reply.events == () and said in reply.headline


def test_clearing_a_crop_of_two_beds_asks_or_takes_all() -> None:
    garden = Garden()
    garden.record(NewEvent("planted_out", TODAY - timedelta(60), crop="kale", bed="bed-4"))
    assert says(garden.tell("log_clear", crops=("kale",))) == ["cleared kale from Bed 1", "cleared kale from Bed 4"]
    assert len(garden.tell("log_clear", crops=("kale",), flags=frozenset({"all"})).events) == 2


def test_picked_and_pulled_in_one_message_then_undone_together() -> None:
    garden = Garden()
    before = garden.plot
    picked = garden.tell("log_harvest", crops=("runner-bean",), beds=("bed-2",), quantities=kg(2.3))
    del garden.events[-len(picked.events) :]
    cleared = garden.tell("log_clear", crops=("sweetcorn",))
    del garden.events[-len(cleared.events) :]
    garden.record(*picked.events, *cleared.events)
    reply = garden.tell("undo")
    assert (
        reply.headline
        == "Taken back: picked 2.3 kg of runner beans from Bed 2, today; and cleared sweetcorn from Bed 2, today."
    )
    after = garden.plot
    assert (after.plantings, after.harvests, after.journal) == (before.plantings, before.harvests, before.journal)


@pytest.mark.parametrize(
    ("intent", "fields"),
    [
        ("log_harvest", {"crops": ("potato",), "quantities": kg(900)}),
        ("log_clear", {"beds": ("wall-bed",)}),
        ("log_sow", {"crops": ("carrot",)}),
        ("set_bed", {"text": "delete bed 4", "beds": ("bed-4",)}),
        ("add_bed", {"text": "add a bed", "size_m": (40.0, 3.0)}),
    ],
)
def test_a_no_ends_it_and_records_nothing(intent: str, fields: dict[str, object]) -> None:
    garden = Garden()
    assert garden.tell(intent, **fields).waiting is not None
    reply = garden.tell(intent, **fields, flags=frozenset({"no"}))
    assert reply.headline.startswith("All right, nothing is") and not reply.events and not reply.choices


def test_a_crop_kept_as_typed_still_needs_its_bed() -> None:
    garden = Garden()
    garden.tell("log_sow", unknown_crop="sea holly")
    reply = garden.tell("log_sow", unknown_crop="sea holly", flags=frozenset({"yes"}))
    assert reply.wants == "bed" and reply.waiting is not None and reply.waiting.crops == ("sea-holly",)


def test_a_few_is_kept_as_said_and_never_counted() -> None:
    garden = Garden()
    few = (Quantity(3, "count", "a few", approximate=True),)
    reply = garden.tell("log_harvest", crops=("chard",), quantities=few)
    assert reply.headline == "Picked a few chard from Bed 4, today." and reply.events[0].amount is None
    assert garden.tell("log_harvest", crops=("sweetcorn",), quantities=n(2, words="a couple of")).events[0].amount == 2


def test_a_picking_too_soon_after_sowing_is_remarked_on() -> None:
    reply = Garden(date(2026, 6, 17)).tell("log_harvest", crops=("runner-bean",), quantities=kg(2.3))
    assert reply.events and reply.lines[0] == "I have them down as sown only 17 days before."
    assert not any("only" in line for line in Garden().tell("log_harvest", crops=("runner-bean",)).lines)
