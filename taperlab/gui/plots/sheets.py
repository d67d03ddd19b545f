"""Sheets over a plot that inks are drawn on, in SI: what changes often and seldom lie apart.

Each sheet covers its plot and is made once. A sheet that keeps its picture is painted anew only
when what is drawn on it changes, so that an edit of the line in hand repaints that line alone.
The view box maps and clips; its own plot items would each keep a picture as large as the plot.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QLineF, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from taperlab.gui.kit.theme import Theme, curve_pen
from taperlab.gui.plots.ink import Ink, Pad


class Sheet(QGraphicsItem):
    """What inks draw on, over the whole of a plot."""

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
