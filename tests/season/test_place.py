"""Coordinates as people write them, and towns."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.facts import Facts
from bot.season.place import PlaceError, check_coordinates, folded, gazetteer, parse_coordinates, place_at


@pytest.mark.parametrize(
    ("text", "lat", "lon", "up"),
    [
        ("45.05, 3.90", 45.05, 3.90, None),
        ("45.05 3.90 880", 45.05, 3.90, 880),
        ("45.05,3.9,880 m", 45.05, 3.9, 880),
        ("-42.9 147.3 50 m", -42.9, 147.3, 50),
        ("42.9 S, 147.3 E", -42.9, 147.3, None),
        ("51.2 N 3.1 W", 51.2, -3.1, None),
        ("45°03'N 3°54'E", 45.05, 3.9, None),
        ("45°03'00\"N, 3°54'00\"E", 45.05, 3.9, None),
        ("147.3 E, 42.9 S", -42.9, 147.3, None),
        ("45.05;3.9;2890 ft", 45.05, 3.9, 880.9),
        ("−42.9, 147.3", -42.9, 147.3, None),
    ],
)
def test_coordinates_are_read(text: str, lat: float, lon: float, up: float | None) -> None:
    found = parse_coordinates(text)
    assert found is not None
    assert found[:2] == pytest.approx((lat, lon), abs=1e-6)
    assert found[2] == (None if up is None else pytest.approx(up, abs=0.1))


@pytest.mark.parametrize("text", ["Hobart", "", "4x8", "45", "bed 3", "12.5.2024", "york, england", "a,b"])
def test_what_is_not_coordinates(text: str) -> None:
    assert parse_coordinates(text) is None


@pytest.mark.parametrize("text", ["95, 3", "45, 190", "-91 10", "45, 3.9, 9000"])
def test_coordinates_out_of_range_say_so(text: str) -> None:
    with pytest.raises(PlaceError, match="cannot be"):
        parse_coordinates(text)


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_any_coordinates_come_back(lat: float, lon: float) -> None:
    found = parse_coordinates(f"{lat:.4f}, {lon:.4f}")
    assert found is not None
    assert found[:2] == pytest.approx((lat, lon), abs=1e-4)


@given(st.text(max_size=60))
def test_no_text_breaks_the_reader(text: str) -> None:
    try:
        parse_coordinates(text)
    except PlaceError as error:
        assert "cannot be" in str(error)


def test_figures_that_are_not_numbers_are_refused() -> None:
    for lat, lon in ((float("nan"), 0.0), (0.0, float("inf"))):
        with pytest.raises(PlaceError):
            check_coordinates(lat, lon)


# towns


@pytest.mark.parametrize(
    ("typed", "label"),
    [
        ("York", "York, England"),
        ("york", "York, England"),
        ("Perth, Scotland", "Perth, Scotland"),
        ("Perth", "Perth, Western Australia"),
        ("Portland OR", "Portland, Oregon"),
        ("Portland, Maine", "Portland, Maine"),
        ("London, Ontario", "London, Ontario"),
        ("hobart tasmania", "Hobart, Tasmania"),
        ("Le Puy en Velay", "Le Puy-en-Velay, France"),
        ("Koln", "Köln, Germany"),
        ("Cologne", "Köln, Germany"),
        ("Bristol UK", "Bristol, England"),
        ("near Sligo", "Sligo, Ireland"),
        ("Burlington Vermont", "Burlington, Vermont"),
        ("Christchurch", "Christchurch, Canterbury"),
        ("Boise, Idaho", "Boise, Idaho"),
        ("Kraków", "Kraków, Poland"),
        ("Krakow", "Kraków, Poland"),
        ("Dunedin", "Dunedin, Otago"),
        ("Mende", "Mende, France"),
    ],
)
def test_a_town_is_found(typed: str, label: str) -> None:
    towns = gazetteer()
    found = towns.find(typed)
    assert found.exact and found.sure
    assert towns.label(found.towns[0]) == label


@pytest.mark.parametrize("typed", ["Cambridge", "Springfield", "Newcastle"])
def test_namesakes_are_offered(typed: str) -> None:
    towns = gazetteer()
    found = towns.find(typed)
    assert found.exact and not found.sure
    labels = [towns.label(t) for t in found.towns]
    assert 2 <= len(labels) == len(set(labels)) <= 3


def test_a_sure_town_still_names_its_namesakes() -> None:
    found = gazetteer().find("York")
    assert found.sure and len(found.towns) > 1


def test_a_misspelt_town_is_offered_not_taken() -> None:
    towns = gazetteer()
    found = towns.find("Edinbrugh")
    assert not found.exact and not found.sure
    assert towns.label(found.towns[0]) == "Edinburgh, Scotland"


@pytest.mark.parametrize("typed", ["xqzzyy", "", "   ", "💧", "12345", "a" * 300])
def test_what_is_no_town(typed: str) -> None:
    assert gazetteer().find(typed).towns == ()


@pytest.mark.parametrize(("text", "name"), [
    ("we're near Cork in Ireland", "Cork, Ireland"),
    ("I'm up in the Highlands near Aviemore", "Aviemore"),
    ("in Ennis, co Clare", "Ennis, Clare"),
    ("zone 5b, Madison Wisconsin", "Madison, Wisconsin"),
    ("hi there, the reading was high", None),
    ("picked 2 kg of beans in the sun", None),
])
def test_the_town_a_sentence_names(text: str, name: str | None) -> None:
    assert gazetteer().named_in(text) == name


def test_counties_and_countries_are_too_wide() -> None:
    towns = gazetteer()
    assert [towns.area(name) for name in ("in yorkshire", "the Highlands", "Wales", "co Clare")] == [
        "Yorkshire", "Highlands", "Wales", "Clare"]
    assert [towns.area(name) for name in ("York", "New York", "Perth, Western Australia")] == [None, None, None]


def test_rows_are_sane() -> None:
    towns = gazetteer().towns
    assert len(towns) > 25_000
    assert all(-90 <= t.lat <= 90 and -180 <= t.lon <= 180 and "/" in t.tz and len(t.country) == 2 for t in towns)
    assert all(t.elevation_m is None or -430 <= t.elevation_m <= 5000 for t in towns)


def test_folding_of_names() -> None:
    assert folded("Saint-Étienne") == folded("st etienne") == "saint etienne"
    assert folded("Þórshöfn") == folded("þorshofn")
    assert folded("Ålesund") == "alesund"


def test_place_at_fills_zone_and_height(facts: Facts) -> None:
    place = place_at(facts.climate, 45.05, 3.9)
    assert place.tz == "Europe/Paris"
    assert place.elevation_m is not None and 500 < place.elevation_m < 1000
    assert place_at(facts.climate, -42.9, 147.3, 50).elevation_m == 50
    assert place_at(facts.climate, -42.9, 147.3).tz == "Australia/Hobart"


def test_the_nearest_town_over_the_date_line() -> None:
    km, town = gazetteer().nearest(-36.8, -179.9)[0]
    assert town.country == "NZ"
    assert km < 600


def test_place_at_refuses_the_impossible(facts: Facts) -> None:
    with pytest.raises(PlaceError):
        place_at(facts.climate, 100, 0)
