"""The rack as it is seen: how its rows are drawn, and what keys and mouse ask for."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QLineF, QModelIndex, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QContextMenuEvent, QFont, QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QLineEdit,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from taperlab.gui.frame.rack_model import LINE_ROLE, RackModel
from taperlab.gui.frame.rack_rows import Kept
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.fold import OPEN, SHUT
from taperlab.gui.kit.key_names import Help, help_on
from taperlab.gui.state.document import Thing
from taperlab.gui.table.grid_model import Index
from taperlab.model.version import Version
from taperlab.units.language import later, tr

SWATCH_WIDTH = 34

INDENT = 14
"""How far versions stand in under their line [px]."""

FOLD_WIDTH = 34
"""What folds the versions of a line stands at its end, in so much [px]."""

TEXT_ROW = 17
"""Height of a line of text, for usual letters [px]."""


class RackDelegate(QStyledItemDelegate):
    """Draws a line of the rack: its swatch, its name, its figures."""

    def __init__(self, model: RackModel, theme: theming.Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Two lines of text; one for the heading."""
        rows = 1 if index.data(LINE_ROLE) is None else 2
        return QSize(theming.px(120), theming.px(rows * TEXT_ROW + 12))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one line, one rig, or the heading."""
        t = self._theme.tokens
        line: Thing | None = index.data(LINE_ROLE)
        if line is None:
            self._paint_heading(painter, option, index)
            return
        current = self._model.is_current(line)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = option.rect.adjusted(1 + indent_of(line), 2, -1, -2)
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
        kept = self._model.kept(line)
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
        room = room.translated(0, row)
        if kept is not None:
            self._paint_fold(painter, room, kept)
            room = room.adjusted(0, 0, -FOLD_WIDTH + 6, 0)
        figures = self._model.figures(
            line, lambda text: small.horizontalAdvance(text) <= room.width()
        )
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, figures)
        painter.restore()

    def _paint_heading(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        t, box = self._theme.tokens, option.rect.adjusted(8, 0, -8, -theming.px(4))
        kept = self._model.kept(self._model.row(index))
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(theming.pen(t.accent, 2.0))
            painter.drawRoundedRect(option.rect.adjusted(1, 2, -1, -2), 7, 7)
        painter.setFont(theming.font(theming.SMALL))
        painter.setPen(QColor(t.soft))
        low = Qt.AlignmentFlag.AlignBottom
        if kept is not None:
            right = int(low | Qt.AlignmentFlag.AlignRight)
            painter.drawText(box, right, _fold_text(kept))
            box = box.adjusted(0, 0, -FOLD_WIDTH, 0)
        text = painter.fontMetrics().elidedText(
            str(index.data()), Qt.TextElideMode.ElideRight, box.width()
        )
        painter.drawText(box, int(low | Qt.AlignmentFlag.AlignLeft), text)

    def _paint_fold(self, painter: QPainter, room: QRect, kept: Kept) -> None:
        """At the end of the small print, where a long name does not want the room."""
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
        painter.drawText(room, int(middle), _fold_text(kept))

    def _paint_mark(self, painter: QPainter, box: QRect, line: Thing) -> None:
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
        left = SWATCH_WIDTH + indent_of(index.data(LINE_ROLE))
        editor.setGeometry(option.rect.adjusted(left, 3, -3, -12))


def indent_of(thing: Thing | None) -> int:
    """How far a row stands in [px]."""
    return INDENT if isinstance(thing, Version) else 0


def _fold_text(kept: Kept) -> str:
    return f"{OPEN if kept.is_open else SHUT} {kept.count}"


class RackView(QListView):
    """The list itself: Enter makes a line current, Space lays it over, F2 renames it.

    folded(index, opened): the versions of a row are to be shown, or folded away.
    """

    picked = Signal(object)
    toggled = Signal(object)
    folded = Signal(QModelIndex, bool)
    menu_asked = Signal(QModelIndex, QPoint)

    KEYS = (
        (Qt.Key.Key_Return, later("Make the line the current one"), "take"),
        (Qt.Key.Key_Space, later("Lay the line over the current one, or take it off"), "lay_over"),
        (Qt.Key.Key_F2, later("Rename the line"), "edit"),
        (Qt.Key.Key_Right, later("Show the versions of the line"), "unfold"),
        (Qt.Key.Key_Left, later("Fold the versions away"), "fold"),
    )
    """The keys of the list, what each does, and the method that does it to a row."""

    MOUSE = (
        (later("Press a name"), later("make that line the current one")),
        (later("Press a mark"), later("lay that line over, or take it off")),
        (later("Press ▸"), later("show the versions of the line, or fold them away")),
        (later("Double-click"), later("rename the line")),
        (later("Right-click"), later("all that can be done to the line; loop it to another")),
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
        if thing := index.data(LINE_ROLE):
            self.picked.emit(thing)

    def lay_over(self, index: Index) -> None:
        """Ask for a line to be laid over, or taken off."""
        if thing := index.data(LINE_ROLE):
            self.toggled.emit(thing)

    def unfold(self, index: Index) -> None:
        """Ask for the versions of a row to be shown."""
        self.folded.emit(index, True)

    def fold(self, index: Index) -> None:
        """Ask for the versions of a row, or those beside it, to be folded away."""
        self.folded.emit(index, False)

    def __init__(self) -> None:
        super().__init__()
        self._pressed_part = False
        self.setAccessibleName(tr("Lines and rigs on the bench"))
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
        """A press on the mark lays the line over or takes it off; elsewhere it makes it current.

        One on what folds its versions shows them, or folds them away.
        """
        index, act = self._part_at(event)
        self._pressed_part = act is not None
        if act is not None and event.button() == Qt.MouseButton.LeftButton:
            act(index)
        else:
            super().mousePressEvent(event)

    def _part_at(self, event: QMouseEvent) -> tuple[Index, Callable[[Index], None] | None]:
        """The row at the pointer, and what a press does on its mark or on what folds it."""
        where = event.position().toPoint()
        index = self.indexAt(where)
        model = self.model()
        if not index.isValid() or not isinstance(model, RackModel):
            return index, None
        row, thing = model.row(index), index.data(LINE_ROLE)
        if thing is not None and where.x() < SWATCH_WIDTH + indent_of(thing):
            return index, self.lay_over
        kept = model.kept(row)
        if kept is None:
            return index, None
        box = self.visualRect(index)
        at_end = where.x() > box.right() - FOLD_WIDTH and where.y() > box.center().y()
        if thing is None or at_end:
            return index, self.fold if kept.is_open else self.unfold
        return index, None

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """On the mark, or on what folds, two presses."""
        if self._part_at(event)[1] is not None:
            self.mousePressEvent(event)
        else:
            super().mouseDoubleClickEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A press on the mark, or on what folds, was all there is to it."""
        if self._pressed_part:
            self._pressed_part = False
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

    def commit(self) -> None:
        """Take over the name that is being typed."""
        editor = self.viewport().findChild(QLineEdit)
        if editor is not None and self.state() == QListView.State.EditingState:
            self.commitData(editor)
            self.closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)

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
