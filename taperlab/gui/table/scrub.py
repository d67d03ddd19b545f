"""The grip in the current cell of a table that scrubs its number, and the keys that nudge it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPointF, QRect, Qt
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.nudges import Nudged, Nudges
from taperlab.gui.table.typing_table import TypingTable
from taperlab.units.language import tr

WIDTH = 13
"""Of the grip, at the left of the cell [px]."""

PIXELS_A_STEP = 5.0
"""How far the mouse goes for one step."""


class ScrubGrip(QWidget):
    """A small grip over the left edge of the current cell, while the pointer is on that cell.

    It takes the mouse itself, so that pressing and dragging anywhere else choose cells as ever.
    Alt and Up or Down do the same by key.
    """

    def __init__(
        self, table: TypingTable, place: Workplace, find: Callable[[], Nudged | None]
    ) -> None:
        super().__init__(table.viewport())
        self._table, self._theme, self._find = table, place.theme, find
        self.nudges = Nudges(place, find, self)
        self._press: float | None = None
        self._done = 0
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setToolTip(
            tr(
                "Drag sideways to nudge the number, with Shift by more; or press Alt and Up or "
                "Down."
            )
        )
        self.hide()
        table.viewport().setMouseTracking(True)
        for watched in (table, table.viewport()):
            watched.installEventFilter(self)
        table.selectionModel().currentChanged.connect(self._left)
        table.verticalScrollBar().valueChanged.connect(self.hide)
        table.horizontalScrollBar().valueChanged.connect(self.hide)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Nudge by key; come and go with the pointer."""
        kind = event.type()
        if watched is self._table:
            if kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                return self._take_key(event)
            if kind is QEvent.Type.FocusOut:
                self.nudges.end()
        elif kind is QEvent.Type.MouseMove and isinstance(event, QMouseEvent):
            self._offer(event.position())
        elif kind is QEvent.Type.Leave and not self._under_pointer():
            self.hide()
        return False

    def _take_key(self, event: QEvent) -> bool:
        escape = isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape
        if escape and self._press is not None:
            self._let_go(put_back=True)
            return True
        return self._table.open_editor() is None and self.nudges.take_key(event)

    def _left(self) -> None:
        self.nudges.end()
        if self._press is None:
            self.hide()

    def _offer(self, where: QPointF) -> None:
        """Be there where the pointer is on the current cell and that holds a number."""
        if self._press is not None:
            return
        cell = self._table.visualRect(self._table.currentIndex())
        there = cell.contains(where.toPoint()) and self._table.open_editor() is None
        if there and self._find() is not None:
            self.setGeometry(QRect(cell.left() + 2, cell.top() + 2, WIDTH, cell.height() - 4))
            self.show()
            self.raise_()
        else:
            self.hide()

    def _under_pointer(self) -> bool:
        return self.isVisible() and self.underMouse()

    # -- the mouse ----------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._press, self._done = event.position().x(), 0
            self.nudges.end()
            self._table.setFocus()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Every so many pixels are a step."""
        if self._press is None:
            return
        steps = int((event.position().x() - self._press) / PIXELS_A_STEP)
        if steps != self._done:
            coarse = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self.nudges.nudge(steps - self._done, coarse=coarse)
            self._done = steps

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._let_go()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """As one on the cell."""
        self._let_go()
        self.hide()
        self._table.edit(self._table.currentIndex())

    def _let_go(self, *, put_back: bool = False) -> None:
        self._press = None
        if put_back:
            self.nudges.put_back()
        self.nudges.end()

    def leaveEvent(self, event: QEvent) -> None:
        """Go with the pointer."""
        super().leaveEvent(event)
        if self._press is None:
            self.hide()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Two arrow heads, one to each side."""
        tokens = self._theme.tokens
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(tokens.accent_wash))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.accent))
        middle = QPointF(self.width() / 2.0, self.height() / 2.0)
        for way in (-1.0, 1.0):
            head = ((way * 5.5, 0.0), (way * 1.5, -4.0), (way * 1.5, 4.0))
            painter.drawPolygon(QPolygonF([middle + QPointF(x, y) for x, y in head]))
