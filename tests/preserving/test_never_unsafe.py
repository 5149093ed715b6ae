"""No request whatever makes the bot give a boiling-water time for a low-acid product, or less than the table's time."""

from __future__ import annotations

import re
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from bot.facts.preserving import CanProduct
from bot.preserving.altitude import to_feet
from bot.preserving.measures import prose
from bot.reply import Reply, plain_text
from bot.request import Quantity, Spot
from bot.wording import Wording
from tests.preserving.kitchen import FACTS, Kitchen

ROOM = FACTS.preserving
PRODUCTS: dict[str, CanProduct] = {p.id: p for p in ROOM.canning}
CROPS = sorted(
    {c for p in ROOM.canning for c in (*p.crops, *p.raw_crops, *p.also)}
    | set(ROOM.words.low_acid)
    | set(ROOM.words.high_acid)
)
WORDS = sorted(
    {w for p in ROOM.canning for w in (p.name, *p.words)}
    | {
        "water bath",
        "boiling water",
        "pressure canner",
        "dial gauge",
        "weighted gauge",
        "steam canner",
        "bain-marie",
        "raw pack",
        "hot pack",
        "pints",
        "quarts",
        "half pints",
        "half gallon",
        "500 ml jars",
        "1 litre jars",
        "750 ml jars",
        "jars",
        "bottle",
        "can",
        "how long",
        "minutes",
        "10 minutes",
        "for 3 hours",
        "in",
        "with",
        "and",
        "no",
        "not",
        "at 300 m",
        "at sea level",
        "at 2,500 ft",
        "2000 m up",
        "a 12 m row",
        "pickled",
        "relish",
        "chutney",
        "jam",
        "soup",
        "puree",
        "sauce",
        "juice",
        "low acid",
        "plain",
        "is it safe",
        "please",
        "freeze",
        "fridge",
        "vinegar",
        "5 % vinegar",
        "6%",
        "lemon juice",
        "salt",
        "sugar",
        "onions",
        "whole",
        "sliced",
        "cubes",
        "fermented",
        "recipe for",
    }
)
METHODS = [None, "water-bath", "pressure", "steam", "oven", "quick-pickle", "dehydrator", "boiling-water"]
KINDS = [
    None,
    "bottled",
    "pickled",
    "jam",
    "chutney",
    "relish",
    "salsa",
    "soup",
    "puree",
    "passata",
    "fermented",
    "frozen",
    "garlic-in-oil",
]
TIMES = re.compile(r"(\d+(?:\.\d+)?) min(?:\b|utes)")


@st.composite
def asked(draw: st.DrawFn) -> dict[str, Any]:
    words = draw(
        st.lists(
            st.one_of(st.sampled_from(WORDS), st.sampled_from(CROPS).map(lambda c: c.replace("-", " "))), max_size=8
        )
    )
    crops = draw(st.lists(st.sampled_from(CROPS), max_size=3, unique=True))
    quantities = draw(
        st.lists(
            st.builds(
                Quantity,
                st.floats(-5, 5000, allow_nan=False),
                st.sampled_from(["kg", "jar", "l", "m", "percent", "count", "bag", "c", "day"]),
            ),
            max_size=3,
        )
    )
    return {
        "intent": draw(st.sampled_from(["can", "pickle", "ferment"])),
        "text": " ".join(words) or draw(st.text(max_size=40)),
        "crops": crops if draw(st.booleans()) else [],
        "crop_choices": crops if draw(st.booleans()) else [],
        "quantities": tuple(quantities),
        "metres": draw(
            st.one_of(
                st.none(),
                st.floats(-600, 9000, allow_nan=False),
                st.sampled_from([0, 304.8, 304.81, 880, 914.4, 1828.8, 1828.9, 2438.4, 2438.5]),
            )
        ),
        "method": draw(st.sampled_from(METHODS)),
        "product": draw(st.sampled_from(KINDS)),
        "units": draw(st.sampled_from(["metric", "us"])),
        "spot": draw(st.sampled_from([None, Spot(lat=1.0, lon=2.0, elevation_m=1200.0)])),
    }


def put(case: dict[str, Any]) -> Reply:
    kitchen = Kitchen(case["metres"], units=case["units"])
    return kitchen.ask(
        case["intent"],
        case["text"],
        *case["crops"],
        crop_choices=tuple(case["crop_choices"]),
        quantities=case["quantities"],
        method=case["method"],
        product=case["product"],
        spot=case["spot"],
    )


