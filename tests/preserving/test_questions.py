"""Eighty-odd bottling and pickling questions, half of them unsafe, at three heights: exact figures or a plain no."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from bot.reply import Reply, plain_text
from tests.preserving.kitchen import Kitchen

QUESTIONS = yaml.safe_load((Path(__file__).parent / "questions.yaml").read_text(encoding="utf-8"))
HEIGHTS = (0, 880, 2000)
_MINUTES = re.compile(r"\d+ ?(?:min\b|minutes|psi|hours?\b)")


def at(value: object, index: int) -> object:
    return value[index] if isinstance(value, list) else value


def put(question: dict, metres: float | None, units: str = "metric") -> Reply:
    return Kitchen(metres, units=units).ask(
        question["intent"], question["say"], *question["crops"], qty=question.get("qty")
    )


@pytest.mark.parametrize("index,metres", enumerate(HEIGHTS))
@pytest.mark.parametrize("question", QUESTIONS, ids=lambda q: q["say"][:50])
def test_verdict_and_figures(question: dict, index: int, metres: int) -> None:
    reply = put(question, metres)
    data = reply.data[question["intent"]]
    assert data["verdict"] == question["verdict"], plain_text(reply)
    if question["verdict"] == "tested":
        assert data["product"] == question["product"]
        assert data["minutes"] == at(question["min"], index)
        assert data["psi"] == at(question.get("psi"), index)
        assert data["altitude_m"] == metres
        assert f"{data['minutes']:g} min" in plain_text(reply)
        assert reply.sources
    else:
        assert data["reason"] == question["reason"]
        assert data["minutes"] is None and data["psi"] is None
    assert not reply.events


@pytest.mark.parametrize("question", [q for q in QUESTIONS if q["verdict"] == "refused"], ids=lambda q: q["say"][:50])
@pytest.mark.parametrize("metres", [*HEIGHTS, None])
def test_no_time_or_pressure_in_a_refusal(question: dict, metres: float | None) -> None:
    reply = put(question, metres)
    assert not _MINUTES.search(plain_text(reply)), plain_text(reply)
    assert any(line.startswith("Safe instead") for line in reply.lines)
    assert reply.headline.lower().startswith("no")


@pytest.mark.parametrize("question", [q for q in QUESTIONS if q["verdict"] == "tested"], ids=lambda q: q["say"][:50])
def test_height_is_asked_when_unknown(question: dict) -> None:
    reply = put(question, None)
    data = reply.data[question["intent"]]
    assert data["minutes"] is None
    if question["intent"] == "can" and "sea level" not in question["say"]:
        assert data["verdict"] == "ask" and data["reason"] == "altitude"
        assert reply.waiting is not None and "high" in reply.headline


def test_half_are_unsafe_and_there_are_eighty() -> None:
    assert len(QUESTIONS) >= 80
    assert sum(q["verdict"] == "refused" for q in QUESTIONS) >= 40


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda q: q["say"][:50])
def test_us_units_change_the_words_not_the_figures(question: dict) -> None:
    metric, us = put(question, 880), put(question, 880, "us")
    assert metric.data[question["intent"]]["minutes"] == us.data[question["intent"]]["minutes"]
    assert " m." not in us.headline and " kg" not in us.headline


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda q: q["say"][:50])
def test_replies_fit_a_phone(question: dict) -> None:
    reply = put(question, 880)
    assert len(reply.lines) <= 9
    assert "!" not in plain_text(reply)
    assert all(choice.says and len(choice.label) <= 60 for choice in reply.choices)
