"""The pest handler and the records of pests and frosts."""

from __future__ import annotations

from datetime import date

import pytest

from bot.facts import Facts
from bot.handlers.pests import pest
from bot.handlers.sightings import log_frost_seen, log_pest_seen
from bot.plot.events import Event
from bot.plot.state import Plot
from bot.reply import plain_text
from bot.request import Request, When
from bot.tending.sightings import due_again, last_sighting
from bot.tending.units import in_units
from bot.wording import Wording
from tests.tending.plots import HOBART, OHIO, context


def ask_about(facts: Facts, text: str, *crops: str, **kwargs: object):  # type: ignore[no-untyped-def]
    """Ask the handler about a description."""
    return pest(Request("pest", text=text, crops=crops, pest=kwargs.pop("named", None)), context(facts, **kwargs))


class TestNaming:
    def test_a_clear_description_is_named_with_what_to_do(self, facts: Facts) -> None:
        reply = ask_about(facts, "white maggots in the onion base, yellow leaves", "onion")
        assert reply.headline == "Most likely onion fly."
        assert reply.data["causes"][0]["id"] == "onion-fly" and reply.data["causes"][0]["score"] > 0.8
        text = plain_text(reply)
        assert "Clearing up:" in text and "Does it still matter?" in text and "Next year:" in text
        assert reply.choices == ()

    def test_an_unclear_one_says_so_and_asks_what_tells_them_apart(self, facts: Facts) -> None:
        reply = ask_about(facts, "raspberry fruit has wee maggots in it", "raspberry")
        assert reply.headline.startswith(("Probably", "Perhaps")) and "raspberry beetle" in reply.headline
        assert len(reply.choices) >= 2 and reply.lines[-1].endswith("?")
        assert all(choice.says.startswith("what is wrong with my raspberries:") for choice in reply.choices)

    def test_taking_a_choice_settles_it(self, facts: Facts) -> None:
        first = ask_about(facts, "raspberry fruit has wee maggots in it", "raspberry")
        beetle = next(c for c in first.choices if "brownish grub" in c.label)
        then = ask_about(facts, beetle.says, "raspberry")
        assert then.data["causes"][0]["id"] == "raspberry-beetle"

    def test_it_stops_asking_after_two_questions(self, facts: Facts) -> None:
        tells = [p.tell for p in facts.tending.pests if p.id in ("raspberry-beetle", "swd")]
        reply = ask_about(facts, f"raspberries have maggots, {tells[0]}, {tells[1]}", "raspberry")
        assert reply.choices == ()

    def test_thin_words_get_one_question_with_the_crops_own_troubles(self, facts: Facts) -> None:
        reply = ask_about(facts, "something wrong with my leeks", "leek")
        assert reply.headline == "What do you see on the leeks, and where: leaf, stem, root or fruit?"
        assert 3 <= len(reply.choices) <= 4 and reply.waiting is not None and reply.wants == "choice"
        assert reply.data == {"causes": []}

    def test_with_no_crop_and_no_sign_it_asks_which_plant(self, facts: Facts) -> None:
        assert ask_about(facts, "help my plants are dying").headline == "Which plant is it, and what do you see on it?"

    def test_a_bed_stands_for_what_grows_there(self, facts: Facts) -> None:
        request = Request("pest", text="little white flies when I brush past", beds=("tunnel",))
        assert pest(request, context(facts)).data["causes"][0]["id"] == "glasshouse-whitefly"

    def test_the_plot_remembers(self, facts: Facts) -> None:
        reply = ask_about(facts, "white papery windows in the leaves and slim caterpillars", "leek")
        assert "Leek moth was seen here last 20 June 2025 (Bed 1)." in [*reply.lines, *reply.more]

    def test_out_of_season_is_said(self, facts: Facts) -> None:
        words, day = "blight with brown patches and white mould under potato leaves", date(2026, 1, 5)
        reply = ask_about(facts, words, "potato", day=day)
        assert any("Out of its usual season now" in line for line in reply.lines)
        south = ask_about(facts, words, "potato", day=day, place=HOBART)
        assert not any("Out of its usual season" in line for line in south.lines)


