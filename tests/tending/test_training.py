"""Pinching out, lasting plants that have fruited, shade and covers: what a request is taken for, and what knowledge check says."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bot.facts import Facts
from bot.facts.tending_covers import check as check_covers
from bot.facts.tending_training import check
from bot.handlers import handler_for
from bot.handlers.aftercare import aftercare_reply
from bot.handlers.covers import protect
from bot.handlers.training import training_reply
from bot.request import Request
from tests.handlers.talk import context


@pytest.mark.parametrize(("intent", "crops", "text", "row", "parts"), [
    ("prune", ("tomato",), "do I pinch out tomatoes", "tomato", []),
    ("prune", ("tomato",), "suckers on tomatoes?", "tomato", ["side_shoots"]),
    ("use_up", ("tomato",), "taking bottom leaves off tomatoes good idea?", "tomato", ["leaves"]),
    ("save_seed", ("basil",), "how do I stop basil going to flower", "basil", ["flowers"]),
    ("prune", ("potato",), "should I remove the flowers from the potatoes", "potatoes", ["flowers"]),
    ("prune", (), "do I take the side shoots off", "tomato", ["side_shoots"]),
    ("prune", (), "pinching out sweet peas", "sweet-pea", []),
])
def test_pinching_out_is_answered_whatever_it_was_read_as(facts: Facts, intent: str, crops: tuple[str, ...], text: str, row: str, parts: list[str]) -> None:
    reply = training_reply(Request(intent, 0.5, text=text, crops=crops), context(facts))
    assert reply is not None and reply.data["training"]["row"] == row and reply.data["training"]["parts"] == parts


@pytest.mark.parametrize(("intent", "crops", "text"), [
    ("use_up", ("tomato",), "what can I make with a glut of tomatoes"),
    ("log_harvest", ("basil",), "picked the tops off the basil"),
    ("prune", ("apple",), "pinch out the apple leaders"),
    ("pest", ("tomato",), "the side shoots are wilting"),
])
def test_what_is_of_something_else_is_left_alone(facts: Facts, intent: str, crops: tuple[str, ...], text: str) -> None:
    assert training_reply(Request(intent, 0.5, text=text, crops=crops), context(facts)) is None


def test_a_kind_that_is_named_is_told_first(facts: Facts) -> None:
    say = {kind: training_reply(Request("prune", text=f"do {kind} tomatoes want their side shoots out", crops=("tomato",)), context(facts))
           for kind in ("bush", "determinate", "indeterminate")}
    assert say["bush"] is not None and say["bush"].headline.startswith("Tomatoes: bush kinds are left alone")
    assert say["determinate"] is not None and say["determinate"].headline == say["bush"].headline
    assert say["indeterminate"] is not None and "take them out" in say["indeterminate"].headline


def test_what_was_asked_stands_in_the_headline_and_the_rest_behind_more(facts: Facts) -> None:
    reply = training_reply(Request("prune", text="when do I pinch the growing tip out of the cucumbers", crops=("cucumber",)), context(facts))
    assert reply is not None and "when it reaches the roof" in reply.headline
    assert reply.more[0].startswith("Pinching out: ") and not reply.lines


def test_a_yearly_crop_without_a_row_has_nothing_to_prune(facts: Facts) -> None:
    reply = handler_for("prune")(Request("prune", text="do I prune carrots", crops=("carrot",)), context(facts))
    assert reply.headline == "Carrots: grown afresh each time, with nothing to prune or pinch out."


@pytest.mark.parametrize(("today", "now"), [(date(2026, 7, 18), True), (date(2026, 1, 18), False)])
def test_what_has_fruited_is_cared_for_now_only_near_its_season(facts: Facts, today: date, now: bool) -> None:
    reply = aftercare_reply(Request("prune", text="strawberries are finished, what now", crops=("strawberry",)), context(facts, today=today))
    assert reply is not None and ("now that the crop is over" in reply.headline) is now
    assert "Strawberries crop well for 3 to 4 years" in " ".join(reply.lines)


def test_finished_is_no_clearing_of_a_plant_that_lasts(facts: Facts) -> None:
    reply = aftercare_reply(Request("log_clear", text="the raspberries are finished", crops=("raspberry",)), context(facts, today=date(2026, 8, 20)))
    assert reply is not None and not reply.events and "The plants stay, so I have left them down as growing." in reply.lines
    dug = Request("log_clear", text="the raspberries are finished, dug them out", crops=("raspberry",))
    assert aftercare_reply(dug, context(facts)) is None
    assert aftercare_reply(Request("log_clear", text="the peas are finished", crops=("pea",)), context(facts)) is None


@pytest.mark.parametrize(("text", "crop", "says"), [
    ("do I prune autumn raspberries now", "raspberry", "prune autumn-fruiting"),
    ("do I prune the raspberries in autumn", "raspberry", "prune summer-fruiting"),
    ("the rhubarb is in flower, cut it off?", "rhubarb", "cut or twist each flower stem out"),
    ("do I deadhead chives", "chives", "cut back"),
])
def test_a_task_that_is_named_is_told_before_the_others(facts: Facts, text: str, crop: str, says: str) -> None:
    reply = handler_for("prune")(Request("prune", text=text, crops=(crop,)), context(facts, today=date(2026, 5, 10)))
    assert says in reply.headline


@pytest.mark.parametrize(("text", "crops", "use"), [
    ("shade cloth for lettuce", ("lettuce",), "shade-leaves"), ("do my leeks want shade", ("leek",), "shade-any"),
    ("when can I take the fleece off", (), "fleece-off"), ("take the fleece off the strawberries?", ("strawberry",), "fleece-off-fruiting"),
    ("does the netting come off now", (), "net-off"),
])
def test_shade_and_taking_covers_off(facts: Facts, text: str, crops: tuple[str, ...], use: str) -> None:
    assert protect(Request("protect", text=text, crops=crops), context(facts)).data["protect"]["use"] == use


def test_what_is_after_a_crop_is_kept_off_by_a_net_and_no_blanket(facts: Facts) -> None:
    reply = protect(Request("protect", text="do I net the cabbages", crop_choices=("cabbage-summer", "cabbage-winter")), context(facts))
    assert reply.headline.startswith("Yes: a net or mesh keeps") and reply.headline.endswith("off cabbages.")
    birds = protect(Request("protect", text="keep the strawberries safe from birds", crops=("strawberry",)), context(facts))
    assert "net" in birds.headline.lower() and "°C" not in birds.headline


def test_blight_is_told_for_the_crop_asked_about(facts: Facts) -> None:
    def told(crop: str) -> str:
        reply = handler_for("pest")(Request("pest", text="blight, what do I do", crops=(crop,), pest="late-blight"), context(facts))
        return " ".join([reply.headline, *reply.lines])
    assert "tubers" not in told("tomato") and "ripen it indoors" in told("tomato")
    assert "ripen it indoors" not in told("potato") and "tubers" in told("potato")


def test_a_thin_description_is_answered_with_the_likeliest_marks(facts: Facts) -> None:
    reply = handler_for("pest")(Request("pest", text="holes in the cabbage leaves", crop_choices=("cabbage-summer",)), context(facts))
    assert reply.headline.startswith("Most often ") and len(reply.lines) == len(reply.choices) > 1


def test_whether_it_may_be_eaten_comes_first_where_it_is_asked(facts: Facts) -> None:
    request = Request("pest", text="can I still eat the garlic with rust", crops=("garlic",), pest="allium-rust")
    assert "harmless" in " ".join([(told := handler_for("pest")(request, context(facts))).headline, told.lines[0]])
    plain = handler_for("pest")(request.with_(text="rust on the garlic"), context(facts))
    assert plain.headline != told.headline or plain.lines[0] != told.lines[0]


def _with(facts: Facts, **tables: object) -> Facts:
    other = Facts(Path(facts.root))
    other.__dict__["tending"] = facts.tending.model_copy(update=tables)
    return other


def test_the_checks_find_what_leads_nowhere(facts: Facts) -> None:
    assert check(facts) == check_covers(facts) == []
    table = facts.tending.training
    lost = table.rows[0].model_copy(update={"crops": ["tomato", "tomato", "moonflower"]})
    nobody = table.rows[-1].model_copy(update={"name": None})
    found = [str(f) for f in check(_with(facts, training=table.model_copy(update={"plain": "leek", "rows": [lost, nobody]})))]
    for fault in ("'leek' has no row", "unknown crop 'moonflower'", "'tomato' stands twice", "is of no crop"):
        assert any(fault in said for said in found), fault
    uses = facts.tending.cover_use
    short = uses.model_copy(update={"shading": uses.shading[:1]})
    assert any("must fit whatever is asked" in str(f) for f in check_covers(_with(facts, cover_use=short)))
