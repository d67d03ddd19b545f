"""The headings of the table of tips: two lines each, the scale of depths in the last."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QPainter
from PySide6.QtWidgets import QHeaderView, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.pages.tips.columns import COLUMNS, DEPTHS, MARK
from taperlab.gui.pages.tips.delegate import PAD, depth_room
from taperlab.gui.pages.tips.model import TipsModel
from taperlab.units.language import tr

HEIGHT = 40
"""For usual letters [px]."""


class TipsHeader(QHeaderView):
    """Headings of two lines; a press on one sorts."""

    def __init__(self, model: TipsModel, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._tips = model
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(tr("Headings of the tips"))

    def sizeHint(self) -> QSize:
        """Two lines."""
        return QSize(super().sizeHint().width(), px(HEIGHT))

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Draw a heading and what stands below it."""
        model, shown = self._tips, COLUMNS[section]
        tokens = model.case.place.theme.tokens
        painter.save()
        painter.fillRect(rect, QColor(tokens.card))
        painter.setPen(QColor(tokens.rule))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        is_sorted = section == model.sorted_by
        weight = QFont.Weight.Medium if is_sorted else QFont.Weight.Normal
        painter.setFont(theming.font(SMALL, weight=weight))
        painter.setPen(QColor(tokens.ink if is_sorted else tokens.soft))
        room = rect.adjusted(px(PAD), px(3), -px(PAD), -px(3))
        half = room.height() // 2
        above = QRect(room.left(), room.top(), room.width(), half)
        below = QRect(room.left(), room.top() + half, room.width(), half)
        right = model.headings[section].right
        side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        sign = (" ▾" if model.descends else " ▴") if is_sorted else ""
        if shown.key != MARK:
            text = model.heading_text(section) + sign
            painter.drawText(above, int(side | Qt.AlignmentFlag.AlignVCenter), text)
        painter.setFont(theming.font(SMALL))
        painter.setPen(QColor(tokens.soft))
        if shown.key == DEPTHS:
            self._write_scale(painter, rect, below)
        elif shown.key != MARK:
            unit = shown.unit(model.case.system)
            painter.drawText(below, int(side | Qt.AlignmentFlag.AlignVCenter), unit)
        painter.restore()

    def _write_scale(self, painter: QPainter, rect: QRect, below: QRect) -> None:
        """Each depth above its place in the cells, the first and the last inside the heading."""
        bars, metrics = depth_room(rect), painter.fontMetrics()
        for value, text in self._tips.scale.ticks():
            wide = float(metrics.horizontalAdvance(text))
            left = self._tips.scale.place(value, bars) - wide / 2.0
            left = min(max(left, rect.left() + 1.0), rect.right() - wide - 1.0)
            where = QRectF(left, below.top(), wide + 2.0, below.height())
            painter.drawText(where, int(Qt.AlignmentFlag.AlignVCenter), text)
