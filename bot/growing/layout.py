"""How many plants a piece of ground holds: rows, a square grid or an offset grid, with a margin at the edge.

Plain geometry. An offset grid sets each row half a spacing along, so that rows can stand closer by the height
of an equilateral triangle (root 3 over 2) and every plant still keeps its distance from all its neighbours.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from bot.facts.crop import Crop, Spacing

_TRIANGLE = math.sqrt(3) / 2
_WEEDED_CM = 6.0  # closer each way than this no finger weeds between: such seed goes in rows
_ROW_SUPPORT = re.compile(r"\b(poles?|netting|sticks|wires)\b")  # supports that make a row


@dataclass(frozen=True, slots=True)
class Layout:
    """One way to set a bed out: `rows` of `per_row` plants (an offset grid's short rows hold one fewer)."""

    pattern: str  # rows | square | offset
    count: int
    rows: int
    per_row: int
    in_row_cm: float
    between_rows_cm: float


def count_in_bed(
    length_cm: float,
    width_cm: float,
    in_row_cm: float,
    between_rows_cm: float | None = None,
    *,
    pattern: str = "rows",
    edge_cm: float | None = None,
) -> Layout:
    """Return how many plants stand on `length_cm` x `width_cm` of ground, rows running the long way.

    `edge_cm` is the margin kept on all sides, by default half a spacing. Raises ValueError when a distance is not
    above zero. A piece of ground too small for one plant's own room still takes one if it has half of it each way.

    >>> count_in_bed(400, 120, 30, 30).count, count_in_bed(400, 120, 30, pattern="offset").count
    (52, 50)
    """
    between = between_rows_cm if between_rows_cm is not None else in_row_cm
    if min(length_cm, width_cm, in_row_cm, between) <= 0:
        raise ValueError("distances must be above zero")
    long, short = max(length_cm, width_cm), min(length_cm, width_cm)
    across_edge = between / 2 if edge_cm is None else edge_cm
    along_edge = in_row_cm / 2 if edge_cm is None else edge_cm
    if pattern == "offset":
        between = in_row_cm * _TRIANGLE
        across_edge = in_row_cm / 2 if edge_cm is None else edge_cm
    rows = _fit(short - 2 * across_edge, between)
    per_row = _fit(long - 2 * along_edge, in_row_cm)
    if pattern == "offset":
        shifted = _fit(long - 2 * along_edge - in_row_cm / 2, in_row_cm)
        count = math.ceil(rows / 2) * per_row + rows // 2 * shifted
    else:
        count = rows * per_row
    if count == 0 and long >= in_row_cm / 2 and short >= between / 2:
        rows = per_row = count = 1
    return Layout(pattern, count, rows, per_row, in_row_cm, round(between, 1))


def best_layout(crop: Crop, length_cm: float, width_cm: float) -> Layout | None:
    """Return the layout that suits a crop on a bed: its own spacing each way set square or offset, else rows.

    None when no spacing is known.
    """
    distances = spacing_of(crop)
    if distances is None:
        return None
    in_row, between = distances
    if in_row == between:
        square = count_in_bed(length_cm, width_cm, in_row, pattern="square")
        offset = count_in_bed(length_cm, width_cm, in_row, pattern="offset")
        return offset if offset.count > square.count else square
    return count_in_bed(length_cm, width_cm, in_row, between)


def spacing_of(crop: Crop) -> tuple[float, float] | None:
    """Return (in the row, between rows) in cm for a bed that is not walked on.

    An equal spacing each way is taken when the crop has one, needs no row of supports, and it is not a far closer
    planting than its rows; between rows the closest published figure is taken, since wider ones leave room for a path.
    """
    spacing = crop.spacing
    if spacing is None:
        return None
    climbs = crop.light is not None and bool(_ROW_SUPPORT.search(crop.light.support or ""))
    if spacing.each_way_cm and not ((climbs or _crowded(spacing)) and spacing.in_row_cm and spacing.between_rows_cm):
        return spacing.each_way_cm, spacing.each_way_cm
    if spacing.in_row_cm is None:
        return None
    if _crowded(spacing) and spacing.between_rows_cm:
        return spacing.in_row_cm[0], spacing.between_rows_cm[0]
    in_row = sum(spacing.in_row_cm) / 2
    if spacing.thin_to_cm and spacing.in_row_cm[0] <= spacing.thin_to_cm <= spacing.in_row_cm[1]:
        in_row = spacing.thin_to_cm
    return in_row, spacing.between_rows_cm[0] if spacing.between_rows_cm else in_row


def _crowded(spacing: Spacing) -> bool:
    """Tell whether the distance each way is a close-planting one.

    It is when far under what the rows beside it allow, or too close to weed.
    """
    if not (spacing.each_way_cm and spacing.in_row_cm and spacing.between_rows_cm):
        return False
    usual = math.sqrt(sum(spacing.in_row_cm) / 2 * spacing.between_rows_cm[0])
    return spacing.each_way_cm < max(0.7 * usual, _WEEDED_CM)


def ground_per_plant_m2(crop: Crop) -> float | None:
    """Return the ground one plant takes in m², or None when no spacing is known."""
    distances = spacing_of(crop)
    return None if distances is None else distances[0] * distances[1] / 10_000


def _fit(length: float, step: float) -> int:
    return int(length / step + 1e-9) + 1 if length >= 0 else 0
