"""What is drawn round and over the plots, in pixels: captions, axes, names, marks, pointer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import Tokens, ink_on
from taperlab.gui.plots.ticks import tick_text
from taperlab.model.segment import Part

SMALL = 8.0
"""Points of captions and tick labels."""

SHORT_NAMES: dict[Part, tuple[str, ...]] = {
    Part.TIP: ("Tip",),
    Part.FRONT_TAPER: ("Front taper", "Front"),
    Part.BELLY: ("Belly",),
    Part.REAR_TAPER: ("Rear taper", "Rear"),
    Part.SINK_TIP: ("Sink tip", "Sink"),
    Part.EXTENSION: ("Extension", "Ext."),
    Part.HANDLING_LINE: ("Handling line", "Handling"),
    Part.RUNNING_LINE: ("Running line", "Running"),
}
"""What a part is called on the outline, longest first."""

_CENTRE = Qt.AlignmentFlag.AlignCenter
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


def pen(colour: str, width: float = 1.0, dash: tuple[float, ...] | None = None) -> QPen:
    """A pen that grows with the screen's density, as everything here is in pixels."""
    made = theming.pen(colour, width, dash)
    made.setCosmetic(False)
    return made


class Mark(QGraphicsItem):
    """Something drawn in pixels inside one rectangle of the scene."""

    def __init__(self, height: float = 0.0) -> None:
        super().__init__()
        self._rect = QRectF()
        self.tokens: Tokens = theming.LIGHT
        self.setZValue(height)

    def boundingRect(self) -> QRectF:
        """The rectangle."""
        return self._rect

    def move_to(self, rect: QRectF) -> None:
        """Draw in another rectangle."""
        if rect != self._rect:
            self.prepareGeometryChange()
            self._rect = rect
        self.update()

    def set_tokens(self, tokens: Tokens) -> None:
        """Take a theme's colours."""
        self.tokens = tokens
        self.update()


@dataclass(frozen=True, slots=True)
class Note:
    """Small print at the right of a plot's caption: text, and what it stands for."""

    text: str
    colour: str
    dash: tuple[float, ...] | None = None
    filled: bool = False


class Frame(Mark):
    """Caption above a plot and labels of its upright axis."""

    CAPTION = 18.0

    def __init__(self) -> None:
        super().__init__()
        self.title = ""
        self.note: Note | None = None
        self.covers = False
        """Whether the margins are painted over, for a picture whose viewer may know no clipping."""
        self._plot = QRectF()
        self._caption = QRectF()
        self._margins: tuple[QRectF, ...] = ()
        self._labels: list[tuple[float, str]] = []

    def show_axis(self, plot: QRectF, labels: list[tuple[float, str]], caption: QRectF) -> None:
        """Labels at these scene heights beside a plot, and the caption over it."""
        self._plot, self._labels, self._caption = plot, labels, caption
        tall = plot.adjusted(-plot.left(), -8.0, 0.0, 8.0)
        self._margins = (
            QRectF(0.0, tall.top(), plot.left(), tall.height()),
            QRectF(plot.right(), tall.top(), plot.left(), tall.height()),
        )
        self.move_to(self._margins[0].united(caption))

    def write(self, title: str, note: Note | None) -> None:
        """Another caption."""
        if (title, note) != (self.title, self.note):
            self.title, self.note = title, note
            self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw caption and labels."""
        if self.covers:
            for margin in self._margins:
                painter.fillRect(margin, QColor(self.tokens.card))
        painter.setFont(theming.font(SMALL))
        painter.setPen(QColor(self.tokens.soft))
        for y, text in self._labels:
            painter.drawText(QRectF(0.0, y - 8.0, self._plot.left() - 8.0, 16.0), _RIGHT, text)
        painter.drawText(self._caption, _LEFT, self.title)
        if self.note:
            measure = QFontMetricsF(painter.font()).horizontalAdvance
            text, width = self.note.text, measure(self.note.text)
            if measure(self.title) + width + 40.0 > self._caption.width():
                # Where both do not fit, the figures at the end of the note are worth most.
                text = text.rpartition(", ")[2]
                width = measure(text)
            painter.drawText(self._caption, _RIGHT, text)
            right, y = self._caption.right() - width - 6.0, self._caption.center().y()
            if self.note.filled:
                painter.fillRect(QRectF(right - 14.0, y - 4.5, 14.0, 9.0), QColor(self.note.colour))
            else:
                painter.setPen(pen(self.note.colour, 1.0, self.note.dash))
                painter.drawLine(QPointF(right - 20.0, y), QPointF(right, y))


class DistanceAxis(Mark):
    """Labels of the shared axis, below the last plot."""

    HEIGHT = 34.0

    def __init__(self) -> None:
        super().__init__()
        self._labels: list[tuple[float, str]] = []
        self._title = ""

    def show_axis(self, rect: QRectF, ticks: list[tuple[float, float]], step: float) -> None:
        """Labels at these scene positions for these values."""
        self._labels = [(x, tick_text(value, step)) for x, value in ticks]
        self.move_to(rect)

    def write(self, title: str) -> None:
        """Name the unit."""
        self._title = title
        self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw labels and title."""
        painter.setFont(theming.font(SMALL))
        painter.setPen(QColor(self.tokens.soft))
        top = self._rect.top()
        for x, text in self._labels:
            painter.drawText(QRectF(x - 30.0, top + 2.0, 60.0, 15.0), _CENTRE, text)
        painter.drawText(
            QRectF(self._rect.left(), top + 17.0, self._rect.width(), 15.0), _CENTRE, self._title
        )


