"""Quantities, sizes and temperatures, with factors checked against pint where it knows the unit."""

from __future__ import annotations

import pint
import pytest

UNITS = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("picked 2.3 kg of beans", 2.3, "kg"),
        ("picked 500g peas", 0.5, "kg"),
        ("picked 1,5 kg of peas", 1.5, "kg"),
        ("picked two and a half kilos of peas", 2.5, "kg"),
        ("picked half a kilo of peas", 0.5, "kg"),
        ("picked a kilo and a half of peas", 1.5, "kg"),
        ("picked 1 1/2 kg of peas", 1.5, "kg"),
        ("picked 3/4 kg of peas", 0.75, "kg"),
        ("picked 12 leeks", 12, "count"),
        ("picked a dozen leeks", 12, "count"),
        ("picked half a dozen leeks", 6, "count"),
        ("picked a couple of lettuces", 2, "count"),
        ("picked twenty five leeks", 25, "count"),
        ("picked a handful of peas", 1, "handful"),
        ("froze 3 bags of peas", 3, "bag"),
        ("froze 4 quart bags of peas", 4, "bag"),
        ("made 4 jars of chutney", 4, "jar"),
        ("sowed two rows of carrots", 2, "row"),
        ("sowed a tray of lettuce", 1, "tray"),
        ("picked 3 bunches of radishes", 3, "bunch"),
        ("spread 2 barrows of manure on bed 1", 2, "barrow"),
        ("sowed 4 metres of carrots", 4, "m"),
        ("picked two and three quarter kilos of peas", 2.75, "kg"),
        ("picked five or six kilos of peas", 5.5, "kg"),
        ("picked 3/4 of a kilo of peas", 0.75, "kg"),
        ("sowed 1/2 a packet of lettuce", 0.5, "packet"),
        ("froze 5 x 250 g bags of peas", 5, "bag"),
        ("planted sweetcorn in a 6 x 4 block in bed 3", 24, "count"),
        ("planted out a score of kale", 20, "count"),
        ("picked three quarter of a kilo of peas", 0.75, "kg"),
        ("cut a brace of lettuces", 2, "count"),
        ("picked two and half kilos of peas", 2.5, "kg"),
        ("picked between 2 and 3 kilos of peas", 2.5, "kg"),
        ("picked one kilo 200 of strawberries", 1.2, "kg"),
        ("picked 1kg200 strawberries", 1.2, "kg"),
        ("dug half a hundredweight of potatoes", 25.4012, "kg"),
        ("picked an ice cream tub full of raspberries", 1, "tub"),
        ("pulled bunch radishes", 1, "bunch"),
        ("dug 2 kg of spuds from no 3", 2, "kg"),
        ("on a three year rotation so spuds went in bed 4, 18 of them", 18, "count"),
        ("sowed row and a half of carrots", 1.5, "row"),
        ("planted a plum tree, 3 years old, in bed 1", 1, "count"),
        ("picked half a dozen eggs and a marrow", 1, "count"),
        ("put in 4 drills of spuds", 4, "row"),
        ("planted leeks 15 cm apart in bed 1, 40 of them", 40, "count"),
        ("sowed basil in 3 inch pots, 10 of them", 10, "count"),
        ("leeks planted at 6 o'clock last night, 2 doz", 24, "count"),
        ("planted out 12, no make that 14, leeks in bed 2", 14, "count"),
        ("planted the gooseberry in the wall bed, just the one", 1, "count"),
    ],
)
def test_quantities(read, text: str, value: float, unit: str) -> None:
    amounts = [q for r in read(text).requests for q in r.quantities]
    assert [(round(q.value, 4), q.unit) for q in amounts] == [(value, unit)]


@pytest.mark.parametrize(
    ("text", "oracle"),
    [
        ("picked 2 lb of peas", 2 * UNITS.pound), ("picked 12 oz of peas", 12 * UNITS.ounce),
        ("picked 2 lb 4 oz of peas", 2 * UNITS.pound + 4 * UNITS.ounce),
        ("peas from bed 2, 4 lb 12", 4 * UNITS.pound + 12 * UNITS.ounce),
        ("picked 1 stone of potatoes", 14 * UNITS.pound),
    ],
)
def test_weights_agree_with_pint(read, text: str, oracle: pint.Quantity) -> None:
    (quantity,) = read(text).requests[0].quantities
    assert quantity.value == pytest.approx(oracle.to("kg").magnitude, rel=1e-6)


