"""Ledger dialogues: make, use, correct, undo, count, list, label."""

from __future__ import annotations

from datetime import date

import pytest

from bot.plot.events import NewEvent
from bot.preserving.ledger import best_before, count_to, in_store, months_later, nearly_out, take
from bot.reply import plain_text
from bot.request import Quantity, When
from tests.preserving.kitchen import FACTS, Kitchen


def bags(kitchen: Kitchen, crop: str = "runner-bean") -> float:
    return sum(lot.left for lot in in_store(kitchen.plot.lots) if lot.crop == crop and lot.unit == "bag")


@pytest.fixture
def kitchen() -> Kitchen:
    """Two lots of beans in the freezer, chutney and potatoes."""
    k = Kitchen(today=date(2026, 8, 20))
    k.ask(
        "log_preserve",
        "froze 4 bags of runner beans, 2 kg",
        "runner-bean",
        quantities=(Quantity(4, "bag"), Quantity(2, "kg")),
    )
    k.today = date(2026, 9, 1)
    k.ask("log_preserve", "froze 3 bags of runner beans", "runner-bean", qty=[3, "bag"])
    k.ask("log_preserve", "made 6 jars of tomato chutney", "tomato", qty=[6, "jar"], product="chutney")
    k.ask("log_preserve", "stored 12 kg of potatoes in the shed", "potato", qty=[12, "kg"])
    return k


def test_making_is_echoed_with_its_best_before(kitchen: Kitchen) -> None:
    reply = kitchen.ask("log_preserve", "froze 2 bags of peas", "pea", qty=[2, "bag"])
    assert reply.headline == "Put away 2 bags of frozen peas in the freezer, best before May 2027."
    event = reply.events[0]
    assert (event.kind, event.crop, event.amount, event.unit) == ("preserved", "pea", 2, "bag")
    assert event.data == {"product": "frozen", "where": "freezer", "best_before": "2027-05-01"}
    assert reply.sources


def test_second_lot_adds_up(kitchen: Kitchen) -> None:
    reply = kitchen.ask("log_preserve", "froze 1 bag of runner beans", "runner-bean", qty=[1, "bag"])
    assert "8 bags in all" in plain_text(reply)
    assert len([lot for lot in kitchen.plot.lots if lot.crop == "runner-bean"]) == 3


def test_use_takes_the_oldest_lot_first(kitchen: Kitchen) -> None:
    reply = kitchen.ask("log_use", "used 5 bags of beans", "runner-bean", qty=[5, "bag"])
    assert reply.events[0].data["lots"] == [[1, 4], [2, 1]]
    assert reply.headline == "Used 5 bags of frozen runner beans; 2 bags left."
    assert bags(kitchen) == 2


def test_more_than_there_is_asks_and_records_nothing(kitchen: Kitchen) -> None:
    reply = kitchen.ask("log_use", "used 9 bags of beans", "runner-bean", qty=[9, "bag"])
    assert not reply.events and bags(kitchen) == 7
    assert "only 7 bags" in reply.headline
    assert [c.says for c in reply.choices] == [
        "used 7 bags of frozen runner beans",
        "the count is wrong",
    ]
    taken = kitchen.ask("log_use", reply.choices[0].says, "runner-bean", qty=[7, "bag"])
    assert taken.headline.endswith("that was the last.") and bags(kitchen) == 0


def test_using_what_is_not_there(kitchen: Kitchen) -> None:
    reply = kitchen.ask("log_use", "used a bag of leeks", "leek", qty=[1, "bag"])
    assert not reply.events and "no leeks" in reply.headline


def test_last_and_no_amount(kitchen: Kitchen) -> None:
    asked = kitchen.ask("log_use", "used some runner beans", "runner-bean")
    assert asked.wants == "quantity" and not asked.events
    done = kitchen.ask("log_use", "we finished off the frozen runner beans", "runner-bean", product="frozen")
    assert done.events[0].amount == 7


def test_chutney_without_a_crop(kitchen: Kitchen) -> None:
    reply = kitchen.ask("log_use", "gave three jars of chutney away", qty=[3, "jar"], product="chutney")
    assert reply.events[0].crop == "tomato" and "3 jars left" in reply.headline


