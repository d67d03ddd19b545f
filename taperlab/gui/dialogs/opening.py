"""The dialogs that menus and pages open, each loaded when it is first wanted."""

from __future__ import annotations

from taperlab.gui.kit.host import Workplace


class Dialogs:
    """Opens dialogs over the window. What is being typed is taken over first."""

    def __init__(self, place: Workplace) -> None:
        self._place = place

    def describe_line(self) -> None:
        """Edit name, style, loops and note of the current line."""
        from taperlab.gui.dialogs.line import LineDialog

        self._place.host.commit()
        line = self._place.document.line
        if line is not None:
            LineDialog(self._place, line).open()

    def describe_rig(self) -> None:
        """Edit name, leader, fly and note of the rig that is looked at."""
        from taperlab.gui.dialogs.rig import RigDialog

        self._place.host.commit()
        rig = self._place.document.rig
        if rig is not None:
            RigDialog(self._place, rig).open()

    def begin_line(self) -> None:
        """Begin a line from a rod, a style, a weight and a length."""
        from taperlab.gui.dialogs.begin_line import BeginLineDialog

        self._place.host.commit()
        BeginLineDialog(self._place).open()

    def edit_bench_note(self) -> None:
        """Edit the note on the bench as a whole."""
        from taperlab.gui.dialogs.bench import BenchNoteDialog

        BenchNoteDialog(self._place).open()

    def edit_rods(self) -> None:
        """Edit the rods and their windows."""
        from taperlab.gui.dialogs.rods import RodsDialog

        RodsDialog(self._place).open()

    def edit_water(self) -> None:
        """Edit the water."""
        from taperlab.gui.dialogs.bench import WaterDialog

        WaterDialog(self._place).open()

    def show_methods(self) -> None:
        """Tell how the figures are worked out."""
        from taperlab.gui.dialogs.texts import methods_dialog

        methods_dialog(self._place.host.parent_widget).open()

    def show_cautions(self) -> None:
        """Show the cautions."""
        from taperlab.gui.dialogs.texts import cautions_dialog

        cautions_dialog(self._place.host.parent_widget).open()

    def show_about(self) -> None:
        """Show version and licences."""
        from taperlab.gui.dialogs.texts import about_dialog

        about_dialog(self._place.host.parent_widget).open()