@pytest.mark.parametrize(("region", "oracle"), [("GB", UNITS.imperial_pint), ("US", UNITS.pint)])
def test_a_pint_is_the_pint_of_the_place(read, region: str, oracle: pint.Unit) -> None:
    (quantity,) = read("made 3 pints of tomato juice", region=region).requests[0].quantities
    assert quantity.value == pytest.approx((3 * oracle).to("litre").magnitude, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "region", "size"),
    [
        ("add a bed 1.2 x 4 m", "GB", (1.2, 4.0)), ("add a bed 1.2m by 4m", "GB", (1.2, 4.0)),
        ("add a 4x8 bed", "US", (1.2192, 2.4384)), ("add a 4x8 bed", "GB", (1.2192, 2.4384)),
        ("add a bed 4ft x 8ft", "GB", (1.2192, 2.4384)), ("add a polytunnel 3x6", "GB", (3.0, 6.0)),
        ("add a bed 80 cm by 2 m", "GB", (0.8, 2.0)),
        ("add a bed 3x20 in part shade", "US", (0.9144, 6.096)), ("add a bed 3x20 in part shade", "GB", (0.9144, 6.096)),
        ("add a bed 3 ft x 20 in full sun", "US", (0.9144, 6.096)), ("add a bed 1x2 in the tunnel", "GB", (1.0, 2.0)),
        ("add a bed 4x8 in size", "US", (1.2192, 2.4384)), ("add a 48 in x 96 in bed", "US", (1.2192, 2.4384)),
        ("add a bed 48 x 96in in part shade", "US", (1.2192, 2.4384)), ("add a bed 48 x 96 in, in the shade", "US", (1.2192, 2.4384)),
    ],
)
def test_bed_sizes(one, text: str, region: str, size: tuple[float, float]) -> None:
    assert one(text, region=region).size_m == pytest.approx(size)


@pytest.mark.parametrize(
    ("text", "region", "celsius"),
    [
        ("will the kale stand -9", "GB", -9), ("will the kale stand minus nine", "GB", -9),
        ("will kale stand -9C", "GB", -9), ("will kale survive 5 degrees", "GB", 5),
        ("will kale survive 20F", "GB", -6.67), ("will kale survive 20 degrees", "US", -6.67),
        ("will leeks stand minus 5", "GB", -5), ("is kale ok down to -12", "GB", -12),
        ("will chard survive 12 degrees", "US", -11.11), ("will chard survive 12 degrees", "CA", 12), ("will chard survive 12 degrees", "GB", 12),
        ("10 degrees tonight", "US", -12.22), ("10 degrees tonight", "CA", 10), ("15 degrees tonight", "CA", 15),
        ("will kale survive 20 degrees", "CA", -6.67), ("will kale survive -15 degrees", "CA", -15), ("will kale survive -5 degrees", "US", -20.56),
        ("will kale survive 12C", "US", 12), ("will kale survive 55 degrees", "GB", 12.78),
        ("will carrots germinate at 7 degrees", "US", 7), ("will carrots germinate at 45 degrees", "US", 7.22),
        ("how often do I water tomatoes in a heatwave of 35 degrees", "US", 35), ("can I sow beans when the soil is 12 degrees", "US", 12),
        ("will leeks stand 5 degrees of frost", "GB", -5), ("will leeks stand 9 degrees of frost", "US", -5),
        ("will leeks stand 9 degrees below freezing", "US", -5),
    ],
)
def test_temperatures(one, text: str, region: str, celsius: float) -> None:
    assert one(text, region=region).temperature_c == pytest.approx(celsius, abs=0.01)


def test_a_negative_amount_is_kept_negative_for_the_handler_to_refuse(read) -> None:
    amounts = [q.value for r in read("picked -3 kg of beans from bed 2").requests for q in r.quantities]
    assert amounts == [-3]


