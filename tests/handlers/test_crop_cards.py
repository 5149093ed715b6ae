"""The card of a crop, and trade words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bot.facts import Facts
from bot.plot.state import Bed
from bot.season import season_for
from tests.handlers.talk import answer, context, text


def test_a_card_begins_with_what_it_is(facts: Facts) -> None:
    reply = answer("crop_info", context(facts), crops=("courgette",))
    assert reply.headline == "Courgettes: tender, ready 45 to 60 days from sowing."
    assert "One or two plants feed a household" in reply.lines[0]
    assert any(line.startswith("Space 60-90 cm") for line in reply.lines)
    assert any("bitter" in caution for caution in reply.cautions)
    assert any(line.startswith("Watch for") for line in reply.more)
    assert any(choice.says == "how do I store courgettes" for choice in reply.choices)


def test_the_same_card_in_american(facts: Facts) -> None:
    reply = answer("crop_info", context(facts, us=True), crops=("courgette",))
    assert reply.headline.startswith("Zucchini:")
    assert "courgette" not in text(reply).lower()


def test_a_perennial_says_so_and_gives_its_crowns_hardiness(facts: Facts) -> None:
    reply = answer("crop_info", context(facts), crops=("asparagus",))
    assert reply.headline.startswith("Asparagus: perennial, hardy")
    assert any("Killed at about -20 °C" in line for line in (*reply.lines, *reply.more))


@pytest.mark.parametrize(
    ("crop", "piece"), [("rhubarb", "leaves are poisonous"), ("parsnip", "sap"), ("elderberry", "raw")]
)
def test_cautions_stand_on_the_card(facts: Facts, crop: str, piece: str) -> None:
    assert any(piece in caution for caution in answer("crop_info", context(facts), crops=(crop,)).cautions)


def test_a_group_is_answered_as_a_group(facts: Facts) -> None:
    group = facts.groups.named("alliums")
    assert group is not None
    reply = answer("crop_info", context(facts, us=True), crops=tuple(group.crops), group="alliums")
    assert reply.headline.startswith("Alliums: onions, scallions, shallots")
    assert len(reply.choices) == 4


@pytest.mark.parametrize(
    ("fields", "head"),
    [
        ({"term": "chitting"}, "Chitting: letting seed potatoes grow"),
        ({"text": "what does hardening off mean?"}, "Hardening off: getting plants raised indoors"),
        ({"text": "what is a hoop house"}, "Polytunnel: a walk-in tunnel"),
        ({"text": "define tilth"}, "Tilth: the crumbly surface"),
    ],
)
def test_trade_words(facts: Facts, fields: dict[str, str], head: str) -> None:
    reply = answer("glossary", context(facts), **fields)
    assert reply.headline.startswith(head)


def test_a_misspelt_word_offers_its_neighbours(facts: Facts) -> None:
    reply = answer("glossary", context(facts), text="what is chiting?")
    assert reply.wants == "term"
    assert reply.choices[0].label == "chitting"


def test_an_unheard_word_is_said_to_be_unknown(facts: Facts) -> None:
    reply = answer("glossary", context(facts), text="what is a spectrometer?")
    assert "no note" in reply.headline and not reply.choices


def test_every_term_can_be_asked_for(facts: Facts) -> None:
    for term in facts.glossary.terms:
        reply = answer("glossary", context(facts), term=term.term)
        assert reply.data["glossary"]["term"] == term.id


@pytest.mark.parametrize(
    ("british", "us"),
    [
        ("Grow like courgette, with room.", "Grow like zucchini, with room."),
        ("Grow like sweetcorn but dry the cobs.", "Grow like sweet corn but dry the cobs."),
        ("Treat like French beans.", "Treat like green beans."),
        ("Courgettes and swedes keep; beetroot too.", "Zucchini and rutabagas keep; beet too."),
        ("many spring onions cross; onions and leeks do not", "many scallions cross; onions and leeks do not"),
        ("replant 75-90 cm apart near the sweet potato", "replant 30-35 in apart near the sweet potato"),
    ],
)
def test_sentences_are_said_in_american(facts: Facts, british: str, us: str) -> None:
    assert context(facts, us=True).say.prose(british) == us
    assert context(facts).say.prose(british) == british


def test_american_cards_use_no_british_crop_names(facts: Facts) -> None:
    ctx = context(facts, us=True, empty=True)
    for crop in facts.crops:
        reply = answer("crop_info", ctx, crops=(crop,))
        for name in ("courgette", "aubergine", "sweetcorn", "swede", "beetroot", "mangetout"):
            assert name not in text(reply).lower(), (crop, name)


def test_a_card_says_when_to_begin_here(facts: Facts) -> None:
    ctx = context(facts)
    place = ctx.plot.settings.place
    assert place is not None
    season = season_for(place, facts, ctx.plot.settings)
    card = answer("crop_info", replace(ctx, season=season), crops=("carrot",))
    [line] = [line for line in card.lines if line.startswith("Here:")]
    assert line == "Here: sow mid April to late July."


@pytest.mark.parametrize(("text", "term"), [
    ("what's it called when you stand seed potatoes in trays to sprout", "Chitting"),
    ("what is the word for when lettuce goes to seed", "Bolting"),
])
def test_a_forgotten_word_is_found_by_what_it_means(facts: Facts, text: str, term: str) -> None:
    assert answer("glossary", context(facts), text=text).headline.startswith(term)


def test_what_is_no_crop_is_told_with_its_danger(facts: Facts) -> None:
    reply = answer("depth", context(facts), unknown_crop="Sweet Peas")
    assert "poisonous" in reply.headline and not reply.events and not reply.choices
    reply = answer("can", context(facts), unknown_crop="sweet peas", text="can I bottle sweet peas")
    assert reply.headline.startswith("No: sweet peas are") and reply.data["can"]["minutes"] is None


def test_a_card_without_figures_begins_with_advice_and_not_with_botany(facts: Facts) -> None:
    reply = answer("crop_info", context(facts), crops=("bottle-gourd",))
    assert reply.headline == "Bottle gourds: start in warmth and give it a strong trellis and a long hot summer."
    assert not any("strong trellis" in line for line in reply.lines)


def test_a_card_keeps_to_one_unit_of_length(facts: Facts) -> None:
    assert "Space 2.5-3 m apart, rows 1.5-2 m." in answer("crop_info", context(facts), crops=("blackberry",)).lines


def test_what_is_set_out_from_a_pot_has_no_planting_depth(facts: Facts) -> None:
    assert not any(line.startswith("Plant ½")
                   for line in answer("crop_info", context(facts), crops=("rosemary",)).lines)
    asked = answer("depth", context(facts), crops=("rosemary",), text="how deep do I plant rosemary")
    assert asked.headline == "Set rosemary out as deep as it stood; seed is sown ½ cm deep."


def test_what_never_does_outdoors_is_told_for_the_plots_own_roof(facts: Facts) -> None:
    ctx = context(facts)
    season = season_for(ctx.plot.settings.place, facts, ctx.plot.settings)
    open_ground = answer("crop_info", replace(ctx, season=season), crops=("melon",))
    assert not any("polytunnel" in line for line in open_ground.lines)
    roofed = replace(ctx.plot, beds={**ctx.plot.beds, "tunnel": Bed("tunnel", "Tunnel", cover="polytunnel")})
    card = answer("crop_info", replace(ctx, plot=roofed, season=season), crops=("tomato",))
    assert any(line.startswith("Here: ") for line in card.lines)  # in the open it does, so that is told
    melon = answer("crop_info", replace(ctx, plot=roofed, season=season), crops=("melon",))
    assert any(line.startswith("Here, in the polytunnel: ") for line in melon.lines)


def test_one_way_of_beginning_is_said_once(facts: Facts) -> None:
    ctx = context(facts)
    season = season_for(ctx.plot.settings.place, facts, ctx.plot.settings)
    card = answer("crop_info", replace(ctx, season=season), crops=("garlic",))
    assert sum(line.count("plant cloves") for line in card.lines) == 1


def test_sowing_indoors_is_for_planting_out_when_the_open_ground_allows(facts: Facts) -> None:
    plain = context(facts)
    here = replace(plain, season=season_for(plain.plot.settings.place, facts, plain.plot.settings))
    indoors = answer("when_sow", here, crops=("courgette",), cover="indoors")
    assert indoors.headline == answer("when_sow", here, crops=("courgette",)).headline
    assert "April" in indoors.headline and "February" not in text(indoors)
