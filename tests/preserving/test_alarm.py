"""Poisoning, illness and suspect jars come first; questions about slugs and compost do not."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from bot.preserving.alarm import alarm
from bot.reply import plain_text
from bot.wording import Wording
from tests.preserving.kitchen import FACTS

CASES: dict[str, list[str]] = yaml.safe_load((Path(__file__).parent / "alarms.yaml").read_text(encoding="utf-8"))
FIRES = [(kind, text) for kind, texts in CASES.items() if kind != "none" for text in texts]


@pytest.mark.parametrize("kind,text", FIRES, ids=lambda v: v[:45])
def test_alarm_fires_with_its_answer(kind: str, text: str) -> None:
    reply = alarm(text)
    assert reply is not None, text
    assert reply.data["answer"] == kind
    assert not reply.events


@pytest.mark.parametrize("kind,text", FIRES, ids=lambda v: v[:45])
@pytest.mark.parametrize(
    "change", [str.upper, lambda t: f"  {t}...", lambda t: t.replace("'", "’"), lambda t: f"please help, {t}"]
)
def test_alarm_survives_shouting_and_haste(kind: str, text: str, change: object) -> None:
    assert alarm(change(text)) is not None  # type: ignore[operator]


@pytest.mark.parametrize("text", CASES["none"], ids=lambda v: v[:45] or "empty")
def test_no_alarm_for_ordinary_talk(text: str) -> None:
    assert alarm(text) is None


def test_answers_name_the_emergency_number_or_the_bin() -> None:
    for kind in ("emergency", "poison", "ate-suspect", "sap"):
        text = plain_text(alarm(CASES[kind][0]))  # type: ignore[arg-type]
        assert "112" in text and "999" in text and "911" in text
    assert "bin" in plain_text(alarm(CASES["jar"][0]))  # type: ignore[arg-type]
    assert "vomit" not in plain_text(alarm(CASES["poison"][0])).lower()  # type: ignore[arg-type]


@pytest.mark.parametrize("zone,number,emergency", [
    ("America/Chicago", "1-800-222-1222", "911"), ("America/Vancouver", "1-844-764-7669", "911"), ("Australia/Perth", "13 11 26", "000"),
    ("Pacific/Auckland", "0800 764 766", "111"), ("Europe/Dublin", "01 809 2166", "112 or 999"), ("Europe/London", "111", "999"),
    ("Europe/Paris", "112", "112"), ("Africa/Johannesburg", "0861 555 777", "112 or 10177"),
])
def test_the_numbers_are_those_of_the_plots_country_and_no_other(zone: str, number: str, emergency: str) -> None:
    said = plain_text(alarm("my toddler ate foxglove leaves", zone=zone))  # type: ignore[arg-type]
    assert number in said and emergency in said
    others = {"1-800-222-1222", "1-844-764-7669", "13 11 26", "0800 764 766", "01 809 2166", "0861 555 777"} - {number}
    assert not any(other in said for other in others)
    assert f"Here that is {emergency}." in plain_text(alarm("her speech is slurred and she is seeing double", zone=zone))  # type: ignore[arg-type]


def test_every_number_of_the_world_where_the_place_is_unknown() -> None:
    for zone in (None, "UTC", "Asia/Tokyo"):
        said = plain_text(alarm("my toddler ate foxglove leaves", zone=zone))  # type: ignore[arg-type]
        assert all(number in said for number in ("112", "1-800-222-1222", "13 11 26", "0800 764 766"))


def test_no_dose_and_no_making_sick() -> None:
    for kind, texts in CASES.items():
        if kind != "none":
            text = plain_text(alarm(texts[0]))  # type: ignore[arg-type]
            assert not re.search(r"\d+ ?(?:mg|ml/kg|tablets)", text)
    assert "Do not make anyone sick" in plain_text(alarm(CASES["poison"][0]))  # type: ignore[arg-type]


def test_lengths_are_said_in_the_plots_units() -> None:
    assert "1 in" in plain_text(alarm("the jar hissed and the lid is bulging", Wording("us", "us")))  # type: ignore[arg-type]


def test_every_rule_and_group_is_used() -> None:
    alarms = FACTS.preserving.alarms
    used = {*alarms.after, *(name for rule in alarms.rules for name in (*rule.all, *rule.unless))}
    assert used == {group.name for group in alarms.groups}
    assert {rule.answer for rule in alarms.rules} == {answer.id for answer in alarms.answers}


def test_ten_thousand_characters_are_answered_quickly() -> None:
    assert alarm("a jar of nothing " * 600) is None


def test_how_the_person_fares_raises_the_alarm_again() -> None:
    first = alarm("my daughter ate some laburnum pods")
    again = alarm("she is vomiting now", after=first)
    assert again is not None and again.data["answer"] == "poison"
    well = alarm("he seems fine", after=first)
    assert well is not None and well.data["answer"] == "poison"
    assert alarm("he seems fine") is None
    assert alarm("she is vomiting now", after=None) is None
    assert alarm("how far apart are leeks", after=first) is None
