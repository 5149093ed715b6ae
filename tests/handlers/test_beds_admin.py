"""Adding, changing and taking away beds."""

from __future__ import annotations

import pytest

from bot.request import Quantity
from tests.handlers.plotting import Garden, says


def m(*values: float) -> tuple[Quantity, ...]:
    return tuple(Quantity(value, "m", f"{value:g} m") for value in values)


@pytest.mark.parametrize(
    ("text", "fields", "name", "kind", "data"),
    [
        (
            "add a bed 1.2 x 4 m called Long bed",
            {"size_m": (1.2, 4.0)},
            "Long bed",
            "bed",
            {"length_m": 4.0, "width_m": 1.2},
        ),
        ("create bed 6", {"size_m": (1.0, 2.0)}, "Bed 6", "bed", {}),
        ("new raised bed", {"size_m": (1.0, 2.0)}, "Raised bed", "bed", {}),
        ("add greenhouse 2x3", {"size_m": (2.0, 3.0)}, "Greenhouse", "greenhouse", {"cover": "greenhouse"}),
        (
            "we have now a second polytunnel 5 by 3 metres",
            {"size_m": (5.0, 3.0)},
            "Tunnel 2",
            "tunnel",
            {"cover": "polytunnel"},
        ),
        (
            "registered a new bed please: 10 ft by 3, full sun",
            {"size_m": (3.048, 0.914)},
            "Bed 5",
            "bed",
            {"light": "sun"},
        ),
        ('a new bed "nursery" 1x1', {"size_m": (1.0, 1.0)}, "Nursery", "bed", {}),
        ("bed five is ready, same size as the others", {}, "Bed 5", "bed", {"length_m": 4, "width_m": 1.2}),
        ("a bed 4 m long and 1 m wide", {"quantities": m(1)}, "Bed 5", "bed", {"length_m": 4.0, "width_m": 1.0}),
        ("a shady border", {"size_m": (1.0, 6.0)}, "Border", "border", {"light": "part-shade"}),
    ],
)
def test_a_bed_is_added(text: str, fields: dict[str, object], name: str, kind: str, data: dict[str, object]) -> None:
    garden = Garden()
    reply = garden.tell("add_bed", text, **fields)
    (event,) = reply.events
    assert event.data["name"] == name and event.data["kind"] == kind and data.items() <= event.data.items()
    assert event.bed in garden.plot.beds and reply.headline.startswith(f"Added {name}")
    assert says(reply) == [f"what fits {name}"]


def test_without_a_size_it_is_added_and_asked_for() -> None:
    garden = Garden()
    reply = garden.tell("add_bed", "add a bed")
    assert reply.events[0].bed == "bed-5" and reply.wants == "quantity"
    assert reply.waiting is not None and (reply.waiting.intent, reply.waiting.beds) == ("set_bed", ("bed-5",))


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("add a bed 40 m wide and 3 m long", {"quantities": m(3)}),
        ("add a bed", {"size_m": (40.0, 3.0)}),
        ("add a bed", {"size_m": (0.0, 3.0)}),
        ("add a bed", {"size_m": (-1.0, 3.0)}),
        ("add a bed 40 m wide", {"quantities": m(40)}),
        ("add a bed called Bed 2", {"size_m": (1.0, 3.0)}),
        ("add a bed called bean arch", {"size_m": (1.0, 3.0)}),
    ],
)
def test_what_no_bed_can_be_is_not_added(text: str, fields: dict[str, object]) -> None:
    garden = Garden()
    beds = dict(garden.plot.beds)
    garden.tell("add_bed", text, **fields)
    assert garden.plot.beds == beds


def test_a_huge_bed_is_added_once_confirmed() -> None:
    reply = Garden().tell("add_bed", "add a bed", size_m=(40.0, 3.0), flags=frozenset({"yes"}))
    assert reply.events[0].data["length_m"] == 40


def test_a_new_bed_never_takes_the_id_of_one_taken_away() -> None:
    garden = Garden()
    garden.tell("set_bed", "delete bed 4", beds=("bed-4",), flags=frozenset({"yes"}))
    reply = garden.tell("add_bed", "add a bed called Bed 4", size_m=(1.0, 3.0))
    assert reply.events[0].bed == "bed-4-2" and garden.plot.standing(bed="bed-4-2") == ()


@pytest.mark.parametrize(
    ("text", "bed", "fields", "data"),
    [
        ("bed 4 is in shade after 2 pm", "bed-4", {}, {"light": "part-shade"}),
        ("bed 1 gets full sun all day", "bed-1", {}, {"light": "sun"}),
        ("bed 1 is in full shade", "bed-1", {}, {"light": "shade"}),
        ("bed 3 is actually 1.2 by 5", "bed-3", {"size_m": (1.2, 5.0)}, {"length_m": 5.0, "width_m": 1.2}),
        ("put a fleece on bed 1", "bed-1", {"cover": "fleece"}, {"cover": "fleece"}),
        ("take the fleece off bed 4", "bed-4", {"cover": "fleece"}, {"cover": None}),
        (
            "rename bed 2 to bean bed",
            "bed-2",
            {},
            {"name": "Bean bed", "nicknames": ["arch bed", "bean arch", "Bed 2"]},
        ),
        ("call the middle bed Jim", "bed-3", {}, {"name": "Jim", "nicknames": ["middle bed", "Bed 3"]}),
        ("bed 4 has 6 hours of sun", "bed-4", {}, {"sun_hours": 6.0}),
    ],
)
def test_a_bed_is_changed(text: str, bed: str, fields: dict[str, object], data: dict[str, object]) -> None:
    garden = Garden()
    reply = garden.tell("set_bed", text, beds=(bed,), **fields)
    assert reply.events[0].data == data
    assert all(getattr(garden.plot.beds[bed], k) == (tuple(v) if isinstance(v, list) else v) for k, v in data.items())


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("bed 3 is 40 by 40", {"size_m": (40.0, 40.0)}),
        ("rename bed 3 to Bed 4", {}),
        ("about bed 3", {}),
        ("delete bed 3, it's a path now", {}),
        ("bed 9 is sunny", {"beds": (), "unknown_bed": "bed 9"}),
        ("it is sunny", {"beds": ()}),
    ],
)
def test_nothing_is_changed_unasked(text: str, fields: dict[str, object]) -> None:
    assert Garden().tell("set_bed", text, **{"beds": ("bed-3",), **fields}).events == ()


def test_one_side_alone_is_changed() -> None:
    garden = Garden()
    reply = garden.tell("set_bed", text="bed 4 is 5 m long", beds=("bed-4",), quantities=m(5.0))
    assert reply.events[0].data == {"length_m": 5.0} and "1.2 x 5 m" in reply.headline
    reply = Garden().tell("set_bed", text="bed 4 is 40 m wide", beds=("bed-4",), quantities=m(40.0))
    assert not reply.events
