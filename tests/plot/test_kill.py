"""Kill the writer at random points: every message has exactly one effect and one reply, and no record is torn."""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from sqlalchemy import func, select

from bot.plot.connecting import reading
from bot.plot.errors import AlreadyDone
from bot.plot.events import NewEvent
from bot.plot.schema import inbox, outbox
from bot.plot.store import Store
from bot.plot.turn import Outgoing

NOW = datetime(2026, 6, 17, 8, tzinfo=UTC)
KILLS = 25


def serve(url: str, first: int) -> None:
    """Deal with what waits, then with new messages for ever: what the real worker does."""
    store = Store.open(url)
    number = first
    while True:
        for waiting in store.mail.waiting():
            try:
                with store.turn("home", NOW) as turn:
                    turn.finish_inbox(waiting.update_id)
                    words = f"update {waiting.update_id}"
                    turn.append([NewEvent("noted", date(2026, 6, 17), words=words)] * 2, "ines", words, NOW)
                    turn.queue(Outgoing(1, "reply", {"text": words}, reply_to=waiting.update_id))
            except AlreadyDone:
                continue
        number += 1
        store.mail.receive(number, {"n": number}, 1, NOW)
        # The same update arriving again must change nothing.
        store.mail.receive(random.randint(1, number), {"n": "again"}, 1, NOW)


@pytest.mark.skipif(sys.platform == "win32", reason="needs fork")
def test_a_kill_at_any_moment_loses_and_doubles_nothing(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'r.db'}"
    rng = random.Random(20260617)
    last = 0
    for _ in range(KILLS):
        child = os.fork()
        if child == 0:  # pragma: no cover
            try:
                serve(url, last)
            finally:
                os._exit(1)
        time.sleep(rng.uniform(0.01, 0.08))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        store = Store.open(url)
        assert store.check() == "ok"
        with reading(store.engine) as connection:
            rows = select(inbox.c.update_id).where(inbox.c.state == "done").order_by(inbox.c.update_id)
            done = list(connection.execute(rows).scalars())
            replies = list(connection.execute(select(outbox.c.reply_to).order_by(outbox.c.reply_to)).scalars())
            last = connection.execute(select(func.max(inbox.c.update_id))).scalar() or 0
        events = store.events("home")
        assert replies == done == list(range(1, len(done) + 1)), "each message one reply, none left out"
        assert [e.words for e in events] == [f"update {n}" for n in done for _ in range(2)]
        assert [e.seq for e in events] == list(range(1, len(events) + 1))
        assert len(store.mail.waiting()) == last - len(done) <= 1
        store.close()
    assert last > KILLS, "the writer got somewhere between the kills"
