"""Run every conversation in this folder's YAML files against the real bot and a real record.

A file is a list of conversations:
    name      what it shows
    today     ISO date; a turn may carry its own to move time on (the record stays)
    plot      demo (default) or empty
    at        [lat, lon, metres] for another place; units: metric | us; wording: gb | us
    turns     in order, each with `say` and any of
        headline    text the first line of the first reply must hold
        holds       texts the whole answer must hold (any case)
        lacks       texts it must not hold
        intents     the intent ids, in order
        recorded    events written, in order: {kind, crop, bed, amount, unit, day, words, data} (those given compared)
        choices     labels on offer must hold these
        caution     text one of the cautions must hold
    state     after the last turn: {standing: {bed: [crops]}, beds: [ids], lots: [[crop, product, left]],
              picked_kg: {crop: kg}}
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from bot.app import Bot, open_bot
from bot.conversation import STUMBLED, Turn
from bot.facts import Facts
from bot.facts.loading import read_yaml
from bot.understanding import Understander

FOLDER = Path(__file__).parent
CONVERSATIONS = [(path.stem, talk) for path in sorted(FOLDER.glob("*.yaml")) for talk in read_yaml(path, FOLDER)]
TURN_KEYS = {"say", "today", "headline", "holds", "lacks", "intents", "recorded", "choices", "caution"}
TALK_KEYS = {"name", "today", "plot", "at", "units", "wording", "turns", "state"}


@pytest.fixture(scope="module")
def understander() -> Understander:
    """One reader of messages for all conversations: making it is most of what opening a bot costs."""
    return Understander(Facts())


KNOWN = [line for line in (FOLDER / "known_failures.txt").read_text(encoding="utf-8").splitlines()
         if line and line[0] != "#"]


def _cases() -> list[Any]:
    """Return every conversation; those known to fail must go on failing until their line is taken out."""
    cases = []
    for file, talk in CONVERSATIONS:
        name = f"{file}: {talk['name']}"
        marks = [pytest.mark.xfail(strict=True, reason="listed in known_failures.txt")] if name in KNOWN else []
        cases.append(pytest.param(file, talk, id=name, marks=marks))
    return cases


def test_known_failures_name_conversations() -> None:
    assert set(KNOWN) <= {f"{file}: {talk['name']}" for file, talk in CONVERSATIONS}


@pytest.mark.parametrize(("file", "talk"), _cases())
def test_conversation(file: str, talk: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                      understander: Understander) -> None:
    assert set(talk) <= TALK_KEYS, set(talk) - TALK_KEYS
    monkeypatch.chdir(tmp_path)  # an export asked for goes below the folder one is in
    config = None
    if talk.get("plot") == "empty":
        config = tmp_path
        (tmp_path / "settings.yaml").write_text(f"wording: {talk.get('wording', 'gb')}\n", encoding="utf-8")
        monkeypatch.setenv("RIDDLE_DATABASE", f"sqlite:///{tmp_path / 'riddle.db'}")
    place = tuple(talk["at"]) if "at" in talk else None
    with open_bot(demo=config is None, config=config, today=date.fromisoformat(str(talk["today"])),
                  at=(*place, None)[:3] if place else None, units=talk.get("units"),
                  understander=understander) as bot:
        for number, wanted in enumerate(talk["turns"], 1):
            assert set(wanted) <= TURN_KEYS, set(wanted) - TURN_KEYS
            if "today" in wanted:
                bot.move_to(date.fromisoformat(str(wanted["today"])))
            _check_turn(bot.turn(wanted["say"]), wanted, f"turn {number}: {wanted['say']!r}")
        _check_state(bot, talk.get("state") or {})


def _check_turn(turn: Turn, wanted: dict[str, Any], where: str) -> None:
    text = turn.text.lower()
    seen = f"{where}\n{turn.text}\n{[r.as_json() for r in turn.requests]}\n{[e.as_json() for e in turn.events]}"
    assert STUMBLED.lower() not in text, seen
    if "headline" in wanted:
        assert wanted["headline"].lower() in turn.headline.lower(), seen
    for part in wanted.get("holds", []):
        assert str(part).lower() in text, f"{part!r} is missing from {seen}"
    for part in wanted.get("lacks", []):
        assert str(part).lower() not in text, f"{part!r} should not stand in {seen}"
    if "intents" in wanted:
        assert [r.intent for r in turn.requests] == wanted["intents"], seen
    if "recorded" in wanted:
        _check_recorded(turn, wanted["recorded"], seen)
    labels = [choice.label.lower() for reply in turn.replies for choice in reply.choices]
    for label in wanted.get("choices", []):
        assert any(label.lower() in one for one in labels), f"choice {label!r} is missing: {labels}\n{seen}"
    if "caution" in wanted:
        cautions = " ".join(c for reply in turn.replies for c in reply.cautions).lower()
        assert wanted["caution"].lower() in cautions, seen


def _check_recorded(turn: Turn, wanted: list[dict[str, Any]], seen: str) -> None:
    assert [e.kind for e in turn.events] == [w["kind"] for w in wanted], seen
    for event, fields in zip(turn.events, wanted, strict=True):
        for name, value in fields.items():
            found = getattr(event, name)
            if name == "data":
                assert {k: found.get(k) for k in value} == value, seen
            elif name == "amount" and value is not None:
                assert found == pytest.approx(value, rel=0.01), seen
            elif name == "day":
                assert found.isoformat() == str(value), seen
            else:
                assert found == value, f"{name}: {found!r} is not {value!r}\n{seen}"


def _check_state(bot: Bot, wanted: dict[str, Any]) -> None:
    plot = bot.store.plot(bot.plot_id)
    for bed, crops in wanted.get("standing", {}).items():
        assert sorted({p.crop for p in plot.standing(bed=bed)}) == sorted(crops), bed
    for bed in wanted.get("beds", []):
        assert bed in plot.beds, (bed, sorted(plot.beds))
    for crop, product, left in wanted.get("lots", []):
        total = sum(lot.left for lot in plot.lots if lot.crop == crop and lot.product == product)
        assert total == pytest.approx(left), (crop, product, total)
    for crop, kg in wanted.get("picked_kg", {}).items():
        year = bot.now(plot).year
        total = sum(h.kg or 0 for h in plot.harvests if h.crop == crop and h.day.year == year)
        assert total == pytest.approx(kg, rel=0.01), (crop, total)
