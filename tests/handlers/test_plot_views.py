"""What grows where, and what was."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bot.handlers.context import Memory
from bot.plot.events import NewEvent
from bot.request import Request
from tests.handlers.plotting import TODAY, Garden, on, says

LAST_YEAR = on(date(2025, 1, 1), date(2025, 12, 31))


def test_the_whole_plot_is_one_line_a_bed() -> None:
    reply = Garden().tell("plot")
    assert reply.headline.endswith("standing in 7 beds. Bed 3 is empty.") and len(reply.lines) == 7
    assert reply.lines[1] == "Bed 2: sweetcorn and runner beans."
    assert says(reply) == ["what fits Bed 3"]
    assert {row["bed"] for row in reply.data["plot"]["rows"]} == {
        "bed-1",
        "bed-2",
        "bed-4",
        "wall-bed",
        "tunnel",
        "frame",
    }


def test_what_waits_indoors_is_shown() -> None:
    assert "Not in a bed yet: sweet peppers and tomatoes." in Garden(date(2026, 3, 27)).tell("plot").lines


def test_one_bed_shows_each_planting_and_the_bed() -> None:
    reply = Garden().tell("plot", beds=("bed-2",))
    assert reply.headline == "Bed 2: sweetcorn and runner beans."
    assert any("24 plants, sown 31 May" in line and "picked so far" in line for line in reply.lines)
    assert "1.2 x 4 m" in reply.lines[-1] and "8 hours of sun" in reply.lines[-1]
    assert "4 x 13 ft" in Garden(units="us").tell("plot", beds=("bed-2",)).lines[-1]


def test_an_empty_bed_says_what_was_in_it() -> None:
    reply = Garden().tell("plot", beds=("bed-3",))
    assert reply.headline == "Bed 3 is empty. Last in it: phacelia, cleared 31 May." and says(reply) == [
        "what fits Bed 3"
    ]


def test_one_crop_says_where() -> None:
    assert Garden().tell("plot", crops=("leek",)).headline == "Leeks: Bed 4."
    assert Garden().tell("plot", crop_choices=("runner-bean", "french-bean")).headline == "Runner beans: Bed 2."
    gone = Garden().tell("plot", crops=("garlic",))
    assert gone.headline == "No garlic growing just now. The last stood in Bed 4 until 20 July."


def test_the_empty_beds() -> None:
    reply = Garden().tell("plot", "which beds are empty")
    assert reply.headline == "Bed 3 is empty." and [row["bed"] for row in reply.data["plot"]["rows"]] == ["bed-3"]


def test_an_empty_plot_and_an_unknown_bed() -> None:
    assert Garden(empty=True).tell("plot").headline == "Your plot has no beds yet."
    assert len(Garden().tell("plot", unknown_bed="bed 9").choices) == 2
    assert says(Garden(empty=True).tell("plot", unknown_bed="bed 9")) == ["add a bed"]


def test_a_long_plot_fits_a_phone() -> None:
    garden = Garden()
    for k in range(20):
        garden.record(NewEvent("bed_added", TODAY, bed=f"x{k}", data={"name": f"Extra {k}"}))
    reply = garden.tell("plot")
    assert len(reply.lines) == 11 and len(reply.more) == 16


def test_totals_of_a_crop_by_year() -> None:
    garden = Garden()
    reply = garden.tell("history", "how much kale have we picked", crops=("kale",))
    total = sum(h.kg or 0 for h in garden.plot.harvests if h.crop == "kale")
    assert (
        reply.headline == f"{total:.1f} kg of kale in all."
        and reply.lines[0].startswith("2026: ")
        and reply.lines[1].startswith("2025: ")
    )
    assert sum(row["kg"] for row in reply.data["history"]["rows"]) == pytest.approx(total)
    last = garden.tell("history", "how much kale did we pick last year", crops=("kale",), when=LAST_YEAR)
    assert last.headline == "1.8 kg of kale in 2025, in 3 pickings."
    assert (
        "lb of kale in 2025"
        in Garden(units="us").tell("history", "how much kale", crops=("kale",), when=LAST_YEAR).headline
    )


def test_southern_years_run_over_the_new_year() -> None:
    garden = Garden(date(2027, 3, 1), empty=True)
    garden.record(
        NewEvent("plot_set", date(2026, 1, 1), data={"place": {"lat": -42.9, "lon": 147.3}}),
        NewEvent("harvested", date(2026, 12, 20), crop="pea", amount=1, unit="kg"),
        NewEvent("harvested", date(2027, 1, 5), crop="pea", amount=1, unit="kg"),
        NewEvent("harvested", date(2026, 1, 5), crop="pea", amount=1, unit="kg"),
    )
    lines = garden.tell("history", "how much pea have we picked", crops=("pea",)).lines
    assert lines[:2] == ("2026-27: 2 kg, 2 pickings.", "2025-26: 1 kg, 1 picking.")


def test_when_something_was_sown() -> None:
    reply = Garden().tell("history", "when did I sow the peas", crops=("pea",))
    assert reply.headline == "You sowed peas in Bed 1, 2 m of row, 6 April, 172 days ago."
    first = Garden().tell("history", "when did we first sow leeks", crops=("leek",))
    assert "March" in first.headline and "2025" in first.headline


def test_what_grew_in_a_bed() -> None:
    reply = Garden().tell("history", "what grew in bed 2 last year", beds=("bed-2",), when=LAST_YEAR)
    assert reply.headline == "Bed 2 in 2025: grazing rye, winter squash and courgettes."
    assert "Winter squash: 2 June 2025 to 5 October 2025." in reply.lines
    where = Garden().tell("history", "which bed had the garlic", crops=("garlic",))
    assert where.headline == "Garlic: Bed 4."


def test_a_month_is_added_up_by_crop() -> None:
    reply = Garden().tell("history", "show me June's harvest", when=on(date(2026, 6, 1), date(2026, 6, 30)))
    assert reply.headline == "5 kg picked in June, 3 crops." and reply.lines[0] == "Strawberries: 2.2 kg."


@pytest.mark.parametrize(
    ("text", "fields", "said"),
    [
        ("when was the last frost I saw", {}, "You saw a frost of -½ °C, 6 May, 142 days ago."),
        (
            "who picked the gooseberries",
            {"crops": ("gooseberry",)},
            "Tomas picked 2.7 kg of gooseberries from the wall bed",
        ),
        ("did we have blight last year", {"when": LAST_YEAR}, "You saw late blight on potatoes in Bed 3"),
        ("have I limed the middle bed", {"beds": ("bed-3",)}, "I have no record of lime for Bed 3."),
        ("what did I note about bed 2", {"beds": ("bed-2",)}, "You noted with Bed 2: save seed"),
        ("what did I plant out last week", {"when": on(TODAY - timedelta(7), TODAY)}, "I have no record of planting"),
        ("how many okra have we had", {"crops": ("okra",)}, "I have no record of picking okra."),
        (
            "what did we do with the chard",
            {"crops": ("chard",)},
            "9 records about chard. The last: Planted chard in Bed 4",
        ),
    ],
)
def test_questions_of_the_journal(text: str, fields: dict[str, object], said: str) -> None:
    assert Garden().tell("history", text, **fields).headline.startswith(said)


def test_the_same_person_is_you() -> None:
    assert (
        Garden(author="tomas")
        .tell("history", "who picked the gooseberries", crops=("gooseberry",))
        .headline.startswith("You picked")
    )


def test_no_records_yet() -> None:
    reply = Garden(empty=True).tell("history", "when did I sow the peas", crops=("pea",))
    assert reply.headline == "There are no records yet." and reply.data == {"history": {"rows": []}}


def test_a_long_history_fits_a_phone() -> None:
    reply = Garden().tell("history", "everything", when=on(date(2025, 1, 1), TODAY))
    assert len(reply.lines) <= 9 and reply.more


def test_the_day_of_the_first_and_last_picking() -> None:
    garden = Garden(date(2026, 6, 20))
    days = [h.day for h in garden.plot.harvests if h.crop == "courgette"]
    said = garden.tell("history", "when did we first pick courgettes", crops=("courgette",))
    assert said.headline.startswith(f"You first picked courgettes on {min(days).day} ") and "2025" in said.headline
    assert said.lines[0].startswith("2025: ") and said.lines[0].endswith(f"{len(days)} pickings.")
    last = garden.tell("history", "when did I last pick courgettes", crops=("courgette",))
    assert last.headline.startswith(f"You last picked courgettes on {max(days).day} ")
    spell = garden.tell("history", "when did we pick the courgettes", crops=("courgette",))
    assert spell.headline.startswith(f"You picked courgettes from {min(days).day} ")


def test_the_same_question_of_another_year() -> None:
    garden = Garden(date(2026, 6, 20))
    asked = Request("history", text="how many kilos of tomatoes this year", crops=("tomato",))
    garden.memory = Memory(requests=(asked,))
    reply = garden.tell("history", "and last year?", crops=("tomato",), when=LAST_YEAR, inherited=("crops",))
    assert reply.headline == "22 kg of tomatoes in 2025, in 8 pickings."


def test_several_months_of_pickings_come_with_a_chart() -> None:
    year = Garden().tell("history", "how much did we pick last year", when=LAST_YEAR)
    assert year.draw is not None and year.draw().startswith(b"\x89PNG")
    crop = Garden().tell("history", "how many kilos of tomatoes last year", crops=("tomato",), when=LAST_YEAR)
    assert crop.draw is not None and crop.draw() != year.draw()
    june = Garden().tell("history", "show me June's harvest", when=on(date(2026, 6, 1), date(2026, 6, 30)))
    assert june.draw is None
