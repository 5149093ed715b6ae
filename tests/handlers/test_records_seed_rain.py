"""Measured rain and new seed: what is recorded, what is said back, and what is refused."""

from __future__ import annotations

import pytest

from bot.request import Quantity, When
from tests.handlers.plotting import TODAY, Garden, n


def test_measured_rain_is_kept_in_millimetres() -> None:
    garden = Garden()
    reply = garden.tell("log_note", text="we had 20 mm of rain", quantities=(Quantity(0.02, "m", "20 mm"),))
    assert reply.headline == "Noted: 20 mm of rain, today."
    (event,) = reply.events
    assert (event.kind, event.amount, event.unit, event.day) == ("rain_seen", 20.0, "mm", TODAY)
    reply = Garden(units="us").tell("log_note", text="an inch of rain", quantities=(Quantity(0.0254, "m", "an inch"),))
    assert reply.headline == "Noted: 1 in of rain, today." and reply.events[0].amount == pytest.approx(25.4)


def test_a_flood_and_a_rain_to_come_are_refused() -> None:
    reply = Garden().tell("log_note", text="9000 mm of rain", quantities=(Quantity(9.0, "m", "9000 mm"),))
    assert not reply.events and "can't be right" in reply.headline
    ahead = When(TODAY.replace(year=TODAY.year + 1), TODAY.replace(year=TODAY.year + 1))
    reply = Garden().tell("log_note", text="20 mm of rain", quantities=(Quantity(0.02, "m", "20 mm"),), when=ahead)
    assert not reply.events


def test_bought_and_saved_seed_go_into_the_tin() -> None:
    garden = Garden()
    reply = garden.tell("log_preserve", text="bought a packet of parsnip seed", crops=("parsnip",),
                        quantities=(Quantity(1.0, "packet", "a packet"),))
    (event,) = reply.events
    assert (event.kind, event.crop, event.amount, event.unit) == ("seed_added", "parsnip", 1.0, "packet")
    assert event.data["year"] == TODAY.year and reply.headline.startswith("Put in the seed tin: 1 packet of parsnip")
    reply = garden.tell("log_preserve", text="kept 60 runner bean seeds", crops=("runner-bean",), quantities=n(60))
    assert reply.events[0].data["source"] == "saved" and "60 runner bean seeds, saved" in reply.headline
    assert [s.crop for s in garden.plot.seeds][-2:] == ["parsnip", "runner-bean"]


def test_old_seed_is_judged_and_food_is_no_seed() -> None:
    text = f"got a packet of parsnip seed from {TODAY.year - 4}"
    reply = Garden().tell("log_preserve", text=text, crops=("parsnip",), quantities=(Quantity(1, "packet", "one"),))
    assert reply.events[0].data["year"] == TODAY.year - 4 and "past its life" in reply.lines[0]
    bags = (Quantity(3.0, "bag", "3 bags"),)
    reply = Garden().tell("log_preserve", text="froze 3 bags of peas", crops=("pea",), quantities=bags)
    assert reply.events[0].kind == "preserved"
