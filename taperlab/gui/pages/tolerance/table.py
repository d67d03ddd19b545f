"""The table of causes, biggest first, each with a bar beside its grains."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QEvent,
    QModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QPainter,
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
from taperlab.gui.kit.signs import hatched_box
from taperlab.gui.kit.theme import SMALL, pen, px, usual
from taperlab.gui.pages.tolerance.case import ToleranceCase
from taperlab.gui.table.grid_model import NO_INDEX, Index
from taperlab.gui.table.spoken import unit_in_words
from taperlab.shop.tolerance.columns import COLUMNS, Column, rows_of
from taperlab.shop.tolerance.study import Cause
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence

ROW_HEIGHT, HEAD_HEIGHT, PAD = 25, 38, 5
"""For usual letters [px]."""

BAR = Column(
    "bar",
    later("Share of it"),
    lambda system: "",
    lambda cause, found, system: "",
    later("Its grains beside the biggest; hatched is off alike in every head of a batch."),
    is_number=False,
)
AFTER = next(i for i, each in enumerate(COLUMNS) if each.key == "weight") + 1
SHOWN = (*COLUMNS[:AFTER], BAR, *COLUMNS[AFTER:])
"""The columns as they are shown: the bar stands behind the grains."""

NARROW = 640
LEFT_OUT = ("segment", "off")
"""A table narrower than this leaves out these, for usual letters [px]."""

MEASURED = 60
"""So many causes, the biggest, decide how wide columns are; the others are all alike small."""

NARROW_BAR, WIDE_BAR, LEAST_NAME = 40, 420, 118
"""For usual letters [px]."""


class CausesModel(QAbstractTableModel):
    """The causes of the study, biggest first."""

    def __init__(self, case: ToleranceCase) -> None:
        super().__init__(case)
        self.case = case

    @property
    def rows(self) -> tuple[Cause, ...]:
        """The causes shown."""
        return self.case.study.causes if self.case.study is not None else ()

    def show_study(self) -> None:
        """Show the causes of another answer."""
        self.beginResetModel()
        self.endResetModel()

    def rowCount(self, parent: Index = NO_INDEX) -> int:
        """Causes."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = NO_INDEX) -> int:
        """Columns."""
        return 0 if parent.isValid() else len(SHOWN)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What a cell says, and what is read aloud of it."""
        found = self.case.study
        if not index.isValid() or found is None:
            return None
        cause, shown = self.rows[index.row()], SHOWN[index.column()]
        said = shown.says(cause, found, self.case.system)
        if role == Qt.ItemDataRole.DisplayRole:
            return said
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._aloud(cause, shown, said)
        return None

    def _aloud(self, cause: Cause, shown: Column, said: str) -> str:
        """What is read aloud of a cell, units in full words."""
        found = self.case.study
        assert found is not None
        name = COLUMNS[0].says(cause, found, self.case.system)
        if shown.key == "what" and cause.dimension.what.is_common:
            return tr("{name}, alike in every head").format(name=name)
        if not said or shown.key == "what":
            return name
        unit = shown.unit(self.case.system)
        words = " ".join(unit_in_words(each) for each in [*said.split(" "), unit] if each)
        return f"{name}, {tr(shown.name)}: {words}"

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """The heading of a column, and its tooltip."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return SHOWN[section].heading(self.case.system)
        return tr(SHOWN[section].help) if role == Qt.ItemDataRole.ToolTipRole else None


