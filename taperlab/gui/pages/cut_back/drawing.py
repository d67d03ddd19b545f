"""The drawing of the head as it lies, whose blades can be moved to try a cut."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.announce import announce
from taperlab.gui.kit.end_tag import NAMES
from taperlab.gui.kit.focus_ring import came_by_key, paint_ring
from taperlab.gui.kit.speech import say, speaks
from taperlab.gui.plots.head_sketch import Sketch, SketchPainter
from taperlab.model.cut_log import CutEnd
from taperlab.model.exact_units import FOOT
from taperlab.units.language import tr

NEAR = 9.0
"""A blade is taken hold of from so near [px]."""


class HeadDrawing(QWidget):
    """A head as it lies.

    blade_moved(object, float): the blade of an end (a ``CutEnd``) was moved to a position from the
    fly end [m]. let_go(): Escape: the blades are to go back.
    """

    blade_moved = Signal(object, float)
    let_go = Signal()

    def __init__(self, theme: theming.Theme, points: float = 9.0) -> None:
        super().__init__()
        self._theme, self._points = theme, points
        self._sketch: Sketch | None = None
        self._words = ""
        self._step = 0.0
        self._chosen = CutEnd.REAR
        self._dragging = False
        self._ring = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMouseTracking(True)
        theme.changed.connect(self.update)

    def show_sketch(self, sketch: Sketch | None, words: str, *, step: float = 0.0) -> None:
        """Draw a head; ``words`` say what is drawn.

        step: what a key moves a blade by [m]; with 0 the blades stay where they are.
        """
        self._sketch, self._words, self._step = sketch, words, step
        can = bool(step and sketch and sketch.cuts)
        if words != self.accessibleDescription() and self.hasFocus() and not self._dragging:
            announce(self, words)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if can else Qt.FocusPolicy.NoFocus)
        say(self, words)
        self.update()

    @property
    def spoken(self) -> str:
        """What is drawn, in words."""
        return self._words

    def blade_at(self, end: CutEnd) -> QPointF | None:
        """Where the blade of an end is in the widget, if there is one."""
        at = self._sketch.blade(end) if self._sketch else None
        if at is None:
            return None
        plot = self._painter().map
        return QPointF(plot.across(at), plot.rect.center().y())

    def _painter(self) -> SketchPainter:
        assert self._sketch is not None
        room = QRectF(self.rect())
        return SketchPainter(self._sketch, room, self._theme.tokens, self._points)

    # -- moving a blade ------------------------------------------------------------------------

    def _near(self, x: float) -> CutEnd | None:
        """The end whose blade can be taken hold of there."""
        if not self._step or self._sketch is None:
            return None
        found = []
        for cut in self._sketch.cuts:
            at = self.blade_at(cut.end)
            if at is not None and abs(at.x() - x) <= NEAR:
                found.append((abs(at.x() - x), cut.end))
        return min(found)[1] if found else None

    def _move_to(self, position: float) -> None:
        if self._sketch is not None:
            within = min(max(position, 0.0), self._sketch.line.length)
            self.blade_moved.emit(self._chosen, within)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a blade."""
        end = self._near(event.position().x())
        if end is not None and event.button() is Qt.MouseButton.LeftButton:
            self._chosen, self._dragging = end, True

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the blade that is held; else show where one can be held."""
        x = event.position().x()
        if self._dragging:
            self._move_to(self._painter().map.position_at(x))
        elif self._near(x) is not None:
            self.setCursor(Qt.CursorShape.SizeHorCursor)
        else:
            self.unsetCursor()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Let go."""
        self._dragging = False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows move the chosen blade by a step, page keys by a foot; Up and Down choose."""
        sketch, key = self._sketch, Qt.Key(event.key())
        if sketch is None or not sketch.cuts or not self._step:
            super().keyPressEvent(event)
            return
        ends = [cut.end for cut in sketch.cuts]
        if self._chosen not in ends:
            self._chosen = ends[0]
        at = sketch.blade(self._chosen) or 0.0
        ways = {
            Qt.Key.Key_Left: -self._step,
            Qt.Key.Key_Right: self._step,
            Qt.Key.Key_PageUp: -FOOT,
            Qt.Key.Key_PageDown: FOOT,
        }
        if key in ways:
            self._move_to(at + ways[key])
        elif key == Qt.Key.Key_Home:
            self._move_to(0.0)
        elif key == Qt.Key.Key_End:
            self._move_to(sketch.line.length)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._chosen = ends[(ends.index(self._chosen) + 1) % len(ends)]
            announce(self, self._chosen_blade())
        elif key == Qt.Key.Key_Escape:
            self.let_go.emit()
        else:
            super().keyPressEvent(event)

    def _chosen_blade(self) -> str:
        """The blade that the keys move, and where it is."""
        cuts = self._sketch.cuts if self._sketch else ()
        where = next((cut.words for cut in cuts if cut.end is self._chosen), "")
        return tr("{end}: {where}").format(end=tr(NAMES[self._chosen]), where=where)

    # -- Qt ------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        """As on a usual screen."""
        return QSize(760, self.minimumSizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """Room for its rows of words and an outline that can be told."""
        row = QFontMetricsF(theming.font(self._points)).height()
        return QSize(theming.px(320), round(row * 5.6 + 40.0))

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Draw a ring where the keyboard brought the focus."""
        self._ring = came_by_key(event)
        self.update()

    def focusOutEvent(self, _event: QFocusEvent) -> None:
        """Take the ring away."""
        self._ring = False
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it."""
        painter = QPainter(self)
        if self._sketch is not None and self._sketch.line.segments:
            self._painter().paint(painter)
        if self._ring:
            paint_ring(painter, self, self._theme.tokens)


speaks(HeadDrawing)
