"""What is printed of labels: on which sheet, from which label on, how many of each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from taperlab.trade.label_grids import LabelGrid
from taperlab.units.sentence import Told

MOST_PRINTED = 2000
"""Labels at once: more than a box of sheets holds."""


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
