"""The table of tips: one row a tip, figures above and the verdict below."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QItemSelection, QItemSelectionModel, QRect, QSize, Qt
from PySide6.QtGui import (
    QFont,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QWidget

from taperlab.edits.lines import delete_line
from taperlab.files.cells import parse_clipboard, to_tsv
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import SMALL, px, usual
from taperlab.gui.pages.tips.case import TipsCase
from taperlab.gui.pages.tips.columns import COLUMNS, DEPTHS, DRAWN, MARK, NAME, column
from taperlab.gui.pages.tips.delegate import EDGE, PAD, TipsDelegate
from taperlab.gui.pages.tips.header import HEIGHT as HEAD_HEIGHT
from taperlab.gui.pages.tips.header import TipsHeader
from taperlab.gui.pages.tips.model import TipsModel
from taperlab.gui.table.editors import Go
from taperlab.gui.table.typing_table import TableKey, TypingTable
from taperlab.shop.tips.study import TipRow
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence

ROW_HEIGHT = 42
"""For usual letters [px]."""

CROWDED = 700
"""A table narrower than this leaves out its spare columns, for usual letters [px]."""

WIDE_NAME = 230
WIDEST = {DRAWN: 150, DEPTHS: 240}
"""Where names have so much, these columns share the rest up to so much, for usual letters [px]."""

NARROW_DRAWING = 44
"""A drawing gives way to words down to so much, for usual letters [px]."""

_SELECT = QItemSelectionModel.SelectionFlag


class TipsTable(TypingTable):
    """Tips by rows; the selected ones are laid over the plot. A press on a heading sorts by it."""

    KEYS = (
        *(key for key in TypingTable.KEYS if key.act in ("edit_current", "leave_table")),
        TableKey(
            (Qt.Key.Key_Space,), later("Lay the tip over the plot, or take it off"), "lay_over"
        ),
        TableKey(
            (Qt.Key.Key_F6,),
            later("Sort by the column of the current cell; again: the other way round"),
            "sort_here",
        ),
        TableKey(
            (Qt.Key.Key_Delete,), later("Take the tip of the current cell off"), "clear_cells"
        ),
        *(key for key in TypingTable.KEYS if key.act == "leave_table_back"),
    )

    def __init__(self, case: TipsCase) -> None:
        super().__init__(case.place)
        self.case = case
        self.tips = TipsModel(case)
        self._is_showing = self._is_due = False
        self._paints = TipsDelegate(self.tips, self._bubble, self)
        self.type_into(self.tips, self._paints)
        self._paints.refused.connect(case.place.host.say_problem)
        self.setHorizontalHeader(TipsHeader(self.tips, self))
        self.verticalHeader().hide()
        self.setCornerButtonEnabled(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setAccessibleName(tr("Tips"))
        self.setAccessibleDescription(
            tr(
                "Selected tips are laid over the plot. Names and lengths can be typed; F6 sorts "
                "by the column of the current cell; Control and Tab leaves the table."
            )
        )
        self.setStatusTip(
            tr("Click: lay over; with Ctrl several. Press a heading, or F6 in its column: sort.")
        )
        self.horizontalHeader().sectionClicked.connect(self.sort_by)
        case.follow(self.refresh)
        case.laid.connect(self._show_laid)
        self.refresh()

    # -- what is shown -------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the tips of the study; what is being typed is taken first, or left."""
        if self.open_editor() is not None:
            self._is_due = True  # rows stay where they are under an open editor
            return
        self._is_due = False
        current = self.current_row()
        key, at = (current.line.key if current else ""), self.currentIndex().column()
        self._is_showing = True
        self.verticalHeader().setDefaultSectionSize(px(ROW_HEIGHT))
        self.tips.show_study()
        found = next((i for i, row in enumerate(self.tips.rows) if row.line.key == key), 0)
        if self.tips.count:
            place = self.tips.index(found, at if at >= 0 else column(NAME))
            self.selectionModel().setCurrentIndex(place, _SELECT.NoUpdate)
        self._is_showing = False
        self._show_laid()
        self._spread()
        self.horizontalHeader().viewport().update()
        self.updateGeometry()

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Show what came while it was open."""
        super().closeEditor(editor, hint)
        if self._is_due:
            self.refresh()

    def current_row(self) -> TipRow | None:
        """The tip of the current cell."""
        at = self.currentIndex().row()
        return self.tips.row(at).tip if 0 <= at < self.tips.count else None

    # -- sorting -------------------------------------------------------------------------------

    def sort_here(self) -> None:
        """Sort by the column of the current cell."""
        if self.currentIndex().isValid():
            self.sort_by(self.currentIndex().column())

    def sort_by(self, place: int) -> None:
        """Sort by a column, the largest first; the other way round where it is sorted so."""
        if COLUMNS[place].sorts is None or not self.commit_open_editor():
            return
        if self.tips.sorted_by == place:
            self.tips.descends = not self.tips.descends
        else:
            self.tips.sorted_by, self.tips.descends = place, COLUMNS[place].key != NAME
        self.refresh()

    # -- laying over ---------------------------------------------------------------------------

    def lay_over(self) -> None:
        """Lay the tip of the current cell over the plot, or take it off."""
        if self.currentIndex().isValid():
            self.selectionModel().select(self.currentIndex(), _SELECT.Toggle | _SELECT.Rows)

    def selectionChanged(self, selected: QItemSelection, deselected: QItemSelection) -> None:
        """Lay the selected tips over."""
        super().selectionChanged(selected, deselected)
        if not self._is_showing:
            self.case.lay_over([row.line.key for row in self.selected_tips()])
            self.viewport().update()

    def selected_tips(self) -> tuple[TipRow, ...]:
        """The tips whose rows are selected, in the order shown."""
        rows = sorted({index.row() for index in self.selectionModel().selectedRows()})
        return tuple(self.tips.row(row).tip for row in rows)

    def _show_laid(self) -> None:
        """Select the rows that are laid over."""
        chosen = self.case.chosen
        wanted = [i for i, row in enumerate(self.tips.rows) if row in chosen]
        if wanted != sorted({each.row() for each in self.selectionModel().selectedRows()}):
            self._is_showing = True
            selection = QItemSelection()
            for row in wanted:
                first, last = (self.tips.index(row, c) for c in (0, len(COLUMNS) - 1))
                selection.select(first, last)
            self.selectionModel().select(selection, _SELECT.ClearAndSelect)
            self._is_showing = False
        self.viewport().update()

    # -- what a table does -----------------------------------------------------------------------

    def go(self, go: Go) -> None:
        """Move on: Tab through the cells that can be typed, row by row; Enter down."""
        index, stops = self.currentIndex(), self.tips.stops()
        if not index.isValid():
            return
        row, at = index.row(), index.column()
        if go in (Go.DOWN, Go.UP):
            self.go_to(max(0, row + (1 if go is Go.DOWN else -1)), at)
            return
        on = go is Go.NEXT
        beyond = [c for c in stops if (c > at if on else c < at)]
        if beyond:
            self.go_to(row, beyond[0] if on else beyond[-1])
        elif 0 <= row + (1 if on else -1) < self.tips.count:
            self.go_to(row + (1 if on else -1), stops[0] if on else stops[-1])

    def go_to(self, row: int, column: int) -> None:
        """Make a cell the current one; what is laid over stays so."""
        index = self.tips.index(min(row, self.tips.count - 1), column)
        self.selectionModel().setCurrentIndex(index, _SELECT.NoUpdate)
        self.scrollTo(index)

    def copy(self) -> None:
        """Copy the selected tips for a spreadsheet, or all: headings with units, then the rows."""
        system = self.case.system
        wanted = self.selected_tips() or self.tips.rows
        shown = [each for each in COLUMNS if each.key not in (MARK, DRAWN)]
        table = [[*(each.title(system) for each in shown), tr("Verdict")]]
        for row, tip in enumerate(self.tips.rows):
            if tip in wanted:
                said = self.tips.verdict_text(row)
                table.append([*(each.says(tip, system) for each in shown), said])
        QGuiApplication.clipboard().setText(to_tsv(table))
        self.case.place.host.say(Sentence("Copied the table of tips"))

    def paste(self) -> None:
        """Put a value that was copied into the current cell, as if it were typed."""
        if not self.commit_open_editor() or not self.currentIndex().isValid():
            return
        block = parse_clipboard(QGuiApplication.clipboard().text())
        row, at = self.currentIndex().row(), self.currentIndex().column()
        if len(block) != 1 or len(block[0]) != 1 or not self.tips.headings[at].typed:
            why_not = Sentence("One name or one length at a time can be pasted here.")
        else:
            why_not = self.tips.commit(row, at, block[0][0].strip())
        if why_not:
            self.case.place.host.say_problem(why_not)

    def clear_cells(self) -> None:
        """Take the tip of the current cell off the bench."""
        row = self.current_row()
        if row is not None and self.commit_open_editor():
            self.case.place.do(delete_line, row.line.key, initiator=self)

    # -- Qt ------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Keep the keys that are used here from the window\'s shortcuts."""
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            own = (QKeySequence.StandardKey.Copy, QKeySequence.StandardKey.Paste)
            if any(event.matches(key) for key in own) or event.key() == Qt.Key.Key_Delete:
                event.accept()
                return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows, and over them the verdicts."""
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        left = self.columnViewportPosition(column(NAME)) + px(PAD)
        right = self.columnViewportPosition(column(DEPTHS)) - px(PAD)
        for row in range(self.tips.count):
            top = self.rowViewportPosition(row) + px(ROW_HEIGHT) // 2
            room = QRect(left, top, right - left, px(ROW_HEIGHT) // 2 - px(2))
            if room.intersects(event.rect()):
                self._paints.paint_verdict(painter, room, row)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room among the columns."""
        super().resizeEvent(event)
        self._spread()

    def sizeHint(self) -> QSize:
        """All rows."""
        rows = max(1, self.tips.count)
        return QSize(px(CROWDED), px(HEAD_HEIGHT) + rows * px(ROW_HEIGHT) + 2)

    def minimumSizeHint(self) -> QSize:
        """Three rows; the rest scrolls."""
        return QSize(px(300), px(HEAD_HEIGHT) + 3 * px(ROW_HEIGHT))

    # -- widths --------------------------------------------------------------------------------

    def _needed(self, place: int) -> int:
        """Width at which nothing in a column is cut off [px]."""
        shown = COLUMNS[place]
        wide = px(shown.width)
        if shown.key in (MARK, DRAWN, NAME):
            return wide
        small, plain = QFontMetrics(theming.font(SMALL)), QFontMetrics(theming.font(9.0))
        texts = [shown.unit(self.case.system), self.tips.heading_text(place) + " ▾"]
        is_depth = shown.key == DEPTHS
        face = small if is_depth else plain
        needs = [small.horizontalAdvance(text) for text in texts]
        needs += [face.horizontalAdvance(shown.says(r, self.case.system)) for r in self.tips.rows]
        beside = px(PAD) + px(EDGE if is_depth else PAD)
        return max(wide, max(needs) + beside + 1)

    def _name_needs(self) -> int:
        """Width in which the longest name stands whole, up to a bound [px]."""
        bold = QFontMetrics(theming.font(9.0, weight=QFont.Weight.DemiBold))
        names = [bold.horizontalAdvance(row.line.name) for row in self.tips.rows]
        needs = max(names, default=0) + 2 * px(PAD) + 1
        return max(px(COLUMNS[column(NAME)].width), min(needs, px(WIDE_NAME)))

    def _spread(self) -> None:
        """Give columns their widths; the name has what is left."""
        room = self.viewport().width()
        crowded = usual(room) < CROWDED
        left = room
        for place, shown in enumerate(COLUMNS):
            self.setColumnHidden(place, crowded and shown.spare)
            if shown.key != NAME and not self.isColumnHidden(place):
                self.setColumnWidth(place, self._needed(place))
                left -= self.columnWidth(place)
        lacks = self._name_needs() - left
        if lacks > 0:  # a drawing can do with less, words can\'t
            drawn = self.columnWidth(column(DRAWN))
            smaller = max(drawn - lacks, px(NARROW_DRAWING))
            self.setColumnWidth(column(DRAWN), smaller)
            left += drawn - smaller
        spare = max(0, left - px(WIDE_NAME)) // 2
        for key, most in WIDEST.items():
            more = min(spare, px(most) - self.columnWidth(column(key)))
            if more > 0:
                self.setColumnWidth(column(key), self.columnWidth(column(key)) + more)
                left -= more
        name = column(NAME)
        self.setColumnWidth(name, max(px(COLUMNS[name].width), left))
