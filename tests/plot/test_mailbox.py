"""The durable inbox and outbox, the people and the invitations."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.plot import mailbox
from bot.plot.store import Store
from bot.plot.turn import Outgoing

NOW = datetime(2026, 6, 17, 8, tzinfo=UTC)
BIG = -1_001_234_567_890_123  # a group's id needs 64 bits


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store.open(f"sqlite:///{tmp_path / 'riddle.db'}")
    yield store
    store.close()


def queued(store: Store, *rows: Outgoing) -> tuple[int, ...]:
    with store.turn("home", NOW) as turn:
        return turn.queue(*rows)


def test_an_update_is_stored_once_and_waits_in_order(store: Store) -> None:
    assert store.mail.receive(9, {"n": 9}, BIG, NOW) and store.mail.receive(8, {"n": 8}, BIG, NOW)
    assert not store.mail.receive(9, {"n": "again"}, BIG, NOW)
    assert [(u.update_id, u.raw["n"], u.chat) for u in store.mail.waiting()] == [(8, 8, BIG), (9, 9, BIG)]
    assert store.mail.last_update() == 9


def test_an_update_that_cannot_be_read_is_put_aside(store: Store) -> None:
    store.mail.receive(8, {"odd": True}, None, NOW)
    store.mail.park(8, "no message in it")
    store.mail.park(10, "never parsed", raw={"odder": True}, at=NOW)
    assert store.mail.waiting() == [] and store.mail.inbox_state(8) == store.mail.inbox_state(10) == "parked"
    assert not store.mail.receive(10, {}, None, NOW)


def test_a_row_is_sent_by_one_sender_only(store: Store) -> None:
    (row,) = queued(store, Outgoing(BIG, "reply", {"text": "hello"}))
    assert store.mail.sending(row) and not store.mail.sending(row)
    assert store.mail.due(NOW) == []
    store.mail.sent(row, NOW)
    found = store.mail.row(row)
    assert found is not None and (found.state, found.tries, found.chat) == ("sent", 1, BIG)


def test_a_row_told_to_wait_waits(store: Store) -> None:
    (row,) = queued(store, Outgoing(1, "summary", {}, not_before=NOW + timedelta(hours=1)))
    assert store.mail.due(NOW) == [] and [r.id for r in store.mail.due(NOW + timedelta(hours=1))] == [row]
    store.mail.sending(row)
    store.mail.retry(row, NOW + timedelta(hours=2), "flood")
    assert store.mail.due(NOW + timedelta(hours=1)) == [] and len(store.mail.due(NOW + timedelta(hours=2))) == 1


def test_a_send_cut_short_is_uncertain_after_a_restart(store: Store, tmp_path: Path) -> None:
    rows = queued(store, Outgoing(1, "reply", {"n": 1}), Outgoing(1, "summary", {"n": 2}))
    store.mail.sending(rows[0])
    store.close()
    again = Store.open(f"sqlite:///{tmp_path / 'riddle.db'}")
    assert [(r.id, r.state) for r in again.mail.cut_short()] == [(rows[0], "uncertain")]
    assert [r.id for r in again.mail.due(NOW)] == [rows[1]]
    again.close()


def test_update_ids_are_kept_long_enough_whatever_the_clock_says(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mailbox, "KEEP_NEWEST", 2)
    for n in range(1, 6):
        store.mail.receive(n, {"n": n}, 1, NOW)
        if n != 2:
            with store.turn("home", NOW) as turn:
                turn.finish_inbox(n)
    store.mail.tidy(NOW + timedelta(days=6))
    assert store.mail.inbox_state(1) == "done"
    # A clock that leaps a year ahead must not make the newest updates unknown, nor drop one not dealt with.
    store.mail.tidy(NOW + timedelta(days=365))
    assert [store.mail.inbox_state(n) for n in range(1, 6)] == [None, "new", None, "done", "done"]


def test_tidying_drops_only_what_was_sent_long_ago(store: Store) -> None:
    old, failed, fresh = queued(store, *[Outgoing(1, "reply", {"n": n}) for n in range(3)])
    store.mail.sent(old, NOW)
    store.mail.failed(failed, "blocked")
    store.mail.tidy(NOW + timedelta(days=8))
    assert store.mail.row(old) is None and store.mail.row(failed) is not None and store.mail.row(fresh) is not None


def test_a_week_has_one_summary(store: Store) -> None:
    with store.turn("home", NOW) as turn:
        assert turn.claim_summary("2026-W25") and not turn.claim_summary("2026-W25")
    with store.turn("home", NOW) as turn:
        assert not turn.claim_summary("2026-W25") and turn.claim_summary("2026-W26")
    with store.turn("other", NOW) as turn:
        assert turn.claim_summary("2026-W25")


def test_chats_belong_to_one_plot_and_may_move(store: Store) -> None:
    store.members.link(5, "home", NOW)
    store.members.link(5, "other", NOW)
    assert store.members.plot_of(5) == "other" and store.members.plot_of(6) is None
    (row,) = queued(store, Outgoing(5, "reply", {}))
    store.members.moved(5, BIG)
    assert store.members.plot_of(BIG) == "other" and store.members.plot_of(5) is None
    found = store.mail.row(row)
    assert found is not None and found.chat == BIG
    store.members.pause(BIG)
    assert store.members.chats_for_summary() == []
    store.members.pause(BIG, False)
    assert store.members.chats_for_summary("other") == [(BIG, "other")]


def test_an_invitation_works_once_and_in_time(store: Store) -> None:
    with store.turn("home", NOW) as turn:
        code, late = turn.invite(NOW + timedelta(days=7)), turn.invite(NOW - timedelta(seconds=1))
    assert code != late and len(code) == 10
    assert store.members.accept("0000000000", 5, NOW) is None and store.members.accept(late, 5, NOW) is None
    assert store.members.accept(code.upper(), 5, NOW) == "home" and store.members.plot_of(5) == "home"
    assert store.members.accept(code, 6, NOW) is None


def test_people_join_get_a_new_name_and_leave(store: Store) -> None:
    store.members.join("home", "tg:1", "Ines", NOW)
    store.members.join("home", "tg:2", "Tomas", NOW + timedelta(seconds=1))
    store.members.join("home", "tg:1", "Inès", NOW)
    assert store.members.of_plot("home") == {"tg:1": "Inès", "tg:2": "Tomas"}
    assert store.members.leave("home", "tg:2") and not store.members.leave("home", "tg:2")
    assert store.members.of_plot("other") == {}
