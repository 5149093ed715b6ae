"""Described troubles against the right cause, and how words are read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from bot.facts import Facts
from bot.facts.tending import FILES, check
from bot.tending.diagnosis import Clinic, clinic, region_of, season_of
from bot.tending.signs import Reader, stem, words_of

HERE = Path(__file__).parent
REGION = {"eu": "eu", "us": "na", "nz": "oc"}


@pytest.fixture(scope="module")
def ward(facts: Facts) -> Clinic:
    """Return the shipped troubles made ready."""
    return clinic(facts.tending)


def rows(name: str) -> list[dict[str, Any]]:
    """Return the described troubles of one file."""
    with (HERE / name).open(encoding="utf-8") as handle:
        return yaml.safe_load(handle)["problems"]  # type: ignore[no-any-return]


def score(ward: Clinic, problems: list[dict[str, Any]]) -> tuple[float, float, list[str]]:
    """Return the shares right first and within three, and what was missed."""
    first, three, missed = 0, 0, []
    for row in problems:
        ids = [c.id for c in ward.rank(row["text"], row["crops"], season=season_of(row["month"]),
                                       region=REGION[row["where"]])[:3]]
        right = {row["cause"], *row.get("accept", ())}
        first += ids[0] in right
        three += bool(right & set(ids))
        if ids[0] not in right:
            missed.append(f"{row['n']} {row['cause']}: {ids}")
    return first / len(problems), three / len(problems), missed


@pytest.mark.parametrize(("name", "half", "first_floor", "three_floor"), [
    ("problems.yaml", 1, 0.75, 0.92),  # the half the weights were set on
    ("problems.yaml", 0, 0.75, 0.92),  # the half held out
    ("fresh_problems.yaml", None, 0.75, 0.92),  # first run 65 % and 85 %; learnt from since
    ("fresh_problems_2.yaml", None, 0.75, 0.92),  # first run 70 % and 80 %; learnt from since
    ("fresh_problems_3.yaml", None, 0.75, 0.92),  # first run 70 % and 87.5 %; learnt from since
    ("fresh_problems_4.yaml", None, 0.75, 0.92),  # first run 77.5 % and 92.5 %: the honest score
])
def test_the_right_cause_comes_first_and_within_three(ward: Clinic, name: str, half: int | None, first_floor: float,
                                                      three_floor: float) -> None:
    problems = [row for row in rows(name) if half is None or row["n"] % 2 == half]
    first, three, missed = score(ward, problems)
    print(f"{name} {half}: first {first:.1%}, within three {three:.1%}")
    assert first >= first_floor and three >= three_floor, missed


def test_a_hundred_problems_of_many_causes_each_with_its_source(facts: Facts) -> None:
    with (HERE / "problems.yaml").open(encoding="utf-8") as handle:
        whole = yaml.safe_load(handle)
    problems = whole["problems"]
    assert len(problems) == 100 and len({row["cause"] for row in problems}) >= 95
    assert all(row["source"] in whole["sheets"] or row["source"] in facts.sources for row in problems)


def test_at_least_a_hundred_troubles_and_none_at_fault(facts: Facts) -> None:
    assert len(facts.tending.pests) >= 100
    mine = {FILES[table] for table in ("sign_words", "hosts", "pests", "blight", "cautions")}
    assert [str(fault) for fault in check(facts) if fault.file in mine] == []


def test_the_check_finds_what_is_wrong(facts: Facts) -> None:
    pest = facts.tending.pests[0].model_copy(update={"hosts": ["moon-cabbage"], "source": ["nowhere"]})
    room = facts.tending.model_copy(update={"pests": [pest, *facts.tending.pests]})

    class Doubled(Facts):
        tending = room  # type: ignore[assignment]

    said = " ".join(str(f) for f in check(Doubled(facts.root)))
    assert "moon-cabbage" in said and "nowhere" in said and "stands twice" in said


def test_every_trouble_has_physical_advice_and_no_dose(facts: Facts) -> None:
    for pest in facts.tending.pests:
        text = " ".join([*pest.now, pest.late, pest.next_year, pest.hygiene])
        assert not any(f" {unit} per " in text or f"{unit} in a litre" in text for unit in ("ml", "g", "oz")), pest.id
        assert pest.now and pest.late and pest.next_year and pest.hygiene, pest.id


def test_choosing_a_mark_leads_to_its_trouble(ward: Clinic) -> None:
    """Each mark offered as a choice, said with a host crop, brings its own trouble within the first three."""
    lost = []
    for profile in ward.profiles:
        crops = sorted(profile.hosts)[:1]
        ids = [c.id for c in ward.rank(f"what is wrong with my plants: {profile.pest.tell}", crops)[:3]]
        if profile.pest.id not in ids:
            lost.append((profile.pest.id, crops, ids))
    assert len(lost) <= 3, lost


class TestReading:
    def test_endings_meet_and_other_words_do_not(self) -> None:
        assert stem("tunnels") == stem("tunnelled") == stem("tunnelling")
        assert stem("ripe") != stem("ripped") and stem("canes") == "cane" and stem("slime") != stem("slim")

    def test_denials_are_kept_apart(self, ward: Clinic) -> None:
        seen = ward.read("white maggots in the base, no mould")
        assert {"maggot", "white+maggot", "base"} <= seen.features
        assert "mould" in seen.denied and "mould" not in seen.features

    def test_a_phrase_that_itself_says_no_is_no_denial(self, ward: Clinic) -> None:
        seen = ward.read("plants never came up")
        assert "not-up" in seen.ideas and not seen.denied

    def test_just_ends_a_denial(self, ward: Clinic) -> None:
        assert "bald-seedling" in ward.read("they have no leaves just bare stalk").ideas

    def test_misspellings_are_mended(self, ward: Clinic) -> None:
        assert "caterpillar" in ward.read("catterpilar on the leafs").ideas

    def test_whole_phrases_hide_their_words(self, ward: Clinic) -> None:
        assert "spots" not in ward.read("all over the vegetable patch").ideas

    def test_a_denied_sign_counts_against(self, ward: Clinic) -> None:
        with_slime = ward.rank("ragged holes and a slime trail", ["lettuce"])[0]
        without = {c.id: c.raw for c in ward.rank("ragged holes, no slime trail", ["lettuce"])}
        assert with_slime.id == "slugs" and without["slugs"] < with_slime.raw - 3

    def test_no_long_phrase_shrinks_to_another_ideas_word(self, ward: Clinic) -> None:
        """A lexicon phrase whose little words fall away must not become a plain word of another idea."""
        reader = ward.reader
        single: dict[str, set[str]] = {}
        for word in reader.words.words:
            for phrase in word.words:
                if " " not in phrase.strip() and "-" not in phrase:
                    single.setdefault(stem(phrase.lower()), set()).add(word.id)
        related = {word.id: {word.id, *word.also} for word in reader.words.words}
        bad = []
        for word in reader.words.words:
            for phrase in word.words:
                key = reader._stems([w for c in words_of(phrase) for w in c])
                if len(key) == 1 and (" " in phrase or "-" in phrase):
                    others = {o for o in single.get(key[0], set()) if o not in related[word.id]}
                    if others:
                        bad.append((word.id, phrase, others))
        assert bad == []

    @given(st.text(max_size=300))
    def test_any_text_is_read_and_ranked_without_failing(self, facts: Facts, text: str) -> None:
        ranked = clinic(facts.tending).rank(text)
        assert abs(sum(c.score for c in ranked) - 1) < 1e-6

    def test_a_reader_needs_no_pests(self, facts: Facts) -> None:
        assert Reader(facts.tending.sign_words).ideas("white fluff and black specks")


class TestOdds:
    def test_the_crop_rules_out(self, ward: Clinic) -> None:
        assert ward.rank("white wool on it", ["apple"])[0].id == "woolly-aphid"
        leek = {c.id: c.score for c in ward.rank("white wool on it", ["leek"])}
        assert leek["woolly-aphid"] < 0.01

    def test_works_with_no_crop(self, ward: Clinic) -> None:
        assert ward.rank("ragged holes and silvery slime trails")[0].id == "slugs"

    def test_the_part_of_the_world_counts(self, ward: Clinic) -> None:
        text = "vine wilted and there is sawdust at the stem base"
        here = {c.id: c.raw for c in ward.rank(text, ["courgette"], region="eu")}
        there = {c.id: c.raw for c in ward.rank(text, ["courgette"], region="na")}
        assert there["squash-vine-borer"] > here["squash-vine-borer"]

    def test_the_season_counts_in_its_own_hemisphere(self, ward: Clinic) -> None:
        assert season_of(1) == "winter" and season_of(1, southern=True) == "midsummer"
        summer = {c.id: c.raw for c in ward.rank("spots", ["potato"], season="midsummer")}
        winter = {c.id: c.raw for c in ward.rank("spots", ["potato"], season="winter")}
        assert summer["late-blight"] > winter["late-blight"]

    @pytest.mark.parametrize(("lat", "lon", "region"), [
        (45.05, 3.9, "eu"), (51.5, -0.1, "eu"), (40.0, -83.0, "na"), (-42.9, 147.3, "oc"), (-36.8, 174.7, "oc"),
        (-34.6, -58.4, "sa"), (35.7, 139.7, "as"), (-33.9, 18.4, "af"), (28.6, 77.2, "as"),
    ])
    def test_parts_of_the_world(self, lat: float, lon: float, region: str) -> None:
        assert region_of(lat, lon) == region

    def test_what_was_seen_before_is_likelier(self, ward: Clinic) -> None:
        plain = {c.id: c.raw for c in ward.rank("white patches", ["leek"])}
        again = {c.id: c.raw for c in ward.rank("white patches", ["leek"], before=frozenset({"leek-moth"}))}
        assert again["leek-moth"] > plain["leek-moth"]

    def test_thin_words_name_nothing(self, ward: Clinic) -> None:
        assert ward.thin("something wrong with my leeks") and ward.thin("")
        assert not ward.thin("white maggots in the bulb")

    def test_no_sign_holds_what_its_words_deny(self, ward: Clinic) -> None:
        wrong = [(pest.id, sign.words) for pest in ward.facts.pests for sign in pest.signs
                 if (ward.reader.read(sign.words).denied & set(sign.seen)) - {"fruit-drop"}]
        assert not wrong

    @pytest.mark.parametrize(("text", "crop", "cause"), [
        ("something eats the lettuces at night and leaves slime", "lettuce", "slugs"),
        ("black spots on potato leaves after wet weather", "potato", "late-blight"),
        ("black fly on the beans", "runner-bean", "black-bean-aphid"),
        ("tiny black flies around the pots of basil seedlings", "basil", "fungus-gnat"),
    ])
    def test_words_that_could_be_two_creatures(self, ward: Clinic, text: str, crop: str, cause: str) -> None:
        assert ward.rank(text, [crop], season="early-summer", region="eu")[0].id == cause
