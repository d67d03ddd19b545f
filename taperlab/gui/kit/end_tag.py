"""The tags of the two ends of a line: FLY END hollow, ROD END solid, wherever an end is named."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.model.cut_log import CutEnd
from taperlab.units.language import later, tr

NAMES = {CutEnd.FRONT: later("FLY END"), CutEnd.REAR: later("ROD END")}


def _font(points: float) -> QFont:
    return theming.font(points, weight=QFont.Weight.DemiBold)


def tag_size(end: CutEnd, points: float) -> QSizeF:
    """Room that a tag takes in letters of a size."""
    metrics = QFontMetricsF(_font(points))
    height = metrics.height()
    return QSizeF(metrics.horizontalAdvance(tr(NAMES[end])) + height, round(height * 1.25))


def paint_tag(
    painter: QPainter, rect: QRectF, end: CutEnd, points: float, ink: str, ground: str
) -> None:
    """Draw a tag into its room: dark letters in a frame at the fly end, light on dark at the rod's.

    ink, ground: colours of the letters and of what lies behind the tag.
    """
    solid = end is CutEnd.REAR
    width = max(1.5, rect.height() / 18.0)
    painter.setPen(theming.pen(ink, width))
    painter.setBrush(QColor(ink) if solid else QColor(ground))
    inset = width / 2.0
    painter.drawRoundedRect(rect.adjusted(inset, inset, -inset, -inset), 4.0, 4.0)
    painter.setFont(_font(points))
    painter.setPen(QColor(ground if solid else ink))
    painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, tr(NAMES[end]))


class EndTag(QWidget):
    """The tag of an end as a widget."""

    def __init__(self, theme: theming.Theme, points: float = 11.0) -> None:
        super().__init__()
        self._theme, self._points = theme, points
        self.end = CutEnd.REAR
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.update)

    def show_end(self, end: CutEnd) -> None:
        """Name an end."""
        self.end = end
        self.setAccessibleName(tr(NAMES[end]))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Room for its letters."""
        return tag_size(self.end, self._points).toSize() + QSize(1, 1)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the tag."""
        tokens = self._theme.tokens
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        size = tag_size(self.end, self._points)
        room = QRectF(0.0, 0.0, size.width(), size.height())
        paint_tag(painter, room, self.end, self._points, tokens.ink, tokens.card)
