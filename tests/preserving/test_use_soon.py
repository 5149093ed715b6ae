"""What needs eating first, from the record alone."""

from __future__ import annotations

from datetime import date

from bot.plot.events import NewEvent
from bot.preserving.use_soon import ideas_for, keeps_days, soon_line, use_soon
from bot.reply import plain_text
from tests.preserving.kitchen import FACTS, Kitchen


def picked(crop: str, day: date, kg: float, bed: str | None = None) -> NewEvent:
    return NewEvent("harvested", day, crop=crop, bed=bed, amount=kg, unit="kg")


def kitchen() -> Kitchen:
    k = Kitchen(today=date(2026, 9, 1))
    k.record(
        NewEvent("sown", date(2026, 5, 10), crop="courgette", bed="bed-1"),
        picked("courgette", date(2026, 8, 31), 2.4, "bed-1"),
        picked("french-bean", date(2026, 8, 27), 1.5),
        NewEvent(
            "preserved",
            date(2025, 9, 20),
            crop="plum",
            amount=3,
            unit="jar",
            data={"product": "bottled", "where": "cellar shelf", "best_before": "2026-09-20"},
        ),
        NewEvent(
            "preserved",
            date(2025, 7, 1),
            crop="pea",
            amount=2,
            unit="bag",
            data={"product": "frozen", "where": "freezer", "best_before": "2026-03-01"},
        ),
        NewEvent(
            "preserved",
            date(2026, 8, 30),
            crop="potato",
            amount=12,
            unit="kg",
            data={"product": "stored", "where": "shed", "best_before": "2027-02-01"},
        ),
    )
    return k


def test_most_urgent_first() -> None:
    k = kitchen()
    rows = use_soon(k.plot, FACTS.crops, k.today, k.say)
    assert [(r.crop, r.kind) for r in rows[:4]] == [
        ("pea", "stored"),
        ("french-bean", "fresh"),
        ("courgette", "fresh"),
        ("plum", "stored"),
    ]
    assert rows[0].days_left == -184 and rows[1].days_left == 2 and rows[3].days_left == 19


def test_fresh_life_is_the_short_end_of_the_storage_table() -> None:
    """French beans keep 7-10 days (USDA Handbook 66), courgettes half a week at the least."""
    assert keeps_days(FACTS.crops["french-bean"]) == (
        7,
        tuple(next(s for s in FACTS.crops["french-bean"].storage if s.weeks and s.weeks[0] == 1).source),
    )
    assert keeps_days(FACTS.crops["courgette"])[0] == 4  # type: ignore[index]


def test_what_was_preserved_is_no_longer_fresh() -> None:
    k = kitchen()
    k.record(
        NewEvent(
            "preserved",
            date(2026, 8, 28),
            crop="french-bean",
            amount=3,
            unit="bag",
            data={"product": "frozen", "kg": 1.5},
        )
    )
    assert ("french-bean", "fresh") not in [(r.crop, r.kind) for r in use_soon(k.plot, FACTS.crops, k.today, k.say)]


def test_part_preserved_leaves_the_rest() -> None:
    k = kitchen()
    k.record(
        NewEvent(
            "preserved",
            date(2026, 8, 28),
            crop="french-bean",
            amount=2,
            unit="bag",
            data={"product": "frozen", "kg": 1.0},
        )
    )
    rest = next(
        r for r in use_soon(k.plot, FACTS.crops, k.today, k.say) if r.crop == "french-bean" and r.kind == "fresh"
    )
    assert rest.amount == 0.5


def test_long_keepers_are_not_urgent() -> None:
    k = Kitchen(today=date(2026, 9, 1))
    k.record(picked("onion", date(2026, 8, 31), 9))
    k.record(picked("winter-squash", date(2026, 8, 31), 9))
    assert all(r.crop != "winter-squash" for r in use_soon(k.plot, FACTS.crops, k.today, k.say))


def test_reply_names_ideas_and_days() -> None:
    reply = kitchen().ask("use_up", "what needs eating first")
    text = plain_text(reply)
    assert reply.headline == "First frozen peas: past best already."
    assert "French beans, 1.5 kg picked 27 August: 2 days left." in text
    assert "Courgettes, 2.4 kg picked yesterday: 3 days left." in text
    assert "With French beans:" in text and len(reply.lines) <= 10
    assert reply.data["use_up"]["rows"][0]["crop"] == "pea"


def test_glut_gives_three_things_and_ways_to_keep() -> None:
    reply = kitchen().ask("use_up", "drowning in courgettes", "courgette")
    assert len([line for line in reply.lines if ": " in line]) >= 4
    assert "To keep: freeze, a tested recipe (bread-and-butter courgettes), dry" in plain_text(reply)


def test_a_named_place_limits_the_answer() -> None:
    rows = kitchen().ask("use_up", "what's oldest in the freezer").data["use_up"]["rows"]
    assert [row["crop"] for row in rows] == ["pea"]


def test_empty_record_answers() -> None:
    assert Kitchen().ask("use_up", "what needs eating").data["use_up"]["rows"] == []


def test_sixty_ideas_gluts_first_and_no_shelf_jars() -> None:
    ideas = FACTS.preserving.ideas
    assert len(ideas) >= 60 and len({(i.crop, i.title) for i in ideas}) == len(ideas)
    first_plain = next(n for n, i in enumerate(ideas) if not i.glut)
    assert all(not i.glut for i in ideas[first_plain:])
    gluts = {
        "courgette",
        "runner-bean",
        "french-bean",
        "tomato",
        "marrow",
        "lettuce",
        "chard",
        "beetroot",
        "plum",
        "apple",
        "cucumber",
    }
    for crop in gluts:
        assert len(ideas_for(crop, FACTS.preserving)) >= 2, crop
    for idea in ideas:
        assert len(idea.text) <= 140 and "!" not in idea.text
        assert not any(
            word in idea.text.lower() for word in ("can it", "bottle them", "bottle it,", "seal the jar", "water bath")
        )


def test_lines_read_well() -> None:
    k = kitchen()
    lines = [soon_line(r, k.say, k.today) for r in use_soon(k.plot, FACTS.crops, k.today, k.say)]
    assert lines[0] == "Frozen peas, 2 bags in the freezer: past its best since early March."
    assert "Bottled plums, 3 jars on the cellar shelf: 19 days left." in lines
