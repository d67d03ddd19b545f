"""Typing into a cell: how its editor opens, is filled, taken or refused, and closes."""

from __future__ import annotations

from typing import Any

import shiboken6
from PySide6.QtCore import QAbstractItemModel, QEvent, QObject, QRect, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import QAbstractItemView, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.table.editors import Bubble, CellEdit, PartEdit, go_for
from taperlab.gui.table.grid_model import GridModel, Index


class TypingDelegate(QStyledItemDelegate):
    """Edits cells through :class:`CellEdit`.

    left(Go): an editor was closed by a key that moves on. refused(Sentence): typed text can't be
    used. typing(row, column, text): what is typed so far.
    """

    left = Signal(object)
    refused = Signal(object)
    typing = Signal(int, int, str)

    def __init__(
        self, model: GridModel[Any], place: Workplace, bubble: Bubble, view: QAbstractItemView
    ) -> None:
        super().__init__(view)
        self._typed = model
        self._place = place
        self._view = view
        self._bubble = bubble
        self._editor: CellEdit | None = None
        self.use_theme()

    def open_editor(self) -> CellEdit | None:
        """The editor that is open, if one is."""
        editor = self._editor
        if editor is None or not shiboken6.isValid(editor) or editor.isHidden():
            return None
        return editor

    def finish(self, editor: CellEdit) -> bool:
        """Take an editor's text and close it; False if its text can't be used."""
        self.commitData.emit(editor)
        if editor.sentence:
            return False
        self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)
        return True

    def _chosen(self) -> None:
        if self._editor is not None:
            self.finish(self._editor)

    # -- painting -----------------------------------------------------------------------------

    def use_theme(self) -> None:
        """Take the colours and letters of the theme in force."""
        tokens = self._place.theme.tokens
        self._font = theming.font()
        self._metrics = QFontMetrics(self._font)
        self._focus_pen = QPen(QColor(tokens.accent), 2)
        self._still_pen = QPen(QColor(tokens.soft), 1)
        for pen in (self._focus_pen, self._still_pen):
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)

    def paint_frame(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """Frame the current cell; the frame is strong where the keys go."""
        if index != self._view.currentIndex():
            return
        focused = self._view.hasFocus()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(self._focus_pen if focused else self._still_pen)
        inset = 1 if focused else 0
        painter.drawRect(rect.adjusted(inset, inset, -1, -1))

    def elided(self, text: str, room: int, metrics: QFontMetrics | None = None) -> str:
        """As much of a text as has room [px]; metrics: of its letters, where they are others."""
        measured = metrics or self._metrics
        if measured.horizontalAdvance(text) <= room:
            return text
        return measured.elidedText(text, Qt.TextElideMode.ElideRight, room)

    # -- Qt -----------------------------------------------------------------------------------

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Open an editor; numbers stand right as they do in the cell."""
        field = self._typed.headings[index.column()]
        make = PartEdit if field.part else CellEdit
        editor = make(parent, self._place.theme.tokens, self._bubble)
        if field.right:
            editor.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        editor.setAccessibleName(field.name)
        if isinstance(editor, PartEdit):
            editor.chosen.connect(self._chosen)
        row, column = index.row(), index.column()
        editor.textEdited.connect(lambda: self.typing.emit(row, column, editor.text()))
        self._editor = editor
        return editor

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Fill the editor, but never over what is being typed."""
        assert isinstance(editor, CellEdit)
        text = self._typed.edit_text(index.row(), index.column())
        if not editor.isModified() and editor.text() != text:
            editor.setText(text)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Hand typed text on; if it can't be used the editor says why and keeps it."""
        assert isinstance(editor, CellEdit)
        if not editor.isModified():
            return
        why_not = self._typed.commit(index.row(), index.column(), editor.text())
        editor.say(self._place.read(why_not))
        if why_not:
            editor.offer()
            self.refused.emit(why_not)
        else:
            editor.setModified(False)

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Fill the cell and take the bubble along."""
        assert isinstance(editor, CellEdit)
        editor.setGeometry(option.rect)
        if editor.sentence:
            self._bubble.place(option.rect)

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Enter and Tab take the text and move on; they stay where it can't be used."""
        if isinstance(event, QKeyEvent) and isinstance(editor, CellEdit):
            if event.type() != QEvent.Type.KeyPress:
                return super().eventFilter(editor, event)
            go = go_for(event)
            if go is not None:
                if self.finish(editor):
                    self.left.emit(go)
                return True
            if event.key() == Qt.Key.Key_Escape:
                editor.say("")
                self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.RevertModelCache)
                return True
        return super().eventFilter(editor, event)