class RodMarks(Mark):
    """A strip above the outline with a tick at each rod length."""

    HEIGHT = 19.0
    MOST = 9

    def __init__(self) -> None:
        super().__init__()
        self.marks: list[tuple[float, str]] = []

    def show_marks(self, rect: QRectF, places: Sequence[float]) -> None:
        """Ticks at these scene positions, the n-th for n rods; labels where they fit."""
        metrics = QFontMetricsF(theming.font(SMALL))
        self.marks = []
        taken = rect.left() - 4.0
        for number, x in enumerate(places[: self.MOST], start=1):
            if not rect.left() <= x <= rect.right():
                continue
            text = f"{number}× rod"
            half = metrics.horizontalAdvance(text) / 2.0
            fits = x - half > taken and x + half <= rect.right()
            self.marks.append((x, text if fits else ""))
            if fits:
                taken = x + half + 8.0
        self.move_to(rect.adjusted(-1.0, 0.0, 1.0, 0.0))

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw ticks and labels."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setFont(theming.font(SMALL))
        bottom = self._rect.bottom()
        for x, text in self.marks:
            painter.setPen(pen(self.tokens.ink))
            painter.drawLine(QLineF(x, bottom - 5.0, x, bottom - 1.0))
            painter.setPen(QColor(self.tokens.soft))
            painter.drawText(QRectF(x - 40.0, self._rect.top(), 80.0, 13.0), _CENTRE, text)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A segment of the outline in pixels: its ends, its thickness there, its part and colour."""

    part: Part
    colour: str
    front: float
    rear: float
    front_height: float
    rear_height: float


def joined(stretches: Sequence[Stretch], narrow: float) -> list[Stretch]:
    """Neighbours of one part as one stretch where no rule is drawn between them.

    Such a stretch is as thick as the thinnest end in its middle half, where its name goes.
    """
    runs: list[list[Stretch]] = []
    for stretch in stretches:
        ahead = runs[-1][-1] if runs else None
        width = stretch.rear - stretch.front
        if (
            ahead is not None
            and ahead.colour == stretch.colour
            and min(width, ahead.rear - ahead.front) <= narrow
        ):
            runs[-1].append(stretch)
        else:
            runs.append([stretch])
    made = []
    for run in runs:
        if len(run) == 1:
            made.append(run[0])
            continue
        front, rear = run[0].front, run[-1].rear
        quarter = (rear - front) / 4.0
        middle = [s for s in run if s.rear > front + quarter and s.front < rear - quarter]
        height = min(min(s.front_height, s.rear_height) for s in middle)
        made.append(
            Stretch(run[0].part, run[0].colour, front + quarter, rear - quarter, height, height)
        )
    return made


def place_name(stretch: Stretch, metrics: QFontMetricsF, limits: QRectF) -> tuple[str, QRectF]:
    """The longest name that lies wholly inside a segment, and where; or no name.

    It sits in the middle, or, in a taper, in the middle of what is thick enough to hold it.
    """
    height = metrics.height()
    room = height + 3.0
    front, rear = max(stretch.front, limits.left()), min(stretch.rear, limits.right())
    full = stretch.rear - stretch.front
    if rear <= front or full <= 0.0:
        return "", QRectF()
    slope = (stretch.rear_height - stretch.front_height) / full
    if slope:
        enough = stretch.front + (room - stretch.front_height) / slope
        front, rear = (max(front, enough), rear) if slope > 0 else (front, min(rear, enough))
    elif stretch.front_height < room:
        return "", QRectF()
    for name in SHORT_NAMES[stretch.part]:
        width = metrics.horizontalAdvance(name)
        if width + 10.0 <= rear - front:
            middle = (front + rear) / 2.0
            top = limits.center().y() - height / 2.0
            return name, QRectF(middle - width / 2.0, top, width, height)
    return "", QRectF()


class OutlineMarks(Mark):
    """Names of the parts, loops at the ends, and joints."""

    def __init__(self) -> None:
        super().__init__(5.0)
        self.names: list[tuple[str, QRectF, str]] = []
        self._joints: list[QPolygonF] = []
        self._loops: list[tuple[QPointF, bool]] = []
        self._clear = QRectF()

    def keep_clear(self, rect: QRectF) -> None:
        """Leave out the names that would show from behind this rectangle."""
        if rect != self._clear:
            self._clear = rect
            self.update()

    def show_marks(
        self,
        plot: QRectF,
        stretches: Sequence[Stretch],
        joints: Sequence[QPointF],
        loops: Sequence[tuple[QPointF, bool]],
    ) -> None:
        """Name these stretches; joints at these points of the lower edge; loops, braided or not."""
        metrics = QFontMetricsF(theming.font(SMALL, weight=QFont.Weight.Medium))
        self.names = []
        for stretch in stretches:
            name, where = place_name(stretch, metrics, plot)
            if name:
                self.names.append((name, where, ink_on(stretch.colour)))
        self._joints = [
            QPolygonF([point, point + QPointF(-3.5, 6.0), point + QPointF(3.5, 6.0)])
            for point in joints
            if plot.left() <= point.x() <= plot.right()
        ]
        self._loops = [
            loop for loop in loops if plot.left() - 1.0 <= loop[0].x() <= plot.right() + 1.0
        ]
        self.move_to(plot)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw names, joints, loops."""
        painter.setFont(theming.font(SMALL, weight=QFont.Weight.Medium))
        for name, where, ink in self.names:
            if where.intersects(self._clear):
                continue
            painter.setPen(QColor(ink))
            painter.drawText(where.adjusted(-2.0, 0.0, 2.0, 0.0), _CENTRE, name)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self.tokens.ink))
        for triangle in self._joints:
            painter.drawPolygon(triangle)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for centre, braided in self._loops:
            painter.setPen(pen(self.tokens.ink, 1.3, (1.5, 1.5) if braided else None))
            painter.drawEllipse(centre, 4.5, 3.0)


