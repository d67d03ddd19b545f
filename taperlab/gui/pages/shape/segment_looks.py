"""How the segment table is painted: its cells, the headings with their units, row numbers."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QStyle, QStyleOptionViewItem, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.signs import padlock
from taperlab.gui.pages.shape.columns import COLUMNS, Col
from taperlab.gui.pages.shape.segment_model import FROM, SegmentModel
from taperlab.gui.table.editors import Bubble
from taperlab.gui.table.grid_model import GridCell, Index
from taperlab.gui.table.typing_delegate import TypingDelegate
from taperlab.units.language import tr

PAD = 8
"""Air at the left and right of a cell [px]."""

PART_PAD = 18
"""The same before the name of a part, which has a patch of its colour [px]."""

_ADD_WIDTH = 140
"""What invites to add a segment may run into the next cell [px]."""

HEADING_HEIGHT, NUMBERS_WIDTH = 40, 30
"""Of the headings, and of the row numbers, for usual letters [px]."""

DOTS = "…"
"""Stands for a number that has no room: a part of one would be another number."""

RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_SELECTED = QStyle.StateFlag.State_Selected


class NumberRoom:
    """Where numbers of a column stand so that their decimal points lie below each other."""

    def __init__(self, font: QFont) -> None:
        self._metrics = QFontMetrics(font)
        self._digit = self._metrics.horizontalAdvance("0")
        self._point = self._metrics.horizontalAdvance(".")

    def of(self, rect: QRect, cell: GridCell) -> QRect:
        """Where the text of a cell is drawn, standing right."""
        absent = cell.absent * self._digit
        if cell.absent and "." not in cell.text:
            absent += self._point
        return rect.adjusted(2, 0, -PAD - absent, 0)

    def left(self, rect: QRect, cell: GridCell) -> int:
        """Where the text of a cell begins."""
        return self.of(rect, cell).right() + 1 - self._metrics.horizontalAdvance(cell.text)

    def fits(self, text: str, room: QRect) -> bool:
        """Whether a number has room."""
        return self._metrics.horizontalAdvance(text) <= room.width()


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
        self._room = NumberRoom(self._font)
        tokens = self._place.theme.tokens
        self._ink, self._soft = QColor(tokens.ink), QColor(tokens.soft)
        self._wash, self._accent = QColor(tokens.accent_wash), QColor(tokens.accent)
        self._ring_pen = QPen(self._soft, 1.2)
        self._lock = tokens.soft
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
        if cell.locked:
            along = max(self._room.left(rect, cell) - 7.0, rect.x() + 5.0)
            padlock(painter, QPointF(along, rect.center().y() + 0.5), self._lock)
        self.paint_frame(painter, rect, index)

    def _paint_text(
        self, painter: QPainter, rect: QRect, cell: GridCell, row: int, column: int
    ) -> None:
        if COLUMNS[column].kind is not None:
            edge = self._view.viewport().width() - 1  # what goes on beyond it is not read either
            room = self._room.of(rect, cell)
            whole = self._room.fits(cell.text, room) and room.right() <= edge
            room.setRight(min(room.right(), edge))
            painter.drawText(room, RIGHT, cell.text if whole else DOTS)
        elif row < self._segments.count:
            left = PART_PAD if column == Col.PART else PAD
            room = rect.adjusted(left, 0, -4, 0)
            painter.drawText(room, LEFT, self.elided(cell.text, room.width()))
        else:
            room = rect.adjusted(PAD, 0, -4, 0)
            room.setWidth(max(room.width(), theming.px(_ADD_WIDTH)))
            painter.drawText(room, LEFT, cell.text)

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
        return QSize(self.length(), theming.px(HEADING_HEIGHT))

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Paint one heading."""
        column = COLUMNS[section]
        unit = column.unit(self._segments.system)
        paint_heading(
            painter, rect, self._theme, tr(column.heading), unit, right=column.kind is not None
        )


def paint_heading(
    painter: QPainter, rect: QRect, theme: theming.Theme, name: str, unit: str, *, right: bool
) -> None:
    """Paint a heading: its name, and below it its unit, right as numbers are or left."""
    tokens = theme.tokens
    painter.fillRect(rect, QColor(tokens.card))
    painter.setPen(QPen(QColor(tokens.rule), 1))
    painter.drawLine(rect.bottomLeft(), rect.bottomRight())
    side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
    inner = rect.adjusted(PAD - 4 if right else PAD, 0, -PAD if right else -2, 0)
    painter.setFont(theming.font(theming.SMALL))
    painter.setPen(QColor(tokens.ink))
    painter.drawText(inner.adjusted(0, 5, 0, 0), int(side | Qt.AlignmentFlag.AlignTop), name)
    painter.setPen(QColor(tokens.soft))
    painter.drawText(inner.adjusted(0, 0, 0, -5), int(side | Qt.AlignmentFlag.AlignBottom), unit)


class RowHeader(QHeaderView):
    """Row numbers, and how far from the fly end each row begins; a click selects the row.

    starts_width: room for the distances [px]; without any they are not shown.
    """

    def __init__(self, model: SegmentModel, theme: theming.Theme, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Vertical, parent)
        self._segments = model
        self._theme = theme
        self.starts_width = 0
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)

    @property
    def starts_needed(self) -> int:
        """Room that the distances need [px]; their heading needs no more than the least."""
        width = QFontMetrics(theming.font()).horizontalAdvance
        return max([theming.px(36), *map(width, self._segments.starts)]) + PAD + 2

    def sizeHint(self) -> QSize:
        """Room for three digits, and for the distances."""
        return QSize(theming.px(NUMBERS_WIDTH) + self.starts_width, self.defaultSectionSize())

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Paint one number."""
        tokens = self._theme.tokens
        chosen = self.selectionModel() is not None and self.selectionModel().isRowSelected(section)
        painter.fillRect(rect, QColor(tokens.accent_wash if chosen else tokens.card))
        painter.setFont(theming.font(theming.SMALL))
        painter.setPen(QColor(tokens.ink if chosen else tokens.soft))
        text = str(section + 1) if section < self._segments.count else "+"
        numbers = theming.px(NUMBERS_WIDTH)
        number = QRect(rect.left(), rect.top(), numbers, rect.height())
        painter.drawText(number.adjusted(0, 0, -7, 0), RIGHT, text)
        if self.starts_width and section < self._segments.count:
            painter.setFont(theming.font())
            start = rect.adjusted(numbers, 0, -PAD, 0)
            painter.drawText(start, RIGHT, self._segments.starts[section])


class StartsHeading(QWidget):
    """The heading of the distances beside the row numbers; a click goes through to the corner."""

    def __init__(self, model: SegmentModel, theme: theming.Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._segments, self._theme = model, theme
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint it as the other headings are."""
        unit = COLUMNS[Col.LENGTH].unit(self._segments.system)
        paint_heading(QPainter(self), self.rect(), self._theme, tr(FROM), unit, right=True)