def test_kilos_out_of_bags_are_turned_into_bags(kitchen: Kitchen) -> None:
    k = Kitchen()
    k.ask("log_preserve", "froze 4 bags of peas, 2 kg", "pea", quantities=(Quantity(4, "bag"), Quantity(2, "kg")))
    assert k.ask("log_use", "used 1 kg of peas", "pea", qty=[1, "kg"]).events[0].amount == 2


def test_another_container_is_asked_about(kitchen: Kitchen) -> None:
    reply = kitchen.ask("log_use", "took 3 tubs of runner beans", "runner-bean", qty=[3, "tub"])
    assert not reply.events and "down in bags" in reply.headline


def test_count_sets_what_is_there(kitchen: Kitchen) -> None:
    reply = kitchen.ask("stores", "there are only 5 bags of beans left", "runner-bean", qty=[5, "bag"])
    assert reply.events[0].kind == "stock_set"
    assert reply.events[0].data["lots"] == [[1, 2], [2, 3]]  # the older lot is taken to have gone
    assert bags(kitchen) == 5
    assert kitchen.ask(
        "stores", "there are only 5 bags of frozen runner beans left", "runner-bean", qty=[5, "bag"]
    ).headline.startswith("That is what I have")
    more = kitchen.ask("stores", "stock take: 9 bags of beans left", "runner-bean", qty=[9, "bag"])
    assert bags(kitchen) == 9 and "where I had 5 bags" in more.headline
    gone = kitchen.ask("log_use", "no more runner beans, all gone", "runner-bean")
    assert gone.events[0].kind == "stock_set" and bags(kitchen) == 0


def test_question_about_what_is_left_is_not_a_count(kitchen: Kitchen) -> None:
    reply = kitchen.ask("stores", "how many bags of beans are left", "runner-bean")
    assert not reply.events
    assert reply.headline == "There are 7 bags of frozen runner beans left."


def test_undo_and_correction_reach_the_ledger(kitchen: Kitchen) -> None:
    used = kitchen.ask("log_use", "used 2 bags of beans", "runner-bean", qty=[2, "bag"])
    assert bags(kitchen) == 5 and used.events
    kitchen.record(NewEvent("undone", kitchen.today, refs=(len(kitchen.events),)))
    assert bags(kitchen) == 7
    kitchen.record(NewEvent("corrected", kitchen.today, refs=(2,), data={"changes": {"amount": 5.0}}))
    assert bags(kitchen) == 9


def test_a_place_is_a_place_and_not_a_way_of_keeping(kitchen: Kitchen) -> None:
    cellar = kitchen.ask("stores", "what's in the cellar")
    assert {r["where"] for r in cellar.data["stores"]["rows"]} == {"cellar shelf"}
    assert cellar.headline == "There are 6 jars of tomato chutney left."
    shed = kitchen.ask("stores", "what's in the shed")
    assert shed.headline == "There are 12 kg of stored potatoes left."
    everything = kitchen.ask("stores", "what's in store", product="stored")
    assert everything.headline.startswith("In store: ") and "tomato chutney" in everything.headline


def test_list_and_filters(kitchen: Kitchen) -> None:
    everything = kitchen.ask("stores", "what is in store")
    assert {r["product"] for r in everything.data["stores"]["rows"]} == {"frozen", "chutney", "stored"}
    freezer = kitchen.ask("stores", "what's in the freezer")
    assert {r["where"] for r in freezer.data["stores"]["rows"]} == {"freezer"}
    jars = kitchen.ask("stores", "list the jars")
    assert {r["unit"] for r in jars.data["stores"]["rows"]} == {"jar"}
    shed = kitchen.ask("stores", "what's in the shed")
    assert [r["crop"] for r in shed.data["stores"]["rows"]] == ["potato"]


def test_nearly_out_is_said(kitchen: Kitchen) -> None:
    kitchen.ask("log_use", "used 6 bags of beans", "runner-bean", qty=[6, "bag"])
    assert "Nearly out: frozen runner beans." in plain_text(kitchen.ask("stores", "what is in store"))


def test_seed_tin(kitchen: Kitchen) -> None:
    kitchen.record(NewEvent("seed_added", kitchen.today, crop="leek", amount=1, unit="packet", data={"year": 2023}))
    reply = kitchen.ask("stores", "what seed have I got")
    assert "Leek, 2023" in plain_text(reply)
    assert reply.data["stores"]["rows"] == [
        {"crop": "leek", "variety": None, "year": 2023, "amount": 1, "unit": "packet"}
    ]


