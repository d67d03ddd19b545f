"""One plot on the screen: where it lies, which stretch of its axes is seen, and its sheets."""

from __future__ import annotations

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from taperlab.gui.kit.theme import Theme, curve_pen, px
from taperlab.gui.plots.axis import Axis, Ticks
from taperlab.gui.plots.chart import Plot
from taperlab.gui.plots.ink import Ink, Map, Pad, Span
from taperlab.gui.plots.marks import Frame, OverMarks
from taperlab.units.kinds import System

LEFT, RIGHT = 46.0, 16.0
"""Margins beside the plots; the left one is for usual letters [px]."""

PIXELS_A_TICK_ACROSS = 62.0
PIXELS_A_TICK_UPRIGHT = 17.0


class Sheet(QGraphicsItem):
    """What inks draw on, in SI, over the whole of a plot: what changes often and seldom lie apart.

    A sheet that keeps its picture is painted anew only when what is drawn on it changes, so that
    an edit of the current line repaints that line alone. The view box maps and clips; its own plot
    items would each keep a picture as large as the plot.
    """

    def __init__(self, *, kept: bool = False) -> None:
        super().__init__()
        self._area = QRectF(0.0, 0.0, 1.0, 1.0)
        self._pixels = 1.0
        self._kept = kept
        self.inks: tuple[Ink, ...] = ()
        self.keep_picture(True)

    def keep_picture(self, keep: bool) -> None:
        """Whether a sheet that keeps its picture does so now; an export must not."""
        mode = QGraphicsItem.CacheMode.DeviceCoordinateCache
        self.setCacheMode(mode if keep and self._kept else QGraphicsItem.CacheMode.NoCache)

    def cover(self, area: QRectF, pixels: float) -> None:
        """Cover a stretch of the axes [SI], ``pixels`` wide on screen."""
        self._pixels = pixels / area.width()
        if area != self._area:
            self.prepareGeometryChange()
            self._area = area

    def show_inks(self, inks: Sequence[Ink]) -> None:
        """Draw these and no others; what is as before keeps what it has worked out."""
        kept = tuple(
            before if before.is_like(ink) else ink
            for before, ink in zip(self.inks, inks, strict=False)
        )
        kept += tuple(inks[len(kept) :])
        same = len(kept) == len(self.inks) and all(
            one is other for one, other in zip(kept, self.inks, strict=True)
        )
        if not same:
            self.inks = kept
            self.update()

    def boundingRect(self) -> QRectF:
        """The whole plot."""
        return self._area

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw the inks in order."""
        pad = Pad(painter, self._area, self._pixels)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        for ink in self.inks:
            ink.paint(pad)


class Ground(Sheet):
    """The grid, and the line at zero."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._rules: list[QLineF] = []
        self._zero: list[QLineF] = []

    def set_rules(self, across: Sequence[float], upright: Sequence[float]) -> None:
        """Where the grid's rules lie on both axes [SI]."""
        a = self._area
        self._rules = [QLineF(x, a.top(), x, a.bottom()) for x in across]
        self._rules += [QLineF(a.left(), y, a.right(), y) for y in upright if y != 0.0]
        self._zero = [QLineF(a.left(), 0.0, a.right(), 0.0)] if 0.0 in upright else []
        self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw bands, rules, zero line."""
        super().paint(painter, option, widget)
        pad = Pad(painter, self._area, self._pixels)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        tokens = self._theme.tokens
        for colour, lines in ((tokens.hover, self._rules), (tokens.rule, self._zero)):
            pad.use(curve_pen(colour))
            painter.drawLines(lines)


class Panel(Map):
    """A plot as it is shown. ``plot`` is the value that it shows."""

    def __init__(self, plot: Plot, scene: pg.GraphicsScene, theme: Theme) -> None:
        super().__init__()
        self.plot = plot
        self.view = pg.ViewBox(enableMouse=False, enableMenu=False, defaultPadding=0.0)
        self.view.disableAutoRange()
        self.ground, self.under = Ground(theme), Sheet()
        self.laid, self.own = Sheet(kept=True), Sheet()
        self._sheets = (self.ground, self.under, self.laid, self.own)
        self.frame, self.over = Frame(scene, theme), OverMarks(scene, theme, 5.0)
        self.x_ticks: Ticks = []
        self.y_ticks: Ticks = []
        scene.addItem(self.view)
        for height, sheet in enumerate(self._sheets):
            sheet.setZValue(height)
            self.view.addItem(sheet, ignoreBounds=True)

    @property
    def inks(self) -> tuple[Ink, ...]:
        """All that is drawn, from the lowest."""
        return tuple(ink for sheet in self._sheets for ink in sheet.inks)

    def set_shown(self, shown: bool) -> None:
        """Be on screen, or not."""
        for item in (self.view, self.frame, self.over):
            item.setVisible(shown)

    def show_plot(self, plot: Plot) -> None:
        """Show this; only what differs from what is shown is drawn again."""
        self.plot = plot
        self.ground.show_inks([ink for ink in plot.under if ink.beneath_grid])
        self.under.show_inks([ink for ink in plot.under if not ink.beneath_grid])
        self.laid.show_inks(plot.laid)
        self.own.show_inks(plot.own)

    def place(self, rect: QRectF) -> None:
        """Lie there in the scene."""
        if rect != self.rect:
            self.rect = rect
            self.view.setGeometry(rect)

    def look_at(self, x: Span, y: Span) -> None:
        """See these stretches of both axes [SI]."""
        if (x, y) != (self.x_range, self.y_range):
            self.x_range, self.y_range = x, y
            self.view.setRange(xRange=x, yRange=y, padding=0, disableAutoRange=True)

    def rule(self, across: Axis, system: System) -> None:
        """Work out where the rules lie, after axes, place or units changed."""
        (left, right), (low, high) = self.x_range, self.y_range
        most = int(self.rect.height() / px(PIXELS_A_TICK_UPRIGHT))
        self.y_ticks = self.plot.axis.ticks(low, high, most, system)
        most = int(self.rect.width() / px(PIXELS_A_TICK_ACROSS))
        self.x_ticks = [each for each in across.ticks(left, right, most, system) if each[0] >= 0.0]
        area = QRectF(left, low, right - left, high - low)
        for sheet in self._sheets:
            sheet.cover(area, self.rect.width())
        self.ground.set_rules([x for x, _ in self.x_ticks], [y for y, _ in self.y_ticks])

    def draw_frame(self, strip: float, system: System) -> None:
        """Caption and labels, the caption above a strip so high, and what stands over curves."""
        rect = self.rect
        labels = [(self.upright(at), text) for at, text in self.y_ticks]
        top = rect.top() - strip - px(Frame.CAPTION)
        caption = QRectF(rect.left(), top, rect.width(), px(Frame.CAPTION))
        self.frame.show_axis(rect, labels, caption, self.plot.axis.title(system), self.plot.note)
        over = (ink.over(self) for ink in self.inks)
        self.over.show_over(rect, [each for each in over if each is not None])

    def uprights(self, x: float) -> list[QLineF]:
        """An upright through the plot at a scene x, which leaves the names in it free."""
        rect = self.rect
        for name in self.over.names:
            if name.where.left() - 3.0 <= x <= name.where.right() + 3.0:
                return [
                    QLineF(x, rect.top(), x, name.where.top() - 1.0),
                    QLineF(x, name.where.bottom() + 1.0, x, rect.bottom()),
                ]
        return [QLineF(x, rect.top(), x, rect.bottom())]
