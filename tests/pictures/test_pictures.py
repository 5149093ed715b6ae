from __future__ import annotations

import io
from datetime import date

from PIL import Image

from bot.pictures.canvas import PAPER, PICK, WIDTH, Canvas
from bot.pictures.harvest_chart import harvest_chart
from bot.pictures.plot_plan import plot_plan
from bot.pictures.season_strip import Bar, Row, season_strip
from bot.plot.state import Bed

BEDS = (
    Bed("a", "Bed A", length_m=4, width_m=1.2),
    Bed("b", "Bed B", length_m=6, width_m=3, kind="tunnel"),
    Bed("c", "Bed C", light="shade"),
)


def opened(png: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(png))
    image.load()
    return image


def test_all_are_png_of_the_phone_width_and_under_200_kb() -> None:
    rows = [
        Row(
            "Carrots",
            (Bar("sow", date(2026, 4, 1), date(2026, 7, 1)), Bar("pick", date(2026, 7, 1), date(2026, 11, 1))),
        )
    ]
    for png in (
        plot_plan(BEDS, {"a": ("Kale",)}, "Plot"),
        season_strip(rows, date(2026, 3, 20), "Plot"),
        harvest_chart([("Beans", 3.0, "3 kg")], "Picked"),
    ):
        assert opened(png).width == WIDTH
        assert len(png) < 200_000


def test_longer_lists_make_taller_sheets() -> None:
    few, many = (
        harvest_chart([("A", 1, "1 kg")], "x"),
        harvest_chart([(str(n), n, f"{n} kg") for n in range(1, 12)], "x"),
    )
    assert opened(many).height > opened(few).height


def test_the_heaviest_crop_has_the_longest_bar() -> None:
    image = opened(harvest_chart([("Beans", 2.0, "2 kg"), ("Leeks", 8.0, "8 kg")], "x"))
    first = sum(image.getpixel((x, 122)) == PICK for x in range(WIDTH))
    second = sum(image.getpixel((x, 174)) == PICK for x in range(WIDTH))
    assert first > 2 * second > 0


def test_nothing_weighed_says_so() -> None:
    assert opened(harvest_chart([], "x")).height < 260


def test_a_bar_of_last_year_shows_in_the_year_drawn() -> None:
    rows = [Row("Garlic", (Bar("pick", date(2025, 7, 1), date(2025, 7, 31)),))]
    image = opened(season_strip(rows, date(2026, 1, 5), "x"))
    assert any(image.getpixel((x, 104 + 40 + 40)) == PICK for x in range(WIDTH))


def test_today_is_marked_when_it_lies_in_the_year() -> None:
    with_line = season_strip([], date(2026, 1, 5), "x", today=date(2026, 6, 1))
    assert with_line != season_strip([], date(2026, 1, 5), "x")


def test_words_too_long_are_cut() -> None:
    canvas = Canvas(100, "")
    canvas.text(0, 60, "m" * 300, width=120)
    image = canvas.image
    assert all(image.getpixel((x, y)) == PAPER for x in range(200, WIDTH) for y in range(60, 100))
