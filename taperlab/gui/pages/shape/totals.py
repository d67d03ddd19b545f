"""The row of totals below the segment table: what the whole line comes to."""

from __future__ import annotations

from collections.abc import Callable
from operator import attrgetter

from PySide6.QtCore import QRect, QSize
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent, QPen

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import Elided, elided
from taperlab.gui.pages.shape.columns import COLUMNS, Col
from taperlab.gui.pages.shape.segment_looks import LEFT, PAD, PART_PAD, RIGHT, NumberRoom
from taperlab.gui.pages.shape.segment_model import number_cell
from taperlab.gui.pages.shape.segment_table import SegmentTable
from taperlab.gui.state.watch import Watch
from taperlab.gui.table.spoken import in_full_words
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.wording import fittings_words
from taperlab.units.language import tr

HEIGHT = 26
"""For usual letters [px]."""

TOTALS: dict[Col, Callable[[LineAnalysis], float]] = {
    Col.LENGTH: attrgetter("length"),
    Col.WEIGHT: attrgetter("mass"),
}
"""What can be summed up of a line [SI]."""


class Totals(Elided):
    """Length and weight of the whole line under their columns, and what the weight includes.

    Where there is no room for what it includes, dots say so, and the tooltip has all of it.
    """

    def __init__(self, place: Workplace, watch: Watch, table: SegmentTable) -> None:
        super().__init__(points=theming.BODY)
        self._place, self._table = place, table
        header = table.horizontalHeader()
        for moved in (header.sectionResized, header.geometriesChanged):
            moved.connect(self._moved)
        table.horizontalScrollBar().valueChanged.connect(self._moved)
        watch.follow(self.refresh)
        watch.units_changed.connect(self.refresh)

    def sizeHint(self) -> QSize:
        """As high as a row."""
        return QSize(0, theming.px(HEIGHT))

    def minimumSizeHint(self) -> QSize:
        """As high, and as narrow as may be."""
        return QSize(0, theming.px(HEIGHT))

    def refresh(self) -> None:
        """Show what the line in hand comes to."""
        found = self._found
        if found is None:
            self.setText("")
            return
        said = [
            in_full_words(read(found), kind, self._place.system)
            for column, read in TOTALS.items()
            if (kind := COLUMNS[column].kind)
        ]
        includes = self._place.read(fittings_words(found))
        text = tr("Total: {figures}").format(figures=", ".join(filter(None, (*said, includes))))
        self.setText(text)
        self.setAccessibleName(text)
        self.update()

    @property
    def _found(self) -> LineAnalysis | None:
        found = self._place.document.analysis()
        return found if found is not None and found.segments else None

    def _moved(self) -> None:
        self.update()

    def _box(self, first: int, last: int) -> QRect:
        """Where columns of the table stand, as seen from here."""
        left = self._table.columnViewportPosition(first)
        width = self._table.columnViewportPosition(last) + self._table.columnWidth(last) - left
        return QRect(self._table.verticalHeader().width() + left, 0, width, self.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the figures where their columns are."""
        found, tokens = self._found, self._place.theme.tokens
        if found is None:
            return
        painter = QPainter(self)
        painter.setPen(QPen(QColor(tokens.rule), 1))
        painter.drawLine(0, 0, self.width(), 0)
        aside = self._table.verticalHeader().width()
        painter.setClipRect(QRect(aside, 1, self._table.viewport().width(), self.height()))
        painter.setPen(QColor(tokens.ink))
        strong = theming.font(weight=QFont.Weight.DemiBold)
        painter.setFont(strong)
        name = self._box(Col.PART, Col.PART).adjusted(PART_PAD, 0, 0, 0)
        painter.drawText(name, LEFT, tr("Total"))
        for column, read in TOTALS.items():
            cell = number_cell(COLUMNS[column], read(found), self._place.system)
            room = NumberRoom(strong).of(self._box(column, column), cell)
            painter.drawText(room, RIGHT, cell.text)
        painter.setFont(theming.font(theming.SMALL))
        painter.setPen(QColor(tokens.soft))
        room = self._box(Col.FRONT_DIAMETER, Col.DENSITY).adjusted(PAD, 0, -PAD, 0)
        includes = self._place.read(fittings_words(found))
        painter.drawText(room, RIGHT, elided(painter, includes, room.width()))
