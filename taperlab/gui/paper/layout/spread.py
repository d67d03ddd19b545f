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
    anchors: Sequence[float], widths: Sequence[float], left: float, right: float
) -> tuple[list[Placed], int]:
    """Place labels, whose places rise, between two ends; and in how many rows.

    Each stands as near its place as the others let it. widths: none is wider than the room.
    """
    count = len(anchors)
    for rows in range(1, count + 1):
        places = [_row(anchors, widths, row, rows, left, right) for row in range(rows)]
        if all(place is not None for place in places) or rows == count:
            break
    else:
        return [], 0
    found = [place or list(anchors) for place in places]
    placed = []
    for i in range(count):
        row = i % rows
        through = tuple(found[above][i] for above in range(row))
        placed.append(Placed(row, found[row][i], through))
    return placed, rows


def _row(
    anchors: Sequence[float],
    widths: Sequence[float],
    row: int,
    rows: int,
    left: float,
    right: float,
) -> list[float] | None:
    """The middles of all that stands in a row, or passes it; None where that is too much."""
    taken = [i for i in range(len(anchors)) if i % rows >= row]
    sizes = [widths[i] + GAP if i % rows == row else LANE for i in taken]
    if sum(sizes) > right - left + GAP + 1e-9:
        return None
    middles = apart([anchors[i] for i in taken], sizes, left - GAP / 2.0, right + GAP / 2.0)
    found = list(anchors)
    for i, middle in zip(taken, middles, strict=True):
        found[i] = middle
    return found


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
