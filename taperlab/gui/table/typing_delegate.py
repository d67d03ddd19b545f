"""Typing into a cell: how its editor opens, is filled, taken or refused, and closes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import shiboken6
from PySide6.QtCore import QEvent, QModelIndex, QObject, Qt, Signal
from PySide6.QtWidgets import QStyledItemDelegate, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.table.editors import Bubble, CellEdit, PartEdit
from taperlab.gui.table.keys import go_for


class TypedModel(Protocol):
    """What a model must offer to be typed into; a view adds Qt's own questions."""

    problem: Signal

    @property
    def count(self) -> int:
        """Rows that hold something; one that adds another is not counted."""

    def edit_text(self, row: int, column: int) -> str:
        """The text that an editor starts with."""

    def commit(self, row: int, column: int, text: str) -> str:
        """Take typed text; gives back what is wrong with it, or nothing."""


@dataclass(frozen=True, slots=True)
class Field:
    """What is typed in a column: its name, whether it stands right, whether it is a part."""

    name: str
    right: bool
    part: bool


class TypingDelegate(QStyledItemDelegate):
    """Edits cells through :class:`CellEdit`; a table of its own says what is typed where.

    left(Go): an editor was closed by a key that moves on.
    """

    left = Signal(object)

    def __init__(
        self, model: TypedModel, theme: theming.Theme, bubble: Bubble, view: QWidget
    ) -> None:
        super().__init__(view)
        self._model = model
        self._theme = theme
        self._bubble = bubble
        self._editor: CellEdit | None = None

    def field(self, column: int) -> Field:
        """What is typed in a column."""
        raise NotImplementedError

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

    # -- Qt -----------------------------------------------------------------------------------

    def createEditor(self, parent: QWidget, option: object, index: QModelIndex) -> QWidget:
        """Open an editor; numbers stand right as they do in the cell."""
        field = self.field(index.column())
        make = PartEdit if field.part else CellEdit
        editor = make(parent, self._theme.tokens, self._bubble)
        if field.right:
            editor.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        editor.setAccessibleName(field.name)
        if isinstance(editor, PartEdit):
            editor.chosen.connect(self._chosen)
        self._editor = editor
        return editor

    def setEditorData(self, editor: QWidget, index: QModelIndex) -> None:
        """Fill the editor, but never over what is being typed."""
        if editor.isModified():
            return
        text = self._model.edit_text(index.row(), index.column())
        if editor.text() != text:
            editor.setText(text)

    def setModelData(self, editor: QWidget, model: object, index: QModelIndex) -> None:
        """Hand typed text on; if it can't be used the editor says why and keeps it."""
        if not editor.isModified():
            return
        sentence = self._model.commit(index.row(), index.column(), editor.text())
        editor.say(sentence)
        if sentence:
            self._model.problem.emit(sentence)
        else:
            editor.setModified(False)

    def updateEditorGeometry(self, editor: QWidget, option: object, index: QModelIndex) -> None:
        """Fill the cell and take the bubble along."""
        editor.setGeometry(option.rect)
        if editor.sentence:
            self._bubble.place(option.rect)

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Enter and Tab take the text and move on; they stay where it can't be used."""
        if event.type() == QEvent.Type.KeyPress and isinstance(editor, CellEdit):
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
