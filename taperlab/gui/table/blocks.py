"""How a block of copied cells fills the cells that are selected."""

from __future__ import annotations

from collections.abc import Collection, Sequence

Place = tuple[int, int]
"""Row and column of a cell."""


def spread(block: Sequence[Sequence[str]], chosen: Collection[Place]) -> dict[Place, str]:
    """What goes into which cell, as spreadsheets have it.

    One value fills all chosen cells. A block repeats over a rectangle that it goes into without a
    rest; anywhere else it goes in once, from the first chosen cell on.
    """
    top, left = (min(each) for each in zip(*chosen, strict=True))
    height, width = len(block), max(map(len, block))
    tall, wide = (max(each) + 1 for each in zip(*chosen, strict=True))
    tall, wide = tall - top, wide - left
    whole = height == width == 1 or (
        tall * wide == len(chosen) and tall % height == 0 and wide % width == 0
    )
    places = chosen if whole else {(top + i, left + j) for i in range(height) for j in range(width)}
    found = {}
    for row, column in sorted(places):
        cells = block[(row - top) % height]
        at = (column - left) % width
        found[row, column] = cells[at] if at < len(cells) else ""
    return found


def as_block(cells: dict[Place, str]) -> list[list[str]]:
    """Cells as rows from the first row and column on; one that is not among them is empty."""
    rows, columns = (range(min(each), max(each) + 1) for each in zip(*cells, strict=True))
    return [[cells.get((row, column), "") for column in columns] for row in rows]
