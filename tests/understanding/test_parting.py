"""Where messages are cut, and how sure a reading says it is."""

from __future__ import annotations

import pytest

from bot.understanding import PlotNames, Understander
from bot.understanding.cutting import gaps
from bot.understanding.parting import Ways, parted
from bot.understanding.sureness import sure
from bot.understanding.text import clean

NAMES = PlotNames(beds={"bed-1": ("Bed 1",), "bed-3": ("Bed 3",)})


def _intents(reader: Understander, text: str) -> list[str]:
    sheet, _ = reader.sheet(clean(text), NAMES, "GB")
    return [part.ranked[0][0] for part in parted(reader, sheet)]


@pytest.mark.parametrize(("text", "wanted"), [
    ("sowed carrots in bed 3 and planted out leeks in bed 1", ["log_sow", "log_plant_out"]),
    ("how deep do I sow peas and how far apart", ["depth", "spacing"]),
    ("picked 2 kg of beans what needs doing this week", ["log_harvest", "jobs"]),
    ("cleared the garlic from bed 3. what can go in there now?", ["log_clear", "fits_bed"]),
    ("is it all right to grow basil and tomatoes together", ["companion"]),
    ("sowed carrots, beetroot and peas in bed 3 yesterday", ["log_sow"]),
    ("planted 10 tomatoes, 4 cucumbers and 6 peppers in bed 1", ["log_plant_out"]),
    ("how far apart do leeks go", ["spacing"]),
])
def test_a_message_is_cut_where_something_new_begins(reader: Understander, text: str, wanted: list[str]) -> None:
    assert _intents(reader, text) == wanted


def test_no_gap_cuts_a_name_or_an_amount(reader: Understander) -> None:
    sheet, _ = reader.sheet(clean("picked 2 kg of runner beans, and sprouting broccoli 300 g"), NAMES, "GB")
    inside = {i for f in sheet.found for i in range(f.start + 1, f.end)}
    assert inside and not any(end in inside or start in inside for end, start in gaps(sheet))


def test_every_way_covers_the_message_and_the_whole_comes_first(reader: Understander) -> None:
    sheet, _ = reader.sheet(clean("pulled the onions, when do I sow kale, and is it going to freeze"), NAMES, "GB")
    ways = Ways(reader, sheet)
    every = list(ways.all())
    assert every[0] == () and len(every) == 2 ** len(ways.gaps) == len(set(every))
    longest = ways.clauses(every[-1])
    assert longest is not None and len(longest) == len(ways.gaps) + 1


def test_strange_words_are_less_sure_than_plain_ones(reader: Understander) -> None:
    def read(text: str) -> tuple[float, float]:
        sheet, _ = reader.sheet(clean(text), NAMES, "GB")
        clause = reader.weighed(reader.clause(sheet, 0, len(sheet.tokens)))
        return clause.sure, clause.apart

    plain, strange = read("when do I sow leeks"), read("the committee postponed its quarterly dividend")
    assert plain[0] > 0.8 > 0.2 > strange[0] and plain[1] < 0.05 < strange[1]
    assert sure({"a": 1.0}, {}) == 0.5 and sure({"a": 1000.0}, {"a": 1.0}) <= 1.0