def test_label(kitchen: Kitchen) -> None:
    reply = kitchen.ask("stores", "label for the chutney", product="chutney")
    assert reply.headline == "Tomato chutney · made 1 September 2026 · best before September 2027 · lot 3"


def test_empty_stores_answer_well() -> None:
    k = Kitchen()
    assert not k.ask("stores", "what's in the freezer").events
    assert "froze 4 bags" in plain_text(k.ask("stores", "what have we got"))
    assert not k.ask("log_use", "used a jar of plums", "plum", qty=[1, "jar"]).events


@pytest.mark.parametrize(
    "text,fields",
    [
        ("froze -3 bags of peas", {"qty": [-3, "bag"]}),
        ("froze 0 bags of peas", {"qty": [0, "bag"]}),
        ("froze 3 bags tomorrow", {"qty": [3, "bag"], "when": When(date(2026, 9, 2), date(2026, 9, 2))}),
        ("froze 9000 kg of peas", {"qty": [9000, "kg"]}),
        ("froze peas", {}),
    ],
)
def test_what_makes_no_sense_is_not_recorded(text: str, fields: dict) -> None:
    k = Kitchen(today=date(2026, 9, 1))
    assert not k.ask("log_preserve", text, "pea", **fields).events
    k.ask("log_preserve", "froze 3 bags of peas", "pea", qty=[3, "bag"])
    if "qty" in fields:
        assert not k.ask("log_use", text.replace("froze", "used"), "pea", **fields).events


def test_bottled_low_acid_is_recorded_with_a_warning() -> None:
    k = Kitchen()
    warned = k.ask("log_preserve", "bottled 6 jars of green beans", "french-bean", qty=[6, "jar"])
    assert warned.events and any("pressure canner" in c for c in warned.cautions)
    fine = k.ask(
        "log_preserve", "pressure canned 6 jars of green beans", "french-bean", qty=[6, "jar"], product="bottled"
    )
    assert fine.events and not fine.cautions
    untested = k.ask("log_preserve", "bottled 3 jars of leeks", "leek", qty=[3, "jar"])
    assert any("no tested way" in c for c in untested.cautions)


@pytest.mark.parametrize(
    "crop,product,made,expected",
    [
        ("runner-bean", "frozen", date(2026, 8, 20), date(2027, 4, 20)),  # 8 to 12 months: the early end
        ("onion", "frozen", date(2026, 9, 1), date(2027, 5, 1)),
        ("plum", "bottled", date(2026, 9, 1), date(2027, 9, 1)),
        ("carrot", "dried", date(2026, 9, 1), date(2027, 3, 1)),  # 6 to 8 months cool
    ],
)
def test_best_before(crop: str, product: str, made: date, expected: date) -> None:
    assert best_before(crop, product, made, FACTS.crops, FACTS.preserving)[0] == expected


@pytest.mark.parametrize(
    "crop,product,warned",
    [
        ("courgette", "chutney", True),
        ("tomato", "chutney", False),
        ("runner-bean", "pickled", True),
        ("french-bean", "pickled", False),
        ("strawberry", "jam", False),
        ("marrow", "jam", True),
        ("runner-bean", "frozen", False),
    ],
)
def test_untested_makings_are_recorded_with_a_warning(crop: str, product: str, warned: bool) -> None:
    reply = Kitchen().ask("log_preserve", "put away 4 jars", crop, qty=[4, "jar"], product=product)
    assert reply.events and bool(reply.cautions) == warned


def test_months_later_ends_of_months() -> None:
    assert months_later(date(2026, 8, 31), 6) == date(2027, 2, 28)
    assert months_later(date(2027, 8, 31), 6) == date(2028, 2, 29)
    assert months_later(date(2026, 1, 15), 1.5) == date(2026, 3, 2)


def test_take_and_count_are_inverse(kitchen: Kitchen) -> None:
    lots = [lot for lot in in_store(kitchen.plot.lots) if lot.unit == "bag"]
    for amount in (0.5, 1, 4, 4.5, 7):
        taken = take(lots, amount)
        assert sum(a for _, a in taken.lots) == pytest.approx(amount) and taken.short == 0
        left = dict(count_to(lots, 7 - amount))
        assert all(left[lot.id] == pytest.approx(lot.left - dict(taken.lots).get(lot.id, 0)) for lot in lots)
    assert take(lots, 9).short == 2
    assert not nearly_out(lots)
