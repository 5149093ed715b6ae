"""Units, wording, the weekly summary, sharing, export, erasing, and plain talk."""

from __future__ import annotations

from datetime import date

import pytest

from bot.handlers.context import Memory
from bot.handlers.settings_handlers import day_said, time_said, units_said
from bot.reply import ask
from bot.request import Request
from tests.handlers.plotting import Garden, on, says


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("use pounds and ounces", "us"),
        ("talk to me in inches", "us"),
        ("switch to metric", "metric"),
        ("I'd rather have celsius", "metric"),
        ("american units please", "us"),
        ("can you use fahrenheit", "us"),
        ("kilos not pounds", "metric"),
        ("change units to us", "us"),
        ("i don't do centimetres", "us"),
        ("go back to grams", "metric"),
        ("english spelling and metric", "metric"),
        ("hello", None),
    ],
)
def test_units_are_heard(text: str, units: str | None) -> None:
    assert units_said(text.lower()) == units


def test_units_change_what_is_said_from_then_on() -> None:
    garden = Garden()
    reply = garden.tell("set_units", "use pounds and ounces")
    assert reply.headline == "From now on: pounds, inches and °F." and reply.events[0].data == {"units": "us"}
    assert garden.tell("set_units", "use metric").events == ()  # Garden says in its own units: metric already


@pytest.mark.parametrize(
    ("text", "wording"),
    [("say zucchini not courgette", "us"), ("british words please, not eggplant", "gb"), ("use american words", "us")],
)
def test_wording_is_heard(text: str, wording: str) -> None:
    garden = Garden(words="gb" if wording == "us" else "us")
    assert garden.tell("set_units", text).events[0].data == {"wording": wording}


def test_units_unsaid_are_asked_for() -> None:
    reply = Garden().tell("set_units", "change the units")
    assert not reply.events and "use metric" in says(reply)


@pytest.mark.parametrize(
    ("text", "day", "time"),
    [
        ("send the summary on sundays", 6, None),
        ("weekly message at 7 in the morning please", None, "07:00"),
        ("can the summary come on friday evening", 4, "18:00"),
        ("every monday at 8 would suit me better", 0, "08:00"),
        ("remind me weekly, sunday night", 6, "20:00"),
        ("summary 18:30 wednesdays", 2, "18:30"),
        ("saterday at 9pm", 5, "21:00"),
        ("sunday at 12 am", 6, "00:00"),
        ("at 7 in the evening", None, "19:00"),
        ("summary at 25:99", None, None),
        ("the summary", None, None),
    ],
)
def test_days_and_times_are_heard(text: str, day: int | None, time: str | None) -> None:
    assert (day_said(text), time_said(text)) == (day, time)


def test_the_summary_is_moved_stopped_and_started() -> None:
    garden = Garden()
    assert (
        garden.tell("set_summary", "summary on sunday at 18:00").headline
        == "The weekly summary comes on Sunday at 18:00."
    )
    assert (garden.plot.settings.summary_day, garden.plot.settings.summary_time) == (6, "18:00")
    assert garden.tell("set_summary", "stop the weekly summary").headline == "No more weekly summaries."
    assert garden.plot.settings.summary_day is None
    assert garden.tell("set_summary", "no more round-ups").headline == "The weekly summary is stopped already."
    assert (
        garden.tell("set_summary", "start the summaries again").events and garden.plot.settings.summary_day is not None
    )
    assert not garden.tell("set_summary", "change the summary").events
    assert garden.tell("set_summary", "change it", when=on(date(2026, 9, 28))).events[0].data["summary_day"] == 0


def test_an_invitation_is_left_to_the_caller_to_make() -> None:
    reply = Garden().tell("share_plot", "give me an invite code")
    assert reply.effects == ("invite",) and not reply.events


def test_people_are_named_and_removed_after_a_yes() -> None:
    garden = Garden()
    assert garden.tell("share_plot", "who else can see this plot").headline == "You share this plot with Tomas."
    asked = garden.tell("share_plot", "remove Tomas from the plot")
    assert not asked.events and asked.headline == "Take Tomas off this plot?"
    assert garden.tell("share_plot", "remove Tomas from the plot", flags=frozenset({"yes"})).events[0].data == {
        "person": "tomas"
    }
    assert garden.plot.people == ("ines",)
    assert "nobody to take off" in garden.tell("share_plot", "remove Jo").headline
    assert says(Garden().tell("share_plot", "kick out the lodger")) == ["remove Tomas from the plot"]


def test_export_hands_over_and_says_how_much() -> None:
    reply = Garden().tell("export_data")
    assert reply.effects == ("export",) and "entries" in reply.headline
    assert Garden(empty=True).tell("export_data").effects == ()


def test_erasing_needs_the_question_and_the_yes() -> None:
    garden = Garden()
    assert garden.tell("delete_data", "yes, erase everything", flags=frozenset({"yes"})).effects == (), (
        "a yes out of the blue"
    )
    garden.memory = Memory()
    asked = garden.tell("delete_data", "delete my data")
    assert asked.effects == () and says(asked) == ["yes, erase everything", "no", "export my data"]
    assert "gone for everyone" in asked.lines[0]
    assert garden.tell("delete_data", "no", flags=frozenset({"no"})).effects == ()
    garden.tell("delete_data", "delete my data")
    assert garden.tell("delete_data", "yes, erase everything").effects == ("erase",)


def test_a_yes_after_something_else_was_said_erases_nothing() -> None:
    garden = Garden()
    garden.tell("delete_data", "delete my data")
    garden.tell("plot")
    assert garden.tell("delete_data", "yes, erase everything").effects == ()
    garden.memory = Memory(reply=ask("Which bed?", waiting=Request("log_sow")))
    assert garden.tell("delete_data", "yes, erase everything").effects == ()


def test_help_teaches_the_four_uses_from_this_plot() -> None:
    reply = Garden().tell("help")
    text = " ".join(reply.lines)
    assert [line.split(":")[0] for line in reply.lines[:4]] == [
        "Ask what to do",
        "Tell me what you did, and I keep it",
        "Keep the harvest",
        "Look back",
    ]
    assert "what fits Bed 3" in text and "from Bed 2" in text and "-9 °C" in text and reply.more
    american = " ".join(Garden(units="us", words="us").tell("help").lines)
    assert "2 lb" in american and "°F" in american and "how many pounds of" in american
    assert "add a bed" in says(Garden(empty=True).tell("help"))


def test_a_greeting_says_one_useful_thing() -> None:
    assert Garden().tell("greeting").headline == "Good afternoon. Bed 3 is empty; shall we fill it?"
    assert Garden(empty=True).tell("greeting").headline == "Good afternoon. I am Riddle, for your kitchen garden."
    assert Garden().tell("thanks").headline == "You're welcome."


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("🌱🌱🌱", {}),
        ("??", {}),
        ("<script>alert(1)</script>", {}),
        ("'; DROP TABLE events; --", {}),
        ("x" * 10_000, {}),
        ("\x00\x07\x1b[31m", {}),
        ("kale", {"crops": ("kale",)}),
        ("bed 2", {"beds": ("bed-2",)}),
        ("yes", {"flags": frozenset({"yes"})}),
    ],
)
def test_whatever_comes_the_answer_is_calm_and_nothing_is_recorded(text: str, fields: dict[str, object]) -> None:
    for intent in (
        ("none", "log_note", "history", "plot", "undo", "set_bed", "log_harvest") if not text.isalpha() else ("none",)
    ):
        garden = Garden(author="guest")
        reply = garden.tell(intent, text, **fields)
        assert intent == "log_note" or not reply.events
        assert len(reply.headline) < 300
