"""What a message takes from the turns before it."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from bot.handlers.context import Memory
from bot.reply import Reply, ask
from bot.request import Quantity, Request, When


def after(*requests: Request, reply: Reply | None = None, shown: tuple[str, ...] = ()) -> Memory:
    return Memory(requests, reply or Reply("done"), shown)


BLANCH = Request("blanch", crops=("runner-bean",))
SOW_NOW = Request("sow_now")
PICKED = Request("log_harvest", crops=("pea",), beds=("bed-1",), quantities=(Quantity(2.0, "kg", "2 kg"),),
                 when=When(date(2026, 6, 16), date(2026, 6, 16)))


def test_what_is_added_is_told_thing_by_thing(read) -> None:
    added = read("plus half a kilo of redcurrants and a cucumber", memory=after(PICKED)).requests
    assert [(r.intent, r.crops, r.quantities[0].value) for r in added] == [("log_harvest", ("redcurrant",), 0.5), ("log_harvest", ("cucumber",), 1.0)]


def test_two_of_another_are_two_of_the_same_measure(one) -> None:
    rows = Request("log_sow", crops=("beetroot",), quantities=(Quantity(1.0, "row", "a row"),))
    (amount,) = one("and two of turnips", memory=after(rows)).quantities
    assert (amount.value, amount.unit) == (2.0, "row")


def test_and_another_crop(one) -> None:
    request = one("and carrots?", memory=after(BLANCH))
    assert (request.intent, request.crops) == ("blanch", ("carrot",))


def test_another_month(one) -> None:
    request = one("what about next month?", memory=after(SOW_NOW))
    assert request.intent == "sow_now" and request.when.start == date(2026, 7, 1)


def test_another_place(one) -> None:
    request = one("in the tunnel instead", memory=after(Request("when_sow", crops=("lettuce",))))
    assert (request.intent, request.crops, request.beds) == ("when_sow", ("lettuce",), ("tunnel",))


@pytest.mark.parametrize("text", ["no, bed 4", "sorry bed 4", "I meant bed 4", "it was bed 4"])
def test_a_correction_of_a_record(one, text: str) -> None:
    request = one(text, memory=after(PICKED))
    assert (request.intent, request.beds) == ("correct_last", ("bed-4",))


def test_an_amount_corrected_keeps_its_unit(one) -> None:
    request = one("I meant 3", memory=after(PICKED))
    assert request.intent == "correct_last" and [(q.value, q.unit) for q in request.quantities] == [(3.0, "kg")]


def test_same_again(one) -> None:
    request = one("same again", memory=after(PICKED))
    assert (request.intent, request.crops, request.quantities[0].value, request.when) == (
        "log_harvest", ("pea",), 2.0, None)


def test_why_and_more(one) -> None:
    assert one("why?", memory=after(BLANCH)).intent == "why"
    assert "more" in one("more", memory=after(BLANCH)).flags


def test_it_is_the_crop_of_the_last_turn(one) -> None:
    request = one("when do I sow it", memory=after(Request("crop_info", crops=("kale",))))
    assert (request.intent, request.crops) == ("when_sow", ("kale",))


def test_a_bare_answer_completes_what_was_asked(one) -> None:
    waiting = Request("log_sow", crops=("carrot",))
    memory = after(waiting, reply=ask("Which bed?", waiting=waiting, wants="bed"))
    request = one("bed 4", memory=memory)
    assert (request.intent, request.crops, request.beds) == ("log_sow", ("carrot",), ("bed-4",))


def test_a_number_or_a_label_picks_a_choice(one) -> None:
    reply = ask("Which beans?", [("Runner beans", "how long do I blanch runner beans"),
                                 ("Broad beans", "how long do I blanch broad beans")])
    memory = after(reply=reply, shown=tuple(c.says for c in reply.choices))
    assert one("2", memory=memory).crops == ("broad-bean",)
    assert one("Runner beans", memory=memory).crops == ("runner-bean",)


def test_yes_to_a_waiting_request_is_flagged(one) -> None:
    waiting = Request("delete_data")
    request = one("yes", memory=after(waiting, reply=ask("Really?", waiting=waiting, wants="confirm")))
    assert request.intent == "delete_data" and "yes" in request.flags


def test_memory_fades(read) -> None:
    old = Memory((BLANCH,), Reply("done"), (), datetime(2026, 6, 1, 12))
    reading = read("and carrots?", memory=old)
    assert [r.intent for r in reading.requests] != ["blanch"]


def test_two_statements_in_one_message(read) -> None:
    first, second = read("picked 2.3 kg of runner beans from the arch bed and pulled the sweetcorn").requests
    assert (first.intent, first.crops, first.beds, first.quantities[0].value) == (
        "log_harvest", ("runner-bean",), ("bed-2",), 2.3)
    assert (second.intent, second.crops) == ("log_clear", ("sweetcorn",))


def test_one_verb_and_several_amounts(read) -> None:
    requests = read("picked 2 kg of courgettes, 3 lettuces and a bunch of chard").requests
    assert [(r.crops, r.quantities[0].value, r.quantities[0].unit) for r in requests] == [
        (("courgette",), 2.0, "kg"), (("lettuce",), 3.0, "count"), (("chard",), 1.0, "bunch")]


def test_a_bare_crop_asks_what_about_it(read) -> None:
    reading = read("leeks")
    assert reading.asked is not None and 2 <= len(reading.asked.choices) <= 3
    for choice in reading.asked.choices:
        assert [r.intent for r in read(choice.says).requests] != ["none"]


@pytest.mark.parametrize(("text", "intent", "beds", "amount"), [
    ("18 celeriac into bed 2. Oops, meant bed 1", "log_plant_out", ("bed-1",), (18.0, "count")),
    ("brought in 5 kg of peas from bed 1. sorry, pounds", "log_harvest", ("bed-1",), (2.268, "kg")),
    ("brought in 5 kg of peas from bed 1. sorry no, 6", "log_harvest", ("bed-1",), (6.0, "kg")),
    ("picked 3 lettuces from bed 4, or rather 2 lettuces", "log_harvest", ("bed-4",), (2.0, "count")),
])
def test_a_record_put_right_in_the_same_breath_is_one_record(one, text: str, intent: str, beds: tuple[str, ...], amount: tuple[float, str]) -> None:
    request = one(text)
    assert (request.intent, request.beds) == (intent, beds)
    assert [(round(q.value, 3), q.unit) for q in request.quantities] == [amount]


def test_things_told_respectively_go_to_a_bed_each(read) -> None:
    told = read("planted 12 leeks and 6 kale in beds 2 and 3 respectively").requests
    assert [(r.crop, r.beds, r.quantities[0].value) for r in told] == [("leek", ("bed-2",), 12.0), ("kale", ("bed-3",), 6.0)]
