"""When the weekly summary is due, and that it comes once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from telegram import Bot as Api

from bot.app import Bot, open_bot
from bot.channels.telegram.doorway import Doorway
from bot.channels.telegram.weekly import Weekly, last_slot, week_of
from bot.channels.telegram.worker import Worker
from bot.plot.state import PlotPlace, Settings
from tests.botapi.server import TOKEN

PARIS = Settings(place=PlotPlace(45.05, 3.9, 880, "Europe/Paris"), summary_day=5, summary_time="08:00")


@pytest.mark.parametrize(("now", "slot"), [
    # Saturday 28 March 2026 08:00 is UTC+1; the clocks go forward on the 29th (EU directive 2000/84/EC).
    ("2026-03-28T07:00:00", "2026-03-28T07:00:00"),
    ("2026-03-28T06:59:59", "2026-03-21T07:00:00"),
    # A week later 08:00 is UTC+2.
    ("2026-04-04T06:00:00", "2026-04-04T06:00:00"),
    ("2026-04-04T05:59:00", "2026-03-28T07:00:00"),
    # And back again on 25 October 2026.
    ("2026-10-31T07:00:00", "2026-10-31T07:00:00"),
    ("2026-10-31T06:30:00", "2026-10-24T06:00:00"),
])
def test_the_slot_follows_the_plots_own_clock(now: str, slot: str) -> None:
    found = last_slot(PARIS, datetime.fromisoformat(now).replace(tzinfo=UTC))
    assert found == datetime.fromisoformat(slot).replace(tzinfo=UTC)


def test_an_hour_that_does_not_exist_still_comes_once() -> None:
    settings = replace(PARIS, summary_day=6, summary_time="02:30")  # skipped on 29 March 2026
    found = last_slot(settings, datetime(2026, 3, 29, 12, tzinfo=UTC))
    assert found is not None
    assert found.date().isoformat() == "2026-03-29"


def test_a_stopped_summary_has_no_slot() -> None:
    assert last_slot(replace(PARIS, summary_day=None), datetime(2026, 3, 28, tzinfo=UTC)) is None


def test_the_week_is_the_iso_week() -> None:
    assert week_of(datetime(2027, 1, 2, tzinfo=UTC)) == "2026-W53"


SATURDAY = datetime(2026, 6, 20, 6, 0, tzinfo=UTC)  # 08:00 in Paris


@pytest.fixture
def bot(config: Path) -> Iterator[Bot]:
    with open_bot(config=config) as opened:
        opened.store.members.link(7, "chat7", SATURDAY - timedelta(days=20))
        with opened.store.turn("chat7", SATURDAY - timedelta(days=20)) as transaction:
            opened._set_up(transaction, SATURDAY - timedelta(days=20))
        yield opened


def filed(bot: Bot, now: datetime) -> int:
    api = Api(TOKEN)
    worker = Worker(bot, api, Doorway(bot.settings, bot.store), lambda: None)
    return Weekly(bot, worker, lambda: None, clock=lambda: now).file_summaries()


def queued(bot: Bot) -> list[str]:
    return [row.kind for row in bot.store.mail.due(datetime(2100, 1, 1, tzinfo=UTC))]


def test_a_summary_is_filed_once_across_restarts(bot: Bot) -> None:
    assert filed(bot, SATURDAY + timedelta(minutes=1)) == 1
    messages = queued(bot)
    assert filed(bot, SATURDAY + timedelta(minutes=2)) == 0
    assert filed(bot, SATURDAY + timedelta(hours=30)) == 0
    assert queued(bot) == messages
    assert set(messages) == {"summary"}


def test_a_summary_up_to_a_day_and_a_half_late_still_comes(bot: Bot) -> None:
    assert filed(bot, SATURDAY + timedelta(hours=35)) == 1


def test_one_that_is_later_is_left_out(bot: Bot) -> None:
    assert filed(bot, SATURDAY + timedelta(hours=37)) == 0
    assert filed(bot, SATURDAY + timedelta(days=7)) == 1


def test_a_new_gardener_is_not_sent_last_weeks(config: Path) -> None:
    now = SATURDAY + timedelta(hours=2)
    with open_bot(config=config) as opened:
        opened.store.members.link(7, "chat7", now)
        with opened.store.turn("chat7", now) as transaction:
            opened._set_up(transaction, now)
        assert filed(opened, now + timedelta(minutes=1)) == 0


def test_a_closed_chat_is_left_alone(bot: Bot) -> None:
    bot.store.members.pause(7)
    assert filed(bot, SATURDAY + timedelta(minutes=1)) == 0
