from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.facts import Facts
from bot.growing.layout import best_layout, count_in_bed, ground_per_plant_m2, spacing_of


@pytest.mark.parametrize(
    ("length", "width", "in_row", "between", "rows", "per_row"),
    [
        (400, 120, 30, 30, 4, 13),
        (400, 120, 15, 45, 2, 26),
        (120, 400, 30, 30, 4, 13),
        (100, 100, 50, 50, 2, 2),
        (400, 120, 90, 120, 1, 4),
    ],
)
def test_rows_keep_half_a_spacing_at_the_edge(
    length: float, width: float, in_row: float, between: float, rows: int, per_row: int
) -> None:
    plan = count_in_bed(length, width, in_row, between)
    assert (plan.rows, plan.per_row, plan.count) == (rows, per_row, rows * per_row)


def test_offset_rows_stand_closer_and_shift() -> None:
    square = count_in_bed(400, 120, 20, pattern="square")
    offset = count_in_bed(400, 120, 20, pattern="offset")
    assert offset.between_rows_cm == pytest.approx(20 * math.sqrt(3) / 2, abs=0.1)
    assert (square.rows, offset.rows) == (6, 6)
    assert offset.count == 3 * 20 + 3 * 19


def test_an_edge_margin_may_be_set() -> None:
    assert count_in_bed(100, 100, 50, edge_cm=0).count == 9
    assert count_in_bed(100, 100, 50, edge_cm=30).count == 1


def test_a_small_piece_takes_one_plant_or_none() -> None:
    assert count_in_bed(50, 50, 90).count == 1
    assert count_in_bed(40, 40, 90).count == 0


@pytest.mark.parametrize("wrong", [(0, 120, 30), (400, -1, 30), (400, 120, 0)])
def test_distances_must_be_above_zero(wrong: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        count_in_bed(*wrong)


@given(st.floats(30, 1000), st.floats(30, 400), st.floats(3, 150), st.floats(3, 150))
def test_plants_never_need_more_ground_than_there_is(
    length: float, width: float, in_row: float, between: float
) -> None:
    plan = count_in_bed(length, width, in_row, between)
    if plan.count > 1:
        assert (plan.rows - 1) * between <= min(length, width) + 1e-6
        assert (plan.per_row - 1) * in_row <= max(length, width) + 1e-6
    assert plan.count <= (max(length, width) / in_row + 1) * (min(length, width) / between + 1)


@given(st.floats(60, 800), st.floats(60, 300), st.floats(5, 60))
def test_more_room_never_holds_fewer(length: float, width: float, gap: float) -> None:
    for pattern in ("square", "offset"):
        small, big = (
            count_in_bed(length, width, gap, pattern=pattern),
            count_in_bed(length + gap, width + gap, gap, pattern=pattern),
        )
        assert big.count >= small.count


def test_climbers_stand_in_rows_and_cabbages_each_way(facts: Facts) -> None:
    beans, kale = facts.crops["runner-bean"], facts.crops["kale"]
    assert spacing_of(beans)[0] < spacing_of(beans)[1]  # type: ignore[index]
    assert spacing_of(kale)[0] == spacing_of(kale)[1]  # type: ignore[index]
    assert best_layout(beans, 400, 120).pattern == "rows"  # type: ignore[union-attr]
    assert best_layout(kale, 400, 120).count in range(12, 21)  # type: ignore[union-attr]


def test_no_spacing_no_layout(facts: Facts) -> None:
    crop = next(c for c in facts.crops.values() if c.spacing is None)
    assert best_layout(crop, 400, 120) is None
    assert ground_per_plant_m2(crop) is None
