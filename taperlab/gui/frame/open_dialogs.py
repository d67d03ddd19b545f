"""The dialogs that the menus open, each loaded when it is first wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from taperlab.gui.frame.window import Window


class Dialogs:
    """Opens dialogs over a window."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def describe_line(self) -> None:
        """Edit name, style, loops and note of the line in hand."""
        from taperlab.gui.dialogs.line import LineDialog

        if self._window.document.line:
            self._window.commit()
            LineDialog(self._window.document, self._window.settings, self._window).open()

    def insert_from_stock(self) -> None:
        """Put a length of material from the shelf below the current segment."""
        from taperlab.gui.dialogs.stock import StockDialog

        if self._window.document.line:
            self._window.commit()
            at = min(
                self._window.shape.table.currentIndex().row() + 1,
                len(self._window.document.line.segments),
            )
            StockDialog(self._window.document, self._window.settings, at, self._window).open()

    def keep_as_stock(self) -> None:
        """Put the material of the current segment on the shelf."""
        from taperlab.gui.dialogs.stock import KeepStockDialog

        self._window.commit()
        line = self._window.document.line
        row = self._window.shape.table.currentIndex().row()
        if line is None or not 0 <= row < len(line.segments):
            self._window.say_problem("Choose the segment whose material is to be kept.")
            return
        KeepStockDialog(self._window.document, row, self._window).open()

    def edit_bench_note(self) -> None:
        """Edit the note on the bench as a whole."""
        from taperlab.gui.dialogs.note import BenchNoteDialog

        BenchNoteDialog(self._window.document, self._window).open()

    def find_weight(self) -> None:
        """Find where along the line in hand so much weight is, and point at it."""
        from taperlab.gui.dialogs.find_weight import FindWeightDialog

        if self._window.document.line:
            self._window.commit()
            dialog = FindWeightDialog(self._window.document, self._window.settings, self._window)
            dialog.found.connect(self._window.shape.plots.point_at)
            dialog.open()

    def edit_rods(self) -> None:
        """Edit the rods and their windows."""
        from taperlab.gui.dialogs.rods import RodsDialog

        RodsDialog(self._window.document, self._window.settings, self._window).open()

    def edit_water(self) -> None:
        """Edit the water."""
        from taperlab.gui.dialogs.water import WaterDialog

        WaterDialog(self._window.document, self._window.settings, self._window).open()

    def show_methods(self) -> None:
        """Tell how the figures are worked out."""
        from taperlab.gui.dialogs.texts import methods_dialog

        methods_dialog(self._window).open()

    def show_cautions(self) -> None:
        """Show the cautions."""
        from taperlab.gui.dialogs.texts import cautions_dialog

        cautions_dialog(self._window).open()

    def show_about(self) -> None:
        """Show version and licences."""
        from taperlab.gui.dialogs.texts import about_dialog

        about_dialog(self._window).open()

    def print_sheet(self) -> None:
        """Print the build sheet of the line in hand."""
        from taperlab.gui.paper.printing import print_sheet

        self._window.commit()
        print_sheet(self._window)

    def preview_sheet(self) -> None:
        """Show the build sheet as it will be printed."""
        from taperlab.gui.paper.printing import preview_sheet

        self._window.commit()
        preview_sheet(self._window)

    def print_cut_back(self) -> None:
        """Print the cut-back of the line in hand."""
        from taperlab.gui.paper.printing import print_cut_back

        self._window.commit()
        print_cut_back(self._window)

    def preview_cut_back(self) -> None:
        """Show the cut-back as it will be printed."""
        from taperlab.gui.paper.printing import preview_cut_back

        self._window.commit()
        preview_cut_back(self._window)