@dataclass(frozen=True, slots=True)
class Dot:
    """Where the crosshair meets a curve."""

    where: QPointF
    colour: str
    radius: float


class Crosshair(Mark):
    """An upright line through all plots, with a dot where it meets each curve."""

    def __init__(self) -> None:
        super().__init__(20.0)
        self.lines: list[QLineF] = []
        self.dots: list[Dot] = []
        self.hide()

    def show_at(self, x: float, lines: list[QLineF], dots: list[Dot]) -> None:
        """Stand there."""
        self.lines, self.dots = lines, dots
        top = min((line.y1() for line in lines), default=0.0)
        bottom = max((line.y2() for line in lines), default=0.0)
        self.move_to(QRectF(x - 6.0, top - 6.0, 12.0, bottom - top + 12.0))
        self.show()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw line and dots."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(pen(self.tokens.crosshair))
        painter.drawLines(self.lines)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(pen(self.tokens.card, 1.0))
        for dot in self.dots:
            painter.setBrush(QColor(dot.colour))
            painter.drawEllipse(dot.where, dot.radius, dot.radius)


class HandleMarks(Mark):
    """Round handles on the breakpoints."""

    RADIUS = 4.0
    SMALL = 2.5
    LARGE = 5.5
    ROOM = 26.0
    """Handles with less room than this beside each other, in pixels, are drawn small."""

    def __init__(self) -> None:
        super().__init__(15.0)
        self.points: list[QPointF] = []
        self.large: QPointF | None = None
        self.focused = False

    def show_handles(
        self,
        rect: QRectF,
        points: list[QPointF],
        large: QPointF | None,
        focused: bool,
    ) -> None:
        """Draw handles at these points, one of them large: the one in hand or chosen."""
        self.points, self.large, self.focused = points, large, focused
        self.move_to(rect)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw the handles."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(pen(self.tokens.ink, 1.4))
        painter.setBrush(QColor(self.tokens.card))
        crowded = len(self.points) / 2.0 * self.ROOM > self._rect.width()
        radius = self.SMALL if crowded else self.RADIUS
        for point in self.points:
            painter.drawEllipse(point, radius, radius)
        if self.large is not None:
            painter.setPen(pen(self.tokens.card, 1.5))
            painter.setBrush(QColor(self.tokens.accent))
            painter.drawEllipse(self.large, self.LARGE + 0.5, self.LARGE + 0.5)
            if self.focused:
                painter.setPen(pen(self.tokens.accent, 1.5))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(self.large, self.LARGE + 4.0, self.LARGE + 4.0)


