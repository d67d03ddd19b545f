"""The columns of the table of tips: heading, what a cell says, what it is sorted by."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from taperlab.shop.tips.study import TipRow
from taperlab.shop.tips.words import sink_words
from taperlab.shop.water.words import depth_in_short
from taperlab.units.kinds import (
    DEPTH,
    LENGTH,
    RATIO,
    SINK_RATE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence, render
from taperlab.units.show import show

MARK, DRAWN, NAME, DEPTHS = "mark", "drawn", "name", "depth"
"""Keys of the columns that are drawn in ways of their own."""

SPOKEN = ("length", "weight", "front", "rear", "rig")
"""Columns of one quantity, which is read aloud with its unit in words."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column. name: its heading; help: its tooltip; kind: gives the unit below the heading.

    under: what stands below the heading in place of a unit. width: for usual letters [px]. spare:
    goes where there is little room. sorts: what rows are sorted by, None for a column that sorts
    by nothing. says: what a cell says. typed: whether it can be typed into.
    """

    key: str
    name: str
    help: str
    width: int
    kind: Kind | None = None
    under: str = ""
    spare: bool = False
    sorts: Callable[[TipRow], float | str] | None = None
    says: Callable[[TipRow, System], str] = lambda row, system: ""
    typed: bool = False

    def unit(self, system: System) -> str:
        """What stands below the heading."""
        if self.under:
            return tr(self.under)
        return self.kind.shown(system).unit if self.kind is not None else ""

    def title(self, system: System) -> str:
        """Heading and unit in one line, for a spreadsheet."""
        unit = self.unit(system)
        return f"{tr(self.name)} [{unit}]" if unit else tr(self.name)


def _figure(
    key: str,
    name: str,
    help_text: str,
    width: int,
    kind: Kind,
    of: Callable[[TipRow], float],
    **more: Any,
) -> Column:
    """A column of one number, sorted by it; a dash where there is none."""

    def says(row: TipRow, system: System) -> str:
        value = of(row)
        return "–" if math.isnan(value) else show(value, kind, system, unit=False)

    return Column(key, name, help_text, width, kind, sorts=of, says=says, **more)


def _sentence(of: Callable[[TipRow], Sentence]) -> Callable[[TipRow, System], str]:
    return lambda row, system: render(of(row), system)


COLUMNS = (
    Column(MARK, later("Laid over"), later("Whether it is laid over the plot, and how"), 30),
    Column(
        DRAWN,
        later("Shape"),
        later("Weight per length of the tip, with the front of the head behind the joint"),
        70,
    ),
    Column(
        NAME,
        later("Tip"),
        later("Its name, and whether the head carries it"),
        96,
        sorts=lambda row: row.line.name.casefold(),
        says=lambda row, system: row.line.name,
        typed=True,
    ),
    _figure(
        "length",
        later("Length"),
        later("Length of the tip, without loops"),
        50,
        LENGTH,
        lambda row: row.length,
        typed=True,
    ),
    _figure(
        "weight",
        later("Weight"),
        later("Weight of the tip with its loops"),
        48,
        WEIGHT,
        lambda row: row.mass,
    ),
    _figure(
        "front",
        later("Front"),
        later("Weight per length at the fly end"),
        44,
        WEIGHT_PER_LENGTH,
        lambda row: row.front,
        spare=True,
    ),
    _figure(
        "rear",
        later("Rear"),
        later("Weight per length at the joint"),
        44,
        WEIGHT_PER_LENGTH,
        lambda row: row.joint.ahead,
    ),
    _figure(
        "step",
        later("Step"),
        later(
            "Weight per length ahead of the joint over that behind it; above 1 the rig may hinge"
        ),
        44,
        RATIO,
        lambda row: row.joint.step,
        under=later("× head"),
    ),
    _figure(
        "rig",
        later("Rig"),
        later("Weight of head and tip with their loops"),
        48,
        WEIGHT,
        lambda row: row.rig_mass,
        spare=True,
    ),
    _figure(
        "ratio",
        later("Ratio"),
        later(
            "Length of what the practice of the head’s style counts, the tip with it or not, over "
            "that of the rod"
        ),
        44,
        RATIO,
        lambda row: row.ratio,
        under=later("× rod"),
        spare=True,
    ),
    Column(
        "sinks",
        later("Sinks"),
        later(
            "Slowest to fastest sink rate over the length of the tip, level in still water. Level "
            "tips of one stock sink alike at any length; the longer fishes deeper."
        ),
        48,
        SINK_RATE,
        sorts=lambda row: row.fastest,
        says=_sentence(lambda row: sink_words(row, unit=False)),
    ),
    Column(
        DEPTHS,
        later("Depth"),
        later(
            "Depth of the fly on a tight line: 8 times in 10 it lies within the bar. The dot is "
            "its middle, by which tips are sorted."
        ),
        112,
        DEPTH,
        sorts=lambda row: math.inf if math.isnan(row.middle) else row.middle,
        says=_sentence(lambda row: depth_in_short(row.water)),
    ),
)


def column(key: str) -> int:
    """The place of a column."""
    return next(i for i, each in enumerate(COLUMNS) if each.key == key)
