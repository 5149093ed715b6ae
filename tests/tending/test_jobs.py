"""The jobs of this plot: found by what grows, at what stage, in what weather and place; ticked off; nothing silly."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from bot.facts import Facts
from bot.growing.curves import curves
from bot.handlers.context import Context
from bot.handlers.job_words import job_line, short_said, task_said
from bot.handlers.jobs_due import Span, due_in, seen_last_year
from bot.plot.events import NewEvent
from bot.request import When
from bot.tending.job_windows import all_jobs, window
from tests.tending.grounds import HOBART, after, ask, context, said


def due(ctx: Context) -> dict[str, set[str]]:
    """Return the ids of the jobs due this week and their crops."""
    return {d.job.id: set(d.crops) for d in due_in(Span(ctx.today, ctx.today + timedelta(days=6)), ctx)}


def test_there_are_many_jobs_and_each_can_come_up(facts: Facts) -> None:
    jobs = all_jobs(facts)
    assert len(jobs) >= 100
    seasons = [context(facts).season, context(facts, at=HOBART).season]
    never = [
        job.id
        for job in jobs
        if job.months_north is None and all(window(job, curves(s, None, facts)) is None for s in seasons if s)
    ]
    assert not never


def test_june_on_the_terrace(facts: Facts) -> None:
    found = due(context(facts))
    assert "tomato" in found["tomato-sideshoots"]
    assert "kale" in found["brassica-net"]
    assert {"raspberry", "gooseberry"} <= found["fruit-net"]
    assert "leek" in found["plant-out"]
    assert "fill-empty" in found


def test_what_does_not_grow_here_is_not_asked_for(facts: Facts) -> None:
    for month in range(1, 13):
        ctx = context(facts, f"2026-{month:02d}-12")
        standing = {p.crop for p in ctx.plot.standing()}
        for item in due_in(Span(ctx.today, ctx.today + timedelta(days=6)), ctx):
            assert set(item.crops) <= standing or "grown-lately" in item.job.needs


@pytest.mark.parametrize("month", range(1, 13))
@pytest.mark.parametrize("at", [None, HOBART])
def test_every_month_has_work_that_fits(facts: Facts, month: int, at: tuple[float, float, float] | None) -> None:
    ctx = context(facts, f"2026-{month:02d}-12", at=at)
    found = due(ctx)
    assert 5 <= len(found) <= 40
    winter = ctx.season is not None and ctx.season.mean(ctx.today) < 4
    if winter:
        assert not {"tunnel-air", "hoe", "slugs-spring", "caterpillars", "water-dry", "harden-off", "fruit-net"} & set(
            found
        )
    else:
        assert "snow" not in found


def test_winter_pruning_in_both_halves_of_the_world(facts: Facts) -> None:
    assert "blackcurrant-prune" in due(context(facts, "2026-01-12"))
    assert "blackcurrant-prune" in due(context(facts, "2026-07-12", at=HOBART))
    assert "blackcurrant-prune" not in due(context(facts, "2026-07-12"))
    assert "blackcurrant-prune" not in due(context(facts, "2026-01-12", at=HOBART))


def test_summer_raspberries_are_not_cut_down_in_winter(facts: Facts) -> None:
    assert "raspberry-prune-summer-fruiting" in due(context(facts, "2026-08-20"))
    assert "raspberry-prune-autumn-fruiting" not in due(context(facts, "2026-02-12"))  # picked in July: summer-fruiting


def test_hobart_has_no_frost_jobs(facts: Facts) -> None:
    for month in range(1, 13):
        found = due(context(facts, f"2026-{month:02d}-12", at=HOBART))
        assert not {"tunnel-fleece", "hoses", "snow", "parsnip-mulch"} & set(found)


def test_ticking_off_by_its_words(facts: Facts) -> None:
    ctx = context(facts)
    reply = ask("jobs", "done the slug patrol", ctx)
    assert reply.events[0].kind == "job_done"
    assert reply.events[0].data["job"] == "slugs-spring"
    assert "slugs-spring" not in due(after(ctx, *reply.events))
    later = after(ctx, *reply.events)
    later = replace(later, today=ctx.today + timedelta(days=5))
    assert "slugs-spring" in due(later)  # it comes up again


@pytest.mark.parametrize(
    ("text", "job"),
    [
        ("done: net the raspberries", "fruit-net"),
        ("tick off tie in the tomatoes", "tomato-sideshoots"),
        ("done the kale netting", "brassica-net"),
        ("finished hoeing and weeding", "hoe"),
        ("ticked off plant out the leeks", "plant-out"),
    ],
)
def test_ticking_off_said_in_other_ways(facts: Facts, text: str, job: str) -> None:
    assert ask("jobs", text, context(facts)).events[0].data["job"] == job


def test_what_is_not_on_the_list_is_kept_as_said(facts: Facts) -> None:
    reply = ask("jobs", "done: painted the shed door", context(facts))
    assert reply.events[0].words == "painted the shed door"
    assert reply.events[0].data == {}


@pytest.mark.parametrize("text", ["we've finished the slug patrol", "the slug patrol is done", "slug patrol all done today.", "cross off the slug patrol"])
def test_done_is_said_before_the_job_or_after_it(facts: Facts, text: str) -> None:
    reply = ask("jobs", text, context(facts))
    assert (reply.events[0].kind, reply.events[0].data["job"]) == ("job_done", "slugs-spring")


@pytest.mark.parametrize("text", ["done the slug patrol, what's next?", "is the slug patrol done?", "when is the slug patrol done by"])
def test_a_question_ticks_nothing_off(facts: Facts, text: str) -> None:
    assert not ask("jobs", text, context(facts)).events


def test_done_alone_asks_which(facts: Facts) -> None:
    reply = ask("jobs", "done", context(facts))
    assert not reply.events
    assert reply.choices


def test_a_job_not_wanted_goes_away(facts: Facts) -> None:
    ctx = context(facts)
    reply = ask("jobs", "don't show me the slug patrol again", ctx)
    assert reply.events[0].kind == "job_dropped"
    assert "slugs-spring" not in due(replace(after(ctx, *reply.events), today=ctx.today + timedelta(days=20)))


def test_records_tick_off_too(facts: Facts) -> None:
    ctx = context(facts, "2026-07-12")
    assert "tomato-feed" in due(ctx)
    fed = after(ctx, NewEvent("fed", ctx.today, crop="tomato", bed="tunnel", data={"material": "tomato-feed"}))
    assert "tomato-feed" not in due(fed)
    noted = after(ctx, NewEvent("noted", ctx.today, crop="tomato", words="tied in the tomatoes"))
    assert "tomato-sideshoots" not in due(noted)


def test_lime_is_no_feed(facts: Facts) -> None:
    ctx = context(facts, "2026-07-12")
    assert "tomato-feed" in due(after(ctx, NewEvent("fed", ctx.today, bed="tunnel", data={"material": "lime"})))


def test_last_years_sightings_warn(facts: Facts) -> None:
    ctx = after(
        context(facts, "2026-06-10"), NewEvent("pest_seen", date(2025, 6, 20), crop="leek", data={"pest": "leek-moth"})
    )
    assert any("Leek moth was seen here on the leeks last 20 June" in text for text in seen_last_year(ctx.today, ctx))
    assert not any("Leek moth" in text for text in seen_last_year(date(2026, 10, 1), ctx))


def test_last_years_frost_warns(facts: Facts) -> None:
    ctx = after(context(facts, "2026-09-20"), NewEvent("frost_seen", date(2025, 9, 28), amount=-2, unit="c"))
    assert any("frost of -2 °C was seen here last 28 September" in text for text in seen_last_year(ctx.today, ctx))


def test_the_answer_fits_a_phone(facts: Facts) -> None:
    reply = ask("jobs", "what needs doing this week", context(facts))
    assert reply.headline.startswith("First this week")
    assert len(reply.lines) <= 10
    assert reply.more
    assert any("here from about" in w for w in reply.working)
    assert all(r["minutes"] > 0 and r["why"] for r in reply.data["jobs"]["rows"])


def test_beds_and_crops_and_months_asked_for(facts: Facts) -> None:
    ctx = context(facts)
    tunnel = ask("jobs", "polytunnel jobs", ctx, beds=("tunnel",)).data["jobs"]["rows"]
    assert tunnel
    assert all("tunnel" in r["beds"] or "tunnel" in r["task"] for r in tunnel)
    tomato = ask("jobs", "what wants doing to the tomatoes", ctx, crops=("tomato",)).data["jobs"]["rows"]
    assert all("tomato" in r["crops"] for r in tomato)
    november = ask("jobs", "jobs for november", ctx, when=When(date(2026, 11, 1), date(2026, 11, 30)))
    assert "November" in november.headline
    assert not any(r["job"] == "tomato-sideshoots" for r in november.data["jobs"]["rows"])


def test_hours_and_numbers_are_heeded(facts: Facts) -> None:
    ctx = context(facts)
    hour = ask("jobs", "I've one hour free, what first", ctx).data["jobs"]
    assert hour["minutes"] <= 60
    five = ask("jobs", "give me five jobs", ctx)
    assert len(five.lines) <= 8


def test_an_empty_plot_still_hears_something(facts: Facts) -> None:
    reply = ask("jobs", "jobs", context(facts, "2026-01-12", empty=True))
    assert any(r["job"] == "seed-buy" for r in reply.data["jobs"]["rows"])
    assert ask("jobs", "jobs", context(facts, place=False)).wants == "place"


def test_american_words(facts: Facts) -> None:
    ctx = context(facts, "2026-05-12", units="us")
    text = said(ask("jobs", "what needs doing", ctx, beds=("tunnel",)))
    assert "hoop house" in text


def test_lines_say_what_how_long_and_why(facts: Facts) -> None:
    ctx = context(facts)
    for item in due_in(Span(ctx.today, ctx.today + timedelta(days=6)), ctx):
        text = job_line(item, ctx)
        assert "{" not in text
        assert f"({item.job.minutes} min" in text
        assert text[0].isupper()


@pytest.mark.parametrize("month", range(1, 13))
def test_every_job_offered_as_done_ticks_itself_off(facts: Facts, month: int) -> None:
    ctx = context(facts, f"2026-{month:02d}-12")
    for item in due_in(Span(ctx.today, ctx.today + timedelta(days=6)), ctx):
        reply = ask("jobs", f"done: {task_said(item, ctx)}", ctx)
        assert [e.data.get("job") for e in reply.events] == [item.job.id]
        assert len(short_said(item, ctx)) <= 39


def test_looking_ahead_forgets_seedlings_long_planted_out(facts: Facts) -> None:
    november = ask("jobs", "jobs in november", context(facts), when=When(date(2026, 11, 1), date(2026, 11, 30)))
    assert not {"frame-air", "water-trays", "plant-out"} & {r["job"] for r in november.data["jobs"]["rows"]}