class Blade(Mark):
    """Where a cut would go: an upright line across the outline with a grip on top."""

    def __init__(self) -> None:
        super().__init__(18.0)
        self._x = 0.0
        self._lines: list[QLineF] = []
        self._draggable = False
        self.hide()

    def show_at(self, x: float, plot: QRectF, lines: list[QLineF], draggable: bool) -> None:
        """Stand there."""
        self._x, self._lines, self._draggable = x, lines, draggable
        self.move_to(QRectF(x - 8.0, plot.top() - 1.0, 16.0, plot.height() + 2.0))
        self.show()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw line and grip."""
        x, top = self._x, self._rect.top() + 1.0
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(pen(self.tokens.bad, 2.0))
        painter.drawLines(self._lines)
        if self._draggable:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(self.tokens.bad))
            painter.drawPolygon(
                QPolygonF([QPointF(x - 7, top), QPointF(x + 7, top), QPointF(x, top + 9)])
            )


class Tag(Mark):
    """A small box with the live values beside what is dragged."""

    def __init__(self) -> None:
        super().__init__(30.0)
        self.text = ""
        self.hide()

    def show_at(self, point: QPointF, text: str, bounds: QRectF) -> None:
        """Stand beside a point, inside the bounds."""
        self.text = text
        width = QFontMetricsF(theming.font(9.0)).horizontalAdvance(text) + 16.0
        height = 22.0
        x = point.x() + 12.0
        if x + width > bounds.right():
            x = point.x() - 12.0 - width
        x = max(bounds.left(), x)
        y = point.y() - height - 10.0
        if y < bounds.top():
            y = point.y() + 12.0
        y = min(y, bounds.bottom() - height)
        self.move_to(QRectF(x, y, width, height))
        self.show()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw box and text."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(pen(self.tokens.ink))
        painter.setBrush(QColor(self.tokens.card))
        painter.drawRoundedRect(self._rect.adjusted(0.5, 0.5, -0.5, -0.5), 5.0, 5.0)
        painter.setFont(theming.font(9.0))
        painter.drawText(self._rect, _CENTRE, self.text)
