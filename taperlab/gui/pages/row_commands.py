"""What can be done to the rows of a segment table: one list for menus and buttons."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from PySide6.QtGui import QKeySequence

from taperlab.gui.pages.page import SegmentsInHand
from taperlab.units.language import later, tr


@dataclass(frozen=True, slots=True)
class RowCommand:
    """One command: what it does to the rows that are selected, its words, its keys, and a tip.

    text: with the letter of its menu entry marked by ``&``. keys: those that the window gives it.
    """

    act: Callable[[SegmentsInHand], object]
    text: str
    keys: str = ""
    tip: str = ""

    @property
    def words(self) -> str:
        """The text where no letter of it is marked."""
        return tr(self.text).replace("&", "")


def native(keys: str) -> str:
    """Keys as they are written on the person's keyboard."""
    return QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText)


ROW_COMMANDS: Mapping[str, RowCommand] = {
    "copy_headings": RowCommand(
        lambda table: table.copy_with_headings(),
        later("Copy with &headings"),
        "Ctrl+Shift+C",
    ),
    "fill_down": RowCommand(
        lambda table: table.fill_down(),
        later("&Fill down"),
        "Ctrl+D",
        later("Give the cells below what the first one has"),
    ),
    "insert_above": RowCommand(
        lambda table: table.insert_above(), later("Insert &above"), "Ctrl+Shift+I"
    ),
    "insert_below": RowCommand(
        lambda table: table.insert_below(),
        later("Insert"),
        "Ctrl+Return",
        later("Insert a segment below this one"),
    ),
    "duplicate_rows": RowCommand(lambda table: table.duplicate_rows(), later("Dup&licate")),
    "delete_rows": RowCommand(
        lambda table: table.delete_rows(), later("&Delete"), "Ctrl+Backspace"
    ),
    "move_up": RowCommand(
        lambda table: table.move_up(),
        later("Move &up"),
        "Ctrl+Shift+Up",
        later("One row toward the fly"),
    ),
    "move_down": RowCommand(
        lambda table: table.move_down(),
        later("Move do&wn"),
        "Ctrl+Shift+Down",
        later("One row toward the rod"),
    ),
    "split_here": RowCommand(
        lambda table: table.split_here(),
        later("Split…"),
        "Ctrl+T",
        later("Split the segment at a distance"),
    ),
    "merge_rows": RowCommand(
        lambda table: table.merge_rows(),
        later("Merge"),
        "Ctrl+M",
        later("Make one segment of those selected"),
    ),
    "reverse_line": RowCommand(
        lambda table: table.reverse_line(),
        later("Reverse"),
        "Ctrl+Shift+R",
        later("Turn the line end for end"),
    ),
    "edit_core": RowCommand(
        lambda table: table.edit_core(),
        later("&Core and coating…"),
        "",
        later("A core of one diameter inside the coating"),
    ),
    "edit_joint": RowCommand(
        lambda table: table.edit_joint(),
        later("&Joint to the next…"),
        "Ctrl+J",
        later("How this row meets the next"),
    ),
}
"""The commands by their names in the program."""
