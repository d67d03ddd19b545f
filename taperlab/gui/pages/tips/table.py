"""The table of tips: one row a tip, figures above and the verdict below."""

from __future__ import annotations

import math
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from taperlab.files.cells import to_tsv
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.range_bar import ROW as BAR_ROW
from taperlab.gui.kit.range_bar import Range, paint_range
from taperlab.gui.kit.theme import LAID_OVER, SMALL, pen, px, usual
from taperlab.gui.pages.tips.case import TipsCase
from taperlab.gui.pages.tips.columns import COLUMNS, DEPTHS, DRAWN, MARK, NAME, column
from taperlab.gui.pages.tips.sketch import Sketch, paint_sketch, scale_of
from taperlab.gui.plots.axis import step_for, tick_text
from taperlab.gui.table.grid_model import NO_INDEX, Index
from taperlab.gui.table.spoken import in_full_words
from taperlab.shop.joints import step_words
from taperlab.shop.tips.study import TipRow
from taperlab.shop.tips.words import Tone, Verdict, verdict
from taperlab.shop.water.words import depth_in_short
from taperlab.units.kinds import DEPTH
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.show import from_unit, to_unit

ROW_HEIGHT = 42
HEAD_HEIGHT = 40
PAD = 5
"""For usual letters [px]."""

CROWDED = 700
"""A table narrower than this leaves out its spare columns, for usual letters [px]."""

WIDE_NAME = 230
WIDEST = {DRAWN: 150, DEPTHS: 240}
"""Where names have so much, these columns share the rest up to so much, for usual letters [px]."""

NARROW_DRAWING = 44
"""A drawing gives way to words down to so much, for usual letters [px]."""

SIGNS = {Tone.PLAIN: "", Tone.QUESTION: "! ", Tone.FAULT: "✕ "}
"""Beside the colour of a verdict."""

SPOKEN = ("length", "weight", "front", "rear", "rig")
"""Columns of one quantity, which is read aloud with its unit in words."""

_SELECT = QItemSelectionModel.SelectionFlag


class TipsModel(QAbstractTableModel):
    """The tips of the study, in the order that the person chose."""

    def __init__(self, case: TipsCase) -> None:
        super().__init__(case)
        self.case = case
        self.sorted_by = column(DEPTHS)
        self.descends = True
        self.rows: tuple[TipRow, ...] = ()
        self.verdicts: tuple[Verdict, ...] = ()

    def show_study(self) -> None:
        """Show the rows of the study, sorted."""
        self.beginResetModel()
        study = self.case.study
        rows = list(study.rows) if study is not None else []
        sorts = COLUMNS[self.sorted_by].sorts
        assert sorts is not None
        rows.sort(key=lambda row: _in_order(sorts(row)), reverse=self.descends)
        self.rows = tuple(rows)
        self.verdicts = tuple(verdict(row, study) for row in rows) if study is not None else ()
        self.endResetModel()

    def rowCount(self, parent: Index = NO_INDEX) -> int:
        """Tips."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = NO_INDEX) -> int:
        """Columns."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What a cell says, on screen, in its tooltip and read aloud."""
        if not index.isValid():
            return None
        row, shown = self.rows[index.row()], COLUMNS[index.column()]
        said = shown.says(row, self.case.system)
        if role == Qt.ItemDataRole.DisplayRole:
            return said
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._tip(index.row(), shown.key)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            value = shown.sorts(row) if shown.sorts is not None else ""
            if shown.key in SPOKEN and shown.kind is not None and isinstance(value, float):
                said = in_full_words(value, shown.kind, self.case.system)
            elif shown.key != DEPTHS:
                said = f"{said} {shown.unit(self.case.system)}"
            told = f"{row.line.name}, {tr(shown.name)}: {said}"
            if shown.key == NAME:
                told = f"{row.line.name}. {self.verdict_text(index.row())}"
            elif shown.key in (MARK, DRAWN):
                laid = row in self.case.chosen
                told = tr("{tip}, laid over") if laid else tr("{tip}, not laid over")
                told = told.format(tip=row.line.name)
            return told
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """The heading of a column, and its tooltip."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return COLUMNS[section].title(self.case.system)
        return tr(COLUMNS[section].help) if role == Qt.ItemDataRole.ToolTipRole else None

    def verdict_text(self, row: int) -> str:
        """The verdict on a tip, in the person's units."""
        return self.case.place.read(self.verdicts[row].words)

    def _tip(self, row: int, key: str) -> str:
        read = self.case.place.read
        if key == "step":
            return read(step_words(self.rows[row].joint))
        note = self.rows[row].line.note
        return "\n".join(filter(None, (self.verdict_text(row), note)))


