"""Kitchen timers: set by message, due once, rung or stopped, over a fold of the record."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest

from bot.preserving.timers import due_timers, next_due, ring, rung_event, running, seconds_in, set_event
from tests.preserving.kitchen import Kitchen


@pytest.mark.parametrize(
    "text,seconds",
    [
        ("start a 3 minute timer for runner beans", 180),
        ("2 min 30 s", 150),
        ("1½ minutes", 90),
        ("half an hour", 1800),
        ("an hour", 3600),
        ("1 hour and 20 minutes", 4800),
        ("10-second timer", 10),
        ("runner beans", None),
        ("start the timer", None),
        ("bed 3", None),
        ("a minute and a half", 60 + 30),
    ],
)
def test_seconds_in_words(text: str, seconds: int | None) -> None:
    assert seconds_in(text) == seconds


def test_start_ring_once() -> None:
    k = Kitchen()
    reply = k.ask("blanch", "start a 3 minute timer for runner beans", "runner-bean")
    assert reply.events[0].kind == "timer_set"
    assert reply.events[0].data == {
        "due_iso": "2026-09-01T18:03:00",
        "label": "runner beans, 3 minutes",
        "seconds": 180,
    }
    assert due_timers(k.plot, k.now + timedelta(seconds=179)) == ()
    due = due_timers(k.plot, k.now + timedelta(seconds=180))
    assert [t.label for t in due] == ["runner beans, 3 minutes"]
    assert next_due(k.plot) == datetime(2026, 9, 1, 18, 3)
    rang = ring(due[0], k.now + timedelta(minutes=8))
    assert rang.headline == "Time: runner beans, 3 minutes. It was due 5 min ago."
    k.record(*rang.events)
    assert due_timers(k.plot, k.now + timedelta(hours=1)) == () and next_due(k.plot) is None


def test_start_the_timer_takes_the_last_answers_minutes() -> None:
    k = Kitchen()
    k.ask("blanch", "how long do I blanch kale", "kale")
    reply = k.ask("blanch", "start the timer")
    assert reply.events[0].data["seconds"] == 120 and "kale" in reply.headline


def test_start_without_anything_asks() -> None:
    reply = Kitchen().ask("blanch", "start the timer")
    assert not reply.events and reply.wants == "quantity"


def test_stop() -> None:
    k = Kitchen()
    assert "No timer" in k.ask("blanch", "stop the timer").headline
    k.ask("blanch", "start a 5 minute timer")
    assert k.ask("blanch", "stop the timer").events[0].kind == "timer_rung"
    assert running(k.plot) == ()


def test_zones_may_differ() -> None:
    paris = timezone(timedelta(hours=2))
    k = Kitchen()
    k.record(set_event(datetime(2026, 9, 1, 18, 0, tzinfo=paris), 60, "peas", ""))
    assert due_timers(k.plot, datetime(2026, 9, 1, 16, 1, tzinfo=UTC))
    assert not due_timers(k.plot, datetime(2026, 9, 1, 16, 0, 59, tzinfo=UTC))
    assert due_timers(k.plot, datetime(2026, 9, 1, 18, 1))


def test_soonest_first_and_limits() -> None:
    k = Kitchen()
    k.record(set_event(k.now, 300, "slow", ""), set_event(k.now, 60, "quick", ""))
    assert [t.label for t in running(k.plot)] == ["quick", "slow"]
    for seconds in (0, -5, 90000):
        with pytest.raises(ValueError):
            set_event(k.now, seconds, "no", "")
    assert rung_event(running(k.plot)[0], k.now).refs == (2,)
