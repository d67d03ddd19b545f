"""A line seen from the side: tinted pieces with their names, joints and loops."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby, pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import SMALL, Tokens, ink_on, pen
from taperlab.gui.plots.ink import Ink, Map, Name, Over, Pad, Span
from taperlab.model.line import JointKind, Line, LoopKind
from taperlab.model.segment import Part
from taperlab.units.language import later, tr
from taperlab.units.words import heading

SAME_PLACE = 1e-9
"""Two places no further apart than this are one [m]."""

NARROW = 24.0
"""Pieces narrower than this many pixels get no rule between them; handles mark their ends."""

LINK = 3.5
"""How far the two loops of a joint lie beside its place [px]."""

SHORTER = {
    Part.FRONT_TAPER: later("Front"),
    Part.REAR_TAPER: later("Rear"),
    Part.SINK_TIP: later("Sink"),
    Part.EXTENSION: later("Ext."),
    Part.HANDLING_LINE: later("Handling"),
    Part.RUNNING_LINE: later("Running"),
}
"""What a part is called where its whole name does not fit."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A segment: its ends on the axis, its diameters there [m], its part."""

    front: float
    rear: float
    front_diameter: float
    rear_diameter: float
    part: Part


@dataclass(frozen=True, eq=False)
class Outline(Ink):
    """A line seen from the side, one tinted piece a segment.

    It is drawn as far above zero as below, so that the axis reads diameters on both sides.

    joints: where a joint is marked [m] and how thick the line is there. looped: where two lines are
    looped together [m]. loops: at the fly end and the rod end, None where there is none, else
    whether it is braided.
    """

    pieces: tuple[Piece, ...]
    tokens: Tokens
    joints: tuple[tuple[float, float], ...] = ()
    loops: tuple[bool | None, bool | None] = (None, None)
    looped: tuple[float, ...] = ()

    @property
    def across(self) -> Span | None:
        """From end to end."""
        return (self.pieces[0].front, self.pieces[-1].rear) if self.pieces else None

    @cached_property
    def upright(self) -> Span | None:
        """As thick as its thickest place."""
        ends = [d for each in self.pieces for d in (each.front_diameter, each.rear_diameter)]
        return (0.0, max(ends)) if ends else None

    @property
    def colour(self) -> str:  # type: ignore[override]
        """Of the dot on its upper edge."""
        return self.tokens.accent

    def at(self, position: float) -> float | None:
        """How thick it is there, just behind a breakpoint."""
        for piece in reversed(self.pieces):
            if piece.front <= position <= piece.rear:
                share = (position - piece.front) / max(piece.rear - piece.front, 1e-12)
                return piece.front_diameter + share * (piece.rear_diameter - piece.front_diameter)
        return None

    def paint(self, pad: Pad) -> None:
        """Draw the pieces, the rules between them, and the edge of all."""
        painter = pad.painter
        painter.setPen(Qt.PenStyle.NoPen)
        for polygon, part in self._runs:
            painter.setBrush(QColor(self.tokens.parts[part]))
            painter.drawPolygon(polygon)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        rules = [rule for rule, room in self._rules if room * pad.pixels > NARROW]
        for colour, width in ((self.tokens.card, 3.0), (self.tokens.ink, 1.0)):
            pad.use(theming.curve_pen(colour, width))
            painter.drawLines(rules)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        pad.use(theming.curve_pen(self.tokens.edge))
        painter.drawPolygon(self._edge)

    @cached_property
    def _runs(self) -> list[tuple[QPolygonF, Part]]:
        # One polygon for neighbours of one part: apart, a faint seam shows between them.
        made = []
        for part, run in groupby(self.pieces, key=lambda piece: piece.part):
            upper: list[QPointF] = []
            for piece in run:
                upper.append(QPointF(piece.front, piece.front_diameter))
                upper.append(QPointF(piece.rear, piece.rear_diameter))
            lower = [QPointF(point.x(), -point.y()) for point in reversed(upper)]
            made.append((QPolygonF(upper + lower), part))
        return made

    @cached_property
    def _edge(self) -> QPolygonF:
        # What is seen of parts whose own colours hardly differ from the card's.
        upper = [
            QPointF(x, diameter)
            for piece in self.pieces
            for x, diameter in (
                (piece.front, piece.front_diameter),
                (piece.rear, piece.rear_diameter),
            )
        ]
        return QPolygonF(upper + [QPointF(point.x(), -point.y()) for point in reversed(upper)])

    @cached_property
    def _rules(self) -> list[tuple[QLineF, float]]:
        made = []
        for ahead, behind in pairwise(self.pieces):
            x, height = behind.front, min(ahead.rear_diameter, behind.front_diameter)
            room = min(ahead.rear - ahead.front, behind.rear - behind.front)
            made.append((QLineF(x, -height, x, height), room))
        return made

    def over(self, plot: Map) -> Over:
        """Names where they fit, joints below the lower edge, loops at the ends."""
        metrics = QFontMetricsF(theming.font(SMALL, weight=QFont.Weight.Medium))
        names = []
        for stretch in joined(self.pieces, plot):
            text, where = place_name(stretch, metrics, plot)
            if text:
                names.append(Name(text, where, ink_on(self.tokens.parts[stretch.part])))
        shapes = []
        dark, nothing = QColor(self.tokens.ink), QBrush(Qt.BrushStyle.NoBrush)
        for position, diameter in self.joints:
            path, tip = QPainterPath(), plot.point(position, -diameter) + QPointF(0.0, 1.0)
            path.addPolygon(QPolygonF([tip, tip + QPointF(-3.5, 6.0), tip + QPointF(3.5, 6.0)]))
            shapes.append((path, QPen(Qt.PenStyle.NoPen), QBrush(dark)))
        for position in self.looped:
            for aside in (-LINK, LINK):
                path = QPainterPath()
                path.addEllipse(plot.point(position, 0.0) + QPointF(aside, 0.0), 5.0, 3.5)
                shapes.append((path, pen(self.tokens.ink, 1.3), QBrush(QColor(self.tokens.card))))
        for (position, aside), braided in zip(
            zip(self.across or (0.0, 0.0), (-4.5, 4.5), strict=True), self.loops, strict=True
        ):
            if braided is not None:
                path = QPainterPath()
                path.addEllipse(plot.point(position, 0.0) + QPointF(aside, 0.0), 4.5, 3.0)
                how = pen(self.tokens.ink, 1.3, (1.5, 1.5) if braided else None)
                shapes.append((path, how, nothing))
        seen = plot.rect.adjusted(-6.0, -30.0, 6.0, 30.0)
        shapes = [each for each in shapes if seen.contains(each[0].boundingRect().center())]
        return Over(tuple(names), tuple(shapes))


