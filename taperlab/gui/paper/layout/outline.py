"""A drawing of lines from the side as marks: outlines, rings, and what stands above and under."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from taperlab.gui.paper.layout.drawing import Drawing, Numbered, Outline, Tone
from taperlab.gui.paper.layout.labelling import (
    SLANT,
    Scale,
    brackets_under,
    dimensions_under,
    labels_under,
    tags_under,
)
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

SIDE = 15.0
"""Room beside the ends, for loops."""

HALF, HALF_OF_ALL, HALF_AT_LEAST = 27.0, 60.0, 9.0
"""Half of how high the thickest place is drawn: of one line, of several together, of any."""

RADIUS = 8.0
"""Of the ring round a number."""

ROW = 13.0
"""From one row of labels to the next, without the room for slanting lines."""

MOST_ROWS_ABOVE = 3
"""Numbers that would take more rows than this are left out: they could not be read."""

TITLED, RINGED = Letters(10.0, bold=True), Letters(9.0, bold=True)


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
    scale = Scale(SIDE - first * across, across, half / max(thickest, 1e-12))
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
        made, y = dimensions_under(drawing.dimensions, scale, y + 4.0, width, read)
        marks += made
        high = y - ROW - 2.0
    uprights = [
        Shape(((scale.x(at), low), (scale.x(at), high)), THIN, dash=(3.0, 2.0))
        for at in drawing.uprights
    ]
    marks = [*uprights, *marks]
    if drawing.tags:
        made, y = tags_under(drawing, scale.x(first), scale.x(last), y + 5.0, read)
        marks += made
    return Strip(y + 2.0, tuple(marks), gap=10.0)


def _outline(
    outline: Outline, scale: Scale, top: float, width: float, read: Read
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
        made, y = labels_under(
            outline.labels, scale, begin, y, width, read, lambda at: middle + clear(at)
        )
        marks += made
    if outline.brackets:
        made, y = brackets_under(outline.brackets, scale, begin, y + 3.0, width, read)
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


def _rings(outline: Outline, scale: Scale) -> tuple[list[Numbered], list[_Above]]:
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
