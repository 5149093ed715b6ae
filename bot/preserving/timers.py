"""Kitchen timers kept in the plot record: set by an event, called back by a channel when due, closed by an event."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.plot.events import NewEvent
from bot.plot.state import Plot
from bot.preserving.matching import plain
from bot.reply import Reply

_AMOUNT = re.compile(
    r"(?<![a-z0-9.])(?:(\d+(?:[.,]\d+)?|half an|an?)\s*)?(?:(?:and )?(?:a )?(1/2|half)\s*)?-?\s*"
    r"(hours?|hrs?|h|minutes?|mins?|m|seconds?|secs?|s)(?![a-z])( and a half)?"
)
_SECONDS = {"h": 3600, "m": 60, "s": 1}
#: No kitchen timer runs longer than a day.
LONGEST_S = 24 * 3600


@dataclass(frozen=True, slots=True)
class Timer:
    """A running timer: `seq` of the event that set it, when it is due, and what for."""

    seq: int
    due: datetime
    label: str


def seconds_in(text: str) -> int | None:
    """Return the seconds a message names ('3 minutes', '1 1/2 min', '2 min 30 s'), or None.

    >>> seconds_in("start a 3 minute timer"), seconds_in("2 min 30 s")
    (180, 150)
    """
    total = 0.0
    for match in _AMOUNT.finditer(plain(text)):
        word, half, unit = match[1], match[2], match[3]
        if word is None and half is None:
            continue
        count = (
            0.5 if word == "half an" else 1.0 if word in ("a", "an") else float(word.replace(",", ".")) if word else 0.0
        )
        total += (count + (0.5 if half or match[4] else 0)) * _SECONDS[unit[0]]
    return round(total) if total else None


def set_event(now: datetime, seconds: int, label: str, words: str, crop: str | None = None) -> NewEvent:
    """Return the event that starts a timer. Raises ValueError outside 1 second to 24 hours."""
    if not 0 < seconds <= LONGEST_S:
        raise ValueError(f"a timer runs from one second to a day: {seconds}")
    due = now + timedelta(seconds=seconds)
    return NewEvent(
        "timer_set",
        now.date(),
        crop=crop,
        words=words,
        data={"due_iso": due.isoformat(timespec="seconds"), "label": label, "seconds": seconds},
    )


def running(plot: Plot) -> tuple[Timer, ...]:
    """Return timers set and not yet rung or stopped, soonest first."""
    done = {ref for event in plot.events("timer_rung") for ref in event.refs}
    timers = [
        Timer(e.seq, datetime.fromisoformat(e.data["due_iso"]), str(e.data.get("label", "")))
        for e in plot.events("timer_set")
        if e.seq not in done and "due_iso" in e.data
    ]
    return tuple(sorted(timers, key=lambda t: (_plain_time(t.due), t.seq)))


def due_timers(plot: Plot, now: datetime) -> tuple[Timer, ...]:
    """Return timers that should ring by `now`, soonest first. Channels call this and then record `rung_event`."""
    return tuple(t for t in running(plot) if _reached(t.due, now))


def next_due(plot: Plot) -> datetime | None:
    """Return when the soonest running timer is due, for a channel that sleeps until then."""
    timers = running(plot)
    return timers[0].due if timers else None


def rung_event(timer: Timer, now: datetime, how: str = "rung") -> NewEvent:
    """Return the event that closes a timer, rung or stopped."""
    return NewEvent("timer_rung", now.date(), refs=(timer.seq,), data={"label": timer.label, "how": how})


def ring(timer: Timer, now: datetime) -> Reply:
    """Return what a channel says when a timer rings, with the event that closes it."""
    late = max(0, round((_plain_time(now) - _plain_time(timer.due)).total_seconds())) if _same(timer.due, now) else 0
    tail = f" It was due {late // 60} min ago." if late >= 60 else ""
    return Reply(headline=f"Time: {timer.label}.{tail}", events=(rung_event(timer, now),))


def _same(a: datetime, b: datetime) -> bool:
    return (a.tzinfo is None) == (b.tzinfo is None)


def _plain_time(moment: datetime) -> datetime:
    from datetime import UTC

    return moment.astimezone(UTC).replace(tzinfo=None) if moment.tzinfo else moment


def _reached(due: datetime, now: datetime) -> bool:
    """Compare moments; a time without a zone is taken in the other one's zone."""
    if due.tzinfo and not now.tzinfo:
        now = now.replace(tzinfo=due.tzinfo)
    elif now.tzinfo and not due.tzinfo:
        due = due.replace(tzinfo=now.tzinfo)
    return due <= now
