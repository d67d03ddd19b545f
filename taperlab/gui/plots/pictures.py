"""The plots as a picture: an image or SVG, with a heading that names the lines."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QImage, QPainter
from PySide6.QtSvg import QSvgGenerator

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import pen, px
from taperlab.gui.plots.canvas import Canvas
from taperlab.gui.plots.chart import Legend
from taperlab.gui.plots.panel import LEFT

ROW = 18.0
MARGIN = 10.0


def image(canvas: Canvas, scale: float = 2.0) -> QImage:
    """The plots as an image, ``scale`` pixels for each on screen."""
    size = _size(canvas)
    made = QImage(
        (size * scale).toSize().expandedTo(QSize(1, 1)), QImage.Format.Format_ARGB32_Premultiplied
    )
    made.setDevicePixelRatio(scale)
    made.fill(QColor(canvas.stage.tokens.card))
    painter = QPainter(made)
    _paint(canvas, painter)
    painter.end()
    return made


def png(canvas: Canvas, scale: float = 2.0) -> bytes:
    """The plots as the content of a PNG file."""
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image(canvas, scale).save(buffer, "PNG")  # type: ignore[call-overload]  # bytes are refused
    return bytes(content.data())


def svg(canvas: Canvas) -> bytes:
    """The plots as the content of an SVG file."""
    content = QByteArray()
    buffer = QBuffer(content)
    size, stage = _size(canvas), canvas.stage
    # Version 1.1 knows clipping, without which a zoomed curve runs out of its plot.
    maker = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    maker.setOutputDevice(buffer)
    maker.setSize(size.toSize())
    maker.setViewBox(QRectF(QPointF(), size))
    maker.setTitle(stage.chart.title)
    maker.setDescription("; ".join(plot.axis.title(stage.system) for plot in stage.chart.plots))
    painter = QPainter(maker)
    painter.fillRect(QRectF(QPointF(), size), QColor(stage.tokens.card))
    _paint(canvas, painter)
    painter.end()
    return bytes(content.data())


def _places(canvas: Canvas) -> tuple[list[tuple[QPointF, Legend]], float]:
    """Where each entry of the legend begins, and how high the heading is."""
    width = float(canvas.width()) - MARGIN
    left, row = float(px(LEFT)), float(px(ROW))
    places, x, y = [], left, MARGIN
    for number, each in enumerate(canvas.stage.chart.legend):
        needed = 34.0 + QFontMetricsF(_face(number)).horizontalAdvance(each.name) + 18.0
        if number and x + needed > width:
            x, y = left, y + row
        places.append((QPointF(x, y), each))
        x += needed
    return places, y + row + 4.0


def _face(number: int) -> QFont:
    return theming.font(9.0, weight=QFont.Weight.DemiBold if number == 0 else QFont.Weight.Normal)


def _size(canvas: Canvas) -> QSizeF:
    height = _places(canvas)[1]
    return QSizeF(canvas.width(), canvas.height() + height + MARGIN)


def _paint(canvas: Canvas, painter: QPainter) -> None:
    places, height = _places(canvas)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    middle, row = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, px(ROW)
    for number, (place, each) in enumerate(places):
        line = place + QPointF(0.0, row / 2.0)
        painter.setPen(pen(each.colour, each.width, each.dash))
        painter.drawLine(line, line + QPointF(26.0, 0.0))
        painter.setPen(QColor(canvas.stage.tokens.ink))
        painter.setFont(_face(number))
        painter.drawText(QRectF(place.x() + 34.0, place.y(), px(600), row), middle, each.name)
    rect = QRectF(0.0, 0.0, canvas.width(), canvas.height())
    with _at_rest(canvas):
        canvas.scene().prepareForPaint()
        canvas.scene().render(painter, QRectF(0.0, height, rect.width(), rect.height()), rect)


@contextlib.contextmanager
def _at_rest(canvas: Canvas) -> Iterator[None]:
    """Without crosshair, handles and tags, and with every sheet painted anew."""
    passing = canvas.passing
    panels = canvas.stage.shown
    visible = [mark.isVisible() for mark in passing]
    for mark in passing:
        mark.hide()
    for panel in panels:
        panel.laid.keep_picture(False)
        panel.frame.covers = True
    try:
        yield
    finally:
        for panel in panels:
            panel.laid.keep_picture(True)
            panel.frame.covers = False
        for mark, shown in zip(passing, visible, strict=True):
            mark.setVisible(shown)