class CausesHeader(QHeaderView):
    """Headings of two lines: what it is, and its unit."""

    def __init__(self, table: CausesTable) -> None:
        super().__init__(Qt.Orientation.Horizontal, table)
        self._table = table
        self.setHighlightSections(False)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(tr("Headings of what may be off"))

    def sizeHint(self) -> QSize:
        """Two lines."""
        return QSize(super().sizeHint().width(), px(HEAD_HEIGHT))

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Draw a heading and its unit."""
        tokens, shown = self._table.case.place.theme.tokens, SHOWN[section]
        painter.save()
        painter.fillRect(rect, QColor(tokens.card))
        painter.setPen(QColor(tokens.rule))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.setFont(theming.font(SMALL))
        painter.setPen(QColor(tokens.soft))
        room = rect.adjusted(px(PAD), px(2), -px(PAD), -px(3))
        half = room.height() // 2
        side = Qt.AlignmentFlag.AlignRight if shown.is_number else Qt.AlignmentFlag.AlignLeft
        middle = int(side | Qt.AlignmentFlag.AlignVCenter)
        unit = shown.unit(self._table.case.system)
        above = QRect(room.left(), room.top(), room.width(), half)
        below = QRect(room.left(), room.top() + half, room.width(), half)
        if shown.key != "bar":
            painter.drawText(above if unit else below, middle, tr(shown.name))
            painter.drawText(below, middle, unit)
        painter.restore()


class CausesDelegate(QStyledItemDelegate):
    """Paints the cells."""

    def __init__(self, table: CausesTable) -> None:
        super().__init__(table)
        self._table = table

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | Any
    ) -> None:
        """Paint a cell."""
        table, rect = self._table, option.rect
        tokens = table.case.place.theme.tokens
        shown = SHOWN[index.column()]
        painter.save()
        if QStyle.StateFlag.State_Selected in option.state:
            painter.fillRect(rect, QColor(tokens.accent_wash))
        room = rect.adjusted(px(PAD), 0, -px(PAD), 0)
        if shown.key == "bar":
            self._bar(painter, QRectF(room), table.causes.rows[index.row()])
        else:
            weight = QFont.Weight.DemiBold if shown.key == "weight" else QFont.Weight.Normal
            painter.setFont(theming.font(9.0, weight=weight))
            painter.setPen(QColor(tokens.soft if shown.key in ("segment", "step") else tokens.ink))
            side = Qt.AlignmentFlag.AlignRight if shown.is_number else Qt.AlignmentFlag.AlignLeft
            text = painter.fontMetrics().elidedText(
                str(index.data()), Qt.TextElideMode.ElideRight, room.width() + 1
            )
            painter.drawText(room, int(side | Qt.AlignmentFlag.AlignVCenter), text)
        if table.hasFocus() and index == table.currentIndex():
            painter.setPen(pen(tokens.accent, 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(rect.adjusted(1, 1, -1, -1))
        painter.restore()

    def _bar(self, painter: QPainter, room: QRectF, cause: Cause) -> None:
        tokens = self._table.case.place.theme.tokens
        most = max((each.effects.mass for each in self._table.causes.rows), default=0.0)
        if most <= 0.0:
            return
        high = px(9)
        wide = max(room.width() * cause.effects.mass / most, 1.0)
        bar = QRectF(room.left(), room.center().y() - high / 2.0, wide, high)
        if cause.dimension.what.is_common:
            edge = pen(tokens.field, 1.0)
            hatched_box(painter, bar, tokens.hatch, tokens.off, apart=5.0, edge=edge)
        else:
            painter.fillRect(bar, QColor(tokens.edge))


class CausesTable(QTableView):
    """Causes by rows; the one that is current is marked in the drawing. fitted(): other room."""

    fitted = Signal()

    def __init__(self, case: ToleranceCase) -> None:
        super().__init__()
        self.case = case
        self.causes = CausesModel(case)
        self.setModel(self.causes)
        self.setHorizontalHeader(CausesHeader(self))
        self.setItemDelegate(CausesDelegate(self))
        self.verticalHeader().hide()
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setCornerButtonEnabled(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setAccessibleName(tr("What may be off"))
        self.setAccessibleDescription(
            tr("Biggest first; a diameter that is current is marked above.")
        )
        self.setStatusTip(tr("Click: mark a diameter above. Ctrl+C: copy the table."))
        self.selectionModel().currentChanged.connect(self._current_changed)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show the causes, with the current cell where it was."""
        at = self.currentIndex()
        row, place = max(at.row(), 0), max(at.column(), 0)
        had_one = at.isValid()
        self.verticalHeader().setDefaultSectionSize(px(ROW_HEIGHT))
        self.causes.show_study()
        if had_one and row < len(self.causes.rows):
            self.setCurrentIndex(self.causes.index(row, place))
        self._spread()
        self.updateGeometry()

    @property
    def is_narrow(self) -> bool:
        """Whether some columns are left out."""
        return usual(self.viewport().width()) < NARROW

    def _current_changed(self, current: Index, _: Index) -> None:
        self.case.choose(current.row() if current.isValid() else None)

    def copy(self) -> None:
        """Copy the table for a spreadsheet: headings with units, then the rows."""
        if self.case.study is None:
            return
        QGuiApplication.clipboard().setText(to_tsv(rows_of(self.case.study, self.case.system)))
        self.case.place.host.say(Sentence("Copied what may be off"))

    # -- Qt --------------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Keep the key that copies from the window's shortcuts."""
        if (
            event.type() is QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and event.matches(QKeySequence.StandardKey.Copy)
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy; the rest as in any table."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            self.focusNextPrevChild(event.key() == Qt.Key.Key_Tab)
        else:
            super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Letters search for nothing here."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room among the columns."""
        super().resizeEvent(event)
        self._spread()
        self.fitted.emit()

    def sizeHint(self) -> QSize:
        """All rows."""
        rows = max(1, len(self.causes.rows))
        return QSize(px(NARROW), px(HEAD_HEIGHT) + rows * px(ROW_HEIGHT) + 2)

    def minimumSizeHint(self) -> QSize:
        """Three rows; the rest scrolls."""
        return QSize(px(280), px(HEAD_HEIGHT) + 3 * px(ROW_HEIGHT))

    def _needed(self, place: int) -> int:
        """Width at which nothing in a column is cut off [px]."""
        shown, system = SHOWN[place], self.case.system
        small = QFontMetrics(theming.font(SMALL))
        plain = QFontMetrics(theming.font(9.0, weight=QFont.Weight.DemiBold))
        texts = [tr(shown.name), shown.unit(system)]
        needs = [small.horizontalAdvance(text) for text in texts]
        found = self.case.study
        if found is not None:
            needs += [
                plain.horizontalAdvance(shown.says(each, found, system))
                for each in found.causes[:MEASURED]
            ]
        return max(needs) + 2 * px(PAD) + 2

    def _spread(self) -> None:
        """Give columns their widths; name and bar share what is left."""
        room = self.viewport().width()
        left, name, bar = room, 0, next(i for i, c in enumerate(SHOWN) if c.key == "bar")
        for place, shown in enumerate(SHOWN):
            self.setColumnHidden(place, self.is_narrow and shown.key in LEFT_OUT)
            if place not in (name, bar) and not self.isColumnHidden(place):
                self.setColumnWidth(place, self._needed(place))
                left -= self.columnWidth(place)
        wants = self._needed(name) + px(8)
        wide = min(max(left - wants, px(NARROW_BAR)), px(WIDE_BAR))
        self.setColumnWidth(bar, wide)
        self.setColumnWidth(name, max(left - wide, px(LEAST_NAME)))
