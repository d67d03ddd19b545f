"""The rack: the lines on this bench. One is current; any others can be laid over it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QAbstractListModel, QLineF, QModelIndex, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QContextMenuEvent, QFont, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QMenu,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from taperlab.edits import lines as line_edits
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import Help, help_on, with_key
from taperlab.gui.kit.widgets import caption, in_column, in_row, tool_button
from taperlab.gui.plots.styles import overlay_style
from taperlab.gui.state.document import Change
from taperlab.gui.table.grid_model import NO_INDEX, Index
from taperlab.model.line import Line
from taperlab.shop.wording import WholeWeight
from taperlab.units.kinds import LENGTH
from taperlab.units.language import later, tr
from taperlab.units.show import show
from taperlab.units.words import word

LINE_ROLE = Qt.ItemDataRole.UserRole
EDIT = Qt.ItemDataRole.EditRole
SWATCH_WIDTH = 34

TEXT_ROW = 17
"""Height of a line of text, for usual letters [px]."""


class RackModel(QAbstractListModel):
    """The lines of the bench, with the current one and those laid over it."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(place.document)
        self._place = place
        self._document = place.document
        self._lines: tuple[Line, ...] = place.document.bench.lines
        place.document.changed.connect(self._changed)
        place.settings.units_changed.connect(self._all_changed)

    def rowCount(self, parent: Index = NO_INDEX) -> int:
        """Lines on the bench."""
        return 0 if parent.isValid() else len(self._lines)

    def row_of(self, key: str) -> int:
        """The row of a line, -1 where it is not here."""
        return next((i for i, line in enumerate(self._lines) if line.key == key), -1)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Name, figures and tooltip of a line."""
        if not index.isValid():
            return None
        line = self._lines[index.row()]
        if role == LINE_ROLE:
            return line
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return line.name
        if role == Qt.ItemDataRole.ToolTipRole:
            note = f"\n{line.note}" if line.note else ""
            return f"{line.name}, {word(line.style)}\n{self.figures(line)}{note}"
        if role == Qt.ItemDataRole.StatusTipRole:
            return "; ".join(row.text for row in RackView.mouse_help())
        if role == Qt.ItemDataRole.AccessibleTextRole:
            if self.is_current(line):
                state = tr("current")
            else:
                state = tr("laid over") if self.is_overlay(line) else tr("not laid over")
            return f"{line.name}, {self.figures(line)}, {state}"
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Names can be edited in place."""
        return super().flags(index) | Qt.ItemFlag.ItemIsEditable

    def setData(self, index: Index, value: object, role: int = EDIT) -> bool:
        """Rename a line."""
        line = self._lines[index.row()]
        return bool(self._place.do(line_edits.rename_line, line.key, str(value), initiator=self))

    def figures(self, line: Line, fits: Callable[[str], bool] = lambda _: True) -> str:
        """Length and weight, as small print; where that does not fit in short, or weight alone."""
        analysis = self._document.analysis(line.key)
        if analysis is None or not line.segments:
            return tr("empty")
        system = self._place.system
        head = analysis.head
        length = head.length if head else analysis.length
        mass = head.mass if head else analysis.mass
        weight = WholeWeight(mass).text(system)
        told = (f"{show(length, LENGTH, system, unit=unit)} · {weight}" for unit in (True, False))
        return next(filter(fits, told), weight)

    def is_current(self, line: Line) -> bool:
        """Whether this line is the current one."""
        return line is self._document.line

    def is_overlay(self, line: Line) -> bool:
        """Whether this line is laid over the current one."""
        return line.key in self._document.bench.view.overlays

    def mark(self, line: Line, tokens: theming.Tokens) -> QPen | None:
        """What the plots draw this line with; None where they do not show it."""
        if self.is_current(line):
            return theming.pen(tokens.accent, theming.IN_HAND)
        if not self.is_overlay(line):
            return None
        colour, dash = overlay_style(self._document, line, tokens)
        return theming.pen(colour, theming.LAID_OVER, dash)

    def _changed(self, change: Change) -> None:
        after = change.after.lines
        if [line.key for line in after] != [line.key for line in self._lines]:
            self.beginResetModel()
            self._lines = after
            self.endResetModel()
        else:
            before, self._lines = self._lines, after
            view_changed = change.before.view != change.after.view
            for row, (old, new) in enumerate(zip(before, after, strict=True)):
                if old is not new or view_changed:
                    self.dataChanged.emit(self.index(row), self.index(row))

    def _all_changed(self) -> None:
        if self._lines:
            self.dataChanged.emit(self.index(0), self.index(len(self._lines) - 1))


