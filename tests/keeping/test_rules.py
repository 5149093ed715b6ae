"""The pure rules behind the keeping answers."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bot.facts import Facts
from bot.keeping.company import clashes, feels, gives, longest
from bot.keeping.household import for_people, for_weight
from bot.keeping.seedage import judge
from bot.keeping.spans import how_long


def test_apples_and_carrots_clash_both_ways_round(facts: Facts) -> None:
    apple, carrot, beet = facts.crops["apple"], facts.crops["carrot"], facts.crops["beetroot"]
    assert gives(apple) and not gives(carrot)
    root = next(row for row in carrot.storage if row.form.startswith("mature"))
    assert feels(root)
    assert clashes(carrot, root, [apple, beet, carrot]) == ["apple"]
    assert "carrot" in clashes(apple, apple.storage[0], [carrot, beet])


def test_the_longest_keeper_comes_first(facts: Facts) -> None:
    rows = longest(facts.crops["carrot"].storage)
    lives = [row.weeks[1] for row in rows if row.weeks]
    assert lives == sorted(lives, reverse=True)


@given(st.floats(0.1, 60), st.floats(0.1, 60))
def test_a_span_is_said_in_one_unit_and_low_first(a: float, b: float) -> None:
    low, high = sorted((a, b))
    said = how_long((low, high))
    assert sum(unit in said for unit in ("day", "week", "month")) == 1
    figures = [float(word.replace(",", "")) for word in said.split() if word.replace(",", "").isdigit()]
    assert figures == sorted(figures) and figures


@given(people=st.integers(1, 30))
def test_more_people_never_want_less(facts: Facts, people: int) -> None:
    for crop_id in ("tomato", "carrot", "lettuce", "onion"):
        crop = facts.crops[crop_id]
        less, more = for_people(crop, people), for_people(crop, people + 1)
        assert less.plants and more.plants and more.plants[0] >= less.plants[0] and more.plants[1] >= less.plants[1]


def test_a_weight_needs_a_yield(facts: Facts) -> None:
    assert not for_weight(facts.crops["thyme"], 5).known
    amount = for_weight(facts.crops["carrot"], 10)
    assert amount.row_m is not None and amount.row_m[0] <= amount.row_m[1]
    assert amount.seeds is not None and amount.seeds > 100


@given(age=st.integers(0, 40))
def test_seed_never_gets_better_with_age(facts: Facts, age: int) -> None:
    order = ["good", "last", "test", "spent"]
    for crop_id in ("parsnip", "tomato", "lettuce"):
        crop = facts.crops[crop_id]
        now, later = judge(crop, 2026 - age, 2026).verdict, judge(crop, 2025 - age, 2026).verdict
        assert order.index(later) >= order.index(now)
