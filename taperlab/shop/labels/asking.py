"""What is printed of labels: on which sheet, from which label on, how many of each."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import NamedTuple

from taperlab.model.segment import Extras
from taperlab.trade.label_grids import (
    LabelGrid,
    Paper,
    checked_grid,
    grid_named,
    label_grids,
    own_grid,
)
from taperlab.units.sentence import Told

MOST_PRINTED = 2000
"""Labels at once: more than a box of sheets holds."""


USUAL_SIZE = (0.1016, 0.0508)
"""Of labels of one's own that nobody has said more of [m]: 4 by 2 in."""


@dataclass(frozen=True, slots=True)
class LabelChoices:
    """What a person prints labels on, and how, from one time to the next.

    grid: name of a known sheet, empty for a usual one. is_own: labels of a size of one's own, on
    paper, with width, height, pitches, left and top [m] as a :class:`LabelGrid` has them. inner: in
    place of the sheet's [m]. A pitch that is None is as large as a label. by: initials. The rest is
    as in :class:`Asked`.
    """

    grid: str = ""
    is_own: bool = False
    paper: Paper = Paper.LETTER
    width: float = USUAL_SIZE[0]
    height: float = USUAL_SIZE[1]
    pitch_x: float | None = None
    pitch_y: float | None = None
    left: float = 0.0
    top: float = 0.0
    inner: float | None = None
    nudge_x: float = 0.0
    nudge_y: float = 0.0
    start: int = 1
    count: int = 1
    by: str = ""
    rule: bool = True
    extra: Extras = field(default_factory=dict, hash=False)


def usual_grid(paper: Paper) -> LabelGrid:
    """The first known sheet of a size of paper."""
    return next(each for each in label_grids() if each.paper is paper)


def grid_of(choices: LabelChoices, usual: Paper) -> LabelGrid:
    """The sheet that was chosen; usual: the paper of it where none was. Raises BadGrid."""
    if choices.is_own:
        grid = own_grid(
            choices.paper,
            choices.width,
            choices.height,
            (
                choices.width if choices.pitch_x is None else choices.pitch_x,
                choices.height if choices.pitch_y is None else choices.pitch_y,
            ),
            (choices.left, choices.top),
        )
    else:
        grid = grid_named(choices.grid) or usual_grid(usual)
    if choices.inner is None:
        return grid
    return checked_grid(replace(grid, inner=choices.inner))


class BadLabels(Told):
    """Labels that cannot be printed so. ``sentence`` says why."""


class Slot(NamedTuple):
    """Where a label comes: its page from 0, its place on the sheet from 1, which content it has."""

    page: int
    number: int
    content: int


@dataclass(frozen=True, slots=True)
class Asked:
    """How labels are printed.

    start: the first label of the first sheet that is still there. count: of each. nudge_x, nudge_y:
    how far all is moved right and down, for a printer that feeds askew [m]. rule: whether a rule
    that tells the scale is printed where there is room for it. test: outlines, numbers and the rule
    alone, on plain paper, to hold against a sheet.
    """

    grid: LabelGrid
    start: int = 1
    count: int = 1
    nudge_x: float = 0.0
    nudge_y: float = 0.0
    rule: bool = True
    test: bool = False


def slots(asked: Asked, contents: int) -> tuple[Slot, ...]:
    """Where each label comes, in order. Raises BadLabels."""
    whole = asked.grid.count
    if not 1 <= asked.start <= whole:
        raise BadLabels(
            "There is no label {start} on this sheet; it has {count}.",
            start=asked.start,
            count=whole,
        )
    if asked.count < 1:
        raise BadLabels("Print one label of each at least.")
    if asked.count * contents > MOST_PRINTED:
        raise BadLabels("At most {most} labels are printed at once.", most=MOST_PRINTED)
    found = []
    for i in range(contents * asked.count):
        page, at = divmod(asked.start - 1 + i, whole)
        found.append(Slot(page, at + 1, i // asked.count))
    return tuple(found)
