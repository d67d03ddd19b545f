"""How a cell of the segment table is painted."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetrics, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QStyle, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.pages.shape.segment_model import SegmentModel, is_made
from taperlab.gui.table.columns import COLUMNS, Col
from taperlab.gui.table.editors import Bubble
from taperlab.gui.table.typing_delegate import Field, TypingDelegate

PAD = 8
"""Air at the left and right of a cell [px]."""

_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_SELECTED = QStyle.StateFlag.State_Selected


class SegmentDelegate(TypingDelegate):
    """Paints from the model's cached texts."""

    def __init__(
        self, model: SegmentModel, theme: theming.Theme, bubble: Bubble, parent: QWidget
    ) -> None:
        super().__init__(model, theme, bubble, parent)
        self._font = theming.font()
        self._metrics = QFontMetrics(self._font)
        self._digit = self._metrics.horizontalAdvance("0")
        self._point = self._metrics.horizontalAdvance(".")
        self.use_theme()

    def use_theme(self) -> None:
        """Take the colours of the theme in force."""
        tokens = self._theme.tokens
        self._ink, self._soft = QColor(tokens.ink), QColor(tokens.soft)
        self._wash, self._accent = QColor(tokens.accent_wash), QColor(tokens.accent)
        self._focus_pen = QPen(self._accent, 2)
        self._still_pen = QPen(self._soft, 1)
        for one in (self._focus_pen, self._still_pen):
            one.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        self._ring_pen = QPen(self._soft, 1.2)
        self._dot = QBrush(self._soft)
        self._parts = {part: QColor(colour) for part, colour in tokens.parts.items()}

    def paint(self, painter: QPainter, option: object, index: QModelIndex) -> None:
        """Paint a cell: wash if selected, a frame if current, text, and its marks."""
        row, column = index.row(), index.column()
        rect: QRect = option.rect
        view = self.parent()
        cell = self._model.cell(row, column)
        if _SELECTED in option.state:
            painter.fillRect(rect, self._wash)
        painter.setFont(self._font)
        painter.setPen(self._soft if cell.soft else self._ink)
        is_segment = row < self._model.count
        if cell.text:
            if COLUMNS[column].kind is None:
                self._paint_words(painter, rect, cell.text, column, is_segment)
            else:
                absent = cell.absent * self._digit
                if cell.absent and "." not in cell.text:
                    absent += self._point
                painter.drawText(
                    QRect(rect.x() + 2, rect.y(), rect.width() - PAD - absent - 2, rect.height()),
                    _RIGHT,
                    cell.text,
                )
        if is_segment:
            if column == Col.PART:
                self._paint_part(painter, rect, row)
            elif column == Col.DENSITY and self._model.row(row).segment.core:
                self._paint_ring(painter, rect)
        current = view.currentIndex()
        if row == current.row() and column == current.column():
            self._paint_frame(painter, rect, view.hasFocus())

    def _paint_words(
        self, painter: QPainter, rect: QRect, text: str, column: int, is_segment: bool
    ) -> None:
        left = 18 if column == Col.PART and is_segment else PAD
        room = rect.width() - left - 4
        if is_segment and self._metrics.horizontalAdvance(text) > room:
            text = self._metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
        painter.drawText(
            QRect(
                rect.x() + left, rect.y(), max(room, 140 if not is_segment else 0), rect.height()
            ),
            _LEFT,
            text,
        )

    def _paint_part(self, painter: QPainter, rect: QRect, row: int) -> None:
        one = self._model.row(row)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._parts[one.segment.part])
        painter.drawRoundedRect(QRectF(rect.x() + 7, rect.y() + 7, 4, rect.height() - 14), 2, 2)
        # A joint straddles the border of two rows: each paints its half.
        if is_made(one.joint):
            self._paint_joint(painter, rect.x() + 9, rect.y() + rect.height())
        if row > 0 and is_made(self._model.row(row - 1).joint):
            self._paint_joint(painter, rect.x() + 9, rect.y())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)

    def _paint_joint(self, painter: QPainter, x: int, y: int) -> None:
        painter.setBrush(self._accent)
        painter.drawPolygon(
            QPolygonF([QPointF(x, y - 4), QPointF(x + 4, y), QPointF(x, y + 4), QPointF(x - 4, y)])
        )

    def _paint_ring(self, painter: QPainter, rect: QRect) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        middle = QPointF(rect.x() + 12, rect.y() + rect.height() / 2)
        painter.setPen(self._ring_pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(middle, 4.2, 4.2)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._dot)
        painter.drawEllipse(middle, 1.6, 1.6)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)

    def _paint_frame(self, painter: QPainter, rect: QRect, focused: bool) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if focused:
            painter.setPen(self._focus_pen)
            painter.drawRect(rect.adjusted(1, 1, -1, -1))
        else:
            painter.setPen(self._still_pen)
            painter.drawRect(rect.adjusted(0, 0, -1, -1))

    def field(self, column: int) -> Field:
        """What is typed in a column."""
        described = COLUMNS[column]
        return Field(described.name.capitalize(), bool(described.kind), column == Col.PART)
