"""Sheets of labels, by their dimensions: which there are, and where each label lies."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from taperlab.model.exact_units import INCH
from taperlab.shipped import resource
from taperlab.units.sentence import Sentence, ShortLength, Told

ROUNDING = 2e-4
"""Labels may reach beyond the paper by no more than this: sheets are measured to a tenth [m]."""

MOST_LABELS = 400
"""On a sheet: labels as small as a fingernail."""


USUAL_INNER = 0.0025
"""Kept free within a label unless it is told [m]."""


class Paper(StrEnum):
    """A size of paper."""

    LETTER = "letter"
    A4 = "a4"

    @property
    def size(self) -> tuple[float, float]:
        """Width and height [m]."""
        return (8.5 * INCH, 11.0 * INCH) if self is Paper.LETTER else (0.210, 0.297)


class BadGrid(Told):
    """Labels that do not fit on their paper. ``sentence`` says why."""


@dataclass(frozen=True, slots=True)
class LabelGrid:
    """A sheet of labels, all in metres.

    across, down: how many. left, top: of the first label. pitch_x, pitch_y: from one label to the
    next. inner: what is kept free within a label, since printers feed paper a little askew.
    """

    name: str
    paper: Paper
    across: int
    down: int
    width: float
    height: float
    left: float
    top: float
    pitch_x: float
    pitch_y: float
    inner: float = USUAL_INNER

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.across * self.down

    def place(self, number: int) -> tuple[float, float]:
        """Left and top of a label [m], counted from 1 along each row, row by row."""
        row, column = divmod(number - 1, self.across)
        return self.left + column * self.pitch_x, self.top + row * self.pitch_y

    @property
    def margins(self) -> tuple[float, float, float, float]:
        """What the labels leave free of the paper [m]: left, top, right, bottom."""
        width, height = self.paper.size
        right = width - self.left - (self.across - 1) * self.pitch_x - self.width
        bottom = height - self.top - (self.down - 1) * self.pitch_y - self.height
        return self.left, self.top, right, bottom


def checked_grid(grid: LabelGrid) -> LabelGrid:
    """The grid, if its labels fit on its paper and do not overlap. Raises BadGrid."""
    sizes = (grid.width, grid.height, grid.left, grid.top, grid.pitch_x, grid.pitch_y, grid.inner)
    if not all(math.isfinite(each) and each >= 0.0 for each in sizes):
        raise BadGrid("A size of labels must be zero or more.")
    if grid.across < 1 or grid.down < 1:
        raise BadGrid("A sheet needs one label at least.")
    if grid.count > MOST_LABELS:
        raise BadGrid("A sheet has at most {most} labels.", most=MOST_LABELS)
    if grid.pitch_x < grid.width - ROUNDING and grid.across > 1:
        raise BadGrid(_overlap(grid.width, grid.pitch_x))
    if grid.pitch_y < grid.height - ROUNDING and grid.down > 1:
        raise BadGrid(_overlap(grid.height, grid.pitch_y))
    if min(grid.width, grid.height) <= 2.0 * grid.inner:
        raise BadGrid("Labels are so small that the margin within them leaves no room.")
    if min(grid.margins) < -ROUNDING:
        over = -min(grid.margins)
        raise BadGrid("The labels reach {length} beyond the paper.", length=ShortLength(over))
    return grid


def own_grid(
    paper: Paper,
    width: float,
    height: float,
    pitch: tuple[float, float],
    corner: tuple[float, float],
    inner: float = USUAL_INNER,
) -> LabelGrid:
    """As many labels of a size as the paper takes [m]. Raises BadGrid.

    pitch: from one to the next, across and down. corner: left and top of the first.
    """
    counts = []
    for whole, size, step, first in zip(paper.size, (width, height), pitch, corner, strict=True):
        room = whole - first - size + ROUNDING
        if not (math.isfinite(room) and size > 0.0):
            raise BadGrid("A label needs a width and a height.")
        if room < 0.0:
            raise BadGrid("The labels reach {length} beyond the paper.", length=ShortLength(-room))
        if step < size - ROUNDING or step <= 0.0:
            raise BadGrid(_overlap(size, step))
        counts.append(1 + int(room / step))
    across, down = counts
    return checked_grid(LabelGrid("", paper, across, down, width, height, *corner, *pitch, inner))


def grid_named(name: str) -> LabelGrid | None:
    """The sheet of this name, typed with an x or a cross, and blanks or none; None without one."""
    wanted = _bare(name)
    return next((each for each in label_grids() if _bare(each.name) == wanted), None)


def _bare(name: str) -> str:
    return "".join(name.casefold().replace("x", "×").split())


def _overlap(size: float, pitch: float) -> Sentence:
    return Sentence(
        "Labels of {size} do not fit into steps of {pitch}.",
        size=ShortLength(size),
        pitch=ShortLength(pitch),
    )


@lru_cache(maxsize=1)
def label_grids() -> tuple[LabelGrid, ...]:
    """The sheets that are known, from resources/tables/label_grids.csv. Common practice."""
    import csv  # the window’s start does without it

    text = resource("tables", "label_grids.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return tuple(_grid(row) for row in rows)


def _grid(row: dict[str, str]) -> LabelGrid:
    unit = INCH if row["unit"] == "in" else 0.001
    columns = ("width", "height", "left", "top", "pitch x", "pitch y", "inner")
    return checked_grid(
        LabelGrid(
            row["name"],
            Paper(row["paper"]),
            int(row["across"]),
            int(row["down"]),
            *(float(row[column]) * unit for column in columns),
        )
    )
