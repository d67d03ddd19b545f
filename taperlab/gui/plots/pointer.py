"""The crosshair: where it stands, and what is read there."""

from __future__ import annotations

from dataclasses import dataclass

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from taperlab.gui.kit.key_names import native
from taperlab.gui.kit.theme import pen
from taperlab.gui.kit.widgets import NONE
from taperlab.gui.plots.chart import Words, readings
from taperlab.gui.plots.marks import Mark, Tag, TagRow
from taperlab.gui.plots.panel import Panel
from taperlab.gui.plots.stage import Stage
from taperlab.units.language import tr

OWN, LAID = 4.0, 3.0
"""Radius of the dots on what is current, and on what is laid over it [px]."""

MORE = Qt.Key.Key_M
"""Tells of the next lines laid over, where there are many."""


@dataclass(frozen=True, slots=True)
class Dot:
    """Where the crosshair meets a curve."""

    where: QPointF
    colour: str
    radius: float


class Pointer(Mark):
    """The crosshair: an upright line through all plots, with a dot where it meets each curve.

    position: where it is wanted [SI], or None. words: what is read there. plot: the key of the
    plot whose overlays are told beside the crosshair; the one pointed at. page: which of them,
    where there are more than can be read at once.
    """

    def __init__(self, stage: Stage, scene: pg.GraphicsScene) -> None:
        super().__init__(scene, stage.theme, 20.0)
        self._stage = stage
        self.position: float | None = None
        self.plot: str | None = None
        self.page = 0
        self.words = Words()
        self.lines: list[QLineF] = []
        self.dots: list[Dot] = []
        self.tag = Tag(scene, stage.theme, 25.0)
        self.hide()

    def stand(self, position: float | None, plot: str | None = None) -> None:
        """Be wanted at a position [SI], as far as anything reaches, or nowhere."""
        if position is not None and not self._stage.is_empty:
            position = min(max(position, 0.0), self._stage.chart.reach)
        self.position = position
        if plot is not None:
            self.plot = plot

    @property
    def spoken(self) -> str:
        """All that is read, the lines laid over too, in one text."""
        if self.position is None or not self.words.columns:
            return ""
        laid = self._stage.chart.laid_words(self.position, self._stage.system)
        return "; ".join(each for each in (", ".join(self.words.columns), laid) if each)

    @property
    def tells_part(self) -> bool:
        """Whether there are more lines laid over than the box has room for."""
        return self.tag.isVisible() and not self.tag.rows[-1].colour

    def tell_more(self) -> None:
        """Tell of the next ones."""
        self.page += 1
        self.place()

    def place(self) -> None:
        """Read anew, and stand where that was done."""
        stage, position = self._stage, None if self._stage.is_empty else self.position
        self.words = Words()
        if position is not None:
            position = min(position, stage.chart.reach)
            self.words = stage.chart.words(position, stage.system)
        if position is None or not stage.range.holds(position):
            self.hide()
            self.tag.hide()
            return
        x, shown = stage.first.across(position), stage.shown
        self.lines = [line for panel in shown for line in panel.uprights(x)]
        self.dots = [dot for panel in shown for dot in _dots(panel, x, position)]
        top, bottom = shown[0].rect.top(), shown[-1].rect.bottom()
        self.cover(QRectF(x - 6.0, top - 6.0, 12.0, bottom - top + 12.0))
        self.update()
        self.show()
        self._tell_laid(x, position)

    def draw(self, painter: QPainter) -> None:
        """Draw line and dots."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(pen(self.tokens.crosshair))
        painter.drawLines(self.lines)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(pen(self.tokens.card, 1.0))
        for dot in self.dots:
            painter.setBrush(QColor(dot.colour))
            painter.drawEllipse(dot.where, dot.radius, dot.radius)

    def _tell_laid(self, x: float, position: float) -> None:
        """What the lines laid over read, in a box on the plot pointed at."""
        stage = self._stage
        panel = next((each for each in stage.shown if each.plot.key == self.plot), stage.first)
        laid = [ink for ink in panel.plot.laid if ink.name]
        read = {
            id(ink): text for ink, text in readings(panel.plot, tuple(laid), position, stage.system)
        }
        if not read:
            self.tag.hide()
            return
        rows = [TagRow(f"{read.get(id(i), NONE)}  {i.name}", i.colour, i.dash) for i in laid]
        bottom = stage.shown[-1].rect.bottom()
        self.tag.show_clear_of(x, rows, panel.rect, bottom, self.page, _more)


def _more(count: int) -> str:
    return tr("and {count} more: press {key}").format(count=count, key=native(MORE))


def _dots(panel: Panel, x: float, position: float) -> list[Dot]:
    """Dots where the crosshair meets what is drawn."""
    found = []
    for inks, radius in ((panel.laid.inks, LAID), (panel.under.inks + panel.own.inks, OWN)):
        for ink in inks:
            value = ink.at(position)
            if value is not None:
                found.append(Dot(QPointF(x, panel.upright(value)), ink.colour, radius))
    return found
