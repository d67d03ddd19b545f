"""What the person prefers, as the window sees it: units and theme now, the rest on disk."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from taperlab.edits.edited import Solve
from taperlab.units.kinds import System


class Settings(QObject):
    """Choices that hold for every bench. Views redraw when ``units_changed`` is emitted.

    system: the units shown and taken for bare numbers. solve: what a typed weight or weight per
    length moves, density or diameter. sink_shown: whether the fourth plot, sink rate, is shown.
    To be changed by the methods alone.
    """

    units_changed = Signal()
    solve_changed = Signal()
    sink_shown_changed = Signal()

    def __init__(
        self,
        system: System = System.US,
        parent: QObject | None = None,
        *,
        solve: Solve = Solve.DENSITY,
        sink_shown: bool = False,
    ) -> None:
        super().__init__(parent)
        self.system = system
        self.solve = solve
        self.sink_shown = sink_shown

    def use_system(self, system: System) -> None:
        """Show and read the other system from now on."""
        if system is not self.system:
            self.system = system
            self.units_changed.emit()

    def use_solve(self, solve: Solve) -> None:
        """Let typed weights move the other number from now on."""
        if solve is not self.solve:
            self.solve = solve
            self.solve_changed.emit()

    def show_sink(self, shown: bool) -> None:
        """Show or hide the sink-rate plot."""
        if shown != self.sink_shown:
            self.sink_shown = shown
            self.sink_shown_changed.emit()