def _in_order(value: float | str) -> tuple[bool, float, str]:
    if isinstance(value, str):
        return False, 0.0, value
    return math.isnan(value), 0.0 if math.isnan(value) else value, ""


class TipsHeader(QHeaderView):
    """Headings of two lines; that of the depth has its scale below it."""

    def __init__(self, table: TipsTable) -> None:
        super().__init__(Qt.Orientation.Horizontal, table)
        self._table = table
        self.setSectionsClickable(True)
        self.setHighlightSections(False)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(tr("Headings of the tips"))

    def sizeHint(self) -> QSize:
        """Two lines."""
        return QSize(super().sizeHint().width(), px(HEAD_HEIGHT))

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Draw a heading and what stands below it."""
        table, tokens = self._table, self._table.case.place.theme.tokens
        model, shown = table.tips, COLUMNS[section]
        painter.save()
        painter.fillRect(rect, QColor(tokens.card))
        painter.setPen(QColor(tokens.rule))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        is_sorted = section == model.sorted_by
        weight = QFont.Weight.Medium if is_sorted else QFont.Weight.Normal
        painter.setFont(theming.font(SMALL, weight=weight))
        painter.setPen(QColor(tokens.ink if is_sorted else tokens.soft))
        room = rect.adjusted(px(PAD), px(3), -px(PAD), -px(3))
        half = room.height() // 2
        above = QRect(room.left(), room.top(), room.width(), half)
        below = QRect(room.left(), room.top() + half, room.width(), half)
        left = shown.key in (MARK, DRAWN, NAME, DEPTHS)
        side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignRight
        sign = (" ▾" if model.descends else " ▴") if is_sorted else ""
        if shown.key != MARK:
            text = table.heading(section) + sign
            painter.drawText(above, int(side | Qt.AlignmentFlag.AlignVCenter), text)
        painter.setFont(theming.font(SMALL))
        painter.setPen(QColor(tokens.soft))
        if shown.key == DEPTHS:
            centre = Qt.AlignmentFlag.AlignCenter
            for value, text in table.depth_ticks():
                x = table.depth_place(value, QRectF(below))
                painter.drawText(QRectF(x - 20.0, below.top(), 40.0, half), int(centre), text)
        elif shown.key != MARK:
            unit = shown.unit(table.case.system)
            painter.drawText(below, int(side | Qt.AlignmentFlag.AlignVCenter), unit)
        painter.restore()


class TipsDelegate(QStyledItemDelegate):
    """Paints the cells; the verdict, which runs over several, the table paints."""

    def __init__(self, table: TipsTable) -> None:
        super().__init__(table)
        self._table = table

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | Any
    ) -> None:
        """Paint a cell."""
        table, rect = self._table, option.rect
        case, tokens = table.case, table.case.place.theme.tokens
        row, shown = table.tips.rows[index.row()], COLUMNS[index.column()]
        painter.save()
        if QStyle.StateFlag.State_Selected in option.state:
            painter.fillRect(rect, QColor(tokens.accent_wash))
        painter.setPen(QColor(tokens.rule))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        half = rect.height() // 2
        above = QRectF(rect.adjusted(px(PAD), 0, -px(PAD), -half))
        is_shown = row in case.shown
        colour, dash = case.style(row)
        if shown.key == MARK:
            middle = QPointF(rect.left() + px(PAD), rect.center().y() + 0.5)
            if is_shown:
                painter.setPen(pen(colour, LAID_OVER, dash))
                painter.drawLine(middle, middle + QPointF(rect.width() - 2.0 * px(PAD), 0.0))
        elif shown.key == DRAWN:
            room = QRectF(rect).adjusted(px(PAD), px(6), -px(PAD), -px(7))
            paint_sketch(painter, room, table.sketch(row), tokens)
        elif shown.key == DEPTHS:
            bar = QRectF(rect.adjusted(px(PAD), px(3), -px(PAD), 0))
            bar.setHeight(BAR_ROW)
            own = colour if is_shown else tokens.soft
            paint_range(painter, bar, table.range_of(row), table.depth_scale, tokens, own)
            self._words(painter, rect, bar, row)
        else:
            strong = shown.key == NAME
            weight = QFont.Weight.DemiBold if strong else QFont.Weight.Normal
            tone = table.tips.verdicts[index.row()].tone
            bad = shown.key == "step" and tone is Tone.FAULT
            painter.setFont(theming.font(9.0, weight=QFont.Weight.DemiBold if bad else weight))
            painter.setPen(QColor(tokens.bad if bad else tokens.ink))
            side = Qt.AlignmentFlag.AlignLeft if strong else Qt.AlignmentFlag.AlignRight
            text = str(index.data())
            if strong:
                end = Qt.TextElideMode.ElideMiddle
                text = painter.fontMetrics().elidedText(text, end, int(above.width()))
            above.translate(0.0, px(2))
            painter.drawText(above, int(side | Qt.AlignmentFlag.AlignVCenter), text)
        table.paint_frame(painter, rect, index)
        painter.restore()

    def _words(self, painter: QPainter, rect: QRect, bar: QRectF, row: TipRow) -> None:
        """The depth in words, below its bar, and inside the cell."""
        table = self._table
        tokens, shown = table.case.place.theme.tokens, table.range_of(row)
        painter.setFont(theming.font(SMALL))
        painter.setPen(QColor(tokens.ink))
        needs = painter.fontMetrics().horizontalAdvance(shown.words)
        at = shown.middle if not math.isnan(shown.middle) else table.depth_scale[1]
        x = table.depth_place(at, bar) - needs / 2.0
        x = min(max(x, bar.left()), bar.right() - needs)
        below = QRectF(x, bar.bottom() - 1.0, needs + 2.0, rect.bottom() - bar.bottom())
        painter.drawText(below, int(Qt.AlignmentFlag.AlignVCenter), shown.words)


class TipsTable(QTableView):
    """Tips by rows; the selected ones are laid over the plot.

    A press on a heading sorts by it, a second one the other way round; with the keys, S does it for
    the column of the current cell. Space lays a row over and takes it off.
    """

    def __init__(self, case: TipsCase) -> None:
        super().__init__()
        self.case = case
        self.tips = TipsModel(case)
        self._is_showing = False
        self.depth_scale = (0.0, 1.0)
        self.setModel(self.tips)
        self.setHorizontalHeader(TipsHeader(self))
        self.setItemDelegate(TipsDelegate(self))
        self.verticalHeader().hide()
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setCornerButtonEnabled(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setAccessibleName(tr("Tips"))
        self.setAccessibleDescription(
            tr("Selected tips are laid over the plot. S sorts by the column of the current cell.")
        )
        self.setStatusTip(
            tr("Click: lay over; with Ctrl several. Press a heading, or S in its column: sort.")
        )
        self.horizontalHeader().sectionClicked.connect(self.sort_by)
        case.follow(self.refresh)
        case.laid.connect(self._show_laid)
        self.refresh()

    # -- what is shown -------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the tips of the study."""
        current = self.current_row()
        key, at = (current.line.key if current else ""), self.currentIndex().column()
        self._is_showing = True
        self.verticalHeader().setDefaultSectionSize(px(ROW_HEIGHT))
        self.tips.show_study()
        self.depth_scale = (0.0, self._deepest())
        found = next((i for i, row in enumerate(self.tips.rows) if row.line.key == key), 0)
        if self.tips.rows:
            place = self.tips.index(found, at if at >= 0 else column(NAME))
            self.selectionModel().setCurrentIndex(place, _SELECT.NoUpdate)
        self._is_showing = False
        self._show_laid()
        self._spread()
        self.updateGeometry()

    def current_row(self) -> TipRow | None:
        """The tip of the current cell."""
        at = self.currentIndex().row()
        return self.tips.rows[at] if 0 <= at < len(self.tips.rows) else None

    def range_of(self, row: TipRow) -> Range:
        """The depth of a tip as a bar."""
        band = row.water.band
        words = self.case.place.read(depth_in_short(row.water))
        return Range(band.low, band.high, row.middle, words)

    def sketch(self, row: TipRow) -> Sketch:
        """A tip with the front of the head behind it, on the scale of all of them."""
        study = self.case.study
        assert study is not None
        return Sketch(row.analysis.curves, study.head.curves, *scale_of(study))

    def heading(self, place: int) -> str:
        """The heading of a column; that of the depth with its unit, above its scale."""
        shown = COLUMNS[place]
        if shown.key != DEPTHS:
            return tr(shown.name)
        return tr("{name}, {unit}").format(name=tr(shown.name), unit=shown.unit(self.case.system))

    def depth_ticks(self) -> list[tuple[float, str]]:
        """Round depths along the scale [m], and what is written at each."""
        unit = DEPTH.shown(self.case.system).unit
        top = to_unit(self.depth_scale[1], unit, DEPTH)
        step = step_for(top, 4)
        count = int(top / step + 1e-9)
        return [
            (from_unit(i * step, unit, DEPTH), tick_text(i * step, step)) for i in range(count + 1)
        ]

    def depth_place(self, value: float, room: QRectF) -> float:
        """Where a depth [m] lies on the scale, in the cell or above it [px]."""
        low, high = self.depth_scale
        return room.left() + 1.0 + (value - low) / (high - low) * (room.width() - 2.0)

    def _deepest(self) -> float:
        """The end of the scale of depths [m]: a round number that holds them all."""
        ends = [
            end
            for row in self.tips.rows
            for end in (row.water.band.low, row.water.band.high)
            if math.isfinite(end)
        ]
        unit = DEPTH.shown(self.case.system).unit
        top = to_unit(max([*ends, 0.3]), unit, DEPTH)
        step = step_for(top, 4)
        return from_unit(math.ceil(top / step - 1e-9) * step, unit, DEPTH)

    # -- sorting -------------------------------------------------------------------------------

    def sort_by(self, place: int) -> None:
        """Sort by a column, the largest first; the other way round where it is sorted so."""
        if COLUMNS[place].sorts is None:
            return
        if self.tips.sorted_by == place:
            self.tips.descends = not self.tips.descends
        else:
            self.tips.sorted_by, self.tips.descends = place, COLUMNS[place].key != NAME
        self.refresh()
        self.horizontalHeader().viewport().update()

    # -- laying over ---------------------------------------------------------------------------

    def selectionChanged(self, selected: QItemSelection, deselected: QItemSelection) -> None:
        """Lay the selected tips over."""
        super().selectionChanged(selected, deselected)
        if not self._is_showing:
            self.case.lay_over([row.line.key for row in self.selected_tips()])
            self.viewport().update()

    def selected_tips(self) -> tuple[TipRow, ...]:
        """The tips whose rows are selected, in the order shown."""
        rows = sorted({index.row() for index in self.selectionModel().selectedRows()})
        return tuple(self.tips.rows[row] for row in rows)

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

    # -- copying -------------------------------------------------------------------------------

    def copy(self) -> None:
        """Copy the selected tips for a spreadsheet, or all: headings with units, then the rows."""
        system, rows = self.case.system, self.tips.rows
        wanted = self.selected_tips() or rows
        shown = [each for each in COLUMNS if each.key not in (MARK, DRAWN)]
        table = [[*(each.title(system) for each in shown), tr("Verdict")]]
        for row, verdict_ in zip(rows, self.tips.verdicts, strict=True):
            if row in wanted:
                said = self.case.place.read(verdict_.words)
                table.append([*(each.says(row, system) for each in shown), said])
        QGuiApplication.clipboard().setText(to_tsv(table))
        self.case.place.host.say(Sentence("Copied the table of tips"))

    # -- Qt ------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Keep the keys that are used here from the window's shortcuts."""
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            plain_s = event.key() == Qt.Key.Key_S and not event.modifiers()
            if plain_s or event.matches(QKeySequence.StandardKey.Copy):
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy, sort, lay over; the rest as in any table."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() == Qt.Key.Key_S and not event.modifiers():
            self.sort_by(self.currentIndex().column())
        elif event.key() in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):  # with Ctrl; bare ones leave too
            self.focusNextPrevChild(event.key() == Qt.Key.Key_Tab)
        elif event.key() == Qt.Key.Key_Space and self.currentIndex().isValid():
            how = _SELECT.Toggle | _SELECT.Rows
            self.selectionModel().select(self.currentIndex(), how)
        else:
            super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Letters are keys here."""

    def paint_frame(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """The ring round the current cell, while the table has the keys."""
        if self.hasFocus() and index == self.currentIndex():
            painter.setPen(pen(self.case.place.theme.tokens.accent, 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect.adjusted(1, 1, -1, -2))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows, and over them the verdicts."""
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        tokens = self.case.place.theme.tokens
        colours = {Tone.PLAIN: tokens.soft, Tone.QUESTION: tokens.warn, Tone.FAULT: tokens.bad}
        painter.setFont(theming.font(SMALL))
        left = self.columnViewportPosition(column(NAME)) + px(PAD)
        right = self.columnViewportPosition(column(DEPTHS)) - px(PAD)
        for row, found in enumerate(self.tips.verdicts):
            top = self.rowViewportPosition(row) + px(ROW_HEIGHT) // 2
            room = QRect(left, top, right - left, px(ROW_HEIGHT) // 2 - px(2))
            if not room.intersects(event.rect()):
                continue
            painter.setPen(QColor(colours[found.tone]))
            said = SIGNS[found.tone] + self.tips.verdict_text(row)
            end = Qt.TextElideMode.ElideRight
            text = painter.fontMetrics().elidedText(said, end, room.width())
            painter.drawText(room, int(Qt.AlignmentFlag.AlignVCenter), text)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room among the columns."""
        super().resizeEvent(event)
        self._spread()

    def sizeHint(self) -> QSize:
        """All rows."""
        rows = max(1, len(self.tips.rows))
        return QSize(px(CROWDED), px(HEAD_HEIGHT) + rows * px(ROW_HEIGHT) + 2)

    def minimumSizeHint(self) -> QSize:
        """Three rows; the rest scrolls."""
        return QSize(px(300), px(HEAD_HEIGHT) + 3 * px(ROW_HEIGHT))

    def _needed(self, place: int) -> int:
        """Width at which nothing in a column is cut off [px]."""
        shown = COLUMNS[place]
        wide = px(shown.width)
        if shown.key in (MARK, DRAWN, NAME):
            return wide
        small, plain = QFontMetrics(theming.font(SMALL)), QFontMetrics(theming.font(9.0))
        texts = [shown.unit(self.case.system), self.heading(place) + " ▾"]
        face = small if shown.key == DEPTHS else plain
        needs = [small.horizontalAdvance(text) for text in texts]
        needs += [face.horizontalAdvance(shown.says(r, self.case.system)) for r in self.tips.rows]
        return max(wide, max(needs) + 2 * px(PAD) + 1)

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
        lacks = px(COLUMNS[column(NAME)].width) - left
        if lacks > 0:  # a drawing can do with less, words can't
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