@pytest.mark.parametrize("text", ["sowed carrots 1 cm deep in bed 1", "sowed beans 5cm deep 20cm apart in bed 2"])
def test_a_depth_or_spacing_is_no_amount_sown(read, text: str) -> None:
    assert [q for r in read(text).requests for q in r.quantities] == []


def _told(read, text: str) -> list[tuple]:
    return [(r.crops, r.beds, [(q.value, q.unit) for q in r.quantities], r.when.start.day if r.when else None) for r in read(text).requests]


@pytest.mark.parametrize(("text", "told"), [
    ("gave away 5 courgettes and a lettuce", [(("courgette",), (), [(5, "count")], None), (("lettuce",), (), [(1, "count")], None)]),
    ("broad beans 1.4 kg; lettuce 2; strawberries 600 g",
     [(("broad-bean",), (), [(1.4, "kg")], None), (("lettuce",), (), [(2, "count")], None), (("strawberry",), (), [(0.6, "kg")], None)]),
    ("picked strawberries and 2 kg of runners", [(("strawberry",), (), [], None), (("runner-bean",), (), [(2, "kg")], None)]),
    ("5 kg of spuds, 3 of onions and 1 of carrots dug yesterday",
     [(("potato",), (), [(5, "kg")], 16), (("onion",), (), [(3, "kg")], 16), (("carrot",), (), [(1, "kg")], 16)]),
    ("froze 2 lb gooseberries and bottled 3 jars of rhubarb", [(("gooseberry",), (), [(0.907185, "kg")], None), (("rhubarb",), (), [(3, "jar")], None)]),
    ("two cos lettuces and a bunch of spring onions picked from the frame",
     [(("lettuce",), ("frame",), [(2, "count")], None), (("spring-onion",), ("frame",), [(1, "bunch")], None)]),
    ("sowed bed 1 carrots, bed 3 beetroot", [(("carrot",), ("bed-1",), [], None), (("beetroot",), ("bed-3",), [], None)]),
    ("sown in bed four: half a row of dill, two of coriander", [(("dill",), ("bed-4",), [(0.5, "row")], None), (("coriander",), ("bed-4",), [(2, "row")], None)]),
    ("beetroot: 7 from bed 1, 4 from bed 3", [(("beetroot",), ("bed-1",), [(7, "count")], None), (("beetroot",), ("bed-3",), [(4, "count")], None)]),
    ("bed1 carrots sown, bed2 beetroot sown", [(("carrot",), ("bed-1",), [], None), (("beetroot",), ("bed-2",), [], None)]),
    ("Monday: 1kg strawberries. Tuesday: 800g peas.", [(("strawberry",), (), [(1, "kg")], 15), (("pea",), (), [(0.8, "kg")], 16)]),
    ("picked 11 lettuces and some radish", [(("lettuce",), (), [(11, "count")], None), (("radish",), (), [], None)]),
    ("sowed pak choi half a tray, and celtuce", [(("pak-choi",), (), [(0.5, "tray")], None), (("celtuce",), (), [], None)]),
    ("sowed leeks, one row, and a row of endive", [(("leek",), (), [(1, "row")], None), (("endive",), (), [(1, "row")], None)]),
    ("jam done: 9 jars strawberry, 4 jars gooseberry", [(("strawberry",), (), [(9, "jar")], None), (("gooseberry",), (), [(4, "jar")], None)]),
    ("sowed beetroot 21st of may and again 11th june", [(("beetroot",), (), [], 21), (("beetroot",), (), [], 11)]),
    ("strawberries 2 punnets mon, 3 punnets tue", [(("strawberry",), (), [(2, "punnet")], 15), (("strawberry",), (), [(3, "punnet")], 16)]),
])
def test_each_thing_of_a_list_has_its_own(read, text: str, told: list[tuple]) -> None:
    assert _told(read, text) == told


def test_inches_are_not_the_word_in(read) -> None:
    reading = read("planted 6 in bed 2")
    assert all(q.unit != "m" for r in reading.requests for q in r.quantities)
