"""A sheet of labels on the screen: its outlines, what is printed on it, which label is first."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.paper.labels.sheets import POINTS, LabelSheets
from taperlab.gui.paper.layout.letters import Letters
from taperlab.gui.paper.layout.marks import GREY, Words, paint
from taperlab.units.language import tr

MARGIN = 10
"""Round the paper [px]."""

FADED = 0.3
"""How much is seen of a sheet that is not what is asked for."""


class LabelView(QWidget):
    """One page of a sheet of labels, as large as there is room.

    pressed(int): a label of the first page was pressed, counted from 1.
    """

    pressed = Signal(int)

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self._theme = theme
        self._sheets: LabelSheets | None = None
        self.page = 0
        self.is_out_of_date = False
        self.setAccessibleName(tr("Sheet of labels"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def sizeHint(self) -> QSize:
        """As much as shows letters on a label."""
        return QSize(theming.px(430), theming.px(540))

    def show_sheets(self, sheets: LabelSheets | None, page: int = 0) -> None:
        """Show a page of these; None: nothing."""
        self._sheets, self.page, self.is_out_of_date = sheets, page, False
        said = ""
        if sheets is not None:
            texts = (each.text for each in sheets.pages[page].marks if isinstance(each, Words))
            said = " ".join(texts)
        self.setAccessibleDescription(said)
        self.update()

    def fade(self) -> None:
        """Show that what is seen is not what is asked for now, which can't be."""
        self.is_out_of_date = True
        self.setAccessibleDescription("")
        self.update()

    def _place(self) -> tuple[QPointF, float, QRectF]:
        """Left top of the paper, pixels a point, and the paper in pixels."""
        width, height = (
            (each * POINTS for each in self._sheets.paper.size) if self._sheets else (1.0, 1.0)
        )
        room = self.rect().adjusted(MARGIN, MARGIN, -MARGIN, -MARGIN)
        scale = max(min(room.width() / width, room.height() / height), 0.05)
        left = room.left() + (room.width() - width * scale) / 2.0
        paper = QRectF(left, float(room.top()), width * scale, height * scale)
        return paper.topLeft(), scale, paper

    def middle_of(self, number: int) -> QPoint:
        """Where the middle of a label is [px], counted from 1."""
        corner, scale, _ = self._place()
        box = self._sheets.pages[0].frames[number - 1].rect if self._sheets else QRectF()
        return (corner + box.center() * scale).toPoint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The paper, the labels on it, what is printed on them."""
        if self._sheets is None:
            return
        t, page = self._theme.tokens, self._sheets.pages[self.page]
        corner, scale, paper = self._place()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setOpacity(FADED if self.is_out_of_date else 1.0)
        painter.setPen(theming.pen(t.rule))
        painter.setBrush(QColor("white"))
        painter.drawRect(paper)
        painter.setClipRect(paper)
        painter.translate(corner)
        painter.scale(scale, scale)
        letters = Letters(9.0)
        for number, box in enumerate(page.frames, start=1):
            used = number <= page.used
            painter.setPen(theming.pen(GREY, 1.0, (3.0, 3.0) if used else None))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(box.rect, 4.0, 4.0)
            if used and box.rect.height() > 14.0:
                text = tr("used")
                wide = letters.width(text)
                x, y = box.rect.center().x() - wide / 2.0, box.rect.center().y() + 3.0
                Words(x, y, text, letters, wide, "#5A5A5A").paint(painter)
        paint(painter, page.marks)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin with the label that is pressed."""
        if self._sheets is None or self.page:
            return
        corner, scale, _ = self._place()
        at = (event.position() - corner) / scale
        for number, box in enumerate(self._sheets.pages[0].frames, start=1):
            if box.rect.contains(at):
                self.pressed.emit(number)
                return
