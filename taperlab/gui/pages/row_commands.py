"""What can be done to the rows of a segment table: one list for menus and buttons."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from taperlab.units.language import later, tr


@dataclass(frozen=True, slots=True)
class RowCommand:
    """The words of a command, its keys, and a tip.

    text: with the letter of its menu entry marked by ``&``. keys: those that the window gives it.
    """

    text: str
    keys: str = ""
    tip: str = ""

    @property
    def words(self) -> str:
        """The text where no letter of it is marked."""
        return tr(self.text).replace("&", "")


ROW_COMMANDS: Mapping[str, RowCommand] = {
    "copy_headings": RowCommand(later("Copy with &headings"), "Ctrl+Shift+C"),
    "fill_down": RowCommand(
        later("&Fill down"), "Ctrl+D", later("Give the cells below what the first one has")
    ),
    "insert_above": RowCommand(later("Insert &above"), "Ctrl+Shift+I"),
    "insert_copied": RowCommand(
        later("Insert c&opied segments"),
        "Ctrl+Shift+V",
        later("Put the segments copied above this one"),
    ),
    "insert_below": RowCommand(
        later("Insert"), "Ctrl+Return", later("Insert a segment below this one")
    ),
    "duplicate_rows": RowCommand(later("Dup&licate")),
    "delete_rows": RowCommand(later("&Delete"), "Ctrl+Backspace"),
    "move_up": RowCommand(
        later("Move &up"), "Ctrl+Shift+Up", later("One place toward the fly end")
    ),
    "move_down": RowCommand(
        later("Move do&wn"), "Ctrl+Shift+Down", later("One place toward the rod end")
    ),
    "split_here": RowCommand(later("Split…"), "Ctrl+T", later("Split the segment at a distance")),
    "merge_rows": RowCommand(later("Merge"), "Ctrl+M", later("Make one segment of those selected")),
    "reverse_line": RowCommand(
        later("Reverse"), "Ctrl+Shift+R", later("Turn the line end for end")
    ),
    "lock_cells": RowCommand(
        later("Lock or unlock for goals"),
        "Ctrl+Shift+L",
        later("Whether goals may move the selected lengths, diameters and densities"),
    ),
    "lock_rows": RowCommand(
        later("Lock or unlock whole segments"),
        tip=later("Whether goals may move anything in the selected segments"),
    ),
    "lock_columns": RowCommand(
        later("Lock or free whole columns"),
        tip=later("Whether goals may move the lengths, diameters or densities of this line"),
    ),
    "tie_cells": RowCommand(
        later("Tie or untie for goals"),
        tip=later("Whether goals move the selected cells by one factor"),
    ),
    "bound_cell": RowCommand(
        later("Bound for goals…"), tip=later("Between what goals may move this number")
    ),
    "edit_core": RowCommand(
        later("&Core and coating…"), tip=later("A core of one diameter inside the coating")
    ),
    "edit_joint": RowCommand(
        later("&Joint to the next…"), "Ctrl+J", later("How this segment meets the next")
    ),
}
"""The commands, each by the name of the segment table's method that does it."""