class TestByName:
    def test_a_name_alone_is_answered_directly(self, facts: Facts) -> None:
        reply = ask_about(facts, "how do I get rid of blackfly", named="black-bean-aphid")
        assert reply.headline.startswith("Blackfly: squash")
        assert reply.data == {"causes": [{"id": "black-bean-aphid", "score": 1.0}]}
        on_beans = ask_about(facts, "how do I get rid of blackfly", "broad-bean", named="black-bean-aphid")
        assert on_beans.headline.startswith("Blackfly: pinch out the tips")

    def test_a_name_with_another_crops_signs_is_only_a_hint(self, facts: Facts) -> None:
        reply = ask_about(facts, "green caterpillars with black dots stripped the gooseberry bare", "gooseberry",
                          named="cabbage-white")
        assert reply.data["causes"][0]["id"] == "gooseberry-sawfly"

    def test_american_words(self, facts: Facts) -> None:
        reply = ask_about(facts, "carrot fly", named="carrot-fly", units="us", words="us", place=OHIO)
        assert reply.headline.startswith("Carrot rust fly:")

    @pytest.mark.parametrize("words", ["gb", "us"])
    def test_every_trouble_fits_a_phone_and_says_no_metric_figure_in_us_units(self, facts: Facts, words: str) -> None:
        units = "us" if words == "us" else "metric"
        for trouble in facts.tending.pests:
            reply = ask_about(facts, trouble.said(words), named=trouble.id, units=units, words=words, place=OHIO)
            shown = 1 + len(reply.lines) + len(reply.cautions)
            assert shown <= 12, (trouble.id, shown)
            assert set(reply.sources) <= set(facts.sources), trouble.id
            if words == "us":
                text = " ".join([reply.headline, *reply.lines, *reply.cautions])
                assert not any(f"{n} {u}" in text for n in "0123456789" for u in ("cm", "mm", "°C")), (trouble.id, text)

    def test_what_must_be_reported_says_whom_to_tell(self, facts: Facts) -> None:
        reply = ask_about(facts, "yellow and black striped beetles on the leaves", "potato")
        assert reply.data["causes"][0]["id"] == "colorado-beetle"
        assert any("plant health authority" in caution for caution in reply.cautions)

    def test_measures_are_said_in_us_units(self) -> None:
        assert in_units("collars 10-15 cm across, mesh of 7 mm, above 5 °C", Wording(units="us")) == \
            "collars 4-6 in across, mesh of 1/4 in, above 41 °F"
        assert in_units("collars 10-15 cm across", Wording()) == "collars 10-15 cm across"


