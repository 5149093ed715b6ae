"""The fold: what a plot looks like after its events, whatever order they were told in."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from bot.growing.rotation import history
from bot.plot.events import Event
from bot.plot.folding import Folder, fold_events
from bot.plot.state import Plot

START = date(2026, 5, 1)


def tell(*rows: tuple[Any, ...]) -> tuple[Event, ...]:
    """Build events from (kind, day offset, fields) rows, one message each."""
    events = []
    for seq, (kind, offset, fields) in enumerate(rows, 1):
        events.append(
            Event(
                kind,
                START + timedelta(days=offset),
                seq=seq,
                message=f"m{seq}",
                author="ines",
                at=datetime(2026, 5, 1, tzinfo=UTC) + timedelta(minutes=seq),
                **fields,
            )
        )
    return tuple(events)


BED_2 = (
    "bed_added",
    0,
    {"bed": "bed-2", "data": {"name": "Bed 2", "nicknames": ["arch bed"], "length_m": 4, "width_m": 1.2}},
)
FRAME = ("bed_added", 0, {"bed": "frame", "data": {"name": "Cold frame", "kind": "frame"}})


def test_beds_take_their_fields_and_changes() -> None:
    plot = fold_events("p", tell(BED_2, ("bed_set", 1, {"bed": "bed-2", "data": {"light": "shade", "nonsense": 1}})))
    bed = plot.beds["bed-2"]
    assert (bed.name, bed.nicknames, bed.light) == ("Bed 2", ("arch bed",), "shade")
    assert bed.area_m2 == 4.8
    assert plot.empty_beds() == (bed,)


def test_a_removed_bed_clears_what_stood_in_it_and_keeps_its_past() -> None:
    plot = fold_events(
        "p", tell(BED_2, ("sown", 1, {"crop": "pea", "bed": "bed-2"}), ("bed_removed", 9, {"bed": "bed-2"}))
    )
    assert plot.beds == {}
    assert plot.plantings[0].cleared == START + timedelta(days=9)


def test_what_is_moved_stands_in_its_new_bed_and_had_the_old_one_till_then() -> None:
    plot = fold_events("p", tell(
        BED_2, FRAME, ("planted_out", 1, {"crop": "kale", "bed": "bed-2"}), ("moved", 40, {"crop": "kale", "bed": "frame", "data": {"planting": 3, "from": "bed-2"}})))
    kale = plot.plantings[0]
    assert (kale.id, kale.bed, kale.left) == (3, "frame", (("bed-2", START + timedelta(days=40)),))
    assert [(p.bed, p.cleared) for p in history("bed-2", plot)] == [("bed-2", START + timedelta(days=40))]
    assert [(p.bed, p.cleared) for p in history("frame", plot)] == [("frame", None)]


def test_planting_out_carries_on_the_sowing_raised_elsewhere() -> None:
    plot = fold_events(
        "p",
        tell(
            BED_2,
            FRAME,
            ("sown", 1, {"crop": "leek", "bed": "frame", "data": {"method": "module", "count": 60}}),
            ("planted_out", 60, {"crop": "leek", "bed": "bed-2", "data": {"count": 45}}),
        ),
    )
    (leek,) = plot.plantings
    assert (leek.bed, leek.sown, leek.planted_out, leek.count) == (
        "bed-2",
        START + timedelta(1),
        START + timedelta(60),
        45,
    )
    assert leek.in_ground == leek.planted_out
    assert plot.standing(bed="frame") == ()


def test_planting_out_of_another_variety_or_of_sets_begins_anew() -> None:
    plot = fold_events(
        "p",
        tell(
            ("sown", 1, {"crop": "tomato", "variety": "Marmande", "data": {"method": "indoors"}}),
            ("planted_out", 40, {"crop": "tomato", "variety": "Cherry", "bed": "tunnel"}),
            ("sown", 2, {"crop": "onion", "bed": "bed-1"}),
            ("planted_out", 3, {"crop": "onion", "bed": "bed-2", "data": {"method": "sets"}}),
        ),
    )
    assert [(p.crop, p.bed) for p in plot.standing()] == [
        ("tomato", None),
        ("onion", "bed-1"),
        ("onion", "bed-2"),
        ("tomato", "tunnel"),
    ]


def test_a_picking_goes_to_the_planting_it_can_only_have_come_from() -> None:
    plot = fold_events(
        "p",
        tell(
            BED_2,
            ("sown", 1, {"crop": "runner-bean", "bed": "bed-2"}),
            ("harvested", 80, {"crop": "runner-bean", "amount": 2.3, "unit": "kg"}),
            (
                "harvested",
                81,
                {"crop": "runner-bean", "bed": "bed-2", "amount": 6, "unit": "count", "data": {"kg": 0.5}},
            ),
        ),
    )
    (bean,) = plot.plantings
    assert [(h.kg, h.bed, h.planting) for h in bean.harvests] == [(2.3, "bed-2", bean.id), (0.5, "bed-2", bean.id)]


def test_a_picking_from_one_of_two_beds_unsaid_counts_for_the_crop_alone() -> None:
    plot = fold_events(
        "p",
        tell(
            ("sown", 1, {"crop": "kale", "bed": "a"}),
            ("sown", 1, {"crop": "kale", "bed": "b"}),
            ("harvested", 80, {"crop": "kale", "amount": 1, "unit": "kg"}),
        ),
    )
    assert all(not p.harvests for p in plot.plantings)
    assert [(h.crop, h.planting) for h in plot.harvests] == [("kale", None)]


def test_clearing_closes_only_what_it_names() -> None:
    rows = (
        ("sown", 1, {"crop": "pea", "bed": "a"}),
        ("sown", 1, {"crop": "kale", "bed": "a"}),
        ("sown", 1, {"crop": "kale", "bed": "b"}),
    )
    standing = [
        (p.crop, p.bed) for p in fold_events("p", tell(*rows, ("cleared", 9, {"crop": "kale", "bed": "a"}))).standing()
    ]
    assert standing == [("pea", "a"), ("kale", "b")]
    assert [p.bed for p in fold_events("p", tell(*rows, ("cleared", 9, {"bed": "a"}))).standing()] == ["b"]
    assert len(fold_events("p", tell(*rows, ("cleared", 9, {}))).standing()) == 3
    assert [p.bed for p in fold_events("p", tell(*rows, ("cleared", 9, {"data": {"plantings": [3]}}))).standing()] == [
        "a",
        "a",
    ]


def test_what_is_told_late_is_folded_by_its_day() -> None:
    plot = fold_events(
        "p",
        tell(
            ("harvested", 80, {"crop": "pea", "bed": "a", "amount": 1, "unit": "kg"}),
            ("sown", 1, {"crop": "pea", "bed": "a"}),
        ),
    )
    assert plot.plantings[0].harvests[0].kg == 1


def test_stores_are_made_used_and_counted() -> None:
    plot = fold_events(
        "p",
        tell(
            (
                "preserved",
                1,
                {
                    "crop": "runner-bean",
                    "amount": 4,
                    "unit": "bag",
                    "data": {"product": "frozen", "kg": 1.2, "where": "freezer", "best_before": "2027-05-02"},
                },
            ),
            ("used", 5, {"crop": "runner-bean", "amount": 1, "unit": "bag", "data": {"lots": [[1, 1]]}}),
            ("used", 6, {"crop": "runner-bean", "data": {"lots": [[1, 9], [99, 1]]}}),
            ("stock_set", 7, {"data": {"lots": [[1, 2]]}}),
        ),
    )
    (lot,) = plot.lots
    assert (lot.made_count, lot.left, lot.kg, lot.where, lot.best_before) == (4, 2, 1.2, "freezer", date(2027, 5, 2))


def test_seed_is_added_and_used_up() -> None:
    plot = fold_events(
        "p",
        tell(
            (
                "seed_added",
                1,
                {"crop": "leek", "amount": 100, "unit": "seed", "data": {"year": 2024, "source": "saved"}},
            ),
            ("seed_added", 1, {"crop": "pea", "amount": 1, "unit": "packet"}),
            ("seed_used", 2, {"data": {"seeds": [[1, 40], [2, None]]}}),
        ),
    )
    assert [(s.crop, s.amount, s.used_up) for s in plot.seeds] == [("leek", 60, False), ("pea", None, True)]


def test_settings_place_and_people() -> None:
    plot = fold_events(
        "p",
        tell(
            (
                "plot_set",
                0,
                {
                    "data": {
                        "units": "us",
                        "summary_day": None,
                        "place": {"lat": 45.05, "lon": 3.9, "tz": "Europe/Paris"},
                        "wishes": ["salads"],
                        "stores": ["freezer"],
                    }
                },
            ),
            ("person_added", 0, {"words": "Ines", "data": {"person": "ines"}}),
            ("person_added", 0, {"data": {"person": "tomas"}}),
            ("person_removed", 1, {"data": {"person": "ines"}}),
        ),
    )
    assert plot.settings.units == "us" and plot.settings.summary_day is None and plot.settings.wishes == ("salads",)
    assert plot.settings.place is not None and plot.settings.place.tz == "Europe/Paris"
    assert plot.extra["stores"] == ["freezer"] and plot.people == ("tomas",) and plot.extra["names"]["ines"] == "Ines"


def test_undo_takes_back_and_an_undone_undo_brings_back() -> None:
    rows = [("sown", 1, {"crop": "pea", "bed": "a"}), ("undone", 1, {"refs": (1,)})]
    assert fold_events("p", tell(*rows)).plantings == ()
    assert fold_events("p", tell(*rows)).last_message is None
    assert len(fold_events("p", tell(*rows, ("undone", 1, {"refs": (2,)}))).plantings) == 1


def test_corrections_change_what_was_said_and_can_be_undone() -> None:
    rows = [
        ("sown", 1, {"crop": "pea", "bed": "a"}),
        ("harvested", 9, {"crop": "pea", "bed": "a", "amount": 2, "unit": "kg", "data": {"planting": 1}}),
        ("corrected", 9, {"refs": (2,), "data": {"changes": {"amount": 3, "day": "2026-05-09"}}}),
    ]
    plot = fold_events("p", tell(*rows))
    assert (plot.plantings[0].harvests[0].kg, plot.plantings[0].harvests[0].day) == (3, date(2026, 5, 9))
    assert plot.last_message == "m3" and [e.kind for e in plot.journal] == ["sown", "harvested"]
    back = fold_events("p", tell(*rows, ("undone", 9, {"refs": (3,)})))
    assert back.plantings[0].harvests[0].kg == 2 and back.last_message == "m2"


def test_a_corrected_bed_moves_the_picking_to_the_planting_there() -> None:
    plot = fold_events(
        "p",
        tell(
            ("sown", 1, {"crop": "pea", "bed": "a"}),
            ("sown", 1, {"crop": "pea", "bed": "b"}),
            ("harvested", 9, {"crop": "pea", "bed": "a", "amount": 2, "unit": "kg", "data": {"planting": 1}}),
            ("corrected", 9, {"refs": (3,), "data": {"changes": {"bed": "b"}}}),
        ),
    )
    assert [bool(p.harvests) for p in plot.plantings] == [False, True]


_kinds = st.sampled_from(
    [
        "sown",
        "planted_out",
        "harvested",
        "cleared",
        "undone",
        "corrected",
        "noted",
        "bed_added",
        "bed_set",
        "bed_removed",
        "preserved",
        "used",
        "plot_set",
    ]
)


@st.composite
def journals(draw: st.DrawFn) -> tuple[Event, ...]:
    """Draw a journal of any events in any order of days."""
    rows = []
    for seq in range(1, draw(st.integers(0, 18)) + 1):
        kind = draw(_kinds)
        fields: dict[str, Any] = {
            "crop": draw(st.sampled_from(["pea", "kale", None])),
            "bed": draw(st.sampled_from(["a", "b", None])),
        }
        if kind in ("undone", "corrected"):
            fields = {"refs": (draw(st.integers(1, max(1, seq - 1))),)}
        if kind == "corrected":
            fields["data"] = {"changes": {"bed": "b", "amount": 7.0}}
        if kind == "used":
            fields["data"] = {"lots": [[draw(st.integers(1, seq)), 1.0]]}
        if kind == "bed_set":
            fields["data"] = {"kind": draw(st.sampled_from(["bed", "frame"]))}
        if kind == "sown":
            fields["data"] = {"method": draw(st.sampled_from(["direct", "module"]))}
        rows.append((kind, draw(st.integers(0, 6)), fields))
    return tell(*rows)


@settings(max_examples=150, deadline=None)
@given(journals(), st.integers(0, 18))
def test_carrying_a_fold_on_gives_what_folding_anew_gives(events: tuple[Event, ...], cut: int) -> None:
    folder = Folder("p")
    folder.extend(events[:cut])
    folder.extend(events[cut:])
    assert folder.plot() == fold_events("p", events)


@settings(max_examples=60, deadline=None)
@given(journals())
def test_undoing_the_last_event_restores_the_plot_before_it(events: tuple[Event, ...]) -> None:
    if not events:
        return
    seq = len(events) + 1
    undo = Event("undone", START, seq=seq, message="u", refs=(events[-1].seq,))
    before, after = fold_events("p", events[:-1]), fold_events("p", (*events, undo))
    assert _state(before) == _state(after)


def _state(plot: Plot) -> tuple[Any, ...]:
    return plot.beds, plot.plantings, plot.lots, plot.journal, plot.settings, plot.harvests
