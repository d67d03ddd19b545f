"""Labels along a drawing that want to stand at their places, and must not touch each other.

Where one row is too short for all, every second goes to a second row, or every third to a third; a
line leads from each place to its label, through a gap in the rows above it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

GAP = 7.0
"""Between two labels of a row [points]."""

LANE = 4.0
"""Of the gap in a row that a line to a lower row passes through [points]."""


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a label stands: its row, from 0, its middle, and where its line passes each row."""

    row: int
    middle: float
    through: tuple[float, ...]


def spread(
    anchors: Sequence[float],
    widths: Sequence[float],
    left: float,
    right: float,
    most: int | None = None,
) -> tuple[list[Placed], int]:
    """Place labels, whose places rise, between two ends; and in how many rows.

    Each stands as near its place as the others let it. widths: none is wider than the room. most:
    where more rows than this are needed, none is placed.
    """
    count = len(anchors)
    most = count if most is None else min(most, count)
    for rows in range(1, most + 1):
        taken = [_taken(widths, row, rows) for row in range(rows)]
        # Where every label has a row of its own, lanes may be narrower than they should.
        if rows == count or all(sum(each.values()) <= right - left + GAP + 1e-9 for each in taken):
            break
    else:
        return [], 0 if not count else most + 1
    middles = [_middles(anchors, each, left, right) for each in taken]
    return [
        Placed(i % rows, middles[i % rows][i], tuple(middles[row][i] for row in range(i % rows)))
        for i in range(count)
    ], rows


def _taken(widths: Sequence[float], row: int, rows: int) -> dict[int, float]:
    """How much room each label takes in a row: one of a row below, the lane of its line."""
    return {
        i: width + GAP if i % rows == row else LANE
        for i, width in enumerate(widths)
        if i % rows >= row
    }


def _middles(
    anchors: Sequence[float], taken: dict[int, float], left: float, right: float
) -> dict[int, float]:
    wanted = [anchors[i] for i in taken]
    found = apart(wanted, list(taken.values()), left - GAP / 2.0, right + GAP / 2.0)
    return dict(zip(taken, found, strict=True))


def apart(
    wanted: Sequence[float], sizes: Sequence[float], left: float, right: float
) -> list[float]:
    """The middles nearest to those wanted, in squares, that keep their order and do not overlap.

    What is to be found rises by half of two neighbours' sizes at least: less those, it is the
    nearest rising row (pooling neighbours that fall), and then what lies within the ends.
    """
    before = []
    total = 0.0
    for size in sizes:
        before.append(total + size / 2.0)
        total += size
    blocks: list[tuple[float, int]] = []
    for want, offset in zip(wanted, before, strict=True):
        value, weight = want - offset, 1
        while blocks and blocks[-1][0] > value:
            other, count = blocks.pop()
            value = (value * weight + other * count) / (weight + count)
            weight += count
        blocks.append((value, weight))
    level = [value for value, count in blocks for _ in range(count)]
    most = max(left, right - total)
    return [min(max(value, left), most) + b for value, b in zip(level, before, strict=True)]