class TestSightings:
    def test_a_named_pest_is_recorded_with_its_id(self, facts: Facts) -> None:
        request = Request("log_pest_seen", text="leek moth on the leeks in bed 1", pest="leek-moth", crops=("leek",),
                          beds=("bed-1",))
        reply = log_pest_seen(request, context(facts))
        event = reply.events[0]
        assert (event.kind, event.data, event.crop, event.bed, event.day) == \
            ("pest_seen", {"pest": "leek-moth"}, "leek", "bed-1", date(2026, 6, 20))
        assert reply.headline == "Noted: leek moth seen on the leeks in Bed 1 today."
        assert "Last seen here 20 June 2025." in reply.lines

    def test_a_described_one_is_recognised_and_a_vague_one_kept_as_words(self, facts: Facts) -> None:
        spots = Request("log_pest_seen", text="orange dusty spots on the leeks", crops=("leek",))
        clear = log_pest_seen(spots, context(facts))
        assert clear.events[0].data == {"pest": "allium-rust"}
        thing = Request("log_pest_seen", text="saw a funny thing on the kale", crops=("kale",))
        vague = log_pest_seen(thing, context(facts))
        assert vague.events[0].data == {} and vague.events[0].words == "saw a funny thing on the kale"

    def test_a_description_wins_over_a_loose_name_in_it(self, facts: Facts) -> None:
        told = Request("log_pest_seen", text="found a fat grey caterpillar curled in the soil under a felled lettuce",
                       pest="cabbage-white", crops=("lettuce",))
        assert log_pest_seen(told, context(facts)).events[0].data == {"pest": "cutworm"}

    @pytest.mark.parametrize(
        ("text", "crop", "named", "meant"),
        [("mildew on onions", "onion", "powdery-mildew", "onion-downy"),
         ("mildew on the courgettes", "courgette", "powdery-mildew", "powdery-mildew"),
         ("rust on the beans", "runner-bean", "allium-rust", "bean-rust"),
         ("powdery mildew on onions", "onion", "powdery-mildew", "powdery-mildew")])
    def test_a_short_name_means_the_kind_that_lives_on_the_crop(self, facts: Facts, text: str, crop: str, named: str,
                                                                meant: str) -> None:
        reply = log_pest_seen(Request("log_pest_seen", text=text, crops=(crop,), pest=named), context(facts))
        assert reply.events[0].data["pest"] == meant

    def test_a_day_to_come_records_nothing(self, facts: Facts) -> None:
        soon = When(date(2026, 6, 22), date(2026, 6, 22))
        for handler, intent in ((log_pest_seen, "log_pest_seen"), (log_frost_seen, "log_frost_seen")):
            assert handler(Request(intent, text="slugs", pest="slugs", when=soon), context(facts)).events == ()

    def test_last_year_comes_round_again(self) -> None:
        journal = (Event("pest_seen", date(2025, 6, 20), crop="leek", data={"pest": "leek-moth"}, seq=1),
                   Event("pest_seen", date(2025, 1, 2), data={"pest": "pigeon"}, seq=2),
                   Event("pest_seen", date(2026, 6, 1), data={"pest": "slugs"}, seq=3))
        plot = Plot("p", journal=journal)
        assert [s.pest for s in due_again(plot, date(2026, 6, 10))] == ["leek-moth"]
        assert [s.pest for s in due_again(plot, date(2025, 12, 28))] == ["pigeon"]
        assert last_sighting(plot, "slugs", date(2026, 6, 10)) is None  # the same attack, not another year's

    def test_a_frost_names_what_it_may_have_hurt(self, facts: Facts) -> None:
        request = Request("log_frost_seen", text="frost last night, minus two", temperature_c=-2.0)
        reply = log_frost_seen(request, context(facts, day=date(2026, 5, 20)))
        event = reply.events[0]
        assert (event.kind, event.amount, event.unit) == ("frost_seen", -2.0, "c")
        assert {row["crop"] for row in reply.data["tender"]} >= {"potato"}
        assert "kale" not in {row["crop"] for row in reply.data["tender"]}
        assert any("Potatoes shoot again" in line for line in reply.lines)

    def test_the_tunnel_is_warmer(self, facts: Facts) -> None:
        def killed(degrees: float) -> list[object]:
            told = log_frost_seen(Request("log_frost_seen", text="frost", temperature_c=degrees), context(facts)).data["tender"]
            return [row["killed"] for row in told if row["bed"] == "tunnel"]

        assert not any(killed(-1.0)) and any(killed(-4.0))  # outdoors tomatoes die at 0 °C

    def test_a_frost_of_twelve_degrees_is_not_recorded(self, facts: Facts) -> None:
        reply = log_frost_seen(Request("log_frost_seen", text="frost 12", temperature_c=12.0), context(facts))
        assert reply.events == () and "recorded nothing" in reply.headline

    def test_an_empty_plot_answers_too(self, facts: Facts) -> None:
        assert log_frost_seen(Request("log_frost_seen", text="frost"), context(facts, empty=True)).events
        assert ask_about(facts, "slime trails and holes", empty=True).data["causes"][0]["id"] == "slugs"
        assert ask_about(facts, "slime trails and holes", place=None).data["causes"][0]["id"] == "slugs"
