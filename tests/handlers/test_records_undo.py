"""Undo, corrections and notes."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.facts import Facts
from bot.handlers.undoing import note_text
from bot.plot.events import NewEvent
from bot.request import Quantity
from tests.handlers.plotting import TODAY, Garden, kg, n, on, says


def picked(garden: Garden) -> None:
    garden.tell("log_harvest", crops=("kale",), beds=("bed-1",), quantities=kg(2.3))


def test_undo_takes_back_this_persons_last_message_not_anothers() -> None:
    garden = Garden()
    picked(garden)
    garden.record(NewEvent("noted", TODAY, words="rain at last"), author="tomas")
    assert garden.tell("undo").headline == "Taken back: picked 2.3 kg of kale from Bed 1, today."
    assert garden.plot.journal[-1].words == "rain at last"


def test_undo_twice_goes_further_back() -> None:
    garden = Garden()
    picked(garden)
    garden.tell("log_note", "note: first")
    assert garden.tell("undo").headline == 'Taken back: the note "first".'
    assert garden.tell("undo").headline.startswith("Taken back: picked 2.3 kg of kale")


def test_someone_elses_record_is_taken_back_only_after_asking() -> None:
    garden = Garden(author="guest")
    reply = garden.tell("undo")
    assert not reply.events and "by Ines" in reply.headline and says(reply) == ["yes", "no"]
    assert not Garden(author="guest").tell("undo", flags=frozenset({"yes"})).events, (
        "a yes out of the blue does nothing"
    )
    assert garden.tell("undo", flags=frozenset({"yes"})).events


def test_nothing_to_take_back() -> None:
    assert Garden(empty=True).tell("undo").headline == "There is nothing to take back."


@pytest.mark.parametrize(
    ("fields", "changes"),
    [
        ({"beds": ("bed-4",)}, {"bed": "bed-4"}),
        ({"quantities": kg(3)}, {"amount": 3, "unit": "kg"}),
        ({"quantities": n(3)}, {"amount": 3, "unit": "kg"}),
        ({"crops": ("broccoli-sprouting",)}, {"crop": "broccoli-sprouting"}),
        ({"crops": ("chard",)}, {"crop": "chard", "bed": "bed-4"}),  # the one bed chard stands in
        ({"crops": ("kale", "chard")}, {"crop": "chard", "bed": "bed-4"}),  # "not kale, chard"
        ({"when": on(TODAY - timedelta(1))}, {"day": (TODAY - timedelta(1)).isoformat()}),
        ({"variety": "Red Russian"}, {"variety": "Red Russian"}),
    ],
)
def test_a_correction_changes_one_thing(fields: dict[str, object], changes: dict[str, object]) -> None:
    garden = Garden()
    picked(garden)
    reply = garden.tell("correct_last", "no", **fields)
    (event,) = reply.events
    assert event.data["changes"] == changes and event.refs == (len(garden.events) - 1,)
    assert "It said: picked 2.3 kg of kale from Bed 1, today." in reply.headline
    last = garden.plot.journal[-1]
    assert last.kind == "harvested" and all(getattr(last, k) == v or k == "day" for k, v in changes.items())


def test_a_correction_is_undone_by_itself() -> None:
    garden = Garden()
    picked(garden)
    garden.tell("correct_last", beds=("bed-4",))
    assert garden.tell("undo").headline.startswith("Taken back: the change to: picked 2.3 kg of kale from Bed 4")
    assert garden.plot.journal[-1].bed == "bed-1"


def test_what_was_only_carried_over_from_earlier_is_no_correction() -> None:
    garden = Garden()
    picked(garden)
    reply = garden.tell("correct_last", crops=("chard",), inherited=("crops",))
    assert not reply.events and reply.wants == "correction" and "picked 2.3 kg of kale" in reply.lines[0]


def test_grams_and_pounds_follow_the_record() -> None:
    garden = Garden()
    garden.tell("log_harvest", crops=("kale",), quantities=kg(0.4))
    garden.tell("correct_last", quantities=n(450))
    assert garden.plot.journal[-1].amount == pytest.approx(0.45)
    american = Garden(units="us")
    american.tell("log_harvest", crops=("kale",), quantities=kg(0.907))
    american.tell("correct_last", quantities=n(3))
    assert american.plot.journal[-1].amount == pytest.approx(1.36077711)


def test_a_wrong_correction_changes_nothing() -> None:
    for fields in ({"when": on(TODAY + timedelta(1))}, {"quantities": kg(-1)}, {"unknown_bed": "bed 99"}):
        garden = Garden()
        picked(garden)
        assert not garden.tell("correct_last", **fields).events


def test_the_same_again_is_said() -> None:
    garden = Garden()
    picked(garden)
    assert garden.tell("correct_last", beds=("bed-1",)).headline.startswith("It says that already")


def test_a_used_amount_is_corrected_in_the_store_too() -> None:
    garden = Garden()
    lot = next(lot for lot in garden.plot.lots if lot.crop == "runner-bean" and lot.left >= 4)
    garden.record(
        NewEvent(
            "used", TODAY, crop="runner-bean", amount=1, unit="bag", data={"product": "frozen", "lots": [[lot.id, 1]]}
        )
    )
    garden.tell("correct_last", quantities=(Quantity(2, "bag", "2 bags"),))
    assert next(x.left for x in garden.plot.lots if x.id == lot.id) == lot.left - 2


def test_nothing_of_mine_to_correct() -> None:
    assert not Garden(author="guest").tell("correct_last", beds=("bed-4",)).events


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("note: the gate hinge is loose", "the gate hinge is loose"),
        ("make a note that the peas look poor", "the peas look poor"),
        ("for the diary, swallows back today", "swallows back today"),
        ("put in the log that I mended the door", "I mended the door"),
        ("keep an eye on the peas", "keep an eye on the peas"),
        ("noted slugs", "noted slugs"),
        ("note", ""),
        ("<b>bold</b>; drop table", "<b>bold</b>; drop table"),
    ],
)
def test_the_note_is_what_is_left(text: str, note: str, facts: Facts) -> None:
    assert note_text(text, facts.asking.records.note_lead) == note


def test_a_note_stays_with_its_bed() -> None:
    garden = Garden()
    reply = garden.tell("log_note", "note: worms everywhere", beds=("tunnel",))
    assert (
        reply.headline == "Noted with the tunnel: worms everywhere."
        and garden.plot.standing(bed="tunnel")[0].notes[-1] == "worms everywhere"
    )
    assert not garden.tell("log_note", "note").events


def test_another_crop_and_amount_at_once_may_be_a_new_record_and_is_asked_about() -> None:
    garden = Garden()
    picked(garden)
    fields = {"crops": ("leek",), "quantities": n(16), "when": on(TODAY - timedelta(1), words="yesterday")}
    reply = garden.tell("correct_last", "16 leeks up yesterday", **fields)
    assert not reply.events and says(reply) == ["picked 16 leeks yesterday", "I meant 16 leeks yesterday"]
    assert garden.tell("correct_last", "I meant 16 leeks yesterday", **fields).events
    last = garden.plot.journal[-1]
    assert (last.crop, last.amount, last.unit, last.bed) == ("leek", 16, "count", "bed-4")


def test_what_came_out_of_the_stores_is_not_turned_into_another_crop() -> None:
    garden = Garden()
    lot = next(lot for lot in garden.plot.lots if lot.crop == "runner-bean" and lot.left >= 4)
    garden.record(NewEvent("used", TODAY, crop="runner-bean", amount=1, unit="bag", data={"lots": [[lot.id, 1]]}))
    assert not garden.tell("correct_last", "no, peas", crops=("pea",)).events
