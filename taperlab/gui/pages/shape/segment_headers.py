"""The headings over the columns, with their units, and the row numbers."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QHeaderView, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.pages.shape.columns import COLUMNS
from taperlab.gui.pages.shape.segment_delegate import PAD
from taperlab.gui.pages.shape.segment_model import SegmentModel
from taperlab.units.language import tr

HEIGHT = 40
NUMBERS = 30
"""Width of the row numbers [px]."""


class ColumnHeader(QHeaderView):
    """Name above, unit below and smaller; aligned as the cells are."""

    def __init__(self, model: SegmentModel, theme: theming.Theme, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._segments = model
        self._theme = theme
        self._name_font, self._unit_font = theming.font(8.5), theming.font(7.5)
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(28)

    def sizeHint(self) -> QSize:
        """Two lines of text."""
        return QSize(super().sizeHint().width(), HEIGHT)

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
        painter.setFont(self._name_font)
        painter.setPen(QColor(tokens.ink if unit or not column.kind else tokens.soft))
        painter.drawText(
            inner.adjusted(0, 5, 0, 0), int(side | Qt.AlignmentFlag.AlignTop), tr(column.heading)
        )
        painter.setFont(self._unit_font)
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
        self._font = theming.font(8.0)
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)

    def sizeHint(self) -> QSize:
        """Room for three digits."""
        return QSize(NUMBERS, super().sizeHint().height())

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Paint one number."""
        tokens = self._theme.tokens
        chosen = self.selectionModel() is not None and self.selectionModel().isRowSelected(section)
        painter.fillRect(rect, QColor(tokens.accent_wash if chosen else tokens.card))
        painter.setFont(self._font)
        painter.setPen(QColor(tokens.ink if chosen else tokens.soft))
        text = str(section + 1) if section < self._segments.count else "+"
        painter.drawText(
            rect.adjusted(0, 0, -7, 0),
            int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter),
            text,
        )
