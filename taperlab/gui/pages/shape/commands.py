"""What can be done to the rows of the segment table, in words and by key."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QWidget


@dataclass(frozen=True, slots=True)
class Command:
    """Something that can be done to rows: the name of the method, words, keys, and a tip."""

    method: str
    text: str
    keys: str = ""
    tip: str = ""


COMMANDS: tuple[Command | None, ...] = (
    Command("cut", "Cut", "Ctrl+X", "Copy whole rows and take them out."),
    Command("copy", "Copy", "Ctrl+C", "Copy the cells as a spreadsheet takes them."),
    Command("copy_with_headings", "Copy with headings", "Ctrl+Shift+C"),
    Command("paste", "Paste", "Ctrl+V", "Fill cells from the current one on."),
    Command("fill_down", "Fill down", "Ctrl+D", "Give the cells below what the first one has."),
    Command("select_all", "Select all", "Ctrl+A"),
    None,
    Command("insert_above", "Insert segment above", "Ctrl+Shift+I"),
    Command("insert_below", "Insert segment below", "Ctrl+Return"),
    Command("duplicate_rows", "Duplicate rows"),
    Command("delete_rows", "Delete rows", "Ctrl+Backspace"),
    Command("move_up", "Move rows up", "Ctrl+Shift+Up", "One row toward the fly."),
    Command("move_down", "Move rows down", "Ctrl+Shift+Down", "One row toward the rod."),
    None,
    Command("split_here", "Split row…", "Ctrl+T", "Two rows of the same taper, cut at a distance."),
    Command("merge_rows", "Merge rows", "Ctrl+M", "One row of neighbours; the weight stays."),
    Command("reverse_line", "Reverse line", "Ctrl+Shift+R", "Turn the whole line end for end."),
    None,
    Command("edit_core", "Core and coating…", "", "A core of one diameter inside the coating."),
    Command("edit_joint", "Joint to next row…", "Ctrl+J", "How this row meets the next."),
)
"""What the context menu offers, in order; None parts groups. A window makes its actions of it."""


def command_menu(table: QWidget) -> QMenu:
    """A menu of :data:`COMMANDS` that acts on a table."""
    menu = QMenu(table)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    for command in COMMANDS:
        if command is None:
            menu.addSeparator()
            continue
        keys = QKeySequence(command.keys).toString(QKeySequence.SequenceFormat.NativeText)
        action = QAction(f"{command.text}\t{keys}" if keys else command.text, menu)
        action.setToolTip(command.tip)
        action.triggered.connect(getattr(table, command.method))
        menu.addAction(action)
    return menu
