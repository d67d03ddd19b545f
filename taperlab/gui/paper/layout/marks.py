"""What is inked: words, lines, shapes, in points. Painted as vectors, whatever the device."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from taperlab.gui.paper.layout.drawing import Tone
from taperlab.gui.paper.layout.letters import FINE, Letters, TextLine

BLACK, WHITE, GREY = "#000000", "#FFFFFF", "#8C8C8C"
"""All the colours there are; the grey is 45 %."""

HAIR, THIN, RULE = 0.4, 0.7, 1.1
"""Widths of lines: between rows, of an outline or a box, under a heading."""


class Box(NamedTuple):
    """A rectangle, y down."""

    left: float
    top: float
    right: float
    bottom: float

    def moved(self, x: float, y: float) -> Box:
        """The same elsewhere."""
        return Box(self.left + x, self.top + y, self.right + x, self.bottom + y)

    @property
    def rect(self) -> QRectF:
        """The same to Qt."""
        return QRectF(self.left, self.top, self.right - self.left, self.bottom - self.top)


@dataclass(frozen=True, slots=True)
class Words:
    """A text on one line; x: its left, y: its letters' foot."""

    x: float
    y: float
    text: str
    letters: Letters
    width: float
    colour: str = BLACK

    @property
    def box(self) -> Box:
        """From the top of its capitals to the foot of what hangs down."""
        down = self.letters.height - self.letters.ascent
        top, bottom = self.y - self.letters.cap, self.y + 0.85 * down
        return Box(self.x, top, self.x + self.width, bottom)

    def moved(self, x: float, y: float) -> Words:
        """The same elsewhere."""
        return replace(self, x=self.x + x, y=self.y + y)

    def smaller(self, share: float) -> Words:
        """The same, and where it stands, in a smaller size."""
        letters = replace(self.letters, points=self.letters.points * share)
        width = self.width * share
        return replace(self, x=self.x * share, y=self.y * share, letters=letters, width=width)

    def paint(self, painter: QPainter) -> None:
        """Draw it as text."""
        painter.save()
        painter.translate(self.x, self.y)
        painter.scale(1.0 / FINE, 1.0 / FINE)
        painter.setFont(self.letters.font)
        painter.setPen(QColor(self.colour))
        painter.drawText(QPointF(0.0, 0.0), self.text)
        painter.restore()


@dataclass(frozen=True, slots=True)
class Shape:
    """Corners joined by a line. closed: to the first again; tone: what fills it, if anything.

    round: radius of its corners, for a rectangle. own: a colour that fills it, in place of a tone.
    """

    corners: tuple[tuple[float, float], ...]
    width: float = THIN
    colour: str = BLACK
    closed: bool = False
    tone: Tone | None = None
    dash: tuple[float, ...] = ()
    own: str = ""
    round: float = 0.0

    @property
    def box(self) -> Box:
        """All of it, with the width of its line."""
        across = [x for x, _ in self.corners]
        upright = [y for _, y in self.corners]
        half = self.width / 2.0
        return Box(min(across) - half, min(upright) - half, max(across) + half, max(upright) + half)

    def moved(self, x: float, y: float) -> Shape:
        """The same elsewhere."""
        return replace(self, corners=tuple((each + x, other + y) for each, other in self.corners))

    def smaller(self, share: float) -> Shape:
        """The same, and where it lies, in a smaller size."""
        corners = tuple((x * share, y * share) for x, y in self.corners)
        return replace(self, corners=corners, round=self.round * share)

    def paint(self, painter: QPainter) -> None:
        """Draw it."""
        polygon = QPolygonF([QPointF(*each) for each in self.corners])
        path = QPainterPath()
        if self.round:
            path.addRoundedRect(polygon.boundingRect(), self.round, self.round)
        else:
            path.addPolygon(polygon)
            if self.closed:
                path.closeSubpath()
        if self.own:
            painter.fillPath(path, QColor(self.own))
        if self.tone is not None:
            fill(painter, path, self.tone)
        if self.width:
            painter.strokePath(path, _pen(self.colour, self.width, self.dash))


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring, filled: x, y of its middle, half of its width and of its height."""

    x: float
    y: float
    across: float
    upright: float
    width: float = THIN
    own: str = WHITE

    @property
    def box(self) -> Box:
        """All of it."""
        a, b = self.across + self.width / 2.0, self.upright + self.width / 2.0
        return Box(self.x - a, self.y - b, self.x + a, self.y + b)

    def moved(self, x: float, y: float) -> Ring:
        """The same elsewhere."""
        return replace(self, x=self.x + x, y=self.y + y)

    def smaller(self, share: float) -> Ring:
        """The same, and where it lies, in a smaller size."""
        across, upright = self.across * share, self.upright * share
        return replace(self, x=self.x * share, y=self.y * share, across=across, upright=upright)

    def paint(self, painter: QPainter) -> None:
        """Draw it."""
        path = QPainterPath()
        path.addEllipse(QPointF(self.x, self.y), self.across, self.upright)
        painter.fillPath(path, QColor(self.own))
        painter.strokePath(path, _pen(BLACK, self.width))


@dataclass(frozen=True, slots=True)
class Own:
    """What others draw into a room."""

    room: Box
    draw: Callable[[QPainter, QRectF], None]

    @property
    def box(self) -> Box:
        """Its room."""
        return self.room

    def moved(self, x: float, y: float) -> Own:
        """The same elsewhere."""
        return replace(self, room=self.room.moved(x, y))

    def smaller(self, share: float) -> Own:
        """The same, and its room, in a smaller size."""
        return replace(self, room=Box(*(each * share for each in self.room)))

    def paint(self, painter: QPainter) -> None:
        """Have it drawn."""
        painter.save()
        self.draw(painter, self.room.rect)
        painter.restore()


Mark = Words | Shape | Ring | Own


def paint(painter: QPainter, marks: Iterable[Mark]) -> None:
    """Draw marks with a painter that counts in points."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    for each in marks:
        each.paint(painter)


