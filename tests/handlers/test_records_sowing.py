"""Sowings and plantings."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bot.request import Quantity
from tests.handlers.plotting import TODAY, Garden, kg, n, on, says

JUNE = date(2026, 6, 17)


def test_a_sowing_is_echoed_with_when_it_comes_up() -> None:
    garden = Garden()
    reply = garden.tell("log_sow", crops=("carrot",), beds=("bed-3",), quantities=n(2, "row"))
    assert reply.headline == "Sowed carrots in Bed 3, 2 rows, 8 m in all, today."
    assert any("come up in" in line for line in reply.lines) and reply.sources
    (carrot,) = garden.plot.standing(bed="bed-3")
    assert (carrot.sown, carrot.method, carrot.row_m) == (TODAY, "direct", 8)


def test_the_same_row_in_feet() -> None:
    reply = Garden(units="us").tell(
        "log_sow", crops=("carrot",), beds=("bed-3",), quantities=(Quantity(3.048, "m", "10 ft"),)
    )
    assert reply.headline == "Sowed carrots in Bed 3, 10 ft of row, today."


def test_without_a_bed_it_asks_and_offers_the_empty_ones_first() -> None:
    reply = Garden().tell("log_sow", crops=("carrot",))
    assert not reply.events and reply.wants == "bed" and says(reply)[0] == "sowed carrots in Bed 3"
    assert says(reply)[-1] == "sowed carrots indoors"


@pytest.mark.parametrize(
    ("fields", "method"),
    [({"quantities": n(1, "tray")}, "module"), ({"method": "indoors"}, "indoors"), ({"method": "module"}, "module")],
)
def test_trays_and_windowsills_need_no_bed(fields: dict[str, object], method: str) -> None:
    garden = Garden()
    reply = garden.tell("log_sow", crops=("lettuce",), **fields)
    assert reply.events[0].bed is None and reply.events[0].data["method"] == method
    assert garden.plot.plantings[-1].in_ground is None


@pytest.mark.parametrize(("crop", "method"), [("garlic", "cloves"), ("potato", "tubers")])
def test_cloves_and_tubers_sown_are_planted(crop: str, method: str) -> None:
    reply = Garden().tell("log_sow", crops=(crop,), beds=("bed-3",), quantities=n(24))
    (event,) = reply.events
    assert event.kind == "planted_out" and event.data == {"method": method, "count": 24}
    assert f"24 {method}" in reply.headline


def test_planting_out_carries_on_the_sowing() -> None:
    garden = Garden(JUNE)
    reply = garden.tell("log_plant_out", crops=("leek",), beds=("bed-3",), quantities=n(40))
    assert "That carries on the sowing of 22 March, 12 weeks ago." in reply.lines
    (leek,) = garden.plot.standing(crop="leek")
    assert (leek.bed, leek.sown, leek.planted_out, leek.count) == ("bed-3", date(2026, 3, 22), JUNE, 40)


def test_bought_plants_begin_a_planting_of_their_own() -> None:
    garden = Garden()
    reply = garden.tell("log_plant_out", crops=("celeriac",), beds=("bed-3",), quantities=n(6, "plant"))
    assert (
        reply.headline == "Planted celeriac in Bed 3, 6 plants, today."
        and garden.plot.standing(crop="celeriac")[0].method == "plants"
    )


def test_moved_from_the_frame_to_a_bed_lands_in_the_bed() -> None:
    reply = Garden(JUNE).tell("log_plant_out", crops=("leek",), beds=("frame", "bed-3"))
    assert reply.events[0].bed == "bed-3"


def test_two_crops_in_one_bed() -> None:
    reply = Garden().tell("log_sow", crops=("turnip", "radish"), beds=("bed-3",))
    assert [e.crop for e in reply.events] == ["turnip", "radish"] and len(reply.lines) >= 1


def test_an_ambiguous_crop_to_plant_out_is_the_one_waiting_in_the_frame() -> None:
    reply = Garden(JUNE).tell(
        "log_plant_out",
        "planted out the broccoli",
        crop_choices=("broccoli-calabrese", "broccoli-sprouting"),
        beds=("bed-3",),
    )
    assert [e.crop for e in reply.events] == ["broccoli-sprouting"]


@pytest.mark.parametrize(
    "fields",
    [
        {"when": on(TODAY + timedelta(2))},
        {"quantities": (Quantity(400, "m", "400 m"),)},
        {"quantities": kg(-1)},
        {"unknown_bed": "bed 12"},
        {"crops": ()},
        {"crops": (), "unknown_crop": "gloopfruit"},
    ],
)
def test_what_cannot_be_records_nothing(fields: dict[str, object]) -> None:
    reply = Garden().tell("log_sow", **{"crops": ("carrot",), "beds": ("bed-3",), **fields})
    assert reply.events == ()


def test_on_an_empty_plot_a_sowing_needs_no_bed() -> None:
    garden = Garden(empty=True)
    assert garden.tell("log_sow", crops=("pea",)).headline == "Sowed peas, today."
    assert garden.plot.standing(crop="pea")


def test_the_day_said_is_the_day_kept() -> None:
    reply = Garden().tell("log_sow", crops=("pea",), beds=("bed-3",), when=on(TODAY - timedelta(1)))
    assert reply.headline == "Sowed peas in Bed 3, yesterday." and reply.events[0].day == TODAY - timedelta(1)


def test_more_row_than_the_bed_holds_is_asked_about() -> None:
    garden = Garden()
    row = (Quantity(100, "m", "100 m"),)
    reply = garden.tell("log_sow", crops=("carrot",), beds=("bed-3",), quantities=row)
    assert reply.headline == "100 m of row in Bed 3? That is more than it holds. Is it right?" and not reply.events
    assert garden.tell("log_sow", crops=("carrot",), beds=("bed-3",), quantities=row, flags=frozenset({"yes"})).events
    assert garden.tell("log_sow", crops=("carrot",), beds=("bed-3",), quantities=(Quantity(40, "m", "40 m"),)).events
