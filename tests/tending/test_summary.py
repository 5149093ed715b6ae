"""The weekly summary: ten lines, this plot's own, on any plot and in both halves of the world."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bot.facts import Facts
from bot.plot.events import NewEvent
from bot.reply import plain_text
from tests.tending.grounds import HOBART, after, ask, context, said


@pytest.mark.parametrize("month", range(1, 13))
@pytest.mark.parametrize("at", [None, HOBART])
def test_ten_lines_all_year_round(facts: Facts, month: int, at: tuple[float, float, float] | None) -> None:
    reply = ask("summary", "weekly summary", context(facts, f"2026-{month:02d}-14", at=at))
    assert 1 + len(reply.lines) + len(reply.cautions) <= 10
    assert not reply.events
    assert reply.headline.startswith("Week to")
    assert "{" not in plain_text(reply)
    assert all(len(text) < 260 for text in (reply.headline, *reply.lines))


def test_june_says_what_matters(facts: Facts) -> None:
    reply = ask("summary", "weekly summary", context(facts))
    text = said(reply)
    assert "ready: " in text
    assert "bed 3 stands empty" in text
    assert reply.data["summary"]["jobs"]
    assert reply.data["summary"]["sow"]


def test_frost_is_said_when_tender_crops_stand(facts: Facts) -> None:
    reply = ask("summary", "weekly summary", context(facts, "2026-10-06"))
    assert any("frost" in w for w in reply.data["summary"]["warnings"])
    assert not ask("summary", "weekly summary", context(facts, "2026-07-14")).data["summary"]["warnings"]


def test_last_years_pest_is_said(facts: Facts) -> None:
    ctx = after(
        context(facts, "2026-06-14"), NewEvent("pest_seen", date(2025, 6, 20), crop="leek", data={"pest": "leek-moth"})
    )
    assert any(
        "Leek moth was seen here on the leeks last 20 June" in text
        for text in ask("summary", "s", ctx).data["summary"]["seen"]
    )


def test_an_empty_plot_with_a_place_hears_what_to_sow(facts: Facts) -> None:
    for at in (None, HOBART):
        reply = ask("summary", "s", context(facts, empty=True, at=at))
        assert reply.data["summary"]["sow"] or "frost" in said(reply)
        assert "tell me your beds" in said(reply)
        assert "frost" in said(reply)


def test_without_a_place_it_is_still_of_use(facts: Facts) -> None:
    bare = ask("summary", "s", context(facts, empty=True, place=False))
    assert bare.wants == "place"
    assert len(bare.lines) >= 2
    ctx = context(facts)
    reply = ask("summary", "s", replace(ctx, season=None))
    assert "growing: " in said(reply)
    assert "picked lately" in said(reply)
