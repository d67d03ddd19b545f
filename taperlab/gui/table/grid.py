"""A small table of texts, some of which can be typed."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, QTimer
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFont,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QStyle, QStyleOptionViewItem

from taperlab.files.cells import parse_clipboard, to_tsv
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.signs import SLIP_HALF, slip
from taperlab.gui.table.blocks import Place, spread
from taperlab.gui.table.editors import Bubble, Go
from taperlab.gui.table.grid_model import GridModel, Index
from taperlab.gui.table.typing_delegate import TypingDelegate
from taperlab.gui.table.typing_table import TypingTable
from taperlab.units.sentence import NOTHING

ROW_HEIGHT = 26
"""For usual letters, as are the widths of headings [px]."""
SIGN_ROOM = 14
PAD = 8
_OWN_KEYS = (
    QKeySequence.StandardKey.Copy,
    QKeySequence.StandardKey.Paste,
    QKeySequence.StandardKey.SelectAll,
    QKeySequence.StandardKey.Delete,
)


class GridDelegate(TypingDelegate):
    """Paints texts and the frame of the current cell."""

    def __init__(
        self, model: GridModel[Any], place: Workplace, bubble: Bubble, view: QAbstractItemView
    ) -> None:
        super().__init__(model, place, bubble, view)
        self._grid = model

    def use_theme(self) -> None:
        """Take the colours and letters of the theme in force."""
        super().use_theme()
        self._strong = theming.font(weight=QFont.Weight.DemiBold)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a cell."""
        tokens, rect = self._place.theme.tokens, option.rect
        cell = self._grid.cell(index.row(), index.column())
        if QStyle.StateFlag.State_Selected in option.state:
            painter.fillRect(rect, QColor(tokens.accent_wash))
        rect = self.paint_sign(painter, rect, index)
        colours = {"soft": tokens.soft, "warn": tokens.warn, "slip": tokens.bad}
        colour = colours.get(cell.role, tokens.ink)
        is_strong = cell.role == "strong"
        painter.setFont(self._strong if is_strong else self._font)
        painter.setPen(QColor(colour))
        right = self._grid.headings[index.column()].right
        side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        room = rect.adjusted(PAD, 0, -PAD, 0)
        if cell.role == "slip":
            slip(painter, QPointF(room.left() + SLIP_HALF, room.center().y()), colour, tokens.card)
            room.setLeft(room.left() + SIGN_ROOM)
        adds = index.row() >= self._grid.count
        text = cell.text
        if not adds:
            text = self.elided(text, room.width(), painter.fontMetrics() if is_strong else None)
        painter.drawText(room, int(side | Qt.AlignmentFlag.AlignVCenter), text)
        self.paint_frame(painter, option.rect, index)

    def paint_sign(self, painter: QPainter, rect: QRect, index: Index) -> QRect:
        """Paint what a cell holds beside its text, and give back the room that is left for that."""
        return rect