def least(product: CanProduct, jar: str, pack: str, method: str, metres: float) -> list[tuple[float, float | None]]:
    """Read the table independently of the code under test: the first printed band that reaches the height."""
    feet, out = max(0.0, metres / 0.3048), []
    for process in product.processes:
        if process.method == method and jar in process.jar and pack in process.pack:
            for _low, high, minutes, psi in process.bands:
                if high is None or feet <= high + 0.011:
                    out.append((minutes, psi))
                    break
    return out


def check_row(product: CanProduct, row: dict[str, Any], metres: float) -> None:
    assert not (product.acid == "low" and row["method"] == "boiling-water")
    assert (row["minutes"], row["psi"]) in least(product, row["jar"], row["pack"], row["method"], metres)


@settings(max_examples=600, deadline=None)
@given(asked())
def test_nothing_makes_it_unsafe(case: dict[str, Any]) -> None:
    reply = put(case)
    assert not reply.events
    data = reply.data.get(case["intent"]) or reply.data.get("pickle") or {}
    text = plain_text(reply)
    if data.get("verdict") == "tested":
        product = PRODUCTS.get(data["product"])
        rows = data.get("rows", [])
        if product is None or data["minutes"] is None:
            assert not rows
            return
        metres = data["altitude_m"]
        assert metres is not None
        for row in [*rows, {k: data[k] for k in ("pack", "jar", "method", "minutes", "psi")}]:
            check_row(product, row, metres)
        if product.acid == "low":
            assert "Boiling water" not in text and "in a boiling-water canner" not in text
        note = prose(
            Wording(case["units"]), product.note or ""
        ).lower()  # "boiled 30 min first": of the food, not the jar
        said = [line for line in (reply.headline, *reply.lines) if not note or line.lower().rstrip(".") != note]
        shown = {float(t) for t in TIMES.findall("\n".join(said))}
        assert shown <= {r["minutes"] for r in rows} | {10.0}, text  # 10 minutes: boiling the empty jars
    elif data.get("verdict") == "refused":
        assert data.get("minutes") is None and not TIMES.search(text)
    elif data.get("verdict") == "ask":
        assert data.get("minutes") is None and data.get("psi") is None
        if case["intent"] == "can" and "reason" in data and data["reason"] == "which":
            assert "Boiling water" not in text or all(
                PRODUCTS_BY_NAME[line.split(":")[0].lower()].acid != "low"
                for line in reply.lines
                if "Boiling water" in line
            )


PRODUCTS_BY_NAME = {p.name.lower(): p for p in ROOM.canning}


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(ROOM.canning),
    st.floats(-400, 8000, allow_nan=False),
    st.sampled_from(["water bath", "boiling water", "steam canner", "bain-marie"]),
)
def test_low_acid_is_refused_in_boiling_water_by_any_name(product: CanProduct, metres: float, method: str) -> None:
    crop = next((c for c in (*product.crops, *product.also)), None)
    reply = Kitchen(metres).ask("can", f"{product.name} in a {method}", *([crop] if crop else []))
    data = reply.data["can"]
    if product.acid == "low":
        assert data["verdict"] == "refused" and data["minutes"] is None
        assert not TIMES.search(plain_text(reply))
    if product.acid == "low" or data["verdict"] != "tested":
        return
    for row in data["rows"]:
        check_row(PRODUCTS[data["product"]], row, data["altitude_m"])
        assert row["method"] == "boiling-water"


@given(st.sampled_from(ROOM.canning), st.floats(0, 3000, allow_nan=False))
def test_time_never_falls_with_height(product: CanProduct, metres: float) -> None:
    crop = next(iter(product.crops), None)
    if crop is None:
        return
    low, high = (Kitchen(m).ask("can", product.name, crop).data["can"] for m in (metres, metres + 500))
    if low["verdict"] == high["verdict"] == "tested" and low["product"] == high["product"]:
        assert high["minutes"] >= low["minutes"]
        assert (high["psi"] or 0) >= (low["psi"] or 0)
    assert to_feet(metres) <= to_feet(metres + 500)


@given(st.floats(0, 4.99, allow_nan=False), st.sampled_from(["french-bean", "beetroot", "cucumber", "carrot"]))
def test_weak_vinegar_is_always_refused(strength: float, crop: str) -> None:
    shown = f"{strength:.2f}"
    reply = Kitchen(880).ask("pickle", f"pickle them with vinegar of {shown} %", crop)
    assert float(shown) >= 5 or reply.data["pickle"]["verdict"] == "refused"
    own = Kitchen(880, vinegar_percent=strength).ask("pickle", "pickle them", crop)
    assert own.data["pickle"]["verdict"] == "refused"