def words(x: float, top: float, line: TextLine, colour: str = BLACK) -> list[Mark]:
    """A line of a broken text as marks; top: of the line."""
    rise = max((run.letters.ascent for run in line.runs), default=0.0)
    return [
        Words(x + run.at, top + rise, run.text, run.letters, run.width, colour) for run in line.runs
    ]


def rule(x: float, y: float, right: float, width: float = HAIR, colour: str = BLACK) -> Shape:
    """A level line."""
    return Shape(((x, y), (right, y)), width, colour)


def frame(box: Box, width: float = THIN, *, own: str = "", round: float = 0.0) -> Shape:
    """A rectangle."""
    left, top, right, bottom = box
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Shape(corners, width, closed=True, own=own, round=round)


def _pen(colour: str, width: float, dash: tuple[float, ...] = ()) -> QPen:
    pen = QPen(QColor(colour), width)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if dash:
        pen.setDashPattern([each / width for each in dash])
    return pen


def fill(painter: QPainter, path: QPainterPath, tone: Tone) -> None:
    """Fill a shape with a tone: white, the one grey, or lines and dots as vectors."""
    painter.fillPath(path, QColor(GREY if tone is Tone.GREY else WHITE))
    if tone in (Tone.WHITE, Tone.GREY, Tone.GONE):
        return
    painter.save()
    painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
    around = path.boundingRect()
    painter.setPen(_pen(BLACK, HAIR))
    if tone is Tone.DOTS:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(BLACK))
        for x, y in _grid(around, 5.0):
            painter.drawEllipse(QPointF(x, y), 0.7, 0.7)
    if tone in (Tone.LINES, Tone.CROSSED, Tone.STIFF):
        painter.drawLines(_slopes(around, 2.4 if tone is Tone.STIFF else 7.0, up=True))
    if tone in (Tone.BACK, Tone.CROSSED):
        painter.drawLines(_slopes(around, 7.0, up=False))
    painter.restore()


def _grid(around: QRectF, apart: float) -> list[tuple[float, float]]:
    across, down = int(around.width() / apart) + 1, int(around.height() / apart) + 1
    return [
        (around.left() + (i + 0.5) * apart, around.top() + (j + 0.5) * apart)
        for i in range(across)
        for j in range(down)
    ]


def _slopes(around: QRectF, apart: float, *, up: bool) -> list[QLineF]:
    high = around.height()
    first, last = around.bottom(), around.top()
    if not up:
        first, last = last, first
    count = int((around.width() + high) / apart) + 1
    return [
        QLineF(around.left() + i * apart - high, first, around.left() + i * apart, last)
        for i in range(count + 1)
    ]
