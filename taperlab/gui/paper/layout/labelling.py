"""What stands under the drawing of lines: labels, brackets, dimensions, the tags of the ends."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from taperlab.gui.kit.end_tag import NAMES
from taperlab.gui.paper.layout.drawing import Bracket, Drawing, Label
from taperlab.gui.paper.layout.letters import Letters, broken
from taperlab.gui.paper.layout.marks import (
    BLACK,
    HAIR,
    THIN,
    WHITE,
    Box,
    Mark,
    Shape,
    Words,
    frame,
    words,
)
from taperlab.gui.paper.layout.said import Read
from taperlab.gui.paper.layout.spread import LANE, spread
from taperlab.model.cut_log import CutEnd
from taperlab.units.language import tr

SLANT = 7.0
"""Room between rows, in which lines lead aside."""

MOST_ROWS = 7
"""Labels that would take more rows than this are left out: what is drawn could not be read."""

ARROW = 5.0
"""How long the arrows of a dimension are."""

NAMED, TAGGED = Letters(9.0), Letters(8.5, bold=True)


@dataclass(frozen=True, slots=True)
class Scale:
    """From places and diameters [m] to points."""

    left: float
    across: float
    upright: float

    def x(self, place: float) -> float:
        """How far from the left a place lies."""
        return self.left + place * self.across


def labels_under(
    labels: Sequence[Label],
    scale: Scale,
    begin: float,
    top: float,
    width: float,
    read: Read,
    edge: Callable[[float], float],
) -> tuple[list[Mark], float]:
    """Labels under the line, each with a line up to its place; and where they end."""
    told = sorted(labels, key=lambda each: each.at)
    texts = [read(each.text) for each in told]
    ends = [edge(each.at) for each in told]
    return label_rows(texts, [scale.x(begin + each.at) for each in told], ends, top, width)


def label_rows(
    texts: Sequence[str],
    anchors: Sequence[float],
    ends: Sequence[float],
    top: float,
    width: float,
    letters: Letters = NAMED,
    spans: Sequence[tuple[float, float]] = (),
) -> tuple[list[Mark], float]:
    """Labels in rows, each with a line up to its place; where they end.

    spans: what each tells of; one that stands below its own needs no line.
    """
    lines = [broken(text, letters, width - 2.0 * LANE) for text in texts]
    sizes = [max((line.width for line in each), default=0.0) for each in lines]
    placed, rows = spread(anchors, sizes, LANE, width - LANE, MOST_ROWS)
    if rows > MOST_ROWS:
        return [], top
    deepest = [
        max((len(each) for each, place in zip(lines, placed, strict=True) if place.row == row))
        for row in range(rows)
    ]
    tops = [top + SLANT + 2.0]
    for count in deepest:
        tops.append(tops[-1] + count * letters.height + SLANT)
    marks: list[Mark] = []
    for i, (each, place, anchor, end) in enumerate(zip(lines, placed, anchors, ends, strict=True)):
        corners = [(anchor, end), (anchor, top)]
        for row, x in enumerate(place.through):
            corners += [(x, tops[row]), (x, tops[row + 1] - SLANT)]
        y = tops[place.row]
        corners.append((place.middle, y))
        left, right = spans[i] if spans else (math.inf, -math.inf)
        if place.row or not left <= place.middle <= right:
            marks.append(Shape(tuple(corners), HAIR))
        for line in each:
            marks += words(place.middle - line.width / 2.0, y + 1.0, line)
            y += letters.height
    return marks, tops[-1] - SLANT + 1.0


def brackets_under(
    brackets: Sequence[Bracket],
    scale: Scale,
    begin: float,
    top: float,
    width: float,
    read: Read,
) -> tuple[list[Mark], float]:
    """Brackets as long as their stretches, with their words below."""
    marks: list[Mark] = []
    level = top + 4.0
    spans = []
    told = sorted(brackets, key=lambda each: each.front)
    for each in told:
        left, right = scale.x(begin + each.front) + 1.5, scale.x(begin + each.rear) - 1.5
        right = max(right, left)
        marks.append(Shape(((left, top), (left, level), (right, level), (right, top)), THIN))
        spans.append((left, right))
    texts = [read(each.text) for each in told]
    middles, ends = [(left + right) / 2.0 for left, right in spans], [level] * len(told)
    made, end = label_rows(texts, middles, ends, level - 4.0, width, spans=spans)
    return [*marks, *made], end


def dimensions_under(
    dimensions: Sequence[Bracket], scale: Scale, top: float, width: float, read: Read
) -> tuple[list[Mark], float]:
    """Lengths between two places, with arrows, their words below."""
    marks: list[Mark] = []
    y = top + ARROW
    told = sorted(dimensions, key=lambda each: each.front)
    spans = []
    for each in told:
        left, right = scale.x(each.front), scale.x(each.rear)
        marks.append(Shape(((left, y), (right, y)), THIN))
        for x, way in ((left, 1.0), (right, -1.0)):
            marks.append(Shape(((x, y - ARROW), (x, y + ARROW)), THIN))
            if right - left > 3.0 * ARROW:
                back = x + way * ARROW
                corners = ((x, y), (back, y - 2.0), (back, y + 2.0))
                marks.append(Shape(corners, 0.0, closed=True, own=BLACK))
        spans.append((left, right))
    texts = [read(each.text) for each in told]
    strong = Letters(10.0, bold=True)
    middles, ends = [(left + right) / 2.0 for left, right in spans], [y] * len(told)
    made, end = label_rows(texts, middles, ends, y, width, strong, spans)
    return [*marks, *made], end


def tags_under(
    drawing: Drawing, left: float, right: float, top: float, read: Read
) -> tuple[list[Mark], float]:
    """FLY END hollow at the left, ROD END solid at the right, and words between."""
    high = 17.0
    marks: list[Mark] = []
    room = [left, right]
    for end in (CutEnd.FRONT, CutEnd.REAR):
        text = tr(NAMES[end])
        wide = TAGGED.width(text)
        across = wide + 14.0
        at_fly = end is CutEnd.FRONT
        x = left if at_fly else right - across
        box = Box(x, top, x + across, top + high)
        marks.append(frame(box, 1.1, own=WHITE if at_fly else BLACK, round=3.0))
        foot = top + high / 2.0 + TAGGED.cap / 2.0
        colour = BLACK if at_fly else WHITE
        marks.append(Words(x + 7.0, foot, text, TAGGED, wide, colour))
        room[0 if at_fly else 1] = box.right + 8.0 if at_fly else box.left - 8.0
    y = top + high
    if under := read(drawing.under):
        wide = room[1] - room[0]
        lines = broken(under, NAMED, wide)
        line_top = top + (high - NAMED.height) / 2.0
        for line in lines:
            marks += words(room[0] + (wide - line.width) / 2.0, line_top, line)
            line_top += NAMED.height
        y = max(y, line_top)
    return marks, y
