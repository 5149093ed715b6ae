"""The demo plot is this season's, whatever the day, and is right for a garden at 880 m."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.facts import Facts, KnowledgeError
from bot.plot.demo import demo_events, demo_folder, demo_settings
from bot.plot.folding import fold_events
from bot.plot.state import Plot

FOUR = [date(2026, 3, 20), date(2026, 6, 17), date(2026, 9, 25), date(2027, 1, 15)]
ANY_DAY = st.dates(date(2020, 1, 1), date(2040, 12, 31))


def plot_on(day: date, southern: bool = False) -> Plot:
    return fold_events("demo", demo_events(day, southern=southern))


@given(ANY_DAY, st.booleans())
def test_on_any_day_the_plot_was_just_worked_in_and_has_months_behind_it(today: date, southern: bool) -> None:
    events = demo_events(today, southern=southern)
    days = [e.day for e in events]
    assert [e.seq for e in events] == list(range(1, len(events) + 1))
    assert max(days) < today and today - max(days) <= timedelta(days=8)
    assert all(e.at is not None and e.at.date() == e.day for e in events)
    worked = [d for d in days if d > today - timedelta(days=150)]
    assert len(worked) >= 45 and max(worked) - min(worked) > timedelta(days=120)


@given(ANY_DAY)
def test_there_are_always_frozen_beans_and_fruit_standing_and_things_under_way(today: date) -> None:
    plot = plot_on(today)
    frozen = sum(
        lot.left for lot in plot.lots if lot.product == "frozen" and lot.crop in ("runner-bean", "french-bean")
    )
    assert frozen >= 1
    assert {p.crop for p in plot.standing(bed="wall-bed")} >= {"raspberry", "blackcurrant", "rhubarb"}
    assert len({p.crop for p in plot.standing()}) >= 10
    assert all(lot.left >= 0 for lot in plot.lots)


@pytest.mark.parametrize("today", FOUR, ids=str)
@pytest.mark.parametrize("southern", [False, True])
def test_the_middle_bed_stands_empty_and_kale_stands(today: date, southern: bool) -> None:
    plot = plot_on(today + timedelta(weeks=26) if southern else today, southern)
    assert [bed.id for bed in plot.empty_beds() if bed.kind == "bed"] == ["bed-3"]
    assert plot.standing(crop="kale")
    assert any(p.bed == "bed-3" for p in plot.plantings)  # it has a past


def test_late_september_has_beans_and_sweetcorn_on_the_arch() -> None:
    for southern, today in ((False, date(2026, 9, 25)), (True, date(2027, 3, 25))):
        plot = plot_on(today, southern)
        assert {p.crop for p in plot.standing(bed="bed-2")} == {"runner-bean", "sweetcorn"}
        assert all(p.harvests for p in plot.standing(bed="bed-2"))


def test_every_crop_and_bed_is_known_and_no_one_is_real(facts: Facts) -> None:
    events = demo_events(date(2026, 10, 10))
    plot = fold_events("demo", events)
    assert {e.crop for e in events if e.crop} <= set(facts.crops)
    assert (
        {e.bed for e in events if e.bed}
        == set(plot.beds)
        == {"bed-1", "bed-2", "bed-3", "bed-4", "wall-bed", "tunnel", "frame"}
    )
    assert {e.author for e in events} == {"ines", "tomas"}
    pests = {e.data["pest"] for e in events if e.kind == "pest_seen"}
    assert pests <= {row.id for row in facts.tending.pests}


def test_nothing_tender_stands_outdoors_in_frost(facts: Facts) -> None:
    """Frost-free is late May to early October: nothing killed by frost is out before, but in the tunnel or indoors."""
    for event in demo_events(date(2026, 10, 10)):
        crop = facts.crops.get(event.crop or "")
        if event.kind != "planted_out" or crop is None or crop.sowing is None or event.bed == "tunnel":
            continue
        if crop.sowing.hardiness_class == "tender":
            start = date(event.day.year, 5, 25)
            ok = crop.id == "potato" or start <= event.day <= date(event.day.year, 9, 1)  # tubers lie below the frost
            assert ok, (event.crop, event.day)


def test_every_planting_picked_was_standing_and_every_lot_was_picked_before(facts: Facts) -> None:
    plot = plot_on(date(2026, 10, 10))
    assert [h for h in plot.harvests if h.planting is None] == []
    for planting in plot.plantings:
        for harvest in planting.harvests:
            assert planting.began is not None and harvest.day >= planting.began + timedelta(days=25), planting


def test_a_frozen_lot_weighs_no_more_than_was_picked() -> None:
    plot = plot_on(date(2026, 10, 10))
    for lot in plot.lots:
        picked = [h for h in plot.harvests if h.crop == lot.crop and lot.made - timedelta(days=60) <= h.day <= lot.made]
        if lot.kg and picked and all(h.kg for h in picked):
            assert lot.kg <= sum(h.kg or 0 for h in picked) + 0.01, lot


def test_the_settings_are_the_terrace() -> None:
    settings = demo_settings()
    assert settings.place is not None
    assert (settings.place.lat, settings.place.lon, settings.place.elevation_m) == (45.05, 3.90, 880)
    assert (settings.units, settings.wording, settings.forecast.source) == ("metric", "gb", "none")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("kind: planted_out, crop: rhubarb", "kind: dug, crop: rhubarb", "no such kind"),
        ("bed: wall-bed, method: crowns", "bed: nowhere, method: crowns", "not in plot.yaml"),
        ("[beans23, 1]", "[beans99, 1]", "not made before"),
        ("crop: rhubarb, bed", "crp: rhubarb, bed", "no field here"),
        ("by: tomas}", "by: nobody}", "not in plot.yaml"),
    ],
)
def test_broken_demo_records_are_named(tmp_path: Path, old: str, new: str, said: str) -> None:
    for name in ("settings.yaml", "plot.yaml", "records.yaml"):
        text = (demo_folder() / name).read_text(encoding="utf-8")
        assert name != "records.yaml" or old in text
        (tmp_path / name).write_text(text.replace(old, new, 1) if name == "records.yaml" else text, encoding="utf-8")
    with pytest.raises(KnowledgeError, match=said) as caught:
        demo_events(date(2026, 6, 17), tmp_path)
    assert "records.yaml" in str(caught.value)
