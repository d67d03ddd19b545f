"""How the cells of the table of tips are painted: figures, drawings, bars, and verdicts below."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter
from PySide6.QtWidgets import QStyle, QStyleOptionViewItem, QTableView, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.range_bar import ROW as BAR_ROW
from taperlab.gui.kit.range_bar import paint_range
from taperlab.gui.kit.theme import LAID_OVER, SMALL, pen, px
from taperlab.gui.pages.tips.columns import COLUMNS, DEPTHS, DRAWN, MARK, NAME
from taperlab.gui.pages.tips.model import TipsModel
from taperlab.gui.pages.tips.sketch import paint_sketch
from taperlab.gui.table.editors import Bubble
from taperlab.gui.table.grid_model import Index
from taperlab.gui.table.typing_delegate import TypingDelegate
from taperlab.shop.tips.words import Tone

PAD = 5
EDGE = 12
"""Beside a cell\'s text, and at the end of a row, for usual letters [px]."""

SIGNS = {Tone.PLAIN: "", Tone.QUESTION: "! ", Tone.FAULT: "✕ "}
"""Beside the colour of a verdict."""


def depth_room(rect: QRect) -> QRectF:
    """Where the bars of the last column lie within its cell or heading."""
    return QRectF(rect.adjusted(px(PAD), 0, -px(EDGE), 0))


def upper(rect: QRect) -> QRect:
    """Where the figure of a cell stands and is typed, above the verdict."""
    return rect.adjusted(0, 0, 0, -(2 * rect.height()) // 5)


class TipsDelegate(TypingDelegate):
    """Paints the cells; the verdict, which runs over several, is painted over whole rows."""

    def __init__(self, model: TipsModel, bubble: Bubble, view: QTableView) -> None:
        super().__init__(model, model.case.place, bubble, view)
        self._tips = model

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a cell."""
        model, rect, case = self._tips, option.rect, self._tips.case
        tokens = case.place.theme.tokens
        tip, shown = model.row(index.row()).tip, COLUMNS[index.column()]
        painter.save()
        if QStyle.StateFlag.State_Selected in option.state:
            painter.fillRect(rect, QColor(tokens.accent_wash))
        painter.setPen(QColor(tokens.rule))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        is_shown = tip in case.shown
        colour, dash = case.style(tip)
        if shown.key == MARK:
            middle = QPointF(rect.left() + px(PAD), rect.center().y() + 0.5)
            if is_shown:
                painter.setPen(pen(colour, LAID_OVER, dash))
                painter.drawLine(middle, middle + QPointF(rect.width() - 2.0 * px(PAD), 0.0))
        elif shown.key == DRAWN:
            room = QRectF(rect).adjusted(px(PAD), px(6), -px(PAD), -px(7))
            paint_sketch(painter, room, model.sketch(index.row()), tokens)
        elif shown.key == DEPTHS:
            self._depth(painter, rect, index.row(), colour if is_shown else tokens.soft)
        else:
            self._figure(painter, rect, index)
        if self._view.hasFocus():
            whole = shown.key in (MARK, DRAWN, DEPTHS)
            self.paint_frame(painter, rect if whole else upper(rect), index)
        painter.restore()

    def _figure(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """A name or a number, in the upper half."""
        tokens, key = self._tips.case.place.theme.tokens, COLUMNS[index.column()].key
        tone = self._tips.row(index.row()).verdict.tone
        bad = key == "step" and tone is Tone.FAULT
        strong = key == NAME or bad
        weight = QFont.Weight.DemiBold if strong else QFont.Weight.Normal
        painter.setFont(theming.font(9.0, weight=weight))
        painter.setPen(QColor(tokens.bad if bad else tokens.ink))
        above = QRectF(rect.adjusted(px(PAD), 0, -px(PAD), -(rect.height() // 2)))
        above.translate(0.0, px(2))
        right = self._tips.headings[index.column()].right
        side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        text = self._tips.cell(index.row(), index.column()).text
        if key == NAME:
            end = Qt.TextElideMode.ElideMiddle
            text = painter.fontMetrics().elidedText(text, end, int(above.width()))
        painter.drawText(above, int(side | Qt.AlignmentFlag.AlignVCenter), text)

    def _depth(self, painter: QPainter, rect: QRect, row: int, colour: str) -> None:
        """The bar of a depth, and its words below it, inside the cell."""
        model = self._tips
        tokens, shown, scale = model.case.place.theme.tokens, model.range_of(row), model.scale
        bar = depth_room(rect)
        bar.setTop(rect.top() + px(3))
        bar.setHeight(BAR_ROW)
        paint_range(painter, bar, shown, (0.0, scale.end), tokens, colour)
        painter.setFont(theming.font(SMALL))
        painter.setPen(QColor(tokens.ink))
        needs = painter.fontMetrics().horizontalAdvance(shown.words)
        at = shown.middle if not math.isnan(shown.middle) else scale.end
        left = min(max(scale.place(at, bar) - needs / 2.0, bar.left()), bar.right() - needs)
        below = QRectF(left, bar.bottom() - 1.0, needs + 2.0, rect.bottom() - bar.bottom())
        painter.drawText(below, int(Qt.AlignmentFlag.AlignVCenter), shown.words)

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Type where the figure stands; the verdict stays in sight."""
        option.rect = upper(option.rect)
        super().updateEditorGeometry(editor, option, index)

    def paint_verdict(self, painter: QPainter, room: QRect, row: int) -> None:
        """What is said of a tip, over the lower half of several of its cells."""
        tokens = self._tips.case.place.theme.tokens
        colours = {Tone.PLAIN: tokens.soft, Tone.QUESTION: tokens.warn, Tone.FAULT: tokens.bad}
        tone = self._tips.row(row).verdict.tone
        painter.setFont(theming.font(SMALL))
        painter.setPen(QColor(colours[tone]))
        said = SIGNS[tone] + self._tips.verdict_text(row)
        text = painter.fontMetrics().elidedText(said, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, int(Qt.AlignmentFlag.AlignVCenter), text)