def outline_of(line: Line, tokens: Tokens, end: float = math.inf) -> Outline:
    """The outline of a line, as far as the rear of a segment [m]."""
    pieces = tuple(
        Piece(front, rear, each.front_diameter, each.rear_diameter, each.part)
        for (front, rear), each in zip(pairwise(line.starts), line.segments, strict=True)
        if front < end - SAME_PLACE
    )
    met = [
        (joint.kind, ahead.rear, max(ahead.rear_diameter, behind.front_diameter))
        for (ahead, behind), joint in zip(pairwise(pieces), line.joints, strict=False)
        if joint.kind is not JointKind.ONE_EXTRUSION
    ]
    joints = tuple((at, thick) for kind, at, thick in met if kind is not JointKind.LOOP_TO_LOOP)
    looped = tuple(at for kind, at, _ in met if kind is JointKind.LOOP_TO_LOOP)
    front, rear = (
        None if loop.kind is LoopKind.NONE else loop.kind is LoopKind.BRAIDED
        for loop in (line.front_loop, line.rear_loop)
    )
    if len(pieces) < len(line.segments):
        rear = None
    return Outline(pieces, tokens, joints, (front, rear), looped)


def joined(pieces: Sequence[Piece], plot: Map) -> list[Piece]:
    """Neighbours of one part as one piece where no rule is drawn between them.

    Such a piece is the middle half, as thick as its thinnest end there, where its name goes.
    """
    pixels = plot.rect.width() / (plot.x_range[1] - plot.x_range[0])
    runs: list[list[Piece]] = []
    for piece in pieces:
        ahead = runs[-1][-1] if runs else None
        if (
            ahead is not None
            and ahead.part is piece.part
            and min(piece.rear - piece.front, ahead.rear - ahead.front) * pixels <= NARROW
        ):
            runs[-1].append(piece)
        else:
            runs.append([piece])
    made = []
    for run in runs:
        if len(run) == 1:
            made.append(run[0])
            continue
        front, rear = run[0].front, run[-1].rear
        quarter = (rear - front) / 4.0
        middle = [s for s in run if s.rear > front + quarter and s.front < rear - quarter]
        thin = min(min(s.front_diameter, s.rear_diameter) for s in middle)
        made.append(Piece(front + quarter, rear - quarter, thin, thin, run[0].part))
    return made


def place_name(piece: Piece, metrics: QFontMetricsF, plot: Map) -> tuple[str, QRectF]:
    """The longest name that lies wholly inside a piece, and where; or no name.

    It sits in the middle, or, in a taper, in the middle of what is thick enough to hold it.
    """
    height = metrics.height()
    low, high = plot.y_range
    thick = (height + 3.0) / 2.0 * (high - low) / plot.rect.height()
    low, high = plot.x_range
    front, rear = max(piece.front, low), min(piece.rear, high)
    full = piece.rear - piece.front
    if rear <= front or full <= 0.0:
        return "", QRectF()
    slope = (piece.rear_diameter - piece.front_diameter) / full
    if slope:
        enough = piece.front + (thick - piece.front_diameter) / slope
        front, rear = (max(front, enough), rear) if slope > 0 else (front, min(rear, enough))
    elif piece.front_diameter < thick:
        return "", QRectF()
    left, right = plot.across(front), plot.across(rear)
    shorter = SHORTER.get(piece.part)
    for name in (heading(piece.part), *((tr(shorter),) if shorter else ())):
        width = metrics.horizontalAdvance(name)
        if width + 10.0 <= right - left:
            middle, top = (left + right) / 2.0, plot.upright(0.0) - height / 2.0
            return name, QRectF(middle - width / 2.0, top, width, height)
    return "", QRectF()