class Grid(TypingTable):
    """A table of texts. Enter goes to the next typed cell, and past a row to the row below.

    Where there is no room for all columns, those that can be spared go, the likeliest first, and of
    those that are as likely the last.

    delegate: paints the cells, where some of them hold more than a text. most: rows that it asks
    room for; more scroll.
    """

    def __init__(
        self,
        model: GridModel[Any],
        place: Workplace,
        name: str,
        help_text: str,
        delegate: type[GridDelegate] = GridDelegate,
        most: int | None = None,
    ) -> None:
        super().__init__(place)
        self.grid = model
        self._most = most
        model.setParent(self)
        self._widths_due = QTimer(self)
        self._widths_due.setSingleShot(True)
        self._widths_due.timeout.connect(self._spread)
        self.type_into(model, delegate(model, place, self._bubble, self))
        self.setAccessibleName(name)
        self.setAccessibleDescription(help_text)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.horizontalHeader().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        model.rowsInserted.connect(self._rows_came)
        for told in (model.dataChanged, model.rowsInserted, model.headerDataChanged):
            told.connect(self._widths_are_due)
        self._delegate.refused.connect(place.host.say_problem)
        self._spread()

    def sizeHint(self) -> QSize:
        """All columns, all rows or as many as it may, and the bar that scrolls rows."""
        wide = sum(self._needed(i) for i in range(len(self.grid.headings)))
        bar = self.verticalScrollBar()
        wide += bar.sizeHint().width() if bar.isVisible() else 0
        high = super().sizeHint().height()
        if self._most is not None:
            high = min(high, (self._most + 1) * theming.px(ROW_HEIGHT))
        return QSize(wide, high)

    def minimumSizeHint(self) -> QSize:
        """Two rows; the rest scrolls."""
        return QSize(theming.px(150), 4 * theming.px(ROW_HEIGHT))

    # -- moving -------------------------------------------------------------------------------

    def leave(self, go: Go) -> None:
        """Move on, or where the model would have it."""
        index, forward = self.currentIndex(), go in (Go.NEXT, Go.DOWN)
        onward = self.grid.onward(index.row(), index.column()) if forward else None
        if onward is not None:
            self.go_to(*onward)
        else:
            super().leave(go)

    def go(self, go: Go) -> None:
        """Move on: Enter and Tab through the typed cells, row by row; with Shift back."""
        index, stops, last = self.currentIndex(), self.grid.stops(), self.grid.rowCount() - 1
        if not index.isValid() or not stops:
            return
        row, forward = index.row(), go in (Go.NEXT, Go.DOWN)
        beyond = [c for c in stops if (c > index.column() if forward else c < index.column())]
        if beyond:
            column = beyond[0] if forward else beyond[-1]
        elif forward:
            row, column = min(row + 1, last), stops[0]
        else:
            row, column = max(row - 1, 0), stops[-1]
        self.go_to(row, column)

    def event(self, event: QEvent) -> bool:
        """Keep the keys that are used here from the window's shortcuts."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and any(event.matches(key) for key in _OWN_KEYS)
        ):
            event.accept()
            return True
        return super().event(event)

    # -- rows ---------------------------------------------------------------------------------

    def clear_cells(self) -> None:
        """Take the selected rows out."""
        rows = self.selected_rows()
        if rows and self.commit_open_editor():
            self.grid.delete_rows(rows)

    def copy(self) -> None:
        """Copy the selected rows, headings first if more than one is."""
        if rows := self.selected_rows():
            QGuiApplication.clipboard().setText(to_tsv(self.grid.copied(rows)))

    def cut(self) -> None:
        """Copy what is selected, and take its rows out."""
        self.copy()
        self.clear_cells()

    def paste(self) -> None:
        """Fill cells from one column of values; anything else is for the model to take in."""
        if not self.commit_open_editor():
            return
        text, count = QGuiApplication.clipboard().text(), self.grid.count
        why_not = self.grid.paste(text) if (filled := self._filled(text)) is None else NOTHING
        if filled is not None:
            why_not = self.grid.fill(filled)
        if why_not:
            self.place.host.say_problem(why_not)
        elif self.grid.count > count:
            self.go_to(count, 0)  # the first that came

    def _filled(self, text: str) -> dict[Place, str] | None:
        """What one column of values puts into which cells that are there, or None."""
        block = [[cell.strip() for cell in row] for row in parse_clipboard(text)]
        index, count = self.currentIndex(), self.grid.count
        chosen = {(each.row(), each.column()) for each in self.selectedIndexes()}
        chosen = {each for each in chosen if each[0] < count}
        if index.isValid() and not chosen:
            chosen = {(index.row(), index.column())}
        if not chosen or not block or max(map(len, block)) != 1:
            return None
        filled = spread(block, chosen)
        last = max(row for row, _ in filled)
        columns = {column for _, column in filled}
        typed = all(self.grid.headings[column].typed for column in columns)
        new = len(block) == 1 and last < self.grid.rowCount()
        return filled if typed and len(columns) == 1 and (last < count or new) else None

    def _rows_came(self) -> None:
        if not self.currentIndex().isValid() and self.grid.rowCount():
            self.go_to(0, 0)

    # -- looks --------------------------------------------------------------------------------

    def use_theme(self) -> None:
        """Take the colours and letters of the theme in force."""
        super().use_theme()
        self.verticalHeader().setDefaultSectionSize(theming.px(ROW_HEIGHT))
        self._widths_are_due()

    def _widths_are_due(self) -> None:
        self._widths_due.start()  # once for all that changed together

    def _needed(self, column: int) -> int:
        """Width at which no number of a column is cut off [px]."""
        heading, header = self.grid.headings[column], self.horizontalHeader()
        named = header.fontMetrics().horizontalAdvance(heading.text)
        # The style sheet pads headings by as much, which grows with the letters.
        widest = max(theming.px(heading.width), named + 2 * theming.px(PAD) + 2)
        # No header lets a column be less wide than this, whatever it is asked for.
        widest = max(widest, header.minimumSectionSize())
        return max(widest, self._widest_text(column)) if heading.right else widest

    def _widest_text(self, column: int) -> int:
        """Width at which no text of a column is cut off [px]."""
        widest = 0
        plain, strong = (
            QFontMetrics(theming.font(weight=weight))
            for weight in (QFont.Weight.Normal, QFont.Weight.DemiBold)
        )
        for row in range(self.grid.count):
            cell = self.grid.cell(row, column)
            metrics = strong if cell.role == "strong" else plain
            sign = SIGN_ROOM if cell.role == "slip" else 0
            widest = max(widest, metrics.horizontalAdvance(cell.text) + 2 * PAD + sign + 1)
        return widest

    def _spread(self) -> None:
        """Give columns their widths, and share what is left over among them."""
        headings, room = self.grid.headings, self.viewport().width()
        needed = [self._needed(i) for i in range(len(headings))]
        gone = {i for i, heading in enumerate(headings) if heading.idle}
        lacks = sum(wide for i, wide in enumerate(needed) if i not in gone) - room
        for i in sorted(range(len(headings)), key=lambda i: (-headings[i].spare, -i)):
            if lacks > 0 and headings[i].spare and i not in gone:
                gone.add(i)
                lacks -= needed[i]
        for i in range(len(headings)):
            self.setColumnHidden(i, i in gone)
        shown = [(i, needed[i]) for i in range(len(headings)) if i not in gone]
        left_over = max(0, room - sum(width for _, width in shown))
        # What is left over goes to texts that would be cut off, by what each lacks; then to all.
        cut_off = [
            0 if headings[i].right else max(0, self._widest_text(i) - width) for i, width in shown
        ]
        given = min(1.0, left_over / max(1, sum(cut_off)))
        shown = [
            (i, width + int(given * more)) for (i, width), more in zip(shown, cut_off, strict=True)
        ]
        left_over = max(0, room - sum(width for _, width in shown))
        for number, (i, width) in enumerate(shown):
            share = left_over // (len(shown) - number)
            left_over -= share
            self.setColumnWidth(i, width + share)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Spread the columns over the width."""
        super().resizeEvent(event)
        self._spread()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus ring; on the first visit the row that adds is current."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.grid.rowCount():
            self.go_to(self.grid.count if self.grid.adds else 0, 0)