class RackDelegate(QStyledItemDelegate):
    """Draws a line of the rack: its swatch, its name, its figures."""

    def __init__(self, model: RackModel, theme: theming.Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Two lines of text."""
        return QSize(theming.px(120), theming.px(2 * TEXT_ROW + 12))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one line."""
        t = self._theme.tokens
        line: Line = index.data(LINE_ROLE)
        current = self._model.is_current(line)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = option.rect.adjusted(1, 2, -1, -2)
        if current:
            painter.setPen(QColor(t.field))
            painter.setBrush(QColor(t.card))
            painter.drawRoundedRect(box, 7, 7)
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(t.hover))
            painter.drawRoundedRect(box, 7, 7)
        focused = option.state & QStyle.StateFlag.State_HasFocus
        if focused:
            painter.setPen(theming.pen(t.accent, 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(box, 7, 7)
        self._paint_mark(painter, box, line)
        left = box.left() + SWATCH_WIDTH + 4
        row = theming.px(TEXT_ROW)
        room = QRect(left, box.top() + 4, box.right() - left - 6, row)
        weight = QFont.Weight.DemiBold if current else QFont.Weight.Normal
        face = theming.font(9.0, weight=weight)
        painter.setFont(face)
        painter.setPen(QColor(t.ink))
        metrics = painter.fontMetrics()
        painter.drawText(
            room,
            Qt.AlignmentFlag.AlignVCenter,
            metrics.elidedText(line.name, Qt.TextElideMode.ElideRight, room.width()),
        )
        painter.setFont(theming.font(theming.SMALL))
        painter.setPen(QColor(t.soft))
        small = painter.fontMetrics()
        figures = self._model.figures(
            line, lambda text: small.horizontalAdvance(text) <= room.width()
        )
        painter.drawText(room.translated(0, row), Qt.AlignmentFlag.AlignVCenter, figures)
        painter.restore()

    def _paint_mark(self, painter: QPainter, box: QRect, line: Line) -> None:
        t, mark = self._theme.tokens, self._model.mark(line, self._theme.tokens)
        y = box.center().y() + 1
        start, end = box.left() + 7, box.left() + SWATCH_WIDTH - 1
        if mark is not None:
            painter.setPen(mark)
            level = y + mark.widthF() % 2.0 / 2.0  # on whole rows of pixels
            painter.drawLine(QLineF(start, level, end, level))
        else:
            painter.setPen(theming.pen(t.soft, 1.2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(QRect(start + 8, y - 5, 10, 10))

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """The name's editor lies over the name."""
        editor.setGeometry(option.rect.adjusted(SWATCH_WIDTH, 3, -3, -12))


class RackView(QListView):
    """The list itself: Enter makes a line current, Space lays it over, F2 renames it."""

    picked = Signal(object)
    toggled = Signal(object)
    menu_asked = Signal(QModelIndex, QPoint)

    KEYS = (
        (Qt.Key.Key_Return, later("Make the line the current one"), "take"),
        (Qt.Key.Key_Space, later("Lay the line over the current one, or take it off"), "lay_over"),
        (Qt.Key.Key_F2, later("Rename the line"), "edit"),
    )
    """The keys of the list, what each does, and the method that does it to a row."""

    MOUSE = (
        (later("Press a name"), later("make that line the current one")),
        (later("Press a mark"), later("lay that line over, or take it off")),
        (later("Double-click"), later("rename the line")),
        (later("Right-click"), later("all that can be done to the line")),
    )
    """What is done with the mouse, and what it does."""

    @property
    def help(self) -> tuple[Help, ...]:
        """What keys and mouse do here."""
        return *(help_on((key,), tr(does)) for key, does, _ in self.KEYS), *self.mouse_help()

    @classmethod
    def mouse_help(cls) -> tuple[Help, ...]:
        """What the mouse does here."""
        return tuple(Help(tr(how), tr(does)) for how, does in cls.MOUSE)

    def take(self, index: Index) -> None:
        """Ask for a line to be made current."""
        self.picked.emit(index.data(LINE_ROLE))

    def lay_over(self, index: Index) -> None:
        """Ask for a line to be laid over, or taken off."""
        self.toggled.emit(index.data(LINE_ROLE))

    def __init__(self) -> None:
        super().__init__()
        self._on_mark = False
        self.setAccessibleName(tr("Lines on the bench"))
        self.setMouseTracking(True)
        by = QListView.EditTrigger
        self.setEditTriggers(by.EditKeyPressed | by.DoubleClicked)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QListView.Shape.NoFrame)
        self.viewport().setAutoFillBackground(False)

    def dataChanged(self, first: Index, last: Index, roles: Sequence[int] = ()) -> None:
        """Repaint what changed; a list would lay out and repaint every line, at each edit."""
        QAbstractItemView.dataChanged(self, first, last, roles)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A press on the mark lays the line over or takes it off; elsewhere it makes it current."""
        index = self.indexAt(event.position().toPoint())
        self._on_mark = index.isValid() and event.position().x() < SWATCH_WIDTH
        if self._on_mark and event.button() == Qt.MouseButton.LeftButton:
            self.lay_over(index)
        else:
            super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """On the mark, two presses."""
        if event.position().x() < SWATCH_WIDTH:
            self.mousePressEvent(event)
        else:
            super().mouseDoubleClickEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A press on the mark was all there is to it."""
        if self._on_mark:
            self._on_mark = False
        else:
            super().mouseReleaseEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Ask for the menu of the line at the pointer, or by key for that of the current one."""
        index, where = self.indexAt(event.pos()), event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            index = self.currentIndex()
            box = self.visualRect(index)
            where = self.viewport().mapToGlobal(QPoint(box.left() + SWATCH_WIDTH, box.bottom()))
        self.menu_asked.emit(index, where)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Act on the current row."""
        index = self.currentIndex()
        pressed = Qt.Key.Key_Return if event.key() == Qt.Key.Key_Enter else event.key()
        if index.isValid() and self.state() != QListView.State.EditingState:
            for key, _, act in self.KEYS:
                if key == pressed:
                    getattr(self, act)(index)
                    return
        super().keyPressEvent(event)


class Rack(QWidget):
    """Heading, list, and the button that adds a line."""

    edit_line = Signal()

    def __init__(self, place: Workplace) -> None:
        super().__init__()
        self._place = place
        self._document = place.document
        self.model = RackModel(place)
        self.view = RackView()
        self.view.setModel(self.model)
        delegate = RackDelegate(self.model, place.theme, self.view)
        self.view.setItemDelegate(delegate)
        self.view.setToolTip("")
        self.view.toggled.connect(self.toggle)
        self.view.picked.connect(self.pick)
        self.view.clicked.connect(self._clicked)
        self.view.menu_asked.connect(self._menu)
        place.theme.changed.connect(self.view.doItemsLayout)
        place.document.changed.connect(self._changed)

        tip = tr("Add an empty line to the bench")
        add = tool_button(tr("Add…"), tr("Add a line"), tip, self.add_line)
        head = in_row((caption(tr("On the bench")), 1), add)
        head.setContentsMargins(8, 0, 0, 0)
        in_column(head, (self.view, 1), spacing=4, of=self)
        self._select_current()

    def pick(self, line: Line) -> None:
        """Make a line the current one."""
        self._document.look(line=line.key, initiator=self)

    def toggle(self, line: Line) -> None:
        """Lay a line over the current one, or take it off; the current one stays."""
        if self.model.is_current(line):
            return
        overlays = self._document.bench.view.overlays
        if line.key in overlays:
            after = tuple(key for key in overlays if key != line.key)
        else:
            after = (*overlays, line.key)
        self._document.look(overlays=after, initiator=self)

    def add_line(self) -> None:
        """Add an empty line and make it current."""
        self._place.do(line_edits.add_line, tr("New line"))

    def duplicate_current(self) -> None:
        """Copy the current line."""
        if self._document.line:
            self._duplicate(self._document.line)

    def delete_current(self) -> None:
        """Take the current line off the bench; undo brings it back."""
        if self._document.line:
            self._delete(self._document.line)

    def rename_current(self) -> None:
        """Edit the name of the current line in place."""
        if self._document.line:
            self._rename(self._document.line)

    def next_line(self) -> None:
        """Make the next line current; after the last comes the first."""
        self._step(1)

    def previous_line(self) -> None:
        """Make the line before current."""
        self._step(-1)

    def _step(self, step: int) -> None:
        lines, line = self._document.bench.lines, self._document.line
        if line is not None:
            self._place.host.commit()
            self._document.look(line=lines[(lines.index(line) + step) % len(lines)].key)

    def _clicked(self, index: QModelIndex) -> None:
        self.pick(index.data(LINE_ROLE))

    def _changed(self, change: Change) -> None:
        # Where the keyboard is stays, unless another line was made current.
        before, after = change.before.current_line, change.after.current_line
        taken = (before and before.key) != (after and after.key)
        if taken or not self.view.currentIndex().isValid():
            self._select_current()

    def _select_current(self) -> None:
        line = self._document.line
        row = self.model.row_of(line.key) if line else -1
        if row >= 0 and self.view.currentIndex().row() != row:
            self.view.setCurrentIndex(self.model.index(row))

    def menu_of(self, line: Line) -> QMenu:
        """What can be done to a line, current or not."""
        menu, in_hand = self._new_menu(), self.model.is_current(line)
        take = menu.addAction(with_key(tr("Make current"), Qt.Key.Key_Return))
        take.triggered.connect(lambda: self.pick(line))
        take.setEnabled(not in_hand)
        over = menu.addAction(with_key(tr("Lay over the current line"), Qt.Key.Key_Space))
        over.setCheckable(True)
        over.setChecked(self.model.is_overlay(line) and not in_hand)
        over.setEnabled(not in_hand)
        over.triggered.connect(lambda: self.toggle(line))
        menu.addSeparator()
        for text, act in (
            (tr("Name, style and loops…"), self._describe),
            (with_key(tr("Rename"), Qt.Key.Key_F2), self._rename),
            (tr("Duplicate"), self._duplicate),
            (tr("Delete"), self._delete),
        ):
            menu.addAction(text).triggered.connect(partial(_do, act, line))
        return menu

    def _menu(self, index: QModelIndex, where: QPoint) -> None:
        if index.isValid():
            menu = self.menu_of(index.data(LINE_ROLE))
        else:
            menu = self._new_menu()
            menu.addAction(tr("Add a line"), self.add_line)
        menu.popup(where)

    def _new_menu(self) -> QMenu:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        return menu

    def _describe(self, line: Line) -> None:
        self.pick(line)
        self.edit_line.emit()

    def _rename(self, line: Line) -> None:
        index = self.model.index(self.model.row_of(line.key))
        self.view.setFocus()
        self.view.setCurrentIndex(index)
        self.view.edit(index)

    def _duplicate(self, line: Line) -> None:
        self._place.do(line_edits.duplicate_line, line.key)

    def _delete(self, line: Line) -> None:
        self._place.do(line_edits.delete_line, line.key)


def _do(act: Callable[[Line], object], line: Line, *_checked: object) -> None:
    act(line)
