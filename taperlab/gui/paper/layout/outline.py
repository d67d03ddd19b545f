"""A drawing of lines from the side as marks: outlines, rings, labels, dimensions, tags."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from taperlab.gui.kit.end_tag import NAMES
from taperlab.gui.paper.layout.drawing import Bracket, Drawing, Label, Numbered, Outline, Tone
from taperlab.gui.paper.layout.letters import Letters, broken
from taperlab.gui.paper.layout.marks import (
    BLACK,
    HAIR,
    THIN,
    WHITE,
    Box,
    Mark,
    Ring,
    Shape,
    Words,
    frame,
    words,
)
from taperlab.gui.paper.layout.said import Read
from taperlab.gui.paper.layout.spread import LANE, Placed, spread
from taperlab.gui.paper.layout.strips import Strip
from taperlab.model.cut_log import CutEnd
from taperlab.units.language import tr

SIDE = 15.0
"""Room beside the ends, for loops."""

HALF, HALF_OF_ALL, HALF_AT_LEAST = 27.0, 60.0, 9.0
"""Half of how high the thickest place is drawn: of one line, of several together, of any."""

RADIUS = 8.0
"""Of the ring round a number."""

ROW = 13.0
"""From one row of labels to the next, without the room for slanting lines."""

SLANT = 7.0
"""Room between rows, in which lines lead aside."""

MOST_ROWS = 7
"""Labels that would take more rows than this are left out: what is drawn could not be read."""

MOST_ROWS_ABOVE = 3
"""And numbers that would take more rows than this."""

ARROW = 5.0

NAMED, TITLED, RINGED = Letters(9.0), Letters(10.0, bold=True), Letters(9.0, bold=True)
TAGGED = Letters(8.5, bold=True)


@dataclass(frozen=True, slots=True)
class _Scale:
    """From places and diameters [m] to points."""

    left: float
    across: float
    upright: float

    def x(self, place: float) -> float:
        return self.left + place * self.across


def drawing_strip(drawing: Drawing, width: float, read: Read) -> Strip | None:
    """A drawing as one strip; None where it has no line in it."""
    outlines = [each for each in drawing.outlines if each.stretches]
    if not outlines:
        return None
    places = [place for each in outlines for place in (each.begins, each.ends)]
    places += [*drawing.uprights, *(at for d in drawing.dimensions for at in (d.front, d.rear))]
    first, last = min(places), max(places)
    thickest = max(
        diameter
        for each in outlines
        for piece in each.stretches
        for diameter in (piece.front_diameter, piece.rear_diameter)
    )
    across = (width - 2.0 * SIDE) / max(last - first, 1e-9)
    several = min(20.0, max(HALF_AT_LEAST, HALF_OF_ALL / len(outlines)))
    half = HALF if len(outlines) == 1 else several
    scale = _Scale(SIDE - first * across, across, half / max(thickest, 1e-12))
    marks: list[Mark] = []
    ends: list[tuple[float, float]] = []
    y = 2.0
    for i, each in enumerate(outlines):
        y += 9.0 if i else 0.0
        made, top, bottom, y = _outline(each, scale, y, width, read)
        marks += made
        ends.append((top, bottom))
    low, high = ends[0][0] - 5.0, ends[-1][1]
    if drawing.dimensions:
        made, y = _dimensions(drawing.dimensions, scale, y + 4.0, width, read)
        marks += made
        high = y - ROW - 2.0
    uprights = [
        Shape(((scale.x(at), low), (scale.x(at), high)), THIN, dash=(3.0, 2.0))
        for at in drawing.uprights
    ]
    marks = [*uprights, *marks]
    if drawing.tags:
        made, y = _tags(drawing, scale.x(first), scale.x(last), y + 5.0, read)
        marks += made
    return Strip(y + 2.0, tuple(marks), gap=10.0)


def _outline(
    outline: Outline, scale: _Scale, top: float, width: float, read: Read
) -> tuple[list[Mark], float, float, float]:
    """One line: its marks, where it is highest and lowest, and where what stands under it ends."""
    y = top
    marks: list[Mark] = []
    begin = outline.begins
    if title := read(outline.title):
        left = max(scale.x(begin), 0.0)
        lines = broken(title, TITLED, max(width - left, 0.5 * width))
        left = min(left, width - max(line.width for line in lines))
        for line in lines:
            marks += words(left, y, line)
            y += TITLED.height
        y += 3.0
    inside, above = _rings(outline, scale)
    if above:
        y += _rows_above(above, width)[1]
    half = max(
        scale.upright * max(each.front_diameter, each.rear_diameter) for each in outline.stretches
    )
    high = y + 3.0
    middle = high + half
    low = middle + half

    def thick(place: float) -> float:
        return scale.upright * outline.thickness(place)

    rings = [
        (scale.x(begin + (each.front + each.rear) / 2.0), _across(each.text) + 1.0)
        for each in inside
    ]

    def clear(place: float) -> float:
        """How far from its middle a line that leads to a place may begin."""
        x = scale.x(begin + place)
        ringed = any(abs(x - ring) < across for ring, across in rings)
        return max(thick(place), RADIUS + 1.0 if ringed else 0.0)

    for each in outline.stretches:
        x1, x2 = scale.x(begin + each.front), scale.x(begin + each.rear)
        h1, h2 = scale.upright * each.front_diameter, scale.upright * each.rear_diameter
        corners = ((x1, middle - h1), (x2, middle - h2), (x2, middle + h2), (x1, middle + h1))
        dash = (2.5, 2.0) if each.tone is Tone.GONE else ()
        marks.append(Shape(corners, THIN, closed=True, tone=each.tone, dash=dash))
    for front, rear in outline.stiff:
        front, rear = max(front, 0.0), min(rear, outline.ends - begin)
        tall = max(thick(front), thick(rear)) + 2.5
        room = Box(scale.x(begin + front), middle - tall, scale.x(begin + rear), middle + tall)
        if room.right - room.left < 5.0:  # still seen where the line is long
            at = (room.left + room.right) / 2.0
            room = room._replace(left=at - 2.5, right=at + 2.5)
        marks.append(Shape(frame(room).corners, THIN, closed=True, tone=Tone.STIFF))
    for place in outline.joints:
        x, tall = scale.x(begin + place), thick(place) + 2.5
        marks.append(Shape(((x, middle - tall), (x, middle + tall)), 1.2))
    for place in outline.looped:
        x, tall = scale.x(begin + place), thick(place) + 4.0
        marks.append(Shape(((x, middle - tall), (x, middle + tall)), THIN, dash=(3.0, 2.0)))
        marks += [Ring(x - 3.5, middle, 5.0, 3.2), Ring(x + 3.5, middle, 5.0, 3.2)]
    at_fly, at_rod = outline.loops
    if at_fly:
        marks.append(Ring(scale.x(begin) - 5.5, middle, 5.5, 3.2))
    if at_rod:
        marks.append(Ring(scale.x(outline.ends) + 5.5, middle, 5.5, 3.2))
    for numbered in inside:
        x = scale.x(begin + (numbered.front + numbered.rear) / 2.0)
        marks += _ringed(x, middle, numbered.text)
    if above:
        marks += _rings_above(above, y, width, lambda at: middle - clear(at))
    for blade in outline.blades:
        x, tall = scale.x(begin + blade.at), half + 3.0
        dash = () if blade.next else (3.0, 2.0)
        ends = ((x, middle - tall), (x, middle + tall))
        marks.append(Shape(ends, 2.0 if blade.next else THIN, dash=dash))
    y = low + 3.0
    if outline.labels:
        made, y = _labels(
            outline.labels, scale, begin, y, width, read, lambda at: middle + clear(at)
        )
        marks += made
    if outline.brackets:
        made, y = _brackets(outline.brackets, scale, begin, y + 3.0, width, read)
        marks += made
    return marks, high, low, y


# -- numbers ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Above:
    """A ring over the line: where its line ends below, its number, whether it is filled."""

    x: float
    at: float
    text: str
    filled: bool = False

    @property
    def width(self) -> float:
        return 2.0 * _across(self.text) + THIN


def _across(text: str) -> float:
    return max(RADIUS, RINGED.width(text) / 2.0 + 3.0)


def _ringed(x: float, y: float, text: str, *, filled: bool = False) -> list[Mark]:
    wide = RINGED.width(text)
    ring = Ring(x, y, _across(text), RADIUS, own=BLACK if filled else WHITE)
    colour = WHITE if filled else BLACK
    return [ring, Words(x - wide / 2.0, y + RINGED.cap / 2.0, text, RINGED, wide, colour)]


def _rings(outline: Outline, scale: _Scale) -> tuple[list[Numbered], list[_Above]]:
    """Numbers that find room within their stretches, and what stands above, from the left."""
    inside, above = [], []
    begin = outline.begins
    for each in outline.numbers:
        front, rear = each.front, each.rear
        for first, last in outline.stiff:
            front = max(front, last) if first <= front <= last else front
            rear = min(rear, first) if first <= rear <= last else rear
        if (rear - front) * scale.across >= 2.0 * _across(each.text) + 8.0:
            inside.append(replace(each, front=front, rear=rear))
        else:
            at = (each.front + each.rear) / 2.0
            above.append(_Above(scale.x(begin + at), at, each.text))
    for blade in outline.blades:
        above.append(_Above(scale.x(begin + blade.at), blade.at, blade.number, blade.next))
    return inside, sorted(above, key=lambda each: each.x)


def _rows_above(above: Sequence[_Above], width: float) -> tuple[list[Placed], float]:
    """Where rings stand above, and the height of their rows; none where those are too many."""
    anchors, sizes = [each.x for each in above], [each.width for each in above]
    placed, rows = spread(anchors, sizes, LANE, width - LANE, MOST_ROWS_ABOVE)
    if rows > MOST_ROWS_ABOVE:
        return [], 0.0
    return placed, rows * (2.0 * RADIUS + SLANT)


def _rings_above(
    above: Sequence[_Above], foot: float, width: float, edge: Callable[[float], float]
) -> list[Mark]:
    """Rings above, each with a line down to its place; foot: of their rows."""
    placed, _ = _rows_above(above, width)
    marks: list[Mark] = []
    step = 2.0 * RADIUS + SLANT
    for each, place in zip(above, placed, strict=bool(placed)):
        y = foot - SLANT - RADIUS - place.row * step
        corners = [(each.x, edge(each.at)), (each.x, foot)]
        for row, x in enumerate(place.through):
            base = foot - row * step
            corners += [(x, base - SLANT), (x, base - step)]
        corners.append((place.middle, y + RADIUS))
        marks.append(Shape(tuple(corners), HAIR))
        marks += _ringed(place.middle, y, each.text, filled=each.filled)
    return marks


# -- under it ---------------------------------------------------------------------------------


def _labels(
    labels: Sequence[Label],
    scale: _Scale,
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
    return _rows_of_labels(texts, [scale.x(begin + each.at) for each in told], ends, top, width)


def _rows_of_labels(
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


def _brackets(
    brackets: Sequence[Bracket],
    scale: _Scale,
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
    made, end = _rows_of_labels(texts, middles, ends, level - 4.0, width, spans=spans)
    return [*marks, *made], end


def _dimensions(
    dimensions: Sequence[Bracket], scale: _Scale, top: float, width: float, read: Read
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
    made, end = _rows_of_labels(texts, middles, ends, y, width, strong, spans)
    return [*marks, *made], end


def _tags(
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
