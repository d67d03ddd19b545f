"""The plots as a picture: PNG, SVG or on the clipboard, with a heading that names the lines."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QImage, QPainter
from PySide6.QtSvg import QSvgGenerator

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import pen
from taperlab.gui.plots.panel import LEFT

if TYPE_CHECKING:
    from taperlab.gui.plots.stack import PlotStack

ROW = 18.0
MARGIN = 10.0


def image(stack: PlotStack, scale: float = 2.0) -> QImage:
    """The plots as an image, ``scale`` pixels for each on screen."""
    size = _size(stack)
    made = QImage(
        (size * scale).toSize().expandedTo(QSize(1, 1)), QImage.Format.Format_ARGB32_Premultiplied
    )
    made.setDevicePixelRatio(scale)
    made.fill(QColor(stack.theme.tokens.card))
    painter = QPainter(made)
    _paint(stack, painter)
    painter.end()
    return made


def png(stack: PlotStack, scale: float = 2.0) -> bytes:
    """The plots as the content of a PNG file."""
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image(stack, scale).save(buffer, "PNG")
    return content.data()


def svg(stack: PlotStack) -> bytes:
    """The plots as the content of an SVG file."""
    content = QByteArray()
    buffer = QBuffer(content)
    size = _size(stack)
    # Version 1.1 knows clipping, without which a zoomed curve runs out of its plot.
    maker = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    maker.setOutputDevice(buffer)
    maker.setSize(size.toSize())
    maker.setViewBox(QRectF(QPointF(), size))
    maker.setTitle(_title(stack))
    maker.setDescription("Outline, weight per length and running weight along a fly line")
    painter = QPainter(maker)
    painter.fillRect(QRectF(QPointF(), size), QColor(stack.theme.tokens.card))
    _paint(stack, painter)
    painter.end()
    return content.data()


def _title(stack: PlotStack) -> str:
    analysis = stack.drawing.analysis
    return analysis.line.name if analysis else "No line"


def _legend(stack: PlotStack) -> list[tuple[str, float, str, tuple[float, ...] | None]]:
    accent = stack.theme.tokens.accent
    rows = [(_title(stack), 2.0, accent, None)]
    return rows + [(each.name, 1.0, each.colour, each.dash) for each in stack.drawing.laid]


def _places(stack: PlotStack) -> tuple[list[QPointF], float]:
    """Where each entry of the legend begins, and how high the heading is."""
    width = float(stack.canvas.width()) - MARGIN
    places, x, y = [], LEFT, MARGIN
    for number, (name, *_) in enumerate(_legend(stack)):
        needed = 34.0 + QFontMetricsF(_face(number)).horizontalAdvance(name) + 18.0
        if number and x + needed > width:
            x, y = LEFT, y + ROW
        places.append(QPointF(x, y))
        x += needed
    return places, y + ROW + 4.0


def _face(number: int) -> QFont:
    return theming.font(9.0, weight=QFont.Weight.DemiBold if number == 0 else QFont.Weight.Normal)


def _size(stack: PlotStack) -> QSizeF:
    height = _places(stack)[1]
    return QSizeF(stack.canvas.width(), stack.canvas.height() + height + MARGIN)


def _paint(stack: PlotStack, painter: QPainter) -> None:
    places, height = _places(stack)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    middle = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
    for number, (place, (name, wide, colour, dash)) in enumerate(
        zip(places, _legend(stack), strict=True)
    ):
        y = place.y() + ROW / 2.0
        how = pen(colour, wide, dash)
        how.setCosmetic(False)
        painter.setPen(how)
        painter.drawLine(QPointF(place.x(), y), QPointF(place.x() + 26.0, y))
        painter.setPen(QColor(stack.theme.tokens.ink))
        painter.setFont(_face(number))
        room = QRectF(place.x() + 34.0, place.y(), 600.0, ROW)
        painter.drawText(room, middle, name)
    rect = QRectF(0.0, 0.0, stack.canvas.width(), stack.canvas.height())
    with _at_rest(stack):
        stack.canvas.scene().prepareForPaint()
        stack.canvas.scene().render(painter, QRectF(0.0, height, rect.width(), rect.height()), rect)


@contextlib.contextmanager
def _at_rest(stack: PlotStack) -> Iterator[None]:
    """Without crosshair, handles and tag, and with every layer painted anew."""
    passing = (stack.crosshair, stack.handle_marks, stack.tag)
    visible = [mark.isVisible() for mark in passing]
    for mark in passing:
        mark.hide()
    for panel in stack.panels.values():
        panel.keep_pictures(False)
    for frame in stack.frames.values():
        frame.covers = True
    try:
        yield
    finally:
        for frame in stack.frames.values():
            frame.covers = False
        for panel in stack.panels.values():
            panel.keep_pictures(True)
        for mark, shown in zip(passing, visible, strict=True):
            mark.setVisible(shown)
