"""How the segment table is painted: its cells, the headings with their units, row numbers."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QStyle, QStyleOptionViewItem, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages.shape.columns import COLUMNS, Col
from taperlab.gui.pages.shape.segment_model import SegmentModel
from taperlab.gui.table.editors import Bubble
from taperlab.gui.table.grid_model import GridCell, Index
from taperlab.gui.table.typing_delegate import TypingDelegate
from taperlab.units.language import tr

PAD = 8
"""Air at the left and right of a cell [px]."""

_PART_PAD = 18
"""The same before the name of a part, which has a patch of its colour [px]."""

_ADD_WIDTH = 140
"""What invites to add a segment may run into the next cell [px]."""

HEADING_HEIGHT, NUMBERS_WIDTH = 40, 30
"""Of the headings, and of the row numbers, for usual letters [px]."""

_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_SELECTED = QStyle.StateFlag.State_Selected


class SegmentDelegate(TypingDelegate):
    """Paints from the model's cached cells."""

    def __init__(
        self, model: SegmentModel, place: Workplace, bubble: Bubble, view: QAbstractItemView
    ) -> None:
        self._segments = model
        super().__init__(model, place, bubble, view)

    def use_theme(self) -> None:
        """Take the colours and letters of the theme in force."""
        super().use_theme()
        self._digit = self._metrics.horizontalAdvance("0")
        self._point = self._metrics.horizontalAdvance(".")
        tokens = self._place.theme.tokens
        self._ink, self._soft = QColor(tokens.ink), QColor(tokens.soft)
        self._wash, self._accent = QColor(tokens.accent_wash), QColor(tokens.accent)
        self._ring_pen = QPen(self._soft, 1.2)
        self._parts = {part: QColor(colour) for part, colour in tokens.parts.items()}

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a cell: wash if selected, text, its marks, and a frame if it is current."""
        row, column, rect = index.row(), index.column(), option.rect
        cell = self._segments.cell(row, column)
        if _SELECTED in option.state:
            painter.fillRect(rect, self._wash)
        painter.setFont(self._font)
        painter.setPen(self._soft if cell.role else self._ink)
        if cell.text:
            self._paint_text(painter, rect, cell, row, column)
        if column == Col.PART and row < self._segments.count:
            self._paint_part(painter, rect, cell, row)
        elif cell.marks:
            self._paint_ring(painter, rect)
        self.paint_frame(painter, rect, index)

    def _paint_text(
        self, painter: QPainter, rect: QRect, cell: GridCell, row: int, column: int
    ) -> None:
        if COLUMNS[column].kind is not None:
            absent = cell.absent * self._digit
            if cell.absent and "." not in cell.text:
                absent += self._point
            painter.drawText(rect.adjusted(2, 0, -PAD - absent, 0), _RIGHT, cell.text)
        elif row < self._segments.count:
            left = _PART_PAD if column == Col.PART else PAD
            room = rect.adjusted(left, 0, -4, 0)
            painter.drawText(room, _LEFT, self.elided(cell.text, room.width()))
        else:
            room = rect.adjusted(PAD, 0, -4, 0)
            room.setWidth(max(room.width(), theming.px(_ADD_WIDTH)))
            painter.drawText(room, _LEFT, cell.text)

    def _paint_part(self, painter: QPainter, rect: QRect, cell: GridCell, row: int) -> None:
        part = self._segments.row(row).segment.part
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._parts[part])
        painter.drawRoundedRect(QRectF(rect.x() + 7, rect.y() + 7, 4, rect.height() - 14), 2, 2)
        # A joint straddles the border of two rows: each paints its half.
        painter.setBrush(self._accent)
        for made, y in zip(cell.marks, (rect.y(), rect.y() + rect.height()), strict=True):
            if made:
                x = rect.x() + 9
                corners = (x, y - 4), (x + 4, y), (x, y + 4), (x - 4, y)
                painter.drawPolygon(QPolygonF([QPointF(*corner) for corner in corners]))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)

    def _paint_ring(self, painter: QPainter, rect: QRect) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        middle = QPointF(rect.x() + 12, rect.y() + rect.height() / 2)
        painter.setPen(self._ring_pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(middle, 4.2, 4.2)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._soft)
        painter.drawEllipse(middle, 1.6, 1.6)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)


class ColumnHeader(QHeaderView):
    """Name above, unit below and smaller; aligned as the cells are."""

    def __init__(self, model: SegmentModel, theme: theming.Theme, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._segments = model
        self._theme = theme
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(28)

    def sizeHint(self) -> QSize:
        """Two lines of text."""
        return QSize(super().sizeHint().width(), theming.px(HEADING_HEIGHT))

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Paint one heading."""
        tokens = self._theme.tokens
        column = COLUMNS[section]
        unit = column.unit(self._segments.system)
        painter.fillRect(rect, QColor(tokens.card))
        painter.setPen(QPen(QColor(tokens.rule), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        side = Qt.AlignmentFlag.AlignRight if column.kind else Qt.AlignmentFlag.AlignLeft
        inner = rect.adjusted(PAD - 4 if column.kind else PAD, 0, -PAD if column.kind else -2, 0)
        painter.setFont(theming.font(theming.SMALL))
        painter.setPen(QColor(tokens.ink if unit or not column.kind else tokens.soft))
        painter.drawText(
            inner.adjusted(0, 5, 0, 0), int(side | Qt.AlignmentFlag.AlignTop), tr(column.heading)
        )
        painter.setPen(QColor(tokens.soft))
        painter.drawText(
            inner.adjusted(0, 0, 0, -5), int(side | Qt.AlignmentFlag.AlignBottom), unit
        )


class RowHeader(QHeaderView):
    """Row numbers; a click selects the row."""

    def __init__(self, model: SegmentModel, theme: theming.Theme, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Vertical, parent)
        self._segments = model
        self._theme = theme
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)

    def sizeHint(self) -> QSize:
        """Room for three digits."""
        return QSize(theming.px(NUMBERS_WIDTH), super().sizeHint().height())

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Paint one number."""
        tokens = self._theme.tokens
        chosen = self.selectionModel() is not None and self.selectionModel().isRowSelected(section)
        painter.fillRect(rect, QColor(tokens.accent_wash if chosen else tokens.card))
        painter.setFont(theming.font(theming.SMALL))
        painter.setPen(QColor(tokens.ink if chosen else tokens.soft))
        text = str(section + 1) if section < self._segments.count else "+"
        painter.drawText(rect.adjusted(0, 0, -7, 0), _RIGHT, text)
